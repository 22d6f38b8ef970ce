"""What is printed on the instruments' faces: marks, arcs and bands. Every face draws or speaks the same ones."""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.airframe import Airframe

BANK_MARKS_DEG = (10, 20, 30, 45, 60)
"""Bank marks of the attitude indicator, on either side of the top (common practice, no source)."""

PITCH_MARK_LONG_DEG = 10
PITCH_MARK_SHORT_DEG = 5
"""Pitch marks of the attitude indicator: long ones each ten degrees, short between (common practice, no source)."""

STANDARD_RATE_DPS = 3.0
"""The turn coordinator's mark, a full circle in two minutes (AC 91-75 section 4)."""

SUCTION_GREEN_INHG = (4.5, 5.5)
"""The suction gauge's green band (FAA-H-8083-15B, from memory; the airplane's handbook prevails)."""


@dataclass(frozen=True, slots=True)
class Arc:
    """A coloured arc of the airspeed indicator, knots; `low` equals `high` for the red line."""

    colour: str
    low: float
    high: float


def airspeed_arcs(airframe: Airframe) -> tuple[Arc, ...]:
    """Return the arcs of `airframe`: white Vs0 to Vfe, green Vs to Vno, yellow Vno to Vne, red line Vne.

    14 CFR 23.1545, text before 2017; the white arc is its (b)(4).
    """
    return (
        Arc("white", airframe.stall_landing_kt, airframe.flaps_most_kt),
        Arc("green", airframe.stall_kt, airframe.cruise_most_kt),
        Arc("yellow", airframe.cruise_most_kt, airframe.never_exceed_kt),
        Arc("red", airframe.never_exceed_kt, airframe.never_exceed_kt),
    )


def rpm_green(airframe: Airframe) -> tuple[float, float]:
    """Return the ends of the tachometer's green arc; at the upper one stands the red line.

    14 CFR 23.1549, text before 2017: a red radial line at each maximum safe operating limit, a green arc for the normal
    operating range.
    """
    return airframe.rpm_green_low, airframe.rpm_redline


def pitch_marks(low_deg: int, high_deg: int) -> tuple[tuple[int, bool], ...]:
    """Return the pitch marks from `low_deg` to `high_deg` as (degrees, is it long), without the horizon."""
    first = -(-low_deg // PITCH_MARK_SHORT_DEG) * PITCH_MARK_SHORT_DEG
    return tuple(
        (mark, mark % PITCH_MARK_LONG_DEG == 0) for mark in range(first, high_deg + 1, PITCH_MARK_SHORT_DEG) if mark
    )


def by_the_marks(bank_deg: float) -> str:
    """Say where the pointer stands among the bank marks, in words; empty near the top of the scale."""
    size = abs(bank_deg)
    if size < BANK_MARKS_DEG[0] / 2:
        return ""
    for mark in BANK_MARKS_DEG:
        if abs(size - mark) <= 2.5:
            return f"at the {mark} mark"
    below = [mark for mark in BANK_MARKS_DEG if mark < size]
    above = [mark for mark in BANK_MARKS_DEG if mark > size]
    if not below:
        return f"short of the {above[0]} mark"
    if not above:
        return f"past the {below[-1]} mark"
    return f"between the {below[-1]} and {above[0]} marks"
