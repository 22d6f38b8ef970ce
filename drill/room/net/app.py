"""The room's server: pages and sockets for phones and walls, in the loop of whoever shows the facilitator's screen.

`serve(host, key=...)` begins it and returns at once; `Running` says where it is, and ends it.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from aiohttp import web

from drill.room.net.gate import gate, harden, words
from drill.room.net.hub import Hub
from drill.room.net.limits import LARGEST_FORM, Limits
from drill.room.net.phone_routes import PhoneRoutes
from drill.room.net.tokens import Tokens
from drill.room.net.wall_routes import WallRoutes
from drill.serving.address import Address, bound_address, bracketed, is_everywhere, network_number
from drill.serving.door import FEWEST_OPEN, OWN_DESCRIPTORS, Door, most_files
from drill.serving.faults import Faults

if TYPE_CHECKING:
    from aiohttp.typedefs import Handler

    from drill.room.host import Host

EVERYWHERE = "0.0.0.0"  # noqa: S104 - what a room with phones is for
PORT = 8490
BACKLOG = 1_024
WALL_EVERY_S = 5.0
"""The plan of the evening runs on the wall while nothing happens."""

WALL_GAP_S = 0.2
"""A wall is drawn anew at most so often: a count of votes that runs up faster than that cannot be read."""


@dataclass(slots=True)
class Running:
    """A room that listens: its port, the page that phones open ("" without phones), and the wall's page."""

    port: int
    phones_url: str
    wall_url: str
    _end: Callable[[], asyncio.Future[None]]

    async def close(self) -> None:
        """Close every page and stop listening; the host goes on."""
        await self._end()


async def serve(host: Host, *, key: str, listen: str = EVERYWHERE, port: int = PORT, phones: bool = True,
                limits: Limits | None = None, say: Callable[[str], None] = lambda _line: None) -> Running:
    """Serve the pages of `host` at the address `listen`; port 0 takes a free one.

    `key` signs the phones' tokens (`keys.key_beside`). `say` is given lines about faults, for who runs this. OSError or
    UnicodeError if it cannot listen there.
    """
    room = _Room(host, key, limits or Limits(), say, phones=phones)
    return await room.open(listen, port)


class _Room:
    def __init__(self, host: Host, key: str, limits: Limits, say: Callable[[str], None], *, phones: bool) -> None:
        self._host = host
        self._limits = limits
        self._faults = Faults(say)
        self._tokens = Tokens(key, host.evening.number)
        self._address = Address(frozenset(), 0)
        self._phones_hub = Hub(host.phones_changed)
        self._walls_hub = Hub(host.changed, WALL_GAP_S, WALL_EVERY_S)
        self._phones = PhoneRoutes(host, self._tokens, limits, self._phones_hub, self._seated) if phones else None
        self._walls = WallRoutes(host, self._tokens, limits, self._walls_hub, self._seated,
                                 self._faults.heard)
        self._door: Door | None = None
        self._runner: web.AppRunner | None = None
        self._listening: asyncio.Server | None = None

    async def open(self, listen: str, port: int) -> Running:
        limits = self._limits
        app = web.Application(middlewares=[self._asked, gate(lambda: self._address, limits)],
                              client_max_size=LARGEST_FORM)
        if self._phones is not None:
            self._phones.add_to(app)
        self._walls.add_to(app)
        app.router.add_route("*", "/{elsewhere:.*}", _nowhere)
        app.on_response_prepare.append(harden)
        self._runner = web.AppRunner(app, access_log=None, logger=self._faults.logger(), handle_signals=False,
                                     shutdown_timeout=1.0)
        await self._runner.setup()
        try:
            self._door = Door(_inner(self._runner), most=self._door_for(), each=limits.door_an_address,
                              makes_room=True, patience_s=limits.sends_s)
            self._listening = await asyncio.get_running_loop().create_server(self._door, listen, port, backlog=BACKLOG)
        except BaseException:
            await self._runner.cleanup()
            raise
        bound = [(str(each[0]), int(each[1])) for each in (own.getsockname() for own in self._listening.sockets)]
        self._address = bound_address(listen, bound)
        self._phones_hub.begin(self._host.phones_version)
        self._walls_hub.begin(self._host.version)
        self._walls.begin()
        at = f"http://{bracketed(network_number() if is_everywhere(listen) else listen)}:{self._address.port}"
        phones_url = f"{at}/{self._host.evening.number}" if self._phones is not None else ""
        self._walls.phones_url = phones_url
        return Running(self._address.port, phones_url, f"{at}/wall?key={self._tokens.wall}", self._end)

    def _door_for(self) -> int:
        """Return how many may stand in the door; where descriptors are few, door and sockets share them."""
        limits = self._limits
        own = OWN_DESCRIPTORS + limits.walls
        files = most_files(own + limits.sockets + limits.door) - own
        door = min(limits.door, max(FEWEST_OPEN, files // 4))
        if self._phones is not None:
            self._phones.bound(min(limits.sockets, files - door))
        return door

    def _end(self) -> asyncio.Future[None]:
        return asyncio.ensure_future(self._close())

    async def _close(self) -> None:
        if self._listening is not None:
            self._listening.close()
        await self._phones_hub.end()
        await self._walls_hub.end()
        await self._walls.close()
        if self._phones is not None:
            await self._phones.close()
        if self._runner is not None:
            await self._runner.cleanup()

    def _seated(self, request: web.Request) -> None:
        if self._door is not None:
            self._door.seated(request.transport)

    @web.middleware
    async def _asked(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        if self._door is not None:
            self._door.asked(request.transport)
        return await handler(request)


def _inner(runner: web.AppRunner) -> Callable[[], asyncio.Protocol]:
    if runner.server is None:
        raise RuntimeError("the pages were not set up")
    return runner.server


async def _nowhere(_request: web.Request) -> web.StreamResponse:
    return words(404, "Nothing here", "There is no such page. Open the address that stands on the wall.", "/")
