"""A raster of terminal cells: a ground, fine dots upon it, and text upon both.

A cell is two dots wide and four dots high (a braille pattern), so that dots are about square. Dots of a cell share one
colour, the last one drawn; the cell keeps its ground. A cell whose ground changes inside it is drawn with a block
element of eighths. With `Ink.plain` only ASCII comes out: what the dots of a cell look like, as - | / \\ or a point.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from drill.cockpit.ink import Ink

DOTS_ACROSS = 2
DOTS_DOWN = 4

_BRAILLE = 0x2800
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))     # by row, then column
_LOWER = " ▁▂▃▄▅▆▇█"
_LEFT = " ▏▎▍▌▋▊▉█"


@lru_cache(maxsize=4096)
def style(fore: str, back: str, bold: bool = False) -> Style:
    """Return the style of `fore` on `back`."""
    return Style(color=fore, bgcolor=back, bold=bold)


@lru_cache(maxsize=512)
def _as_ascii(bits: int) -> str:
    """Return the ASCII character that looks most like a braille pattern."""
    points = [(x, y) for y in range(4) for x in range(2) if bits & _BITS[y][x]]
    rows = {y for _, y in points}
    columns = {x for x, _ in points}
    if len(points) == 1:
        return "." if points[0][1] >= 2 else "'"
    if len(rows) == 1:
        return "_" if 3 in rows else "-"
    if len(points) >= 6:
        return "#"
    if len(columns) == 1:
        return "|"
    if len(rows) == 2 and len(points) == 4:
        return "="
    left = [y for x, y in points if x == 0]
    right = [y for x, y in points if x == 1]
    lean = sum(left) / len(left) - sum(right) / len(right)
    if abs(lean) < 0.75:
        return "-" if len(rows) <= 2 else "|"
    return "/" if lean > 0 else "\\"


class Raster:
    """`width` by `height` cells on one ground. Anything drawn outside is dropped."""

    def __init__(self, width: int, height: int, ink: Ink, ground: str | None = None) -> None:
        self.width = width
        self.height = height
        self.ink = ink
        ground = ink.dial if ground is None else ground
        self._back = [[ground] * width for _ in range(height)]
        self._fore = [[ink.mark] * width for _ in range(height)]
        self._block: list[list[str]] = [[""] * width for _ in range(height)]
        self._dots = [[0] * width for _ in range(height)]
        self._text: list[list[str]] = [[""] * width for _ in range(height)]
        self._bold = [[False] * width for _ in range(height)]
        self._beneath: dict[tuple[int, int], str] = {}
        self._foot: dict[tuple[int, int], str] = {}

    @property
    def dots_across(self) -> int:
        """Width in dots."""
        return self.width * DOTS_ACROSS

    @property
    def dots_down(self) -> int:
        """Height in dots."""
        return self.height * DOTS_DOWN

    def copy(self) -> Raster:
        """Return a raster of its own with all that is drawn on this one."""
        other = object.__new__(Raster)
        other.width, other.height, other.ink = self.width, self.height, self.ink
        other._back = [row[:] for row in self._back]
        other._fore = [row[:] for row in self._fore]
        other._block = [row[:] for row in self._block]
        other._dots = [row[:] for row in self._dots]
        other._text = [row[:] for row in self._text]
        other._bold = [row[:] for row in self._bold]
        other._beneath = dict(self._beneath)
        other._foot = dict(self._foot)
        return other

    # --- ground ------------------------------------------------------------------------------------

    def fill(self, x: int, y: int, colour: str, pattern: str = "", pattern_colour: str = "") -> None:
        """Make a cell's ground `colour`; `pattern` is a character printed on it while nothing else is."""
        if self._inside(x, y):
            self._back[y][x] = colour
            self._block[y][x] = pattern
            if pattern:
                self._fore[y][x] = pattern_colour or self.ink.faint
            self._beneath.pop((x, y), None)

    def fill_row(self, y: int, colours: Sequence[str], patterned: str = "", pattern: str = "") -> None:
        """Make the grounds of a row `colours`; where that is `patterned`, print `pattern` while nothing else is."""
        if not 0 <= y < self.height:
            return
        self._back[y] = list(colours)
        if pattern:
            self._block[y] = [pattern if colour == patterned else "" for colour in colours]

    def split(self, x: int, y: int, lower: str, upper: str, share: float, patterned: str = "", pattern: str = "",
              ) -> None:
        """Make the lower `share` (0 to 1) of a cell's ground `lower` and the rest `upper`."""
        plain = "_" if share < 0.34 else "-" if share < 0.67 else "^"
        self._blocks((x, y), lower, upper, share, _LOWER, plain, pattern if lower == patterned else "")

    def part(self, x: int, y: int, left: str, right: str, share: float, patterned: str = "", pattern: str = "",
             ) -> None:
        """Make the left `share` (0 to 1) of a cell's ground `left` and the rest `right`."""
        self._blocks((x, y), left, right, share, _LEFT, "|", pattern if left == patterned else "")

    def _blocks(self, cell: tuple[int, int], first: str, second: str, share: float, blocks: str, plain: str,
                pattern: str) -> None:
        x, y = cell
        if not self._inside(x, y):
            return
        eighths = round(min(max(share, 0.0), 1.0) * 8)
        if eighths == 8:
            self.fill(x, y, first, pattern, self.ink.mark)
        if eighths in (0, 8):
            return
        self._back[y][x] = second
        self._fore[y][x] = self.ink.mark if self.ink.plain else first
        self._block[y][x] = plain if self.ink.plain else blocks[eighths]
        self._beneath[x, y] = first if eighths >= 4 else second
        self._foot[x, y] = first if eighths >= 2 or blocks is _LEFT else second

    # --- dots --------------------------------------------------------------------------------------

    def dot(self, x: float, y: float, colour: str) -> None:
        """Set the dot at (x, y), counted in dots from the upper left corner."""
        column, row = math.floor(x), math.floor(y)
        cell_x, cell_y = column >> 1, row >> 2
        if self._inside(cell_x, cell_y):
            self._dots[cell_y][cell_x] |= _BITS[row & 3][column & 1]
            if not self._text[cell_y][cell_x]:
                self._fore[cell_y][cell_x] = colour

    def line(self, x0: float, y0: float, x1: float, y1: float, colour: str, *, every: int = 1) -> None:
        """Draw a line of dots; `every` above 1 leaves gaps."""
        steps = max(1, math.ceil(max(abs(x1 - x0), abs(y1 - y0))))
        for step in range(0, steps + 1, every):
            share = step / steps
            self.dot(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share, colour)

    def bar(self, x0: float, y0: float, x1: float, y1: float, colour: str, thick: float) -> None:
        """Draw a line `thick` dots wide."""
        length = math.hypot(x1 - x0, y1 - y0) or 1.0
        across = ((y1 - y0) / length, -(x1 - x0) / length)
        lines = max(1, math.ceil(thick * 1.4))      # near enough to one another to leave no holes
        for number in range(lines):
            off = 0.0 if lines == 1 else (number / (lines - 1) - 0.5) * (thick - 0.5)
            self.line(x0 + across[0] * off, y0 + across[1] * off, x1 + across[0] * off, y1 + across[1] * off, colour)

    def arc(self, centre: tuple[float, float], radius: float, start_deg: float, end_deg: float, colour: str, *,
            every: int = 1) -> None:
        """Draw an arc from `start_deg` clockwise to `end_deg`; 0 is up. `every` above 1 leaves gaps."""
        span = end_deg - start_deg
        steps = max(1, math.ceil(abs(math.radians(span)) * radius))
        for step in range(0, steps + 1, every):
            self.dot(*at(centre, radius, start_deg + span * step / steps), colour)

    def ray(self, centre: tuple[float, float], inner: float, outer: float, deg: float, colour: str, *,
            thick: float = 1.0) -> None:
        """Draw a line along the radius at `deg` (0 up, clockwise) between two radii: a mark or a needle."""
        self.bar(*at(centre, inner, deg), *at(centre, outer, deg), colour, thick)

    # --- text --------------------------------------------------------------------------------------

    def text(self, x: int, y: int, words: str, fore: str | None = None, back: str | None = None, *,
             bold: bool = False) -> None:
        """Print `words` (one column a character) from the cell (x, y) on; without `back` on the ground there."""
        for number, character in enumerate(words):
            column = x + number
            if self._inside(column, y):
                self._text[y][column] = character
                self._fore[y][column] = fore or self.ink.mark
                self._bold[y][column] = bold
                if back is not None:
                    self._back[y][column] = back
                    self._beneath.pop((column, y), None)

    def slab(self, x: int, y: int, colour: str) -> None:
        """Fill the upper half of a cell with `colour` and leave the ground below it."""
        if self._inside(x, y):
            self._beneath[x, y] = self._foot.get((x, y), self._beneath.get((x, y), self._back[y][x]))
            self._text[y][x] = "=" if self.ink.plain else "▀"
            self._fore[y][x] = colour
            self._bold[y][x] = False

    def centred(self, x: int, y: int, words: str, fore: str | None = None, back: str | None = None, *,
                bold: bool = False) -> None:
        """Print `words` with their middle at column `x`."""
        self.text(x - len(words) // 2, y, words, fore, back, bold=bold)

    # --- out ---------------------------------------------------------------------------------------

    def strips(self) -> list[Strip]:
        """Return the rows, each with equal neighbours merged into one segment."""
        return [Strip(self._segments(y), self.width) for y in range(self.height)]

    def _segments(self, y: int) -> list[Segment]:
        plain = self.ink.plain
        segments: list[Segment] = []
        run: list[str] = []
        last: tuple[str, str, bool] | None = None
        backs, fores, dots, texts, blocks, bolds = (
            self._back[y], self._fore[y], self._dots[y], self._text[y], self._block[y], self._bold[y])
        for x in range(self.width):
            back, fore, bold = backs[x], fores[x], False
            if texts[x]:
                character, bold = texts[x], bolds[x]
                back = self._beneath.get((x, y), back)
            elif dots[x]:
                character = _as_ascii(dots[x]) if plain else chr(_BRAILLE + dots[x])
                back = self._beneath.get((x, y), back)
            else:
                character = blocks[x] or " "
            if character == " " and last is not None and last[1] == back:
                run.append(" ")      # what colour a space would be written in does not show
                continue
            now = (fore, back, bold)
            if now != last and run and last is not None:
                segments.append(Segment("".join(run), style(*last)))
                run = []
            last = now
            run.append(character)
        if run and last is not None:
            segments.append(Segment("".join(run), style(*last)))
        return segments

    def _inside(self, x: int, y: int) -> bool:
        return 0 <= x < self.width and 0 <= y < self.height


def at(centre: tuple[float, float], radius: float, deg: float) -> tuple[float, float]:
    """Return the point at `radius` from `centre` in the direction `deg` (0 up, clockwise), in dots."""
    angle = math.radians(deg)
    return centre[0] + radius * math.sin(angle), centre[1] - radius * math.cos(angle)
