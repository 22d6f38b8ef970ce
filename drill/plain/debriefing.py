"""After the flight: the pilot is asked first, then told."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from drill.clean import clean_line
from drill.flight.events import Reflected
from drill.flight.record import read_record
from drill.grading import Debrief, debrief_lines, grade
from drill.plain.out import Out
from drill.plain.run import Run
from drill.plain.terminal import InputEnded, Lines

ASK_FOR_S = 3600.0
PROMPT = "> "


def ask(run: Run, questions: Sequence[str], lines: Lines, out: Out) -> None:
    """Ask the pilot `questions`, record the answers. An empty line skips one, the end of the input the rest."""
    if not questions:
        return
    lines.begin_anew(PROMPT)
    out.line()
    out.line("Before the debrief, a few questions. Enter alone skips one.")
    for question in questions:
        out.line(question)
        try:
            answer = None
            while answer is None:
                answer = lines.poll(ASK_FOR_S)
        except InputEnded:
            return
        if answer:
            run.note(Reflected(run.flight.t_s, question, clean_line(answer)))


def debrief_of(path: Path) -> Debrief:
    """Return the debrief of the record at `path`. RecordError, DocumentError or OSError if it cannot be read."""
    recorded = read_record(path)
    return grade(recorded.scenario, recorded.events, recorded.seed)


def tell(debrief: Debrief, out: Out) -> None:
    """Write the debrief; its lines are wrapped already."""
    for line in debrief_lines(debrief):
        out.whole(line)
