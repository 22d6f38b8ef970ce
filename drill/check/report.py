"""How problems are told: with their lines for people, as JSON for programs, as annotations for a workflow run.

For people each is told as its place and what is wrong; the line, what is meant in it underlined; what would be right
and what to do; the name of its kind. What is told is `Run`s, a line being a list of them; a face gives each its look.
"""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from drill.check.checking import Checked
from drill.check.spans import columns, lines_of, pointed, span_of
from drill.clean import clean, clean_line
from drill.scenario.problems import Problem, gathered

Look: TypeAlias = Literal["plain", "place", "fault", "warning", "source", "mark", "label", "good"]

WIDTH = 78
MOST_TOLD = 200
"""Nobody reads more at once."""
_LABEL = 8
_LEVELS = {"error": "fault", "warning": "warning"}


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of a line, and how it is to look."""

    text: str
    look: Look = "plain"


Line: TypeAlias = list[Run]


def told(checked: Sequence[Checked], *, strict: bool = False) -> Iterator[Line]:
    """Yield everything found in the documents, and how much it is, in 78 columns (long file names aside)."""
    left = MOST_TOLD
    for each in checked:
        lines = {file: lines_of(text) for file, text in each.texts.items()}
        for problem, more in gathered(each.problems):
            if left > 0:
                yield from told_one(problem, more, lines.get(problem.place.file))
                yield []
            left -= 1
    if left < 0:
        yield [Run(f"... and {-left:,} more; mend these first.")]
    wrong = any(each.faults or (strict and each.warnings) for each in checked)
    yield [Run(summary(checked, strict=strict), "plain" if wrong else "good")]
    if any(each.problems for each in checked):
        yield [Run("`drill check --explain KIND` tells more of a kind.")]


def told_one(problem: Problem, more: str, lines: list[str] | None) -> Iterator[Line]:
    """Yield one problem; `lines` are those of its file, None where they are not known."""
    look: Look = "fault" if problem.level == "error" else "warning"
    yield [Run(clean_line(str(problem.place), limit=4_000), "place"), Run("  "), Run(_LEVELS[problem.level], look),
           Run(f", {problem.rule}")]
    yield from _source(problem, lines)
    yield from _labelled("what", problem.wrong)
    if problem.allowed:
        yield from _labelled("right", problem.allowed)
    if problem.remedy:
        yield from _labelled("do", problem.remedy)
    if more:
        yield from _labelled("also", more)


def _source(problem: Problem, lines: list[str] | None) -> Iterator[Line]:
    number = problem.place.line
    if lines is None or not 1 <= number <= len(lines) or not lines[number - 1].strip():
        return
    gutter = f"{number:>6} | "
    line = lines[number - 1]
    shown = pointed(line, *span_of(line, problem), WIDTH - len(gutter))
    yield [Run(gutter, "label"), Run(shown.before + shown.meant + shown.after, "source")]
    mark: Look = "fault" if problem.level == "error" else "warning"
    yield [Run(" " * (len(gutter) - 2) + "| " + " " * shown.indent, "label"), Run("^" * shown.width, mark)]


def _labelled(label: str, words: str) -> Iterator[Line]:
    rows = _wrapped(clean_line(words, limit=4_000), WIDTH - _LABEL) or [""]
    for number, row in enumerate(rows):
        yield [Run(f"{label:>{_LABEL - 2}}  " if number == 0 else " " * _LABEL, "label"), Run(row)]


def _wrapped(words: str, width: int) -> list[str]:
    """Return `words` in rows of at most `width` columns: a letter of two columns is wrapped as two."""
    filled = "".join(letter + _SECOND_HALF * (columns(letter) - 1) for letter in words)
    return [row.replace(_SECOND_HALF, "") for row in textwrap.wrap(filled, width, break_on_hyphens=False)]


_SECOND_HALF = "\ue000"
"""A letter of nobody's (Unicode, private use area): stands for the second column of a wide one."""


def summary(checked: Sequence[Checked], *, strict: bool = False) -> str:
    """Return in one sentence how much was found."""
    faults, warnings = sum(each.faults for each in checked), sum(each.warnings for each in checked)
    of = _counted(len(checked), "document")
    if not faults and not warnings:
        return f"{of} checked, nothing is wrong."
    found = " and ".join(said for said in (_counted(faults, "fault") if faults else "",
                                           _counted(warnings, "warning") if warnings else "") if said)
    ending = "" if faults or strict else ", which nobody has to heed"
    return f"{found} in {of}{ending}."


def _counted(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"


def as_json(checked: Sequence[Checked], besides: Mapping[str, Any] | None = None) -> str:
    """Return everything found as JSON: `documents` with their counts, `problems`, and the keys of `besides`.

    Lines and columns count from 1.
    """
    return json.dumps({
        "documents": [{"file": clean(each.file), "kind": each.kind, "faults": each.faults, "warnings": each.warnings}
                      for each in checked],
        "problems": [_as_object(problem, each) for each in checked for problem in each.problems],
        **(besides or {}),
    }, indent=2)


def _as_object(problem: Problem, checked: Checked) -> dict[str, Any]:
    place = problem.place
    return {
        "file": clean(place.file), "line": place.line, "column": place.column,
        "end_column": _end_column(problem, checked),
        "level": _LEVELS[problem.level], "kind": problem.rule,
        "what": clean(problem.wrong), "right": clean(problem.allowed), "do": clean(problem.remedy),
    }


def _end_column(problem: Problem, checked: Checked) -> int:
    """Return the column after what is meant."""
    text = checked.texts.get(problem.place.file)
    lines = lines_of(text) if text is not None else []
    if not 1 <= problem.place.line <= len(lines):
        return problem.place.column + 1
    return max(span_of(lines[problem.place.line - 1], problem)[1], problem.place.column) + 1


def as_annotations(checked: Sequence[Checked]) -> Iterator[str]:
    """Yield a workflow command for each problem, which puts it beside its line in a review.

    The form, and what is escaped in it, is that of GitHub's workflow commands (from memory).
    """
    for each in checked:
        for problem in each.problems:
            said = "; ".join(part for part in (problem.wrong, problem.allowed, problem.remedy) if part)
            where = {"file": problem.place.file, "line": problem.place.line, "col": problem.place.column,
                     "endColumn": _end_column(problem, each), "title": problem.rule}
            properties = ",".join(f"{name}={_property(str(value))}" for name, value in where.items())
            yield f"::{problem.level} {properties}::{_data(said)}"


def _data(text: str) -> str:
    return clean(text.replace("%", "%25")).replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")
