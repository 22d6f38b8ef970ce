"""The standby attitude display: right by itself, right as long as its airspeed is, and honest in all but one thing."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from drill.airplane import ARRAYS, Air, Airframe, Controls, Draws, Faults, Start, World, begin, read, step, truths
from drill.airplane.controls import (
    BY_COMPASS,
    BY_PRESSURE,
    BY_STANDBY,
    BY_STANDBY_HORIZON,
    BY_TURN,
    HOLD_PITCH,
    HOLD_THROTTLE,
    KEEP_TURNING,
    RECOVER,
    WINGS_LEVEL,
)

from .flights import Single, flown, single, wrapped

FITTED = Airframe(standby_attitude_fitted=True)
STANDBY = Controls(bank_by=BY_STANDBY, pitch_by=BY_STANDBY_HORIZON)
DARK = replace(STANDBY, alternator=0.0, battery=0.0)


def lean(flight: Single) -> float:
    return float(wrapped(flight.panel.standby_bank_deg - flight.truth.bank_deg))


def test_in_cruise_and_in_turns_it_shows_bank_and_pitch_within_three_degrees() -> None:   # [C], after its own bias
    for orders in (Controls(), Controls(lateral=KEEP_TURNING, direction=1.0)):
        flight = flown(100.0, seeds=3, airframe=FITTED, orders=lambda t, orders=orders: orders)
        assert (flight.shown("standby_flag") == 0.0).all()
        assert abs(wrapped(flight.shown("standby_bank_deg") - flight.true("bank_deg"))).max() < 3.0
        assert abs(flight.shown("standby_pitch_deg") - flight.true("pitch_deg")).max() < 3.5


def test_it_does_not_share_the_vacuum() -> None:
    flight = flown(240.0, seeds=3, airframe=replace(FITTED, instruments="worn"), faults=lambda t: Faults(pump=0.0),
                   orders=lambda t: STANDBY, every_s=5.0)
    assert abs(wrapped(flight.shown("standby_bank_deg") - flight.true("bank_deg"))).max() < 4.0
    assert abs(wrapped(flight.shown("bank_deg") - flight.true("bank_deg"))[-1]).min() > 15.0
    assert abs(flight.true("bank_deg")).max() < 12.0
    assert abs(flight.true("altitude_ft") - 5000.0).max() < 100.0   # ACS IR.IV.A.S1


def test_a_dead_pitot_makes_it_level_itself_in_a_turn() -> None:
    # without airspeed a coordinated turn and level flight feel alike: the ball stays centered in both
    turning = Controls(bank_by=BY_TURN, lateral=KEEP_TURNING, direction=1.0, vertical=HOLD_PITCH, pitch_deg=3.0,
                       power=HOLD_THROTTLE, throttle=0.85)
    sound = single(airframe=FITTED, controls=turning).fly(90.0)
    dead = single(airframe=FITTED, controls=turning, faults=Faults(pitot_ram=1.0)).fly(90.0)
    assert dead.panel.airspeed_kt < 40.0
    assert abs(lean(sound)) < 2.5
    assert lean(dead) < lean(sound) - 3.0   # less bank than there is
    assert dead.panel.standby_flag == 0.0


def test_at_power_up_it_tests_itself_for_a_minute_standing_and_three_moving_without_attitude() -> None:
    parked = single(airframe=FITTED, start=Start(on_ground=1.0, gyros_running=0.0))
    assert (parked.panel.standby_testing, parked.panel.standby_flag) == (1.0, 1.0)
    assert parked.fly(59.0).panel.standby_testing == 1.0
    assert parked.fly(2.0).panel.standby_testing == 0.0
    assert (parked.panel.standby_flag, round(parked.panel.standby_bank_deg)) == (0.0, 0)
    flight = single(airframe=FITTED, controls=Controls(standby_instrument=0.0)).fly(1.0)
    assert (flight.panel.standby_testing, flight.panel.standby_flag) == (0.0, 1.0)
    flight.controls = Controls()
    assert flight.fly(179.0).panel.standby_testing == 1.0
    assert flight.fly(2.0).panel.standby_flag == 0.0
    assert abs(lean(flight)) < 2.0


def test_without_the_bus_its_own_battery_carries_it_half_an_hour_to_an_hour() -> None:
    seeds = 12
    world, draws = World(airframe=FITTED, maths=ARRAYS), Draws(list(range(seeds)))
    state = begin(world, Start(), draws)
    state = step(world, state, DARK, Faults(), draws)
    before = state.standby.battery
    for _ in range(20):
        state = step(world, state, DARK, Faults(), draws)
    assert (read(world, state, DARK, Faults(), draws).standby_flag == 0.0).all()
    minutes = 2.0 / (before - state.standby.battery) / 60.0
    assert ((minutes > 29.9) & (minutes < 60.1)).all()
    assert np.ptp(minutes) > 5.0
    state = replace(state, standby=replace(state.standby, battery=0.0 * before))
    state = step(world, state, DARK, Faults(), draws)
    assert (read(world, state, DARK, Faults(), draws).standby_flag == 1.0).all()


def test_a_creeping_reference_is_a_lie_without_a_flag() -> None:
    flight = single(airframe=FITTED, faults=Faults(standby_drift_dpm=3.0)).fly(240.0)
    assert flight.panel.standby_flag == 0.0
    assert 6.0 < lean(flight) < 12.0   # 3 degrees a minute, a minute late
    assert abs(flight.truth.bank_deg) < 5.0


def test_what_it_finds_wrong_with_itself_crosses_it_out() -> None:
    flight = single(airframe=FITTED, faults=Faults(standby_attitude=0.0)).fly(0.1)
    assert (flight.panel.standby_flag, flight.panel.standby_bank_deg) == (1.0, 0.0)
    rolled = single(airframe=FITTED).fly(1.0)
    rolled.state = replace(rolled.state, motion=replace(rolled.state.motion, roll_radps=math.radians(260.0)))
    assert rolled.fly(0.2).panel.standby_flag == 1.0
    assert rolled.fly(20.0).panel.standby_flag == 1.0   # until it is switched off
    apart = single(airframe=FITTED).fly(1.0)
    apart.state = replace(apart.state, standby=replace(apart.state.standby, roll_error_deg=20.0))
    assert apart.fly(4.0).panel.standby_flag == 0.0
    assert apart.fly(2.0).panel.standby_flag == 1.0


def test_in_a_spiral_it_stays_right() -> None:
    flight = single(airframe=FITTED, start=Start(altitude_ft=9000.0), controls=Controls(lateral=WINGS_LEVEL))
    upset = replace(flight.state.motion, bank_rad=math.radians(60.0), path_rad=math.radians(-8.0))
    flight.state = replace(flight.state, motion=upset)
    flight.controls = replace(STANDBY, lateral=RECOVER, altitude_ft=9000.0)
    for _ in range(30):
        flight.fly(1.0)
        assert flight.panel.standby_flag == 0.0
        assert abs(lean(flight)) < 3.0
    assert abs(flight.truth.bank_deg) < 8.0


def test_hands_that_fly_by_it_follow_it_where_it_leans() -> None:
    orders = replace(STANDBY, lateral=WINGS_LEVEL)
    flight = single(airframe=FITTED, controls=orders, faults=Faults(standby_drift_dpm=6.0)).fly(200.0)
    assert abs(flight.panel.standby_bank_deg) < 4.0
    assert flight.truth.bank_deg < -4.0


@pytest.mark.parametrize("lateral", [WINGS_LEVEL, KEEP_TURNING])
def test_once_it_is_crossed_out_the_hands_go_by_turn_coordinator_and_altimeter(lateral: float) -> None:
    def orders(t: float) -> Controls:
        return replace(STANDBY, lateral=lateral, direction=1.0)

    def faults(t: float) -> Faults:
        return Faults(standby_attitude=0.0, attitude_drift_dpm=60.0) if t > 20.0 else Faults(attitude_drift_dpm=60.0)

    flight = flown(90.0, seeds=3, airframe=FITTED, orders=orders, faults=faults, air=Air(turbulence="light"))
    rate = 0.0 if lateral == WINGS_LEVEL else 3.0
    assert np.mean(flight.true("turn_rate_dps")[40:]) == pytest.approx(rate, abs=0.6)
    assert abs(flight.true("altitude_ft")[40:] - 5000.0).max() < 150.0


def test_with_nothing_else_in_sight_they_go_back_to_the_attitude_indicator() -> None:
    frame = replace(FITTED, turn_coordinator_fitted=False)
    flight = single(airframe=frame, controls=replace(STANDBY, lateral=WINGS_LEVEL), air=Air(turbulence="light"),
                    faults=Faults(standby_attitude=0.0)).fly(60.0)
    assert abs(flight.truth.bank_deg) < 5.0
    assert (flight.panel.turn_flag, flight.panel.turn_rate_dps) == (1.0, 0.0)


def test_without_a_turn_coordinator_the_hands_make_do_with_the_horizon() -> None:
    frame = Airframe(turn_coordinator_fitted=False)
    orders = Controls(bank_by=BY_TURN, heading_by=BY_COMPASS, pitch_by=BY_PRESSURE)
    flight = flown(90.0, seeds=3, airframe=frame, orders=lambda t: orders)
    assert (flight.shown("turn_flag") == 1.0).all()
    assert (flight.shown("turn_rate_dps") == 0.0).all()
    assert abs(wrapped(flight.true("heading_deg"))).max() < 20.0
    assert abs(flight.true("bank_deg")).max() < 12.0


def test_where_none_is_fitted_there_is_no_attitude_to_see() -> None:
    flight = single().fly(5.0)
    assert (flight.panel.standby_flag, flight.panel.standby_testing, flight.panel.standby_bank_deg) == (1.0, 0.0, 0.0)
    assert truths(flight.world, flight.state, flight.controls).bank_deg == flight.truth.bank_deg
