"""How far the airplane strayed from its orders: from when a value was reached, beside the tolerance of the standard.

IR.IV.A.S1 (FAA-S-ACS-8C): altitude 100 ft, heading 10 degrees, airspeed 10 kt, bank 5 degrees in turns.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from drill.airplane.controls import (
    HOLD_AIRSPEED,
    HOLD_ALTITUDE,
    HOLD_HEADING,
    HOLD_PITCH,
    HOLD_RPM,
    KEEP_TURNING,
    TURN_TO_HEADING,
    WINGS_LEVEL,
)
from drill.flight.events import Assigned, Trace
from drill.grading.debrief import Deviation
from drill.grading.deviations import deviations

from .builders import flown

ONE = next(event for event in flown(seconds=1) if isinstance(event, Trace))
Course = Callable[[float], dict[str, float]]
ORDERS = {"vertical": HOLD_ALTITUDE, "altitude_ft": 5000.0, "lateral": HOLD_HEADING, "heading_deg": 240.0,
          "power": HOLD_AIRSPEED, "airspeed_kt": 110.0, "turn_rate_dps": 3.0}
FLOWN = {"altitude_ft": 5000.0, "heading_deg": 240.0, "airspeed_kt": 110.0, "bank_deg": 0.0}


def of(true: Course, orders: Course = lambda t: {}, *, seconds: int = 200, autopilot: Course = lambda t: {},
       assigned: tuple[Assigned, ...] = (), **given: float) -> dict[str, Deviation]:
    traces = [replace(ONE, t=float(t), true={**ONE.true, **FLOWN, **true(t)}, controls={**ORDERS, **orders(t)},
                      shown={**ONE.shown, **autopilot(t)}) for t in range(seconds)]
    return {each.what: each for each in deviations(traces, assigned, **given)}


@pytest.mark.parametrize(("what", "name", "unit", "tolerance"), [
    ("altitude", "altitude_ft", "ft", 100.0), ("heading", "heading_deg", "deg", 10.0),
    ("airspeed", "airspeed_kt", "kt", 10.0),
])
def test_each_value_has_its_tolerance_and_counts_by_the_second_beyond_it(
    what: str, name: str, unit: str, tolerance: float,
) -> None:
    away = {60: tolerance, 61: tolerance + 0.14, 62: -tolerance - 3.06}
    found = of(lambda t: {name: FLOWN[name] + away.get(int(t), 0.0)})[what]
    assert found == Deviation(what, round(tolerance + 3.06, 1), unit, tolerance, 2.0)


@pytest.mark.parametrize(("what", "orders"), [
    ("altitude", {"vertical": HOLD_PITCH}), ("heading", {"lateral": WINGS_LEVEL}), ("airspeed", {"power": HOLD_RPM}),
    ("bank", {"lateral": HOLD_HEADING}),
])
def test_what_was_not_ordered_is_not_strayed_from(what: str, orders: dict[str, float]) -> None:
    assert what not in of(lambda t: {}, lambda t: orders)
    assert {"altitude", "heading", "airspeed"} - {what} <= set(of(lambda t: {}, lambda t: orders))


def test_a_heading_is_counted_the_short_way_round() -> None:
    found = of(lambda t: {"heading_deg": 355.0}, lambda t: {"heading_deg": 4.0})["heading"]
    assert (found.worst, found.beyond_s) == (9.0, 0.0)


def test_a_new_order_counts_from_when_it_was_first_reached() -> None:
    climbing = of(lambda t: {"altitude_ft": 5000.0 + max(0.0, min(1000.0, (t - 50.0) * 10.0))},
                  lambda t: {"altitude_ft": 5000.0 if t < 50 else 6000.0})["altitude"]
    assert (climbing.worst, climbing.beyond_s) == (100.0, 0.0)
    after = of(lambda t: {"altitude_ft": 6000.0 if t == 60 else 5000.0},
               lambda t: {"altitude_ft": 5000.0 if t < 50 else 6000.0}, seconds=100)["altitude"]
    assert (after.worst, after.beyond_s) == (1000.0, 39.0)
    never = of(lambda t: {"altitude_ft": 4000.0})
    assert "altitude" not in never


def test_the_speed_of_a_climb_or_descent_is_its_own_until_it_is_beyond_the_green_arc() -> None:
    def slower(t: float) -> dict[str, float]:
        return {"altitude_ft": 5000.0 + max(0.0, min(1000.0, (t - 50.0) * 10.0)),
                "airspeed_kt": 80.0 if 60 <= t < 140 else 110.0}

    def climb(t: float) -> dict[str, float]:
        return {"altitude_ft": 5000.0 if t < 50 else 6000.0}

    assert of(slower, climb)["airspeed"].worst == 0.0
    assert of(slower, lambda t: {})["airspeed"].beyond_s == 80.0
    fast = of(lambda t: {**slower(t), "airspeed_kt": 150.0 if 60 <= t < 140 else 110.0}, climb, cruise_most_kt=140.0)
    assert (fast["airspeed"].worst, fast["airspeed"].beyond_s) == (40.0, 80.0)


def test_on_the_ramp_nothing_is_strayed_from() -> None:
    assert of(lambda t: {"parked": 1.0, "altitude_ft": 5000.0 + t}) == {}
    moving = of(lambda t: {"parked": float(t < 100), "altitude_ft": 5000.0 + (300.0 if t < 100 else 0.0)})
    assert moving["altitude"].worst == 0.0


@pytest.mark.parametrize(("off", "side", "beyond_s"), [(0.0, 1, 0.0), (4.0, 1, 0.0), (-4.0, -1, 0.0),
                                                       (8.0, -1, 199.0)])
def test_in_a_turn_the_bank_is_set_against_that_of_the_ordered_rate(off: float, side: int, beyond_s: float) -> None:
    # tan(bank) = rate x true airspeed / g: a standard-rate turn at 110 kt, in standard air at 5,000 ft 7.7 % faster
    wanted = math.degrees(math.atan(math.radians(3.0) * 110.0 * 0.514444 * 1.0772 / 9.80665))
    found = of(lambda t: {"bank_deg": side * (wanted + off if t else wanted)}, lambda t: {"lateral": KEEP_TURNING})
    assert found["bank"].worst == pytest.approx(abs(off), abs=0.3)
    assert (found["bank"].unit, found["bank"].tolerance, found["bank"].beyond_s) == ("deg", 5.0, beyond_s)


def test_a_turn_to_a_heading_has_a_bank_to_be_kept_until_it_is_being_ended() -> None:
    def turning(t: float) -> dict[str, float]:
        return {"heading_deg": min(240.0, 140.0 + t), "bank_deg": 17.5 if t < 85 else 0.0}

    found = of(turning, lambda t: {"lateral": TURN_TO_HEADING})
    assert found["bank"].beyond_s == 0.0
    late = of(lambda t: {**turning(t), "bank_deg": 17.5 if t < 80 else 0.0}, lambda t: {"lateral": TURN_TO_HEADING})
    assert late["bank"].beyond_s == 5.0      # at 15 degrees to go the turn is being ended


LEVEL = {"lateral": WINGS_LEVEL}
STRAIGHT = "heading, wings ordered level"


def test_wings_ordered_level_are_to_hold_the_heading_of_a_minute_before() -> None:
    assert STRAIGHT not in of(lambda t: {})
    drifting = of(lambda t: {"heading_deg": 240.0 + t / 10.0}, lambda t: LEVEL)[STRAIGHT]
    assert (drifting.worst, drifting.unit, drifting.tolerance, drifting.beyond_s) == (6.0, "deg", 10.0, 0.0)
    turning = of(lambda t: {"heading_deg": (350.0 + t / 5.0) % 360.0}, lambda t: LEVEL)[STRAIGHT]
    assert turning.worst == 12.0
    assert turning.beyond_s == 200.0 - 15.0 - 51.0     # from when a minute's turn is more than ten degrees


@pytest.mark.parametrize(("seconds", "told"), [(15, False), (16, True)])
def test_the_wings_have_a_quarter_of_a_minute_to_come_level(seconds: int, told: bool) -> None:
    assert (STRAIGHT in of(lambda t: {}, lambda t: LEVEL, seconds=seconds)) is told


def test_another_order_or_the_autopilot_begins_the_minute_anew() -> None:
    def turn(t: float) -> dict[str, float]:
        return {"heading_deg": 240.0 if t < 100 else 300.0}

    assert of(turn, lambda t: {"lateral": HOLD_HEADING} if t == 100 else LEVEL)[STRAIGHT].worst == 0.0
    assert of(turn, lambda t: LEVEL, autopilot=lambda t: {"autopilot_on": float(t == 100)})[STRAIGHT].worst == 0.0
    assert of(turn, lambda t: LEVEL)[STRAIGHT].worst == 60.0


BY_ATC = " assigned by ATC"


def assigned(t: float, heading: float | None = 240.0, altitude: float | None = 5000.0,
             approach: str | None = None) -> Assigned:
    return Assigned(t, heading, altitude, approach)


def test_what_atc_assigned_counts_whatever_was_ordered_after_ninety_seconds_at_the_latest() -> None:
    # 90 s: the author's choice
    found = of(lambda t: {}, assigned=(assigned(0.0), assigned(50.0, 300.0, 7000.0)))
    assert found[f"altitude{BY_ATC}"] == Deviation(f"altitude{BY_ATC}", 2000.0, "ft", 100.0, 60.0)
    assert found[f"heading{BY_ATC}"] == Deviation(f"heading{BY_ATC}", 60.0, "deg", 10.0, 60.0)


def test_who_climbs_by_an_order_to_the_assigned_altitude_is_on_the_way_until_it_was_reached() -> None:
    def climb(t: float) -> dict[str, float]:
        return {"altitude_ft": min(6950.0, 5000.0 + max(0.0, t - 60.0) * 13.0) if t < 230 else 6700.0}

    orders = (assigned(0.0), assigned(50.0, 240.0, 7000.0))
    found = of(climb, lambda t: {"altitude_ft": 5000.0 if t < 60 else 6950.0}, assigned=orders, seconds=240)
    assert (found[f"altitude{BY_ATC}"].worst, found[f"altitude{BY_ATC}"].beyond_s) == (300.0, 10.0)


@pytest.mark.parametrize("ones", [
    (), (assigned(0.0, None, None),), (assigned(0.0, math.nan, math.inf),), (assigned(500.0),),
])
def test_what_atc_did_not_assign_is_not_strayed_from(ones: tuple[Assigned, ...]) -> None:
    assert not [what for what in of(lambda t: {}, assigned=ones) if what.endswith(BY_ATC)]


def test_on_an_approach_the_heading_is_no_longer_the_one_assigned() -> None:
    found = of(lambda t: {}, assigned=(assigned(0.0, 100.0, 5000.0, "ILS 24"),))
    assert f"heading{BY_ATC}" not in found
    assert f"altitude{BY_ATC}" in found


def test_from_when_headings_and_altitudes_are_the_pilots_nothing_assigned_counts() -> None:
    found = of(lambda t: {"altitude_ft": 5000.0 if t < 100 else 6000.0}, assigned=(assigned(0.0),), free_s=100.0)
    assert found[f"altitude{BY_ATC}"].worst == 0.0
    assert found["altitude"].beyond_s == 100.0
