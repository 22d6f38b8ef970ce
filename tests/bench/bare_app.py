"""A bare Textual app with as many widgets as the cockpit's flight screen: what the toolkit itself costs.

The same tree of rows, dials, logs, an input and a footer, hidden ones too; six dials are painted anew ten times a
second.
"""

from __future__ import annotations

import math
import time
from itertools import groupby
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, Vertical, VerticalScroll
from textual.events import Resize
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Footer, Input, OptionList, RichLog, Static

LIGHT, DARK = Style(bgcolor="#445566", color="#ffffff"), Style(bgcolor="#221100", color="#ffffff")
READY = "BARE"
"""A word on its first screen."""


class BareDial(Widget):
    """A slope that swings; cells of one style are one segment, and only rows that change are painted anew."""

    def __init__(self, classes: str = "") -> None:
        super().__init__(classes=classes)
        self._rows: list[Strip] = []

    def render_line(self, y: int) -> Strip:
        """Return one row of it."""
        return self._rows[y] if y < len(self._rows) else Strip.blank(self.size.width)

    def on_resize(self, event: Resize) -> None:
        """Draw it at its size."""
        self._rows = self._drawn(*event.size)

    def move(self) -> None:
        """Draw it as it is now."""
        before, self._rows = self._rows, self._drawn(*self.size)
        for y, (was, now) in enumerate(zip(before, self._rows, strict=False)):
            if was != now:
                self.refresh(Region(0, y, self.size.width, 1))

    def _drawn(self, width: int, height: int) -> list[Strip]:
        lean = math.tan(math.sin(time.monotonic() / 4) * 0.5)
        return [_row([(y - height / 2) * 2 + lean * (x - width / 2) for x in range(width)]) for y in range(height)]


def _row(levels: list[float]) -> Strip:
    runs = groupby(levels, key=lambda each: each < 0)
    return Strip([Segment("".join("#" if abs(each) < 1 else " " for each in run), LIGHT if above else DARK)
                  for above, run in runs], len(levels))


class BareApp(App[None]):
    """The whole of it."""

    CSS = """
    #rows { height: 2; }
    #rows Horizontal { height: 1; }
    #rows Static { width: 1fr; }
    #middle { layout: horizontal; height: 1fr; }
    #left { width: 78; }
    #six { layout: grid; grid-size: 3 2; height: 26; }
    #small { layout: grid; grid-size: 4 2; height: 10; }
    #talk { width: 1fr; }
    #talk RichLog { height: 1fr; }
    #asks { height: 1; }
    #asks Static { width: 1; }
    #asks Input { width: 1fr; }
    .hidden { display: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [    # each a widget in the footer
        Binding(f"f{number}", f"key({number})", f"Key {number}") for number in range(1, 7)
    ]

    def compose(self) -> ComposeResult:
        """Return the widgets."""
        with Vertical(id="rows"):
            for _ in range(2):
                with Horizontal():
                    yield Static(READY)
                    yield Static("")
                    yield Static("", classes="hidden")
        with Container(id="middle"):
            with Container(id="left"):
                with Container(id="six"):
                    for _ in range(6):
                        yield BareDial(classes="moving")
                with Container(id="small"):
                    for _ in range(8):
                        yield BareDial()
                yield BareDial(classes="hidden")
                yield BareDial(classes="hidden")
                with Container(classes="hidden"), Container():
                    for _ in range(3):
                        yield BareDial()
            with Container(id="talk"):
                with Vertical():
                    yield Static("ONE")
                    yield RichLog()
                    yield Static("TWO")
                    yield RichLog()
                    yield RichLog(classes="hidden")
                with VerticalScroll(classes="hidden"):
                    yield Static("")
                yield OptionList(classes="hidden")
        with Horizontal(id="asks"):
            yield Static(">")
            yield Input(compact=True)
        yield Footer(show_command_palette=True, compact=True)
        yield Static("", classes="hidden")

    def on_mount(self) -> None:
        """Start the dials."""
        self.query_one(Input).focus()
        self.set_interval(0.1, self.tick)

    def action_key(self, number: int) -> None:
        """Do nothing."""

    def tick(self) -> None:
        """Paint the dials anew."""
        for dial in self.query(".moving").results(BareDial):
            dial.move()


if __name__ == "__main__":
    BareApp().run()
