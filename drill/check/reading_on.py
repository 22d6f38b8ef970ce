"""Past a line that is no YAML: the document as it would be with that line mended, so that the rest is judged too.

A reader of YAML gives up at the first slip. Each way in which such a line is usually mended is tried, and the one after
which the document has the fewest faults is taken; where none helps, the line is left out. It decides nothing of what is
told of the line itself, and what would only follow from the mend is not told.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from drill.check.explore_rules import EXPLORED
from drill.check.partial import ALONE
from drill.check.rules import CHECKED
from drill.scenario.problems import DocumentError, Problem
from drill.scenario.unreadable import BREAK, indent_of

SLIPS = frozenset({"unreadable-yaml", "tab"})
"""Kinds of faults that one line has and that end the reading of a document."""
_NEAR = 4
"""A further slip in so few lines is most often the same one, badly mended."""
_SHAPE = frozenset({"missing-key", "one-of", "empty-value", "wrong-kind"})
_WORDS = frozenset({"unknown-act", "unknown-assistance", "unknown-choice", "unknown-code", "unknown-condition",
                    "unknown-equipment", "unknown-how", "unknown-instrument", "unknown-key", "unknown-object",
                    "unknown-part", "unknown-placeholder", "unknown-plan", "unknown-quantity", "unknown-urgency"})
"""Words that drill knows, whatever else stands in a document."""
_PROVED = frozenset(EXPLORED) - frozenset(CHECKED)
_VALUE = re.compile(r"(\s*(?:-\s+)?[^:\s][^:]*:\s+)(\S.*)$")
_GLUED = re.compile(r"(\s*(?:-\s+)?[A-Za-z][\w ]*:)(\S.*)$")
_CLOSES = {"{": "}", "[": "]"}

Faults = Callable[[str], list[Problem]]
"""Every fault of a text; raises DocumentError where it cannot be read either."""


@dataclass(frozen=True, slots=True)
class ReadOn:
    """A text without a slip: with its line mended, or (`without`) left out."""

    text: str
    line: int                # counts from 1
    without: bool

    def still_told(self, problems: Sequence[Problem]) -> list[Problem]:
        """Return those of `problems` that do not come of the mend."""
        rest = [each for each in problems if each.place.line != self.line and each.rule not in _PROVED
                and not (each.rule in SLIPS and abs(each.place.line - self.line) <= _NEAR)]
        if not self.without:
            return rest
        return [each for each in by_themselves(rest)
                if each.level == "error" or each.rule in ALONE - {"example-missing"}]


def by_themselves(problems: Iterable[Problem]) -> list[Problem]:
    """Return those of `problems` that no part which is not there would make untrue."""
    return [each for each in problems if each.rule not in _SHAPE
            and (each.rule in _WORDS or not each.rule.startswith(("unknown-", "no-")))
            and not each.rule.endswith(("-reached", "-nowhere", "-begins"))]


def read_on(text: str, slip: Problem, faults: Faults) -> ReadOn | None:
    """Return the text without `slip`; None where nothing that is known helps. `faults` says how good a mend is."""
    lines = BREAK.split(text)
    at = slip.place.line - 1
    if slip.rule not in SLIPS or at >= len(lines):
        return None
    best: tuple[tuple[bool, int], ReadOn] | None = None      # of those that can be read the one with the fewest faults
    for line in dict.fromkeys(_mended(lines, at)):
        if line == lines[at]:
            continue
        mended = ReadOn(_with(lines, at, line), slip.place.line, not line)
        try:
            worth = False, sum(each.place.line != slip.place.line for each in faults(mended.text))
        except DocumentError as error:
            if error.problems[0].place.line <= slip.place.line + 1 or mended.without:
                continue
            worth = True, -error.problems[0].place.line      # the further it can be read, the better
        if best is None or worth < best[0]:
            best = worth, mended
        if worth == (False, 0):
            break
    return None if best is None else best[1]


def _with(lines: Sequence[str], at: int, line: str) -> str:
    return "\n".join([*lines[:at], line, *lines[at + 1:]])


def _mended(lines: Sequence[str], at: int) -> Iterator[str]:
    """Yield the line as it may have been meant, the likeliest first; last of all nothing."""
    line = lines[at]
    body = line.strip()
    above = next((each for each in reversed(lines[:at]) if each.strip() and not each.lstrip().startswith("#")), "")
    below = next((each for each in lines[at + 1:] if each.strip() and not each.lstrip().startswith("#")), "")
    if "\t" in line:
        yield from (f"{' ' * indent_of(each)}{body}" for each in (below, above))
        yield f"{' ' * (indent_of(above) + 2)}{body}"
    glued = _GLUED.match(line)
    if glued:
        yield f"{glued[1]} {glued[2]}"
    if re.match(r"\s*-[A-Za-z]", line):
        yield line.replace("-", "- ", 1)
    yield f"{line.rstrip()}{_missing(line)}"
    for quote in ('"', "'"):
        if line.count(quote) % 2:
            yield f"{line.rstrip()}{quote}"
            yield f"{line.rstrip()}{quote}{_missing(line)}"
    value = _VALUE.match(line)
    if value:
        plain = value[2].strip().strip('"').replace("\\", " ").replace('"', "'")
        yield f'{value[1]}"{plain}"'
    yield line.replace("(", "{").replace(")", "}")
    yield re.sub(r"(:\s+[\w.-]+(?: [\w.-]+)*?) ([A-Za-z]+:)", r"\1, \2", line)
    yield re.sub(r"^(\s*[a-z]+(?: [a-z]+)*) (\S+.*)$", r"\1: \2", line)
    yield from (f"{' ' * indent_of(each)}{body}" for each in (above, below))
    yield ""


def _missing(line: str) -> str:
    """Return the brackets that a line opens and does not close."""
    open_: list[str] = []
    for character in re.sub(r"\"[^\"]*\"|'[^']*'", "", line):
        if character in _CLOSES:
            open_.append(_CLOSES[character])
        elif open_ and character == open_[-1]:
            open_.pop()
    return "".join(reversed(open_))
