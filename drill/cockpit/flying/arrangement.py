"""Where things stand on the flight screen in a terminal of a given size: three arrangements, and none if too small."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Size: TypeAlias = Literal["full", "standard", "compact", "tiny"]

LEAST_COLUMNS, LEAST_ROWS = 60, 18
_OTHER_ROWS = 4            # status, hands, order line, keys
_READINGS_ROWS = 12        # the compact table: every instrument but the attitude indicator


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Columns and rows: of the panel, and of each of the six faces (compact: of the one)."""

    size: Size
    panel_columns: int
    panel_rows: int
    face_columns: int
    face_rows: int
    hands: bool = True     # whether there is a row for what the hands do


_LEAST = {"full": (160, 50, 56, 12), "standard": (116, 38, 38, 8)}
"""Columns and rows from which on an arrangement fits, columns left for words, rows for the lesser instruments."""


def arrangement(columns: int, rows: int) -> Arrangement:
    """Return the largest arrangement that fits into a terminal of `columns` by `rows`.

    A face is twice as many columns wide as it is rows high, which is about square; it grows with the terminal.
    """
    for size in ("full", "standard"):
        least_columns, least_rows, words, lesser = _LEAST[size]
        if columns >= least_columns and rows >= least_rows:
            face_rows = min((columns - words) // 6, (rows - _OTHER_ROWS - lesser) // 2)
            return Arrangement("full" if size == "full" else "standard", 6 * face_rows, rows - _OTHER_ROWS,
                               2 * face_rows, face_rows)
    if columns >= LEAST_COLUMNS and rows >= LEAST_ROWS:
        face = 24 if columns >= 76 else 20
        return Arrangement("compact", columns, _READINGS_ROWS, face, _READINGS_ROWS, hands=rows >= 21)
    return Arrangement("tiny", columns, rows, 0, 0, hands=False)


def too_small(columns: int, rows: int) -> str:
    """Return why nothing can be flown in a terminal of this size, and what to do; nothing if it can."""
    if columns >= LEAST_COLUMNS and rows >= LEAST_ROWS:
        return ""
    return (f"This terminal has {columns} columns and {rows} rows; the cockpit needs {LEAST_COLUMNS} and {LEAST_ROWS}. "
            "Make it larger, or fly in words (--plain).")
