"""The magnetic compass: a card that swings behind a window, with a lubber line before it.

The pilot sees the far side of the card, so that greater headings stand to the left of the lubber line: in a turn to
the right the figures pass from left to right.
"""

from __future__ import annotations

import math
from functools import lru_cache

from textual.strip import Strip

from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.lettering import stroke, stroke_width, titled_below
from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster
from drill.flight.readings import three_digits

_SEEN_DEG = 42.0
"""From the lubber line to the edge of the window."""

_EDGE = math.sin(math.radians(_SEEN_DEG))

_LETTERS = {0: "N", 90: "E", 180: "S", 270: "W"}
_READ_TO_DEG = 5


def figure_of(mark_deg: int) -> str:
    """Return what is printed on the card at `mark_deg`: N, 3, 6, E ..."""
    return _LETTERS.get(mark_deg, str(mark_deg // 10))


def card_dot(mark_deg: float, heading_deg: float, across: float) -> float | None:
    """Return where a mark of the card is seen, in dots from the left of a window `across` dots wide; None if not."""
    off = (mark_deg - heading_deg + 180) % 360 - 180
    if abs(off) > _SEEN_DEG:
        return None
    return across / 2 * (1 - math.sin(math.radians(off)) / _EDGE)


def read_to(heading_deg: int) -> str:
    """Return the heading as a person reads it from the card: to the nearest 5 degrees, as three digits."""
    return three_digits(round(heading_deg / _READ_TO_DEG) * _READ_TO_DEG)


class CompassFace:
    """The magnetic compass's face."""

    code = "magnetic_compass"
    title = "COMPASS"

    def key(self, shown: Shown, dial: Dial) -> int:  # noqa: ARG002 - the protocol's
        """Return the heading under the lubber line, in whole degrees from 0 to 359."""
        return round(shown["compass_deg"] % 360) % 360

    def draw(self, key: int, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture."""
        return list(_picture(key, width, height, ink))


@lru_cache(maxsize=8)
def _picture(heading: int, width: int, height: int, ink: Ink) -> tuple[Strip, ...]:
    raster = Raster(width, height, ink)
    rows = max(height - 1, 1)
    _Card(raster, heading, rows).draw()
    if height > 2:
        title = "COMPASS" if width >= 11 else "COMP"
        titled_below(raster, f"{title} {read_to(heading)}")
    return tuple(raster.strips())


class _Card:
    """Draws the part of the card that is in the window, figures above and marks below, and the line before it."""

    def __init__(self, raster: Raster, heading: int, rows: int) -> None:
        self.raster = raster
        self.ink = raster.ink
        self.heading = heading
        self.rows = rows
        self.across, self.down = raster.dots_across, rows * 4
        self.radius = self.across / 2 / _EDGE
        spacing = self.radius * math.sin(math.radians(15)) * 2
        self.figure_high = min(self.down * 0.36, spacing * 0.7 / stroke_width("33", 1.0))
        self.figure_middle = self.down * 0.32
        self.marks_top = max(4.0, round(self.down * 0.62 / 4) * 4.0)

    def draw(self) -> None:
        """Draw the marks in sight, the line, and then the figures, which stay readable where they cross it."""
        marks = _marks_in_sight(self.heading, self.across, self.radius >= 24)
        for mark, x in marks:
            self._mark(mark, x)
        figures = [(figure_of(mark), x) for mark, x in marks if mark % 30 == 0]
        if self.figure_high >= 13:
            for words, x in figures:
                stroke(self.raster, words, (x, self.figure_middle), self.figure_high, self.ink.mark)
            self._line()
            return
        self._line()
        for words, x in figures:
            self.raster.text(math.floor((x - len(words)) / 2 + 0.5), int(self.figure_middle) // 4, words, bold=True)

    def _mark(self, mark: int, x: float) -> None:
        colour = self.ink.faint if mark % 10 else self.ink.mark
        bottom = self.down - 1
        if self.ink.plain:
            for y in range(int(self.marks_top) // 4 if mark % 10 == 0 else self.rows - 1, self.rows):
                self.raster.text(int(x) // 2, y, "'" if mark % 10 else "|", colour)
            return
        share = 1.0 if mark % 30 == 0 else 0.8 if mark % 10 == 0 else 0.45
        top = bottom - (bottom - self.marks_top) * share
        if self.across < 150:
            self.raster.line(x, top, x, bottom, colour)
        else:
            self.raster.bar(x, top, x, bottom, colour, self.across / 150)

    def _line(self) -> None:
        x = self.across / 2
        if self.ink.plain:
            for y in range(self.rows):
                self.raster.text(int(x) // 2, y, "V" if y == 0 else "|", self.ink.airplane, bold=True)
            return
        self.raster.bar(x, 0, x, self.down - 1, self.ink.airplane, max(0.5, self.across / 100))


def _marks_in_sight(heading: int, across: int, fine: bool) -> list[tuple[int, float]]:
    """Return the marks in sight, each 10 degrees or, `fine`, each 5, and where they are seen."""
    each = 5 if fine else 10
    first = math.ceil((heading - _SEEN_DEG) / each) * each
    found = []
    for mark in range(first, math.floor(heading + _SEEN_DEG) + 1, each):
        x = card_dot(mark, heading, across)
        if x is not None:
            found.append((mark % 360, x))
    return found


FACE = CompassFace()
