"""Described flights: flown, graded by the rule, and set beside the grades that an instructor gave before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from drill.flight.events import Event
from drill.flight.flight import Flight
from drill.grading import Debrief, grade
from drill.grading.published_scales import MANEUVER, OUTCOME, RESOURCE, PublishedGrades, published_grades
from drill.scenario import find, load

HERE = Path(__file__).parent
SCALES: dict[str, tuple[str, ...]] = {
    "maneuver": MANEUVER, "recognition": RESOURCE, "communication": RESOURCE, "decision": RESOURCE, "acs": OUTCOME,
    "overall": MANEUVER,
}


@dataclass(frozen=True, slots=True)
class Described:
    """A flight: its script, what an examiner would see, and the grade and reason given on each scale."""

    name: str
    scenario: str
    seed: int
    script: tuple[tuple[float, str], ...]
    seen: str
    given: dict[str, str]
    reasons: dict[str, str]


def described_flights() -> tuple[Described, ...]:
    """Return the thirty flights of the two data files."""
    flights = yaml.safe_load((HERE / "agreement_flights.yaml").read_text(encoding="utf-8"))
    grades = yaml.safe_load((HERE / "agreement_grades.yaml").read_text(encoding="utf-8"))
    return tuple(_described(name, {**flight, **grades[name]}) for name, flight in flights.items())


def held_out(name: str) -> tuple[Described, ...]:
    """Return the flights of one hold-out, whose file has scripts and grades together."""
    flights = yaml.safe_load((HERE / name).read_text(encoding="utf-8"))
    return tuple(_described(name, flight) for name, flight in flights.items())


def _described(name: str, flight: dict[str, Any]) -> Described:
    return Described(name, flight["scenario"], flight["seed"], tuple(_lines(flight["script"])), flight["seen"],
                     {scale: flight[scale][0] for scale in SCALES}, {scale: flight[scale][1] for scale in SCALES})


def _lines(script: str) -> Iterator[tuple[float, str]]:
    for line in script.splitlines():
        stamp, words = line.split(" ", 1)
        minutes, seconds = stamp.split(":")
        yield 60.0 * int(minutes) + int(seconds), words


def debriefed(flight: Described) -> Debrief:
    """Return the debrief of `flight`, flown to its ending."""
    scenario = load(find(flight.scenario))
    flying, began = Flight.start(scenario, flight.seed, "script")
    events: list[Event] = list(began)
    waiting = list(flight.script)
    while flying.ended is None:
        while waiting and flying.t_s >= waiting[0][0]:
            events += flying.enter(waiting.pop(0)[1])
        events += flying.advance(1.0)
    return grade(scenario, events, flight.seed)


def by_rule(flight: Described) -> PublishedGrades:
    """Return the grades that the documented rule gives for `flight`."""
    return published_grades(debriefed(flight))
