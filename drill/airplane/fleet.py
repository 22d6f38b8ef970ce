"""Many flights flown on by several steps at once, by compiled code where that can be had.

`fly` gives what as many calls of `step` give, within rounding. The code is made from the same equations (`tracing`),
for one `World` at a time; switches and faults that stand at their defaults for all flights are left out of it.
Whether it is compiled does not depend on how many fly: flight i of N is flight i alone, bit for bit.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, fields, replace
from functools import cache, lru_cache
from typing import Any, get_type_hints

import numpy as np

from drill.airplane import kernel
from drill.airplane.arith import FLOATS
from drill.airplane.controls import Controls
from drill.airplane.draws import BLOCK, GUSTS, LOOK_STEPS, READINGS, SCANS, Draws, Instruments
from drill.airplane.elementary import Elementary
from drill.airplane.faults import Faults
from drill.airplane.kernel import Kernel
from drill.airplane.kernel_text import LANES, Program, Table
from drill.airplane.model import State, step
from drill.airplane.tracing import Graph, Operand, Settled, Symbol
from drill.airplane.world import World

_SHARED: dict[str, float] = {f"{where}.{each.name}": getattr(part, each.name)
                             for where, part in (("controls", Controls()), ("faults", Faults()))
                             for each in fields(part)}


def fly(world: World, state: State, controls: Controls, faults: Faults, draws: Draws, steps: int,
        varies: Collection[str] = (), compiled: bool | None = None) -> State:
    """Return the state `steps` steps later, under the same controls and faults all the time.

    As `step` otherwise, for one flight in floats or N in arrays. `compiled` asks for machine code (True; without
    llvmlite a ModuleNotFoundError), or for none (False); None takes it for arrays where it can be had. A program is
    compiled for the controls and faults that stand elsewhere than at their defaults, and again, for those as well,
    when more do: name those to come in `varies`, as "controls.bank_by" or "faults.pump", to have it done once.
    """
    if steps < 0:
        raise ValueError("a flight goes on by 0 or more steps")
    if world.maths is FLOATS or compiled is False or not (compiled or kernel.available()):
        for _ in range(steps):
            state = step(world, state, controls, faults, draws)
        return state
    if steps and not state.step:
        state, steps = step(world, state, controls, faults, draws), steps - 1   # the first step is another program
    return _fly(world, state, controls, faults, draws, steps, frozenset(varies)) if steps else state


@cache
def _hints(kind: type) -> dict[str, Any]:
    """Return the types of the fields of a dataclass; to work them out takes longer than a step of many flights."""
    return get_type_hints(kind)


@cache
def _leaves(kind: type, prefix: str) -> list[str]:
    """Return the names of all numbers of a nested dataclass, in the order of its fields."""
    hints = _hints(kind)
    names: list[str] = []
    for each in fields(kind):
        part = hints[each.name]
        if part is not int:
            name = f"{prefix}.{each.name}"
            names += _leaves(part, name) if hasattr(part, "__dataclass_fields__") else [name]
    return names


def _built(kind: type, prefix: str, leaf: Any, count: int) -> Any:
    """Return a nested dataclass with `leaf(name)` for each number of it, and `count` for whole ones."""
    hints = _hints(kind)
    parts = []
    for each in fields(kind):
        part, name = hints[each.name], f"{prefix}.{each.name}"
        parts.append(count if part is int else _built(part, name, leaf, count)
                     if hasattr(part, "__dataclass_fields__") else leaf(name))
    return kind(*parts)


def _values(part: Any) -> list[Any]:
    values: list[Any] = []
    for each in fields(part):
        value = getattr(part, each.name)
        if not isinstance(value, int):
            values += _values(value) if hasattr(value, "__dataclass_fields__") else [value]
    return values


@dataclass(frozen=True, slots=True)
class _DrawsToCome:
    """Stands for `Draws` while a step is traced."""

    instruments: Instruments
    tables: tuple[Table, ...]

    def readings(self, _step: int) -> tuple[Symbol, ...]:
        return self.tables[0].leaves

    def scans(self, _step: int) -> tuple[Symbol, ...]:
        return self.tables[1].leaves

    def gusts(self, _step: int) -> tuple[Symbol, ...]:
        return self.tables[2].leaves


def traced(world: World, varies: Collection[str], graph: Graph | None = None) -> Program:
    """Return one step of `world`, not its first, as a program; `varies` as for `fly`.

    `graph` None takes the elementary functions apart, as compiled code wants it; a plain `Graph` keeps them.
    """
    maths = Elementary() if graph is None else graph
    state = {name: maths.leaf(name, moving=True) for name in _leaves(State, "state")}
    given: dict[str, Symbol] = {}

    def asked(name: str) -> Operand:
        if name in _SHARED and name not in varies:
            return Settled(_SHARED[name])
        given[name] = maths.leaf(name, moving=False)
        return given[name]

    tables = tuple(
        Table(tuple(maths.leaf(f"{name} {k}", moving=True) for k in range(width)), BLOCK, steps)
        for name, width, steps in (("reading", READINGS, LOOK_STEPS), ("scan", SCANS, LOOK_STEPS), ("gust", GUSTS, 1))
    )
    controls, faults = _built(Controls, "controls", asked, 0), _built(Faults, "faults", asked, 0)
    mine = _built(Instruments, "instruments", asked, 0)
    after = step(replace(world, maths=maths), _built(State, "state", state.__getitem__, 1), controls, faults,
                 _DrawsToCome(mine, tables))  # type: ignore[arg-type]
    return Program(tuple(state.values()), tuple(_values(after)), tuple(given.values()), tables)


@dataclass(frozen=True, slots=True)
class _Compiled:
    varies: frozenset[str]
    program: Program
    run: Kernel
    gusty: bool                    # reads the draws of gusts


_COMPILED: dict[World, list[_Compiled]] = {}
_WORLDS = 8                        # whose programs are kept in memory


def _program(world: World, varies: frozenset[str]) -> _Compiled:
    known = _COMPILED[world] = _COMPILED.pop(world, [])   # the last used stands last
    fitting = [each for each in known if each.varies >= varies]
    if fitting:
        return min(fitting, key=lambda each: len(each.varies))
    varies = varies.union(*(each.varies for each in known))
    program = traced(world, varies)
    gusts = {id(each) for each in program.tables[2].leaves}
    made = _Compiled(varies, program, Kernel(program), any(id(each) in gusts for each in program.symbols()))
    known.append(made)
    for old in list(_COMPILED)[:-_WORLDS]:
        del _COMPILED[old]
    return made


@lru_cache(maxsize=8)
def _first(count: int) -> Any:
    return np.zeros((1, count))


def _columns(count: int) -> int:
    return -(-count // LANES) * LANES


def _matrix(values: list[Any], count: int) -> Any:
    """Return the leaves, numbers or arrays, as rows of one array; that array itself if they are its rows already."""
    base = getattr(values[0], "base", None)
    if base is not None and base.shape == (len(values), _columns(count)) and base.flags.c_contiguous:
        start, row = base.ctypes.data, base.strides[0]
        if all(each.base is base and each.ctypes.data == start + k * row for k, each in enumerate(values)):
            return base
    matrix = np.zeros((len(values), _columns(count)))
    for k, each in enumerate(values):
        matrix[k, :count] = each
        matrix[k, count:] = matrix[k, count - 1]
    return matrix


def _fly(world: World, state: State, controls: Controls, faults: Faults, draws: Draws, steps: int,
         hinted: frozenset[str]) -> State:
    count = len(draws.seeds)
    values = dict(zip(_SHARED, _values(controls) + _values(faults), strict=True))
    varies = hinted | {name for name, value in values.items() if np.ndim(value) or value != _SHARED[name]}
    made = _program(world, frozenset(varies))
    mine = dict(zip(_leaves(Instruments, "instruments"), _values(draws.instruments), strict=True))
    known = values | mine
    given = _matrix([known[each.name] for each in made.program.given], count)
    now, at = _matrix(_values(state), count), state.step
    out = np.empty_like(now)
    end = at + steps
    while at < end:
        looks = BLOCK * LOOK_STEPS
        stop = min(end, (at // looks + 1) * looks)
        if made.gusty:
            stop = min(stop, (at // BLOCK + 1) * BLOCK)
        tables = [(draws.rows_of_readings(at), at % looks), (draws.rows_of_scans(at), at % looks),
                  (draws.rows_of_gusts(at), at % BLOCK) if made.gusty else (_first(1), 0)]
        made.run(now, out, given, tables, count, stop - at)
        now, at = out, stop
    rows = iter(out)
    return _built(State, "state", lambda _name: next(rows)[:count], end)  # type: ignore[no-any-return]
