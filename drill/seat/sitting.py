"""One pilot before one flight: their lines, the words of the face itself, pausing, leaving, turns. Writes nothing."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator

from drill.clean import Clean
from drill.flight.events import Acted, Event, Heard, Paused, Seated
from drill.flight.readings import absent, clock_words, panel_words, shown_of
from drill.seat.briefing import briefing_lines, cautions
from drill.seat.local_time import local_time
from drill.seat.own_words import HELP, LEAVING, OWN_WORDS, STAYING
from drill.seat.pace import PaceClock
from drill.seat.run import Run
from drill.seat.teller import Line, Teller
from drill.seat.wording import in_rows

ANSWER_WITHIN_S = 8.0
"""Turn by turn, the pilot who has called waits this long for the answer before the turn is over."""

TURN_AT_MOST_S = 900.0
"""Turn by turn, acts that are not done after so long leave the pilot the next word all the same."""

LOG_LINES = 30

TOLD_EVERY_S = 1.0
"""What happens is told so often, in flight time."""


class Sitting:
    """One flight and who flies it: takes lines, moves time, and returns what is to be shown.

    `left` is true once the pilot has quit, `leaving` while they are asked whether they mean it. With `echo`, typed
    lines come back as lines; with `tells_panel`, so does what a scan of the panel would notice; with `tells_calls`,
    so do the pilot's own calls as they go out. With `names_keys`, what to do next is said with the cockpit's keys.
    """

    def __init__(
        self, run: Run, clock: PaceClock, *, echo: bool = False, tells_panel: bool = True, tells_calls: bool = True,
        names_keys: bool = False,
    ) -> None:
        self.run = run
        self.clock = clock
        self.left = False
        self.leaving = False
        self._teller = Teller(shown_of(run.flight.panel), echo=echo, tells_calls=tells_calls)
        self._echo = echo
        self._tells_panel = tells_panel
        self._go_on = "Press F2 or type go on" if names_keys else "Type go on"
        leaves = "Press Ctrl+Q again, or type" if names_keys else "Type"
        self._how_to_leave = f"{leaves} yes or quit to leave, no to stay."
        self._answered = True
        self._turn_began_s = self.t_s
        self._turn_idle_s: float | None = None
        self._look_at_turn()

    @property
    def ended(self) -> bool:
        """Whether the flight has an ending."""
        return self.run.flight.ended is not None

    @property
    def t_s(self) -> float:
        """Flight time in seconds."""
        return self.run.flight.t_s

    @property
    def radio(self) -> list[Line]:
        """The last lines of the radio, own calls among them."""
        return self._teller.radio

    @property
    def turn_over(self) -> bool:
        """Whether, turn by turn, it is for the pilot to speak: nothing is being done, no answer is waited for."""
        if self.ended or self.left:
            return True
        idle_s = self._turn_idle_s
        return idle_s is not None and (self._answered or self.t_s - idle_s >= ANSWER_WITHIN_S)

    def begin(self, events: Collection[Event]) -> list[Line]:
        """Take the first `events` and tell the panel as the flight begins."""
        self._sits_down()
        return [*self._take(events), *self._panel()]

    def take_up(self, events: Collection[Event]) -> list[Line]:
        """Tell where a flight stands that is taken up again; the radio lines of its `events` go to the log."""
        self._sits_down()
        self._teller.events(events)
        heard = self._teller.last_heard()
        return [*([heard] if heard is not None else []), *self._panel()]

    def line(self, text: Clean) -> list[Line]:
        """Take one line from the pilot."""
        word = _word(text)
        leaving, self.leaving = self.leaving, False
        if not word:
            return []
        if word in LEAVING or (leaving and word in ("yes", "y")):
            return [*self._echoed(text), *self.quit(sure=leaving)]
        if leaving and word in STAYING:
            return [*self._echoed(text), self._own("Still flying.")]
        if word in OWN_WORDS:
            return [*self._echoed(text), *self._own_word(word)]
        if self.clock.paused:
            return [self._own(f"Paused. {self._go_on} first.")]
        self._turn_began_s, self._turn_idle_s, self._answered = self.t_s, None, True
        return self._take(self.run.enter(text))

    def holds_back(self, text: Clean) -> bool:
        """Say whether a line has to wait because time is stopped: `line` would only say so."""
        word = _word(text)
        answers = self.leaving and word in ("yes", "y", *STAYING)
        return self.clock.paused and bool(word) and not answers and word not in (*LEAVING, *OWN_WORDS)

    def advance(self, seconds: float) -> list[Line]:
        """Let flight time pass, a second at a time at most, and tell what happens."""
        return [line for lines in self.advancing(seconds) for line in lines]

    def advancing(self, seconds: float) -> Iterator[list[Line]]:
        """Do the same, and give what happens as it does: a list for each second at most."""
        left = seconds
        while left > 1e-9 and not self.ended:
            part = min(left, TOLD_EVERY_S)
            yield self._take(self.run.advance(part))
            left -= part

    def finishing_turn(self) -> Iterator[list[Line]]:
        """Let time pass until the pilot's acts are done and, after a call, ATC has answered or does not."""
        while not self.turn_over:
            yield from self.advancing(TOLD_EVERY_S)

    def pause(self) -> list[Line]:
        """Stop time until `go_on`."""
        if self.clock.paused:
            return [self._own(f"It is paused already. {self._go_on}.")]
        self.clock.paused = True
        self.run.note(Paused(self.t_s, "paused"))
        return [self._own(f"Paused. {self._go_on} to fly on.")]

    def go_on(self) -> list[Line]:
        """Let time run again after `pause`."""
        if not self.clock.paused:
            return [self._own("It is not paused.")]
        self.clock.paused = False
        self.run.note(Paused(self.t_s, "went on"))
        return [self._own("Flying on.")]

    def quit(self, sure: bool) -> list[Line]:
        """Leave the flight if the pilot is `sure`, otherwise ask."""
        self.leaving = not sure
        if sure:
            self.left = True
            return []
        return [self._own(f"Leave the flight? It can be resumed later. {self._how_to_leave}")]

    def _sits_down(self) -> None:
        """Let the record know how the pilot sees: a debrief must not call unseen what was in view all of the time."""
        self.run.note(Seated(self.t_s, "words" if self._tells_panel else "panel"))

    def _echoed(self, text: Clean) -> list[Line]:
        """Return a line that is the face's own affair, where lines are not seen as they are typed."""
        return [Line(self.t_s, f"> {text}", "typed")] if self._echo else []

    def _own_word(self, word: str) -> list[Line]:
        match word:
            case "repeat":
                heard = self._teller.last_heard()
                return [heard or self._own("Nothing has been said to you yet.")]
            case "log":
                return self.radio[-LOG_LINES:] or [self._own("The radio has been quiet.")]
            case "time":
                now = local_time(self.run.scenario.start.clock, self.t_s)
                return self._unstamped([f"Flight time {clock_words(self.t_s)}. Local time {now}.{self._doing()}"])
            case "pause":
                return self.pause()
            case "go on":
                return self.go_on()
            case "briefing":
                scenario = self.run.scenario
                return self._unstamped(briefing_lines(scenario)[len(cautions(scenario)) + 1 :])
            case "cautions":
                return self._unstamped(cautions(self.run.scenario))
            case _:
                return self._unstamped(HELP)

    def _doing(self) -> str:
        busy = self.run.flight.busy
        if busy is None:
            return ""
        act, seconds = busy
        more = max(1, math.ceil(seconds - 1e-6))
        return f" Busy: {act.kind.replace('_', ' ')}, {more} second{'' if more == 1 else 's'} more."

    def _panel(self) -> list[Line]:
        if not self._tells_panel:
            return []
        flight = self.run.flight
        shown = shown_of(flight.panel)
        self._teller.knows(self.t_s, shown)
        panel = panel_words(shown, flight.covered, absent(self.run.scenario.airplane.airframe))
        return [Line(self.t_s, in_rows(panel + self._teller.timer_words(self.t_s)), "panel")]

    def _take(self, events: Collection[Event]) -> list[Line]:
        for event in events:
            if isinstance(event, Acted) and event.act.get("action") == "transmit" and event.heard:
                self._answered = False
            elif isinstance(event, Heard) and event.to_us:
                self._answered = True
        self._look_at_turn()
        lines = self._teller.events(events)
        if self._tells_panel and not self.ended:
            flight = self.run.flight
            lines += self._teller.panel(flight.t_s, shown_of(flight.panel), flight.covered)
        return lines

    def _look_at_turn(self) -> None:
        """Take note of when the acts of this turn were done: from then on, an answer is waited for."""
        long = self.t_s - self._turn_began_s >= TURN_AT_MOST_S
        if self._turn_idle_s is None and (self.run.flight.idle or long):
            self._turn_idle_s = self.t_s

    def _own(self, words: str) -> Line:
        return Line(self.t_s, words, "own")

    def _unstamped(self, many: Iterable[str]) -> list[Line]:
        return [Line(self.t_s, words, "own", stamped=False) for words in many]


def _word(text: Clean) -> str:
    """Return a line as the words of the face are compared with it."""
    return " ".join(text.lower().strip(" .!?").split())
