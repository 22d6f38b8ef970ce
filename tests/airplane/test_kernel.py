"""Compiled steps against the same equations on arrays, elementary functions against the C library's."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.airplane import ARRAYS, Air, Airframe, Controls, Draws, Faults, Start, State, World, begin, read, step
from drill.airplane.draws import BLOCK
from drill.airplane.elementary import Elementary
from drill.airplane.fleet import fly
from drill.airplane.kernel import Kernel
from drill.airplane.kernel_text import LANES
from drill.airplane.programs import Program, traced
from drill.airplane.seeding import generators
from drill.airplane.tracing import Graph

from .flights import leaves

pytest.importorskip("llvmlite", reason="compiled steps want llvmlite, of the extra `fast`")

EVERYTHING = Airframe(low_vacuum_light_fitted=True, standby_vacuum_fitted=True, standby_attitude_fitted=True,
                      autopilot="turn coordinator")
WORLD = World(EVERYTHING, Air(turbulence="light", wind_kt=15.0, icing="light", cloud_tops_ft=9000.0,
                              freezing_level_ft=3000.0), ARRAYS)
ALL = [f"controls.{each.name}" for each in fields(Controls)] + [f"faults.{each.name}" for each in fields(Faults)]
COUNT = 37   # no whole number of lanes


@pytest.fixture(autouse=True, scope="module")
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


def orders(rng: Any, count: int) -> Controls:
    """Orders and switches of every kind, another for each flight."""
    def any_of(*codes: float) -> Any:
        return rng.choice(codes, count)

    def between(low: float, high: float) -> Any:
        return rng.uniform(low, high, count)

    return Controls(
        bank_by=any_of(0.0, 1.0, 2.0), heading_by=any_of(0.0, 1.0, 2.0), pitch_by=any_of(0.0, 1.0, 2.0),
        lateral=any_of(0.0, 1.0, 2.0, 3.0, 4.0), heading_deg=between(0.0, 360.0), direction=any_of(-1.0, 0.0, 1.0),
        turn_by_deg=any_of(0.0, 180.0), vertical=any_of(0.0, 1.0), altitude_ft=between(3000.0, 7000.0),
        pitch_deg=between(-5.0, 5.0), power=any_of(0.0, 1.0, 2.0), airspeed_kt=between(80.0, 120.0),
        attention=between(0.2, 1.0), altimeter_setting_hpa=between(990.0, 1030.0), flaps_deg=any_of(0.0, 20.0),
        autopilot=any_of(0.0, 1.0), standby_vacuum=any_of(0.0, 1.0), alternate_static=any_of(0.0, 1.0),
        pitot_heat=any_of(0.0, 1.0), alternator=any_of(0.0, 1.0), turn_coordinator_in_sight=any_of(0.0, 1.0),
        course_north_nm=between(-10.0, 10.0), course_width_deg=any_of(0.0, 10.0),
    )


def troubles(rng: Any, count: int) -> Faults:
    """Each condition as it should be in two flights of three, and in the others somewhere on the way to the worst."""
    wrong = {}
    for each in fields(Faults):
        off, right = rng.random(count), getattr(Faults(), each.name)
        wrong[each.name] = np.where(rng.random(count) < 2.0 / 3.0, right, 1.0 - off if right == 1.0 else off)
    return Faults(**wrong)


def begun(rng: Any, seeds: range, world: World = WORLD) -> tuple[State, Draws]:
    draws = Draws(seeds)
    count = len(seeds)
    start = Start(rng.uniform(2000.0, 8000.0, count), rng.uniform(0.0, 360.0, count), rng.uniform(80.0, 130.0, count))
    return begin(world, start, draws), draws


def numbers(state: State) -> list[tuple[str, Any]]:
    return [(name, value) for name, value in leaves(state).items() if name != "step"]


def far_apart(one: State, other: State) -> dict[str, float]:
    """Where two states differ by more than 1e-9 of what is seen there; trends are changes of altitude over a step."""
    large = {"vertical_speed_fpm": 1e3, "trend_fpm": 1e3, "altimeter_moves_fpm": 1e3, "altimeter_was_ft": 1e3}
    apart = {}
    for (name, a), (_, b) in zip(numbers(one), numbers(other), strict=True):
        scale = np.maximum(np.abs(b), large.get(name.rsplit(".", 1)[-1], 1.0))
        if np.max(np.abs(a - b) / scale) > 1e-9:
            apart[name] = float(np.max(np.abs(a - b) / scale))
    return apart


ONE = ("sin", "cos", "tan", "atan", "exp", "log", "sqrt", "asin")
TWO = ("atan2", "hypot")


@lru_cache
def _functions() -> Kernel:
    m = Elementary()
    x, y, small, positive = (m.leaf(name, moving=True) for name in ("x", "y", "small", "positive"))
    outs = tuple(m.leaf(name, moving=True) for name in (*ONE, *TWO, "power"))
    asked = {"exp": x, "log": positive, "sqrt": positive, "asin": small}
    results = (x, y, small, positive, *(getattr(m, name)(asked.get(name, x)) for name in ONE),
               *(getattr(m, name)(y, x) for name in TWO), positive ** (2.0 / 7.0))
    return Kernel(Program((x, y, small, positive, *outs), results, (), ()))


@settings(deadline=None)
@given(st.floats(-700.0, 700.0), st.floats(-700.0, 700.0), st.floats(-1.0, 1.0), st.floats(1e-300, 1e300))
def test_elementary_functions_are_those_of_the_c_library_within_a_few_units_in_the_last_place(
    x: float, y: float, small: float, positive: float,
) -> None:
    table = np.zeros((4 + len(ONE) + len(TWO) + 1, LANES))
    table[:4] = np.array([x, y, small, positive])[:, None]
    out = np.empty_like(table)
    _functions()(table, out, table, [], 1, 1)
    asked = {"exp": x, "log": positive, "sqrt": positive, "asin": small}
    right = [getattr(math, name)(asked.get(name, x)) for name in ONE] + [math.atan2(y + 0.0, x + 0.0),
                                                                            math.hypot(x, y)]   # here zero has no sign
    for name, got, wanted in zip((*ONE, *TWO), out[4:, 0], right, strict=False):
        least = 1e-16 if name in ("sin", "cos", "tan", "log") else 1e-300   # near a zero: pi and 1 are rounded too
        least = 1e-150 if name == "hypot" else least   # the squares of less are no more
        assert got == pytest.approx(wanted, rel=4e-15 if name != "tan" else 1e-12, abs=least), name
    assert out[-1, 0] == pytest.approx(positive ** (2.0 / 7.0), rel=1e-12)


@settings(deadline=None, max_examples=10)
@given(st.integers(0, 2**31))
def test_a_compiled_step_is_the_step_of_the_equations_whatever_is_ordered_and_broken(seed: int) -> None:
    rng = np.random.default_rng(seed)
    state, draws = begun(rng, range(seed, seed + COUNT))
    for _ in range(3):
        state = step(WORLD, state, orders(rng, COUNT), troubles(rng, COUNT), draws)
    controls, faults = orders(rng, COUNT), troubles(rng, COUNT)
    now = fly(WORLD, state, controls, faults, draws, 1, varies=ALL, compiled=True)
    assert not far_apart(now, step(WORLD, state, controls, faults, draws))


def test_after_a_minute_compiled_flights_are_where_the_equations_take_them() -> None:
    rng = np.random.default_rng(1)
    state, draws = begun(rng, range(COUNT))
    controls, faults = orders(rng, COUNT), troubles(rng, COUNT)
    compiled = fly(WORLD, state, controls, faults, draws, 600, varies=ALL, compiled=True)
    assert compiled.step == 600
    assert not far_apart(compiled, fly(WORLD, state, controls, faults, draws, 600, compiled=False))


def test_a_flight_in_company_is_the_flight_alone_bit_for_bit() -> None:
    state, draws = begun(np.random.default_rng(2), range(COUNT))
    controls, faults = Controls(bank_by=1.0), Faults(pump=0.0)
    many = fly(WORLD, state, controls, faults, draws, 300, varies=ALL, compiled=True)
    for k in (0, 7, COUNT - 1):
        own = Draws([k])
        first = {name: value[k:k + 1].copy() for name, value in numbers(state)}
        alone = fly(WORLD, _with(state, first), controls, faults, own, 300, varies=ALL, compiled=True)
        assert all((a[k] == b[0]) for (_, a), (_, b) in zip(numbers(many), numbers(alone), strict=True))


def _with(state: State, values: dict[str, Any]) -> State:
    """The state with other numbers, by the names that `leaves` gives them."""
    ordered = iter(values.values())
    parts: list[Any] = []
    for each in fields(state):
        part = getattr(state, each.name)
        parts.append(part if isinstance(part, int) else type(part)(*(next(ordered) for _ in fields(part))))
    return State(*parts)


def test_flown_on_in_pieces_or_at_once_is_the_same_flight() -> None:
    state, draws = begun(np.random.default_rng(3), range(COUNT))
    controls, faults = Controls(), Faults(pump=0.0)
    at_once = fly(WORLD, state, controls, faults, draws, BLOCK + 90, varies=ALL, compiled=True)
    for steps in (1, 60, BLOCK - 1, 30):
        state = fly(WORLD, state, controls, faults, draws, steps, varies=ALL, compiled=True)
    assert all((a == b).all() for (_, a), (_, b) in zip(numbers(at_once), numbers(state), strict=True))


def test_what_is_left_out_of_a_program_because_it_is_right_changes_no_bit() -> None:
    air = World(Airframe(), Air(turbulence="light"), ARRAYS)
    state, draws = begun(np.random.default_rng(4), range(COUNT), air)
    lean = fly(air, state, Controls(), Faults(), draws, 100, compiled=True)
    whole = fly(air, state, Controls(), Faults(), draws, 100, varies=ALL, compiled=True)
    assert all((a == b).all() for (_, a), (_, b) in zip(numbers(lean), numbers(whole), strict=True))


def test_a_flight_that_has_ended_stays_while_the_others_fly_on() -> None:
    state, draws = begun(np.random.default_rng(5), range(COUNT))
    state = step(WORLD, state, Controls(), Faults(), draws)
    broken = np.where(np.arange(COUNT) == 3, 1.0, 0.0)
    state = replace(state, motion=replace(state.motion, broken=broken))
    later = fly(WORLD, state, Controls(), Faults(), draws, 20, varies=ALL, compiled=True)
    moved = later.navigation.north_m != state.navigation.north_m
    assert not moved[3]
    assert moved.sum() == COUNT - 1


def test_one_flight_in_floats_is_flown_on_as_by_so_many_steps() -> None:
    world, draws = World(), Draws(5)
    state = begin(world, Start(), draws)
    later = fly(world, state, Controls(), Faults(pump=0.0), draws, 7)
    for _ in range(7):
        state = step(world, state, Controls(), Faults(pump=0.0), draws)
    assert later == state


def test_the_panel_is_read_from_compiled_flights_as_from_others() -> None:
    state, draws = begun(np.random.default_rng(6), range(COUNT))
    later = fly(WORLD, state, Controls(), Faults(), draws, 10, varies=ALL, compiled=True)
    panel = read(WORLD, later, Controls(), Faults(), draws)
    assert panel.airspeed_kt.shape == (COUNT,)
    assert panel.clock_s == pytest.approx(1.0)


def test_an_equation_that_asks_if_of_a_quantity_is_refused_in_words() -> None:
    speed = Graph().leaf("speed", moving=True)
    with pytest.raises(TypeError, match="write where"):
        max(speed, 10.0)


def test_a_program_has_no_operation_twice_and_none_of_what_is_not_there() -> None:
    calm = World(Airframe(), Air(), ARRAYS)
    lean, whole = traced(calm, (), Elementary()), traced(calm, ALL, Elementary())
    made = [(each.kind, each.args) for each in lean.symbols() if each.kind != "leaf"]
    assert len({(kind, tuple(map(id, args))) for kind, args in made}) == len(made)
    assert len(lean.symbols()) < len(whole.symbols())
    drawn = {id(each) for each in lean.tables[2].leaves}
    assert not any(id(each) in drawn for each in lean.symbols())   # no gusts in calm air


def test_a_damaged_file_of_the_cache_is_compiled_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    m = Elementary()
    x = m.leaf("x", moving=True)
    program = Program((x,), (x + 1.0,), (), ())
    table, out = np.zeros((1, LANES)), np.zeros((1, LANES))
    Kernel(program)(table, out, table, [], LANES, 5)
    assert (out == 5.0).all()
    (file,) = tmp_path.rglob("*.o")
    file.write_bytes(file.read_bytes()[:100])
    Kernel(program)(table, out, table, [], LANES, 7)
    assert (out == 7.0).all()


@given(st.lists(st.integers(0, 2**33), min_size=1, max_size=5), st.integers(0, 2**32 - 1), st.integers(0, 2**20))
def test_generators_seeded_together_are_those_that_numpy_seeds_one_by_one(
    seeds: list[int], stream: int, block: int,
) -> None:
    for seed, mine in zip(seeds, generators(seeds, stream, block), strict=True):
        assert (mine.random(3) == np.random.default_rng([seed, stream, block]).random(3)).all()
