"""A record before the evidence clock: what a tireless cross-check of its panel knew, second by second.

Only what was shown goes in, and what the pilot had set. Which failure happened is asked of the answer, not by the
clock: an alarm is a failure's if it rose after the onset and its hypothesis moves what the failure moves.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from drill.airplane.airframe import Airframe
from drill.evidence import keeping, rules
from drill.evidence.clock import Known, watch, words_of
from drill.evidence.hypotheses import hypotheses
from drill.evidence.readings import FLAGS, GAUGE_SIGMA, READ_ON, SETTINGS, SIGMA, Readings, read
from drill.evidence.rules import RULES
from drill.evidence.signatures import right_names, signature
from drill.evidence.statistics import SETTLES_S, Statistics
from drill.flight.events import Trace
from drill.grading.affected import catalogued, spoiled
from drill.grading.signs import GYROS_UP_S
from drill.grading.timeline import Onset, Timeline, number
from drill.language.meaning import Align

_SHOWN = (*(name for name in SIGMA if name != "throttle"), *GAUGE_SIGMA, *FLAGS)
_GAP_S = 1.5               # a second that is missing: what is averaged begins anew
_MOST = 1e6                # nothing on a panel is larger
QUIET_S = 60               # an alarm is over when it has been silent so long
_STEPS = ("alternate_static",)   # switches that make readings jump


@dataclass(frozen=True, slots=True)
class Seen:
    """When something was known, its name among the equipment, and by what."""

    t: float
    name: str
    words: str


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """What was known each second of a record. `parts` are the stretches that were watched, from their first second."""

    times: Any                             # (T,)
    frame: Airframe
    statistics: Statistics
    parts: tuple[tuple[int, Known], ...]
    over: Any                              # (T, H)
    named: Any                             # (T, H)
    direct: Any                            # (T, rules)

    def alarm(self, onset: Onset) -> Seen | None:
        """Return when this failure first made something known to be wrong, and by what; None: never while it lasted."""
        entry = catalogued(onset)
        if entry is None:
            return None
        mine = signature(entry, self.frame)
        every = hypotheses(self.frame)
        moved: frozenset[str] = frozenset().union(
            *(each.moves(self.frame) for each in every if each.name in mine.hypotheses))
        return self._earliest(onset, [place for place, each in enumerate(every) if each.moves(self.frame) & moved],
                              [place for place, rule in enumerate(RULES) if rule.name in mine.rules], self.over)

    def named_as(self, onset: Onset, names: frozenset[str]) -> Seen | None:
        """Return when one of these names was first known in this failure; None: never while it lasted.

        What is named before anything of this failure is known to be wrong goes on from what was wrong before it.
        """
        alarm = self.alarm(onset)
        if alarm is None:
            return None
        since = replace(onset, t=max(onset.t, math.nextafter(alarm.t, -math.inf)))
        return self._earliest(since, [place for place, each in enumerate(hypotheses(self.frame)) if each.name in names],
                              [place for place, rule in enumerate(RULES) if rule.of in names], self.named)

    def instrument(self, onset: Onset) -> Seen | None:
        """Return when an instrument that it spoils, or the part itself, could first be named."""
        entry = catalogued(onset)
        return None if entry is None else self.named_as(onset, right_names(entry, self.frame) | spoiled(onset))

    def system(self, onset: Onset) -> Seen | None:
        """Return when what failed could first be named wholly."""
        entry = catalogued(onset)
        whole = frozenset() if entry is None else frozenset(
            name for names in entry.named_right_as if len(names) == 1 for name in names)
        return self.named_as(onset, whole)

    def _earliest(self, onset: Onset, by_ratio: Iterable[int], by_rule: Iterable[int], known: Any) -> Seen | None:
        found = []
        for columns, values, rule in ((by_ratio, known, False), (by_rule, self.direct, True)):
            found += [(second, rule, place) for place in columns
                      if (second := self._fresh(onset, values[:, place])) is not None]
        if not found:
            return None
        second, rule, place = min(found)
        t = float(self.times[second])
        if rule:
            return Seen(t, RULES[place].of, RULES[place].words)
        start, part = next(each for each in reversed(self.parts) if each[0] <= second)
        words = words_of(part, second - start, 0, place, self.statistics, self.frame)
        return Seen(t, part.hypotheses[place].name, words)

    def _fresh(self, onset: Onset, known: Any) -> int | None:
        """Return the first second after the onset at which it was known, and not because it had been known before."""
        start = int(np.searchsorted(self.times, onset.t, side="right"))
        end = int(np.searchsorted(self.times, onset.end_s, side="left"))
        before = np.flatnonzero(known[:start])
        if len(before) and start - before[-1] <= QUIET_S:   # it was so before: by something else, until it is over
            known_at = np.concatenate([before[-1:], np.flatnonzero(known[start:]) + start, [len(known)]])
            start = int(known_at[1:][np.diff(known_at) > QUIET_S][0]) if (np.diff(known_at) > QUIET_S).any() else end
        late = np.flatnonzero(known[start:end])
        return start + int(late[0]) if len(late) else None


def cross_check(line: Timeline, frame: Airframe, seed: int, warmer_c: float = 0.0) -> CrossCheck | None:
    """Return what a tireless cross-check knew in a record; None where this airplane's healthy flight is not known.

    `seed` draws the reading errors, `warmer_c` is what the outside thermometer showed more than standard.
    """
    statistics = keeping.known(frame)
    if statistics is None or not line.traces:
        return None
    times = np.array(line.times)
    with np.errstate(all="ignore"):   # of a stranger's record anything may be read
        readings = _readings(line.traces, seed, warmer_c)
        count = len(hypotheses(frame))
        over, named = (np.zeros((len(times), count), dtype=bool) for _ in range(2))
        parts = []
        for start, end in _stretches(line, readings):
            part = watch(readings.part(start, end), frame, statistics)
            over[start:end], named[start:end] = part.over[:, 0], part.named[:, 0]
            parts.append((start, part))
        direct = rules.seen(readings, frame)[:, 0]
    return CrossCheck(times, frame, statistics, tuple(parts), over, named, direct)


def _readings(traces: Sequence[Trace], seed: int, warmer_c: float) -> Readings:
    shown = {name: _column(number(trace.shown, name, math.nan) for trace in traces) for name in _SHOWN}
    shown["throttle"] = _column(number(trace.true, "throttle", math.nan) for trace in traces)   # the hand has it there
    for name, usual in SETTINGS.items():
        shown[name] = _column(number(trace.controls, name, usual) for trace in traces)
    shown["altimeter_setting_hpa"] = _column(
        number(trace.shown, "altimeter_setting_hpa", SETTINGS["altimeter_setting_hpa"]) for trace in traces)
    ground = [bool({"is parked", "is taxiing", "is on the ground"} & set(trace.facts)) for trace in traces]
    shown["on_ground"] = _column(float(each) for each in ground)
    shown["gyros_up"] = _column(float(not each or trace.t >= GYROS_UP_S)
                                for each, trace in zip(ground, traces, strict=True))
    shown["warmer_c"] = np.full((len(traces), 1), warmer_c)
    hidden: Mapping[str, Any] = {
        name: np.array([[name in trace.covered] for trace in traces]) for name in set(READ_ON.values())
        if any(name in trace.covered for trace in traces)}
    return read(shown, [seed % 2**32], hidden)


def _column(values: Iterable[float]) -> Any:
    return np.clip(np.fromiter(values, dtype=float)[:, None], -_MOST, _MOST)


def _stretches(line: Timeline, readings: Readings) -> list[tuple[int, int]]:
    """Return the stretches, as first and last second, in which nothing jumped that the pilot had not to do with."""
    times = np.array(line.times)
    begins = {0, *(np.flatnonzero(np.diff(times) > _GAP_S) + 1).tolist()}
    for name in _STEPS:
        begins |= set((np.flatnonzero(np.diff(readings[name][:, 0]) != 0.0) + 1).tolist())
    for deed in line.deeds:
        if isinstance(deed.action, Align):
            begins.add(int(np.searchsorted(times, deed.t, side="left")) + 1)
    edges = [*sorted(each for each in begins if each < len(times)), len(times)]
    return [(start, end) for start, end in pairwise(edges) if end - start > SETTLES_S]
