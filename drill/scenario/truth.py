"""Kinds of truth for `conditions.evaluate`: plain values, arrays of flights, and may-be values."""

from __future__ import annotations

import operator
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np

from drill.scenario.acts import has_told, is_declared
from drill.scenario.conditions import FactKind
from drill.scenario.moment import Observation, StoryState
from drill.scenario.names import rightly_named

_OPS: Mapping[str, Any] = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}

Maybe: TypeAlias = bool | None
"""True, false, or None: unknown."""


def fact_key(kind: str, of: str) -> str:
    """Return the one name of a fact, e.g. `covered attitude_indicator`; a Fact "is" reads `is in cloud`."""
    return f"{kind} {of}"


@dataclass(frozen=True, slots=True)
class PlainTruth:
    """What holds for one flight: the story so far and what is observed now."""

    state: StoryState
    seen: Observation

    def did(self, key: str, *, here: bool) -> bool:
        """Say whether the act has been done."""
        return key in (self.state.did_here if here else self.state.did)

    def fact(self, kind: FactKind, of: str) -> bool:
        """Say whether the fact holds: by the story for calls, flags, plans and failures, else as observed."""
        told = self.state.told
        match kind:
            case "reported":
                return rightly_named(of, told.equipment)
            case "declared":
                return is_declared(told, of)
            case "asked for":
                return of in told.assistance
            case "told":
                return has_told(told, of)
            case "noted":
                return of in self.state.notes
            case "failed":
                return of in self.state.started and of not in self.state.healed
            case "planned":
                return self.state.plan == of or self.state.plan.startswith(f"{of} ")
            case _:
                return fact_key(kind, of) in self.seen.facts

    def compare(self, key: str, op: str, value: float) -> bool:
        """Compare an observed value; KeyError if it is not observed. The two times are the story's own."""
        if key == "time":
            found = self.seen.t_s
        elif key == "time in phase":
            found = self.seen.t_s - self.state.entered_s
        else:
            found = self.seen.values[key]
        return bool(_OPS[op](found, value))

    def every(self, parts: list[bool]) -> bool:
        """Say whether all hold."""
        return all(parts)

    def some(self, parts: list[bool]) -> bool:
        """Say whether any holds."""
        return any(parts)

    def negate(self, part: bool) -> bool:
        """Turn a truth round."""
        return not part


@dataclass(frozen=True, slots=True)
class ArrayTruth:
    """What holds for N flights at once: bool arrays of shape (N,). A fact or act that is not given does not hold."""

    n: int
    values: Mapping[str, Any]  # float arrays of shape (N,), by quantity key
    facts: Mapping[str, Any] = field(default_factory=dict)  # bool arrays, by `fact_key`
    acts: Mapping[str, Any] = field(default_factory=dict)  # bool arrays, by pattern key: since the start
    acts_here: Mapping[str, Any] = field(default_factory=dict)  # since the phase was entered

    def did(self, key: str, *, here: bool) -> Any:
        """Return where the act has been done."""
        return self._given(self.acts_here if here else self.acts, key)

    def fact(self, kind: FactKind, of: str) -> Any:
        """Return where the fact holds."""
        return self._given(self.facts, fact_key(kind, of))

    def compare(self, key: str, op: str, value: float) -> Any:
        """Return where the comparison holds; KeyError if the value is not given."""
        return np.broadcast_to(np.asarray(_OPS[op](self.values[key], value), dtype=bool), (self.n,))

    def every(self, parts: list[Any]) -> Any:
        """Return where all hold."""
        return np.logical_and.reduce([np.ones(self.n, dtype=bool), *parts])

    def some(self, parts: list[Any]) -> Any:
        """Return where any holds."""
        return np.logical_or.reduce([np.zeros(self.n, dtype=bool), *parts])

    def negate(self, part: Any) -> Any:
        """Turn truths round."""
        return np.logical_not(part)

    def _given(self, by_key: Mapping[str, Any], key: str) -> Any:
        found = by_key.get(key)
        return np.zeros(self.n, dtype=bool) if found is None else np.asarray(found, dtype=bool)


@dataclass(frozen=True, slots=True)
class MayTruth:
    """What may hold: true, false, or None for unknown (Kleene). What is not given is unknown."""

    ranges: Mapping[str, tuple[float, float]] = field(default_factory=dict)  # lowest and highest value, by quantity key
    facts: Mapping[str, Maybe] = field(default_factory=dict)  # by `fact_key`
    acts: Mapping[str, Maybe] = field(default_factory=dict)  # by pattern key
    acts_here: Mapping[str, Maybe] = field(default_factory=dict)

    def did(self, key: str, *, here: bool) -> Maybe:
        """Say whether the act has been done, as far as is known."""
        return (self.acts_here if here else self.acts).get(key)

    def fact(self, kind: FactKind, of: str) -> Maybe:
        """Say whether the fact holds, as far as is known."""
        return self.facts.get(fact_key(kind, of))

    def compare(self, key: str, op: str, value: float) -> Maybe:
        """Compare every value that is possible; unknown where some do and some do not."""
        found = self.ranges.get(key)
        if found is None:
            return None
        low, high = _OPS[op](found[0], value), _OPS[op](found[1], value)
        return bool(low) if low == high else None

    def every(self, parts: list[Maybe]) -> Maybe:
        """Say whether all hold: one false is enough for false."""
        if any(part is False for part in parts):
            return False
        return None if any(part is None for part in parts) else True

    def some(self, parts: list[Maybe]) -> Maybe:
        """Say whether any holds: one true is enough for true."""
        if any(part is True for part in parts):
            return True
        return None if any(part is None for part in parts) else False

    def negate(self, part: Maybe) -> Maybe:
        """Turn a truth round; the unknown stays unknown."""
        return None if part is None else not part
