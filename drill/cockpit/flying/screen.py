"""The flight: panel, logs, order line. Takes a sitting, moves its time, and shows what comes of it."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal
from textual.screen import Screen
from textual.widgets import Footer, Input, OptionList

from drill.clean import clean_line
from drill.cockpit.flying.arrangement import Arrangement, arrangement, too_small
from drill.cockpit.flying.host import Host
from drill.cockpit.flying.log import RADIO
from drill.cockpit.flying.order_history import OrderHistory
from drill.cockpit.flying.order_line import OrderLine
from drill.cockpit.flying.panel_view import FaceView, PanelView, dial_of
from drill.cockpit.flying.reference import Reading, Reference
from drill.cockpit.flying.showing import Showing, readings_now
from drill.cockpit.flying.status_rows import StatusRows
from drill.cockpit.flying.suggestions import suggestions
from drill.cockpit.flying.talk import Talk
from drill.cockpit.flying.timekeeper import Timekeeper
from drill.cockpit.text import Words
from drill.flight.recorder import RecordError
from drill.seat import journal
from drill.seat.keeping import flights_folder
from drill.seat.teller import Line

if TYPE_CHECKING:
    from drill.seat.pace import Pace
    from drill.seat.sitting import Sitting

LOOK_EVERY_S = 0.1
"""How often, in wall time, the clock is looked at."""

NARROW = 76
LOW = 24

TINY = "The flight is paused. Once there is room, F2 goes on. Ctrl+Q twice leaves; the flight is kept."
PARTS = ("#hands", "#filled", "#both", "#help > Words", "#order")    # a part that lacks its own was never laid out
READ: dict[str, Reading] = {"help": "help", "briefing": "briefing"}
AGAIN = ("repeat", "log")    # own words that tell the radio again; what they tell belongs where they were asked


class FlightScreen(Screen[None]):
    """One flight. With `timed` false no time passes but by `advance`."""

    CSS_PATH = "screen.tcss"
    AUTO_FOCUS = "#order"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "help", "Help", priority=True),
        Binding("f2", "pause", "Pause", priority=True),
        Binding("f3", "fill_next(1)", "One face"),
        Binding("shift+f3,f15", "fill_next(-1)", "Face before", show=False),
        Binding("f4", "app.next_theme", "Theme"),
        Binding("f5", "offer", "Suggest"),
        Binding("escape", "back", "Whole panel", show=False),
        Binding("ctrl+q", "leave", "Leave", priority=True),
        Binding("pageup", "page(-1)", "Back", show=False),
        Binding("pagedown", "page(1)", "Forward", show=False),
    ]

    def __init__(
        self, sitting: Sitting, record_path: Path, first: Sequence[Line] = (), *, history: OrderHistory | None = None,
        timed: bool = True,
    ) -> None:
        super().__init__()
        self.sitting = sitting
        self.record_path = record_path
        self._first = first
        self._history = history or OrderHistory()
        self._timed = timed
        self._time = Timekeeper(sitting, time.monotonic())
        self._showing = Showing(sitting)
        self._over = False
        self._laid_out = False
        self._reading: Reading = ""
        scenario = sitting.run.scenario
        self._offered = suggestions([field.name for field in scenario.fields], scenario.clearance.facility)

    # --- laying out ---------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """Lay everything out once; which of it is seen is a matter of classes."""
        settings = self._host.settings
        yield StatusRows()
        with Container(id="middle"):
            dial = dial_of(self.sitting.run.scenario.airplane.airframe)
            yield PanelView(dial, plain=settings.plain_faces, id="panel")
            yield Talk(self._offered, id="talk")
        with Horizontal(id="asks"):
            yield Words(">", id="prompt")
            yield OrderLine(self._history, id="order", placeholder="What do you do? F1 helps.")
        yield Footer(show_command_palette=True, compact=True)
        yield Words("", id="tiny")

    def on_mount(self) -> None:
        """Show the first lines and let time run."""
        self._laid_out = all(self.query(part) for part in PARTS)
        if not self._stands:    # the program is left at this moment
            return
        self._arrange(*self.app.size)
        self._offer()
        told = [*self.sitting.radio, *(line for line in self._first if line.kind not in RADIO)]
        self._talk.tell(sorted(told, key=lambda line: line.t))
        self.show_now()
        self._time.start(time.monotonic())
        if self._timed:
            self.set_interval(LOOK_EVERY_S, self._look)
        if self.sitting.ended:
            self._end()

    def on_resize(self, event: events.Resize) -> None:
        """Take the arrangement that fits."""
        self._arrange(*event.size)

    @property
    def _stands(self) -> bool:
        """Whether all parts are there: not before the screen is laid out, and no more while it is taken away."""
        return self._laid_out and self.is_attached and bool(self._nodes)

    def _arrange(self, columns: int, rows: int) -> None:
        if not self._stands:
            return
        into = arrangement(columns, rows)
        for size in ("full", "standard", "compact", "tiny"):
            self.set_class(into.size == size, f"-{size}")
        self.set_class(not into.hands, "-no-hands")
        self.set_class(columns < NARROW, "-narrow")
        self.set_class(rows < LOW, "-low")
        status = self.query_one(StatusRows)
        status.compact, status.narrow = into.size == "compact", columns < NARROW
        why = too_small(columns, rows)
        self.query_one("#tiny", Words).say(f"{why}\n{TINY}" if why and not self._over else why)
        if why:
            if not self.sitting.clock.paused and not self._over:
                self._given(self.sitting.pause)
        else:
            self._place_panel(into)
            self._fit_reading()
            self.call_after_refresh(self._back_to_line)
        self.call_after_refresh(self.show_now)

    def _back_to_line(self) -> None:
        if self._stands and self.focused is None:    # it was hidden for want of room
            self.query_one(OrderLine).focus()

    def _place_panel(self, into: Arrangement) -> None:
        """Give the panel its place; one instrument alone has all but the last lines of the log, unless one reads."""
        panel = self.query_one(PanelView)
        alone = bool(panel.filled) and not self._reading
        self.set_class(alone, "-alone")
        panel.take_places(into)
        if alone:
            panel.styles.width, panel.styles.height = "100%", "1fr"

    # --- time ---------------------------------------------------------------------------------------

    def _look(self) -> None:
        """Look at the clock once and fly as far as it says."""
        if not self._stands:
            return
        due = self._time.due(time.monotonic(), self.query_one(OrderLine).last_key)
        if due:
            self.advance(due)
        else:
            self._say_status()

    def advance(self, seconds: float) -> None:
        """Let `seconds` of flight pass, and show what comes of it."""
        if self._over or not self._stands or not self._given(partial(self.sitting.advance, seconds)):
            return
        self._time.flown()
        self.show_now()
        if self.sitting.ended:
            self._end()

    def _taken(self, give: Callable[[], list[Line]]) -> list[Line] | None:
        """Return the lines that `give` gives. None if the record takes no more: the app is left, saying why."""
        try:
            return give()
        except RecordError as error:
            self._over = True
            self._host.stop_with(str(error))
            return None

    def _given(self, give: Callable[[], list[Line]]) -> bool:
        """Tell the lines that `give` gives, and say whether the record took what happened."""
        lines = self._taken(give)
        if lines is not None:
            self._talk.tell(lines)
        return lines is not None

    def show_now(self) -> None:
        """Show panel, status and hands as they are."""
        if not self._stands:
            return
        shown = readings_now(self.sitting)
        if self._showing.is_due(calm=self._host.settings.reduced_motion):
            self.query_one(PanelView).show(shown, self.sitting.run.flight.covered)
        self._say_status()
        self.query_one(StatusRows).tell_hands(self.sitting, shown)

    def _say_status(self) -> None:
        held = self._time.held(time.monotonic(), self.query_one(OrderLine).last_key)
        self.query_one(StatusRows).tell_time(self.sitting, held=held, turning=self._time.turning)
        self.set_class(self.sitting.clock.paused, "-paused")

    # --- lines --------------------------------------------------------------------------------------

    @on(Input.Submitted, "#order")
    def sent(self, event: Input.Submitted) -> None:
        """Take the line that was typed; what has to wait until time runs stays in the line."""
        event.stop()
        order = self.query_one(OrderLine)
        if self.has_class("-tiny"):    # nobody sees what is typed there
            return
        if not self._over and self.sitting.holds_back(clean_line(order.value)):
            self.say("Paused, so the line waits. F2 goes on, then Enter sends it.")
        else:
            self.enter(order.take())

    def enter(self, text: str) -> None:
        """Take one line from the pilot."""
        line = clean_line(text)
        if self.sitting.ended:
            self._go_to_debrief()
            return
        if not line or self._over:
            return
        known = {id(each) for each in self.sitting.radio}
        lines = self._taken(partial(self.sitting.line, line))
        if lines is None:
            return
        word = line.lower().strip(" .!?")
        if word in READ:    # more easily beside the log than in it
            self.read(READ[word])
            return
        for each in lines:
            self._talk.add(each, radio=each.kind in RADIO and not (word in AGAIN and id(each) in known))
        if self.sitting.left:
            self._leave()
            return
        self._time.spoken()
        self.refresh_bindings()
        self._fit_reading()
        self.show_now()
        if self.sitting.ended:
            self._end()

    def say(self, words: str) -> None:
        """Say something of the cockpit's own in the log."""
        self._talk.add(Line(self.sitting.t_s, words, "own", stamped=False), radio=False)

    # --- the end ------------------------------------------------------------------------------------

    def _end(self) -> None:
        if self._over:
            return
        self._over = True
        self._time.turning = False
        ended = self.sitting.run.flight.ended
        if ended is not None:
            journal.finished(flights_folder(), self.record_path, ended.outcome)
        self.add_class("-ended")
        self.say("Press Enter for the debrief.")
        order = self.query_one(OrderLine)
        order.value = ""
        order.offer(())
        order.placeholder = "Press Enter for the debrief."
        self._say_status()
        self.refresh_bindings()

    def _go_to_debrief(self) -> None:
        self._host.flight_over(self.sitting.run, self.record_path)

    def action_leave(self) -> None:
        """Ask whether to leave, in the log; a second time, leave."""
        if self.sitting.ended:
            self._go_to_debrief()
            return
        if self._over:
            return
        self._talk.tell(self.sitting.quit(sure=self.sitting.leaving))
        if self.sitting.left:
            self._leave()

    def _leave(self) -> None:
        self._over = True
        self._host.flight_left(self.record_path)

    # --- commands -----------------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """After the end there is nothing to pause and nothing to suggest."""
        del parameters
        return None if self._over and action in ("pause", "offer") else True

    def action_help(self) -> None:
        """Show the help that fits the moment, or put away what is read."""
        self.read("" if self._reading else "help")

    def action_back(self) -> None:
        """Put away what is read; after that, go back from one instrument to all of them."""
        if self._reading:
            self.read("")
        else:
            self.action_fill("")

    def read(self, what: Reading) -> None:
        """Show help or the briefing beside the instruments and the last lines of the logs; or neither."""
        if not self._stands:
            return
        self._reading = what
        self.set_class(bool(what), "-helping")
        self._arrange(*self.app.size)

    def _fit_reading(self) -> None:
        """Show what is read as it fits the moment and the size."""
        if self._stands and self._reading:
            self.query_one(Reference).show(self._reading, self.sitting, flowing=self.has_class("-compact"))

    def action_pause(self) -> None:
        """Stop time, or let it run again: that only where it can be seen."""
        paused = self.sitting.clock.paused
        if self._over or (paused and self.has_class("-tiny")):
            return
        if self._given(self.sitting.go_on if paused else self.sitting.pause):
            self._fit_reading()
            self.show_now()

    def action_fill_next(self, step: int) -> None:
        """Let the next instrument fill the screen, after the last all of them again."""
        self.query_one(PanelView).fill_next(step)
        self._arrange(*self.app.size)

    def action_fill(self, code: str) -> None:
        """Let one instrument fill the screen; all of them again if it does so already."""
        panel = self.query_one(PanelView)
        panel.fill("" if panel.filled == code else code)
        self._arrange(*self.app.size)

    @on(FaceView.Picked)
    def picked(self, event: FaceView.Picked) -> None:
        """Let the face that was clicked fill the screen, or go back to all of them."""
        self.action_fill(self.query_one(PanelView).filled or event.code)

    def action_page(self, pages: int) -> None:
        """Scroll what is beside the panel."""
        self._talk.page(pages)

    def action_offer(self) -> None:
        """Offer the fixed list of actions, or stop offering it."""
        self._host.remember(suggestions=not self._host.settings.suggestions)
        self._offer()

    def _offer(self) -> None:
        on_offer = self._host.settings.suggestions
        self.set_class(on_offer, "-offering")
        order = self.query_one(OrderLine)
        order.offer(self._offered if on_offer else ())
        order.focus()

    @on(OptionList.OptionSelected, "#offers")
    def chosen(self, event: OptionList.OptionSelected) -> None:
        """Put what was chosen into the order line; it is sent by Enter as any other."""
        event.stop()
        order = self.query_one(OrderLine)
        order.put(self._offered[event.option_index])
        order.focus()

    def take_pace(self, pace: Pace) -> None:
        """Let time run by `pace` from now on."""
        self.sitting.clock.pace = pace
        self._time.spoken()
        self._fit_reading()
        self._say_status()

    def draw_plain(self, plain: bool) -> None:
        """Draw the instruments with ASCII characters from now on, or with all that there are."""
        self.query_one(PanelView).take_ink(plain=plain)

    @property
    def _talk(self) -> Talk:
        return self.query_one(Talk)

    @property
    def _host(self) -> Host:
        return cast("Host", self.app)
