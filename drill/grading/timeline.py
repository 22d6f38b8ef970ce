"""A record's events, in order and ready to be asked: what was shown, what was done, what ATC knew, and when."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from drill.flight.events import (
    Acted,
    Assigned,
    Ended,
    Entered,
    Event,
    Failed,
    Healed,
    Heard,
    Noted,
    Reflected,
    Seated,
    Trace,
)
from drill.grading.acts import action_of, told_both, told_of
from drill.language.meaning import Action, Told, Transmit
from drill.scenario.conditions import Condition

QUIET = Told()


@dataclass(frozen=True, slots=True)
class Deed:
    """An act that was done, from `began` to `t` (s), and what ATC knew after it. One that was refused is none."""

    t: float
    began: float
    action: Action
    heard: bool
    told: Told
    result: str


@dataclass(frozen=True, slots=True)
class Onset:
    """One occurrence of a failure: `healed` is when it ended (s), None if it never did.

    `says` is what the part did, where the catalogue's entry for it would not say why.
    """

    failure: str
    part: str
    how: str
    t: float
    healed: float | None
    says: str = ""

    @property
    def key(self) -> tuple[str, float]:
        """(failure, t): a failure can come, go and come again."""
        return self.failure, self.t

    @property
    def end_s(self) -> float:
        """When it ended (s); infinity if it never did."""
        return math.inf if self.healed is None else self.healed


@dataclass(frozen=True, slots=True)
class Timeline:
    """A flight as its record tells it. Every sequence is in the order of time (s)."""

    traces: Sequence[Trace]
    times: tuple[float, ...]               # of the traces
    deeds: tuple[Deed, ...]
    onsets: tuple[Onset, ...]
    assigned: tuple[Assigned, ...]
    entered: tuple[Entered, ...]
    heard: tuple[Heard, ...]
    noted: tuple[Noted, ...]
    reflected: tuple[Reflected, ...]
    ended: Ended | None
    flown_s: float
    places: tuple[str, ...] = ()           # the scenario's fields, as it spells them
    seated: tuple[Seated, ...] = ()
    truths: Mapping[Condition, Sequence[bool]] = field(default_factory=dict)   # known beforehand, one for each trace

    def at(self, t: float) -> Trace | None:
        """Return the last trace not later than `t`; the first one if there is none before; None without any."""
        if not self.traces:
            return None
        return self.traces[max(0, bisect_right(self.times, t) - 1)]

    def between(self, start: float, end: float = math.inf) -> Iterator[Trace]:
        """Yield the traces of `start` <= t <= `end`."""
        for index in self.indices(start):
            if self.times[index] > end:
                return
            yield self.traces[index]

    def indices(self, start: float) -> range:
        """Return the places of the traces of `start` <= t."""
        return range(bisect_right(self.times, math.nextafter(start, -math.inf)), len(self.traces))

    def saw_at(self, t: float) -> Literal["panel", "words", ""]:
        """Return what the pilot had before the eyes at `t` (s): the whole panel, or words; "": the record does not say.
        """
        return next((each.before for each in reversed(self.seated) if each.t <= t), "")

    def told_at(self, t: float) -> Told:
        """Return what ATC knew at `t`: the union of the calls heard until then."""
        told = QUIET
        for deed in self.deeds:
            if deed.t > t:
                break
            told = deed.told
        return told

    def calls(self) -> Iterator[Deed]:
        """Yield the transmissions that were heard."""
        return (deed for deed in self.deeds if isinstance(deed.action, Transmit) and deed.heard)


def timeline(events: Sequence[Event], places: tuple[str, ...] = ()) -> Timeline:
    """Return `events` as the timeline of a flight in a scenario with these `places`.

    Nothing need be whole: a cut-off or an empty record is read as far as it goes.
    """
    ordered = sorted(events, key=lambda event: event.t)
    traces = tuple(event for event in ordered if isinstance(event, Trace))
    flown = max((event.t for event in ordered if not isinstance(event, Reflected)), default=0.0)
    return Timeline(
        traces=traces,
        times=tuple(trace.t for trace in traces),
        deeds=tuple(_deeds(ordered)),
        onsets=_onsets(ordered),
        assigned=tuple(event for event in ordered if isinstance(event, Assigned)),
        entered=tuple(event for event in ordered if isinstance(event, Entered)),
        heard=tuple(event for event in ordered if isinstance(event, Heard)),
        noted=tuple(event for event in ordered if isinstance(event, Noted)),
        reflected=tuple(event for event in ordered if isinstance(event, Reflected)),
        ended=next((event for event in ordered if isinstance(event, Ended)), None),
        flown_s=flown,
        places=places,
        seated=tuple(event for event in ordered if isinstance(event, Seated)),
    )


def number(values: Mapping[str, float], name: str, absent: float = 0.0) -> float:
    """Return `values[name]`; `absent` where it is missing or no finite number."""
    value = values.get(name, absent)
    return value if math.isfinite(value) else absent


def lasting(seconds: float) -> str:
    """Return a length of time in words, e.g. `2 min 5 s`."""
    whole = max(0, round(seconds))
    minutes, rest = divmod(whole, 60)
    if not minutes:
        return f"{rest} s"
    return f"{minutes} min" if not rest else f"{minutes} min {rest} s"


def _deeds(events: Sequence[Event]) -> Iterator[Deed]:
    told = QUIET
    for event in events:
        if not isinstance(event, Acted) or event.refused:
            continue
        action = action_of(event.act, event.meaning)
        if action is None:
            continue
        if isinstance(action, Transmit) and event.heard:
            told = told.with_call(action.meaning)
        known = told_of(event.told) if event.told is not None else None
        if known is not None:
            told = told_both(told, known)
        yield Deed(event.t, event.began, action, event.heard, told, event.result)


def _onsets(events: Sequence[Event]) -> tuple[Onset, ...]:
    onsets: list[Onset] = []
    for place, event in enumerate(events):
        if isinstance(event, Failed):
            healed = next((each.t for each in events[place:]
                           if isinstance(each, Healed) and each.failure == event.failure), None)
            onsets.append(Onset(event.failure, event.part, event.how, event.t, healed))
    return tuple(onsets)
