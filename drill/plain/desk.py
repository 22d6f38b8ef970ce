"""Where a command writes, and how it says that the user has to put something right."""

from __future__ import annotations

from pathlib import Path

from drill.plain.out import Out


class Mistake(Exception):  # noqa: N818 - the user's, not the program's
    """Something that the user can put right, in one line or, for a document with several faults, one line each."""

    def __init__(self, *lines: str) -> None:
        self.lines = lines
        super().__init__("\n".join(lines))


class Desk:
    """Where a command writes words and errors.

    `records` are those it has begun, for a last word to the user; `flying` is true while a flight lasts that nobody
    has ended or left.
    """

    def __init__(self, out: Out, err: Out) -> None:
        self.out = out
        self.err = err
        self.records: list[Path] = []
        self.flying = False
