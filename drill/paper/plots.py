"""Plots of what was shown against what was true, on the line of time of the lanes. Shown is solid, true is broken."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from drill.grading.moments import Moment
from drill.grading.plotted import plotted
from drill.grading.series import Series
from drill.grading.series_words import series_words
from drill.paper.along import LEFT, RIGHT, WIDTH, Along
from drill.paper.axes import BOTTOM, TOP, axis, last_of, line_path, names_at, y_of
from drill.paper.svg import element, group, line, path, picture, rectangle, words

_NAMES = {"suction": "suction, and the gyro that lives on it"}


def plot(series: Series, length_s: float, guides: Sequence[Moment], *, times: bool = False) -> Markup:
    """Return one plot; `times`: with the times below it. `guides` are lines through it."""
    along, lies = Along(length_s), plotted(series)
    name = _NAMES.get(series.name, series.name)
    title = name[:1].upper() + name[1:]
    drawn = [along.grid(TOP, BOTTOM, guides), *axis(series.name, lies.ticks, lies.scale)]
    if series.band is not None:
        low, high = (y_of(edge, lies.scale) for edge in series.band)
        drawn.append(rectangle(LEFT, high, RIGHT - LEFT, low - high, "band"))
    drawn += [group(element("title", "covered"),
                    rectangle(along.x(begin), BOTTOM - 6, along.x(end) - along.x(begin), 6, "covered"))
              for begin, end in series.covered]
    for values, class_, scale in ((lies.true, "true", lies.true_scale), (lies.shown, "shown", lies.scale)):
        d = line_path(series.t, values, along, scale, lies.jump)
        if d:
            drawn.append(path(d, class_))
    ends = [(y_of(last, scale), name, f"end-{name}")
            for values, scale, name in ((lies.shown, lies.scale, "shown"), (lies.true, lies.true_scale, "true"))
            if (last := last_of(values)) is not None]
    drawn += [*names_at(ends), words(LEFT, 12, title, "plot-name", "start"), _key(series)]
    if times:
        drawn.append(along.labels(BOTTOM + 16))
    says = f"{title}: {series.shown.name} as shown, solid; {series.true.name}, broken. {series_words(series)}"
    return picture(WIDTH, BOTTOM + (22 if times else 6), f"{title}: shown against true", says, f"plot-{series.name}",
                   *drawn, class_="plot")


def _key(series: Series) -> Markup:
    """Return which line is which, at the upper right."""
    x = RIGHT - 330
    return group(line(x, 8, x + 26, 8, "shown"), words(x + 32, 12, series.shown.name, "key", "start"),
                 line(x + 160, 8, x + 186, 8, "true"), words(x + 192, 12, series.true.name, "key", "start"))
