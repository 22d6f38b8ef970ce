"""The evening and its journal: whatever changes the evening happens here, and is on disk before anybody is told."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from drill.room.commands import Refusal
from drill.room.evening import Evening, apply
from drill.room.events import Event
from drill.room.keeping import Journal, KeepingError, line_of

T = TypeVar("T")
Clock = Callable[[], datetime]


def iso(moment: datetime) -> str:
    """Return a moment as the record has it."""
    return moment.isoformat(timespec="milliseconds")


class Book:
    """The evening, replaced with each event, and how often it has changed.

    `version` grows with every change that a wall or the facilitator could see, `phones_version` with those that a phone
    could: a vote of somebody else is none. `trouble` says in a sentence what could not be written; "" for nothing. If
    the disk takes no more, the evening is again what is on disk.
    """

    def __init__(self, evening: Evening, journal: Journal, clock: Clock) -> None:
        self.evening = evening
        self.version = 0
        self.phones_version = 0
        self.trouble = ""
        self._journal = journal
        self._journal.on_failure = self._fall_back
        self._clock = clock
        self._changes = asyncio.Event()
        self._phone_changes = asyncio.Event()

    @property
    def path(self) -> Path:
        """Where the record is."""
        return self._journal.path

    def now(self) -> datetime:
        """Return the time on the wall."""
        return self._clock()

    async def happened(self, *events: Event, then: T, phones: bool = True) -> T | Refusal:
        """Let `events` happen, all of them at once, and return `then` once they are on disk, and all before them.

        `phones`: a phone could see it. A Refusal if the disk takes no more. OutOfPlace for an event that cannot be.
        """
        try:
            written = self._apply(events)
            if written is not None:
                self.seen_change(phones=phones)
                await written
            else:
                await self._journal.settled()
        except KeepingError as error:
            self.trouble = str(error)
            return Refusal(str(error), "unwritten")
        self.trouble = ""
        return then

    def seen_change(self, *, phones: bool) -> None:
        """Let the walls, and the phones too, look again."""
        self.version += 1
        self._changes.set()
        self._changes = asyncio.Event()
        if phones:
            self.phones_version += 1
            self._phone_changes.set()
            self._phone_changes = asyncio.Event()

    async def changed(self, since: int) -> int:
        """Wait until `version` is beyond `since`; return it."""
        while self.version <= since:
            await self._changes.wait()
        return self.version

    async def phones_changed(self, since: int) -> int:
        """Wait until `phones_version` is beyond `since`; return it."""
        while self.phones_version <= since:
            await self._phone_changes.wait()
        return self.phones_version

    async def close(self) -> None:
        """Write what waits, and close the record."""
        await self._journal.close()

    def _apply(self, events: tuple[Event, ...]) -> asyncio.Future[None] | None:
        """Apply `events` and put them to the journal; the future is done once they are on disk. None: no events."""
        at = iso(self._clock())
        evening, lines = self.evening, []
        for event in events:
            dated = replace(event, at=at)
            evening = apply(evening, dated)
            lines.append(line_of(dated, evening.n))
        if not lines:
            return None
        written = self._journal.put(b"".join(lines), evening)
        if not written.done():      # else nothing can be written, and nothing has happened
            self.evening = evening
        return written

    def _fall_back(self) -> None:
        self.evening = self._journal.kept
        self.seen_change(phones=True)
