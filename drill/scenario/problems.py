"""What is wrong with a document: where, what, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A position in a file; line and column count from 1."""

    file: str = ""
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One fault in a document. `rule` names its kind in words, e.g. unknown-key."""

    place: Place
    rule: str
    wrong: str            # what is wrong
    allowed: str          # nearest known word or allowed values; may be empty
    remedy: str           # what to do
    level: Literal["error", "warning"] = "error"

    def __str__(self) -> str:
        said = [part for part in (self.wrong, self.allowed, self.remedy) if part]
        return f"{self.place}: {'; '.join(said)}"


class DocumentError(Exception):
    """A document cannot be used; `problems` has every fault found, in the author's order."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(str(problem) for problem in self.problems))
