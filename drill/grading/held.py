"""When a scenario's condition held, as the record tells it: the story's own truth on the recorded story."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from drill.flight.events import Trace
from drill.grading.timeline import Timeline
from drill.scenario.acts import planned
from drill.scenario.conditions import Condition, Did, acts_in, evaluate
from drill.scenario.moment import Observation, StoryState
from drill.scenario.names import same_place
from drill.scenario.truth import PlainTruth


@dataclass(frozen=True, slots=True)
class Recorded(PlainTruth):
    """What holds at one second of a record; a value that the record does not have makes its comparison false."""

    def compare(self, key: str, op: str, value: float) -> bool:
        """Compare an observed value."""
        if key not in self.seen.values and key not in ("time", "time in phase"):
            return False
        return PlainTruth.compare(self, key, op, value)


def held(condition: Condition, line: Timeline, start: float = 0.0) -> Iterator[tuple[Trace, bool]]:
    """Yield each trace from `start` (s) on, with whether the condition held at it."""
    if (known := line.truths.get(condition)) is not None:
        yield from ((line.traces[place], bool(known[place])) for place in line.indices(start))
        return
    done = _done(condition, line)
    for trace in line.between(start):
        yield trace, bool(evaluate(condition, _recorded(line, trace, done)))


def first_held(condition: Condition, line: Timeline, start: float = 0.0) -> float | None:
    """Return when (s) the condition held first, from `start` on; None: never."""
    if (known := line.truths.get(condition)) is not None:
        return next((line.times[place] for place in line.indices(start) if known[place]), None)
    return next((trace.t for trace, truth in held(condition, line, start) if truth), None)


def held_at(condition: Condition, line: Timeline, t: float) -> bool:
    """Say whether the condition held at `t` (s)."""
    if line.times and (known := line.truths.get(condition)) is not None:
        return bool(known[max(0, bisect_right(line.times, t) - 1)])
    trace = line.at(t)
    return trace is not None and bool(evaluate(condition, _recorded(line, trace, _done(condition, line))))


def plan_at(line: Timeline, t: float) -> str:
    """Return the last decision taken by `t` (s) as the story has it, e.g. `divert Wendle`, `cancel_ifr`; "": none."""
    decided = [decision for deed in line.deeds
               if deed.t <= t and deed.heard and (decision := planned(deed.action)) is not None]
    if not decided:
        return ""
    where = decided[-1].where or ""
    place = next((place for place in line.places if same_place(where, place)), where)
    return f"{decided[-1].plan} {place}".strip()


def _recorded(line: Timeline, trace: Trace, done: Mapping[Did, tuple[float, ...]]) -> Recorded:
    now = trace.t
    entered = max((event.t for event in line.entered if event.t <= now), default=0.0)
    state = StoryState(
        phase=trace.phase,
        t_s=now,
        entered_s=entered,
        notes=frozenset(event.flag for event in line.noted if event.t <= now),
        did=_keys(done, now),
        did_here=_keys(done, now, entered),
        told=line.told_at(now),
        plan=plan_at(line, now),
        started=frozenset(onset.failure for onset in line.onsets if onset.t <= now),
        healed=frozenset(onset.failure for onset in line.onsets if onset.healed is not None and onset.healed <= now),
    )
    return Recorded(state, Observation(t_s=now, values=trace.values, facts=frozenset(trace.facts)))


def _done(condition: Condition, line: Timeline) -> dict[Did, tuple[float, ...]]:
    """Return by what the condition asks about when (s) it was done; not before the failure since which it is asked for.

    What ends with the very second at which a failure or a phase begins was done before, as in the story.
    """
    began: dict[str, float] = {}
    for onset in line.onsets:
        began.setdefault(onset.failure, onset.t)
    return {act: tuple(deed.t for deed in line.deeds if deed.heard and act.pattern.matches(deed.action, deed.told)
                       and (not act.since or deed.t > began.get(act.since, math.inf)))
            for act in acts_in(condition)}


def _keys(done: Mapping[Did, tuple[float, ...]], now: float, after: float = -math.inf) -> frozenset[str]:
    """Return the keys of what had been done so often, after a time and by `now` (s)."""
    return frozenset(act.key for act, times in done.items() if sum(after < t <= now for t in times) >= act.times)
