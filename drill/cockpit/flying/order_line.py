"""The line in which the pilot types: history, pasting, completion."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Any, ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.suggester import SuggestFromList

from drill.clean import clean_line
from drill.cockpit.clean_input import CleanInput
from drill.cockpit.flying.order_history import OrderHistory


class OrderLine(CleanInput):
    """One line of `drill.clean.MAX_LINE` characters. Enter posts `Submitted`; up and down go through earlier lines."""

    DEFAULT_CSS = """
    OrderLine { height: 1; border: none; padding: 0 1; }
    OrderLine:focus { border: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "older", "Earlier line", show=False),
        Binding("down", "newer", "Later line", show=False),
    ]

    def __init__(self, history: OrderHistory | None = None, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.history = history or OrderHistory()
        self._last_key = 0.0

    @property
    def last_key(self) -> float | None:
        """When (`time.monotonic`) a line that is begun had its last key, or None between lines."""
        return self._last_key if self.value else None

    def offer(self, suggestions: Sequence[str]) -> None:
        """Complete in gray from `suggestions` as the pilot types; from none of them if it is empty."""
        self.suggester = SuggestFromList(suggestions, case_sensitive=False) if suggestions else None
        self._suggestion = ""    # the toolkit's own: else the last one stays in gray until a key comes

    def put(self, text: str) -> None:
        """Replace what stands there by `text`, the cursor at its end."""
        self.value = clean_line(text) + (" " if text.endswith(" ") else "")
        self.cursor_position = len(self.value)
        self._last_key = time.monotonic()

    def take(self) -> str:
        """Return the whole line, clean, keep it in the history, and begin a new one."""
        line = clean_line(self.value)
        self.history.add(line)
        self.value = ""
        return line

    def action_older(self) -> None:
        """Show the line before."""
        self._show(self.history.older(self.value))

    def action_newer(self) -> None:
        """Show the line after, at last what was begun."""
        self._show(self.history.newer(self.value))

    def _show(self, line: str) -> None:
        self.value = line
        self.cursor_position = len(line)
        self._last_key = time.monotonic()

    def on_key(self) -> None:
        """Note the time; what the key does is the base class's affair."""
        self._last_key = time.monotonic()

    def on_paste(self, event: events.Paste) -> None:
        """Take a paste for a key."""
        self._last_key = time.monotonic()
        super().on_paste(event)
