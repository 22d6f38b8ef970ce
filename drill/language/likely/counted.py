"""Actions that need a figure, or the way of a change: what a line counts, without the figures that it only tells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

from drill.language.altitudes import from_one_to_another
from drill.language.durations import durations
from drill.language.handling import FULL_FLAPS_DEG
from drill.language.likely.corrections import after_correction
from drill.language.likely.judging import CLEAR, Judged
from drill.language.likely.things import names
from drill.language.maneuvers import CARDINALS
from drill.language.meaning import (
    Action,
    Airspeed,
    Align,
    Altitude,
    Flaps,
    Pitch,
    Power,
    Squawk,
    Timer,
    Tune,
    Turn,
    TurnRate,
    Wait,
)
from drill.language.patterns import compiled
from drill.language.words import joined

LOWEST_FT, HIGHEST_FT = 400, 25_000
SLOWEST_KT, FASTEST_KT = 40, 250
STEEPEST_DEG = 20
FLAP_SETTINGS = (0, 10, 20, 25, 30, 40)
_ASIDE = compiled(r"""
    \brate (?:1|2|3)\b|\b\d+ (?:fpm|a minute|per minute|feet per|feet a|ft per|a min|seconds?|secs?|minutes?|mins?|
    miles?|hours?)\b|\b(?:1|2) (?=(?:left|right|more|full|of|thing|last)\b)|\bflight level\b""")
"""Figures that say how, not how much."""
_FIGURE = re.compile(r"(?<![\d.])\d+(?:\.\d+)?(?![\d.])")


def _figures(line: Judged, led: str = "") -> list[str]:
    """Return the figures of a line; of those parted by a correction only what follows it, and of several those that
    stand after the words `led`, if any do."""
    text = _ASIDE.sub(" ", joined(after_correction(line.line, _is_figure)))
    found = _FIGURE.findall(text)
    if not led or len(set(found)) < 2:
        return found
    return [each for each in found if re.search(rf"\b(?:{led}) {re.escape(each)}(?![\d.])", text)] or found


def _is_figure(word: str) -> bool:
    return word[0].isdigit()


def _whole(figures: Sequence[str]) -> list[int]:
    return [int(each) for each in figures if each.isdecimal()]


def _only(figures: Sequence[int]) -> int | None:
    return figures[0] if len(set(figures)) == 1 else None


def turn(line: Judged) -> Action | None:
    """Turn to a heading, by an amount, or to a side until stopped."""
    said_side, sure_of_side = line.likely("side")[0]
    amount, sure_of_amount = line.likely("amount")[0]
    if min(sure_of_side, sure_of_amount) < CLEAR:
        return None
    side: Literal["left", "right", "shortest"] = (
        "left" if said_side == "left" else "right" if said_side == "right" else "shortest")
    figures = _whole(_figures(line, "to|heading|onto|on|hdg|reads|for" if amount == "to" else "by|of|turn|left|right"))
    figures = figures or [CARDINALS[token.text] for token in line.line if token.text in CARDINALS]
    if amount == "none":
        return Turn(side) if not figures and side != "shortest" else None
    degrees = _only(figures)
    if degrees is None or degrees > 360:
        return None
    by = amount == "by" or (side != "shortest" and _is_amount(degrees, joined(line.line)))
    return Turn(side, by_deg=degrees or None) if by else Turn(side, heading_deg=degrees or 360)


def _is_amount(degrees: int, text: str) -> bool:
    """Whether a figure in a turn to a side is how far: "100 degrees to the left", "a full 360"."""
    if not CARDINALS.keys().isdisjoint(text.split()):
        return False   # "left to north, 360"
    led = re.search(rf"(?:^|(\S+) )0*{degrees}\b", text)
    if led is None or led[1] in ("to", "onto", "heading", "hdg", "on", "at", "until", "says", "reads", "for"):
        return False
    return degrees in (180, 360) or re.search(rf"\b{degrees} degrees\b", text) is not None


def altitude(line: Judged) -> Action | None:
    """Climb, descend, or hold an altitude."""
    if changed := from_one_to_another(joined(line.line)):
        return changed
    said, share = line.likely("way")[0]
    if share < CLEAR:
        return None
    way: Literal["climb", "descend", "hold"] = (
        "climb" if said == "climb" else "descend" if said == "descend" else "hold")
    feet = _whole(_figures(line, "to|at|for|maintain|hold|level|up|down"))
    if not feet:
        return Altitude(None, "hold") if way == "hold" else None
    to = _only(feet)
    return Altitude(to, way) if to is not None and LOWEST_FT <= to <= HIGHEST_FT and to % 10 == 0 else None


def airspeed(line: Judged) -> Action | None:
    """Fly an airspeed."""
    knots = _only(_whole(_figures(line, "to|for|it|back|want|need|make|of")))
    return Airspeed(knots) if knots is not None and SLOWEST_KT <= knots <= FASTEST_KT else None


_DIGITS_APART = re.compile(r"(?<!\S)[0-7]+(?:(?: ,)? [0-7]+){1,3}(?!\S)")


def squawk(line: Judged) -> Action | None:
    """Set the one code of four digits that is said, also digit by digit."""
    codes = [each for each in _figures(line) if re.fullmatch(r"[0-7]{4}", each)]
    if not codes and (apart := _DIGITS_APART.search(joined(line.line))):
        codes = [each for each in (re.sub(r"\D", "", apart.group()),) if len(each) == 4]
    return Squawk(codes[0]) if len(set(codes)) == 1 else None


def align(line: Judged) -> Action | None:
    """Set the heading indicator to the compass, or the altimeter to a pressure."""
    named, figures = names(line), _figures(line)
    if not figures or ("heading_indicator" in named and "altimeter" not in named):
        return Align("heading_indicator", to="magnetic_compass")
    if len(figures) == 2 and len(figures[0]) == len(figures[1]) == 2:
        figures = ["".join(figures)]   # "29 92"
    if len(figures) != 1:
        return None
    said = float(figures[0])
    if "." in figures[0] or 2500 <= said <= 3200:
        inches = said if said < 100 else said / 100
        return Align("altimeter", inhg=round(inches, 2)) if 25 <= inches <= 32 else None
    return Align("altimeter", hpa=int(said)) if 850 <= said <= 1090 else None


def wait(line: Judged) -> Action | None:
    """Wait for the one length of time that is said."""
    said = durations(joined(line.line))
    return Wait(said[0].seconds) if len(said) == 1 else None


_BY_AMOUNT = re.compile(r"\b(?:by|off)\b")
_POWER: tuple[tuple[Literal["more", "less", "idle", "full"], re.Pattern[str]], ...] = (
    ("full", re.compile(r"\b(?:full|max\w*|firewall|everything|wall|all the way (?:in|forward)|open her up|"
                        r"takeoff)\b")),
    ("idle", re.compile(r"\b(?:idle|closed?|chop|all the way (?:back|out))\b")),
    ("more", re.compile(r"\b(?:more|add|bit of power|increase|goose)\b")),
    ("less", re.compile(r"\b(?:less|back|reduce|ease|off|lower|decrease)\b")),
)


def power(line: Judged) -> Action | None:
    """Set an engine speed, or more, less, idle or full power."""
    text = joined(line.line)
    speeds = [each for each in _figures(line) if re.fullmatch(r"[12]\d{3}", each)]
    if speeds:
        return Power(to_rpm=int(speeds[0])) if len(speeds) == 1 and not _BY_AMOUNT.search(text) else None
    said = [change for change, words in _POWER if words.search(text)]
    return Power(change=said[0]) if len(said) == 1 else None


_PITCH: tuple[tuple[Literal["up", "down", "level"], re.Pattern[str]], ...] = (
    ("up", re.compile(r"\b(?:up|raise|pull|lift|back|higher)\b")),
    ("down", re.compile(r"\b(?:down|lower|push|drop|forward)\b")),
    ("level", re.compile(r"\b(?:level|zero|0|neutral|horizon)\b")),
)


def pitch(line: Judged) -> Action | None:
    """Nose up, down or level."""
    said = [to for to, words in _PITCH if words.search(joined(line.line))]
    degrees = [each for each in _whole(_figures(line)) if 0 < each <= STEEPEST_DEG]
    return Pitch(said[0], degrees[0] if len(degrees) == 1 else None) if len(said) == 1 else None


def flaps(line: Judged) -> Action | None:
    """Flaps to a setting, up, or all the way down."""
    degrees = [each for each in _whole(_figures(line)) if each in FLAP_SETTINGS]
    if degrees:
        return Flaps(degrees[0]) if len(degrees) == 1 else None
    text = joined(line.line)
    if re.search(r"\b(?:up|retract\w*|in|clean)\b", text):
        return Flaps(0)
    return Flaps(FULL_FLAPS_DEG) if re.search(r"\b(?:full|landing|last|all)\b", text) else None


def tune(line: Judged) -> Action | None:
    """Tune the one frequency that is said."""
    found = {each for each in _figures(line) if re.fullmatch(r"1[0-3]\d\.\d{1,3}", each)}
    return Tune(found.pop()) if len(found) == 1 else None


def timer(line: Judged) -> Action | None:
    """Start or stop the timer."""
    return Timer("stop" if re.search(r"\b(?:stop|off|kill|halt|end)\b", joined(line.line)) else "start")


def turn_rate(line: Judged) -> Action | None:
    """Turn at standard or half standard rate from now on."""
    text = joined(line.line)
    if re.search(r"\bhalf\b|\b1\.5\b|\bhalve\b", text):
        return TurnRate("half")
    full = re.search(r"\bstandard\b|\brate (?:1|one)\b|\b3 degrees\b|\bnormal\b", text)
    return TurnRate("standard") if full else None
