"""A flight together with its record: what happens to one is written in the other."""

from __future__ import annotations

from drill.clean import Clean
from drill.flight.events import Event
from drill.flight.flight import Flight
from drill.flight.record import Recorder
from drill.scenario.model import Scenario


class Run:
    """The flight and its recorder; a context manager that closes the record."""

    def __init__(self, flight: Flight, recorder: Recorder) -> None:
        self.flight = flight
        self._recorder = recorder

    @property
    def scenario(self) -> Scenario:
        """The scenario flown."""
        return self.flight.scenario

    def enter(self, line: Clean) -> list[Event]:
        """Give the flight a typed line; return and record what comes of it."""
        return self._kept(self.flight.enter(line))

    def advance(self, seconds: float) -> list[Event]:
        """Let flight time pass; return and record what happens."""
        return self._kept(self.flight.advance(seconds))

    def note(self, event: Event) -> None:
        """Record an event that is not the flight's own: a pause, an answer in the debrief."""
        self._kept([event])

    def _kept(self, events: list[Event]) -> list[Event]:
        self._recorder.write(events, self.flight)
        return events
