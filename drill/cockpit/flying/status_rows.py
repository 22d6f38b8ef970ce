"""The rows on top of the flight screen: what is flown and how time runs, and what the hands do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from drill.cockpit.flying.status_words import pace_words, paused_words, status_words
from drill.cockpit.text import Words
from drill.flight.cockpit import autopilot_flying
from drill.flight.readings import Shown
from drill.seat.hands_words import doing_words, hands_words

if TYPE_CHECKING:
    from drill.seat.sitting import Sitting


class StatusRows(Vertical):
    """Says how a sitting stands. `compact`: hands and what is being done share two rows; `narrow`: in few words."""

    DEFAULT_CSS = "StatusRows { height: auto; }"

    def __init__(self) -> None:
        super().__init__()
        self.compact = self.narrow = False

    def compose(self) -> ComposeResult:
        """Lay out the rows."""
        with Horizontal(id="top"):
            yield Words("", id="status")
            yield Words("", id="pace")
        with Horizontal(id="orders"):
            yield Words("", id="hands")
            yield Words("", id="doing")

    def tell_time(self, sitting: Sitting, *, held: bool, turning: bool) -> None:
        """Say the times and how time runs."""
        scenario = sitting.run.scenario
        if sitting.ended:
            how = "THE FLIGHT IS OVER"
        elif sitting.clock.paused:
            how = paused_words(short=self.compact)
        else:
            how = pace_words(sitting.clock.pace, held=held, turning=turning, narrow=self.narrow)
        from_s = sitting.run.flight.state.cockpit.timer_from_s
        timer_s = None if from_s is None else sitting.t_s - from_s
        self.query_one("#status", Words).say(status_words(
            scenario.board_title, scenario.callsign, scenario.start.clock, sitting.t_s, timer_s))
        self.query_one("#pace", Words).say(how)

    def tell_hands(self, sitting: Sitting, shown: Shown) -> None:
        """Say what the hands do and what is being done."""
        flight = sitting.run.flight
        cockpit = flight.state.cockpit
        flown_by = autopilot_flying(sitting.run.scenario.airplane.airframe, shown["autopilot_on"])
        hands = hands_words(cockpit.controls, shown, tracking=cockpit.tracking, autopilot=flown_by,
                            parked=flight.parked)
        doing = doing_words(flight.busy, flight.waiting)
        if self.compact:
            hands, doing = f"{hands} | {doing}" if doing else hands, ""
        self.query_one("#hands", Words).say(hands)
        self.query_one("#doing", Words).say(doing)
