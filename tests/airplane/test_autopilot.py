"""The autopilot: holds well on a sound source, follows an unsound one, and lets go where it must."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from drill.airplane import Air, Airframe, Controls, Faults
from drill.airplane.controls import (
    BY_COMPASS,
    BY_GPS_TRACK,
    BY_PRESSURE,
    KEEP_TURNING,
    TURN_TO_HEADING,
    WINGS_LEVEL,
)

from .flights import flown, single, wrapped

BY_THE_HORIZON = Airframe(autopilot="horizon")
BY_THE_NEEDLE = Airframe(autopilot="turn coordinator")
BOTH = pytest.mark.parametrize("airframe", [BY_THE_HORIZON, BY_THE_NEEDLE], ids=["horizon", "turn coordinator"])
ENGAGED = Controls(autopilot=1.0)
LEVEL = replace(ENGAGED, lateral=WINGS_LEVEL)
DEAD = Faults(pump=0.0)


@BOTH
def test_with_the_head_down_it_holds_the_practical_tests_tolerances(airframe: Airframe) -> None:
    # 100 ft, 10 deg: ACS IR.IV.A.S1; 0.35 of the pilot's attention left
    flight = flown(120.0, seeds=6, airframe=airframe, orders=lambda t: replace(ENGAGED, attention=0.35), every_s=2.0)
    assert (flight.shown("autopilot_on") == 1.0).all()
    assert abs(wrapped(flight.true("heading_deg"))).max() < 10.0
    assert abs(flight.true("altitude_ft") - 5000.0).max() < 100.0


@BOTH
def test_it_turns_to_the_heading_bug_at_standard_rate_or_less(airframe: Airframe) -> None:
    orders = replace(ENGAGED, lateral=TURN_TO_HEADING, heading_deg=90.0, direction=1.0, attention=0.5)
    flight = flown(70.0, seeds=4, airframe=airframe, orders=lambda t: orders)
    turned = wrapped(flight.true("heading_deg"))
    assert abs(np.diff(turned, axis=0)).max() < 4.5   # standard rate, and what gusts add
    assert abs(turned[-5:] - 90.0).max() < 10.0
    assert turned.max() < 100.0


def test_by_gps_track_the_single_axis_kind_flies_the_track() -> None:
    orders = replace(ENGAGED, heading_by=BY_GPS_TRACK, heading_deg=0.0)
    flight = flown(120.0, seeds=2, airframe=BY_THE_NEEDLE, orders=lambda t: orders,
                   air=Air(wind_from_deg=90.0, wind_kt=30.0, turbulence="light"))
    assert abs(wrapped(flight.true("track_deg")[-30:])).mean() < 4.0


def test_by_the_horizon_it_climbs_to_the_altitude_and_stays_there() -> None:
    flight = flown(110.0, seeds=2, airframe=BY_THE_HORIZON, orders=lambda t: replace(ENGAGED, altitude_ft=5500.0))
    assert flight.true("altitude_ft").max() < 5560.0
    assert abs(flight.true("altitude_ft")[-10:] - 5500.0).max() < 40.0


@pytest.mark.parametrize(("instruments", "seconds", "seeds"), [
    ("worn", 310.0, 3), pytest.param("fresh", 560.0, 20, marks=pytest.mark.long)])
def test_a_horizon_autopilot_follows_a_dying_horizon_into_a_spiral_and_the_display_stays_calm(
        instruments: str, seconds: float, seeds: int) -> None:
    # a coupled autopilot follows the gyros as they wander: FAA-H-8083-15B ch. 11
    airframe = replace(BY_THE_HORIZON, instruments=instruments)
    flight = flown(seconds, seeds=seeds, airframe=airframe, orders=lambda t: LEVEL, faults=lambda t: DEAD, every_s=5.0)
    spiral = flight.first(flight.true("spiral") > 0.5)
    assert 0.5 * seconds < np.median(spiral) < seconds
    before = flight.t[:, None] < spiral[None, :]
    shown = np.where(before, abs(flight.shown("bank_deg")), 0.0)
    assert np.median(shown.max(axis=0)) < 12.0
    assert np.median(flight.first(abs(flight.true("bank_deg")) > 20.0)) < np.median(spiral)


@pytest.mark.parametrize(("instruments", "seconds", "seeds"), [
    ("worn", 260.0, 3), pytest.param("fresh", 560.0, 20, marks=pytest.mark.long)])
def test_a_turn_coordinator_autopilot_keeps_the_wings_level_after_the_pump_is_gone(
        instruments: str, seconds: float, seeds: int) -> None:
    orders, airframe = replace(LEVEL, pitch_by=BY_PRESSURE), replace(BY_THE_NEEDLE, instruments=instruments)
    flight = flown(seconds, seeds=seeds, airframe=airframe, orders=lambda t: orders, faults=lambda t: DEAD, every_s=5.0)
    assert not flight.lost.any()
    assert abs(flight.true("bank_deg")).max() < 12.0
    assert np.median(abs(flight.true("altitude_ft") - 5000.0).max(axis=0)) < 200.0


def test_a_leaning_horizon_turns_the_airplane_the_other_way_under_its_autopilot_and_not_under_the_other() -> None:
    leans = Faults(attitude_drift_dpm=11.0)
    by_horizon, by_needle = (
        flown(120.0, seeds=3, airframe=airframe, orders=lambda t: LEVEL, faults=lambda t: leans)
        for airframe in (BY_THE_HORIZON, BY_THE_NEEDLE))
    assert np.mean(wrapped(by_horizon.true("heading_deg")[-1])) < -40.0   # leaning right, so rolled left
    assert abs(by_horizon.shown("bank_deg")).max() < 6.0
    assert abs(wrapped(by_needle.true("heading_deg")[-1])).mean() < 25.0


def test_it_drops_off_with_low_volts_and_stays_off_until_switched_again() -> None:
    flight = single(airframe=BY_THE_HORIZON, controls=ENGAGED).fly(2.0)
    assert flight.panel.autopilot_on == 1.0
    flight.controls = replace(ENGAGED, battery=0.0, alternator=0.0)
    flight.fly(1.0)
    assert flight.panel.autopilot_on == 0.0
    flight.controls = ENGAGED
    flight.fly(2.0)
    assert flight.panel.autopilot_on == 0.0
    flight.controls = Controls()
    flight.fly(0.2)
    flight.controls = ENGAGED
    flight.fly(0.2)
    assert flight.panel.autopilot_on == 1.0


def test_the_single_axis_kind_needs_the_turn_coordinators_supply_and_the_horizon_kind_does_not() -> None:
    for airframe, on in ((BY_THE_NEEDLE, 0.0), (BY_THE_HORIZON, 1.0)):
        assert single(airframe=airframe, controls=replace(ENGAGED, turn_breaker=0.0)).fly(2.0).panel.autopilot_on == on


@pytest.mark.parametrize(("bank", "path", "on"), [(58.0, 0.0, 1.0), (64.0, 0.0, 0.0), (0.0, 38.0, 0.0)])
def test_past_its_limits_by_its_own_horizon_it_lets_go(bank: float, path: float, on: float) -> None:
    flight = single(airframe=BY_THE_HORIZON, controls=ENGAGED).fly(1.0)
    upset = replace(flight.state.motion, bank_rad=np.radians(bank).item(), path_rad=np.radians(path).item())
    flight.state = replace(flight.state, motion=upset)
    assert flight.fly(0.2).panel.autopilot_on == on


def test_a_tumbling_horizon_throws_its_autopilot_off() -> None:
    flight = single(airframe=BY_THE_HORIZON, controls=ENGAGED, faults=Faults(attitude_tumbles=1.0)).fly(6.0)
    assert flight.panel.autopilot_on == 0.0


def test_engaged_in_a_turn_it_levels_the_wings_without_a_jolt() -> None:
    turning = Controls(lateral=KEEP_TURNING, direction=1.0)
    flight = single(airframe=BY_THE_HORIZON, controls=turning).fly(20.0)
    assert flight.truth.bank_deg > 12.0
    flight.controls = LEVEL
    before = flight.state.hands
    flight.fly(0.1)
    assert abs(flight.state.hands.roll_dps - before.roll_dps) < 1.0
    assert abs(flight.state.hands.pull_deg - before.pull_deg) < 0.3
    loads = [flight.fly(1.0).truth.load_factor_g for _ in range(20)]
    assert abs(flight.truth.bank_deg) < 4.0   # what the turn has left on the horizon is in it
    assert max(abs(load - 1.0) for load in loads) < 0.25


@BOTH
def test_switched_off_it_leaves_the_hands_in_trim(airframe: Airframe) -> None:
    def orders(t: float) -> Controls:
        return ENGAGED if t < 60.0 else Controls()

    flight = flown(90.0, seeds=4, airframe=airframe, air=Air(), orders=orders)
    assert abs(np.diff(flight.true("bank_deg")[55:], axis=0)).max() < 4.0
    assert abs(flight.true("altitude_ft")[55:] - 5000.0).max() < 30.0


@BOTH
def test_hard_over_it_rolls_on_until_it_is_switched_off(airframe: Airframe) -> None:
    def orders(t: float) -> Controls:
        return ENGAGED if t < 12.0 else Controls(lateral=WINGS_LEVEL)

    flight = flown(40.0, seeds=3, airframe=airframe, orders=orders, faults=lambda t: Faults(autopilot_runs=-1.0))
    assert (flight.true("bank_deg")[11] < -25.0).all()
    assert abs(flight.true("bank_deg")[-1]).max() < 9.0   # some of the turn is still on the horizon


def test_letting_go_unannounced_leaves_only_its_light() -> None:
    flight = single(airframe=BY_THE_HORIZON, controls=ENGAGED).fly(5.0)
    flight.faults = Faults(autopilot_holds=0.0)
    assert flight.fly(0.1).panel.autopilot_on == 0.0
    assert abs(flight.fly(30.0).truth.bank_deg) < 5.0   # the hands, that have looked all along, have the airplane


def test_an_airplane_without_one_never_shows_its_light() -> None:
    for airframe in (Airframe(), replace(BY_THE_NEEDLE, turn_coordinator_fitted=False)):
        assert single(airframe=airframe, controls=ENGAGED).fly(1.0).panel.autopilot_on == 0.0


def test_by_compass_the_bug_is_turned_by_the_hands_reckoning() -> None:
    orders = replace(ENGAGED, heading_by=BY_COMPASS, pitch_by=BY_PRESSURE, heading_deg=0.0)
    flight = flown(120.0, seeds=3, airframe=BY_THE_NEEDLE, orders=lambda t: orders, faults=lambda t: DEAD)
    assert abs(wrapped(flight.true("heading_deg"))).max() < 20.0
