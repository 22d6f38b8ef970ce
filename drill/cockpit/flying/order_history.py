"""The lines that a pilot has entered, kept from one start to the next, and the way up and down through them."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from drill.clean import clean_line

MOST_LINES = 500
_READ_AT_MOST = 2_000_000
"""Bytes: 500 lines of the longest kind, with the growth since the file was last trimmed."""


def history_path() -> Path:
    """Return the file that the lines are kept in."""
    import platformdirs  # not needed by whoever names a file

    return platformdirs.user_state_path("drill", appauthor=False) / "orders.txt"


class OrderHistory:
    """Earlier lines, oldest first, and where among them the pilot is. `path` None: kept only while the program runs.

    A file that cannot be read or written is done without.
    """

    def __init__(self, path: Path | None = None) -> None:
        self._path = path
        self._lines = _read(path)
        self._at = len(self._lines)
        self._draft = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines, oldest first."""
        return tuple(self._lines)

    def add(self, line: str) -> None:
        """Keep `line` as the newest; one that repeats the newest is not kept twice."""
        line = clean_line(line)
        if line and (not self._lines or self._lines[-1] != line):
            self._lines.append(line)
            del self._lines[:-MOST_LINES]
            self._append(line)
        self._at = len(self._lines)
        self._draft = ""

    def older(self, now: str) -> str:
        """Return the line before the one shown; `now`, what stands in the order line, is kept as the draft."""
        if self._at == len(self._lines):
            self._draft = now
        if self._at == 0:
            return now
        self._at -= 1
        return self._lines[self._at]

    def newer(self, now: str) -> str:
        """Return the line after the one shown, at last the draft."""
        if self._at == len(self._lines):
            return now
        self._at += 1
        return self._draft if self._at == len(self._lines) else self._lines[self._at]

    def _append(self, line: str) -> None:
        if self._path is None:
            return
        with suppress(OSError):
            self._path.parent.mkdir(parents=True, exist_ok=True)
            if self._path.exists() and not self._path.is_file():
                return
            descriptor = os.open(self._path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
            with os.fdopen(descriptor, "a", encoding="utf-8") as file:
                file.write(line + "\n")


def _read(path: Path | None) -> list[str]:
    if path is None or not path.is_file():    # to open a pipe could wait for ever
        return []
    with suppress(OSError):
        with path.open("rb") as file:
            file.seek(0, os.SEEK_END)
            size = file.tell()
            file.seek(max(0, size - _READ_AT_MOST))
            text = file.read().decode("utf-8", "replace")
        lines = [kept for each in text.split("\n") if (kept := clean_line(each))]
        kept_lines = lines[-MOST_LINES:]
        if len(lines) > 2 * MOST_LINES or size > _READ_AT_MOST:
            whole = path.with_suffix(".new")
            whole.touch(0o600)
            whole.write_text("".join(f"{each}\n" for each in kept_lines), encoding="utf-8")
            whole.replace(path)
        return [*kept_lines]
    return []
