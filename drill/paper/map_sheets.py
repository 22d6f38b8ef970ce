"""A map that is too large for one sheet of paper, cut into sheets on which its words can be read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

Area: TypeAlias = tuple[float, float, float, float]
"""Left, top, width and height, in units of the drawing."""

SHEET = (1_300.0, 800.0)     # of the drawing, on a sheet across: its words are then about six points high
OVERLAP = 60.0               # so much of a sheet stands on the next one too, for whoever puts them together
WHOLE = 1.25                 # so many times a sheet still goes on one


@dataclass(frozen=True, slots=True)
class Sheet:
    """A piece of the drawing: its area, and where it lies, counted from 1."""

    area: Area
    row: int
    column: int


def sheets_of(width: float, height: float, boxes: Sequence[Area]) -> list[Sheet]:
    """Return the sheets of a drawing, row by row; none where it goes on one, and none on which there is no box."""
    wide, high = SHEET
    if width <= WHOLE * wide and height <= WHOLE * high:
        return []
    columns, rows = _count(width, wide), _count(height, high)
    found = []
    for row in range(rows):
        for column in range(columns):
            area = (_start(column, columns, width, wide), _start(row, rows, height, high), wide, high)
            if any(_meet(area, box) for box in boxes):
                found.append(Sheet(area, row + 1, column + 1))
    return found


def _count(length: float, sheet: float) -> int:
    return max(1, math.ceil((length - OVERLAP) / (sheet - OVERLAP)))


def _start(place: int, count: int, length: float, sheet: float) -> float:
    """Return where a sheet begins, such that all together are spread over the length evenly."""
    return (length - sheet) / 2.0 if count == 1 else place * (length - sheet) / (count - 1)


def _meet(one: Area, other: Area) -> bool:
    return (one[0] < other[0] + other[2] and other[0] < one[0] + one[2]
            and one[1] < other[1] + other[3] and other[1] < one[1] + one[3])
