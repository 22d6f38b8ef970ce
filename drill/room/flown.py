"""The room's flight: paced by the host, stopped by its polls, flown on by the room's lines or by the grade sheet."""

from __future__ import annotations

from pathlib import Path

from drill.clean import clean_line
from drill.flight.events import Event, Seated
from drill.flight.flight import Flight
from drill.flight.readings import shown_of
from drill.flight.record import Recorder
from drill.scenario.model import Scenario
from drill.seat.run import Run
from drill.seat.teller import Line, Teller

MOST_LINES = 200


class RoomFlight:
    """One flight that a room flies, with its record and what is told of it."""

    def __init__(self, flight: Flight, recorder: Recorder, events: list[Event]) -> None:
        self.run = Run(flight, recorder)
        self._recorder = recorder
        self.events = list(events)
        self.lines: list[Line] = []
        self._teller = Teller(shown_of(flight.panel), tells_calls=True)
        self._tell(events)

    @classmethod
    def begin(cls, scenario: Scenario, seed: int, path: Path) -> RoomFlight:
        """Begin the flight, with its record at `path`. RecordError if that cannot be written."""
        flight, events = Flight.start(scenario, seed, by="room")
        recorder = Recorder.create(path, flight, events)
        begun = cls(flight, recorder, events)
        begun.run.note(Seated(flight.t_s, "panel"))
        return begun

    @property
    def flight(self) -> Flight:
        """The flight itself."""
        return self.run.flight

    @property
    def t_s(self) -> float:
        """Flight time in seconds."""
        return self.flight.t_s

    @property
    def shown(self) -> dict[str, float]:
        """What the panel shows."""
        return shown_of(self.flight.panel)

    def enter(self, line: str) -> list[Event]:
        """Give the flight a line; return what comes of it."""
        return self._took(self.run.enter(clean_line(line)))

    def advance(self, seconds: float) -> list[Event]:
        """Let so much flight time pass."""
        return self._took(self.run.advance(seconds))

    def close(self) -> None:
        """Close the record; the flight can be taken up again."""
        self._recorder.close()

    def _took(self, events: list[Event]) -> list[Event]:
        self.events += events
        self._tell(events)
        return events

    def _tell(self, events: list[Event]) -> None:
        self.lines += self._teller.events(events)
        del self.lines[:-MOST_LINES]
