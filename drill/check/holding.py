"""Whether a condition can hold at all, and whether it always does: by its words alone, whatever the flight.

A condition is written as a sum of cases, each a set of facts and bounds, and a case is thrown out when two of them
exclude each other. What is said to be impossible is; of the rest nothing is claimed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import inf
from typing import TypeAlias

from drill.scenario.conditions import All, AnyOf, Compare, Condition, Did, Fact, Not
from drill.scenario.model import Scenario
from drill.scenario.names import URGENCIES

MOST_CASES = 4_000

Case: TypeAlias = frozenset[tuple[Condition, bool]]
"""Parts that are no further joined, each with whether it holds."""

_ANGLE, _UNSIGNED, _COURSE = (-180.0, 180.0), (0.0, 180.0), (0.0, 360.0)
_BOUNDS: Mapping[str, tuple[float, float]] = {
    "true bank": _UNSIGNED, "shown bank": _UNSIGNED, "standby bank": _UNSIGNED, "heading off": _UNSIGNED,
    "true pitch": (-90.0, 90.0), "shown pitch": _ANGLE,
    "true heading": _COURSE, "shown heading": _COURSE, "shown compass": _COURSE, "track": _COURSE,
    "true airspeed": (0.0, 500.0), "shown airspeed": (0.0, inf), "groundspeed": (0.0, 700.0),
    "true altitude": (-2_000.0, 30_000.0), "true vertical speed": (-40_000.0, 40_000.0),
    "true turn rate": (0.0, inf), "shown turn rate": (0.0, inf), "altitude off": (0.0, 60_000.0),
    "height": (0.0, 32_000.0),
    "suction": (0.0, 20.0), "volts": (0.0, 40.0), "rpm": (0.0, 5_000.0), "course needle": (0.0, 1.0),
}
"""What each quantity of `scenario.quantities` can be, in its own unit; the rest can be anything.

Limits that are no law of geometry are far beyond what a light airplane with a 28 V system comes to before it breaks.
"""
_FASTEST_NM_PER_S = 700.0 / 3600.0
"""Distance to a field grows no faster than by the greatest groundspeed."""
_ON_THE_GROUND = ("parked", "taxiing", "on the ground")


@dataclass(frozen=True, slots=True)
class Holding:
    """What can hold in flights of one scenario."""

    bounds: Mapping[str, tuple[float, float]]
    never: frozenset[tuple[str, str]]          # facts that never hold while the flight lasts

    def can(self, condition: Condition) -> bool:
        """Say whether `condition` can hold; False only where it is certain that it cannot."""
        try:
            return any(self._possible(case) for case in _cases(condition, yes=True, most=[MOST_CASES]))
        except _TooManyError:
            return True

    def always(self, condition: Condition) -> bool:
        """Say whether `condition` certainly holds at every moment."""
        return not self.can(Not(condition))

    def follows(self, premise: Condition, conclusion: Condition) -> bool:
        """Say whether whenever `premise` holds, `conclusion` certainly does."""
        return not self.can(All((premise, Not(conclusion))))

    def _possible(self, case: Case) -> bool:
        held = [each for each, yes in case if yes]
        missing = {each for each, yes in case if not yes}
        if missing & set(held) or any(_brings(one, other) for one in held for other in missing):
            return False
        facts = [each for each in held if isinstance(each, Fact)]
        if any((fact.kind, fact.of) in self.never for fact in facts):
            return False
        plans = [fact.of for fact in facts if fact.kind == "planned"]
        if any(not _same_plan(one, other) for one in plans for other in plans):
            return False
        return self._in_bounds(case)

    def _in_bounds(self, case: Case) -> bool:
        limits: dict[str, tuple[float, bool, float, bool]] = {}
        for each, yes in case:
            if not isinstance(each, Compare):
                continue
            low, low_open, high, high_open = limits.get(each.key) or self._free(each)
            op = each.op if yes else {"<": ">=", "<=": ">", ">": "<=", ">=": "<"}[each.op]
            if op in ("<", "<="):
                high, high_open = min((high, not high_open), (each.value, op == "<="))
                high_open = not high_open
            else:
                low, low_open = max((low, low_open), (each.value, op == ">"))
            limits[each.key] = low, low_open, high, high_open
        return all(low < high or (low == high and not low_open and not high_open)
                   for low, low_open, high, high_open in limits.values())

    def _free(self, compared: Compare) -> tuple[float, bool, float, bool]:
        low, high = self.bounds.get(compared.key) or self.bounds.get(compared.quantity, (-inf, inf))
        return low, False, high, False


class _TooManyError(Exception):
    """There are more cases than are looked at."""


def holding(scenario: Scenario) -> Holding:
    """Return what can hold in flights of `scenario`."""
    never = {("is", each) for each in _ON_THE_GROUND} if not scenario.start.on_ground else set[tuple[str, str]]()
    if scenario.airplane.airframe.autopilot == "none":
        never.add(("is", "autopilot on"))
    if scenario.weather.cloud is None and all(field.ceiling_ft is None for field in scenario.fields):
        never.add(("is", "in cloud"))
    bounds = dict(_BOUNDS)
    bounds |= {"time": (0.0, scenario.time_limit_s), "time in phase": (0.0, scenario.time_limit_s),
               "fuel": (0.0, scenario.start.fuel_min), "distance to": (0.0, inf), "bearing to": _COURSE}
    off_nm = _FASTEST_NM_PER_S * scenario.time_limit_s
    bounds |= {f"distance to {field.name}": (0.0, field.distance_nm + off_nm) for field in scenario.fields}
    return Holding(bounds, frozenset(never))


def _cases(condition: Condition, *, yes: bool, most: list[int]) -> Iterator[Case]:
    """Yield the cases in which `condition` holds (or does not), each a set of parts with whether they hold."""
    match condition:
        case Not(part):
            yield from _cases(part, yes=not yes, most=most)
        case All(parts) | AnyOf(parts) if isinstance(condition, All) == yes:
            yield from _together(parts, yes=yes, most=most)
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from _cases(part, yes=yes, most=most)
        case _:
            most[0] -= 1
            if most[0] < 0:
                raise _TooManyError
            yield frozenset({(condition, yes)})


def _together(parts: tuple[Condition, ...], *, yes: bool, most: list[int]) -> Iterator[Case]:
    if not parts:
        yield frozenset()
        return
    first, *rest = parts
    tails = list(_together(tuple(rest), yes=yes, most=most))
    for head in _cases(first, yes=yes, most=most):
        for tail in tails:
            most[0] -= 1
            if most[0] < 0:
                raise _TooManyError
            yield head | tail


def _brings(one: Condition, other: Condition) -> bool:
    """Say whether `other` holds whenever `one` does."""
    match one, other:
        case Did(mine), Did(theirs) if (one.here or not other.here) and other.since in ("", one.since):
            named = mine.verb == "report" and theirs.verb == "diagnose" and theirs.object in ("", mine.object)
            return named or (mine == theirs and one.times >= other.times)     # who reports a failure has named it
        case Fact("declared", mine_of), Fact("declared", theirs_of):
            return URGENCIES.index(mine_of) >= URGENCIES.index(theirs_of)
        case Fact("planned", mine_of), Fact("planned", theirs_of):
            return mine_of.startswith(f"{theirs_of} ")
        case _:
            return False


def _same_plan(one: str, other: str) -> bool:
    return one == other or one.startswith(f"{other} ") or other.startswith(f"{one} ")
