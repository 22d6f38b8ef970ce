"""The hands: accurate when healthy, deceived by what deceives them, obedient to orders."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.airplane import FLOATS, Air, Airframe, Controls, Faults, Start, State, step
from drill.airplane.constants import STEP_S
from drill.airplane.controls import (
    BY_COMPASS,
    BY_GPS_TRACK,
    BY_HORIZON,
    BY_PRESSURE,
    BY_TURN,
    HOLD_PITCH,
    HOLD_THROTTLE,
    KEEP_TURNING,
    RECOVER,
    TURN_TO_HEADING,
    WINGS_LEVEL,
)
from drill.airplane.hands import turn_bank_deg

from .flights import flown, healthy, single, wrapped

PARTIAL = Controls(bank_by=BY_TURN, heading_by=BY_COMPASS, pitch_by=BY_PRESSURE)
FULL = Controls()


def test_a_flight_begins_without_a_jolt() -> None:
    for orders in (FULL, PARTIAL):
        flight = flown(60.0, seeds=40, air=Air(), orders=lambda t, orders=orders: orders)
        assert abs(flight.true("altitude_ft") - 5000.0).max() < 30.0
        assert abs(flight.true("airspeed_kt") - 110.0).max() < 3.0
        assert abs(wrapped(flight.true("heading_deg"))).max() < (3.5 if orders is FULL else 8.0)


def test_healthy_hands_hold_the_practical_tests_tolerances() -> None:   # 100 ft, 10 deg, 10 kt: ACS IR.IV.A.S1
    flight = healthy()
    altitude = abs(flight.true("altitude_ft") - 5000.0)
    heading = abs(wrapped(flight.true("heading_deg")))
    airspeed = abs(flight.shown("airspeed_kt") - 110.0)
    assert np.percentile(altitude.max(axis=0), 95) < 100.0
    assert np.percentile(heading.max(axis=0), 95) < 10.0
    assert np.mean(airspeed < 10.0) > 0.99


@pytest.mark.parametrize("orders", [FULL, PARTIAL], ids=["full panel", "partial panel"])
@pytest.mark.parametrize("climb", [1, -1], ids=["climb", "descent"])
def test_three_thousand_feet_up_or_down(orders: Controls, climb: int) -> None:
    low, high = 5000.0, 8000.0
    begins, ends = (low, high) if climb > 0 else (high, low)
    going = replace(orders, altitude_ft=ends)
    flight = flown(660.0 if climb > 0 else 480.0, seeds=3, orders=lambda t: going, start=Start(altitude_ft=begins),
                   every_s=2.0)
    altitude, airspeed = flight.true("altitude_ft"), flight.true("airspeed_kt")
    assert not flight.lost.any()
    assert abs(altitude[-30:] - ends).max() < 200.0
    assert airspeed.min() > 1.3 * Airframe().stall_kt
    assert airspeed.max() < Airframe().cruise_most_kt + 5.0
    assert ((altitude - ends) * climb).max() < 250.0


@given(to=st.integers(0, 359), way=st.sampled_from([-1.0, 0.0, 1.0]), partial=st.booleans())
@settings(max_examples=12, deadline=None)
def test_a_turn_goes_the_ordered_way_to_any_heading(to: int, way: float, partial: bool) -> None:
    orders = replace(PARTIAL if partial else FULL, lateral=TURN_TO_HEADING, heading_deg=float(to), direction=way)
    flight = single(seed=to, air=Air(turbulence="light"), controls=orders)
    turned, before, least, most = 0.0, flight.truth.heading_deg, 0.0, 0.0
    for _ in range(230):
        flight.fly(1.0)
        turned += float(wrapped(flight.truth.heading_deg - before))
        before = flight.truth.heading_deg
        least, most = min(least, turned), max(most, turned)
    assert abs(wrapped(flight.truth.heading_deg - to)) < (20.0 if partial else 6.0)
    assert abs(flight.truth.altitude_ft - 5000.0) < 200.0
    asked = to * 1.0 if way > 0 else to - 360.0 if way < 0 else float(wrapped(to))
    if 12 < to < 348 and abs(abs(asked) - 180.0) > 15:
        assert turned == pytest.approx(asked, abs=22.0)
        assert least > min(asked, 0.0) - 25.0
        assert most < max(asked, 0.0) + 25.0


def test_the_roll_out_begins_half_the_bank_before_the_heading() -> None:
    # lead half the bank (common practice): 20 deg of bank, left turn to 270, begins at 280
    low, high = 1.0, 6.0
    for _ in range(40):
        rate = (low + high) / 2.0
        low, high = (rate, high) if turn_bank_deg(FLOATS, rate, 110.0, 5000.0) < 20.0 else (low, rate)
    begins = []
    for seed in range(12):
        flight = single(seed=seed, controls=Controls(lateral=TURN_TO_HEADING, direction=-1.0, heading_deg=270.0,
                                                     turn_rate_dps=rate)).fly(15.0)
        assert flight.truth.bank_deg == pytest.approx(-20.0, abs=3.0)
        heading = flight.panel.heading_deg
        while flight.truth.bank_deg < -17.0:
            if flight.state.hands.roll_dps < 1.5:
                heading = flight.panel.heading_deg
            flight.fly(STEP_S)
        begins.append(heading)
    assert np.mean(begins) == pytest.approx(280.0, abs=4.0)


def test_a_standard_rate_turn_is_flown_at_three_degrees_a_second_on_its_radius() -> None:
    turning = replace(PARTIAL, lateral=KEEP_TURNING, direction=1.0)
    flight = flown(150.0, seeds=5, air=Air(), orders=lambda t: turning)
    rate = flight.true("turn_rate_dps")[30:150]
    assert np.mean(rate) == pytest.approx(3.0, abs=0.3)   # the needle itself reads cos(bank) of it
    # closed form: radius V/omega, at 118 KTAS 3 deg/s 3,800 ft; the circle's north-south width over one full turn
    width_ft = np.ptp(flight.true("north_nm")[30:150], axis=0) * 6076.12
    tas = flight.true("true_airspeed_kt")[30:150].mean() * 0.514444 / 0.3048
    assert np.median(width_ft / 2.0) == pytest.approx(tas / np.radians(3.0), rel=0.1)


def test_half_standard_rate_and_the_left_are_obeyed() -> None:
    turning = replace(PARTIAL, lateral=KEEP_TURNING, direction=-1.0, turn_rate_dps=1.5)
    flight = flown(90.0, seeds=5, air=Air(), orders=lambda t: turning)
    assert np.mean(flight.true("turn_rate_dps")[30:]) == pytest.approx(-1.5, abs=0.2)


def test_by_the_horizon_a_turn_begins_at_standard_rate_and_tightens_as_the_horizon_erects_to_the_turn() -> None:
    # the vanes erect to the case in a turn, so the bank is shown too small: FAA-H-8083-15, errors after a turn
    turning = replace(FULL, lateral=KEEP_TURNING, direction=1.0)
    rate = flown(90.0, seeds=5, air=Air(), orders=lambda t: turning).true("turn_rate_dps")
    assert np.mean(rate[5:10]) == pytest.approx(3.0, abs=0.35)
    assert 3.0 < np.mean(rate[60:]) < 4.2


def test_wings_level_stops_a_turn_wherever_it_is() -> None:
    for orders in (FULL, PARTIAL):
        turning = replace(orders, lateral=KEEP_TURNING, direction=1.0)
        level = replace(orders, lateral=WINGS_LEVEL)
        flight = flown(60.0, seeds=5, orders=lambda t, a=turning, b=level: a if t < 20.0 else b)
        assert abs(flight.true("bank_deg")[30:]).max() < 12.0
        assert (abs(wrapped(flight.true("heading_deg")[-1])) > 25.0).all()


@pytest.mark.parametrize(("bank_by", "heading_by", "pitch_by"), [
    (BY_TURN, 0.0, BY_HORIZON), (0.0, BY_COMPASS, BY_HORIZON), (BY_TURN, BY_GPS_TRACK, BY_PRESSURE),
    (0.0, 0.0, BY_PRESSURE),
])
def test_references_mix(bank_by: float, heading_by: float, pitch_by: float) -> None:
    going = Controls(bank_by=bank_by, heading_by=heading_by, pitch_by=pitch_by, heading_deg=90.0, altitude_ft=6000.0)
    flight = flown(300.0, seeds=5, orders=lambda t: going)
    assert abs(wrapped(flight.true("heading_deg")[-30:] - 90.0)).max() < 20.0
    assert abs(flight.true("altitude_ft")[-30:] - 6000.0).max() < 150.0


def test_by_gps_track_the_track_is_flown_and_the_wind_allowed_for() -> None:
    going = Controls(heading_by=BY_GPS_TRACK, heading_deg=0.0)
    flight = flown(180.0, seeds=5, orders=lambda t: going, air=Air(wind_from_deg=90.0, wind_kt=30.0))
    assert abs(wrapped(flight.true("track_deg")[-60:])).mean() < 3.0
    assert np.mean(flight.true("heading_deg")[-60:]) == pytest.approx(15.0, abs=3.0)


def test_the_hands_fly_what_the_horizon_shows_not_what_is_true() -> None:
    leaning = Faults(attitude_drift_dpm=30.0)
    flight = flown(90.0, seeds=5, orders=lambda t: replace(FULL, lateral=WINGS_LEVEL), faults=lambda t: leaning)
    assert abs(flight.shown("bank_deg")[60:]).mean() < 3.0
    assert np.mean(flight.true("bank_deg")[60:]) < -10.0
    ignoring = flown(90.0, seeds=5, orders=lambda t: replace(PARTIAL, lateral=WINGS_LEVEL), faults=lambda t: leaning)
    assert abs(ignoring.true("bank_deg")[60:]).mean() < 4.0


def test_hands_that_hold_a_drifting_heading_indicator_leave_the_heading() -> None:
    flight = flown(300.0, seeds=5, faults=lambda t: Faults(heading_drift_dph=360.0))
    assert np.mean(wrapped(flight.true("heading_deg")[-1])) == pytest.approx(-30.0, abs=5.0)


def test_divided_attention_flies_less_tightly() -> None:
    def spread(attention: float) -> float:
        orders = Controls(attention=attention)
        return float(abs(flown(90.0, seeds=80, orders=lambda t: orders).true("bank_deg")).mean())

    undivided, reading, head_down = spread(1.0), spread(0.5), spread(0.35)
    assert undivided < reading < head_down


@pytest.mark.parametrize("bank_deg", [35.0, 55.0, -55.0])
@pytest.mark.parametrize("path_deg", [-8.0, 5.0])
def test_recovery_by_the_turn_coordinator_levels_the_airplane_within_limits(bank_deg: float, path_deg: float) -> None:
    orders = replace(PARTIAL, lateral=RECOVER, altitude_ft=6000.0)
    for seed in range(6):
        flight = single(seed=seed, air=Air(turbulence="light"), start=Start(altitude_ft=6000.0), controls=orders)
        upset = replace(flight.state.motion, bank_rad=np.radians(bank_deg).item(), path_rad=np.radians(path_deg).item())
        flight.state = replace(flight.state, motion=upset)
        flight.fly(40.0)
        assert abs(flight.truth.bank_deg) < 10.0
        assert abs(flight.truth.vertical_speed_fpm) < 900.0
        truth = flight.truth
        assert (truth.beyond_limit_load, truth.beyond_never_exceed, truth.broken) == (0.0, 0.0, 0.0)
        assert flight.truth.altitude_ft > 5000.0


def test_recovery_takes_power_off_when_fast_and_adds_it_when_slow() -> None:   # FAA-H-8083-15A p. 5-27, 5-28
    for kt, full in ((140.0, False), (70.0, True)):
        flight = single(start=Start(airspeed_kt=kt), controls=replace(PARTIAL, lateral=RECOVER)).fly(4.0)
        assert (flight.truth.throttle > 0.9) is full
        assert (flight.truth.throttle < 0.1) is not full


def test_pitch_and_throttle_are_held_as_ordered() -> None:
    orders = Controls(vertical=HOLD_PITCH, pitch_deg=4.0, power=HOLD_THROTTLE, throttle=0.9)
    flight = flown(120.0, seeds=5, air=Air(), orders=lambda t: orders)
    assert np.mean(flight.true("pitch_deg")[60:]) == pytest.approx(4.0, abs=0.7)
    assert np.allclose(flight.true("throttle")[60:], 0.9)


def test_full_throttle_cannot_be_climbed_into_a_stall() -> None:
    orders = Controls(altitude_ft=14000.0, climb_fpm=2500.0)
    flight = flown(300.0, seeds=5, orders=lambda t: orders, start=Start(altitude_ft=9000.0))
    assert flight.true("stalled").sum() == 0.0
    assert flight.true("airspeed_kt")[60:].min() > 1.15 * Airframe().stall_kt


def test_a_dark_gps_shows_the_hands_nothing_new() -> None:
    orders = Controls(heading_by=BY_GPS_TRACK, avionics=0.0)
    flight = single(controls=orders).fly(5.0)
    held: set[float] = set()
    state: State = flight.state
    for _ in range(300):
        state = step(flight.world, state, orders, Faults(), flight.draws)
        held.add(round(float(wrapped(state.hands.track_deg)), 0))
    assert max(held) - min(held) <= 8.0   # the reading error of a track that no longer moves
