"""Flights side by side as rows of text in columns. Pure, and light to load: no grading is needed for it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from drill.cockpit.debrief.timeline import clock

if TYPE_CHECKING:
    from textual.content import Content

LABEL_CELLS = 17
GAP = "  "
WIDEST = 116             # cells; broader columns are no easier to read
KEY = "* marks what differs. F8 saves these flights side by side."


@dataclass(frozen=True, slots=True)
class Sides:
    """Two or three flights from the moment `at_s` (s) on. A row of the table without cells is a heading.

    `air` is what is to be known of the air they flew through; empty where it is the very same.
    """

    at_s: float
    air: str
    table: tuple[tuple[str, tuple[str, ...]], ...]


def sides_from(data: dict[str, Any]) -> Sides:
    """Return the sides that another process has put into `data`. KeyError, TypeError or ValueError for anything else.
    """
    return Sides(float(data["at_s"]), str(data["air"]),
                 tuple((str(label), tuple(str(cell) for cell in cells)) for label, cells in data["table"]))


def page(sides: Sides, width: int) -> Content:
    """Return the flights side by side in at most `width` cells."""
    from textual.content import Content  # whoever only asks for the sides needs no screen

    width = min(width, WIDEST)
    pieces: list[str | tuple[str, str]] = [(f"{sides.air}\n\n", "bold")] if sides.air else []
    for place, (label, cells) in enumerate(sides.table):
        if cells:
            ink = "bold" if not label else ""
            pieces += [(f"{line}\n", ink) for line in _row(label, cells, width)]
        else:
            pieces += ["\n" if place else "", (f"{label}\n", "bold")]
    return Content.assemble(*pieces, "\n", (KEY, "$text-muted"))


def how_to(at_s: float | None) -> Content:
    """Return what to do where nothing is set side by side yet; `at_s` is the moment chosen."""
    from textual.content import Content

    moment = "a moment" if at_s is None else f"the moment chosen, {clock(at_s)}"
    return Content.assemble(
        ("SIDE BY SIDE\n", "bold"),
        "Any moment of this flight can be flown again, another way, in the same air.\n\n"
        "Choose one on the timeline (F3), or press F6 and type its time.\n"
        "F6, then Enter: you take the controls there. That flight has a record of its own; this one stays as it is.\n"
        f"F6, then F7: the grade sheet flies from {moment}, and both flights stand here side by side.\n",
    )


def _row(label: str, cells: Sequence[str], width: int) -> Iterator[str]:
    """Yield a row of the table, in as many lines as its longest cell needs."""
    wide = max(8, (width - LABEL_CELLS - len(GAP) * len(cells)) // len(cells))
    wrapped = [[cell] if cell.startswith(" ") or len(cell) <= wide else textwrap.wrap(cell, wide) for cell in cells]
    begin = label[: len(label) - len(label.lstrip())]
    labels = textwrap.wrap(label.strip(), LABEL_CELLS, initial_indent=begin, subsequent_indent="    ") or [""]
    for place in range(max(len(labels), *(len(each) for each in wrapped))):
        name = labels[place] if place < len(labels) else ""
        said = [each[place] if place < len(each) else "" for each in wrapped]
        yield f"{name:<{LABEL_CELLS}}{GAP}{GAP.join(f'{each:<{wide}}' for each in said)}".rstrip()
