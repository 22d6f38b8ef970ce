"""A flight begun: its record, and its line in the journal. Heavy."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from drill.flight.events import Event
from drill.flight.flight import Flight
from drill.flight.record import Recorder, RecordError
from drill.flight.rewind import rewind
from drill.scenario.model import Scenario
from drill.scenario.shelf import shipped
from drill.seat import journal
from drill.seat.keeping import flights_folder, new_record_path, why_not_new


@dataclass(frozen=True, slots=True)
class Begun:
    """A flight at its first moment, or at the one it is taken up at, what has happened in it, and its open record."""

    flight: Flight
    events: list[Event]
    recorder: Recorder

    @property
    def path(self) -> Path:
        """Where its record is."""
        return self.recorder.path


def new_record(scenario: Scenario, seed: int, record: Path | None) -> Path:
    """Return where the record of a flight goes: to `record`, or to a new file in the folder of flights.

    RecordError if nothing can be written there.
    """
    path = record
    if path is None:
        folder = flights_folder()
        try:
            path = new_record_path(scenario.name, seed, _today(), folder)
        except OSError as error:
            raise RecordError(f"{folder}: {error.strerror or error}; {_elsewhere(scenario)}") from error
    if wrong := why_not_new(path):
        raise RecordError(f"{path}: {wrong if record else f'{wrong}: {_command(scenario)}'}")
    return path


def begin(scenario: Scenario, seed: int, path: Path, *, by: str = "typed", pilot: str = "") -> Begun:
    """Begin a flight, its record at `path`, and note it in the journal. RecordError if no record can be written.

    `pilot` tells apart the people who fly here from elsewhere, as in the journal.
    """
    flight, events = Flight.start(scenario, seed, by=by)
    recorder = Recorder.create(path, flight, events)
    journal.begun(flights_folder(), path, scenario.name, scenario.board_title, seed, _now(), pilot)
    return Begun(flight, events, recorder)


def begin_again(path: Path, at_s: float, record: Path | None, *, pilot: str = "") -> Begun:
    """Begin a flight that takes the one recorded at `path` another way from `at_s` (s) on, under a record of its own.

    Its record goes to `record`, or to a new file in the folder of the old one, so that each finds the other. The old
    one is not touched. RecordError for a moment outside the flight, a record that cannot be used, or a file that
    cannot be written; OSError if the record cannot be opened.
    """
    again = rewind(path, at_s)
    scenario, seed = again.flight.scenario, again.flight.seed
    if record is None:
        folder = path.absolute().parent
        try:
            record = new_record_path(scenario.name, seed, _today(), folder)
        except OSError as error:
            raise RecordError(f"{folder}: {error.strerror or error}; name a file with --record") from error
    if wrong := why_not_new(record):
        raise RecordError(f"{record}: {wrong}")
    recorder = again.record(record)
    journal.begun(flights_folder(), record, scenario.name, scenario.board_title, seed, _now(), pilot, rewound=True)
    return Begun(again.flight, [*again.events, again.branched], recorder)


def _elsewhere(scenario: Scenario) -> str:
    return f"name a file with --record: {_command(scenario)}"


def _command(scenario: Scenario) -> str:
    name = shlex.quote(scenario.name) if scenario.name in shipped() else "SCENARIO"    # else nobody knows its path here
    return f"drill fly {name} --record FILE"


def _now() -> str:
    """Return the time on the wall as the journal has it."""
    return datetime.now().isoformat(timespec="minutes")


def _today() -> date:
    return datetime.now().astimezone().date()
