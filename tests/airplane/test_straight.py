"""Steps that are written out straight are the steps of the equations, to the last bit."""

from __future__ import annotations

import math
import random
from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.airplane import ARRAYS, FLOATS, Air, Airframe, Controls, Draws, Faults, Start, State, World, begin, step
from drill.airplane.programs import SHARED, traced
from drill.airplane.straight import PLAIN_STEPS, Exact, Steps, text_of
from drill.airplane.tracing import Graph, Symbol

from .flights import leaves

AIRPLANES = (
    Airframe(),
    Airframe(low_vacuum_light_fitted=True, standby_vacuum_fitted=True, standby_attitude_fitted=True,
             autopilot="turn coordinator"),
)
AIRS = (Air(), Air(turbulence="moderate", wind_kt=25.0, icing="light", cloud_tops_ft=9000.0, freezing_level_ft=3000.0))
WORLDS = [World(airplane, air) for airplane in AIRPLANES for air in AIRS]
CODES = {"bank_by": (0.0, 1.0, 2.0), "heading_by": (0.0, 1.0, 2.0), "pitch_by": (0.0, 1.0, 2.0),
         "lateral": (0.0, 1.0, 2.0, 3.0, 4.0), "direction": (-1.0, 0.0, 1.0), "vertical": (0.0, 1.0),
         "power": (0.0, 1.0, 2.0)}
RANGES = {"heading_deg": (0.0, 360.0), "turn_by_deg": (0.0, 360.0), "altitude_ft": (2000.0, 8000.0),
          "pitch_deg": (-5.0, 5.0), "airspeed_kt": (70.0, 130.0), "rpm": (1800.0, 2700.0),
          "altimeter_setting_hpa": (990.0, 1030.0)}


def orders(rng: random.Random) -> Controls:
    """Orders and switches, each anything that it can be."""
    given_now = {}
    for each in fields(Controls):
        if each.name in CODES:
            given_now[each.name] = rng.choice(CODES[each.name])
        elif each.name in RANGES:
            given_now[each.name] = rng.uniform(*RANGES[each.name])
        elif rng.random() < 0.5 and getattr(Controls(), each.name) in (0.0, 1.0):
            given_now[each.name] = rng.choice((0.0, 1.0))
    return Controls(**given_now)


def troubles(rng: random.Random) -> Faults:
    """Most conditions as they should be, the others somewhere on the way to the worst."""
    return Faults(**{each.name: rng.random() for each in fields(Faults) if rng.random() < 0.2})


def begun(world: World, seed: int, *, on_ground: bool = False) -> tuple[State, Draws]:
    draws = Draws(seed)
    start = Start(5000.0, 240.0, 105.0, on_ground=float(on_ground))
    return begin(world, start, draws), draws


def by_the_equations(world: World, state: State, controls: Controls, faults: Faults, draws: Draws, steps: int) -> State:
    for _ in range(steps):
        state = step(world, state, controls, faults, draws)
    return state


def same(one: State, other: State) -> bool:
    """Say whether two states are alike to the last bit, signs of nought included."""
    return repr(leaves(one)) == repr(leaves(other))


def made(world: World) -> Steps:
    """Return what flies by a program from now on."""
    steps = Steps(world)
    state, draws = begun(world, 0)
    steps.fly(state, Controls(), Faults(), draws, PLAIN_STEPS, limits=False)
    return steps


MADE = {k: made(world) for k, world in enumerate(WORLDS)}


@settings(deadline=None, max_examples=25)
@given(seed=st.integers(0, 2**31), k=st.sampled_from(sorted(MADE)), on_ground=st.booleans())
def test_whatever_is_ordered_and_broken_each_bit_is_that_of_the_equations(seed: int, k: int, on_ground: bool) -> None:
    rng, world = random.Random(seed), WORLDS[k]  # noqa: S311 - no secret, only the same each time
    state, draws = begun(world, seed, on_ground=on_ground)
    state = ours = step(world, state, Controls(), Faults(), draws)
    for _ in range(4):
        controls, faults = orders(rng), troubles(rng)
        count = rng.randint(1, 40)
        state = by_the_equations(world, state, controls, faults, draws, count)
        ours = MADE[k].fly(ours, controls, faults, draws, count, limits=False)
        assert same(ours, state)


def test_the_first_steps_are_flown_without_a_program_and_no_bit_tells() -> None:
    world = World()
    steps = Steps(world)
    state, draws = begun(world, 3)
    ours = state
    for count in (1, 7, PLAIN_STEPS, 1, 25):
        ours = steps.fly(ours, Controls(), Faults(), draws, count, limits=False)
        state = by_the_equations(world, state, Controls(), Faults(), draws, count)
        assert same(ours, state)


def test_a_flight_that_begins_again_flies_its_first_step_by_the_equations() -> None:
    state, draws = begun(WORLDS[1], 9)
    assert same(MADE[1].fly(state, Controls(), Faults(), draws, 1, limits=False),
                step(WORLDS[1], state, Controls(), Faults(), draws))


def test_with_limits_it_stops_at_the_step_at_which_the_airplane_meets_the_ground() -> None:
    world = WORLDS[0]
    draws = Draws(1)
    low = step(world, begin(world, Start(200.0, 90.0, 100.0), draws), Controls(), Faults(), draws)
    down = Controls(vertical=1.0, pitch_deg=-10.0, airspeed_kt=100.0)
    ended = MADE[0].fly(low, down, Faults(), draws, 1200, limits=True)
    assert ended.motion.on_ground > 0.5
    assert ended.step < 1200
    before = by_the_equations(world, low, down, Faults(), draws, ended.step - low.step - 1)
    assert before.motion.on_ground < 0.5
    assert same(ended, step(world, before, down, Faults(), draws))
    beyond = MADE[0].fly(low, down, Faults(), draws, 1200, limits=False)
    assert beyond.step == low.step + 1200


def test_no_steps_change_nothing() -> None:
    state, draws = begun(WORLDS[0], 2)
    state = step(WORLDS[0], state, Controls(), Faults(), draws)
    assert MADE[0].fly(state, Controls(), Faults(), draws, 0, limits=False) == state


def test_arrays_have_another_program() -> None:
    with pytest.raises(ValueError, match="floats"):
        Steps(World(maths=ARRAYS))


def test_what_is_written_calls_nothing_but_functions_of_numbers_and_the_draws() -> None:
    known: dict[str, object] = {}
    text = text_of(traced(WORLDS[1], SHARED, Exact()), known)
    assert "import" not in text
    assert {name for name in known if name[0].islower()} == {
        "sin", "cos", "tan", "asin", "atan", "atan2", "exp", "log", "sqrt", "hypot", "floor", "inf", "nan"}
    assert text.count("\n") < 2_000


@given(x=st.floats(-10.0, 10.0), y=st.floats(-10.0, 10.0))
def test_on_exact_symbols_nothing_is_left_out_that_would_round(x: float, y: float) -> None:
    graph = Exact()
    one, other = graph.leaf("x", moving=True), graph.leaf("y", moving=True)
    assert [(one / 3.0).kind, (one + 0.0).kind, (-one).kind, (one * 1.0).kind] == ["div", "add", "neg", "mul"]
    assert isinstance(graph.clip(one, -1.0, other), Symbol)
    assert graph.clip(x, -1.0, 1.0) == FLOATS.clip(x, -1.0, 1.0)
    assert graph.put("add", x, y) == x + y
    assert math.copysign(1.0, graph.negative(0.0)) == -1.0
    assert (Graph().leaf("x", moving=True) / 3.0).kind == "mul"
