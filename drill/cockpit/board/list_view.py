"""The list on the board: rows in columns, drawn line by line, so that hundreds cost no more than those in sight."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from drill.cockpit.board.rows import Row

DOUBLE = 2
ROOMY = 108
"""From so many columns on the last result has room for what is unfinished, too."""


class BoardList(ScrollView, can_focus=True):
    """Shows `Row`s; one of them is pointed at. Enter or a double click chooses it."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = {"row--at", "row--heading", "row--faint", "row--plain"}
    DEFAULT_CSS = """
    BoardList {
        height: 1fr; background: $surface; scrollbar-gutter: stable; scrollbar-size-vertical: 1;
        & > .row--plain { color: $foreground; background: $surface; }
        & > .row--faint { color: $foreground 80%; background: $surface; }
        & > .row--heading { color: $accent; background: $surface; text-style: bold; }
        & > .row--at { color: $block-cursor-foreground; background: $block-cursor-background; text-style: bold; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
        Binding("home", "edge(-1)", "First", show=False),
        Binding("end", "edge(1)", "Last", show=False),
        Binding("enter", "choose", "Brief", show=False),
    ]

    class At(Message):
        """The row pointed at is another one now, or none."""

        def __init__(self, row: Row | None) -> None:
            super().__init__()
            self.row = row

    class Chosen(Message):
        """A row has been chosen."""

        def __init__(self, row: Row) -> None:
            super().__init__()
            self.row = row

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's own name
        super().__init__(id=id)
        self.rows: tuple[Row, ...] = ()
        self.at = -1

    @property
    def row(self) -> Row | None:
        """The row pointed at, None if there is none."""
        return self.rows[self.at] if 0 <= self.at < len(self.rows) else None

    def show(self, rows: Sequence[Row]) -> None:
        """Show `rows`; the row pointed at stays so if it is still there. Nothing is done if they are those shown."""
        rows = tuple(rows)
        if rows == self.rows:
            return
        before = self.row
        self.rows = rows
        there = (number for number, row in enumerate(rows) if before is not None and row.key == before.key)
        keep = next((number for number in there if rows[number].can_be_chosen), -1)
        self.at = keep if keep >= 0 else self._near(0, 1)
        self.virtual_size = Size(0, len(rows))
        self._in_sight()
        self.refresh()
        if self.row != before:
            self.post_message(self.At(self.row))

    def action_move(self, by: int) -> None:
        """Point at the next row up or down."""
        self._point(self._near(self.at + by, by))

    def action_page(self, by: int) -> None:
        """Point a page further up or down."""
        wanted = min(max(self.at + by * max(1, self.size.height - 1), 0), len(self.rows) - 1)
        found = self._near(wanted, by)
        self._point(found if found >= 0 else self._near(wanted, -by))

    def action_edge(self, by: int) -> None:
        """Point at the first or the last row."""
        self._point(self._near(0, 1) if by < 0 else self._near(len(self.rows) - 1, -1))

    def action_choose(self) -> None:
        """Choose the row pointed at."""
        if self.row is not None:
            self.post_message(self.Chosen(self.row))

    def on_resize(self) -> None:
        """Keep the row pointed at in sight."""
        self.call_after_refresh(self._in_sight)

    def on_click(self, event: events.Click) -> None:
        """Point at the row clicked; a second click at once chooses it."""
        number = event.y + round(self.scroll_y)
        if event.get_content_offset(self) is None or not self._can_be_chosen(number):
            return
        again = number == self.at and event.chain >= DOUBLE
        self._point(number)
        if again:
            self.action_choose()

    def render_line(self, y: int) -> Strip:
        """Return one line of the list."""
        number = y + round(self.scroll_y)
        width = self.size.width
        if not 0 <= number < len(self.rows):
            return Strip.blank(width, self.get_component_rich_style("row--plain"))
        row = self.rows[number]
        name = "row--at" if number == self.at else "row--heading" if row.heading else "row--plain"
        style = self.get_component_rich_style(name)
        faint = style if name != "row--plain" else self.get_component_rich_style("row--faint")
        return Strip(_cells(row, "> " if number == self.at else "  ", width, style, faint), width)

    def _near(self, number: int, by: int) -> int:
        """Return the first row from `number` on, in steps of `by`, that can be chosen; -1 if there is none."""
        while 0 <= number < len(self.rows):
            if self.rows[number].can_be_chosen:
                return number
            number += by
        return -1

    def _can_be_chosen(self, number: int) -> bool:
        return 0 <= number < len(self.rows) and self.rows[number].can_be_chosen

    def _point(self, number: int) -> None:
        if number < 0 or number == self.at:
            return
        self.at = number
        self._in_sight()
        self.refresh()
        self.post_message(self.At(self.row))

    def _in_sight(self) -> None:
        if self.at >= 0:
            first = self.at == self._near(0, 1)
            top = self.at - 1 if first and self.at else self.at        # the first one with the heading above it
            self.scroll_to_region(Region(0, top, 1, self.at - top + 1), animate=False, force=True)


def widths(width: int) -> tuple[int, int, int, int]:
    """Return how many columns title, airplane, minutes and last get of `width`."""
    minutes, last = 8, 25 if width < ROOMY else 36
    airplane = min(24, max(13, (width - minutes - last) * 3 // 8))
    return max(8, width - airplane - minutes - last), airplane, minutes, last


def _cells(row: Row, mark: str, width: int, style: Style, faint: Style) -> list[Segment]:
    if row.heading:
        words = row.cells[0] + (f": {row.cells[3]}" if row.cells[3] else "")
        return [Segment(set_cell_size(words, width), style)]
    room = width - len(mark)
    title, airplane, minutes, last = widths(room)
    if row.card is not None and row.card.problem:
        said = f"{row.cells[1]}: {row.cells[3]}"
        return [Segment(mark + fitted(row.cells[0], title), style), Segment(fitted(said, room - title), faint)]
    return [
        Segment(mark + fitted(row.cells[0], title), style),
        Segment(fitted(row.cells[1], airplane), faint),
        Segment(f"{row.cells[2]:>{minutes - 2}}  ", faint),
        Segment(fitted(row.short if row.short and cell_len(row.cells[3]) >= last else row.cells[3], last), faint),
    ]


def fitted(words: str, width: int) -> str:
    """Return one line of `words` in exactly `width` columns, the last one empty; what is cut ends in three points."""
    words = words.replace("\n", " ")
    if cell_len(words) > width - 1:
        words = set_cell_size(words, max(0, width - 4)).rstrip() + "..."
    return set_cell_size(words, width)
