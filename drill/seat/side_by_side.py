"""A flight beside the one that it branched from, and beside what the grade sheet would have done. Heavy."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from drill.flight.events import Branched, Event
from drill.flight.recorded import Recorded, fitting, read_record
from drill.flight.recorder import RecordError
from drill.flight.rewind import branch_of, is_original, rewind, rewound
from drill.grading.beside import Beside, Parted, Way, beside_of
from drill.grading.exemplar import sheets_way

BEFORE = "The flight"
AGAIN = "Flown again"
SHEET = "The sheet's way"
_SET_BESIDE = "set beside the flight that it branched from"


def sheet_beside(path: Path, at_s: float, record: Path | None = None) -> Beside:
    """Return the flight at `path` beside what its grade sheet would have done from `at_s` (s) on, flown here.

    That flight is kept at `record`, if one is named. RecordError if it cannot be flown or written, OSError if the
    record cannot be opened.
    """
    parted = sheet_parted(path, at_s, record)
    with fitting(path, "flown another way"):
        return beside_of(parted)


def sheet_parted(path: Path, at_s: float, record: Path | None = None) -> Parted:
    """Return the same two flights, to be compared."""
    again = rewind(path, at_s, by="exemplar")
    with fitting(path, "flown another way"):
        branched, recorder = again.branched, None if record is None else again.record(record)
        events = sheets_way(again)
        if recorder is not None:
            with recorder:
                recorder.write(events[len(again.events) + 1 :], again.flight)
        return Parted(again.flight.scenario, again.flight.seed,
                      (Way(BEFORE, again.original.events), Way(SHEET, events)), branched.t, branched.words,
                      again.original.model)


def branch_words(events: Iterable[Event]) -> str:
    """Return what the last branch among `events` has to say of the air; empty where it is the very same."""
    branched = [event for event in events if isinstance(event, Branched)]
    return branched[-1].words if branched else ""


def original_of(recorded: Recorded) -> Recorded | None:
    """Return the record that `recorded` branched from, if it is still beside it; None: it branched from none.

    RecordError in words if it is not there, or has become another.
    """
    branched = branch_of(recorded)
    if branched is None:
        return None
    if Path(branched.record).name != branched.record or branched.record in ("", ".", ".."):
        raise RecordError(f"{recorded.path}: it says that it branched from a file that cannot be beside it")
    path = recorded.path.with_name(branched.record)
    gone = f"the flight that this one branched from, {branched.record}, is not beside it"
    if not path.is_file():
        raise RecordError(f"{gone}; put it into the folder of {recorded.path} to see both")
    original = read_record(path)
    if not is_original(original, branched):
        raise RecordError(f"{gone}: {path} is another flight")
    return original


def branch_beside(recorded: Recorded) -> Beside | None:
    """Return a flight that branched beside the one that it branched from, and the sheet's way, flown here.

    None for a flight that branched nowhere; RecordError in words if the other one is not to be had.
    """
    parted = branch_parted(recorded)
    if parted is None:
        return None
    with fitting(recorded.path, _SET_BESIDE):
        return beside_of(parted)


def branch_parted(recorded: Recorded) -> Parted | None:
    """Return the same flights, to be compared."""
    original, branched = original_of(recorded), branch_of(recorded)
    if original is None or branched is None:
        return None
    with fitting(recorded.path, _SET_BESIDE):
        ways = [Way(BEFORE, original.events), Way(SHEET if branched.by == "exemplar" else AGAIN, recorded.events)]
        if branched.by != "exemplar":
            ways.append(Way(SHEET, sheets_way(rewound(original, branched.t, by="exemplar"))))
        return Parted(recorded.scenario, recorded.seed, tuple(ways), branched.t, branched.words, recorded.model)
