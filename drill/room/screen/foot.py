"""The row of keys at the foot of the screen: only what there is room for, each word whole; a click presses the key.

It is one line of words and not a widget a key, because it changes while a whole room votes in the same loop.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.widget import Widget

from drill.cockpit.text import Words
from drill.room.screen.keys import written

Told = tuple[str, str, str]
"""How a key is written, what it is called, and the key."""
GAP = 2


class Foot(Words):
    """Says the keys that do something now."""

    DEFAULT_CSS = """
    Foot { dock: bottom; height: 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self) -> None:
        super().__init__(id="foot")
        self._keys: tuple[Told, ...] = ()

    def tell(self, keys: Sequence[Told]) -> None:
        """Show these keys."""
        if tuple(keys) == self._keys:
            return
        self._keys = tuple(keys)
        parts: list[str | tuple[str, str]] = []
        for name, called, _ in keys:
            parts += [(name, "bold $accent"), f" {called}{' ' * GAP}"]
        self.say(Content.assemble(*parts).rstrip())

    def on_click(self, event: events.Click) -> None:
        """Press the key that was clicked."""
        at = 0
        for name, called, key in self._keys:
            at += len(name) + 1 + len(called)
            if event.x < at:
                self.app.simulate_key(key)
                return
            at += GAP


def keys_of(widget: Widget) -> list[Told]:
    """Return the keys of a widget that has some of its own, as a list of people or a question."""
    found: list[Told] = []
    for each in type(widget).BINDINGS:
        if isinstance(each, Binding) and each.description:
            key = each.key.partition(",")[0]
            found.append((written(key), each.description, key))
    return found
