"""The lanes of the flight as a widget that can be pointed at."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.content import Content
from textual.message import Message

from drill.cockpit.debrief.timeline import LABEL_CELLS, Lane, drawn, time_at
from drill.cockpit.text import Words


class LanesView(Words):
    """The flight's lanes from its beginning to its end. A click asks for the moment nearest to it."""

    ALLOW_SELECT = False

    class At(Message):
        """A time (s) was pointed at."""

        def __init__(self, t: float) -> None:
            super().__init__()
            self.t = t

    def __init__(self) -> None:
        super().__init__("", id="lanes")
        self._lanes: Sequence[Lane] = ()
        self._length_s = 0.0
        self._selected: float | None = None

    def tell(self, lanes: Sequence[Lane], length_s: float) -> None:
        """Show `lanes` of a flight of `length_s`."""
        self._lanes, self._length_s = lanes, length_s
        self._draw()

    def select(self, t: float | None) -> None:
        """Mark the time `t` (s)."""
        self._selected = t
        self._draw()

    def on_resize(self) -> None:
        """Draw for another width."""
        self._draw()

    def on_click(self, event: events.Click) -> None:
        """Tell which time was pointed at."""
        at = event.get_content_offset(self)
        if at is not None and at.x >= LABEL_CELLS and self._lanes:
            cells = self.content_size.width - LABEL_CELLS
            self.post_message(self.At(time_at(at.x - LABEL_CELLS, self._length_s, cells)))

    def _draw(self) -> None:
        if self.content_size.width > LABEL_CELLS:
            rows = drawn(self._lanes, self._length_s, self.content_size.width, self._selected)
            self.say(Content("\n").join(rows))
