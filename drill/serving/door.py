"""The door before the pages: how many connections stand in it, and how long one may stand there.

A connection has ten seconds to ask for something and a minute to take the answer; one that has become a visitor's
socket is through the door, and the seats bound those. So nobody can use up the descriptors that the visitors need by
connecting and saying nothing. Everything else is the wrapped protocol's.
"""

from __future__ import annotations

import asyncio
import contextlib
import resource
import sys
from collections import Counter
from collections.abc import Callable
from typing import cast

ASKS_S = 10.0
TAKES_S = 60.0
MOST_OPEN = 128
MOST_EACH = 48
"""Connections in the door, in all and from one address; a page opens six or seven, and closes them."""

OWN_DESCRIPTORS = 64
SEAT_DESCRIPTORS = 8    # of a process: three pipes, the socket, the process, and some while it is started
FEWEST_OPEN = 8


def room_for(most: int) -> int:
    """Raise the limit of open files so that `most` cockpits have theirs; return how many may stand in the door."""
    seats = OWN_DESCRIPTORS + SEAT_DESCRIPTORS * most
    return max(FEWEST_OPEN, min(MOST_OPEN, most_files(seats + MOST_OPEN) - seats))


def most_files(wanted: int) -> int:
    """Raise the limit of open files to `wanted` if it is lower and may be raised; return what it is then."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if soft != resource.RLIM_INFINITY and soft < wanted:
        soft = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        with contextlib.suppress(ValueError, OSError):    # the system allows fewer than it says
            resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))
        soft = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    return sys.maxsize if soft == resource.RLIM_INFINITY else soft


class Door:
    """Makes the protocols of a server: `inner` makes those that know what is asked, each stands in a `Doorway`.

    A door that `makes_room` closes, when it is full, the connection that has said nothing for longest: where a whole
    room may stand behind one address, those who say nothing must not keep out those who ask. With `patience_s` a
    connection, seated or not, ends that takes nothing of what is sent for so long.
    """

    def __init__(self, inner: Callable[[], asyncio.Protocol], *, most: int = MOST_OPEN, each: int = MOST_EACH,
                 makes_room: bool = False, patience_s: float | None = None) -> None:
        self._inner = inner
        self._most = most
        self._each = each
        self._makes_room = makes_room
        self.patience_s = patience_s
        self._standing: dict[asyncio.BaseTransport, Doorway] = {}
        self._silent: dict[asyncio.BaseTransport, None] = {}    # in the order in which they came
        self._from: Counter[str] = Counter()

    def __call__(self) -> asyncio.Protocol:
        """Return the protocol of a new connection."""
        return Doorway(self, self._inner())

    def comes(self, transport: asyncio.BaseTransport, doorway: Doorway) -> bool:
        """Let a connection stand in the door; return whether there is room for it."""
        address = _address(transport)
        if self._is_full(address):
            if not self._makes_room or (longest := next(iter(self._silent), None)) is None:
                return False
            self.goes(longest)
            cast(asyncio.Transport, longest).abort()
            if self._is_full(address):
                return False
        self._standing[transport] = doorway
        self._silent[transport] = None
        self._from[address] += 1
        return True

    def goes(self, transport: asyncio.BaseTransport) -> None:
        """Count a connection no more: it is closed, or has a seat."""
        self._silent.pop(transport, None)
        if self._standing.pop(transport, None) is not None:
            address = _address(transport)
            self._from[address] -= 1
            self._from += Counter()    # forget the addresses of which none is left

    def asked(self, transport: asyncio.BaseTransport | None) -> None:
        """A whole request has come: from now on there is time to take the answer."""
        if transport is not None and (doorway := self._standing.get(transport)) is not None:
            self._silent.pop(transport, None)
            doorway.wait(TAKES_S)

    def _is_full(self, address: str) -> bool:
        return len(self._standing) >= self._most or self._from[address] >= self._each

    def seated(self, transport: asyncio.BaseTransport | None) -> None:
        """The connection is a visitor's socket from now on."""
        if transport is not None and (doorway := self._standing.get(transport)) is not None:
            doorway.wait(None)
            self.goes(transport)


class Doorway(asyncio.Protocol):
    """One connection: closed when it takes too long, otherwise what `inner` makes of it."""

    def __init__(self, door: Door, inner: asyncio.Protocol) -> None:
        self._door = door
        self._inner = inner
        self._transport: asyncio.Transport | None = None
        self._ends: asyncio.TimerHandle | None = None
        self._slow: asyncio.TimerHandle | None = None
        self._let_in = False

    def wait(self, seconds: float | None) -> None:
        """Close the connection after so many seconds; never by the clock if None."""
        if self._ends is not None:
            self._ends.cancel()
            self._ends = None
        if seconds is not None and self._transport is not None:
            self._ends = asyncio.get_running_loop().call_later(seconds, self._transport.abort)

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Let the connection in, or close it."""
        self._transport = cast(asyncio.Transport, transport)
        self._let_in = self._door.comes(transport, self)
        if not self._let_in:
            self._transport.abort()
            return
        self.wait(ASKS_S)
        self._inner.connection_made(transport)

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget the connection."""
        self.wait(None)
        self._keeps_up()
        if self._let_in and self._transport is not None:
            self._door.goes(self._transport)
            self._inner.connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Pass on what has come."""
        if self._let_in:
            self._inner.data_received(data)

    def eof_received(self) -> bool | None:
        """Pass on that no more comes."""
        return self._inner.eof_received() if self._let_in else None

    def pause_writing(self) -> None:
        """Pass on that the other side does not keep up; end the connection if that lasts."""
        if self._door.patience_s is not None and self._slow is None and self._transport is not None:
            self._slow = asyncio.get_running_loop().call_later(self._door.patience_s, self._transport.abort)
        self._inner.pause_writing()

    def resume_writing(self) -> None:
        """Pass on that the other side has kept up."""
        self._keeps_up()
        self._inner.resume_writing()

    def _keeps_up(self) -> None:
        if self._slow is not None:
            self._slow.cancel()
            self._slow = None


def _address(transport: asyncio.BaseTransport) -> str:
    peer = transport.get_extra_info("peername")
    return str(peer[0]) if peer else ""
