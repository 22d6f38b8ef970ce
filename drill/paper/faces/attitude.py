"""The attitude indicator and its standby: sky and earth behind an airplane that stays. The earth has lines of its own,
so that it is told from the sky without color.
"""

from __future__ import annotations

from markupsafe import Markup

from drill.airplane.airframe import Airframe
from drill.airplane.dials import BANK_MARKS_DEG, pitch_marks
from drill.paper.faces.round_dials import MIDDLE, RIM, Shown
from drill.paper.svg import circle, element, group, line, path, ray, rectangle, short, words

HORIZON = "horizon"
ROUND, SQUARE = "case-round", "case-square"
EARTH = "earth-lines"
UNITS_A_DEGREE = 1.5
_MOST_UNITS = 34.0       # the horizon stays in sight, as on the real face
_WIDE = 160.0


def horizon_parts() -> Markup:
    """Return what is defined once a page: sky and earth with their ladder, the lines of the earth, the two cases."""
    ladder = []
    for degrees, long in pitch_marks(-30, 30):
        y, half = 50 - degrees * UNITS_A_DEGREE, 11 if long else 6
        ladder.append(line(50 - half, y, 50 + half, y, "f-ladder"))
        if long:
            ladder += [words(50 + side * (half + 5), y + 2.2, str(abs(degrees)), "f-small") for side in (-1, 1)]
    pattern = element("pattern", element("path", d="M0 6L6 0", class_="f-earth-line"), id=EARTH, width=6, height=6,
                      patternUnits="userSpaceOnUse")
    return group(
        pattern, element("clipPath", circle(*MIDDLE, RIM - 1, "f-clip"), id=ROUND),
        element("clipPath", rectangle(2, 12, 96, 76, "f-clip", 4), id=SQUARE),
        group(rectangle(50 - _WIDE, 50 - _WIDE, 2 * _WIDE, _WIDE, "f-sky"),
              rectangle(50 - _WIDE, 50, 2 * _WIDE, _WIDE, "f-earth"),
              rectangle(50 - _WIDE, 50, 2 * _WIDE, _WIDE, "f-earth-lines", fill=f"url(#{EARTH})"),
              line(50 - _WIDE, 50, 50 + _WIDE, 50, "f-horizon"), *ladder, id=HORIZON))


def attitude_ground(_airframe: Airframe) -> Markup:
    """Return the case of the attitude indicator; what moves lies above it."""
    return circle(*MIDDLE, RIM, "f-dial")


def attitude(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the attitude indicator as it stands."""
    bank, pitch = shown["bank_deg"], shown["pitch_deg"]
    marks = [ray(MIDDLE, 47 - (8 if mark in (0, 30, 60) else 5), 47, mark * side, "f-bank")
             for mark in (0, *BANK_MARKS_DEG) for side in ((-1, 1) if mark else (1,))]
    pointer = group(path("M50 12L45.5 20L54.5 20Z", "f-body"), transform=f"rotate({short(-bank)} 50 50)")
    return group(_behind(bank, pitch, ROUND), *marks, pointer, _airplane(), circle(*MIDDLE, RIM, "f-rim"))


def standby_ground(_airframe: Airframe) -> Markup:
    """Return the case of the standby attitude indicator."""
    return group(rectangle(0, 10, 100, 80, "f-dial", 5), words(50, 98, "STANDBY", "f-note"))


def standby(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the standby attitude indicator as it stands: crossed out or in its test it shows no attitude."""
    if shown["standby_testing"] > 0.5:
        return words(50, 54, "SELF-TEST", "f-value")
    if shown["standby_flag"] > 0.5:
        return group(line(6, 15, 94, 85, "f-red"), line(94, 15, 6, 85, "f-red"),
                     words(50, 32, "NO ATTITUDE", "f-value"))
    return group(_behind(shown["standby_bank_deg"], shown["standby_pitch_deg"], SQUARE), _airplane())


def _behind(bank: float, pitch: float, case: str) -> Markup:
    down = min(max(pitch * UNITS_A_DEGREE, -_MOST_UNITS), _MOST_UNITS)
    moved = element("use", href=f"#{HORIZON}", transform=f"rotate({short(-bank)} 50 50) translate(0 {short(down)})")
    return group(moved, clip_path=f"url(#{case})")


def _airplane() -> Markup:
    return group(line(22, 50, 40, 50, "f-wings"), line(60, 50, 78, 50, "f-wings"), line(40, 50, 40, 54, "f-wings"),
                 line(60, 50, 60, 54, "f-wings"), circle(50, 50, 2, "f-body"))
