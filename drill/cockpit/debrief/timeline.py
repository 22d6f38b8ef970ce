"""The flight along a line of time: its moments, its lanes, and the lanes drawn in text. Pure, and light to load.

Times are flight time in seconds. Every mark has a shape of its own; no color carries anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.content import Content

LABEL_CELLS = 12
MARKS = {
    "failed": "X", "healed": "o", "evident": "e", "instrument evident": "i", "part evident": "p",
    "act": "|", "first act": "1", "named": "n", "called": ">",
    "heard": "<", "good": "+", "poor": "-", "unsafe": "!", "ended": "]",
}
FILLS = {"failed": "=", "bank over 20": "~", "bank over 45": "#"}
LEGEND = (
    "X fails, = failed, o comes back   e could have been known, i which instrument, p which part   "
    "| act, 1 first act on it, n named   "
    "~ bank over 20, # over 45 degrees   > you call, < they call   + well, - to work on, ! unsafe   ] end"
)
_INKS = {"·": "$text-muted", "X": "$error bold", "=": "$error", "!": "$error bold", "#": "$error",
         "~": "$warning", "-": "$warning bold", "e": "$warning bold", "i": "$warning bold",
         "p": "$warning bold", "+": "$success bold", "1": "bold", "n": "bold"}
"""Only to please: the marks tell all by their shapes."""
_SOONEST = {mark: place for place, mark in enumerate("·=~#|<>o+-eipn1X]!")}   # of two in one cell the later one shows


@dataclass(frozen=True, slots=True)
class Moment:
    """Something that happened, with all there is to say of it; `t` is None for what never happened."""

    t: float | None
    mark: str                                             # one character of MARKS
    title: str
    details: tuple[tuple[str, str], ...] = ()             # (what this is, words)
    shown: dict[str, float] = field(default_factory=dict)    # the panel then; empty if it is not known
    covered: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Lane:
    """One lane: marks at their times, over stretches of time filled with a character."""

    name: str
    marks: tuple[tuple[float, str], ...] = ()
    stretches: tuple[tuple[float, float, str], ...] = ()


def clock(seconds: float) -> str:
    """Return a flight time as `M:SS`; parts of a second are dropped."""
    whole = int(max(0.0, seconds) + 1e-6)
    return f"{whole // 60}:{whole % 60:02d}"


def column(t: float, length_s: float, cells: int) -> int:
    """Return the cell, 0 to `cells` - 1, that stands for the time `t` of a flight of `length_s`."""
    if length_s <= 0.0 or cells <= 1:
        return 0
    return min(cells - 1, max(0, int(t / length_s * (cells - 1) + 0.5)))


def time_at(cell: int, length_s: float, cells: int) -> float:
    """Return the time in the middle of `cell`."""
    return 0.0 if cells <= 1 else min(max(cell, 0), cells - 1) / (cells - 1) * length_s


def nearest(moments: Sequence[Moment], t: float) -> int | None:
    """Return the place of the moment nearest to the time `t`; None if none of them has a time."""
    timed = [(abs(moment.t - t), place) for place, moment in enumerate(moments) if moment.t is not None]
    return min(timed)[1] if timed else None


def lane_cells(lane: Lane, length_s: float, cells: int) -> str:
    """Return `lane` as `cells` characters; where two things share a cell, the weightier one shows."""
    row = ["·"] * cells
    for begin, end, fill in lane.stretches:
        for cell in range(column(begin, length_s, cells), column(end, length_s, cells) + 1):
            row[cell] = _weightier(row[cell], fill)
    for t, mark in lane.marks:
        cell = column(t, length_s, cells)
        row[cell] = _weightier(row[cell], mark)
    return "".join(row)


def _weightier(one: str, other: str) -> str:
    return other if _SOONEST.get(other, 0) >= _SOONEST.get(one, 0) else one


def drawn(lanes: Sequence[Lane], length_s: float, width: int, selected: float | None = None) -> list[Content]:
    """Return the rows of `lanes`, each `width` cells, and below them the row of time with the selected one's mark.

    The cell of the time `selected` (s) is shown in reverse in every lane, and pointed at in the last row.
    """
    from textual.content import Content  # whoever only works out the moments needs no screen

    cells = max(1, width - LABEL_CELLS)
    at = None if selected is None else column(selected, length_s, cells)
    rows = []
    for lane in lanes:
        row = Content(f"{lane.name:<{LABEL_CELLS}.{LABEL_CELLS}}{lane_cells(lane, length_s, cells)}"[:width])
        for place, mark in enumerate(row.plain[LABEL_CELLS:], LABEL_CELLS):
            row = row.stylize(_INKS.get(mark, ""), place, place + 1)
        rows.append(row if at is None else row.stylize("reverse", LABEL_CELLS + at, LABEL_CELLS + at + 1))
    rows.append(Content(_scale(length_s, cells, at, selected)[:width]))
    return rows


def _scale(length_s: float, cells: int, at: int | None, selected: float | None) -> str:
    row = [" "] * cells
    taken: list[tuple[int, int]] = []

    def put(words: str, begin: int) -> None:
        begin = max(0, min(begin, cells - len(words)))
        if len(words) > cells or any(begin <= right and left <= begin + len(words) for left, right in taken):
            return
        row[begin : begin + len(words)] = words
        taken.append((begin, begin + len(words)))

    if at is not None and selected is not None:
        time = clock(selected)
        before = at + 2 + len(time) > cells
        put(f"{time} ^" if before else f"^ {time}", at - len(time) - 1 if before else at)
    put("0:00", 0)
    put(clock(length_s), cells)
    return f"{'time':<{LABEL_CELLS}}{''.join(row)}"
