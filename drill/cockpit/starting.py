"""A flight made ready for the cockpit: begun with a record of its own, or taken up again from one. Heavy."""

from __future__ import annotations

import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from drill.cockpit.serve.mode import pilot, served, unwritable_here
from drill.flight.flight import Flight
from drill.flight.record import CannotFlyOn, Recorder, RecordError, resume
from drill.scenario.model import Scenario
from drill.seat import beginning, journal, seeds
from drill.seat.asked_for import CannotBegin, NothingToFly
from drill.seat.keeping import flights_folder
from drill.seat.pace import PACE_NAMES, Pace, PaceClock
from drill.seat.run import Run
from drill.seat.side_by_side import branch_words
from drill.seat.sitting import Sitting
from drill.seat.teller import Line, Teller

EARLIER_LINES = 200
"""So much of what was told before is shown again when a flight is taken up."""


@dataclass(frozen=True, slots=True)
class Ready:
    """A flight at its first or last recorded moment: the sitting, what there is to tell, and its open record.

    `new`: it begins with this; nothing of it has been flown.
    """

    sitting: Sitting
    first: list[Line]
    path: Path
    recorder: Recorder
    new: bool

    def give_up(self) -> None:
        """Close the record of a flight that nobody came to fly; a new one leaves no file behind."""
        self.recorder.close()
        if self.new:
            with suppress(OSError):
                self.path.unlink()


def begin(scenario: Scenario, *, seed: int | None, pace: Pace, record: Path | None) -> Ready:
    """Begin a flight and its record. Raises CannotBegin if no record can be written."""
    seed = seeds.drawn() if seed is None else seed
    try:
        path = beginning.new_record(scenario, seed, record)
        begun = beginning.begin(scenario, seed, path, pilot=pilot())
    except RecordError as error:
        raise CannotBegin(unwritable_here(error) if served() else str(error)) from error
    sitting = _sitting(begun.flight, begun.recorder, pace)
    return Ready(sitting, sitting.begin(begun.events), path, begun.recorder, new=True)


def take_up(path: Path, *, pace: Pace) -> Ready:
    """Take a flight up again where its record stops. Raises CannotBegin, NothingToFly where a debrief is all there is.

    The journal is told of a flight that is over, whoever ended it.
    """
    try:
        flight, recorder, events = resume(path)
    except RecordError as error:
        raise _why_not(path, error) from error
    except OSError as error:
        raise CannotBegin(f"{path}: {error.strerror or error}") from error
    try:
        sitting = _sitting(flight, recorder, pace)
        sitting.take_up(events)    # the radio so far
        earlier = Teller({}, echo=True, tells_calls=True).events(events)[-EARLIER_LINES:]
    except BaseException:
        recorder.close()
        raise
    again = Line(sitting.t_s, f"Taken up again here. Time: {PACE_NAMES[pace]}.", "own")
    return Ready(sitting, [*earlier, again], path, recorder, new=False)


def fly_again(path: Path, at_s: float, *, pace: Pace, record: Path | None = None) -> Ready:
    """Take the flight at `path` another way from `at_s` (s) on, under a record of its own. Raises CannotBegin."""
    try:
        begun = beginning.begin_again(path, at_s, record, pilot=pilot())
    except RecordError as error:
        raise CannotBegin(str(error)) from error
    except OSError as error:
        raise CannotBegin(f"{path}: {error.strerror or error}") from error
    try:
        sitting = _sitting(begun.flight, begun.recorder, pace)
        sitting.take_up(begun.events)
        earlier = Teller({}, echo=True, tells_calls=True).events(begun.events)[-EARLIER_LINES:]
    except BaseException:
        begun.recorder.close()
        raise
    said = [Line(sitting.t_s, words, "own") for words in (
        branch_words(begun.events), f"You have the controls again from here. Time: {PACE_NAMES[pace]}.") if words]
    return Ready(sitting, [*earlier, *said], begun.path, begun.recorder, new=True)


def _why_not(path: Path, error: RecordError) -> CannotBegin:
    """Return why a flight cannot be taken up, and tell the journal if it is over."""
    if not isinstance(error, CannotFlyOn):
        return CannotBegin(str(error))
    journal.finished(flights_folder(), path, error.outcome)
    return NothingToFly(str(error))


def _sitting(flight: Flight, recorder: Recorder, pace: Pace) -> Sitting:
    clock = PaceClock(pace, time.monotonic())
    return Sitting(Run(flight, recorder), clock, echo=True, tells_panel=False, names_keys=True)
