"""The airplane in the air: turns, load, stall, phugoid and spiral, and how a flight ends."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane import ARRAYS, FLOATS, Air, Airframe, Controls, Start, World, motion
from drill.airplane.constants import DEG, FOOT, KNOT, RAD, STEP_S, G
from drill.airplane.controls import HOLD_PITCH, HOLD_THROTTLE

from .flights import CHECKS, flown, single

CALM = World()
STILL = (0.0,) * 5


def turning(bank_deg: float, tas_kt: float) -> motion.Motion:
    """Level flight at a true airspeed, banked, with the lift that holds altitude."""
    level = motion.level(CALM, 0.0, 0.0, 100.0 * KNOT, 60.0, 0.0)
    tas = tas_kt * KNOT
    attack = level.attack_rad * (level.tas_mps / tas) ** 2 / math.cos(bank_deg * DEG)
    return replace(level, tas_mps=tas, bank_rad=bank_deg * DEG, attack_rad=attack)


def after_a_step(was: motion.Motion, *, attack: float | None = None, throttle: float | None = None) -> motion.Motion:
    return motion.advance(CALM, was, Controls(), 0.0, was.attack_rad if attack is None else attack,
                          was.throttle if throttle is None else throttle, 1.0, 0.0, 1.0, STILL)


# coordinated turn, closed form with g = 9.80665 m/s2
@pytest.mark.parametrize("row", ["P01", "P02", "P03", "P04"])
def test_rate_of_a_level_turn(row: str) -> None:
    check = CHECKS[row]
    now = after_a_step(turning(check.given["bank_deg"], check.given["tas_kt"]))
    assert now.path_rad == pytest.approx(0.0, abs=1e-3)
    assert check.holds(now.turn_radps * RAD)


@pytest.mark.parametrize("row", ["P05", "P06"])           # same
def test_radius_of_a_level_turn(row: str) -> None:
    check = CHECKS[row]
    tas = check.given["tas_kt"] * KNOT
    now = after_a_step(turning(check.given["bank_deg"], check.given["tas_kt"]))
    assert check.holds(tas / now.turn_radps / FOOT)


@pytest.mark.parametrize("row", ["P07", "P08"])           # same
def test_bank_for_standard_rate(row: str) -> None:
    check = CHECKS[row]
    assert check.holds(motion.standard_bank_rad(FLOATS, 3.0 * DEG, check.given["tas_kt"] * KNOT) * RAD)


@pytest.mark.parametrize("row", ["P09", "P10", "P11"])    # closed form n = 1/cos(bank)
def test_load_factor_of_a_level_turn(row: str) -> None:
    check = CHECKS[row]
    assert check.holds(after_a_step(turning(check.given["bank_deg"], 120.0)).load_g)


@pytest.mark.parametrize("row", ["P12", "P13"])           # closed form Vs sqrt(n)
def test_stall_speed_in_a_level_turn(row: str) -> None:
    check = CHECKS[row]
    frame = Airframe(stall_kt=check.given["vs_wings_level_kcas"])
    load = after_a_step(turning(check.given["bank_deg"], 120.0)).load_g
    assert check.holds(motion.stall_kt(FLOATS, frame, load))


def test_maneuvering_speed_falls_with_weight() -> None:   # closed form Va sqrt(W/Wmax)
    check = CHECKS["P14"]
    pound = 0.45359237
    frame = Airframe(maneuvering_kt=check.given["va_max_kt"], mass_kg=check.given["weight_max_lb"] * pound)
    assert check.holds(motion.maneuvering_kt(FLOATS, frame, check.given["weight_lb"] * pound))


def test_ninety_degrees_at_standard_rate_take_thirty_seconds() -> None:   # FAA-H-8083-15
    check = CHECKS["P48"]
    tas = 110.0 * KNOT
    now = after_a_step(turning(motion.standard_bank_rad(FLOATS, 3.0 * DEG, tas) * RAD, 110.0))
    assert check.holds(check.given["heading_change_deg"] / (now.turn_radps * RAD))


def test_the_wing_stalls_at_the_stall_speed_of_the_handbook() -> None:
    frame = Airframe()
    level = motion.level(CALM, 0.0, 0.0, frame.stall_kt * KNOT, 60.0, 0.0)
    assert level.attack_rad * frame.lift_slope_per_rad == pytest.approx(frame.lift_max, rel=0.01)


def test_maneuvering_speed_is_where_stall_and_limit_load_meet() -> None:   # 14 CFR 23.335(c), text before 2017
    frame = Airframe()
    assert frame.maneuvering_kt == pytest.approx(frame.stall_kt * math.sqrt(frame.load_limit_g), abs=0.2)


def test_cruise_and_climb_are_those_of_the_class() -> None:   # common practice, no source
    cruise = motion.level(CALM, 6000.0 * FOOT, 0.0, 109.8 * KNOT, 60.0, 0.0)
    assert cruise.tas_mps / KNOT == pytest.approx(120.0, abs=0.5)
    assert 0.80 < cruise.throttle < 0.97
    climb = single(start=Start(altitude_ft=500.0, airspeed_kt=75.0),
                   controls=Controls(altitude_ft=5000.0, climb_fpm=3000.0, airspeed_kt=75.0))
    climb.fly(60.0)
    before = climb.truth.altitude_ft
    assert 600.0 < climb.fly(60.0).truth.altitude_ft - before < 1100.0


def hands_off(seconds: float, was: motion.Motion) -> list[motion.Motion]:
    attack, path = was.attack_rad, []
    for _ in range(round(seconds / STEP_S)):
        was = after_a_step(was, attack=attack)
        path.append(was)
    return path


def test_hands_off_a_small_bank_doubles_in_about_25_seconds() -> None:   # chosen; see Airframe.spiral_doubles_s
    level = motion.level(CALM, 6000.0 * FOOT, 0.0, 110.0 * KNOT, 60.0, 0.0)
    later = hands_off(25.0, replace(level, bank_rad=2.0 * DEG))[-1]
    assert later.bank_rad * RAD == pytest.approx(4.0, abs=0.3)


def test_hands_off_the_airplane_ends_in_a_spiral() -> None:
    level = motion.level(CALM, 9000.0 * FOOT, 0.0, 110.0 * KNOT, 60.0, 0.0)
    flight = hands_off(120.0, replace(level, bank_rad=5.0 * DEG))
    assert any(moment.spiral for moment in flight)
    assert any(moment.beyond_never_exceed for moment in flight)


def test_the_phugoid_is_slow_and_dies_out() -> None:   # period about pi sqrt(2) V/g, Lanchester; drag shortens nothing
    level = motion.level(CALM, 6000.0 * FOOT, 0.0, 100.0 * KNOT, 60.0, 0.0)
    flight = hands_off(150.0, replace(level, tas_mps=level.tas_mps + 4.0))
    speed = [moment.tas_mps - level.tas_mps for moment in flight]
    peaks = [i for i in range(1, len(speed) - 1) if speed[i - 1] < speed[i] > speed[i + 1]]
    period = (peaks[1] - peaks[0]) * STEP_S
    lanchester = math.pi * math.sqrt(2.0) * level.tas_mps / G
    assert 0.9 * lanchester < period < 1.5 * lanchester
    assert 0.1 < speed[peaks[1]] / speed[peaks[0]] < 0.8


@given(bank_deg=st.floats(-60.0, 60.0), path_deg=st.floats(-15.0, 15.0), kt=st.floats(65.0, 160.0))
def test_without_power_the_airplane_gains_no_energy(bank_deg: float, path_deg: float, kt: float) -> None:
    was = replace(turning(bank_deg, kt), path_rad=path_deg * DEG, altitude_m=2000.0)
    energies = []
    for _ in range(200):
        energies.append(G * was.altitude_m + 0.5 * was.tas_mps**2)
        was = after_a_step(was, throttle=0.0)
    gains = [after - before for before, after in pairwise(energies)]
    assert max(gains) < 0.05 * abs(min(gains)) + 1.0   # J/kg; the step of 0.1 s makes no more than that
    assert energies[-1] < energies[0]


def test_too_little_speed_stalls_and_drops_a_wing_to_the_seeds_side() -> None:
    orders = Controls(vertical=HOLD_PITCH, pitch_deg=18.0, power=HOLD_THROTTLE, throttle=0.0)
    flight = flown(60.0, seeds=20, orders=lambda t: orders, air=Air(), start=Start(altitude_ft=8000.0))
    stalled = flight.true("stalled") > 0.0
    assert stalled.any(axis=0).all()
    bank = flight.true("bank_deg")
    dropped = bank[abs(bank).argmax(axis=0), range(20)]
    assert (dropped > 15.0).any()
    assert (dropped < -15.0).any()


def test_more_than_limit_load_is_remembered_and_ultimate_load_breaks() -> None:
    fast = motion.level(CALM, 3000.0, 0.0, 150.0 * KNOT, 60.0, 0.0)
    hauled = after_a_step(replace(fast, attack_rad=fast.attack_rad * 4.5))
    assert (hauled.beyond_limit_load, hauled.broken) == (1.0, 0.0)
    assert after_a_step(replace(hauled, attack_rad=fast.attack_rad)).beyond_limit_load == 1.0
    broken = after_a_step(replace(fast, attack_rad=fast.attack_rad * 6.5))
    assert broken.broken == 1.0


def test_never_exceed_speed_is_remembered_and_dive_speed_breaks() -> None:
    frame = Airframe()
    for kt, beyond, broken in ((frame.never_exceed_kt - 2, 0.0, 0.0), (frame.never_exceed_kt + 2, 1.0, 0.0),
                               (frame.dive_kt + 2, 1.0, 1.0)):
        now = after_a_step(motion.level(CALM, 1000.0, 0.0, kt * KNOT, 60.0, 0.0))
        assert (now.beyond_never_exceed, now.broken) == (beyond, broken)


def test_the_ground_ends_the_flight_and_the_airplane_stays_there() -> None:
    flight = single(air=Air(ground_ft=900.0), start=Start(altitude_ft=1200.0),
                    controls=Controls(altitude_ft=0.0, climb_fpm=1500.0))
    flight.fly(60.0)
    assert flight.truth.on_ground == 1.0
    assert flight.truth.height_ft <= 0.0
    before, clock = flight.state, flight.panel.clock_s
    flight.fly(5.0)
    assert flight.state.motion == before.motion
    assert flight.panel.clock_s == pytest.approx(clock + 5.0)


def test_fuel_runs_out_and_takes_the_power_with_it() -> None:
    flight = single(start=Start(fuel_min=1.0), controls=Controls(altitude_ft=5000.0))
    assert flight.truth.fuel_min == pytest.approx(1.0)
    flight.fly(90.0)
    assert flight.truth.fuel_min == 0.0
    assert flight.truth.vertical_speed_fpm < -200.0 or flight.truth.airspeed_kt < 100.0


def test_fuel_lasts_longer_with_less_power() -> None:
    fast = single(start=Start(fuel_min=60.0, airspeed_kt=110.0)).truth
    slow = single(start=Start(fuel_min=60.0, airspeed_kt=110.0),
                  controls=Controls(airspeed_kt=85.0)).fly(120.0).truth
    assert fast.fuel_min == pytest.approx(60.0)
    assert slow.fuel_min > 65.0


@pytest.mark.parametrize("turbulence", ["light", "moderate", "severe"])
def test_rougher_air_shakes_more(turbulence: str) -> None:
    order = ["calm", "light", "moderate", "severe"]
    smoother = order[order.index(turbulence) - 1]

    def shaken(kind: str) -> Any:
        return single(air=Air(turbulence=kind), seed=4).fly(20.0)

    rough, smooth = shaken(turbulence), shaken(smoother)
    assert abs(rough.state.motion.gust_up_mps) > abs(smooth.state.motion.gust_up_mps)


def test_an_unknown_word_for_turbulence_is_answered_with_those_there_are() -> None:
    with pytest.raises(ValueError, match="calm, light, moderate, severe"):
        Air(turbulence="bumpy")


def test_the_same_equations_serve_floats_and_arrays() -> None:
    assert motion.standard_bank_rad(ARRAYS, 0.05, 50.0) == pytest.approx(motion.standard_bank_rad(FLOATS, 0.05, 50.0))
