"""The people of the evening, and what they have typed: lists in which one is chosen and something done about them.

Only rows in view are drawn: a thousand people cost no more than those that there is room for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar, TypeAlias

from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.visual import RenderOptions

Row: TypeAlias = Mapping[str, Any]
Draw: TypeAlias = Callable[[Row, int, frozenset[str]], Content]


class Asked(Message):
    """Something is to be done about one of a list: `what` it is, and the one's data."""

    def __init__(self, what: str, one: Mapping[str, Any]) -> None:
        super().__init__()
        self.what = what
        self.one = one


class Choosing(ScrollView, can_focus=True):
    """Rows that keep their place and the chosen one while what they say changes."""

    DEFAULT_CSS = """
    Choosing { overflow-x: hidden; overflow-y: auto; background: $background; scrollbar-size-vertical: 1; }
    Choosing:focus { background: $surface; }
    Choosing > .choosing--chosen { background: $panel; }
    Choosing:focus > .choosing--chosen { color: $block-cursor-foreground; background: $block-cursor-background; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {"choosing--chosen"}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "go(-1)", show=False), Binding("down", "go(1)", show=False),
        Binding("pageup", "go_page(-1)", show=False), Binding("pagedown", "go_page(1)", show=False),
        Binding("home", "go_end(-1)", show=False), Binding("end", "go_end(1)", show=False),
    ]

    class Chosen(Message):
        """Another one is chosen."""

        def __init__(self, choosing: Choosing) -> None:
            super().__init__()
            self.choosing = choosing

        @property
        def control(self) -> Choosing:
            """The list."""
            return self.choosing

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._rows: Sequence[Row] = ()
        self._draw: Draw = lambda _row, _columns, _marked: Content("")
        self._marked: frozenset[str] = frozenset()
        self._columns = 0
        self._place: int | None = None

    @property
    def chosen(self) -> Row | None:
        """The data of the row that is chosen; None without any."""
        return None if self._place is None or self._place >= len(self._rows) else self._rows[self._place]

    @property
    def rows(self) -> Sequence[Row]:
        """The data of all rows."""
        return self._rows

    def choose(self, place: int) -> None:
        """Choose the row at this place, or the nearest there is."""
        if not self._rows:
            return
        place = max(0, min(place, len(self._rows) - 1))
        changed, self._place = place != self._place, place
        self.scroll_to_region(Region(0, place, 1, 1), animate=False, force=True)
        self.refresh()
        if changed:
            self.post_message(self.Chosen(self))

    def choose_some(self) -> None:
        """Choose the first row if none is chosen."""
        if self.chosen is None:
            self.choose(0)

    def tell(self, rows: Sequence[Row], draw: Draw, columns: int, marked: frozenset[str] = frozenset()) -> None:
        """Show these rows, each by `draw(row, columns, marked)`.

        What a row says follows from its data, of which `phone` tells whose it is: the chosen one stays chosen.
        """
        if columns == self._columns and marked == self._marked and rows == self._rows:
            return
        chosen, before = self.chosen, len(self._rows)
        self._rows, self._draw, self._columns, self._marked = rows, draw, columns, marked
        if chosen is not None:
            places = (at for at, each in enumerate(rows) if each["phone"] == chosen["phone"])
            self._place = next(places, min(self._place or 0, len(rows) - 1) if rows else None)
        self.virtual_size = Size(max(0, columns), len(rows))
        self.refresh(layout=before != len(rows) and self.styles.auto_dimensions)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return a row for each."""
        del container, viewport, width
        return len(self._rows)

    def render_line(self, y: int) -> Strip:
        """Return row `y` of what is in view."""
        at, width = self.scroll_offset.y + y, self.scrollable_content_region.width
        ground = self.visual_style
        if at >= len(self._rows):
            return Strip.blank(width, ground.rich_style)
        if at == self._place:
            ground = self.get_visual_style("choosing--chosen")
        drawn = self._draw(self._rows[at], self._columns, self._marked)
        options = RenderOptions(self._get_style, {"text_wrap": "nowrap", "text_overflow": "ellipsis"})
        strips = drawn.render_strips(width, 1, ground, options)
        return (strips[0] if strips else Strip.blank(0)).adjust_cell_length(width, ground.rich_style)

    def on_click(self, event: events.Click) -> None:
        """Choose the row that was clicked."""
        at = event.get_content_offset(self)
        if at is not None and at.y + self.scroll_offset.y < len(self._rows):
            self.choose(at.y + self.scroll_offset.y)

    def action_go(self, by: int) -> None:
        """Choose the row so many further down."""
        self.choose((-1 if self._place is None else self._place) + by)

    def action_go_page(self, by: int) -> None:
        """Choose the row a page further down."""
        self.action_go(by * max(1, self.size.height - 1))

    def action_go_end(self, by: int) -> None:
        """Choose the first row, or the last."""
        self.choose(0 if by < 0 else len(self._rows) - 1)

    def ask(self, what: str) -> None:
        """Ask for `what` about the chosen one."""
        if (one := self.chosen) is not None:
            self.post_message(Asked(what, one))


class PeopleList(Choosing):
    """Everybody who has joined and was not sent out."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("h", "about('hide')", "Hide/show"),
        Binding("n", "about('rename')", "Rename"),
        Binding("x", "about('remove')", "Remove"),
        Binding("escape", "screen.back", "Back"),
    ]

    def action_about(self, what: str) -> None:
        """Do something about the chosen person."""
        self.ask(what)


class TypedList(Choosing):
    """What was typed in a poll."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("x", "about('strike')", "Strike"),
        Binding("escape", "screen.back", "Back"),
    ]

    def action_about(self, what: str) -> None:
        """Do something about the chosen words."""
        self.ask(what)
