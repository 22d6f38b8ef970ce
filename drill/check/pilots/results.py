"""What simulated pilots made of a scenario, counted: endings, branches, items of the grade sheet and their times.

Flights are flown in blocks, and blocks join (`joined`), so that it does not matter how many there were, nor
which process flew them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeAlias

Edge: TypeAlias = tuple[str, int]
"""A branch: its phase, and its place in the author's order, from 0."""

GOOD: frozenset[str] = frozenset({"done", "kept"})
"""Verdicts of an item that was met wholly."""
DONE: frozenset[str] = frozenset({"done", "late", "out of order", "incomplete", "kept"})
"""Verdicts of an item that was met at least in part."""


@dataclass(frozen=True, slots=True)
class ItemOutcome:
    """What one flight made of an item of the grade sheet, as the grader has it."""

    verdict: str                          # of `grading.debrief.Verdict`; "not needed": it did not come up
    score: float | None                   # 0 to 1; None: nothing to be graded
    at_s: float | None = None             # when it was done (flight time); None: it was not, or it is no act
    after_s: float | None = None          # the same since it could be done: the failure, the start, the item before


@dataclass(frozen=True, slots=True)
class FlightOutcome:
    """What became of one flight."""

    number: int                           # from 0
    seed: int
    skill: str
    ending: str
    flown_s: float
    edges: tuple[Edge, ...]               # branches taken, each once
    phases: tuple[str, ...]               # phases entered, each once
    items: tuple[ItemOutcome, ...]        # in the order of the sheet
    failed: bool                          # something failed in it
    knew_s: float | None = None           # from the first failure until the pilot knew that something was wrong


@dataclass(frozen=True, slots=True)
class Setup:
    """What was flown, so that it can be flown again."""

    scenario: str
    pilots: int
    first_seed: int
    skills: tuple[str, ...]
    items: tuple[str, ...]                # names, in the order of the sheet
    endings: tuple[str, ...]
    edges: tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Result:
    """What simulated pilots made of a scenario: every flight's outcome, in the order of their numbers."""

    setup: Setup
    flights: tuple[FlightOutcome, ...]
    took_s: float = 0.0                   # by the clock on the wall
    processes: int = 1
    compiled: bool = True                 # the airplane ran as machine code

    @property
    def flown_s(self) -> float:
        """Seconds of flight, of all together."""
        return sum(each.flown_s for each in self.flights)

    def of(self, skill: str) -> tuple[FlightOutcome, ...]:
        """Return the flights of one skill."""
        return tuple(each for each in self.flights if each.skill == skill)


def joined(results: Sequence[Result]) -> Result:
    """Return the results of several blocks of the same setup as one; ValueError without any."""
    if not results:
        raise ValueError("there is nothing to join")
    flights = sorted((flight for each in results for flight in each.flights), key=lambda flight: flight.number)
    return replace(results[0], flights=tuple(flights), compiled=all(each.compiled for each in results))


def edge_shares(result: Result) -> Mapping[Edge, Mapping[str, float]]:
    """Return for each branch of the story, by (phase, place from 0), the share of each skill's flights that took it.

    Every branch and every skill is in it, with 0.0 where nobody took it; a flight counts once however often it did.
    """
    return {edge: _shares(result, partial(_took, edge)) for edge in result.setup.edges}


def phase_shares(result: Result) -> Mapping[str, Mapping[str, float]]:
    """Return for each phase that any flight entered the share of each skill's flights that did."""
    entered = dict.fromkeys(name for flight in result.flights for name in flight.phases)
    return {name: _shares(result, partial(_entered, name)) for name in entered}


def ending_shares(result: Result) -> Mapping[str, Mapping[str, float]]:
    """Return for each ending, those of the document and those that the model reached, each skill's share."""
    names = dict.fromkeys((*result.setup.endings, *(flight.ending for flight in result.flights)))
    return {name: _shares(result, partial(_ended, name)) for name in names}


def _took(edge: Edge, flight: FlightOutcome) -> bool:
    return edge in flight.edges


def _entered(phase: str, flight: FlightOutcome) -> bool:
    return phase in flight.phases


def _ended(ending: str, flight: FlightOutcome) -> bool:
    return flight.ending == ending


def _shares(result: Result, holds: Callable[[FlightOutcome], bool]) -> dict[str, float]:
    shares: dict[str, float] = {}
    for skill in result.setup.skills:
        flights = result.of(skill)
        shares[skill] = sum(map(holds, flights)) / len(flights) if flights else 0.0
    return shares
