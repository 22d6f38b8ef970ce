"""Which part of a line a problem points at, and how that line is shown in so many columns."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from drill.clean import clean
from drill.scenario.problems import Problem

_NAMED = re.compile(r"`([^`]+)`")
_VALUE = re.compile(r"""(?:(?!:(?:\s|$)|,\s|[\[\]{}]|\s\#).)+""")
_QUOTED = re.compile(r"""'(?:[^']|'')*'|"(?:[^"\\]|\\.)*\"""")
_DASH = re.compile(r"-\s+")
_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
CUT = "..."


@dataclass(frozen=True, slots=True)
class Pointed:
    """A line cut to what fits, with the part that is meant: `before`, `meant` (may be empty) and `after`."""

    before: str
    meant: str
    after: str

    @property
    def indent(self) -> int:
        """Columns that stand before what is meant."""
        return columns(self.before)

    @property
    def width(self) -> int:
        """Columns to underline, at least one."""
        return max(1, columns(self.meant))


def lines_of(text: str) -> list[str]:
    """Return the lines of a document, counted as the reader of documents counts them."""
    return _BREAK.split(text)


def span_of(line: str, problem: Problem) -> tuple[int, int]:
    """Return where in `line` what `problem` is about begins and ends (characters from 0)."""
    start = min(problem.place.column - 1, len(line))
    if problem.rule == "tab":
        return start, start + 1
    dash = _DASH.match(line, start)
    start = dash.end() if dash else start
    named = [each for each in _NAMED.findall(problem.wrong) if line.startswith(each, start)]
    if named:
        return start, start + max(map(len, named))
    quoted = _QUOTED.match(line, start)
    if quoted:
        return start, quoted.end()
    value = _VALUE.match(line, start)
    return start, start + len(value.group().rstrip()) if value and value.group().strip() else min(start + 1, len(line))


def pointed(line: str, start: int, end: int, width: int) -> Pointed:
    """Return `line` in at most `width` columns, with the part from `start` to `end` in sight as far as it fits."""
    before, meant, after = str(clean(line[:start])), str(clean(line[start:end])), str(clean(line[end:]))
    if columns(before) + columns(meant) + columns(after) <= width:
        return Pointed(before, meant, after.rstrip())
    room = width - 2 * len(CUT)
    meant = _first(meant, room)
    left = room - columns(meant)
    kept = _last(before, max(left * 2 // 3, left - columns(after)))
    rest = _first(after, left - columns(kept))
    return Pointed((CUT if kept != before else "") + kept, meant, rest + (CUT if rest != after else ""))


def columns(text: str) -> int:
    """Return how many columns of a terminal `text` takes."""
    return sum(0 if unicodedata.combining(each) else 2 if unicodedata.east_asian_width(each) in "WF" else 1
               for each in text)


def _first(text: str, width: int) -> str:
    while columns(text) > width:
        text = text[:-1]
    return text


def _last(text: str, width: int) -> str:
    while columns(text) > width:
        text = text[1:]
    return text
