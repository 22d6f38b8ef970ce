"""What the gyros show: healthy, starting up, and dying; times follow from the constants and the pilots' own times."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from drill.airplane import (
    ARRAYS,
    FLOATS,
    Air,
    Airframe,
    Controls,
    Draws,
    Faults,
    Start,
    World,
    align_heading,
    gyros,
    motion,
)
from drill.airplane.constants import DEG, ERECTION_DPM, KNOT, STEP_S, TURN_STOP_DPS, WEAR
from drill.airplane.controls import (
    BY_COMPASS,
    BY_HEADING_INDICATOR,
    BY_PRESSURE,
    BY_TURN,
    KEEP_TURNING,
    TURN_TO_HEADING,
)

from .flights import CHECKS, flown, healthy, single, wrapped

DEAD = Faults(pump=0.0)
PARTIAL = Controls(bank_by=BY_TURN, heading_by=BY_COMPASS, pitch_by=BY_PRESSURE)


def run_down_s(instruments: str, to: float) -> float:
    """Time for a rotor without air to slow to a share of its speed, from the constants: the integral of dw/loss."""
    wear = WEAR[instruments]
    speeds = np.linspace(to, 1.0, 20_001)
    slowness = 1.0 / (wear.friction + wear.friction_1 * speeds + wear.friction_2 * speeds**2)
    return float(np.sum((slowness[1:] + slowness[:-1]) / 2.0 * np.diff(speeds)))


def test_a_rotor_runs_down_in_about_ten_minutes() -> None:   # about 10 min: an autopilot maker's pilot guide, p. 29
    assert 8.0 * 60 < run_down_s("fresh", 0.0) < 12.0 * 60
    for instruments in ("fresh", "worn"):
        wear, speed, t = WEAR[instruments], 1.0, 0.0
        while speed > 0.5:
            speed += STEP_S * gyros.rotor_rate(FLOATS, wear, speed, 0.0, 1.0)
            t += STEP_S
        assert t == pytest.approx(run_down_s(instruments, 0.5), rel=0.01)


@pytest.mark.parametrize("instruments", ["fresh", "worn"])
def test_a_rotor_settles_at_full_speed_on_five_inches_and_slower_on_less(instruments: str) -> None:
    def settled(suction: float) -> float:
        speed = 0.0
        for _ in range(round(900.0 / STEP_S)):
            speed += STEP_S * gyros.rotor_rate(FLOATS, WEAR[instruments], speed, suction, 1.0)
        return speed

    speeds = [settled(suction) for suction in (2.0, 3.0, 4.0, 5.0)]
    assert speeds == sorted(speeds)
    assert speeds[-1] == pytest.approx(1.0, abs=0.01)
    assert 0.8 < speeds[-2] < 0.95


@pytest.mark.long
def test_the_horizon_is_upright_within_five_minutes_of_the_start() -> None:
    # 2-3 and up to 5 minutes, FAA-H-8083-15 (1999); heading indicator 5 minutes, FAA-H-8083-15A p. 3-37
    parked = flown(300.0, seeds=40, air=Air(), start=Start(on_ground=1.0, gyros_running=0.0), every_s=10.0)
    bank = abs(parked.shown("bank_deg"))
    assert (bank[0] > 4.0).all()
    stands = parked.first(bank < 2.0)
    assert 120.0 <= np.median(stands) <= 210.0
    assert stands.max() <= 300.0
    assert (bank[-1] < 1.0).all()
    assert (parked.true("attitude_rotor")[-1] > 0.8).all()
    assert (parked.true("heading_rotor")[-1] > 0.8).all()


# earth rate 15.041 deg/h times sin(latitude); the reading falls in the northern hemisphere
@pytest.mark.parametrize("row", ["P34", "P35", "P36", "P37"])
def test_earth_rate_carries_a_heading_gyro_off(row: str) -> None:
    check = CHECKS[row]
    world = World(Airframe(heading_nut_latitude_deg=check.given.get("nut_set_for_deg", 0.0)),
                  Air(latitude_deg=check.given["latitude_deg"]))
    assert check.holds(gyros.apparent_drift_dph(world, 0.0))


def test_flying_east_carries_it_off_as_well() -> None:   # closed form (GS/60) tan(latitude)
    check = CHECKS["P38"]
    latitude = check.given["latitude_deg"]
    world = World(Airframe(heading_nut_latitude_deg=latitude), Air(latitude_deg=latitude))
    assert check.holds(gyros.apparent_drift_dph(world, check.given["east_groundspeed_kt"] * KNOT))


def test_an_ideal_heading_gyro_parked_at_45_north_loses_what_the_earth_turns() -> None:
    # 2.66 deg in 15 min at 45 N without a nut: earth rate, computed
    def lost(z: float) -> float:
        world = World(Airframe(heading_nut_latitude_deg=0.0), Air(latitude_deg=45.0))
        draws = Draws(1)
        mine = replace(draws.instruments, heading_drift_z=z)
        parked = motion.level(world, 0.0, 90.0 * DEG, 0.0 + 50.0 * KNOT, 60.0, 0.0)
        gyro = gyros.start(world, 90.0, mine, 1.0)
        for _ in range(round(900.0 / STEP_S)):
            gyro = gyros.advance(world, gyro, parked, 0.0, Controls(), Faults(), mine, 5.0, 28.0, 0.0)
        return 90.0 - float(gyro.heading_deg)

    assert lost(0.0) == pytest.approx(15.041 * math.sin(45.0 * DEG) / 4.0, abs=0.01)


@pytest.mark.long
def test_most_healthy_heading_indicators_stay_within_three_degrees_in_fifteen_minutes() -> None:
    # more than 3 deg in 15 min calls for maintenance: FAA-H-8083-15, from memory
    world, draws = World(maths=ARRAYS), Draws(list(range(200)))
    cruise = motion.level(world, np.full(200, 1500.0), np.full(200, 90.0 * DEG), 110.0 * KNOT, 60.0, 0.0)
    gyro = gyros.start(world, np.full(200, 90.0), draws.instruments, 1.0)
    for _ in range(round(900.0 / STEP_S)):
        gyro = gyros.advance(world, gyro, cruise, 0.0, Controls(), Faults(), draws.instruments, 5.0, 28.0, 0.0)
    assert np.mean(abs(gyro.heading_deg - 90.0) < 3.0) >= 0.95


def test_the_knob_sets_the_heading_indicator() -> None:
    flight = single(seed=5, controls=Controls(heading_deg=0.0)).fly(60.0)
    flight.state = align_heading(flight.state, 372.5)
    assert flight.panel.heading_deg == pytest.approx(12.5)


@pytest.mark.long
def test_a_half_turn_leaves_small_errors_that_heal() -> None:
    # FAA-H-8083-15: small bank and pitch error after a 180-degree turn, gone within a minute or so; 3 to 5 deg [memory]
    orders = Controls(lateral=TURN_TO_HEADING, direction=1.0, heading_deg=180.0)
    flight = flown(180.0, seeds=6, air=Air(), orders=lambda t: orders)
    lean = wrapped(flight.shown("bank_deg") - flight.true("bank_deg"))
    nod = flight.shown("pitch_deg") - flight.true("pitch_deg")
    error = np.median(np.hypot(lean, nod), axis=1)
    assert 2.0 < error[:90].max() < 6.5
    assert error[150:].max() < 1.5


def test_taking_off_speed_shows_a_false_climb_and_losing_it_a_false_descent() -> None:   # FAA-H-8083-15
    world, mine = World(), replace(Draws(1).instruments, attitude_pitch_z=0.0)
    for accel in (1.5, -1.5):
        moving = replace(motion.level(world, 0.0, 0.0, 90.0 * KNOT, 60.0, 0.0), accel_mps2=accel)
        gyro = gyros.start(world, 0.0, mine, 1.0)
        for _ in range(200):
            gyro = gyros.advance(world, gyro, moving, 0.0, Controls(), Faults(), mine, 5.0, 28.0, 0.0)
        assert gyro.pitch_error_deg == pytest.approx(math.copysign(ERECTION_DPM / 3.0, accel), rel=0.1)


def test_the_turn_needle_shows_standard_rate_and_rolling_and_stops_at_its_stop() -> None:
    flight = single(controls=Controls(bank_by=BY_TURN, lateral=KEEP_TURNING, direction=1.0)).fly(40.0)
    shown, true = [], []
    for _ in range(60):
        flight.fly(1.0)
        shown.append(flight.panel.turn_rate_dps)
        true.append(flight.truth.turn_rate_dps)
    assert np.mean(shown) == pytest.approx(3.0, abs=0.35)   # with the needle's own bias
    assert np.mean(true) == pytest.approx(3.0, abs=0.35)
    world, mine = World(), Draws(1).instruments
    rolling = replace(motion.level(world, 0.0, 0.0, 90.0 * KNOT, 60.0, 0.0), bank_rate_radps=5.0 * DEG)
    spinning = replace(rolling, bank_rad=80.0 * DEG, path_rad=-30.0 * DEG)
    for moving, least, most in ((rolling, 2.0, 3.6), (spinning, TURN_STOP_DPS - 0.01, TURN_STOP_DPS)):
        gyro = gyros.start(world, 0.0, mine, 1.0)
        for _ in range(60):
            gyro = gyros.advance(world, gyro, moving, 0.0, Controls(), Faults(), mine, 5.0, 28.0, 0.0)
        assert least < gyro.turn_dps <= most


@pytest.mark.parametrize("bank_deg", [-120.0, -85.0, -60.0, -30.0, 30.0, 60.0, 85.0, 120.0])
def test_in_a_spiral_however_steep_the_turn_needle_stays_on_the_side_of_the_turn(bank_deg: float) -> None:
    # the turn needle stays deflected to the side of a spiral: FAA-H-8083-15, unusual attitudes (from memory)
    world, mine = World(), replace(Draws(1).instruments, turn_bias_z=0.0)
    level = motion.level(world, 0.0, 0.0, 130.0 * KNOT, 60.0, 0.0)
    spiral = replace(level, bank_rad=bank_deg * DEG, path_rad=-25.0 * DEG)
    gyro = gyros.start(world, 0.0, mine, 1.0)
    for _ in range(60):
        gyro = gyros.advance(world, gyro, spiral, 0.0, Controls(), Faults(), mine, 5.0, 28.0, 0.0)
    assert math.copysign(1.0, bank_deg) * gyro.turn_dps > 3.0


def test_in_a_level_turn_the_needle_shows_the_turn_as_felt_across_the_floor() -> None:   # r = turn rate times cos(bank)
    for bank in (10.0, 20.0, 30.0, 45.0):
        load = 1.0 / math.cos(bank * DEG)
        turn = motion.turn_radps(FLOATS, load, bank * DEG, 0.0, 60.0)
        assert motion.yaw_radps(FLOATS, bank * DEG, 0.0, 60.0) == pytest.approx(turn * math.cos(bank * DEG))


def test_a_pulled_breaker_puts_out_the_flag_and_slowly_kills_the_needle() -> None:
    flight = single(controls=Controls(turn_breaker=0.0, lateral=KEEP_TURNING, direction=1.0)).fly(20.0)
    assert flight.panel.turn_flag == 1.0
    assert flight.panel.turn_rate_dps > 1.0
    flight.fly(280.0)
    assert abs(flight.panel.turn_rate_dps) < 0.5
    assert flight.truth.turn_rate_dps > 2.0


def test_beyond_its_limits_the_horizon_tumbles_spins_stops_tilted_and_erects_again() -> None:
    # limits: bank 100-110, pitch 60-70 deg, Navy training text 14009
    world, mine = World(), Draws(1).instruments
    level = motion.level(world, 0.0, 0.0, 90.0 * KNOT, 60.0, 0.0)
    gyro = gyros.start(world, 0.0, mine, 1.0)

    def held(bank_deg: float, pitch_deg: float, seconds: float) -> None:
        nonlocal gyro
        for _ in range(round(seconds / STEP_S)):
            gyro = gyros.advance(world, gyro, replace(level, bank_rad=bank_deg * DEG), pitch_deg, Controls(), Faults(),
                                 mine, 5.0, 28.0, 0.0)

    held(95.0, 0.0, 1.0)
    assert gyro.tumbled == 0.0
    held(0.0, 70.0, 0.5)
    assert gyro.tumbled == 1.0
    before = gyro.roll_error_deg
    held(0.0, 0.0, 1.0)
    assert abs(wrapped(gyro.roll_error_deg - before)) == pytest.approx(30.0, abs=4.0)
    held(0.0, 0.0, 6.0)
    stopped = abs(gyro.roll_error_deg)
    assert 25.0 < stopped <= 80.0
    held(0.0, 0.0, 60.0)
    assert stopped - abs(gyro.roll_error_deg) == pytest.approx(ERECTION_DPM, rel=0.15)
    held(0.0, 0.0, 600.0)
    assert gyro.tumbled == 0.0
    assert abs(gyro.roll_error_deg) < 1.5


def test_a_tumbling_horizon_nods_while_it_spins_and_a_knock_upsets_it_once() -> None:
    flight = single(seed=4, faults=Faults(attitude_tumbles=1.0))
    bank, pitch = [], []
    for _ in range(49):
        flight.fly(0.1)
        bank.append(flight.panel.bank_deg - flight.truth.bank_deg)
        pitch.append(flight.panel.pitch_deg - flight.truth.pitch_deg)
    assert flight.panel.attitude_tumbled == 1.0
    assert np.median(abs(wrapped(np.diff(bank)))) == pytest.approx(3.0, abs=0.1)   # 30 deg/s
    assert 5.0 < np.ptp(pitch) < 20.0
    flight.controls = PARTIAL
    stopped = abs(flight.fly(2.0).state.gyros.roll_error_deg)
    assert stopped > 25.0
    flight.fly(120.0)   # with suction it is on its way up, though what knocked it over is not healed
    assert abs(flight.state.gyros.roll_error_deg) < stopped - 8.0


def test_a_pitch_bar_that_sticks_stays_where_it_was_and_bank_stays_right() -> None:
    flight = single(controls=Controls(altitude_ft=7000.0, lateral=KEEP_TURNING, direction=1.0, pitch_by=BY_PRESSURE))
    before = flight.panel.pitch_deg
    flight.faults = Faults(attitude_pitch_stuck=1.0)
    flight.fly(30.0)
    assert flight.panel.pitch_deg == pytest.approx(before, abs=1e-6)
    assert flight.truth.pitch_deg > before + 1.5
    assert abs(flight.panel.bank_deg - flight.truth.bank_deg) < 5.0   # as after any turn
    flight.faults = Faults()
    assert abs(flight.fly(1.0).panel.pitch_deg - flight.truth.pitch_deg) < 10.0


def test_an_electric_heading_indicator_outlives_the_pump_and_dies_with_the_bus() -> None:
    def off(faults: Faults, controls: Controls) -> float:
        airframe = Airframe(heading_drive="electric", instruments="worn")
        flight = single(seed=3, airframe=airframe, faults=faults,
                        controls=replace(controls, lateral=KEEP_TURNING, direction=1.0)).fly(300.0)
        return abs(float(wrapped(flight.panel.heading_deg - flight.truth.heading_deg)))

    assert off(DEAD, PARTIAL) < 3.0
    assert off(Faults(), replace(Controls(), battery=0.0, alternator=0.0)) > 10.0


def test_after_a_vacuum_failure_an_electric_heading_indicator_still_holds_the_heading() -> None:
    orders = replace(PARTIAL, heading_by=BY_HEADING_INDICATOR)
    flight = flown(240.0, seeds=3, airframe=Airframe(heading_drive="electric", instruments="worn"),
                   orders=lambda t: orders, faults=lambda t: DEAD, every_s=5.0)
    assert abs(wrapped(flight.true("heading_deg"))).max() < 10.0   # ACS IR.IV.A.S1


def taxied(rotor: float, suction: float, speed_kt: float, rate_dps: float, seconds: float) -> float:
    """Most of the lean shown by an upright horizon in a taxi turn (deg), the lean out of the turn positive."""
    world, mine = World(), replace(Draws(1).instruments, attitude_drift_u=0.5)
    parked = motion.level(world, 0.0, 0.0, 50.0 * KNOT, 60.0, 1.0)
    moving = replace(parked, ground_mps=speed_kt * KNOT, turn_radps=rate_dps * DEG)
    gyro = replace(gyros.start(world, 0.0, mine, 1.0), attitude_rotor=rotor)
    shown = []
    for _ in range(round(seconds / STEP_S)):
        gyro = gyros.advance(world, gyro, moving, 0.0, Controls(), Faults(), mine, suction, 28.0, 0.0)
        shown.append(-math.copysign(1.0, rate_dps) * gyro.roll_error_deg)
    return float(max(shown))


def test_in_taxi_turns_a_healthy_horizon_leans_less_than_five_degrees_and_a_slow_one_more_one_way_at_least() -> None:
    # more than 5 deg in taxi turns: unreliable, FAA-H-8083-15 instrument check list
    both = (-12.0, 12.0)
    healthy_leans = [taxied(1.0, 5.0, 10.0, rate, 15.0) for rate in both]
    slow_leans = [taxied(0.25, 2.5, 10.0, rate, 15.0) for rate in both]
    assert max(healthy_leans) < 5.0
    assert max(slow_leans) > 5.0
    assert min(slow_leans) > 0.0   # out of the turn, either way


def test_on_the_ground_the_turn_needle_shows_the_taxi_turn() -> None:   # FAA-H-8083-15 instrument check list
    world, mine = World(), replace(Draws(1).instruments, turn_bias_z=0.0)
    parked = motion.level(world, 0.0, 0.0, 50.0 * KNOT, 60.0, 1.0)
    gyro = gyros.start(world, 0.0, mine, 1.0)
    for _ in range(50):
        gyro = gyros.advance(world, gyro, replace(parked, turn_radps=-4.0 * DEG), 0.0, Controls(), Faults(), mine, 5.0,
                             28.0, 0.0)
    assert gyro.turn_dps == pytest.approx(-4.0, abs=0.2)


def test_without_air_a_heading_indicator_is_good_for_minutes_and_useless_within_ten() -> None:
    # fails within minutes of the vacuum: instructor notes to FAA-S-8081-9B; about 10 min to run down: an autopilot
    # maker's pilot guide, p. 29. The shape between is chosen.
    count = 40
    world, draws = World(maths=ARRAYS), Draws(list(range(count)))
    cruise = motion.level(world, np.full(count, 1500.0), np.full(count, 90.0 * DEG), 110.0 * KNOT, 60.0, 0.0)
    gyro = gyros.start(world, np.full(count, 90.0), draws.instruments, 1.0)
    off = []
    for _ in range(9):
        for _ in range(600):
            gyro = gyros.advance(world, gyro, cruise, 0.0, Controls(), DEAD, draws.instruments, 0.0, 28.0, 0.0)
        off.append(float(np.median(abs(wrapped(gyro.heading_deg - 90.0)))))
    assert off[2] < 2.0
    assert 4.0 < off[5] < 12.0
    assert off[8] > 25.0


@pytest.mark.long
def test_a_stopped_horizon_lies_on_its_side_and_says_so() -> None:
    flight = flown(1200.0, seeds=5, faults=lambda t: DEAD, orders=lambda t: PARTIAL, every_s=10.0)
    assert (flight.true("attitude_rotor")[-1] == 0.0).all()
    bank, tumbled = abs(flight.shown("bank_deg")), flight.shown("attitude_tumbled")
    assert (tumbled[:18] == 0.0).all()
    assert (tumbled[-1] == 1.0).all()
    assert ((bank[-1] > 45.0) & (bank[-1] < 95.0)).all()
    assert np.ptp(bank[-12:], axis=0).max() < 15.0   # it turns with the case now, and shows nothing of the airplane


@pytest.mark.long
def test_a_healthy_horizon_leans_less_than_a_degree() -> None:
    flight = healthy()
    lean = wrapped(flight.shown("bank_deg") - flight.true("bank_deg"))
    assert np.sqrt(np.mean(lean**2)) < 1.0


@pytest.mark.long
@pytest.mark.parametrize("orders", [Controls(), PARTIAL], ids=["full panel", "partial panel"])
def test_nobody_loses_control_in_half_an_hour_with_nothing_wrong(orders: Controls) -> None:
    flight = flown(1800.0, seeds=100, orders=lambda t: orders, every_s=2.0)
    assert not flight.lost.any()
    assert abs(flight.true("bank_deg")).max() < 15.0


@pytest.mark.long
def test_hands_that_follow_a_dying_horizon_reach_thirty_degrees_after_six_to_twelve_minutes_and_spiral() -> None:
    # instrument pilots took 7.6 min on average to recognize it in flight: DOT/FAA/AM-02/19, abstract
    flight = flown(720.0, seeds=100, faults=lambda t: DEAD)
    lean = abs(wrapped(flight.shown("bank_deg") - flight.true("bank_deg")))
    assert 1.0 < np.median(lean[179]) < 6.0
    assert np.percentile(lean[179], 95) < 8.0
    steep = flight.first(abs(flight.true("bank_deg")) > 30.0)
    assert np.mean((steep >= 360.0) & (steep <= 720.0)) >= 0.9
    assert 420.0 < np.median(steep) < 540.0
    assert np.mean(flight.true("spiral").any(axis=0)) > 0.85
    assert np.mean(flight.lost[-1]) > 0.9


@pytest.mark.long
def test_the_heading_indicator_outlives_the_horizon() -> None:   # order of events: common practice, no source
    flight = flown(300.0, seeds=40, faults=lambda t: DEAD, orders=lambda t: PARTIAL)
    lean = abs(wrapped(flight.shown("bank_deg") - flight.true("bank_deg")))
    off = abs(wrapped(flight.shown("heading_deg") - flight.true("heading_deg")))
    assert np.median(lean[299]) > 1.7 * np.median(off[299])
    assert np.median(off[299]) < 4.0


@pytest.mark.long
def test_worn_instruments_are_dangerous_within_four_minutes() -> None:
    flight = flown(330.0, seeds=60, faults=lambda t: DEAD, airframe=Airframe(instruments="worn"))
    steep = flight.first(abs(flight.true("bank_deg")) > 30.0)
    assert np.percentile(steep, 5) > 120.0
    assert 150.0 < np.median(steep) < 230.0
    assert np.percentile(steep, 95) < 270.0


@pytest.mark.long
def test_partial_panel_after_the_failure_keeps_control() -> None:
    flight = flown(540.0, seeds=60, faults=lambda t: DEAD if t >= 60.0 else Faults(), every_s=2.0,
                   orders=lambda t: PARTIAL if t >= 120.0 else Controls())
    heading = abs(wrapped(flight.true("heading_deg"))).max(axis=0)
    altitude = abs(flight.true("altitude_ft") - 5000.0).max(axis=0)
    assert not flight.lost.any()
    assert np.percentile(heading, 95) < 20.0
    assert np.percentile(altitude, 95) < 200.0
