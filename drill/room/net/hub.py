"""Who is told that something has changed: one channel a page, bounded to a single "look again".

What a channel sends is how things stand when it sends, never what lay between; a page that takes its news slowly misses
some and holds up nobody. One that takes none for long is closed.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Protocol, TypeAlias

GAP_S = 0.05
"""Changes are told at once, and then not again for so long, unless a hub has another gap."""

Send: TypeAlias = Callable[[], Awaitable[None]]
Changed: TypeAlias = Callable[[int], Awaitable[int]]


class Ends(Protocol):
    """What can be ended at once, as a transport."""

    def abort(self) -> None:
        """End it."""


class Channel:
    """One page that is kept up to date by `send`; its `connection` is ended if it takes nothing for `patience_s`."""

    def __init__(self, send: Send, connection: Ends | None, patience_s: float) -> None:
        self._send = send
        self._connection = connection
        self._patience_s = patience_s
        self._due = asyncio.Event()

    def touch(self) -> None:
        """Something has changed: look again, when there is time."""
        self._due.set()

    async def run(self) -> None:
        """Keep the page up to date until it takes nothing for too long, or is gone."""
        while True:
            await self._due.wait()
            self._due.clear()
            try:
                async with asyncio.timeout(self._patience_s):
                    await self._send()
            except (TimeoutError, OSError, RuntimeError):    # RuntimeError: the socket is closing
                if self._connection is not None:
                    self._connection.abort()
                return


class Hub:
    """The channels of one kind of page, told of each change that `changed(since)` waits for.

    With `every_s` they are told after so long at the latest, for what changes with the clock alone.
    """

    def __init__(self, changed: Changed, gap_s: float = GAP_S, every_s: float | None = None) -> None:
        self._changed = changed
        self._gap_s = gap_s
        self._every_s = every_s
        self._channels: set[Channel] = set()
        self._task: asyncio.Task[None] | None = None

    @property
    def pages(self) -> int:
        """How many pages are kept up to date."""
        return len(self._channels)

    def begin(self, since: int) -> None:
        """Tell the channels of every change after version `since`, from now on."""
        self._task = asyncio.create_task(self._tell(since))

    async def end(self) -> None:
        """Tell them nothing more."""
        if self._task is not None:
            self._task.cancel()
            await asyncio.gather(self._task, return_exceptions=True)

    @contextmanager
    def joined(self, channel: Channel) -> Iterator[None]:
        """Keep a page up to date as long as this lasts; it is told how things stand at once."""
        self._channels.add(channel)
        running = asyncio.create_task(channel.run())
        channel.touch()
        try:
            yield
        finally:
            self._channels.discard(channel)
            running.cancel()

    def tell(self) -> None:
        """Tell all pages now to look again."""
        for channel in self._channels:
            channel.touch()

    async def _tell(self, since: int) -> None:
        while True:
            with suppress(TimeoutError):
                async with asyncio.timeout(self._every_s):
                    since = await self._changed(since)
            self.tell()
            await asyncio.sleep(self._gap_s)
