"""`drill debrief` for files and programs: `--to FILE`, `--json`, `--schema`."""

from __future__ import annotations

from pathlib import Path

from drill.clean import clean_line
from drill.flight.record import Recorded, fitting
from drill.grading import Debrief
from drill.paper.document import Paper, paper_of
from drill.paper.files import write_new
from drill.paper.kinds import KINDS, kind_of
from drill.paper.writing import text_of
from drill.plain.desk import Desk, Mistake
from drill.seat.keeping import why_not_new


def check(path: Path) -> None:
    """Raise Mistake if no debrief can be written to `path`, before any work is done for it."""
    if kind_of(path) is None:
        raise Mistake(f"drill debrief: {clean_line(str(path))}: what a debrief is written as follows from the end of "
                      f"the file's name, {_endings()}")
    if not path.is_file():    # one that is there may hold this very debrief
        why = why_not_new(path)
        if why:
            raise Mistake(f"drill debrief: {clean_line(str(path))}: {clean_line(why)}")


def write(recorded: Recorded, path: Path, desk: Desk) -> Debrief:
    """Write the debrief of `recorded` to the new file `path`, say so, and return it."""
    kind = kind_of(path)
    assert kind is not None  # noqa: S101 - `check` has seen to it
    with fitting(recorded.path, "debriefed"):
        paper = paper_of(recorded)
        text = text_of(paper, kind)
    if not write_new(path, text):
        raise Mistake(f"drill debrief: {clean_line(str(path))}: the file exists already; name another one, or move it "
                      "away")
    desk.out.whole(f"Written, a {KINDS[kind]}: {path}" if kind == "html" else f"Written as {KINDS[kind]}: {path}")
    return paper.document.debrief


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
