"""A plot of shown against true as strips of cells. Pure: what is plotted in, a picture out.

Shown is a solid line, true a broken one, and each has its name at its end; where only ASCII is drawn, shown is
`*`, true is `o`, and a cell with both `#`. No color carries anything alone.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise

from textual.strip import Strip

from drill.cockpit.debrief.pieces import Plot
from drill.cockpit.debrief.timeline import clock
from drill.cockpit.ink import Ink
from drill.cockpit.raster import DOTS_ACROSS, DOTS_DOWN, Raster

LEFT, RIGHT = 9, 6           # cells for the marks of the scale, and for the names of the lines
LEAST_COLUMNS, LEAST_ROWS = 40, 4
TITLES = {"suction": "SUCTION, AND THE GYRO THAT LIVES ON IT"}
_DASH, _GAP = 2, 2           # dots of the line that is true, and between them

Guide = tuple[float, str]
"""A time (s) and its mark."""


def title_of(plot: Plot) -> str:
    """Return what stands above the plot."""
    return TITLES.get(plot.name, plot.name.upper())


def reading(plot: Plot, value: float | None, *, true: bool = False) -> str:
    """Return a value of the plot in words and units, short."""
    unit = plot.true_unit if true else plot.unit
    if value is None:
        return "none"
    if plot.name == "bank":
        return "level" if round(value) == 0 else f"{abs(value):.0f} {'right' if value > 0 else 'left'}"
    if plot.name == "heading":
        return f"{round(value) % 360 or 360:03d}"
    return f"{abs(value):.1f} {unit}" if unit == "inHg" else f"{value:,.0f} {unit}"


def values_at(plot: Plot, t: float) -> tuple[float | None, float | None]:
    """Return what was shown and what was true at the time `t` (s), the last point not later; None before any."""
    place = bisect_right(plot.t, t) - 1
    return (plot.shown[place], plot.true[place]) if place >= 0 else (None, None)


def head(plot: Plot, at: float | None, *, plain: bool = False) -> str:
    """Return the line above the plot: what it is and, at a time (s), what was shown and true then; else which is which.

    `plain`: where only ASCII is drawn.
    """
    names = ("gauge", "gyro") if plot.unit != plot.true_unit else ("shown", "true")
    if at is None:
        solid, broken = ("*", "o") if plain else ("solid", "dashed")
        return f"{title_of(plot)}  {solid}: {names[0]}, {broken}: {names[1]}"
    shown, true = values_at(plot, at)
    return (f"{title_of(plot)}  {clock(at)}: {names[0]} {reading(plot, shown)}, {names[1]} "
            f"{reading(plot, true, true=True)}")


def draw(plot: Plot, length_s: float, size: tuple[int, int], ink: Ink, guides: Sequence[Guide] = (),
         at: float | None = None) -> list[Strip]:
    """Return the plot of a flight of `length_s` in `size` (columns, rows), its head in the first row.

    `guides` are times with their marks, `at` is the time selected.
    """
    width, height = size
    if width < LEAST_COLUMNS or height < LEAST_ROWS:
        return [Strip.blank(width) for _ in range(height)]
    raster = Raster(width, height, ink)
    view = _View(raster, plot, length_s)
    view.frame()
    for t, mark in guides:
        view.upright(t, ink.faint, 4, mark)
    if at is not None:
        view.upright(at, ink.mark, 2, "")
    view.lines()
    view.names()
    raster.text(0, 0, head(plot, at, plain=ink.plain)[:width], ink.mark, bold=True)
    return raster.strips()


class _View:
    """Draws on a raster whose first row is the head."""

    def __init__(self, raster: Raster, plot: Plot, length_s: float) -> None:
        self.raster, self.plot, self.length_s = raster, plot, length_s
        self.ink = raster.ink
        self.left = LEFT * DOTS_ACROSS
        self.right = raster.dots_across - RIGHT * DOTS_ACROSS - 1
        self.top, self.bottom = DOTS_DOWN, raster.dots_down - 1

    def x(self, t: float) -> float:
        """Return the column of dots of the time `t`."""
        share = 0.0 if self.length_s <= 0.0 else min(max(t / self.length_s, 0.0), 1.0)
        return self.left + share * (self.right - self.left)

    def y(self, value: float, scale: tuple[float, float]) -> float:
        """Return the row of dots of `value`."""
        low, high = scale
        share = (value - low) / (high - low) if high > low else 0.5
        return self.bottom - min(max(share, 0.0), 1.0) * (self.bottom - self.top)

    def frame(self) -> None:
        """Draw the marks of the scale with their words, the green band's edges, and where it was covered."""
        taken: set[int] = set()
        for value, says in self.plot.ticks:
            y = self.y(value, self.plot.scale)
            row = int(y) // DOTS_DOWN
            if row in taken or row - 1 in taken:
                continue
            taken.add(row)
            says = says.replace("°", "") if self.ink.plain else says
            self.raster.text(0, row, says.rjust(LEFT - 1)[-(LEFT - 1):], self.ink.faint)
            if not self.ink.plain:
                self.raster.line(self.left, y, self.right, y, self.ink.rim, every=6)
        for edge in self.plot.band or ():
            y = self.y(edge, self.plot.scale)
            if self.ink.plain:
                continue
            self.raster.line(self.left, y, self.right, y, self.ink.green, every=3)
        for begin, end in self.plot.covered:
            self._covered(begin, end)

    def _covered(self, begin: float, end: float) -> None:
        if self.ink.plain:
            row = self.raster.height - 1
            for column in range(int(self.x(begin)) // DOTS_ACROSS, int(self.x(end)) // DOTS_ACROSS + 1):
                self.raster.text(column, row, "_", self.ink.faint)
            return
        for up in range(2):
            self.raster.line(self.x(begin), self.bottom - up, self.x(end), self.bottom - up, self.ink.faint)

    def upright(self, t: float, colour: str, every: int, mark: str) -> None:
        """Draw a line down through the plot at the time `t`, with its mark at the top."""
        x = self.x(t)
        column = int(x) // DOTS_ACROSS
        if self.ink.plain:
            for row in range(1, self.raster.height):
                self.raster.text(column, row, ":" if every > 2 else "|", colour)
        else:
            self.raster.line(x, self.top, x, self.bottom, colour, every=every)
        if mark:
            self.raster.text(column, 1, mark, colour, bold=True)

    def lines(self) -> None:
        """Draw the line that is true, and over it the one that was shown."""
        plot, ink = self.plot, self.ink
        both = ((plot.true, plot.true_scale, ink.airplane, "o", _GAP), (plot.shown, plot.scale, ink.needle, "*", 0))
        drawn: dict[tuple[int, int], str] = {}
        for values, scale, colour, mark, gap in both:
            for run in _runs(plot, values):
                points = [(self.x(t), self.y(value, scale)) for t, value in run]
                for number, (x, y) in enumerate(_along(points)):
                    if not ink.plain:
                        if number % (_DASH + gap) < _DASH:
                            self.raster.dot(x, y, colour)
                        continue
                    cell = int(x) // DOTS_ACROSS, int(y) // DOTS_DOWN
                    drawn[cell] = "#" if drawn.get(cell, mark) != mark else mark
                    self.raster.text(*cell, drawn[cell], colour)

    def names(self) -> None:
        """Write the name of each line beside its end, one below the other where they end together."""
        plot = self.plot
        gauge = plot.unit != plot.true_unit
        ends = sorted(
            (int(self.y(last, scale)) // DOTS_DOWN, name, colour) for values, scale, name, colour in (
                (plot.shown, plot.scale, "gauge" if gauge else "shown", self.ink.needle),
                (plot.true, plot.true_scale, "gyro" if gauge else "true", self.ink.airplane))
            if (last := next((each for each in reversed(values) if each is not None), None)) is not None)
        rows = [row for row, _, _ in ends]
        if len(rows) == 2 and rows[0] == rows[1]:
            lowest = self.raster.height - 1
            rows = [rows[0], rows[0] + 1] if rows[0] < lowest else [lowest - 1, lowest]
        for row, (_, name, colour) in zip(rows, ends, strict=True):
            self.raster.text(self.raster.width - RIGHT + 1, row, name, colour, bold=True)


def _runs(plot: Plot, values: Sequence[float | None]) -> Iterator[list[tuple[float, float]]]:
    """Yield the stretches of a line between its breaks, as (time, value)."""
    jump = math.inf if plot.jump is None else plot.jump
    run: list[tuple[float, float]] = []
    for t, value in zip(plot.t, values, strict=True):
        if run and (value is None or abs(value - run[-1][1]) > jump):
            yield run
            run = []
        if value is not None:
            run.append((t, value))
    if run:
        yield run


def _along(points: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """Yield points a dot apart along a line through `points`, its first one included."""
    yield points[0]
    left = 1.0
    for (x0, y0), (x1, y1) in pairwise(points):
        length = max(abs(x1 - x0), abs(y1 - y0))
        gone = 0.0
        while length - gone >= left:
            gone += left
            left = 1.0
            yield x0 + (x1 - x0) * gone / length, y0 + (y1 - y0) * gone / length
        left -= length - gone
