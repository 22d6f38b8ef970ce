"""Conditions: words and comparisons, joined by all, any and not; one syntax tree for every kind of truth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, Protocol, TypeAlias

from drill.scenario.acts import ActPattern
from drill.scenario.deeds import deed_key

FactKind: TypeAlias = Literal[
    "reported",      # ATC has been told that this equipment failed
    "declared",      # mayday, pan-pan, emergency, or any of them ("anything")
    "asked for",     # kind of assistance
    "told",          # element of a call: callsign, facility, impairment, position, altitude, heading, souls, fuel,
                     # intentions, conditions
    "noted",         # a flag of the story
    "failed",        # a failure of the scenario is active
    "covered",       # an instrument
    "flying by",     # partial_panel, full_panel or an instrument
    "is",            # in cloud, stalled, in a spiral, broken, on the ground
    "planned",       # "divert Tallowby": the last decision taken
    "on",            # a switch of the airplane stands at on
]


@dataclass(frozen=True, slots=True)
class All:
    """Every part holds."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class AnyOf:
    """At least one part holds."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Not:
    """The part does not hold."""

    part: Condition


@dataclass(frozen=True, slots=True)
class Did:
    """The pilot has done an act that the pattern matches, `times` times or oftener.

    `here`: since this phase was entered; `since`: since that failure first began. Without both: at any time.
    """

    pattern: ActPattern
    here: bool
    times: int = 1
    since: str = ""

    @property
    def key(self) -> str:
        """The key under which it is kept, e.g. `climb 2 times since failure pump`."""
        return deed_key(self.pattern.key, self.times, self.since)


@dataclass(frozen=True, slots=True)
class Fact:
    """Something that holds or does not."""

    kind: FactKind
    of: str


@dataclass(frozen=True, slots=True)
class Compare:
    """A quantity against a number in the quantity's own unit; `place` for a distance or bearing to a field."""

    quantity: str
    op: Literal["<", "<=", ">", ">="]
    value: float
    place: str | None = None

    @property
    def key(self) -> str:
        """The name under which the value is observed, e.g. `distance to Wendle`."""
        return self.quantity if self.place is None else f"{self.quantity} {self.place}"


Condition: TypeAlias = All | AnyOf | Not | Did | Fact | Compare


class Algebra(Protocol):
    """A kind of truth: plain values, arrays of shape (N,), or may-be values (Kleene: true, false, unknown)."""

    def did(self, key: str, *, here: bool) -> Any:
        """Say whether an act has been done, by the key of a Did."""

    def fact(self, kind: FactKind, of: str) -> Any:
        """Say whether a fact holds."""

    def compare(self, key: str, op: str, value: float) -> Any:
        """Compare a value."""

    def every(self, parts: list[Any]) -> Any:
        """Say whether all hold."""

    def some(self, parts: list[Any]) -> Any:
        """Say whether any holds."""

    def negate(self, part: Any) -> Any:
        """Turn a truth round."""


def evaluate(condition: Condition, on: Algebra) -> Any:
    """Return the truth of `condition` in the algebra `on`."""
    match condition:
        case All(parts):
            return on.every([evaluate(part, on) for part in parts])
        case AnyOf(parts):
            return on.some([evaluate(part, on) for part in parts])
        case Not(part):
            return on.negate(evaluate(part, on))
        case Did():
            return on.did(condition.key, here=condition.here)
        case Fact(kind, of):
            return on.fact(kind, of)
        case Compare():
            return on.compare(condition.key, condition.op, condition.value)


def acts_in(condition: Condition | None) -> Iterator[Did]:
    """Yield every act that `condition` asks about; None asks for none."""
    return (each for each in _leaves(condition) if isinstance(each, Did))


def facts_in(condition: Condition | None) -> Iterator[Fact]:
    """Yield every fact that `condition` asks about; None asks for none."""
    return (each for each in _leaves(condition) if isinstance(each, Fact))


def compared_in(condition: Condition | None) -> Iterator[Compare]:
    """Yield every comparison that `condition` makes; None makes none."""
    return (each for each in _leaves(condition) if isinstance(each, Compare))


def _leaves(condition: Condition | None) -> Iterator[Did | Fact | Compare]:
    match condition:
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from _leaves(part)
        case Not(part):
            yield from _leaves(part)
        case None:
            return
        case _:
            yield condition
