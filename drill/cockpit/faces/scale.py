"""A straight scale in one row of characters: a track, its marks, a band between brackets, and a pointer."""

from __future__ import annotations

from collections.abc import Sequence

_TRACK, _MARK, _POINTER = "─┼▲"
_PLAIN = {"─": "-", "┼": "+", "▲": "^"}


def share_of(value: float, low: float, high: float) -> float:
    """Return where `value` stands between `low` (0) and `high` (1); what is off the scale stands at its end."""
    return min(max((value - low) / (high - low), 0.0), 1.0)


def column_of(share: float, width: int) -> int:
    """Return the column of a scale `width` columns wide at `share` (0 to 1)."""
    return round(share * (width - 1))


def scale_line(width: int, share: float | None, marks: Sequence[float] = (), *,
               band: tuple[float, float] | None = None, letters: Sequence[tuple[float, str]] = (),
               plain: bool = False) -> str:
    """Return the scale as `width` characters. Shares from 0 to 1; without a `share` there is no pointer.

    `letters` are marks that are letters, each after its share.
    """
    if width <= 0:
        return ""
    cells = [_TRACK] * width
    for mark in marks:
        cells[column_of(mark, width)] = _MARK
    for mark, letter in letters:
        cells[column_of(mark, width)] = letter
    if band is not None:
        left, right = (column_of(edge, width) for edge in band)
        cells[max(left - 1, 0)] = "["      # around the band, so that a pointer in it leaves both in sight
        cells[min(right + 1, width - 1)] = "]"
    if share is not None:
        cells[column_of(share, width)] = _POINTER
    return "".join(_PLAIN.get(cell, cell) if plain else cell for cell in cells)
