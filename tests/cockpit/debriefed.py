"""Small ended flights with their records, and an app that shows one screen, for the tests of what comes after."""

from __future__ import annotations

import asyncio
from pathlib import Path

from flight.flights import short
from textual.screen import Screen

from drill.cockpit.debrief.grading_apart import Grading
from drill.cockpit.debrief.pieces import Told
from drill.cockpit.text import Words
from drill.flight.flight import Flight
from drill.flight.record import Recorder
from drill.scenario import load_text
from drill.scenario.model import Scenario
from drill.seat.run import Run

ASKED = ("What failed, [b]if[/nope] anything?", "What told you?")


def scenario_that_asks() -> Scenario:
    """A minute in cloud, the pump gone in it, and two questions; one of them holds what could be markup."""
    text = short().text.replace("time limit: 40 min", "time limit: 60 s").replace("Suction lost early",
                                                                                  "Suction [/lost] early")
    asks = f"\ndebrief:\n  ask: [{ASKED[0]!r}, {ASKED[1]!r}]\n  discuss: What do two gyros share?\n"
    return load_text(text + asks, "short.yaml", lambda name: short().airplane.text)


def ended(folder: Path) -> tuple[Run, Path]:
    """A flight that has ended, and its record, still open."""
    path = folder / "flight.jsonl"
    flight, events = Flight.start(scenario_that_asks(), 1)
    recorder = Recorder.create(path, flight, events)
    run = Run(flight, recorder)
    while run.flight.ended is None:
        run.advance(10.0)
    return run, path


def ended_record(folder: Path) -> Path:
    """The record of a flight that has ended."""
    run, record = ended(folder)
    run._recorder.close()
    return record


class Graded(Grading):
    """A grading that has its outcome without a process; with none it goes on until left."""

    def __init__(self, outcome: Told | Exception | None, record: Path = Path("flight.jsonl")) -> None:
        super().__init__(record)
        self._outcome = outcome
        self.begun = self.left = False

    def begin(self) -> Grading:
        """Note it."""
        self.begun = True
        return self

    async def told(self) -> Told:
        """Give the outcome, or never."""
        if self._outcome is None:
            await asyncio.Event().wait()
        if isinstance(self._outcome, Exception):
            raise self._outcome
        assert self._outcome is not None
        return self._outcome

    async def leave(self) -> None:
        """Note it."""
        self.left = True


def words_of(screen: Screen[None]) -> str:
    """All words on the screen, those of sections that are not in view too."""
    return "\n".join(each.said for each in screen.query(Words))
