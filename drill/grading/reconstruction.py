"""The flight as it was, beside the debrief: moments, lanes, what was shown against what was true, panels as they stood.

A pure function of debrief and record, like the debrief itself; a screen, a page or a program draws from it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from pydantic import ConfigDict

from drill.flight.events import Event, Trace
from drill.grading.debrief import AS_DATA, Debrief
from drill.grading.lanes import Lane, lanes
from drill.grading.moments import Kind, Moment, moments
from drill.grading.series import Series, series
from drill.grading.timeline import number

WITH_PANEL: frozenset[Kind] = frozenset({"evident", "first act", "good", "poor", "unsafe"})
"""The kinds of moment whose panel is kept."""

TRUE = ("bank_deg", "pitch_deg", "heading_deg", "altitude_ft", "airspeed_kt", "vertical_speed_fpm")
"""What is told beside a panel."""


@dataclass(frozen=True, slots=True)
class PanelThen:
    """The panel as it stood at a second of the flight."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    t: float
    """The second of flight whose readings these are: the last one recorded that is not later than the moment."""
    shown: dict[str, float]
    """Each reading by its name, the unit at the end of the name; lights and flags are 0 or 1."""
    covered: tuple[str, ...]
    """The instruments that were covered, by their codes."""
    true: dict[str, float]
    """What was so then: bank, pitch, heading, altitude, airspeed, vertical speed, with their units in their names."""


@dataclass(frozen=True, slots=True)
class Reconstruction:
    """A flight as it was."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    length_s: float
    """How long the flight lasted, seconds."""
    moments: tuple[Moment, ...]
    """What happened, in the order of time; what never happened stands last."""
    lanes: tuple[Lane, ...]
    """The same and more in lanes: failure, evidence, acts, control, calls, grade sheet."""
    series: tuple[Series, ...]
    """What was shown against what was true."""
    panels: tuple[PanelThen, ...]
    """The panel at the moments of evidence, first acts, findings and unsafe acts, in the order of time, each once."""

    def panel_at(self, t: float | None) -> PanelThen | None:
        """Return the panel kept for a moment at `t` (s); None if there is none."""
        if t is None:
            return None
        place = bisect_right(self.panels, t, key=lambda each: each.t) - 1
        return self.panels[place] if place >= 0 else None


def reconstruct(debrief: Debrief, events: Sequence[Event]) -> Reconstruction:
    """Return the flight of `debrief` as its record's `events` tell it."""
    found = moments(debrief, events)
    traces = traces_of(events)
    return Reconstruction(
        debrief.flown_s, found, lanes(debrief, found, events), series(traces),
        _panels(traces, (each.t for each in found if each.t is not None and each.kind in WITH_PANEL)),
    )


def traces_of(events: Iterable[Event]) -> list[Trace]:
    """Return the traces among `events`, in the order of time."""
    return sorted((event for event in events if isinstance(event, Trace)), key=lambda trace: trace.t)


def trace_at(traces: Sequence[Trace], t: float) -> Trace | None:
    """Return the last of `traces` not later than `t` (s), else the first; None without any."""
    return traces[max(0, bisect_right(traces, t, key=lambda each: each.t) - 1)] if traces else None


def _panels(traces: Sequence[Trace], times: Iterable[float]) -> tuple[PanelThen, ...]:
    found = {trace.t: trace for t in times if (trace := trace_at(traces, t)) is not None}
    return tuple(PanelThen(trace.t, dict(trace.shown), trace.covered,
                           {name: number(trace.true, name) for name in TRUE if name in trace.true})
                 for _, trace in sorted(found.items()))
