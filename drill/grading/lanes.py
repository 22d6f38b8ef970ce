"""The flight in lanes along one line of time: failure, evidence, acts, control, calls, grade sheet. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal, TypeAlias

from pydantic import ConfigDict

from drill.flight.events import Event, Trace
from drill.grading.debrief import AS_DATA, Debrief
from drill.grading.moments import Kind, Moment
from drill.grading.timeline import number

MOST_MARKS = 5_000
STEEP_DEG = (20.0, 45.0)     # the banks from which on the lane of control is filled, and filled darker

Fill: TypeAlias = Literal["failed", "bank over 20", "bank over 45"]


@dataclass(frozen=True, slots=True)
class Mark:
    """Something at one time."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    t: float
    """When, seconds of flight."""
    kind: Kind
    """What kind of thing it is."""
    words: str
    """What it is, in a line."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Something that lasted."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    begin: float
    """From when, seconds of flight."""
    end: float
    """Until when."""
    kind: Fill
    """What lasted: a failure, or a steep bank as the airplane really flew it (degrees)."""
    words: str
    """What it is, in a line."""


@dataclass(frozen=True, slots=True)
class Lane:
    """One lane of the flight."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    name: str
    """failure, evidence, acts, control, calls or grade sheet."""
    marks: tuple[Mark, ...] = ()
    """What happened at one time, in the order of time."""
    stretches: tuple[Stretch, ...] = ()
    """What lasted, in the order of time."""


_OF_MOMENTS: dict[str, tuple[Kind, ...]] = {
    "failure": ("failed", "healed"), "evidence": ("evident", "instrument evident", "part evident"),
    "acts": ("first act", "named"), "control": (),
    "calls": ("called",), "grade sheet": ("good", "poor", "unsafe", "ended"),
}
LANES = tuple(_OF_MOMENTS)


def lanes(debrief: Debrief, moments: Sequence[Moment], events: Sequence[Event]) -> tuple[Lane, ...]:
    """Return the lanes of a flight with these `moments`; acts, control and calls are taken from its `events`."""
    marks: dict[str, list[Mark]] = {
        name: [Mark(each.t, each.kind, each.title) for each in moments if each.t is not None and each.kind in kinds]
        for name, kinds in _OF_MOMENTS.items()
    }
    for event in events:
        if event.kind == "acted" and not event.refused and event.act.get("action") != "transmit":
            marks["acts"].append(Mark(event.t, "act", str(event.act.get("action", "")).replace("_", " ")))
        elif event.kind == "heard" and event.to_us:
            marks["calls"].append(Mark(event.t, "heard", f"{event.voice}: {event.words}"))
    stretches: dict[str, list[Stretch]] = {
        "failure": [Stretch(story.began_s, debrief.flown_s if story.healed_s is None else story.healed_s, "failed",
                            f"{story.part}: {story.how}") for story in debrief.failures],
        "control": list(_banks([event for event in events if isinstance(event, Trace)])),
    }
    return tuple(Lane(name, tuple(sorted(marks[name], key=lambda each: each.t)[:MOST_MARKS]),
                      tuple(stretches.get(name, [])[:MOST_MARKS])) for name in LANES)


def _banks(traces: Sequence[Trace]) -> Iterator[Stretch]:
    """Yield the stretches of steep bank, as the airplane really flew."""
    last: Stretch | None = None
    for trace in sorted(traces, key=lambda each: each.t):
        bank = abs(number(trace.true, "bank_deg"))
        kind: Fill | None = "bank over 45" if bank > STEEP_DEG[1] else "bank over 20" if bank > STEEP_DEG[0] else None
        if last is not None and kind == last.kind:
            last = Stretch(last.begin, trace.t, last.kind, last.words)
            continue
        if last is not None:
            yield last
        last = None if kind is None else Stretch(trace.t, trace.t, kind, f"{kind} degrees")
    if last is not None:
        yield last
