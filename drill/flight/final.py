"""The way to a final approach course: the leg that the airplane is on, and the track that it is to make good on it.

An airplane from behind the runway's other end is led out beside the extended centreline (downwind), towards it (base),
on to it at thirty degrees at most (intercept), and down it (final); one from before it begins with a later leg
(AIM 5-4-11; FAA JO 7110.65 5-9-1 and 5-9-2, by memory). Distances are nautical miles, before the runway and beside its
centreline (right, looking along the landing, is positive).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.weather import field_position
from drill.scenario.model import Field

Leg: TypeAlias = Literal["", "downwind", "base", "intercept", "final"]

GATE_NM = 7.0                             # where final begins, five to eight miles out
INTERCEPT_DEG, BASE_DEG = 30.0, 90.0
_DOWNWIND_NM = (9.2, 3.0)                 # before and beside: what is flown to on each leg (the author's choice)
_BASE_NM = (8.4, 1.2)
_BASE_BEGINS_NM, _BASE_ENDS_NM = 8.2, 1.8   # before; beside, with room for the turn at standard rate
_JOINS_NM = 0.1                           # beside the centreline: on it
_AHEAD_NM, _NO_END_NM, _CLOSING = 3.0, 1e6, 0.2
_LEAST_FINAL_NM, _ALIGNED_DEG = 4.5, 30.0
_LATEST_GATE_NM = 5.5
_ASTRAY_NM = 6.5                          # nearer than this on a base leg, or beside on an intercept: out again
_WIDE_NM, _LOST_NM = 1.0, 2.5             # beside the course: near the runway, and anywhere
_MOST_CUT_DEG, _CUT_A_DEGREE = 20.0, 2.0


@dataclass(frozen=True, slots=True)
class Spot:
    """Where an airplane is to a final approach course; `off_deg`: its track beside the course, right positive."""

    before_nm: float
    beside_nm: float
    off_deg: float

    @property
    def angle_deg(self) -> float:
        """How far beside the course the airplane is, in degrees as seen from the runway; right positive."""
        return math.degrees(math.atan2(self.beside_nm, max(0.05, self.before_nm)))


def final_course_deg(field: Field, bearing: float) -> float:
    """Return the final approach course (deg) at a field: the runway's; where none is known, straight there."""
    return float(field.runway_deg) if field.runway_deg is not None else float(round(bearing / 5.0) * 5 % 360)


def spot_of(field: Field, course_deg: float, north_nm: float, east_nm: float, track_deg: float) -> Spot:
    """Return where an airplane is to the final approach course of a field."""
    north, east = field_position(field)
    angle = math.radians(course_deg)
    to_north, to_east = north - north_nm, east - east_nm
    return Spot(to_north * math.cos(angle) + to_east * math.sin(angle),
                to_north * math.sin(angle) - to_east * math.cos(angle),
                float(wrap_deg(FLOATS, track_deg - course_deg)))


def leg_at(leg: Leg, side: float, spot: Spot) -> tuple[Leg, float]:
    """Return the leg that is flown now and the side (1 right, -1 left of the centreline) on which."""
    if leg == "" or _astray(leg, spot):
        leg, side = _first(spot), math.copysign(1.0, spot.beside_nm)
    if leg == "downwind" and spot.before_nm >= _BASE_BEGINS_NM:
        leg = "base"
    if leg == "base" and spot.beside_nm * side <= _BASE_ENDS_NM:
        leg = "intercept"
    if leg == "intercept" and spot.beside_nm * side <= _JOINS_NM + 0.3 * max(
            0.0, math.sin(math.radians(-side * spot.off_deg))):
        leg = "final"
    return leg, side


def _first(spot: Spot) -> Leg:
    wide_nm = abs(spot.beside_nm)
    if spot.before_nm >= _LEAST_FINAL_NM and wide_nm <= 0.15 + 0.05 * spot.before_nm and (
            abs(spot.off_deg) <= _ALIGNED_DEG):
        return "final" if spot.before_nm < GATE_NM else "intercept"
    if wide_nm <= (spot.before_nm - _LATEST_GATE_NM) * math.tan(math.radians(INTERCEPT_DEG)):
        return "intercept"
    return "base" if spot.before_nm >= _BASE_BEGINS_NM else "downwind"


def _astray(leg: Leg, spot: Spot) -> bool:
    """Say whether a leg cannot be finished from here."""
    if leg == "base":
        return spot.before_nm < _ASTRAY_NM
    if leg == "final" and abs(spot.beside_nm) > _LOST_NM:
        return True
    return leg in ("intercept", "final") and abs(spot.beside_nm) > _WIDE_NM and (
        spot.before_nm < _LATEST_GATE_NM - 1.0)


def leg_track_deg(leg: Leg, side: float, spot: Spot, course_deg: float) -> float:
    """Return the track (deg) to be made good on a leg from here."""
    match leg:
        case "downwind":                  # towards a point well ahead: near a fixed one its bearing would swing
            before, beside = max(_DOWNWIND_NM[0], spot.before_nm + _AHEAD_NM), _DOWNWIND_NM[1]
            most = 180.0
        case "base":
            before, beside = _BASE_NM[0], min(_BASE_NM[1], spot.beside_nm * side - _AHEAD_NM)
            most = BASE_DEG
        case "intercept":
            before, beside = min(GATE_NM, spot.before_nm - 0.5), 0.0
            most = INTERCEPT_DEG
        case _:
            return wanted_track_deg(course_deg, course_deg - spot.angle_deg)
    angle = math.degrees(math.atan2(beside * side - spot.beside_nm, spot.before_nm - before))
    return (course_deg + max(-most, min(most, angle))) % 360.0


def leg_left_nm(leg: Leg, side: float, spot: Spot) -> float:
    """Return how far it is along the track to the end of a leg before final (nautical miles); else very far."""
    off = math.radians(spot.off_deg)
    match leg:
        case "downwind":
            left, closing = _BASE_BEGINS_NM - spot.before_nm, -math.cos(off)
        case "base":
            left, closing = spot.beside_nm * side - _BASE_ENDS_NM, -side * math.sin(off)
        case "intercept":
            left, closing = spot.beside_nm * side - _JOINS_NM, -side * math.sin(off)
        case _:
            return _NO_END_NM
    return left / closing if closing > _CLOSING else _NO_END_NM


def wanted_track_deg(course_deg: float, bearing: float) -> float:
    """Return the track (deg) that leads back to a course, seen from where the field has `bearing`."""
    off = float(wrap_deg(FLOATS, bearing - course_deg))   # right of it: the airplane is left of the course
    return (course_deg + max(-_MOST_CUT_DEG, min(_MOST_CUT_DEG, _CUT_A_DEGREE * off))) % 360.0


def miss_nm(spot: Spot) -> float:
    """Return how far beside the runway (nautical miles, right positive) the present track leads past it."""
    return spot.beside_nm + spot.before_nm * math.tan(math.radians(max(-60.0, min(60.0, spot.off_deg))))
