"""What became of a simulated pilot's flight: its ending and branches, and its grade sheet by the grader's own rules."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, overload

from drill.check.pilots.flown import Kept
from drill.check.pilots.items import of_failure
from drill.check.pilots.results import Edge, FlightOutcome, ItemOutcome
from drill.check.pilots.sheet_truths import SHOWN
from drill.flight.events import Ended, Entered, Failed, Noted, Trace
from drill.grading.evidence import Evidence
from drill.grading.held import held
from drill.grading.sheet import grade_sheet
from drill.grading.situation import Situation
from drill.grading.timeline import Timeline, timeline
from drill.scenario.conditions import Condition
from drill.scenario.model import Note, Scenario

_MARK = "simulated pilots took "
_SIMULATED = "what a tireless cross-check would have known"


def marked(scenario: Scenario) -> Scenario:
    """Return the scenario with a flag for each branch that is taken; nothing asks for it, so it flies the same."""
    return replace(scenario, phases=tuple(
        replace(phase, branches=tuple(
            replace(branch, effects=(Note(f"{_MARK}{number} of {phase.name}"), *branch.effects))
            for number, branch in enumerate(phase.branches)))
        for phase in scenario.phases))


def edges(scenario: Scenario) -> dict[str, Edge]:
    """Return the branches of a scenario by the flags of `marked`."""
    return {f"{_MARK}{number} of {phase.name}": (phase.name, number)
            for phase in scenario.phases for number in range(len(phase.branches))}


class Seconds(Sequence[Trace]):
    """A flight's traces, one a second, made as they are asked for: what seldom changes as it was last, and `SHOWN`."""

    def __init__(self, kept: Sequence[Trace], shown: Any, seconds: int) -> None:
        self._shown: list[list[float]] = shown.T.round(3).tolist()
        self._made: dict[int, Trace] = {}
        self._last: list[Trace] = []
        waiting, last = 0, kept[0]
        for second in range(seconds):
            while waiting < len(kept) and kept[waiting].t <= second:
                last, waiting = kept[waiting], waiting + 1
            self._last.append(last)
        if kept[-1].t > seconds - 1:
            self._last.append(kept[-1])

    def __len__(self) -> int:
        return len(self._last)

    @overload
    def __getitem__(self, place: int) -> Trace: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[Trace]: ...

    def __getitem__(self, place: int | slice) -> Trace | Sequence[Trace]:
        if isinstance(place, slice):
            return [self[each] for each in range(*place.indices(len(self)))]
        place = range(len(self))[place]
        if place not in self._made:
            last = self._last[place]
            shown = dict(zip(SHOWN, self._shown[min(place, len(self._shown) - 1)], strict=True))
            self._made[place] = Trace(max(float(place), last.t), shown, {}, {}, last.facts, last.controls,
                                      last.covered, last.reference, last.busy, last.phase)
        return self._made[place]

    @property
    def times(self) -> tuple[float, ...]:
        """When each of them is (s)."""
        return tuple(max(float(place), trace.t) for place, trace in enumerate(self._last))


def line_of(scenario: Scenario, kept: Kept, truths: Mapping[Condition, Any], shown: Any) -> Timeline:
    """Return a simulated pilot's flight as the grader reads one; `truths` and `shown` as of `SheetTruths.columns`."""
    line = timeline(kept.events, tuple(field.name for field in scenario.fields))
    end = kept.traces[-1]
    flown = end.t if line.ended is not None else float(shown.shape[1] - 1)
    traces = Seconds(kept.traces, shown, int(flown) + 1)
    known: dict[Condition, list[bool]] = {}
    for condition, column in truths.items():
        held_then = column[:int(flown) + 1].tolist()
        if len(traces) > len(held_then):   # between two seconds the airplane broke up, or met the ground
            held_then += [truth for _, truth in held(condition, replace(line, traces=(end,), times=(end.t,)))]
        known[condition] = held_then
    return replace(line, traces=traces, times=traces.times, truths=known, flown_s=flown)


@dataclass(frozen=True, slots=True)
class Who:
    """Which flight it was."""

    number: int
    seed: int
    skill: str
    knew_at_s: float | None                # when the pilot knew of the first failure


def outcome(scenario: Scenario, kept: Kept, line: Timeline, who: Who,
            evident_s: Mapping[str, float | None]) -> FlightOutcome:
    """Return what became of the flight `line`; `evident_s`: how long after its onset each failure could be known."""
    evidence: dict[tuple[str, float], Evidence | None] = {}
    for onset in line.onsets:
        after = evident_s.get(onset.failure)
        at = None if after is None else math.floor(onset.t + after)
        evidence[onset.key] = None if at is None or at >= min(onset.end_s, line.flown_s) else Evidence(at, _SIMULATED)
    graded = grade_sheet(Situation(scenario, line, evidence))
    found = {finding.item: finding for finding in graded.findings}
    first = min((onset.t for onset in line.onsets), default=None)
    items = []
    for item in scenario.grade_sheet:
        finding = found.get(item.name)
        done = graded.done.get(item.name)
        since = first if first is not None and of_failure(item) else 0.0
        items.append(ItemOutcome("not needed" if finding is None else finding.verdict,
                                 None if finding is None else finding.score, done,
                                 None if done is None else max(0.0, done - since)))
    flags = edges(scenario)
    ended = next((event for event in reversed(kept.events) if isinstance(event, Ended)), None)
    knew = None if who.knew_at_s is None or first is None else max(0.0, who.knew_at_s - first)
    return FlightOutcome(
        number=who.number, seed=who.seed, skill=who.skill, ending="" if ended is None else ended.ending,
        flown_s=line.flown_s, failed=any(isinstance(event, Failed) for event in kept.events),
        edges=tuple(dict.fromkeys(flags[event.flag] for event in kept.events
                                  if isinstance(event, Noted) and event.flag in flags)),
        phases=tuple(dict.fromkeys(event.phase for event in kept.events if isinstance(event, Entered))),
        items=tuple(items), knew_s=knew,
    )
