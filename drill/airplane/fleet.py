"""Many flights flown on by several steps at once, by compiled code where that can be had.

`fly` gives what as many calls of `step` give, within rounding. The code is made from the same equations (`tracing`),
for one `World` at a time; switches and faults that stand at their defaults for all flights are left out of it.
Whether it is compiled does not depend on how many fly: flight i of N is flight i alone, bit for bit.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from drill.airplane import kernel
from drill.airplane.arith import FLOATS
from drill.airplane.controls import Controls
from drill.airplane.draws import BLOCK, LOOK_STEPS, Draws, Instruments
from drill.airplane.elementary import Elementary
from drill.airplane.faults import Faults
from drill.airplane.kernel import Kernel
from drill.airplane.kernel_text import LANES
from drill.airplane.model import State, step
from drill.airplane.programs import SHARED, Program, built, leaves, traced, values_of
from drill.airplane.world import World


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
    program = traced(world, varies, Elementary())
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
    values = dict(zip(SHARED, values_of(controls) + values_of(faults), strict=True))
    varies = hinted | {name for name, value in values.items() if np.ndim(value) or value != SHARED[name]}
    made = _program(world, frozenset(varies))
    mine = dict(zip(leaves(Instruments, "instruments"), values_of(draws.instruments), strict=True))
    known = values | mine
    given = _matrix([known[each.name] for each in made.program.given], count)
    now, at = _matrix(values_of(state), count), state.step
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
    return built(State, "state", lambda _name: next(rows)[:count], end)  # type: ignore[no-any-return]
