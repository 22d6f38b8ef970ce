"""What is saved from a debrief, written beside its record. Nothing that is there already is written over."""

from __future__ import annotations

from pathlib import Path

from drill.clean import clean_line
from drill.cockpit.debrief.timeline import clock
from drill.paper.files import write_new
from drill.paper.kinds import Kind

MOST_FILES = 100


def write_debrief(record: Path, text: str, kind: Kind) -> str:
    """Write `text` to `<record's stem>-debrief.<kind>` (numbered if that is another text); return what came of it.

    A file that holds the very same text is left as it is.
    """
    return _write_beside(record, text, kind, "debrief", f"drill debrief {clean_line(str(record))}")


def write_sides(record: Path, text: str, kind: Kind, at_s: float | None) -> str:
    """Write flights side by side to `<record's stem>-side-by-side.<kind>`, as a debrief is written.

    They part at `at_s` (s), flown by the sheet; None: where the flight of the record branched.
    """
    moment = "" if at_s is None else f" --at {clock(at_s)}.{round(at_s * 10) % 10} --pilot exemplar"
    return _write_beside(record, text, kind, "side-by-side", f"drill rewind {clean_line(str(record))}{moment}")


def _write_beside(record: Path, text: str, kind: Kind, name: str, command: str) -> str:
    try:
        for number in range(1, MOST_FILES):
            path = record.absolute().with_name(f"{record.stem}-{name}{'' if number == 1 else f'-{number}'}.{kind}")
            if write_new(path, text):
                return f"Saved: {clean_line(str(path))}"
    except OSError as error:
        return f"Not saved: {clean_line(str(path))}: {error.strerror or error}; make room there, or at the prompt: " \
               f"{command} --to FILE.{kind}"
    return f"Not saved: there are {MOST_FILES - 1} of them beside {clean_line(str(record))}; move some away"
