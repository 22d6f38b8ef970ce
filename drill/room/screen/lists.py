"""The people of the evening, and what they have typed: lists in which one is chosen and something done about them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar, TypeAlias

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

MOST_AT_ONCE = 25
"""Rows drawn anew at a time."""
Row: TypeAlias = Mapping[str, Any]
Draw: TypeAlias = Callable[[Row, int], Content]


class Asked(Message):
    """Something is to be done about one of a list: `what` it is, and the one's data."""

    def __init__(self, what: str, one: Mapping[str, Any]) -> None:
        super().__init__()
        self.what = what
        self.one = one


class Choosing(OptionList):
    """Rows that keep their place and the chosen one while what they say changes."""

    DEFAULT_CSS = """
    Choosing { border: none; padding: 0; background: $background; scrollbar-size-vertical: 1; text-wrap: nowrap;
               text-overflow: ellipsis; }
    Choosing:focus { background: $surface; }
    """

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(markup=False, compact=True, **kwargs)
        self._rows: list[Row] = []
        self._columns = 0

    @property
    def chosen(self) -> Row | None:
        """The data of the row that is chosen; None without any."""
        place = self.highlighted
        return None if place is None or place >= len(self._rows) else self._rows[place]

    def tell(self, rows: Sequence[Row], draw: Draw, columns: int) -> None:
        """Show these rows, each by `draw(row, columns)`; only what has changed is drawn.

        What a row says follows from its data, and `id` among them tells whose it is: the chosen one stays chosen. Of
        many changes some are left for the next time, so that a full room's votes are not kept waiting by the screen.
        """
        if columns == self._columns and rows == self._rows:
            return
        old, chosen, place = self._rows, self.chosen, self.highlighted
        known = len(rows) >= len(old) and all(new["id"] == was["id"] for new, was in zip(rows, old, strict=False))
        if known and columns == self._columns:
            changed = [at for at, (new, was) in enumerate(zip(rows, old, strict=False)) if new != was]
            for at in changed[:MOST_AT_ONCE]:
                self.replace_option_prompt_at_index(at, draw(rows[at], columns))
                old[at] = rows[at]
            added = rows[len(old):len(old) + MOST_AT_ONCE]
            self.add_options(_option(draw(each, columns)) for each in added)
            old += added
        else:
            self._rows = list(rows)
            self._columns = columns
            self.clear_options()
            self.add_options(_option(draw(each, columns)) for each in rows)
            if chosen is not None and rows:
                places = [at for at, each in enumerate(rows) if each["id"] == chosen["id"]]
                self.highlighted = next(iter(places), min(place or 0, len(rows) - 1))

    def ask(self, what: str) -> None:
        """Ask for `what` about the chosen one."""
        if (one := self.chosen) is not None:
            self.post_message(Asked(what, one))


def _option(content: Content) -> Option:
    return Option(content)


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
