"""One step of the airplane as a program: traced on symbols, with the names of all that goes in and comes out."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, fields, replace
from functools import cache
from typing import Any, get_type_hints

from drill.airplane.controls import Controls
from drill.airplane.draws import BLOCK, GUSTS, LOOK_STEPS, READINGS, SCANS, Instruments
from drill.airplane.faults import Faults
from drill.airplane.model import State, step
from drill.airplane.tracing import Graph, Operand, Settled, Symbol, needed
from drill.airplane.world import World

SHARED: dict[str, float] = {f"{where}.{each.name}": getattr(part, each.name)
                             for where, part in (("controls", Controls()), ("faults", Faults()))
                             for each in fields(part)}
"""What is given from outside, by name, with its default."""


@dataclass(frozen=True, slots=True)
class Table:
    """Numbers that change as a flight goes on: of each flight, rows of one number for each leaf."""

    leaves: tuple[Symbol, ...]
    rows: int                      # of one flight in memory
    steps_a_row: int


@dataclass(frozen=True, slots=True)
class Program:
    """What one step computes: `results[k]` becomes the value of `state[k]`."""

    state: tuple[Symbol, ...]
    results: tuple[Operand, ...]
    given: tuple[Symbol, ...]      # one number for each flight
    tables: tuple[Table, ...]

    def symbols(self) -> list[Symbol]:
        """Return what has to be computed for the results, leaves included."""
        return needed(next(each for each in self.results if isinstance(each, Symbol)).graph, self.results)


@cache
def types_of(kind: type) -> dict[str, Any]:
    """Return the types of the fields of a dataclass; to work them out takes longer than a step of many flights."""
    hints: dict[str, Any] = get_type_hints(kind)
    return hints


@cache
def leaves(kind: type, prefix: str) -> list[str]:
    """Return the names of all numbers of a nested dataclass, in the order of its fields."""
    hints = types_of(kind)
    names: list[str] = []
    for each in fields(kind):
        part = hints[each.name]
        if part is not int:
            name = f"{prefix}.{each.name}"
            names += leaves(part, name) if hasattr(part, "__dataclass_fields__") else [name]
    return names


def built(kind: type, prefix: str, leaf: Any, count: int) -> Any:
    """Return a nested dataclass with `leaf(name)` for each number of it, and `count` for whole ones."""
    hints = types_of(kind)
    parts = []
    for each in fields(kind):
        part, name = hints[each.name], f"{prefix}.{each.name}"
        parts.append(count if part is int else built(part, name, leaf, count)
                     if hasattr(part, "__dataclass_fields__") else leaf(name))
    return kind(*parts)


def values_of(part: Any) -> list[Any]:
    """Return the numbers of a nested dataclass, in the order of `leaves`."""
    values: list[Any] = []
    for each in fields(part):
        value = getattr(part, each.name)
        if not isinstance(value, int):
            values += values_of(value) if hasattr(value, "__dataclass_fields__") else [value]
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


def traced(world: World, varies: Collection[str], maths: Graph) -> Program:
    """Return one step of `world`, not its first, as a program on the operations of `maths`.

    What is not in `varies` stands at its default, and is worked out ("controls.bank_by", "faults.pump").
    """
    state = {name: maths.leaf(name, moving=True) for name in leaves(State, "state")}
    given: dict[str, Symbol] = {}

    def asked(name: str) -> Operand:
        if name in SHARED and name not in varies:
            return Settled(SHARED[name])
        given[name] = maths.leaf(name, moving=False)
        return given[name]

    tables = tuple(
        Table(tuple(maths.leaf(f"{name} {k}", moving=True) for k in range(width)), BLOCK, steps)
        for name, width, steps in (("reading", READINGS, LOOK_STEPS), ("scan", SCANS, LOOK_STEPS), ("gust", GUSTS, 1))
    )
    controls, faults = built(Controls, "controls", asked, 0), built(Faults, "faults", asked, 0)
    mine = built(Instruments, "instruments", asked, 0)
    after = step(replace(world, maths=maths), built(State, "state", state.__getitem__, 1), controls, faults,
                 _DrawsToCome(mine, tables))  # type: ignore[arg-type]
    return Program(tuple(state.values()), tuple(values_of(after)), tuple(given.values()), tables)
