"""The people of the evening, and what they have typed: lists in which one is chosen and something done about them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

Row = tuple[Mapping[str, Any], Content]


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

    @property
    def chosen(self) -> Mapping[str, Any] | None:
        """The data of the row that is chosen; None without any."""
        place = self.highlighted
        return None if place is None or place >= len(self._rows) else self._rows[place][0]

    def tell(self, rows: Sequence[Row], same: Callable[[Mapping[str, Any]], object]) -> None:
        """Show these rows; `same` tells from a row's data whose it is, so that the chosen one stays chosen."""
        if [content.plain for _, content in rows] == [content.plain for _, content in self._rows]:
            self._rows = list(rows)
            return
        chosen, place = self.chosen, self.highlighted
        grown = len(rows) >= len(self._rows) and all(
            same(new[0]) == same(old[0]) for new, old in zip(rows, self._rows, strict=False))
        if grown:
            for at, (new, old) in enumerate(zip(rows, self._rows, strict=False)):
                if new[1].plain != old[1].plain:
                    self.replace_option_prompt_at_index(at, new[1])
            self.add_options(_option(content) for _, content in rows[len(self._rows):])
        else:
            self.clear_options()
            self.add_options(_option(content) for _, content in rows)
        self._rows = list(rows)
        if not grown and chosen is not None:
            places = [at for at, (data, _) in enumerate(rows) if same(data) == same(chosen)]
            self.highlighted = next(iter(places), min(place or 0, len(rows) - 1) if rows else None)

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
