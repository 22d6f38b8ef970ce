"""One flight and many, one seed and its air, states that can be written down and taken up again."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from drill.airplane import (
    ARRAYS,
    FLOATS,
    STEP_S,
    Air,
    Airframe,
    Controls,
    Draws,
    Faults,
    Start,
    State,
    World,
    begin,
    draw_uniform,
    motion,
    read,
    step,
    truths,
)
from drill.airplane.controls import BY_COMPASS, BY_PRESSURE, BY_TURN
from drill.airplane.draws import GUSTS

from .flights import leaves, single

LIGHT = Air(turbulence="light", wind_from_deg=250.0, wind_kt=18.0, temperature_deviation_c=7.0)


def orders(t: float) -> Controls:
    if t < 30.0:
        return Controls()
    if t < 80.0:
        return Controls(heading_deg=75.0, altitude_ft=5600.0)
    return Controls(bank_by=BY_TURN, heading_by=BY_COMPASS, pitch_by=BY_PRESSURE, heading_deg=75.0, altitude_ft=5600.0)


def faults(t: float) -> Faults:
    return Faults(pump=0.0) if t > 40.0 else Faults()


def flight(maths: Any, seed: Any, seconds: float) -> tuple[World, State, Draws]:
    world, draws = World(air=LIGHT, maths=maths), Draws(seed)
    state = begin(world, Start(), draws)
    for count in range(round(seconds / STEP_S)):
        t = count * STEP_S
        state = step(world, state, orders(t), faults(t), draws)
    return world, state, draws


def test_a_flight_in_floats_is_the_flight_in_arrays() -> None:
    _, one, _ = flight(FLOATS, 11, 120.0)
    _, many, _ = flight(ARRAYS, [3, 11, 8], 120.0)
    for name, value in leaves(one).items():
        if name != "step":
            assert leaves(many)[name][1] == pytest.approx(value, abs=1e-6, rel=1e-6), name


@pytest.mark.long
def test_flight_i_of_many_is_flight_i_alone() -> None:
    _, many, _ = flight(ARRAYS, [5, 6, 7, 8], 60.0)
    for place, seed in enumerate([5, 6, 7, 8]):
        _, alone, _ = flight(ARRAYS, [seed], 60.0)
        for name, value in leaves(alone).items():
            if name != "step":
                assert leaves(many)[name][place] == value[0], name


def test_a_flight_that_has_ended_does_not_touch_the_others() -> None:
    world, draws = World(air=LIGHT, maths=ARRAYS), Draws([5, 6])
    state = begin(world, Start(altitude_ft=np.array([40.0, 5000.0])), draws)
    alone_draws = Draws([6])
    alone = begin(world, Start(), alone_draws)
    down = Controls(altitude_ft=np.array([-500.0, 5000.0]))
    for _ in range(400):
        state = step(world, state, down, Faults(), draws)
        alone = step(world, alone, Controls(), Faults(), alone_draws)
    assert truths(world, state, down).on_ground.tolist() == [1.0, 0.0]
    assert state.motion.altitude_m[1] == alone.motion.altitude_m[0]


def test_the_same_seed_flies_the_same_flight_and_another_seed_another() -> None:
    first, again, other = flight(FLOATS, 2, 20.0)[1], flight(FLOATS, 2, 20.0)[1], flight(FLOATS, 3, 20.0)[1]
    assert first == again
    assert first.motion.altitude_m != other.motion.altitude_m


def test_a_flight_taken_up_from_its_written_state_goes_on_exactly() -> None:
    adapter = TypeAdapter(State)
    world, state, draws = flight(FLOATS, 4, 47.3)
    back = adapter.validate_json(adapter.dump_json(state))
    assert back == state
    fresh = Draws(4)
    for _ in range(300):
        state = step(world, state, orders(60.0), faults(60.0), draws)
        back = step(world, back, orders(60.0), faults(60.0), fresh)
    assert back == state


def test_what_is_read_does_not_change_the_flight() -> None:
    plain = single(seed=9, air=LIGHT).fly(30.0)
    looked_at = single(seed=9, air=LIGHT)
    for _ in range(300):
        looked_at.fly(STEP_S)
        assert looked_at.panel == looked_at.panel
    assert plain.state == looked_at.state


def test_floats_stay_floats_and_panels_of_many_have_one_row_each() -> None:
    world, state, draws = flight(FLOATS, 1, 1.0)
    values = leaves(state) | leaves(read(world, state, Controls(), Faults(), draws))
    values |= leaves(truths(world, state, Controls()))
    for name, value in values.items():
        assert type(value) is (int if name == "step" else float), name
    world, state, draws = flight(ARRAYS, [1, 2, 3], 1.0)
    for name, value in leaves(state).items():
        assert name == "step" or value.shape == (3,), name
    assert read(world, state, Controls(), Faults(), draws).bank_deg.shape == (3,)


def test_draws_and_arithmetic_must_fit() -> None:
    with pytest.raises(ValueError, match="FLOATS"):
        begin(World(maths=FLOATS), Start(), Draws([1, 2]))
    with pytest.raises(ValueError, match="ARRAYS"):
        begin(World(maths=ARRAYS), Start(), Draws(1))
    with pytest.raises(ValueError, match="from 0 up"):
        Draws(-3)


def test_random_numbers_do_not_depend_on_the_order_of_asking() -> None:
    asked = [0, 199, 200, 201, 5000, 3, 777, 200]
    forward, backward = Draws(6), Draws(6)
    one = {count: (forward.gusts(count), forward.readings(count), forward.scans(count)) for count in asked}
    other = {count: (backward.gusts(count), backward.readings(count), backward.scans(count)) for count in asked[::-1]}
    assert one == other
    assert one[199][0] != one[200][0]
    assert forward.instruments == backward.instruments


def test_every_gust_that_is_drawn_moves_the_airplane() -> None:
    world, draws = World(air=LIGHT), Draws(3)
    was = begin(world, Start(), draws).motion
    still = (0.0,) * GUSTS
    calm = motion.advance(world, was, Controls(), 0.0, was.attack_rad, was.throttle, 1.0, 0.0, 1.0, still)
    for place in range(GUSTS):
        gust = (*still[:place], 1.0, *still[place + 1:])
        assert motion.advance(world, was, Controls(), 0.0, was.attack_rad, was.throttle, 1.0, 0.0, 1.0, gust) != calm


def test_gusts_are_standard_normal_and_scans_uniform() -> None:
    draws = Draws(12)
    gusts = np.array([draws.gusts(count) for count in range(4000)])
    scans = np.array([draws.scans(count) for count in range(4000)])
    assert abs(gusts.mean(axis=0)).max() < 0.08
    assert abs(gusts.std(axis=0) - 1.0).max() < 0.06
    assert 0.0 <= scans.min() < scans.max() < 1.0
    assert abs(scans.mean(axis=0) - 0.5).max() < 0.03


@given(st.integers(0, 2**40), st.text(min_size=1, max_size=20), st.integers(0, 1000))
def test_named_draws_depend_on_seed_stream_and_index_alone(seed: int, stream: str, index: int) -> None:
    value = draw_uniform(seed, stream, index)
    assert 0.0 <= value < 1.0
    assert value == draw_uniform(seed, stream, index)
    assert value != draw_uniform(seed + 1, stream, index)
    assert value != draw_uniform(seed, stream, index + 1)


number = st.floats(0.0, 1.0)
any_controls = st.builds(
    Controls, bank_by=st.sampled_from([0.0, 1.0]), heading_by=st.sampled_from([0.0, 1.0, 2.0]),
    pitch_by=st.sampled_from([0.0, 1.0]), lateral=st.sampled_from([0.0, 1.0, 2.0, 3.0, 4.0]),
    heading_deg=st.floats(0.0, 359.9), direction=st.sampled_from([-1.0, 0.0, 1.0]), turn_rate_dps=st.floats(0.0, 6.0),
    turn_by_deg=st.floats(0.0, 720.0), turn_coordinator_in_sight=st.sampled_from([0.0, 1.0]),
    vertical=st.sampled_from([0.0, 1.0]), altitude_ft=st.floats(-1000.0, 20_000.0), climb_fpm=st.floats(0.0, 3000.0),
    pitch_deg=st.floats(-45.0, 45.0), power=st.sampled_from([0.0, 1.0]), airspeed_kt=st.floats(0.0, 250.0),
    throttle=number, attention=number, altimeter_setting_hpa=st.floats(940.0, 1050.0), flaps_deg=st.floats(0.0, 40.0),
    standby_vacuum=st.sampled_from([0.0, 1.0]), alternate_static=st.sampled_from([0.0, 1.0]),
    alternator=st.sampled_from([0.0, 1.0]), battery=st.sampled_from([0.0, 1.0]), avionics=st.sampled_from([0.0, 1.0]),
    carburettor_heat=st.sampled_from([0.0, 1.0]), turn_breaker=st.sampled_from([0.0, 1.0]),
    course_north_nm=st.floats(-50.0, 50.0), course_east_nm=st.floats(-50.0, 50.0), course_deg=st.floats(0.0, 360.0),
    course_width_deg=st.sampled_from([0.0, 2.5, 10.0]),
)
any_faults = st.builds(
    Faults, pump=number, clog=number, leak=number, standby_vacuum=number, suction_gauge=st.sampled_from([0.0, 1.0]),
    attitude_drift_dpm=st.floats(-60.0, 60.0), attitude_friction=st.floats(1.0, 20.0), attitude_stopped=number,
    heading_drift_dph=st.floats(-720.0, 720.0), heading_seized=number, heading_stopped=number,
    turn_power=number, turn_rotor=number, turn_bias_dps=st.floats(-3.0, 3.0), compass_stuck=st.sampled_from([0.0, 1.0]),
    alternator=st.sampled_from([0.0, 1.0]),
)


@pytest.mark.long
@given(seed=st.integers(0, 10_000), turbulence=st.sampled_from(["calm", "severe"]), parked=st.sampled_from([0.0, 1.0]),
       instruments=st.sampled_from(["fresh", "worn"]), begins=st.floats(0.0, 12_000.0), kt=st.floats(60.0, 150.0),
       parts=st.lists(st.tuples(any_controls, any_faults, st.integers(1, 150)), min_size=1, max_size=5))
@settings(max_examples=60, deadline=None)
def test_no_order_and_no_fault_makes_a_number_that_is_none(
    seed: int, turbulence: str, parked: float, instruments: str, begins: float, kt: float,
    parts: list[tuple[Controls, Faults, int]],
) -> None:
    world = World(Airframe(instruments=instruments, standby_vacuum_fitted=True),
                  Air(turbulence=turbulence, ground_ft=-900.0))
    draws = Draws(seed)
    state = begin(world, Start(altitude_ft=begins, airspeed_kt=kt, on_ground=parked, gyros_running=1.0 - parked), draws)
    for controls, broken, steps in parts:
        for _ in range(steps):
            state = step(world, state, controls, broken, draws)
        shown = read(world, state, controls, broken, draws)
        for name, value in (leaves(state) | leaves(shown) | leaves(truths(world, state, controls))).items():
            assert math.isfinite(value), name
        assert 0.0 <= shown.heading_deg < 360.0
        assert 0.0 <= shown.compass_deg < 360.0
        assert -180.0 <= shown.bank_deg < 180.0
        assert -1.0 <= shown.course_deviation <= 1.0
        assert shown.airspeed_kt >= 0.0


def test_a_fork_meets_the_same_air() -> None:
    flight_ = single(seed=3, air=LIGHT).fly(25.0)
    world, draws, state = flight_.world, flight_.draws, flight_.state
    turned = step(world, state, replace(Controls(), heading_deg=90.0), Faults(), draws)
    straight = step(world, state, Controls(), Faults(), draws)
    assert turned.motion.gust_up_mps == straight.motion.gust_up_mps
