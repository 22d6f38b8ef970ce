"""`drill debrief` and `drill rewind` for files and programs: `--to FILE`, `--json`, `--schema`."""

from __future__ import annotations

from pathlib import Path

from drill.clean import clean_line
from drill.flight.record import Recorded, fitting
from drill.grading import Debrief
from drill.grading.beside import Parted
from drill.paper.beside_paper import beside_paper
from drill.paper.document import Paper, paper_of
from drill.paper.files import write_new
from drill.paper.kinds import KINDS, Kind, kind_of
from drill.paper.writing import beside_text_of, text_of
from drill.plain.desk import Desk, Mistake
from drill.seat.keeping import why_not_new


def check(path: Path, command: str = "drill debrief") -> None:
    """Raise Mistake if nothing can be written to `path`, before any work is done for it."""
    if kind_of(path) is None:
        raise Mistake(f"{command}: {clean_line(str(path))}: what is written follows from the end of the file's name, "
                      f"{_endings()}")
    if not path.is_file():    # one that is there may hold this very text
        why = why_not_new(path)
        if why:
            raise Mistake(f"{command}: {clean_line(str(path))}: {clean_line(why)}")


def write(recorded: Recorded, path: Path, desk: Desk) -> Debrief:
    """Write the debrief of `recorded` to the new file `path`, say so, and return it."""
    kind = _kind(path)
    with fitting(recorded.path, "debriefed"):
        paper = paper_of(recorded)
        text = text_of(paper, kind)
    _keep(path, text, "drill debrief", desk)
    return paper.document.debrief


def write_beside(parted: Parted, of: Path, path: Path, desk: Desk) -> None:
    """Write flights that part, of the record `of`, side by side to the new file `path`, and say so."""
    with fitting(of, "set side by side"):
        text = beside_text_of(beside_paper(parted), _kind(path))
    _keep(path, text, "drill rewind", desk)


def _kind(path: Path) -> Kind:
    kind = kind_of(path)
    assert kind is not None  # noqa: S101 - `check` has seen to it
    return kind


def _keep(path: Path, text: str, command: str, desk: Desk) -> None:
    """Write `text` to the new file `path`, and say so. Mistake if something else is there."""
    if not write_new(path, text):
        raise Mistake(f"{command}: {clean_line(str(path))}: the file exists already; name another one, or move it "
                      "away")
    kind = _kind(path)
    desk.out.whole(f"Written, a {KINDS[kind]}: {path}" if kind == "html" else f"Written as {KINDS[kind]}: {path}")


def tell_as_json(recorded: Recorded, desk: Desk) -> Debrief:
    """Print the debrief of `recorded` as JSON, and return it."""
    paper = _paper(recorded)
    desk.out.json(text_of(paper, "json").rstrip("\n"))
    return paper.document.debrief


def tell_schema(desk: Desk) -> None:
    """Print the JSON Schema of a debrief."""
    from drill.paper.as_json import schema_text

    desk.out.json(schema_text().rstrip("\n"))


def _paper(recorded: Recorded) -> Paper:
    with fitting(recorded.path, "debriefed"):
        return paper_of(recorded)


def _endings() -> str:
    said = [f".{kind} ({words})" for kind, words in KINDS.items()]
    return f"{', '.join(said[:-1])} or {said[-1]}"
