"""Pitot and static lines, sound and broken, against the published sizes and signs."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane import FLOATS, Controls, Faults, World, atmosphere
from drill.airplane.constants import FOOT, KNOT, STEP_S, G
from drill.airplane.motion import Motion, level
from drill.airplane.pitot_static import PitotStatic, advance, indicated_kt, shown_altitude_ft, start

from .flights import Flown, flown

WORLD = World()
SOUND = Faults()
DRAIN_OPEN, TRAPPED = Faults(pitot_ram=1.0), Faults(pitot_ram=1.0, pitot_drain=1.0)
PORTS_CLOSED = Faults(static_block=1.0)
OFF = Controls()
ALTERNATE = Controls(alternate_static=1.0)


def at(altitude_ft: float, knots: float) -> Motion:
    """Level flight at a pressure altitude and calibrated airspeed."""
    flown = level(WORLD, altitude_ft * FOOT, 0.0, 50.0, 60.0, 0.0)
    return replace(flown, impact_pa=atmosphere.impact_of_cas_pa(knots * KNOT))


def after(seconds: float, lines: PitotStatic, there: Motion, faults: Faults = SOUND, controls: Controls = OFF,
          volts: float = 28.0) -> PitotStatic:
    for _ in range(round(seconds / STEP_S)):
        lines = advance(WORLD, lines, there, controls, faults, volts)
    return lines


def moved(faults: Faults, then: tuple[float, float], now: tuple[float, float]) -> PitotStatic:
    """The lines settled at one altitude (ft) and airspeed (kt), then broken, then settled at another."""
    return after(30.0, start(FLOATS, at(*then)), at(*now), faults)


def altimeter_ft(lines: PitotStatic) -> float:
    return float(shown_altitude_ft(lines.hands_pa, 1013.25))


@pytest.mark.parametrize(("then_ft", "now_ft", "knots", "reads_kt"), [
    (6000, 6300, 110, 80.75), (6000, 5000, 110, 175.52), (3000, 2500, 100, 142.25),
    # the same relation at sea-level reference: 500 ft higher or more reads nothing
    (3000, 3500, 100, 0.0), (3000, 2000, 100, 175.0),
])
def test_with_closed_static_ports_the_airspeed_reads_low_above_and_high_below(
        then_ft: float, now_ft: float, knots: float, reads_kt: float) -> None:
    # compressible pitot equation (gamma 1.4) with ISA: q = qc(true) + p(now) - p(blocked); signs FAA-H-8083-15B ch. 5
    lines = moved(PORTS_CLOSED, (then_ft, knots), (now_ft, knots))
    assert lines.airspeed_kt == pytest.approx(reads_kt, abs=0.6)


@pytest.mark.parametrize(("then_ft", "now_ft", "knots", "reads_kt"), [
    (6000, 7000, 110, 173.93), (4000, 3500, 90, 0.0), (3000, 3500, 100, 142.0), (3000, 4000, 100, 173.0),
    (3000, 2500, 100, 0.0), (5000, 6000, 120, 182.0), (5000, 4000, 120, 0.0),
])
def test_with_opening_and_drain_closed_the_airspeed_indicator_is_an_altimeter(
        then_ft: float, now_ft: float, knots: float, reads_kt: float) -> None:
    # compressible pitot equation (gamma 1.4) with ISA: q = p_total(blocked) - p(now); signs FAA-H-8083-15B ch. 5
    for true_kt in (60.0, knots, 150.0):
        lines = moved(TRAPPED, (then_ft, knots), (now_ft, true_kt))
        assert lines.airspeed_kt == pytest.approx(reads_kt, abs=0.6)


def test_with_the_opening_closed_and_the_drain_open_the_airspeed_falls_to_nothing() -> None:
    # FAA-H-8083-15B ch. 5; the 1.5 s are the model's own choice
    lines = start(FLOATS, at(6000, 110))
    reads = [110.0]
    for _ in range(20):
        lines = after(0.5, lines, at(6000, 110), DRAIN_OPEN)
        reads.append(float(lines.airspeed_kt))
    assert reads == sorted(reads, reverse=True)
    assert 50.0 < reads[3] < 80.0        # 1.5 s: 37 per cent of the pressure, 61 of the speed
    assert reads[-1] < 5.0
    assert altimeter_ft(lines) == pytest.approx(6000.0, abs=1.0)
    assert lines.vertical_speed_fpm == pytest.approx(0.0, abs=1.0)


@given(share=st.floats(0.0, 1.0))
def test_an_opening_partly_closed_passes_its_share_of_the_impact_pressure(share: float) -> None:
    lines = after(20.0, start(FLOATS, at(6000, 110)), at(6000, 110), Faults(pitot_ram=share))
    left = atmosphere.impact_of_cas_pa(110 * KNOT) * (1.0 - share)
    assert lines.airspeed_kt == pytest.approx(atmosphere.cas_mps(FLOATS, left) / KNOT, abs=0.3)


def test_closed_static_ports_leave_altimeter_and_vertical_speed_dead_still() -> None:
    # FAA-H-8083-15B ch. 5
    lines = start(FLOATS, at(6000, 110))
    for feet in range(6000, 7200, 10):
        lines = after(0.5, lines, at(feet, 110), PORTS_CLOSED)
        assert lines.vertical_speed_fpm == 0.0
    assert altimeter_ft(lines) == pytest.approx(6000.0, abs=1.0)


def test_the_altimeter_with_closed_ports_still_follows_its_knob() -> None:
    lines = moved(PORTS_CLOSED, (6000, 110), (7200, 110))
    higher = shown_altitude_ft(lines.hands_pa, 1023.25) - shown_altitude_ft(lines.hands_pa, 1013.25)
    assert higher == pytest.approx(270.0, abs=15.0)   # 27 ft for each hPa at sea level, 26 up here: ISA


def test_the_alternate_source_brings_all_three_back_over_closed_ports() -> None:
    # FAA-H-8083-25C ch. 8: the cabin's pressure is a little lower, so altimeter and airspeed read a little high
    lines = moved(PORTS_CLOSED, (6000, 110), (7200, 110))
    lines = after(30.0, lines, at(7200, 110), PORTS_CLOSED, ALTERNATE)
    assert 0.0 < altimeter_ft(lines) - 7200.0 < 100.0
    assert 0.0 < lines.airspeed_kt - 110.0 < 8.0


def test_the_alternate_source_shows_a_short_climb_and_then_level() -> None:
    # FAA-H-8083-25C ch. 8
    lines = start(FLOATS, at(6000, 110))
    first = after(1.0, lines, at(6000, 110), SOUND, ALTERNATE)
    assert first.vertical_speed_fpm > 100.0
    assert after(30.0, first, at(6000, 110), SOUND, ALTERNATE).vertical_speed_fpm == pytest.approx(0.0, abs=5.0)


def test_a_cabin_150_pascals_low_reads_49_feet_and_4_knots_too_much() -> None:
    # ISA inversion of the pressure error, and the compressible pitot equation: 49.0 ft, 114.07 kt
    impact = float(atmosphere.impact_of_cas_pa(110 * KNOT))
    broken = after(30.0, start(FLOATS, at(6000, 110)), at(6000, 110), Faults(static_leak=150.0 / impact))
    assert altimeter_ft(broken) - 6000.0 == pytest.approx(49.0, abs=1.0)
    assert broken.airspeed_kt == pytest.approx(114.07, abs=0.1)


def test_a_line_broken_in_the_cabin_is_not_mended_by_the_alternate_source() -> None:
    broken = Faults(static_leak=0.07)
    lines = after(30.0, start(FLOATS, at(6000, 110)), at(6000, 110), broken)
    switched = after(30.0, lines, at(6000, 110), broken, ALTERNATE)
    assert altimeter_ft(switched) == pytest.approx(altimeter_ft(lines), abs=1.0)
    assert switched.airspeed_kt == pytest.approx(lines.airspeed_kt, abs=0.2)


def test_a_line_broken_in_the_cabin_feels_the_cabin_whatever_the_ports_do() -> None:
    both = Faults(static_leak=0.07, static_block=1.0)
    assert altimeter_ft(moved(both, (6000, 110), (6500, 110))) > 6500.0


def climbing(faults: Faults, seconds: int = 60, fpm: float = 500.0) -> tuple[list[float], list[float]]:
    """Altimeter's lag (ft) and vertical speed (ft/min), second by second, of a climb from 6,000 ft."""
    lines, late, rates = start(FLOATS, at(6000, 90)), [], []
    for count in range(seconds * 10):
        feet = 6000.0 + fpm / 600.0 * count
        lines = after(STEP_S, lines, at(feet, 90), faults)
        if count % 10 == 9:
            late.append(feet - altimeter_ft(lines))
            rates.append(float(lines.vertical_speed_fpm))
    return late, rates


def test_static_ports_almost_closed_show_a_climb_late() -> None:
    # A first-order lag of T s under a rate r is behind by r T: 500 ft/min and 20 s are 167 ft.
    late, rates = climbing(Faults(static_lag_s=20.0), 100)
    assert late[-1] == pytest.approx(500.0 / 60.0 * 20.15, rel=0.03)
    assert rates[5] < 250.0 < rates[60]


def test_the_vertical_speed_indicator_is_stable_after_six_to_nine_seconds() -> None:
    # FAA-H-8083-15B ch. 5 (6 to 9 s; from memory)
    late, rates = climbing(SOUND)
    assert max(late) < 5.0
    stable = next(second for second, rate in enumerate(rates, 1) if rate > 0.9 * 500.0)
    assert 6 <= stable <= 10
    assert rates[-1] == pytest.approx(500.0, abs=10.0)


def test_a_stuck_airspeed_needle_stays_through_a_climb_and_a_change_of_speed() -> None:
    stuck = Faults(airspeed_stuck=1.0)
    assert moved(stuck, (6000, 110), (8000, 70)).airspeed_kt == pytest.approx(110.0, abs=0.1)


def test_sticking_altimeter_hands_move_in_jumps_of_forty_feet() -> None:
    sticks = Faults(altimeter_stick_ft=40.0)
    lines, shown = start(FLOATS, at(6000, 110)), []
    for feet in range(6000, 6400, 4):
        lines = after(0.5, lines, at(feet, 110), sticks)
        shown.append(altimeter_ft(lines))
    jumps = [b - a for a, b in pairwise(shown) if b != a]
    assert 7 <= len(jumps) <= 10
    assert all(35.0 < jump < 50.0 for jump in jumps)
    assert lines.static_pa != lines.hands_pa


def test_sticking_hands_within_their_reach_never_move() -> None:
    sticks = Faults(altimeter_stick_ft=40.0)
    lines = start(FLOATS, at(6000, 110))
    for feet in (6030, 5975, 6020, 6000):
        lines = after(2.0, lines, at(feet, 110), sticks)
        assert altimeter_ft(lines) == pytest.approx(6000.0, abs=0.01)


def test_a_needle_off_its_zero_is_off_by_as_much_in_climb_and_level() -> None:
    off = Faults(vertical_speed_off_fpm=-150.0)
    assert after(20.0, start(FLOATS, at(6000, 110)), at(6000, 110), off).vertical_speed_fpm == pytest.approx(-150.0)
    assert climbing(off)[1][-1] == pytest.approx(350.0, abs=10.0)


def test_a_fault_that_passes_leaves_the_lines_as_they_were() -> None:
    for faults in (DRAIN_OPEN, TRAPPED, PORTS_CLOSED, Faults(static_lag_s=20.0), Faults(airspeed_stuck=1.0)):
        lines = after(10.0, moved(faults, (6000, 110), (6500, 100)), at(6500, 100), SOUND)
        assert lines.airspeed_kt == pytest.approx(100.0, abs=0.5)
        assert altimeter_ft(lines) == pytest.approx(6500.0, abs=2.0)


@given(
    ram=st.floats(0.0, 1.0), drain=st.sampled_from([0.0, 1.0]), block=st.floats(0.0, 1.0), lag=st.floats(0.0, 60.0),
    leak=st.floats(0.0, 0.2), stick=st.floats(0.0, 100.0), feet=st.floats(0.0, 12_000.0), knots=st.floats(0.0, 180.0),
)
def test_whatever_is_closed_or_broken_the_needles_stay_on_their_dials(
        ram: float, drain: float, block: float, lag: float, leak: float, stick: float, feet: float,
        knots: float) -> None:
    faults = Faults(pitot_ram=ram, pitot_drain=drain, static_block=block, static_lag_s=lag, static_leak=leak,
                    altimeter_stick_ft=stick)
    lines = after(5.0, start(FLOATS, at(5000, 100)), at(feet, knots), faults)
    assert 0.0 <= lines.airspeed_kt < 400.0
    assert -2000.0 <= lines.vertical_speed_fpm <= 2000.0
    # Inside the cabin the pressure is lower by the leak's share of the impact pressure, which is a head of v*v/2g.
    cabin_ft = leak * (1.25 * knots * KNOT) ** 2 / (2 * G) / FOOT    # true airspeed up to 12,000 ft
    assert min(feet, 5000.0) - 150.0 <= altimeter_ft(lines) <= max(feet, 5000.0) + 150.0 + cabin_ft
    assert math.isfinite(lines.pitot_pa)


def test_no_pressure_difference_reads_no_airspeed() -> None:
    assert indicated_kt(FLOATS, 80_000.0, 80_000.0) == 0.0
    assert indicated_kt(FLOATS, 79_000.0, 80_000.0) == 0.0
    assert np.allclose(indicated_kt(FLOATS, 81_000.0, 80_000.0), 78.5, atol=1.0)   # sqrt(2 x 1000 Pa / 1.225), ISA


def held(faults: Faults) -> Flown:
    """Ten flights through five minutes of level flight at 5,000 ft and 110 kt, broken from 20 s on."""
    return flown(320.0, seeds=10, faults=lambda t: faults if t >= 20.0 else SOUND, every_s=10.0)


@pytest.mark.long
def test_hands_with_closed_static_ports_hold_known_pitch_and_power() -> None:
    # The needles stand dead still: common practice, no source. True altitude may wander, nobody chases an airspeed.
    flights = held(PORTS_CLOSED)
    assert not flights.lost.any()
    assert np.abs(flights.true("airspeed_kt") - 110.0).max() < 20.0
    assert np.ptp(flights.true("throttle"), axis=0).max() < 0.35
    assert np.abs(flights.true("altitude_ft")[-1] - 5000.0).max() < 2000.0


@pytest.mark.long
def test_hands_whose_airspeed_falls_to_nothing_hold_altitude_by_the_altimeter() -> None:
    # An airspeed below the stall in steady level flight is not believed: common practice, no source
    flights = held(DRAIN_OPEN)
    assert not flights.lost.any()
    assert np.abs(flights.true("altitude_ft") - 5000.0).max() < 150.0
    assert np.abs(flights.true("airspeed_kt") - 110.0).max() < 20.0
