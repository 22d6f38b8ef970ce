"""The debrief in words, written to a text file beside its record. Nothing that is there already is written over."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from drill.clean import clean_line

MOST_FILES = 100


def write_beside(record: Path, lines: Sequence[str]) -> str:
    """Write `lines` to `<record's stem>-debrief.txt` (numbered if that is another text); return what came of it.

    A file that holds the very same text is left as it is.
    """
    text = "\n".join(lines) + "\n"
    try:
        for number in range(1, MOST_FILES):
            path = record.absolute().with_name(f"{record.stem}-debrief{'' if number == 1 else f'-{number}'}.txt")
            try:
                with path.open("x", encoding="utf-8") as file:
                    file.write(text)
            except FileExistsError:
                if not path.is_file() or path.read_bytes() != text.encode():
                    continue
            return f"Saved: {clean_line(str(path))}"
    except OSError as error:
        return f"Not saved: {clean_line(str(path))}: {error.strerror or error}; make room there, or in words: " \
               f"drill debrief {clean_line(str(record))}"
    return f"Not saved: there are {MOST_FILES - 1} debriefs beside {clean_line(str(record))}; move some away"
