"""The words-only face of a sitting: what a sitting returns is written, and room is made for it."""

from __future__ import annotations

from collections.abc import Collection

from drill.clean import Clean
from drill.flight.events import Event
from drill.plain.out import Out
from drill.plain.terminal import Lines
from drill.seat.pace import PaceClock
from drill.seat.run import Run
from drill.seat.sitting import Sitting
from drill.seat.teller import Line


class Face:
    """One flight in words: gives lines and time to its sitting, writes what comes of them as it comes."""

    def __init__(self, run: Run, out: Out, lines: Lines, clock: PaceClock) -> None:
        self._sitting = Sitting(run, clock, echo=not lines.interactive, tells_calls=False)
        self._out = out
        self._lines = lines

    @property
    def ended(self) -> bool:
        """Whether the flight has an ending."""
        return self._sitting.ended

    @property
    def left(self) -> bool:
        """Whether the pilot has quit."""
        return self._sitting.left

    @property
    def t_s(self) -> float:
        """Flight time in seconds."""
        return self._sitting.t_s

    def begin(self, events: Collection[Event]) -> None:
        """Tell the first `events` and the panel as the flight begins."""
        self._write(self._sitting.begin(events))

    def take_up(self, events: Collection[Event]) -> None:
        """Tell where a flight stands that is taken up again after `events`."""
        self._write(self._sitting.take_up(events))

    def line(self, text: Clean) -> None:
        """Take one line from the pilot."""
        self._write(self._sitting.line(text))

    def advance(self, seconds: float) -> None:
        """Let flight time pass and tell what happens."""
        for lines in self._sitting.advancing(seconds):
            self._write(lines)

    def finish_turn(self) -> None:
        """Let time pass until it is for the pilot to speak."""
        for lines in self._sitting.finishing_turn():
            self._write(lines)

    def _write(self, lines: Collection[Line]) -> None:
        if not lines:
            return
        self._lines.step_aside()
        for line in lines:
            if line.stamped:
                self._out.at(line.t, line.words)
            else:
                self._out.line(line.words)
        self._lines.come_back()
