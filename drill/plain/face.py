"""The words of the face itself, and the way of every other line to the flight. Writes what the teller tells."""

from __future__ import annotations

from collections.abc import Collection

from drill.clean import Clean
from drill.flight.events import Acted, Event, Heard, Paused
from drill.flight.readings import panel_words, shown_of
from drill.plain.briefing import cautions
from drill.plain.out import Out
from drill.plain.pace import PaceClock
from drill.plain.run import Run
from drill.plain.teller import Line, Teller, in_rows
from drill.plain.terminal import Lines

ANSWER_WITHIN_S = 8.0
"""Turn by turn, the pilot who has called waits this long for the answer before the turn is over."""

TURN_AT_MOST_S = 900.0

LOG_LINES = 30

HELP = (
    "Type what you do, in plain words, and press Enter. Several things in one line are done one after the other.",
    "Orders to your hands: fly heading ..., turn left ..., stop turn, level wings, climb or descend to ..., "
    "hold altitude, airspeed ..., power ..., pitch ..., flaps ..., fly by ... (which instruments they trust).",
    "In the cockpit: panel (read all of it), look at ..., compare ... with ..., cover ..., uncover ..., "
    "switch ... on or off, breaker ..., set ..., squawk ..., checklist ..., wait ..., break off.",
    "Say what you think: I think the ... has failed. Decide: divert to ..., continue, land at ..., hold.",
    "On the radio: begin with the facility's name or with 'say', and speak as you would in an airplane.",
    "Words of this program, which cost no time: repeat (the last radio line to you), log (the radio so "
    "far), time, pause, go on, cautions, help, quit.",
)

LEAVING = ("quit", "exit")
STAYING = ("no", "n", "stay")
OWN_WORDS = ("repeat", "time", "pause", "go on", "help", "cautions", "log")
"""Lines that the face answers by itself; they cost no flight time, show nothing and are not recorded as typed."""


class Face:
    """One flight in words: takes lines, moves time, writes what the pilot may know.

    `left` is true once the pilot has quit. `ended` is true once the flight has an ending.
    """

    def __init__(
        self, run: Run, out: Out, lines: Lines, clock: PaceClock, *, echo: bool = False
    ) -> None:
        self.run = run
        self.left = False
        self._out = out
        self._lines = lines
        self._clock = clock
        self._teller = Teller(shown_of(run.flight.panel), echo=echo)
        self._echo = echo
        self._quitting = False
        self._answered = True

    @property
    def ended(self) -> bool:
        """Whether the flight has an ending."""
        return self.run.flight.ended is not None

    @property
    def t_s(self) -> float:
        """Flight time in seconds."""
        return self.run.flight.t_s

    def begin(self, events: list[Event]) -> None:
        """Tell the first `events` and the panel as the flight begins."""
        self._take(events)
        self._panel()

    def take_up(self, events: Collection[Event]) -> None:
        """Tell where a flight stands that is taken up again; the radio lines of its `events` go to the log."""
        self._teller.events(events)
        heard = self._teller.last_heard()
        if heard is not None:
            self._write([heard])
        self._panel()

    def line(self, text: Clean) -> None:
        """Take one line from the pilot."""
        word = " ".join(text.lower().strip(" .!?").split())
        quitting, self._quitting = self._quitting, False
        if not word:
            return
        if word in LEAVING or (quitting and word in ("yes", "y")):
            self._echoed(text)
            self._quit(sure=quitting)
        elif quitting and word in STAYING:
            self._echoed(text)
            self._say("Still flying.")
        elif word in OWN_WORDS:
            self._echoed(text)
            self._own_word(word)
        elif self._clock.paused:
            self._say("Paused. Type go on first.")
        else:
            self._take(self.run.enter(text))

    def advance(self, seconds: float) -> None:
        """Let flight time pass, a second at a time at most, and tell what happens."""
        left = seconds
        while left > 1e-9 and not self.ended:
            part = min(left, 1.0)
            self._take(self.run.advance(part))
            left -= part

    def finish_turn(self) -> None:
        """Let time pass until the pilot's acts are done and, after a call, ATC has answered or does not."""
        began = self.t_s
        while not self.ended and not self.run.flight.idle and self.t_s - began < TURN_AT_MOST_S:
            self.advance(1.0)
        called = self.t_s
        while not self.ended and not self._answered and self.t_s - called < ANSWER_WITHIN_S:
            self.advance(1.0)
        self._answered = True

    def _echoed(self, text: Clean) -> None:
        """Show a line that is the face's own affair where lines are not seen as they are typed."""
        if self._echo:
            self._say(f"> {text}")

    def _own_word(self, word: str) -> None:
        match word:
            case "repeat":
                heard = self._teller.last_heard()
                self._write([heard] if heard else [Line(self.t_s, "Nothing has been said to you yet.")])
            case "log":
                self._write(self._teller.radio[-LOG_LINES:] or [Line(self.t_s, "The radio has been quiet.")])
            case "time":
                self._say(f"since the flight began. Local time {self._local_time()}.{self._doing()}")    # the stamp
            case "pause":
                self._pause()
            case "go on":
                self._go_on()
            case "cautions":
                self._own_lines(cautions(self.run.scenario))
            case _:
                self._own_lines(HELP)

    def _local_time(self) -> str:
        hours, minutes = map(int, self.run.scenario.start.clock.split(":"))
        now = (hours * 60 + minutes + int(self.t_s // 60)) % (24 * 60)
        return f"{now // 60:02d}:{now % 60:02d}"

    def _doing(self) -> str:
        busy = self.run.flight.busy
        if busy is None:
            return ""
        act, seconds = busy
        return f" Busy: {act.kind.replace('_', ' ')}, {seconds:.0f} seconds more."

    def _panel(self) -> None:
        flight = self.run.flight
        shown = shown_of(flight.panel)
        self._write([Line(self.t_s, in_rows(panel_words(shown, flight.covered)))])
        self._teller.knows(self.t_s, shown)

    def _pause(self) -> None:
        if self._clock.paused:
            self._say("It is paused already. Type go on.")
            return
        self._clock.paused = True
        self.run.note(Paused(self.t_s, "paused"))
        self._say("Paused. Type go on to fly on.")

    def _go_on(self) -> None:
        if not self._clock.paused:
            self._say("It is not paused.")
            return
        self._clock.paused = False
        self.run.note(Paused(self.t_s, "went on"))
        self._say("Flying on.")

    def _quit(self, *, sure: bool) -> None:
        if sure:
            self.left = True
            return
        self._quitting = True
        self._say("Leave the flight? It can be resumed later. Type yes or quit to leave, no to stay.")

    def _take(self, events: list[Event]) -> None:
        for event in events:
            if isinstance(event, Acted) and event.act.get("action") == "transmit" and event.heard:
                self._answered = False
            elif isinstance(event, Heard) and event.to_us:
                self._answered = True
        lines = self._teller.events(events)
        if not self.ended:
            flight = self.run.flight
            lines += self._teller.panel(flight.t_s, shown_of(flight.panel), flight.covered)
        self._write(lines)

    def _say(self, words: str) -> None:
        self._write([Line(self.t_s, words)])

    def _own_lines(self, many: Collection[str]) -> None:
        self._lines.step_aside()
        self._out.lines(many)
        self._lines.come_back()

    def _write(self, lines: list[Line]) -> None:
        if not lines:
            return
        self._lines.step_aside()
        for line in lines:
            self._out.at(line.t, line.words)
        self._lines.come_back()
