"""One moment of a story: what is seen of the flight, and where the story stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from drill.language.meaning import Action, Told

NOTHING_TOLD = Told()


@dataclass(frozen=True, slots=True)
class Observation:
    """What the story sees at one second (or at once, when a limit is met)."""

    t_s: float
    values: Mapping[str, float]  # every quantity of `quantities`, under its key
    facts: frozenset[str]  # "covered attitude_indicator", "flying by partial_panel", "is in cloud"
    acts: tuple[Action, ...] = ()  # done since the last observation, in order; a Transmit once it has been heard
    broken: bool = False
    on_ground: bool = False


@dataclass(frozen=True, slots=True)
class StoryState:
    """Where the story stands. Hashable; nothing in it knows how it came about."""

    phase: str
    t_s: float
    entered_s: float
    notes: frozenset[str] = frozenset()
    did: frozenset[str] = frozenset()  # what the scenario asks for and was done since the start, by `deeds.deed_key`
    did_here: frozenset[str] = frozenset()  # since the phase was entered
    told: Told = NOTHING_TOLD
    plan: str = ""  # last decision, e.g. "divert Wendle"
    holding: tuple[float | None, ...] = ()  # by branch of the phase: since when it has held
    fired: frozenset[str] = frozenset()  # keys of cues that have happened in this phase, and of events
    times: tuple[tuple[str, float | None], ...] = ()  # drawn times of failures and events; None: never
    started: frozenset[str] = frozenset()  # failures begun
    healed: frozenset[str] = frozenset()
    since: tuple[tuple[str, float], ...] = ()  # active failures and when they began
    ended: str | None = None
