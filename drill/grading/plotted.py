"""How a series lies on its plot: its scale and its marks, and directions turned so that they cross no end. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from drill.flight.readings import three_digits
from drill.grading.series import Series

MOST_TICKS = 4.6
_STEPS = (0.5, 1, 2, 5, 10, 15, 20, 30, 45, 60, 90, 100, 200, 250, 500, 1000, 2000, 5000, 10_000, 20_000)
_STEPS_ROUND = (5, 10, 15, 30, 45, 90)
_LEAST_RANGE = {"bank": 40.0, "heading": 40.0, "altitude": 400.0, "airspeed": 40.0, "suction": 6.0}
_ROOM = 0.06                    # of the range, above and below
_PERCENT = (0.0, 120.0)

Range = tuple[float, float]
Values = tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Plotted:
    """A series ready to be drawn. Values lie within `scale`, those of `true` within `true_scale`.

    A line is broken where it has no value, and where it jumps by more than `jump`: there a direction goes round.
    """

    series: Series
    shown: Values
    true: Values
    scale: Range
    true_scale: Range
    ticks: tuple[tuple[float, str], ...]
    jump: float


def plotted(series: Series) -> Plotted:
    """Return `series` as it is plotted."""
    shown, true = series.shown.values, series.true.values
    if series.circular:
        middle = middle_of([value for value in true if value is not None])
        shown, true = around(middle, shown), around(middle, true)
    together = series.shown.unit == series.true.unit
    scale = scale_of(series.name, [*shown, *true] if together else shown)
    return Plotted(series, shown, true, scale, scale if together else _PERCENT,
                   ticks_of(series.name, series.shown.unit, scale, circular=series.circular),
                   jump_of(circular=series.circular))


def jump_of(*, circular: bool) -> float:
    """Return by how much a line may change from one value to the next and still be one line."""
    return 180.0 if circular else math.inf


def around(middle: float, values: Values) -> Values:
    """Return directions within the half circle on each side of `middle`."""
    return tuple(None if value is None else middle + (value - middle + 180.0) % 360.0 - 180.0 for value in values)


def middle_of(directions: Sequence[float]) -> float:
    """Return the mean direction; 180 where there is none."""
    east = sum(math.sin(math.radians(each)) for each in directions)
    north = sum(math.cos(math.radians(each)) for each in directions)
    if math.hypot(east, north) < 1e-6 * max(1, len(directions)):
        return 180.0
    return math.degrees(math.atan2(east, north)) % 360.0


def scale_of(name: str, values: Sequence[float | None]) -> Range:
    """Return the scale on which `values` of the quantity `name` are plotted: not too narrow, with some room."""
    known = [value for value in values if value is not None]
    low, high = (min(known), max(known)) if known else (0.0, 0.0)
    least = _LEAST_RANGE.get(name, 1.0)
    if name == "suction":
        return min(low, 0.0), max(high, least)
    if high - low < least:
        middle = (low + high) / 2
        low, high = middle - least / 2, middle + least / 2
    room = (high - low) * _ROOM
    return low - room, high + room


def ticks_of(name: str, unit: str, scale: Range, *, circular: bool) -> tuple[tuple[float, str], ...]:
    """Return the marks of a scale of the quantity `name`: the values, and what is written beside each."""
    low, high = scale
    steps = _STEPS_ROUND if circular else _STEPS
    step = next((step for step in steps if (high - low) / step <= MOST_TICKS), (high - low) / MOST_TICKS)
    values = [number * step for number in range(math.ceil(low / step), math.floor(high / step) + 1)]
    return tuple((value, _tick(name, unit, value, circular=circular)) for value in values)


def _tick(name: str, unit: str, value: float, *, circular: bool) -> str:
    if circular:
        return f"{three_digits(value)}°"
    if name == "bank":
        return "level" if value == 0 else f"{abs(value):.0f}° {'R' if value > 0 else 'L'}"
    return f"{value:,.0f} {unit}" if value == round(value) else f"{value:,.1f} {unit}"
