"""Words on the screen, always literal: nothing that is shown is ever read as markup.

Text from outside is cleaned where it enters (`drill.clean`); these widgets see to the other half.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from typing import Any

from textual import events
from textual.content import Content
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.selection import Selection
from textual.strip import Strip
from textual.style import Style
from textual.visual import RenderOptions
from textual.widgets import Static

from drill.cockpit.serve.mode import without_folders

MOST_ENTRIES = 1_000


def literal(text: Content | str) -> Content:
    """Return `text` as content in which every character stands for itself."""
    return text if isinstance(text, Content) else Content(without_folders(text))


class Words(Static):
    """Some words, taken literally. Says the same twice without painting twice."""

    def __init__(self, text: Content | str = "", **kwargs: Any) -> None:
        super().__init__(literal(text), markup=False, **kwargs)
        self._said = literal(text)

    @property
    def said(self) -> str:
        """What stands there, without its styles."""
        return self._said.plain

    def say(self, text: Content | str) -> None:
        """Show `text` in place of what stood there."""
        content = literal(text)
        if content.is_same(self._said):
            return
        self._said = content
        self.update(content, layout=self.styles.auto_dimensions)


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of the screen: a wrapped line of an entry."""

    content: Content


class WordLog(ScrollView):
    """Entries one below the other, newest last, wrapped to the width at hand.

    Follows the end unless the reader has scrolled up. Keeps the last `max_lines` entries, each as long as it is.
    """

    DEFAULT_CSS = """
    WordLog { overflow-x: hidden; overflow-y: auto; scrollbar-size-vertical: 1; }
    """
    ALLOW_SELECT = True

    def __init__(self, *, max_lines: int = MOST_ENTRIES, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._entries: deque[tuple[Content, int]] = deque(maxlen=max_lines)
        self._rows_of: deque[int] = deque(maxlen=max_lines)
        self._rows: list[_Row] = []
        self._strips: dict[int, Strip] = {}
        self._wrapped_at = 0
        self._following = True
        self._moving = False

    @property
    def entries(self) -> list[str]:
        """What has been added, oldest first, without styles."""
        return [content.plain for content, _ in self._entries]

    def add(self, text: Content | str, *, hang: int = 0) -> None:
        """Add an entry; rows after its first are indented by `hang` columns."""
        content = literal(text)
        width = self._width()
        if len(self._entries) == self._entries.maxlen:
            self._forget_first()
        self._entries.append((content, hang))
        if not width:    # not on the screen: wrapped when it comes there
            self._wrapped_at = 0
            self._rows_of.append(0)
            return
        if self._wrapped_at != width:
            self._rows_of.append(0)
            self._wrap_all()
        else:
            rows = _wrapped(content, width, hang)
            self._rows_of.append(len(rows))
            self._rows += rows
        self._show()

    def render_line(self, y: int) -> Strip:
        """Return row `y` of what is in view."""
        at = self.scroll_offset.y + y
        width = self.scrollable_content_region.width
        ground = self.visual_style
        if at >= len(self._rows):
            return Strip.blank(width, ground.rich_style)
        selection = self.text_selection
        strip = self._strips.get(at) if selection is None else None
        if strip is None:
            strip = self._drawn(at, width, ground, selection)
            if selection is None:
                self._strips[at] = strip
        return strip.apply_offsets(0, at)

    def get_selection(self, selection: Selection) -> tuple[str, str] | None:
        """Return the selected text, as its rows stand."""
        return selection.extract("\n".join(row.content.plain for row in self._rows)), "\n"

    def selection_updated(self, selection: Selection | None) -> None:  # noqa: ARG002 - the base class's
        """Paint a changed selection."""
        self._strips.clear()
        self.refresh()

    def notify_style_update(self) -> None:
        """Paint in the new styles when a theme changes."""
        super().notify_style_update()
        self._strips.clear()

    def on_resize(self, event: events.Resize) -> None:
        """Wrap anew for another width, and keep the end in sight if it was."""
        del event
        if self._wrapped_at != self._width():
            self._wrap_all()
        self._show()

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Follow the end again once the reader has come back to it."""
        super().watch_scroll_y(old_value, new_value)
        if not self._moving:
            self._following = self.is_vertical_scroll_end

    def _width(self) -> int:
        """Return the columns there are for words; one is kept free for the scroll bar, so that none moves them."""
        return max(0, self.size.width - 1)

    def _wrap_all(self) -> None:
        width = self._width()
        self._wrapped_at = width
        self._rows.clear()
        self._strips.clear()
        if not width:
            return
        self._rows_of.clear()
        for content, hang in self._entries:
            rows = _wrapped(content, width, hang)
            self._rows_of.append(len(rows))
            self._rows += rows

    def _forget_first(self) -> None:
        self._entries.popleft()
        gone = self._rows_of.popleft()
        if not gone:
            return
        del self._rows[:gone]
        self._strips = {at - gone: strip for at, strip in self._strips.items() if at >= gone}
        if not self._following:    # what the reader is reading stays where it is
            self._moving = True
            self.scroll_to(y=max(0, self.scroll_offset.y - gone), animate=False, immediate=True, force=True)
            self._moving = False

    def _show(self) -> None:
        self._moving = True    # what the layout does to the offset is not the reader's doing
        self.virtual_size = Size(self._width(), len(self._rows))
        if self._following:
            self.scroll_end(animate=False, immediate=True, force=True, x_axis=False)
        self._moving = False
        self.refresh()

    def _drawn(self, at: int, width: int, ground: Style, selection: Selection | None) -> Strip:
        content = self._rows[at].content
        span = None if selection is None else selection.get_span(at)
        if span is not None:
            start, end = span
            marked = Style.from_styles(self.screen.get_component_styles("screen--selection"))
            content = content.stylize(marked, start, len(content.plain) if end == -1 else end)
        strips = content.render_strips(width, 1, ground, RenderOptions(self._get_style, {"text_wrap": "nowrap"}))
        strip = strips[0] if strips else Strip.blank(0)
        return strip.adjust_cell_length(width, ground.rich_style)


def _wrapped(content: Content, width: int, hang: int) -> list[_Row]:
    """Return the rows of `content` in `width` columns, those after the first indented by `hang`."""
    hang = hang if hang < width // 2 else 0
    first, *rest = content.wrap(width) or [Content("")]
    if not rest or not hang:
        return [_Row(first), *(_Row(each) for each in rest)]
    rows = [_Row(first)]
    plain_at = len(first.plain)
    left = content[plain_at:]
    while left.plain[:1] == " ":
        left = left[1:]
    if left.plain[:1] == "\n":
        left = left[1:]
    return rows + [_Row(each.pad_left(hang)) for each in left.wrap(width - hang)]
