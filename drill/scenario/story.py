"""The story: `step(StoryState, Observation) -> (StoryState, effects)`, pure. One semantics for flight, checker and simulated pilots."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from drill.language.meaning import Action, Told
from drill.scenario.model import Effect, Scenario


@dataclass(frozen=True, slots=True)
class Observation:
    """What the story sees at one second (or at once, when a limit is met)."""

    t_s: float
    values: Mapping[str, float]              # every quantity of `quantities`, under its key
    facts: frozenset[str]                    # keys as "covered attitude_indicator", "flying by partial_panel", "is in cloud", "failed pump"
    acts: tuple[Action, ...] = ()            # done since the last observation, in order; a Transmit once it has been heard
    broken: bool = False
    on_ground: bool = False


@dataclass(frozen=True, slots=True)
class StoryState:
    """Where the story stands. Hashable; nothing in it knows how it came about."""

    phase: str
    t_s: float
    entered_s: float
    notes: frozenset[str] = frozenset()
    did: frozenset[str] = frozenset()        # keys of the scenario's patterns matched since the start
    did_here: frozenset[str] = frozenset()   # since the phase was entered
    told: Told = Told()
    plan: str = ""                           # last decision, e.g. "divert Wendle"
    holding: tuple[float | None, ...] = ()   # by branch of the phase: since when it has held
    fired: frozenset[str] = frozenset()      # keys of cues that have happened in this phase, and of events
    times: tuple[tuple[str, float | None], ...] = ()  # drawn times of failures and events; None: never
    started: frozenset[str] = frozenset()    # failures begun
    healed: frozenset[str] = frozenset()
    ended: str | None = None


def begin(scenario: Scenario, times: Mapping[str, float | None]) -> tuple[StoryState, tuple[Effect, ...]]:
    """Return the story at its first moment and what happens there. `times` has an entry for each failure and event."""
    raise NotImplementedError


def step(scenario: Scenario, state: StoryState, seen: Observation) -> tuple[StoryState, tuple[Effect, ...]]:
    """Return the story after `seen`, and what happens, in order."""
    raise NotImplementedError
