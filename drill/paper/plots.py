"""Plots of what was shown against what was true, on the line of time of the lanes. Shown is solid, true is broken."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from drill.grading.moments import Moment
from drill.grading.plotted import Plotted, Range, Values, plotted
from drill.grading.series import Series
from drill.grading.series_words import series_words
from drill.paper.along import LEFT, RIGHT, WIDTH, Along
from drill.paper.svg import element, group, line, path, picture, rectangle, short, words

HIGH = 66.0
_TOP = 20.0
_BOTTOM = _TOP + HIGH
_NAMES = {"suction": "suction, and the gyro that lives on it"}


def plot(series: Series, length_s: float, guides: Sequence[Moment], *, times: bool = False) -> Markup:
    """Return one plot; `times`: with the times below it. `guides` are lines through it."""
    along, lies = Along(length_s), plotted(series)
    name = _NAMES.get(series.name, series.name)
    title = name[:1].upper() + name[1:]
    drawn = [along.grid(_TOP, _BOTTOM, guides), *_axis(lies)]
    if series.band is not None:
        low, high = (_y(edge, lies.scale) for edge in series.band)
        drawn.append(rectangle(LEFT, high, RIGHT - LEFT, low - high, "band"))
    drawn += [group(element("title", "covered"),
                    rectangle(along.x(begin), _BOTTOM - 6, along.x(end) - along.x(begin), 6, "covered"))
              for begin, end in series.covered]
    for values, class_, scale in ((lies.true, "true", lies.true_scale), (lies.shown, "shown", lies.scale)):
        d = _path(series.t, values, along, scale, lies.jump)
        if d:
            drawn.append(path(d, class_))
    drawn += [*_ends(lies), words(LEFT, 12, title, "plot-name", "start"), _key(series)]
    if times:
        drawn.append(along.labels(_BOTTOM + 16))
    says = f"{title}: {series.shown.name} as shown, solid; {series.true.name}, broken. {series_words(series)}"
    return picture(WIDTH, _BOTTOM + (22 if times else 6), f"{title}: shown against true", says, f"plot-{series.name}",
                   *drawn, class_="plot")


def _y(value: float, scale: Range) -> float:
    low, high = scale
    share = (value - low) / (high - low) if high > low else 0.5
    return _BOTTOM - min(max(share, 0.0), 1.0) * HIGH


def _axis(lies: Plotted) -> list[Markup]:
    drawn = []
    for value, says in lies.ticks:
        y = _y(value, lies.scale)
        drawn.append(line(LEFT, y, RIGHT, y, "zero" if value == 0 and lies.series.name == "bank" else "grid"))
        drawn.append(words(LEFT - 8, y + 4, says, "tick", "end"))
    drawn.append(rectangle(LEFT, _TOP, RIGHT - LEFT, HIGH, "frame"))
    return drawn


def _path(t: Sequence[float], values: Values, along: Along, scale: Range, jump: float) -> str:
    """Return the path of a line, broken where there is no value and where a direction goes round."""
    pieces: list[str] = []
    last: float | None = None
    for at, value in zip(t, values, strict=True):
        if value is None:
            last = None
            continue
        command = "M" if last is None or abs(value - last) > jump else "L"
        pieces.append(f"{command}{along.x(at):.1f} {_y(value, scale):.1f}")
        last = value
    if len(pieces) == 1:
        pieces.append(f"h{short(1.5)}")
    return "".join(pieces)


def _ends(lies: Plotted) -> list[Markup]:
    """Return the names of the two lines, each beside its end, one above the other where they end together."""
    ends = [(_y(last, scale), name) for values, scale, name in (
        (lies.shown, lies.scale, "shown"), (lies.true, lies.true_scale, "true"))
        if (last := next((each for each in reversed(values) if each is not None), None)) is not None]
    placed: list[tuple[float, str]] = []
    for y, name in sorted(ends):
        placed.append((max(y, placed[-1][0] + 12) if placed else y, name))
    over = max(0.0, placed[-1][0] + 2 - _BOTTOM) if placed else 0.0
    return [words(RIGHT + 6, y - over + 4, name, f"end-{name}", "start") for y, name in placed]


def _key(series: Series) -> Markup:
    """Return which line is which, at the upper right."""
    x = RIGHT - 330
    return group(line(x, 8, x + 26, 8, "shown"), words(x + 32, 12, series.shown.name, "key", "start"),
                 line(x + 160, 8, x + 186, 8, "true"), words(x + 192, 12, series.true.name, "key", "start"))
