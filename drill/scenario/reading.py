"""What is gathered while a document is read: its problems, and the names that it refers to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final, Literal, TypeAlias

from drill.scenario.problems import Place, Problem
from drill.scenario.units import UnitError


class _Bad:
    """The value of what could not be read. Its fault has been told; nothing more is said about it."""

    def __repr__(self) -> str:
        return "BAD"


BAD: Final = _Bad()

NameKind: TypeAlias = Literal["phase", "ending", "failure", "field", "item", "flag", "checklist", "airplane", "part",
                              "switch"]


@dataclass(frozen=True, slots=True)
class Reference:
    """A name that something else in the scenario has to define."""

    kind: NameKind
    name: str
    place: Place
    remedy: str = ""  # what to do if nothing defines it; empty: what is usual


@dataclass(slots=True)
class Reading:
    """Problems and references so far.

    `named`: values that a condition may name, e.g. `minimum altitude` (ft). `elsewhere`: where in the document a key
    has a meaning, in words, for one that stands in the wrong place.
    """

    problems: list[Problem] = field(default_factory=list)
    references: list[Reference] = field(default_factory=list)
    raised: set[str] = field(default_factory=set)  # flags that some effect raises
    named: Mapping[str, float | None] = field(default_factory=dict)
    elsewhere: Callable[[str], tuple[str, ...]] = lambda _: ()

    def wrong(self, place: Place, rule: str, wrong: str, allowed: str = "", remedy: str = "") -> Any:
        """Note a problem and return BAD."""
        self.problems.append(Problem(place, rule, wrong, allowed, remedy))
        return BAD

    def unit(self, place: Place, key: str, error: UnitError) -> Any:
        """Note a quantity that cannot be read and return BAD."""
        said = f"`{key}`: {error.wrong}" if key else error.wrong
        return self.wrong(place, error.rule, said, error.allowed, error.remedy)

    def refer(self, kind: NameKind, name: str, place: Place) -> None:
        """Note that `name` is used."""
        self.references.append(Reference(kind, name, place))

    def remedied(self, problems: int, references: int, remedy: str) -> None:
        """Give what has been noted since there were so many `problems` and `references` another remedy."""
        self.problems[problems:] = [replace(each, remedy=remedy) for each in self.problems[problems:]]
        self.references[references:] = [replace(each, remedy=remedy) for each in self.references[references:]]


@dataclass(slots=True)
class Entry:
    """A mapping as read: its values by key in the author's order (BAD where unreadable), and where the keys stand."""

    place: Place
    values: dict[str, Any] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    spoiled: set[str] = field(default_factory=set)  # keys (also unknown ones) below which the shape is not as wanted

    def get(self, key: str, default: Any = None) -> Any:
        """Return the value, or `default` where it is absent or could not be read."""
        value = self.values.get(key, default)
        return default if value is BAD else value

    def at(self, key: str) -> Place:
        """Return where the key stands, or the whole entry."""
        return self.places.get(key, self.place)


SHAPE_RULES = frozenset({"unknown-key", "missing-key", "one-of", "wrong-kind", "empty-value"})
"""Faults of the shape: below them something may be hidden, so what seems to be absent is not called absent."""
