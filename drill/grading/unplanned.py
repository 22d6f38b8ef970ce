"""Failures that no scenario plans: ice that closes the pitot tube, an engine whose fuel is used up.

They are read from the truth of the record's traces, and told as those of the nearest entry of the catalogue.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from drill.flight.events import Trace
from drill.grading.timeline import Onset, Timeline, number

ICE_SPOILS = 0.1         # of the opening; airspeed goes with the root of what is open: 5 percent less (the author's)
ICE_GONE = 0.05          # and less than 3 percent
ICED_TUBE = Onset("ice in the pitot tube", "pitot tube", "closes little by little", 0.0, None,
                  "Ice closes the opening of the pitot tube, which nothing heats")
NO_FUEL = Onset("fuel used up", "engine", "stops", 0.0, None, "The engine stops: the fuel is used up")
_ITS_HEAT = ("pitot tube", "pitot heat")   # parts whose failure tells of the ice as well


def with_unplanned(line: Timeline) -> Timeline:
    """Return `line` with what failed by itself among its onsets, in the order of time."""
    found = [*_iced(line.traces, line.onsets), *_used_up(line.traces, line.onsets)]
    return replace(line, onsets=tuple(sorted([*line.onsets, *found], key=lambda onset: onset.t))) if found else line


def _iced(traces: Sequence[Trace], planned: Sequence[Onset]) -> Iterator[Onset]:
    """Yield each time that ice spoiled the airspeed, unless a failure of the tube or of its heat was there already."""
    since: float | None = None
    for trace in traces:
        ice = number(trace.true, "pitot_ice")
        if since is None and ice >= ICE_SPOILS:
            since = trace.t
        elif since is not None and ice < ICE_GONE:
            if not _told_by(_ITS_HEAT, since, planned):
                yield replace(ICED_TUBE, t=since, healed=trace.t)
            since = None
    if since is not None and not _told_by(_ITS_HEAT, since, planned):
        yield replace(ICED_TUBE, t=since)


def _used_up(traces: Sequence[Trace], planned: Sequence[Onset]) -> Iterator[Onset]:
    """Yield that the engine stopped where the last of the fuel was used, unless it had stopped before."""
    for before, trace in pairwise(traces):
        if number(before.true, "fuel_min") > 0.0 >= number(trace.true, "fuel_min"):
            if not any(each.how == NO_FUEL.how for each in planned
                       if each.part == NO_FUEL.part and each.t <= trace.t < each.end_s):
                yield replace(NO_FUEL, t=trace.t)
            return


def _told_by(parts: Sequence[str], t: float, planned: Sequence[Onset]) -> bool:
    return any(each.part in parts and each.t <= t < each.end_s for each in planned)
