"""Lettering of the small faces: figures drawn with strokes for large ones, lines of a screen, flags and lights."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from drill.cockpit.raster import Raster

_ACROSS, _DOWN = 4.0, 6.0
_GAP = 1.6

_SHAPES: dict[str, tuple[tuple[tuple[float, float], ...], ...]] = {
    "0": (((1, 0), (3, 0), (4, 1), (4, 5), (3, 6), (1, 6), (0, 5), (0, 1), (1, 0)),),
    "1": (((0.8, 1.2), (2.2, 0), (2.2, 6)), ((0.8, 6), (3.6, 6))),
    "2": (((0, 1), (1, 0), (3, 0), (4, 1), (4, 2.2), (0, 6), (4, 6)),),
    "3": (((0, 0), (4, 0), (1.8, 2.4), (3, 2.4), (4, 3.4), (4, 5), (3, 6), (1, 6), (0, 5)),),
    "4": (((3, 6), (3, 0), (0, 4), (4, 4)),),
    "5": (((4, 0), (0.4, 0), (0, 2.8), (3, 2.8), (4, 3.8), (4, 5), (3, 6), (1, 6), (0, 5)),),
    "6": (((3.6, 0), (1.6, 0), (0, 2), (0, 5), (1, 6), (3, 6), (4, 5), (4, 3.6), (3, 2.8), (0.6, 2.8)),),
    "7": (((0, 0), (4, 0), (1.4, 6)),),
    "8": (((1, 0), (3, 0), (4, 0.8), (4, 2), (3, 2.8), (1, 2.8), (0, 2), (0, 0.8), (1, 0)),
          ((1, 2.8), (0, 3.8), (0, 5), (1, 6), (3, 6), (4, 5), (4, 3.8), (3, 2.8))),
    "9": (((0.4, 6), (2.4, 6), (4, 4), (4, 1), (3, 0), (1, 0), (0, 1), (0, 2.4), (1, 3.2), (3.4, 3.2)),),
    "N": (((0, 6), (0, 0), (4, 6), (4, 0)),),
    "E": (((4, 0), (0, 0), (0, 6), (4, 6)), ((0, 3), (3, 3))),
    "S": (((4, 1), (3, 0), (1, 0), (0, 1), (0, 2), (1, 3), (3, 3), (4, 4), (4, 5), (3, 6), (1, 6), (0, 5)),),
    "W": (((0, 0), (1, 6), (2, 2), (3, 6), (4, 0)),),
    "-": (((0.5, 3), (3.5, 3)),),
    ":": (((2, 1.8), (2, 2.2)), ((2, 4.2), (2, 4.6))),
    " ": (),
}


def stroke_width(words: str, height: float) -> float:
    """Return how wide `words` come out at a height of `height`, both in dots."""
    return max(0.0, len(words) * (_ACROSS + _GAP) - _GAP) * height / _DOWN


def stroke(raster: Raster, words: str, centre: tuple[float, float], height: float, colour: str) -> None:
    """Draw `words` (digits, N E S W, colon, dash) around `centre`, `height` dots high. KeyError for others."""
    size = height / _DOWN
    thick = max(1.0, height / 11)
    left = centre[0] - stroke_width(words, height) / 2
    top = centre[1] - height / 2
    for number, character in enumerate(words):
        start = left + number * (_ACROSS + _GAP) * size
        for shape in _SHAPES[character]:
            for (x0, y0), (x1, y1) in pairwise(shape):
                raster.bar(start + x0 * size, top + y0 * size, start + x1 * size, top + y1 * size, colour, thick)


def lettered(raster: Raster, lines: Sequence[tuple[tuple[str, ...], str, str]], rows: int) -> None:
    """Fill the upper `rows` rows with `lines`: labels from long to short, figures, unit.

    The first label that fits is printed, none if none does. Lines that find no row are left out, the last first.
    Where a line has four rows or more, its figures are drawn with strokes, if they fit beside the label.
    """
    lines = lines[:max(rows, 1)]
    each = max(rows // len(lines), 1)
    top = max((rows - each * len(lines)) // 2, 0)
    before = 2 * max(len(labels[0]) for labels, _, _ in lines) + 6
    after = 2 * max(len(unit) for _, _, unit in lines) + 4
    widest = max(stroke_width(figures, 1.0) for _, figures, _ in lines)
    height = min(each * 2.7, (raster.dots_across - before - after) / widest)
    left = (raster.dots_across - before - widest * height - after) / 2
    edge = _edge(raster.width, lines)
    for number, (labels, figures, unit) in enumerate(lines):
        if height < 11:
            _line(raster, top + number * each + (each - 1) // 2, edge, labels, f"{figures} {unit}".rstrip(), unit)
            continue
        middle = (top + number * each) * 4 + each * 2.0
        right = left + before + widest * height
        stroke(raster, figures, (right - stroke_width(figures, height) / 2, middle), height, raster.ink.mark)
        raster.text(int(left) // 2 + 1, int(middle) // 4, labels[0], raster.ink.faint)
        raster.text(int(right) // 2 + 2, int(middle) // 4, unit, raster.ink.faint)


def _edge(width: int, lines: Sequence[tuple[tuple[str, ...], str, str]]) -> int:
    """Return how many columns stay free on either side of lines of text, the same for all of them."""
    longest = max(len(labels[0]) + len(figures) + len(unit) + 2 for labels, figures, unit in lines)
    return max(1 if longest + 2 <= width else 0, (width - 22) // 2)


def _line(raster: Raster, row: int, edge: int, labels: tuple[str, ...], said: str, unit: str) -> None:
    """Print one line: its label at the left, its figures and unit at the right."""
    free = raster.width - max(edge, 1)         # the next face's words begin at its first column
    label = next((label for label in labels if edge + len(label) + 1 + len(said) <= free), "")
    raster.text(edge, row, label, raster.ink.faint)
    end = max(free, min(len(said), raster.width))
    raster.text(end - len(said), row, said, bold=True)
    if unit:
        raster.text(end - len(unit), row, unit, raster.ink.faint)


def titled_below(raster: Raster, title: str) -> None:
    """Print the title of a face on the panel below it: in the lowest row."""
    row = raster.height - 1
    for x in range(raster.width):
        raster.fill(x, row, raster.ink.panel)
    raster.centred(raster.width // 2, row, title, raster.ink.faint)


def placard(raster: Raster, row: int, words: str, rows: int = 1) -> None:
    """Show a flag or a light that is on: words in the middle of a ground of their own, `rows` high."""
    column = raster.width // 2
    for each in range(row - rows // 2, row - rows // 2 + rows):
        raster.centred(column, each, words if each == row else " " * len(words), raster.ink.flag_word, raster.ink.flag,
                       bold=True)
