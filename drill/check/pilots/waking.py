"""Which of N stories may move in a second: those for which `story.step` would do more than let time pass.

The story itself is `scenario.story.step`, called for one flight at a time. Here it is only seen, for many flights at
once and by the same conditions on arrays, that for most of them nothing can happen in this second: no act was done, no
time has come, no cue may happen, no branch holds or held. What is left is asked of the story.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from operator import attrgetter
from typing import Any

import numpy as np

from drill.check.pilots.columns import cut
from drill.scenario.conditions import acts_in, evaluate, facts_in
from drill.scenario.model import Cue, Scenario
from drill.scenario.moment import Observation, StoryState
from drill.scenario.story import every_condition
from drill.scenario.truth import ArrayTruth, PlainTruth, fact_key

_NEVER = np.inf
_DISCRETE = attrgetter("phase", "entered_s", "did", "did_here", "fired", "times", "started", "since")


class Stories:
    """What N stories have come to, as arrays that conditions are evaluated on; arrays of shape (N,)."""

    def __init__(self, scenario: Scenario, count: int) -> None:
        self.scenario = scenario
        self.count = count
        conditions = list(every_condition(scenario))
        self._facts = list(dict.fromkeys(fact for each in conditions for fact in facts_in(each) if fact.kind != "is"))
        self._acts = list(dict.fromkeys(act.key for each in conditions for act in acts_in(each)))
        self.facts = {fact_key(fact.kind, fact.of): np.zeros(count, dtype=bool) for fact in self._facts}
        self.acts = {key: np.zeros(count, dtype=bool) for key in self._acts}
        self.acts_here = {key: np.zeros(count, dtype=bool) for key in self._acts}
        self.phase = np.zeros(count, dtype=np.intp)          # place of the phase in the document
        self.entered_s = np.zeros(count)
        most = max(len(phase.branches) for phase in scenario.phases)
        self._since_s = np.full((most, count), np.nan)       # by branch: since when it has held; NaN: it does not
        self._next_s = np.full(count, _NEVER)                # a failure, or a cue without conditions, comes
        self._cues = [cue for cue in _cues(scenario) if cue.when is not None or cue.unless is not None]
        self._cue_s = np.full((len(self._cues), count), _NEVER)   # from when each may happen; inf: not now, or it has
        self._places = {phase.name: place for place, phase in enumerate(scenario.phases)}
        self._seen: list[Any] = [None] * count

    def note(self, which: int, story: StoryState, observed: frozenset[str]) -> None:
        """Take in where story `which` stands now; `observed` are the facts that the flight sees."""
        truth = PlainTruth(story, Observation(story.t_s, {}, observed))
        for fact in self._facts:
            self.facts[fact_key(fact.kind, fact.of)][which] = truth.fact(fact.kind, fact.of)
        self._since_s[:, which] = np.nan
        for place, since_s in enumerate(story.holding):
            if since_s is not None:
                self._since_s[place, which] = since_s
        was, self._seen[which] = self._seen[which], _DISCRETE(story)
        if was == self._seen[which]:
            return
        for key in self._acts:
            self.acts[key][which] = key in story.did
            self.acts_here[key][which] = key in story.did_here
        self.phase[which] = self._places[story.phase]
        self.entered_s[which] = story.entered_s
        self._next_s[which] = min(self._times(story), default=_NEVER)
        now = dict(_due(self.scenario, story))
        for place, cue in enumerate(self._cues):
            self._cue_s[place, which] = now.get(cue.key, _NEVER)

    def _times(self, story: StoryState) -> Iterator[float]:
        times, since = dict(story.times), dict(story.since)
        for plan in self.scenario.failures:
            at_s = times.get(plan.name)
            if at_s is not None and (plan.name not in story.started or plan.every_s is not None):
                yield at_s
            if plan.name in since and plan.lasts_s is not None:
                yield since[plan.name] + plan.lasts_s
        conditional = {cue.key for cue in self._cues}
        for key, at_s in _due(self.scenario, story):
            if key not in conditional:
                yield at_s
        yield self.scenario.time_limit_s

    def keep(self, where: Any) -> None:
        """Go on with the stories at the places `where` alone."""
        cut(self, where, self.count, "_seen")
        self.count = len(where)

    def may_move(self, t_s: float, truth: ArrayTruth, live: Any) -> Any:
        """Return which of the stories that are `live` may move at `t_s`; `truth` is of that second."""
        moves = live & (self._next_s <= t_s)
        for cue, from_s in zip(self._cues, self._cue_s, strict=True):
            due = live & ~moves & (from_s <= t_s)
            if due.any():
                where = np.flatnonzero(due)
                here = part_of(truth, where)
                holds = np.ones(len(where), dtype=bool) if cue.when is None else evaluate(cue.when, here)
                if cue.unless is not None:
                    holds = holds & ~evaluate(cue.unless, here)
                moves[where] |= holds
        for place, phase in enumerate(self.scenario.phases):
            where = np.flatnonzero(live & ~moves & (self.phase == place))
            if len(where):
                here = part_of(truth, where)
                for branch, since in zip(phase.branches, self._since_s[:, where], strict=False):
                    holds = evaluate(branch.when, here)
                    moves[where] |= (holds == np.isnan(since)) | (t_s - since >= branch.for_s)
        return moves


def part_of(truth: ArrayTruth, where: Any) -> ArrayTruth:
    """Return what holds for the flights at the places `where`."""
    return ArrayTruth(len(where), _Part(truth.values, where), _Part(truth.facts, where), _Part(truth.acts, where),
                      _Part(truth.acts_here, where))


class _Part(Mapping[str, Any]):
    """Arrays by name, cut to some places as they are asked for: conditions ask for few of them."""

    def __init__(self, whole: Mapping[str, Any], where: Any) -> None:
        self._whole, self._where = whole, where

    def __getitem__(self, key: str) -> Any:
        return self._whole[key][self._where]

    def __iter__(self) -> Iterator[str]:
        return iter(self._whole)

    def __len__(self) -> int:
        return len(self._whole)


def _cues(scenario: Scenario) -> list[Cue]:
    return [*scenario.events, *(cue for phase in scenario.phases for cue in phase.cues)]


def _due(scenario: Scenario, story: StoryState) -> Iterator[tuple[str, float]]:
    """Yield the cues that can still happen now, by their keys, and from when (s)."""
    times = dict(story.times)
    for event in scenario.events:
        at_s = times.get(event.key)
        if at_s is not None and event.key not in story.fired:
            yield event.key, at_s
    for cue in scenario.phase(story.phase).cues:
        if cue.key not in story.fired:
            yield cue.key, story.entered_s + cue.after_s
