"""The small scenario of these tests, and ways of flying it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import TypeVar

from drill.flight.events import Acted, Event
from drill.flight.flight import Flight
from drill.language.meaning import Action
from drill.scenario import load
from drill.scenario.model import Scenario

FULL_CALL = (
    "Orrinfell Approach, Larkspur 5304W, we have lost our vacuum pump, partial panel in cloud at five thousand, "
    "request vectors to Wendle"
)
_Kind = TypeVar("_Kind")


@cache
def short() -> Scenario:
    """The small scenario."""
    return load(Path(__file__).with_name("short.yaml"))


def begun(seed: int = 1, lines: Iterable[tuple[float, str]] = ()) -> tuple[Flight, list[Event]]:
    """A flight of it through lines entered at their times, and everything that has happened."""
    flight, events = Flight.start(short(), seed)
    for t, words in lines:
        events += flight.advance(t - flight.t_s) + flight.enter(words)
    return flight, events


def of(kind: type[_Kind], events: Iterable[Event]) -> list[_Kind]:
    """The events of one kind."""
    return [event for event in events if isinstance(event, kind)]


def finished(flight: Flight) -> list[Event]:
    """Let time pass until nothing is being done and nothing waits."""
    events: list[Event] = []
    while not flight.idle and flight.ended is None:
        events += flight.advance(1.0)
    return events


def done(flight: Flight, *actions: Action) -> Acted:
    """Do acts one after the other; the last one as it ended."""
    events: list[Event] = []
    for action in actions:
        events += flight.act(action) + finished(flight)
    return of(Acted, events)[-1]
