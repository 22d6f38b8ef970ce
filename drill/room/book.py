"""The evening and its journal: whatever changes the evening happens here, and is on disk before anybody is told."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from drill.room.commands import Refusal
from drill.room.evening import Evening, apply, with_votes
from drill.room.events import Event, Voted
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
        self._votes: list[tuple[Voted, asyncio.Future[None]]] = []      # allowed, and not applied yet
        self._changes = asyncio.Event()
        self._phone_changes = asyncio.Event()

    @property
    def path(self) -> Path:
        """Where the record is."""
        return self._journal.path

    def stamp(self) -> str:
        """Return the time on the wall as an event has it."""
        return iso(self._clock())

    def now(self) -> datetime:
        """Return the time on the wall."""
        return self._clock()

    async def happened(self, *events: Event, then: T, phones: bool = True) -> T | Refusal:
        """Let `events` happen, all of them at once, and return `then` once they are on disk, and all before them.

        `phones`: a phone could see it. A Refusal if the disk takes no more. OutOfPlace for an event that cannot be.
        """
        self._take_votes()
        written = self._apply(events)
        if written is not None:
            self.seen_change(phones=phones)
        return await self._kept(self._journal.settled() if written is None else written, then)

    async def voted(self, event: Voted, then: T) -> T | Refusal:
        """Let a vote happen that the evening allows now; as `happened`, but votes of one turn of the loop together.

        So a thousand votes cost a thousand lines of the record, but few evenings.
        """
        loop = asyncio.get_running_loop()
        if not self._votes:
            loop.call_soon(self._take_votes)
        written: asyncio.Future[None] = loop.create_future()
        self._votes.append((event, written))
        return await self._kept(written, then)

    async def _kept(self, written: Awaitable[None], then: T) -> T | Refusal:
        try:
            await written
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
        self._take_votes()
        await self._journal.close()

    def _take_votes(self) -> None:
        """Apply the votes that wait, and put them to the journal."""
        if not self._votes:
            return
        waiting, self._votes = self._votes, []
        at, n = self.stamp(), self.evening.n
        votes = [replace(event, at=at) for event, _ in waiting]
        evening = with_votes(self.evening, votes)
        lines = b"".join(line_of(event, n + place) for place, event in enumerate(votes, 1))
        written = self._journal.put(lines, evening)
        if not written.done():
            self.evening = evening
            self.seen_change(phones=False)
        written.add_done_callback(lambda done: _tell([each for _, each in waiting], done.exception()))

    def _apply(self, events: tuple[Event, ...]) -> asyncio.Future[None] | None:
        """Apply `events` and put them to the journal; the future is done once they are on disk. None: no events."""
        at = self.stamp()
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
        """Be again what is on disk; votes that wait were allowed by what is not."""
        self.evening = self._journal.kept
        waiting, self._votes = self._votes, []
        _tell([each for _, each in waiting], KeepingError(f"{self.path}: the vote could not be written; vote again"))
        self.seen_change(phones=True)


def _tell(waiting: list[asyncio.Future[None]], error: BaseException | None) -> None:
    for future in waiting:
        if future.done():      # who waited has gone
            continue
        if error is None:
            future.set_result(None)
        else:
            future.set_exception(error)
