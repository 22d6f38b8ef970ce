"""Who flies: anything that, shown the panel and what was heard, gives lines or actions."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from drill.airplane.panel import Panel
from drill.clean import clean_line
from drill.flight.events import Event
from drill.flight.flight import Flight
from drill.language.meaning import Action

MOST_SCRIPT_BYTES = 256 * 1024
_LINE = re.compile(r"(\d{1,3}):([0-5]\d)(?:\.(\d))?\s+(.+)")


class Pilot(Protocol):
    """Someone who flies. `next` gives what is typed or done now, by what is shown and was heard since last asked."""

    def next(self, shown: Panel, heard: Sequence[Event], t: float) -> Sequence[str | Action]:
        """Return lines to type and actions to do at flight time `t`, in order."""
        ...


class ScriptError(Exception):
    """A script cannot be used; the message has file, line, what is wrong and how to write it."""


class LinesPilot:
    """Says given words at given times: (flight time in seconds, words), in order of time."""

    def __init__(self, lines: Sequence[tuple[float, str]]) -> None:
        self.lines = tuple(lines)
        self._next = 0

    def next(self, shown: Panel, heard: Sequence[Event], t: float) -> list[str]:  # noqa: ARG002 - it does not look
        """Return the words whose time has come."""
        said: list[str] = []
        while self._next < len(self.lines) and self.lines[self._next][0] <= t + 1e-9:
            said.append(self.lines[self._next][1])
            self._next += 1
        return said


class ScriptPilot(LinesPilot):
    """Says the lines of a script file: `M:SS words`, one a line; `#` begins a comment line."""

    @classmethod
    def read(cls, path: Path) -> ScriptPilot:
        """Return the pilot of the script in the file. ScriptError if it is no script, OSError if it cannot be read."""
        with Path(path).open("rb") as file:
            data = file.read(MOST_SCRIPT_BYTES + 1)
        if len(data) > MOST_SCRIPT_BYTES:
            raise ScriptError(f"{path}: more than {MOST_SCRIPT_BYTES // 1024} kB; no flight needs so many lines")
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = data[: error.start].count(b"\n") + 1
            raise ScriptError(f"{path}:{line}: not UTF-8 text; save the script as UTF-8") from None
        return cls.parse(text, str(path))

    @classmethod
    def parse(cls, text: str, file_name: str = "script") -> ScriptPilot:
        """Return the pilot of the script `text`. ScriptError names the line at fault."""
        lines: list[tuple[float, str]] = []
        for number, raw in enumerate(text.split("\n"), 1):
            words = clean_line(raw)
            if not words or words.startswith("#"):
                continue
            found = _LINE.fullmatch(words)
            if found is None:
                raise ScriptError(f"{file_name}:{number}: no time and words; write `M:SS words`, for example "
                                  "`4:30 look at the suction gauge`")
            minutes, seconds, tenth, said = found.groups()
            t = int(minutes) * 60 + int(seconds) + int(tenth or 0) / 10
            if lines and t < lines[-1][0]:
                raise ScriptError(f"{file_name}:{number}: this time is before the line above; put the lines in order")
            lines.append((t, said))
        return cls(lines)


@dataclass(frozen=True, slots=True)
class Flown:
    """What came of a flight flown by a pilot."""

    events: tuple[Event, ...]
    ended: bool


def fly(flight: Flight, pilot: Pilot, *, until_s: float | None = None, look_every_s: float = 1.0,
        keep: Callable[[Sequence[Event]], None] | None = None) -> Flown:
    """Fly to the ending (or to `until_s`), asking the pilot every `look_every_s` seconds.

    `keep` gets the events as they come, e.g. to record them.
    """
    events: list[Event] = []

    def took(new: list[Event]) -> None:
        events.extend(new)
        if keep is not None and new:
            keep(new)

    limit = flight.scenario.time_limit_s + 60.0 if until_s is None else until_s
    looked = 0
    while flight.ended is None:
        now = events[looked:]
        looked = len(events)
        for each in pilot.next(flight.panel, now, flight.t_s):
            took(flight.enter(each) if isinstance(each, str) else flight.act(each))
        if flight.t_s >= limit - 1e-9:
            break
        took(flight.advance(min(look_every_s, limit - flight.t_s)))
    return Flown(tuple(events), flight.ended is not None)
