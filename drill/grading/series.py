"""What was shown against what was true, along the flight: bank, heading, altitude, airspeed, suction. Pure.

The record has them each second. A long flight is thinned out: of each stretch of time the first and last values stay,
and of every line and of the difference its least and its greatest, so that no extreme is lost.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from pydantic import ConfigDict

from drill.airplane.dials import SUCTION_GREEN_INHG
from drill.flight.events import Trace
from drill.grading.debrief import AS_DATA

MOST_POINTS = 900
"""Points of a line; a quarter of an hour stays whole."""
_KEPT_OF_EACH = 8            # of a stretch: first, last, and the extremes of two lines and of their difference


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a plot."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    name: str
    """What it is the course of."""
    unit: str
    """The unit of its values."""
    values: tuple[float | None, ...]
    """One for each time of the series; null where there is nothing to be read."""


@dataclass(frozen=True, slots=True)
class Series:
    """What was shown and what was true of one quantity, each second, thinned out in a long flight."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    name: str
    """bank, heading, altitude, airspeed or suction."""
    instrument: str
    """The instrument that showed it, by its code."""
    t: tuple[float, ...]
    """The times, seconds of flight."""
    shown: Line
    """What the instrument showed, also while it was covered."""
    true: Line
    """What was so. Beside suction stands what it is for: how fast the horizon's gyro turned, percent of normal."""
    covered: tuple[tuple[float, float], ...] = ()
    """(from, to), seconds: when the instrument was covered."""
    band: tuple[float, float] | None = None
    """The green band of the instrument, in the unit of `shown`; null if it has none."""
    circular: bool = False
    """Whether the values go round from 360 to 0."""


@dataclass(frozen=True, slots=True)
class _Plotted:
    name: str
    instrument: str
    shown: tuple[str, str, Callable[[Trace], float | None]]    # name, unit, value
    true: tuple[str, str, Callable[[Trace], float | None]]
    digits: int = 0
    band: tuple[float, float] | None = None
    circular: bool = False


def _number(values: dict[str, float], name: str) -> float | None:
    value = values.get(name)
    return value if value is not None and math.isfinite(value) else None


def _shown(name: str, hidden_by: str = "") -> Callable[[Trace], float | None]:
    """Return what reads the field `name` of what is shown; nothing where the flag `hidden_by` is set."""
    return lambda trace: None if hidden_by and trace.shown.get(hidden_by, 0.0) > 0.5 else _number(trace.shown, name)


def _true(name: str, times: float = 1.0) -> Callable[[Trace], float | None]:
    def value(trace: Trace) -> float | None:
        found = _number(trace.true, name)
        return None if found is None else found * times
    return value


_PLOTTED = (
    _Plotted("bank", "attitude_indicator", ("attitude indicator", "deg", _shown("bank_deg", "attitude_tumbled")),
             ("true bank", "deg", _true("bank_deg")), 1),
    _Plotted("heading", "heading_indicator", ("heading indicator", "deg", _shown("heading_deg")),
             ("true heading", "deg", _true("heading_deg")), circular=True),
    _Plotted("altitude", "altimeter", ("altimeter", "ft", _shown("altitude_ft")),
             ("true altitude", "ft", _true("altitude_ft"))),
    _Plotted("airspeed", "airspeed_indicator", ("airspeed indicator", "kt", _shown("airspeed_kt")),
             ("true airspeed, calibrated", "kt", _true("airspeed_kt"))),
    _Plotted("suction", "suction_gauge", ("suction gauge", "inHg", _shown("suction_inhg")),
             ("speed of the horizon's gyro", "%", _true("attitude_rotor", 100.0)), 1, band=SUCTION_GREEN_INHG),
)


def series(traces: Sequence[Trace], most: int = MOST_POINTS) -> tuple[Series, ...]:
    """Return the series of `traces`, in the order of time, each line of at most about `most` points."""
    if not traces:
        return ()
    return tuple(_series(plotted, traces, most) for plotted in _PLOTTED)


def _series(plotted: _Plotted, traces: Sequence[Trace], most: int) -> Series:
    shown = [plotted.shown[2](trace) for trace in traces]
    true = [plotted.true[2](trace) for trace in traces]
    apart = [difference(one, other, circular=plotted.circular) for one, other in zip(shown, true, strict=True)]
    places = thinned((shown, true, apart), most)
    return Series(
        plotted.name, plotted.instrument, tuple(round(traces[place].t, 1) for place in places),
        Line(*plotted.shown[:2], _rounded(shown, places, plotted.digits)),
        Line(*plotted.true[:2], _rounded(true, places, plotted.digits)),
        covered_at(traces, plotted.instrument), plotted.band, plotted.circular,
    )


def difference(shown: float | None, true: float | None, *, circular: bool) -> float | None:
    """Return how far `shown` is from `true`, the short way round where they are directions; None without either."""
    if shown is None or true is None:
        return None
    return (shown - true + 180.0) % 360.0 - 180.0 if circular else shown - true


def _rounded(values: Sequence[float | None], places: Sequence[int], digits: int) -> tuple[float | None, ...]:
    found = (values[place] for place in places)
    return tuple(None if value is None else round(value, digits) for value in found)


def covered_at(traces: Sequence[Trace], instrument: str) -> tuple[tuple[float, float], ...]:
    """Return the stretches (from, to; s) in which `instrument` was covered."""
    found: list[tuple[float, float]] = []
    begin: float | None = None
    for trace in traces:
        covered = instrument in trace.covered
        if covered and begin is None:
            begin = trace.t
        elif not covered and begin is not None:
            found.append((begin, trace.t))
            begin = None
    if begin is not None:
        found.append((begin, traces[-1].t))
    return tuple(found)


def thinned(lines: Sequence[Sequence[float | None]], most: int) -> list[int]:
    """Return the places of the values to keep, in order: about `most` at most, with the extremes of every line.

    All lines have the same length. Where a line ends or begins again (a None beside a value), both places are kept.
    """
    length = len(lines[0])
    if length <= most:
        return list(range(length))
    buckets = max(1, most // _KEPT_OF_EACH)
    kept = {0, length - 1}
    for bucket in range(buckets):
        begin, end = bucket * length // buckets, (bucket + 1) * length // buckets
        kept |= {begin, end - 1}
        for line in lines:
            there = [(value, place) for place, value in enumerate(line[begin:end], begin) if value is not None]
            if there:
                kept |= {min(there)[1], max(there)[1]}
    for line in lines:
        for place in range(1, length):
            if (line[place] is None) != (line[place - 1] is None):
                kept |= {place - 1, place}
    return sorted(kept)
