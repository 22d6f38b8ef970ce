"""Orders about power, pitch and flaps, to turn by an instrument, and to go around.

Engine speed in rpm, pitch and flaps in degrees.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Literal

from drill.language.instruments import trusted
from drill.language.maneuvers import turn
from drill.language.meaning import Action, Flaps, FlyBy, GoAround, Pitch, Power, TurnRate, Unclear
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled, laid_out

_TURN_BY = compiled(r"""
    ^(?:turn|come|bank|roll|left|right)\b.*?(?P<by> (?:by|using|with|on|per)(?: (?:only|just|reference to|the|my|
    our))* <(?P<what>\w+)>)(?: (?:alone|only|please))*$""")


def turn_by(order: Order) -> list[Action] | None:
    """Turn by an instrument, which is first trusted: "turn left 240 using the turn coordinator"."""
    text = without_opening(order.text)
    match = _TURN_BY.match(text)
    if match is None or match["what"] not in trusted(order):
        return None
    turned = turn(replace(order, text=text[:match.start("by")]))
    return turned and [FlyBy(match["what"]), *turned]


def power(order: Order) -> list[Action] | None:
    """Set engine speed, or more, less, idle or full power."""
    text = without_opening(order.text)
    if re.match(r"^power (?:up|down|on|off) (?:the |my )?<", text):
        return None   # a switch
    if not re.search(r"\b(?:power|throttle|rpm|revs|gas it|idle)\b|<tachometer>", text) or re.match(
        r"^(?:look|check|what|read|is|how)\b", text):
        return None
    if match := re.search(r"\b([12]\d{3})\b", text):
        return [Power(to_rpm=int(match.group(1)))]
    for change, pattern in _POWER:
        if pattern.search(text):
            return [Power(change=change)]
    return None


_POWER: tuple[tuple[Literal["more", "less", "idle", "full"], re.Pattern[str]], ...] = (
    ("idle", compiled(r"""
        \b(?:idle|power off|(?:pull|chop|yank) (?:the )?(?:power|throttle)(?! up)|
        cut (?:the )?(?:power|throttle)|throttle (?:closed|off)|close (?:the )?throttle|
        chop)\b""")),
    ("full", re.compile(r"\b(?:full|max\w*|takeoff|firewall|all the way in|wide open|go around power)\b")),
    ("less", re.compile(r"\b(?:less|reduce|back|down|lower|decrease|pull|ease|retard|bring)\b")),
    ("more", re.compile(r"\b(?:more|add|increase|up|raise|push|advance|some|forward|give)\b")),
)


_SOMEWHAT = laid_out(r"""
    (?:(?:a (?:bit|little|touch|tad|hair|smidge)|slightly|some|somewhat|just|right|more|further|gently|easy|please|
    now|then|there|for me|,) ?)*""")
_SPEED = laid_out(r"""
    (?:(?:the|our|my|some|a (?:bit|little)(?: (?:of|more))?|more|off|any) )*(?:speed|<airspeed_indicator>|knots)""")
_PACE: tuple[tuple[Literal["more", "less"], re.Pattern[str]], ...] = (
    ("less", compiled(rf"""
        ^{_SOMEWHAT}(?:slow(?: (?:it|her|us|the airplane|things))? ?{_SOMEWHAT}(?:down|up)|
        (?:(?:go|fly|get|be|make it) )?{_SOMEWHAT}slower|decelerate|
        (?:reduce|lose|bleed(?: off)?|decrease|shed|back off|lower|take off|less) {_SPEED})(?!\w) ?{_SOMEWHAT}$""")),
    ("more", compiled(rf"""
        ^{_SOMEWHAT}(?:speed(?: (?:it|her|us|the airplane|things))? ?{_SOMEWHAT}up|
        (?:(?:go|fly|get|be|make it) )?{_SOMEWHAT}faster|accelerate|
        (?:gain|increase|pick up|get|build(?: up)?|add|put on|raise|more) {_SPEED})(?!\w) ?{_SOMEWHAT}$""")),
)
"""Slower and faster without a figure: at an altitude that is held, power is what does it."""


_BARE_PACE = re.compile(r"^(?:(?:a (?:bit|little|touch|tad)|slightly|somewhat) )?(?:slower|faster)\b")


def pace(order: Order) -> list[Action] | None:
    """Fly slower or faster, by no figure: less or more power."""
    text = without_opening(order.text)
    if _BARE_PACE.match(text) and " ".join(order.typed.lower().split()).strip(" .,!?") not in (text, order.text):
        return None   # "turn left, slower" may be said of the turn
    for change, pattern in _PACE:
        if pattern.match(text):
            return [Power(change=change)]
    return None


_GENTLY = compiled(rf"""
    ^(?:(?:go |take it |nice and |be )?(?:easy|gentle|gently|careful|softly|light|steady) (?:on|with) (?:(?:the|that|
    your|my|those) )?(?:bank\w*|turns?|turning|roll)|less bank|bank less|lower bank|
    (?:a )?(?:shallower|gentler|slower)(?: (?:bank|turns?))?|
    shallow(?: (?:out|up))? (?:the |that |my |your )?(?:bank|turns?)(?: only)?|
    (?:keep|make) (?:the |your |my |our )?(?:bank|turns?|it) (?:shallow|shallower|gentle|gentler|small|smaller)|
    (?:ease|reduce|lessen|decrease|back off|ease off|ease up|ease up on|ease off on|take off some)(?: of)?
    [ ](?:the |that |my |some )?(?:bank(?: angle)?|turn(?: rate)?|rate of turn)|
    turn (?:slower|more (?:gently|slowly|gentle)|less steeply)|gentle turns(?: only)?|
    (?:slow|slower) (?:down )?the turn) ?{_SOMEWHAT}$""")


def gently(order: Order) -> list[Action] | None:
    """Bank less: half of standard rate from now on."""
    return [TurnRate("half")] if any(map(_GENTLY.match, (order.text, without_opening(order.text)))) else None


_PULLS = compiled(r"""
    ^(?:pull (?:up|back)|push (?:over|forward))(?:(?: ,)? (?:pull (?:up|back)|push (?:over|forward)|now|hard|gently|
    a bit|a little|please|slowly))*$""")


_BARE_PITCH = compiled(r"(\d{1,2}) degrees?(?: nose)? (?:up|down)")
_BY_THE_CARD = compiled(r"""
    (?:fly|set|use|go to|go)(?: by| on| using| with)?(?: the| known| our| my)? (?:pitch and power|power and pitch)
    (?: settings?)?(?: from the card| off the card)?""")
ASK_FIGURES = "Say the power and the pitch, for example: 2400 rpm and nose level."


def by_the_card(order: Order) -> list[Action] | None:
    """Ask for the figures of "fly pitch and power", where none are said."""
    return [Unclear(ASK_FIGURES)] if _BY_THE_CARD.fullmatch(without_opening(order.text).strip(" ,")) else None


def pitch(order: Order) -> list[Action] | None:
    """Nose up, down or level."""
    text = without_opening(order.text)
    if _PULLS.match(text):
        return [Pitch("up" if text.startswith("pull") else "down")]
    if bare := _BARE_PITCH.fullmatch(text):
        return [Pitch("up" if "up" in text.split() else "down", int(bare[1]))]
    if not re.search(r"\b(?:nose|pitch)\b(?!.* <outside>)", text) or ("pitch attitude" in text and re.match(
        r"^(?:check|look)", text)):
        return None
    by = re.search(r"\b(\d{1,2}) degrees?\b|\b(?:up|down|by|at) (\d{1,2})$|\b(\d{1,2})(?: nose)? (?:up|down)\b", text)
    amount = int(next(each for each in by.groups() if each)) if by else None
    if re.search(r"\b(?:down|lower|push|drop|forward|under)\b", text):
        return [Pitch("down", amount)]
    if re.search(r"\b(?:up|raise|pull|lift|back)\b", text):
        return [Pitch("up", amount)]
    if re.search(r"\b(?:level|on the horizon|neutral)\b|<attitude_indicator>", text):
        return [Pitch("level", amount)]
    return None


FULL_FLAPS_DEG = 30


MOST_FLAPS_DEG = 60
"""A larger figure is something else's: "slow to 90, full flaps"."""


def flaps(order: Order) -> list[Action] | None:
    """Flaps to a setting in degrees; a notch is ten."""
    text = order.text
    if not re.search(r"\bflaps?\b", text):
        return None
    if (match := re.search(r"\b(\d{1,2})\b(?! (?:notch|knots))", text)) and int(match.group(1)) <= MOST_FLAPS_DEG:
        return [Flaps(int(match.group(1)))]
    for pattern, degrees in ((r"\b(?:up|retract|raise|clean|0|in)\b", 0), (
        r"\b(?:full|all the way|all)\b", FULL_FLAPS_DEG), (r"\b(?:1 notch|a notch|first notch|half|approach)\b", 10)):
        if re.search(pattern, text):
            return [Flaps(degrees)]
    return None


_GOES_AROUND = compiled(r"""
    ^(?:go(?:ing)? around|fly the missed|go(?:ing)? missed|execute (?:the )?(?:missed|go around)|
    missed approach|toga|abandon the approach|break off the approach|discontinue the approach)\b""")


def go_around(order: Order) -> list[Action] | None:
    """Go around, or fly the missed approach."""
    text = without_opening(order.text)
    return [GoAround()] if _GOES_AROUND.match(text) else None
