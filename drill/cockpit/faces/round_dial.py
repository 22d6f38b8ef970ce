"""What round dials have in common: where the scale lies, its marks and figures, needles, windows, and the small form.

Lengths are in dots, places in dots from the upper left corner, angles in degrees clockwise from the top.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass
from typing import TypeAlias

from drill.cockpit.ink import Ink
from drill.cockpit.raster import DOTS_DOWN, Raster, at

_LEAST_OUTER = 15.0
"""A dial smaller than this cannot be read; title and value are written instead."""

_LEAST_FIGURED = 11.0
"""A scale smaller than this has no figures, so that its marks get their room."""

_GAP = 1.5
"""Between the scale and its figures."""

Cells: TypeAlias = set[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Ring:
    """Where a dial lies: its middle, the radius of its scale, the radius of all of it, and whether it has figures."""

    centre: tuple[float, float]
    radius: float
    outer: float
    figures: bool

    @property
    def roomy(self) -> bool:
        """Say whether a window fits inside the scale without hiding the needle."""
        return self.radius >= 17


def ring(width: int, height: int, figure_characters: int) -> Ring | None:
    """Return the largest dial for `width` by `height` cells with figures around its scale; None where none is readable.

    `figure_characters` is the width of the widest figure at the side.
    """
    outer = min(width, 2 * height) - 1.0
    if outer < _LEAST_OUTER:
        return None
    centre = (width + 0.5, 2 * height + 0.5)
    radius = min(width - 2 * figure_characters, 2 * height - DOTS_DOWN) - _GAP
    if radius < _LEAST_FIGURED:
        return Ring(centre, outer, outer, figures=False)
    return Ring(centre, radius, outer, figures=True)


def dial_ground(width: int, height: int, ink: Ink, where: Ring) -> Raster:
    """Return a raster with the round ground of a dial on the panel."""
    raster = Raster(width, height, ink, ink.panel)
    for y in range(height):
        for x in range(width):
            if math.hypot(x * 2 + 1 - where.centre[0], y * 4 + 2 - where.centre[1]) <= where.outer + 1:
                raster.fill(x, y, ink.dial)
    return raster


# --- scale -------------------------------------------------------------------------------------------


def mark(raster: Raster, where: Ring, deg: float, colour: str, *, long: bool) -> None:
    """Draw a mark of the scale, inward from it."""
    if raster.ink.plain:
        x, y = _cell(at(where.centre, where.radius - 1, deg))
        raster.text(x, y, "+" if long else ".", colour)
        return
    length = min(where.radius * (0.2 if long else 0.1), 10.0 if long else 5.0)
    inner, outer = where.radius - max(length, 1.0), where.radius
    if long and where.radius >= 24:
        raster.ray(where.centre, inner, outer, deg, colour, thick=2.0)
    else:
        raster.line(*at(where.centre, inner, deg), *at(where.centre, outer, deg), colour)


def figure(raster: Raster, where: Ring, deg: float, words: str, colour: str | None = None, *,
           bold: bool = False) -> None:
    """Print a figure upright, outside of the scale."""
    raster.text(*_where(at(where.centre, where.radius + _GAP + _support(deg, words), deg), words), words, colour,
                bold=bold)


def inside(where: Ring, deg: float, inward: float, words: str) -> tuple[int, int]:
    """Return the cell where `words` begin that stand inside the scale, their edge `inward` from it."""
    return _where(at(where.centre, where.radius - inward - _support(deg, words), deg), words)


def dashes(raster: Raster, centre: tuple[float, float], radius: float, start_deg: float, end_deg: float,
           colour: str, dash: float = 3.0) -> None:
    """Draw a broken arc, dashes and gaps of about `dash` dots; it begins and ends with a dash."""
    length = math.radians(abs(end_deg - start_deg)) * radius
    pieces = max(1, round((length / dash - 1) / 2)) * 2 + 1
    step = (end_deg - start_deg) / pieces
    for number in range(0, pieces, 2):
        raster.arc(centre, radius, start_deg + number * step, start_deg + (number + 1) * step, colour)


def arc(raster: Raster, where: Ring, inward: float, start_deg: float, end_deg: float, colour: str, *, thick: int = 1,
        plain_as: str) -> None:
    """Draw a solid arc, its outer edge `inward` from the scale; in plain text it is a row of `plain_as`."""
    if raster.ink.plain:
        radius = where.radius - inward - 1
        steps = max(1, math.ceil(math.radians(end_deg - start_deg) * radius / 2))
        for step in range(steps + 1):
            point = at(where.centre, radius, start_deg + (end_deg - start_deg) * step / steps)
            raster.text(*_cell(point), plain_as, colour)
        return
    for number in range(thick):
        raster.arc(where.centre, where.radius - inward - number, start_deg, end_deg, colour)


# --- needle ------------------------------------------------------------------------------------------


def needle(raster: Raster, centre: tuple[float, float], deg: float, tail: float, tip: float, colour: str, *,
           thick: float = 1.0, plain_as: str = "") -> Cells:
    """Draw a needle and return the cells that it covers. In plain text it is made of | / - \\\\ or of `plain_as`."""
    start, end = at(centre, -tail, deg), at(centre, tip, deg)
    steps = max(1, math.ceil(tip + tail))
    points = [(start[0] + (end[0] - start[0]) * n / steps, start[1] + (end[1] - start[1]) * n / steps)
              for n in range(steps + 1)]
    cells = {_cell(point) for point in points}
    if raster.ink.plain:
        character = plain_as or "|/-\\"[round((deg % 180) / 45) % 4]
        for x, y in cells:
            raster.text(x, y, character, colour)
        return cells
    if thick <= 1:
        raster.line(*start, *end, colour)
        return cells
    waist = at(centre, tip * 0.7, deg)
    raster.bar(*start, *waist, colour, thick)
    raster.bar(*waist, *end, colour, thick / 2)
    return cells


def needle_thickness(radius: float) -> float:
    """Return how thick a needle is on a dial of that radius."""
    return max(2.0, radius * 0.06)


def hub(raster: Raster, centre: tuple[float, float], radius: float, colour: str) -> None:
    """Draw the round cap in the middle."""
    if raster.ink.plain:
        raster.text(*_cell(centre), "o", colour)
        return
    disc(raster, centre, radius, colour)


def disc(raster: Raster, centre: tuple[float, float], radius: float, colour: str) -> None:
    """Fill a circle."""
    reach = math.ceil(radius)
    middle_x, middle_y = math.floor(centre[0]), math.floor(centre[1])
    for y in range(-reach, reach + 1):
        for x in range(-reach, reach + 1):
            if x * x + y * y <= radius * radius:
                raster.dot(middle_x + x, middle_y + y, colour)


def print_below(raster: Raster, x: int, y: int, words: str, colour: str, over: Collection[tuple[int, int]]) -> None:
    """Print words on the dial's ground, beneath a needle that covers the cells `over`."""
    for number, character in enumerate(words):
        if (x + number, y) not in over:
            raster.text(x + number, y, character, colour)


# --- words -------------------------------------------------------------------------------------------


def window(raster: Raster, x: int, y: int, words: str, *, unit: str = "") -> None:
    """Print a value in a small window whose middle is at the cell (x, y), its unit beside it."""
    shown = f"[{words}]" if raster.ink.plain else f" {words} "
    raster.centred(x, y, shown, raster.ink.needle, raster.ink.panel, bold=True)
    raster.text(x - len(shown) // 2 + len(shown), y, unit, raster.ink.faint)


def corner(raster: Raster, where: Ring, characters: int, *, right: bool = False, low: bool = False) -> (
        tuple[int, int] | None):
    """Return the cell where a field of `characters` begins beside the dial, in the top row or the lowest.

    None if what is drawn already leaves no room for it there and a space.
    """
    y = raster.height - 1 if low else 0
    row = raster.strips()[y].text
    row = row[::-1] if right else row
    free = len(row) - len(row.lstrip())
    if characters + right >= free:
        return None
    edge = max(1 if right else 0, math.floor((where.centre[0] - where.outer) / 2))    # the next title begins at 0
    start = max(int(right), min(edge, free - 1 - characters))
    return (raster.width - start - characters if right else start), y


def title(raster: Raster, where: Ring, *choices: str, before: int | None = None) -> None:
    """Print the first of `choices` that fits into the upper left corner, and ends before the column `before`."""
    for words in choices:
        place = corner(raster, where, len(words))
        if place is not None and (before is None or place[0] + len(words) < before):
            raster.text(*place, words, raster.ink.faint)
            return


def value_corner(raster: Raster, where: Ring, characters: int) -> tuple[int, int]:
    """Return where a value of `characters` stands on a dial without room for a window: in the upper right corner.

    Where what is drawn leaves no room there, it stands at the right end of the lowest row, upon the scale.
    """
    return (corner(raster, where, characters, right=True)
            or corner(raster, where, characters, right=True, low=True)
            or (max(raster.width - 1 - characters, 0), raster.height - 1))


def small(title: str, value: str, width: int, height: int, ink: Ink) -> Raster:
    """Return the form of a face without room for a dial: its title, and the value below."""
    raster = Raster(width, height, ink)
    top = max(0, (height - 2) // 2)
    raster.centred(width // 2, top, title[:width], ink.faint)
    raster.centred(width // 2, top + 1, value[:width], ink.needle, bold=True)
    return raster


def _cell(point: tuple[float, float]) -> tuple[int, int]:
    return math.floor(point[0]) >> 1, math.floor(point[1]) >> 2


def _where(point: tuple[float, float], words: str) -> tuple[int, int]:
    return math.floor((point[0] - len(words)) / 2 + 0.5), math.floor(point[1] / DOTS_DOWN)


def _support(deg: float, words: str) -> float:
    """Return how far words reach from their middle toward `deg`."""
    angle = math.radians(deg)
    return abs(math.sin(angle)) * len(words) + abs(math.cos(angle)) * DOTS_DOWN / 2
