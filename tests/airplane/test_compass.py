"""The magnetic compass and its errors."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from drill.airplane import FLOATS, Air, Controls, Faults, World, compass, motion
from drill.airplane.constants import DEG, KNOT, RAD, STEP_S
from drill.airplane.controls import KEEP_TURNING

from .flights import CHECKS, Check, single, wrapped


def tan_dip(check: Check) -> float:
    if "dip_deg" in check.given:
        return math.tan(check.given["dip_deg"] * DEG)
    return World(air=Air(latitude_deg=check.given["latitude_deg"])).tan_dip


# card level with apparent gravity, closed form; signs in FAA-H-8083-15 (UNOS, ANDS)
@pytest.mark.parametrize("row", ["P39", "P40", "P41", "P42", "P43"])
def test_steady_reading_in_a_turn_or_under_acceleration(row: str) -> None:
    check = CHECKS[row]
    reading, _ = compass.steady_rad(FLOATS, check.given["magnetic_heading_deg"] * DEG,
                                    check.given.get("bank_deg", 0.0) * DEG, check.given.get("accel_mps2", 0.0),
                                    tan_dip(check))
    assert check.holds(reading * RAD % 360.0)


def test_roll_out_of_a_compass_turn_to_north_and_south() -> None:   # FAA-H-8083-15, compass turns
    for row, turn_to in (("P44", 0.0), ("P45", 180.0)):
        check = CHECKS[row]
        lead = compass.turn_lead_deg(turn_to, check.given["bank_deg"], check.given["latitude_deg"], right=True)
        assert check.holds(lead)


@pytest.mark.parametrize(("turn_to", "right", "reading"),
                         [(0.0, False, 37.0), (180.0, True, 203.0), (0.0, True, 323.0), (180.0, False, 157.0)])
def test_the_handbooks_example_at_latitude_30(turn_to: float, right: bool, reading: float) -> None:
    # FAA-H-8083-15B ch. 7, from memory: half of a 15-degree bank as lead (7 deg); from east to north 037, to south 203,
    # from west to north 323, to south 157
    assert compass.turn_lead_deg(turn_to, 14.0, 30.0, right) == pytest.approx(reading)


def in_a_turn(heading_deg: float, bank_deg: float, seconds: float = 40.0, latitude: float = 40.0) -> float:
    """The card's error (deg) once it has settled at one heading and bank."""
    world = World(air=Air(latitude_deg=latitude))
    held = replace(motion.level(world, 1500.0, heading_deg * DEG, 100.0 * KNOT, 60.0, 0.0), bank_rad=bank_deg * DEG)
    card = compass.start(heading_deg * DEG)
    for _ in range(round(seconds / STEP_S)):
        card = compass.advance(world, card, held, Faults())
    return float(wrapped(card.card_rad * RAD - heading_deg))


def test_the_card_settles_where_the_closed_form_says() -> None:
    check = CHECKS["P39"]
    assert wrapped(in_a_turn(0.0, check.given["bank_deg"]) - check.expected) == pytest.approx(0.0, abs=0.5)


def test_north_turns_lag_and_south_turns_lead() -> None:   # FAA-H-8083-15B ch. 7
    assert in_a_turn(0.0, 15.0) < -15.0      # right turn through north: shows west of north still
    assert in_a_turn(0.0, -15.0) > 15.0
    assert in_a_turn(180.0, 15.0) > 15.0     # right turn through south: already well past
    assert in_a_turn(180.0, -15.0) < -15.0
    assert abs(in_a_turn(90.0, 15.0)) < 3.0  # none on east and west
    assert abs(in_a_turn(270.0, 15.0)) < 3.0


def test_turning_error_is_about_the_latitude_in_a_standard_turn_flown_through_north() -> None:
    # FAA-H-8083-15B ch. 7: about equal to the latitude; the card swings, so a band of 40 % is allowed
    flight = single(controls=Controls(lateral=KEEP_TURNING, direction=1.0, heading_deg=0.0)).fly(90.0)
    while abs(wrapped(flight.truth.heading_deg)) > 1.0:
        flight.fly(0.1)
    lag = -wrapped(flight.panel.compass_deg - flight.truth.heading_deg)
    assert 0.6 * 40.0 < lag < 1.4 * 40.0


def test_acceleration_on_east_and_west_shows_north_and_deceleration_south() -> None:   # FAA-H-8083-15B ch. 7
    dip = World().tan_dip
    for heading, towards_north in ((90.0, -1.0), (270.0, 1.0)):
        for accel in (1.0, -1.0):
            reading, _ = compass.steady_rad(FLOATS, heading * DEG, 0.0, accel, dip)
            error = float(wrapped(reading * RAD - heading))
            assert error * towards_north * accel > 3.0
    for heading in (0.0, 180.0):
        reading, _ = compass.steady_rad(FLOATS, heading * DEG, 0.0, 1.0, dip)
        assert wrapped(reading * RAD - heading) == pytest.approx(0.0, abs=0.01)


def test_straight_and_steady_the_compass_is_off_by_its_deviation_card_only() -> None:
    flight = single().fly(60.0)
    off = wrapped(flight.panel.compass_deg - flight.truth.heading_deg)
    card = compass.deviation_deg(flight.world, flight.truth.heading_deg * DEG, flight.controls)
    assert off == pytest.approx(card, abs=2.5)   # the hands' small turns swing the card a little


def test_the_landing_light_moves_the_compass() -> None:
    flight = single()
    dark = flight.panel.compass_deg
    flight.controls = Controls(landing_light=1.0)
    assert wrapped(flight.panel.compass_deg - dark) == pytest.approx(3.0)


def test_a_stuck_card_does_not_move_in_a_turn() -> None:
    flight = single(faults=Faults(compass_stuck=1.0), controls=Controls(lateral=KEEP_TURNING, direction=1.0))
    before = flight.state.compass.card_rad
    assert flight.fly(60.0).state.compass.card_rad == before


def test_something_magnetic_by_the_compass_puts_its_reading_off_by_an_angle() -> None:
    flight = single()
    before = flight.panel.compass_deg
    for off in (20.0, -20.0):
        flight.faults = Faults(compass_deviation_deg=off)
        assert wrapped(flight.panel.compass_deg - before) == pytest.approx(off)
