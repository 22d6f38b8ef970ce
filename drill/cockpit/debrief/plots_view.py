"""The plots of shown against true, one below the other along one line of time, with the moment selected through all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message

from drill.cockpit.debrief.pieces import Plot, Told
from drill.cockpit.debrief.plot_face import LEFT, RIGHT, Guide, draw, head
from drill.cockpit.debrief.timeline import Moment, clock, column
from drill.cockpit.ink import Ink
from drill.cockpit.strips import Strips
from drill.cockpit.text import Words
from drill.cockpit.themes import ink_of

LEAST_ROWS, MOST_ROWS = 6, 12
HOW = "Solid: shown. Dashed: true. X fails, e could be known, 1 first act on it."
HOW_PLAIN = "*: shown. o: true. #: both. X fails, e could be known, 1 first act on it."
CELLS_A_TIME = 12
STEPS_S = (5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600)
GUIDED = ("X", "e", "1")


class PlotView(Strips):
    """One plot."""

    class At(Message):
        """A time (s) was pointed at."""

        def __init__(self, t: float) -> None:
            super().__init__()
            self.t = t

    def __init__(self, plot: Plot, length_s: float, guides: Sequence[Guide]) -> None:
        super().__init__()
        self._plot, self._length_s, self._guides = plot, length_s, guides
        self._ink = Ink()
        self._selected: float | None = None

    def take_ink(self, ink: Ink) -> None:
        """Draw with `ink` from now on."""
        self._ink = ink
        self._draw()

    def select(self, t: float | None) -> None:
        """Mark the time `t` (s)."""
        self._selected = t
        self._draw()

    def describe(self) -> str:
        """Return in words what the plot shows."""
        return f"{head(self._plot, self._selected)}. {self._plot.words}"

    def on_resize(self) -> None:
        """Draw for another size."""
        self._draw()

    def on_show(self) -> None:
        """Draw what was not drawn while it was hidden."""
        self._draw()

    def on_click(self, event: events.Click) -> None:
        """Tell which time was pointed at."""
        cells = self.size.width - LEFT - RIGHT
        if cells > 1 and event.x >= LEFT:
            self.post_message(self.At(min(1.0, (event.x - LEFT) / (cells - 1)) * self._length_s))

    def _draw(self) -> None:
        if self.size.area:
            self.put(draw(self._plot, self._length_s, (self.size.width, self.size.height), self._ink, self._guides,
                          self._selected))


class PlotsView(Vertical):
    """All plots; those that do not fit are scrolled to. Left and right go from moment to moment."""

    DEFAULT_CSS = """
    PlotsView { height: 1fr; padding: 0 1; }
    PlotsView > VerticalScroll { height: 1fr; scrollbar-size-vertical: 1; }
    PlotsView PlotView { height: 6; width: 1fr; }
    PlotsView > Words { height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    PlotsView > #plots-how { color: $text-muted; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "The moment before", show=False),
        Binding("right", "step(1)", "The next moment", show=False),
    ]

    class Step(Message):
        """The next (1) or the previous (-1) moment is wanted."""

        def __init__(self, by: int) -> None:
            super().__init__()
            self.by = by

    def __init__(self) -> None:
        super().__init__(id="plots")
        self._views: list[PlotView] = []
        self._length_s = 0.0
        self._plain = False

    def compose(self) -> ComposeResult:
        """Lay out the moment, the plots and what their marks mean."""
        yield Words("", id="plots-moment")
        yield VerticalScroll(can_focus=True)
        yield Words("", id="plots-scale")
        yield Words(HOW, id="plots-how")

    def on_mount(self) -> None:
        """Take the theme's ink, now and whenever it changes."""
        self.app.theme_changed_signal.subscribe(self, lambda _theme: self.take_ink())

    def tell(self, told: Told, *, plain: bool) -> None:
        """Show the plots of `told`; `plain` with ASCII characters only."""
        guides = [(each.t, each.mark) for each in told.moments if each.t is not None and each.mark in GUIDED]
        self._length_s = told.length_s
        self._views = [PlotView(each, told.length_s, guides) for each in told.plots]
        scroll = self.query_one(VerticalScroll)
        if self._views:
            scroll.mount_all(self._views)
        else:
            scroll.mount(Words("The record has nothing to plot."))
        self.take_ink(plain=plain)

    def select(self, moment: Moment) -> None:
        """Mark the time of `moment`, and say what it is."""
        when = "never" if moment.t is None else clock(moment.t)
        self.query_one("#plots-moment", Words).say(Content.assemble((f"{when}  {moment.title}", "bold")))
        for view in self._views:
            view.select(moment.t)
        self._scale()

    def take_ink(self, *, plain: bool | None = None) -> None:
        """Draw in the colors of the theme, `plain` with ASCII characters only."""
        self._plain = self._plain if plain is None else plain
        ink = ink_of(self.app.theme_variables, plain=self._plain)
        self.query_one("#plots-how", Words).say(HOW_PLAIN if self._plain else HOW)
        for view in self._views:
            view.take_ink(ink)

    def on_resize(self) -> None:
        """Let the plots share the height there is, no lower than can be read."""
        if not self._views:
            return
        room = self.query_one(VerticalScroll).size.height
        in_sight = min(len(self._views), max(1, room // LEAST_ROWS))    # none of them cut off below
        rows = min(MOST_ROWS, max(LEAST_ROWS, room // in_sight))
        for view in self._views:
            view.styles.height = rows
        self._scale()

    def on_show(self) -> None:
        """Share the height once it is known."""
        self.on_resize()

    def action_step(self, by: int) -> None:
        """Ask for another moment."""
        self.post_message(self.Step(by))

    def _scale(self) -> None:
        if not self._views:
            return
        cells = self._views[0].size.width - LEFT - RIGHT
        if cells <= 20:
            return
        self.query_one("#plots-scale", Words).say(f"{'time':<{LEFT}}{scale_of(self._length_s, cells)}")


def scale_of(length_s: float, cells: int) -> str:
    """Return the times along a flight of `length_s` in `cells` characters: round ones, and its end."""
    most = max(1, cells // CELLS_A_TIME)
    step = next((each for each in STEPS_S if length_s / each <= most), length_s / most)
    times = [number * step for number in range(int(length_s / step) + 1)] if length_s > 0.0 else [0.0]
    row, free = [" "] * cells, cells
    for t in (length_s, *reversed(times)):    # from the right: the end of the flight is never left out
        words = clock(t)
        if free < cells and words == clock(length_s):
            continue
        begin = max(0, min(column(t, length_s, cells) - len(words) // 2, cells - len(words)))
        if begin + len(words) < free or free == cells:
            row[begin : begin + len(words)] = words
            free = begin
    return "".join(row)
