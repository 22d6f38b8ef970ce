"""After the flight: the pilot is asked first, then told."""

from __future__ import annotations

from collections.abc import Sequence

from drill.clean import clean_line
from drill.flight.events import Reflected
from drill.flight.record import Recorded, RecordError, fitting
from drill.grading import Debrief, debrief_lines, grade
from drill.grading.beside_words import side_by_side_lines
from drill.plain.out import Out
from drill.plain.terminal import InputEnded, Lines
from drill.seat.run import Run
from drill.seat.side_by_side import branch_beside

ASK_FOR_S = 3600.0
PROMPT = "> "


def ask(run: Run, questions: Sequence[str], lines: Lines, out: Out) -> None:
    """Ask the pilot `questions`, record the answers. An empty line skips one, the end of the input the rest.

    The first line after the flight is no answer: it may have been begun as an order.
    """
    if not questions:
        return
    lines.begin_anew("")
    out.line()
    out.line("Before the debrief, a few questions. Enter alone skips one. Press Enter to begin.")
    try:
        _next_line(lines)
        lines.begin_anew(PROMPT)
        for question in questions:
            out.line(question)
            answer = _next_line(lines)
            if answer:
                run.note(Reflected(run.flight.t_s, question, clean_line(answer)))
    except InputEnded:
        return


def _next_line(lines: Lines) -> str:
    line = None
    while line is None:
        line = lines.poll(ASK_FOR_S)
    return line


def debrief_of(recorded: Recorded) -> Debrief:
    """Return the debrief of a record as read. RecordError if its parts do not fit together."""
    with fitting(recorded.path, "debriefed"):
        return grade(recorded.scenario, recorded.events, recorded.seed)


def tell(debrief: Debrief, out: Out) -> None:
    """Write the debrief; its lines are wrapped already."""
    for line in debrief_lines(debrief):
        out.whole(line)


def tell_beside(recorded: Recorded, out: Out) -> None:
    """Write a flight that branched beside the one that it came from; of any other flight nothing."""
    try:
        them = branch_beside(recorded)
    except (RecordError, OSError) as error:
        out.line()
        out.whole(f"Not set side by side: {clean_line(str(error))}")
        return
    if them is not None:
        out.line()
        for line in side_by_side_lines(them):
            out.whole(line)
