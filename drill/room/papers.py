"""What is left of an evening on paper: handout and totals beside its record and, asked for by itself, who was there.

Nothing that is there already is written over: a second handout of the same evening has a number. What names a person or
a table is for its owner alone; handout and totals that name nobody are to be given away.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from drill.flight.events import Event
from drill.flight.readings import clock_words as clock
from drill.flight.record import RecordError, read_record
from drill.grading import grade
from drill.paper.files import write_new
from drill.room.evening import Evening
from drill.room.handout import as_html
from drill.room.outcome import Results
from drill.room.partings import partings
from drill.room.results import results
from drill.room.totals import attendance_csv, attendance_html, totals_csv
from drill.scenario.model import Scenario

MOST_COPIES = 100


def results_of(evening: Evening, scenario: Scenario, events: Sequence[Event], record: Path) -> Results:
    """Return the results of `evening`, kept at `record`, whose flight has these events so far. It takes some seconds.

    Flights of the grade sheet's are read from beside the record; one that cannot be read is said to be missing.
    """
    sheets: dict[str, Sequence[Event]] = {}
    missing = []
    for each in evening.forks:
        name = Path(each.records[-1]).name     # a name, never a path
        try:
            sheets[each.records[-1]] = read_record(record.with_name(name)).events
        except (RecordError, OSError):
            missing.append(f"The record of the grade sheet's way from {clock(each.at_s)} is not beside the evening's; "
                           "both ways are not compared.")
    found = results(evening, scenario, grade(scenario, events, evening.begun.seed),
                    partings(evening, scenario, events, sheets))
    return replace(found, cautions=(*missing, *found.cautions))


def recorded_results(evening: Evening, scenario: Scenario, record: Path) -> Results:
    """Return the same by the records: the evening's at `record`, its flight's beside it. RecordError if that fails."""
    flight = read_record(record.with_name(Path(evening.begun.flight).name))
    return results_of(evening, scenario, flight.events, record)


def write_papers(found: Results, record: Path, *, named: bool = False) -> list[Path]:
    """Write handout and totals beside the evening's record; return where. OSError if they cannot be written."""
    return _write(record, {".handout.html": as_html(found, named=named), ".totals.csv": totals_csv(found)},
                  private={".handout.html"} if named else ())


def write_attendance(evening: Evening, title: str, record: Path) -> list[Path]:
    """Write who was there, as a table and as a page, for their owner alone; return where. OSError if it fails."""
    texts = {".attendance.csv": attendance_csv(evening), ".attendance.html": attendance_html(evening, title)}
    return _write(record, texts, private=texts)


def _write(record: Path, texts: Mapping[str, str], private: Collection[str]) -> list[Path]:
    for number in range(1, MOST_COPIES + 1):
        stem = record.stem if number == 1 else f"{record.stem}-{number}"
        paths = {ending: record.with_name(f"{stem}{ending}") for ending in texts}
        if all(write_new(path, texts[ending], private=ending in private) for ending, path in paths.items()):
            return list(paths.values())
    raise FileExistsError(f"{record.parent} holds {MOST_COPIES} papers of this evening")
