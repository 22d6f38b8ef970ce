"""Plots of what was shown against what was true, on the line of time of the lanes. Shown is solid, true is broken."""

from __future__ import annotations

import math
from collections.abc import Sequence

from markupsafe import Markup

from drill.flight.readings import three_digits
from drill.grading.moments import Moment
from drill.grading.series import Line, Series
from drill.grading.series_words import series_words
from drill.paper.along import LEFT, RIGHT, WIDTH, Along
from drill.paper.svg import element, group, line, path, picture, rectangle, short, words

HIGH = 70.0
_TOP = 20.0
_STEPS = (0.5, 1, 2, 5, 10, 15, 20, 30, 45, 60, 90, 100, 200, 250, 500, 1000, 2000, 5000, 10_000, 20_000)
_STEPS_ROUND = (5, 10, 15, 30, 45, 90)
_MOST_TICKS = 4.6
_LEAST_RANGE = {"bank": 40.0, "heading": 40.0, "altitude": 400.0, "airspeed": 40.0, "suction": 6.0}
_UNITS = {"deg": "°", "ft": "ft", "kt": "kt", "inHg": "inHg", "%": "%"}
_NAMES = {"suction": "suction, and the gyro that lives on it"}

Range = tuple[float, float]


def plot(series: Series, length_s: float, guides: Sequence[Moment], *, times: bool = False) -> Markup:
    """Return one plot; `times`: with the times below it. `guides` are lines through it."""
    along = Along(length_s)
    bottom = _TOP + HIGH
    title = _NAMES.get(series.name, series.name)
    shown, true = (_unwrapped(each, series) for each in (series.shown, series.true))
    own = series.shown.unit == series.true.unit
    scale = _range(series.name, [*shown, *true] if own else shown)
    of_true = scale if own else (0.0, 120.0)
    drawn = [along.grid(_TOP, bottom, guides), *_axis(series, scale, bottom)]
    if series.band is not None:
        low, high = (_y(edge, scale, bottom) for edge in series.band)
        drawn.append(rectangle(LEFT, high, RIGHT - LEFT, low - high, "band"))
    drawn += [group(element("title", "covered"), rectangle(along.x(begin), bottom - 6,
                                                           along.x(end) - along.x(begin), 6, "covered"))
              for begin, end in series.covered]
    for values, class_, span in ((true, "true", of_true), (shown, "shown", scale)):
        d = _path(series.t, values, along, span, bottom, _wraps(series))
        if d:
            drawn.append(path(d, class_))
    drawn += _ends(shown, true, scale, of_true, bottom)
    drawn.append(words(LEFT, 12, title[:1].upper() + title[1:], "plot-name", "start"))
    drawn.append(_key(series))
    if times:
        drawn.append(along.labels(bottom + 16))
    says = f"{title}: {series.shown.name} as shown, solid; {series.true.name}, broken. {series_words(series)}"
    return picture(WIDTH, bottom + (22 if times else 6), f"{title[:1].upper()}{title[1:]}, shown against true", says,
                   f"plot-{series.name}", *drawn, class_="plot")


def _wraps(series: Series) -> float:
    """Return the jump from which on a line of directions has gone round the end of the scale; infinite for others."""
    return 180.0 if series.circular else math.inf


def _unwrapped(line_of: Line, series: Series) -> list[float | None]:
    """Return the values of `line_of`; directions turned into the half circle on each side of the middle one."""
    values = list(line_of.values)
    if not series.circular:
        return values
    middle = _middle([value for value in series.true.values if value is not None])
    return [None if value is None else middle + (value - middle + 180.0) % 360.0 - 180.0 for value in values]


def _middle(directions: Sequence[float]) -> float:
    """Return the mean direction; 180 where there is none."""
    east = sum(math.sin(math.radians(each)) for each in directions)
    north = sum(math.cos(math.radians(each)) for each in directions)
    if math.hypot(east, north) < 1e-6 * max(1, len(directions)):
        return 180.0
    return math.degrees(math.atan2(east, north)) % 360.0


def _range(name: str, values: Sequence[float | None]) -> Range:
    known = [value for value in values if value is not None]
    low, high = (min(known), max(known)) if known else (0.0, 0.0)
    least = _LEAST_RANGE.get(name, 1.0)
    if name == "suction":
        return min(low, 0.0), max(high, least)
    if high - low < least:
        middle = (low + high) / 2
        low, high = middle - least / 2, middle + least / 2
    room = (high - low) * 0.06
    return low - room, high + room


def _y(value: float, scale: Range, bottom: float) -> float:
    low, high = scale
    share = (value - low) / (high - low) if high > low else 0.5
    return bottom - min(max(share, 0.0), 1.0) * HIGH


def _axis(series: Series, scale: Range, bottom: float) -> list[Markup]:
    low, high = scale
    steps = _STEPS_ROUND if series.circular else _STEPS
    step = next((step for step in steps if (high - low) / step <= _MOST_TICKS), (high - low) / _MOST_TICKS)
    drawn = []
    for number in range(math.ceil(low / step), math.floor(high / step) + 1):
        value = number * step
        y = _y(value, scale, bottom)
        drawn.append(line(LEFT, y, RIGHT, y, "zero" if value == 0 and series.name == "bank" else "grid"))
        drawn.append(words(LEFT - 8, y + 4, _tick(series, value), "tick", "end"))
    drawn.append(rectangle(LEFT, _TOP, RIGHT - LEFT, HIGH, "frame"))
    return drawn


def _tick(series: Series, value: float) -> str:
    unit = _UNITS.get(series.shown.unit, series.shown.unit)
    if series.circular:
        return f"{three_digits(value)}°"
    if series.name == "bank":
        return "level" if value == 0 else f"{abs(value):.0f}° {'R' if value > 0 else 'L'}"
    return f"{value:,.0f} {unit}" if value == round(value) else f"{value:,.1f} {unit}"


def _path(t: Sequence[float], values: Sequence[float | None], along: Along, scale: Range, bottom: float,
          jump: float) -> str:
    """Return the path of a line; it is broken where there is no value, and where a direction goes round."""
    pieces: list[str] = []
    last: float | None = None
    for at, value in zip(t, values, strict=True):
        if value is None:
            last = None
            continue
        command = "M" if last is None or abs(value - last) > jump else "L"
        pieces.append(f"{command}{along.x(at):.1f} {_y(value, scale, bottom):.1f}")
        last = value
    if len(pieces) == 1:
        pieces.append(f"h{short(1.5)}")
    return "".join(pieces)


def _ends(shown: Sequence[float | None], true: Sequence[float | None], scale: Range, of_true: Range,
          bottom: float) -> list[Markup]:
    """Return the names of the two lines, each beside its end, one above the other where they end together."""
    ends = [(_y(values[-1], span, bottom), name) for values, span, name in (
        (shown, scale, "shown"), (true, of_true, "true")) if values and values[-1] is not None]
    ends.sort()
    placed: list[tuple[float, str]] = []
    for y, name in ends:
        placed.append((max(y, placed[-1][0] + 12) if placed else y, name))
    over = max(0.0, placed[-1][0] + 2 - bottom) if placed else 0.0
    return [words(RIGHT + 6, y - over + 4, name, f"end-{name}", "start") for y, name in placed]


def _key(series: Series) -> Markup:
    """Return which line is which, at the upper right."""
    x = RIGHT - 330
    return group(line(x, 8, x + 26, 8, "shown"), words(x + 32, 12, series.shown.name, "key", "start"),
                 line(x + 160, 8, x + 186, 8, "true"), words(x + 192, 12, series.true.name, "key", "start"))
