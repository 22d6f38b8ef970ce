"""The debrief written to a file beside its record. Nothing that is there already is written over."""

from __future__ import annotations

from pathlib import Path

from drill.clean import clean_line
from drill.paper.files import write_new
from drill.paper.kinds import Kind

MOST_FILES = 100


def write_beside(record: Path, text: str, kind: Kind) -> str:
    """Write `text` to `<record's stem>-debrief.<kind>` (numbered if that is another text); return what came of it.

    A file that holds the very same text is left as it is.
    """
    try:
        for number in range(1, MOST_FILES):
            path = record.absolute().with_name(f"{record.stem}-debrief{'' if number == 1 else f'-{number}'}.{kind}")
            if write_new(path, text):
                return f"Saved: {clean_line(str(path))}"
    except OSError as error:
        return f"Not saved: {clean_line(str(path))}: {error.strerror or error}; make room there, or at the prompt: " \
               f"drill debrief {clean_line(str(record))} --to FILE.{kind}"
    return f"Not saved: there are {MOST_FILES - 1} debriefs beside {clean_line(str(record))}; move some away"
