"""The server behind `drill serve`: pages, sockets, and a limited number of seats, all emptied when it ends."""

from __future__ import annotations

import asyncio
import contextlib
import importlib.util
import os
import secrets
import signal
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from aiohttp import web

from drill.cockpit.serve.gate import TOKEN, gate, harden, name_pilot, pilot_of
from drill.cockpit.serve.pages import WEB, cockpit_page, words_page
from drill.cockpit.serve.visit import LARGEST_MESSAGE, Close, Visit, environment_for
from drill.serving.address import Address, bound_address, bracketed, is_everywhere, is_loopback, network_number
from drill.serving.door import TAKES_S, Door, room_for
from drill.serving.faults import Faults

if TYPE_CHECKING:
    from aiohttp.typedefs import Handler

HEARTBEAT_S = 15.0
"""A browser that does not answer for about one and a half of these is gone."""

FREED_S = 4.0
"""How long a visitor waits for a seat: who reloads the page has just left one."""

EMPTIED_S = 9.0
STATIC = "/terminal"
OWN = "/web"


class House:
    """The server: its address, its token, its seats.

    `start` is the command of a cockpit for who opens the first page, `board` for who asks for the list of scenarios.
    """

    def __init__(self, say: Callable[[str], None], *, start: Sequence[str], board: Sequence[str], most: int) -> None:
        self._outside = say
        self._commands = {"start": tuple(start), "board": tuple(board)}
        self._most = most
        self._free = asyncio.Semaphore(most)
        self._visits: set[Visit] = set()
        self._flights: set[asyncio.Task[None]] = set()
        self._ending = False
        self._door: Door | None = None
        self.token = secrets.token_urlsafe()
        self.address = Address(frozenset(), 0)

    @property
    def pids(self) -> list[int]:
        """The processes of the cockpits at present."""
        return [visit.pid for visit in self._visits]

    def application(self) -> web.Application:
        """Return the application; set `address` once it listens."""
        app = web.Application(middlewares=[self._asked, gate(lambda: self.address, self.token)])
        app.router.add_get("/", self._page)
        app.router.add_get("/board", self._page)
        app.router.add_get("/socket/{start}", self._socket)
        app.router.add_static(OWN, WEB)
        app.router.add_static(STATIC, _terminal_files())
        app.router.add_get("/{elsewhere:.*}", _nowhere)
        app.on_response_prepare.append(harden)
        app.on_shutdown.append(self._empty)
        return app

    async def open(self, host: str, port: int) -> int:
        """Listen, say where, and serve until a signal ends it; return its number. OSError if it cannot listen there."""
        loop = asyncio.get_running_loop()
        ends: asyncio.Future[int] = loop.create_future()
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT):
            if signal.getsignal(number) is not signal.SIG_IGN:    # nohup
                loop.add_signal_handler(number, _end, ends, number)
        faults = Faults(self._say)
        loop.set_exception_handler(faults.in_loop)
        runner = web.AppRunner(self.application(), access_log=None, logger=faults.logger(), handle_signals=False,
                               shutdown_timeout=2.0)
        await runner.setup()
        listening: asyncio.Server | None = None
        try:
            if runner.server is None:
                raise RuntimeError("the pages were not set up")
            self._door = Door(runner.server, most=room_for(self._most), patience_s=TAKES_S)
            listening = await loop.create_server(self._door, host, port, backlog=128)
            bound = [(str(each[0]), int(each[1])) for each in (own.getsockname() for own in listening.sockets)]
            self.address = bound_address(host, bound)
            for line in opening_words(host, self.address.port, self.token, self._most):
                self._say(line)
            ended_by = await ends
            self._say("Ending; every record is kept.")
            return ended_by
        finally:
            if listening is not None:
                listening.close()
            await runner.cleanup()

    def _say(self, words: str) -> None:
        with contextlib.suppress(OSError):    # nobody reads it any more; who flies goes on
            self._outside(words)

    @web.middleware
    async def _asked(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        if self._door is not None:
            self._door.asked(request.transport)
        return await handler(request)

    async def _page(self, request: web.Request) -> web.StreamResponse:
        if request.query_string:    # what a terminal's script would take from there, it shall not
            raise web.HTTPFound(request.path)
        if not await self._seat_comes_free():
            return _full(self._most)
        self._free.release()
        start = "board" if request.path == "/board" else "start"
        page = cockpit_page(f"ws://{request.host}/socket/{start}")
        name_pilot(request, page)
        return page

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        start = request.match_info["start"]
        if start not in self._commands or "Upgrade" not in request.headers:
            return await _nowhere(request)
        socket = web.WebSocketResponse(heartbeat=HEARTBEAT_S, max_msg_size=LARGEST_MESSAGE)
        if not await self._seat_comes_free():
            await socket.prepare(request)
            await socket.close(code=Close.FULL)
            return socket
        try:
            await socket.prepare(request)
        except BaseException:
            self._free.release()
            raise
        size = _cells(request, "width", 80), _cells(request, "height", 24)
        if self._door is not None:
            self._door.seated(request.transport)
        environment = environment_for(os.environ, pilot_of(request))
        flight = asyncio.create_task(self._fly(socket, self._commands[start], environment, *size))
        self._flights.add(flight)
        flight.add_done_callback(self._flights.discard)
        await asyncio.shield(flight)    # the request may be canceled; what tidies up after it must not be
        return socket

    async def _fly(self, socket: web.WebSocketResponse, command: Sequence[str], environment: Mapping[str, str],
                   width: int, height: int) -> None:
        code = Close.STOPPED
        try:
            if not self._ending:
                code = await self._sit(socket, command, environment, width, height)
        finally:
            self._free.release()
            await socket.close(code=code)

    async def _sit(self, socket: web.WebSocketResponse, command: Sequence[str], environment: Mapping[str, str],
                   width: int, height: int) -> Close:
        try:
            visit = await Visit.begin(command, environment, width, height)
        except OSError as error:
            self._say(f"A cockpit could not be started: {error.strerror or error}")
            return Close.FAULT
        self._visits.add(visit)
        try:
            if self._ending:
                visit.stop()
            code = await visit.serve(socket)
            if code not in (Close.GONE, Close.ENDED):
                await socket.close(code=code)    # the page says it now, and not when the process is gone
        finally:
            await visit.leave()
            self._visits.discard(visit)
        if code is Close.ENDED and visit.failed:
            code = Close.FAULT
        if code is Close.FAULT:
            self._say(f"A cockpit ended by a fault: {visit.last_words or 'it said nothing'}")
        return code

    async def _seat_comes_free(self) -> bool:
        try:
            await asyncio.wait_for(self._free.acquire(), FREED_S)
        except TimeoutError:
            return False
        return True

    async def _empty(self, _app: web.Application) -> None:
        self._ending = True
        for visit in self._visits:
            visit.stop()
        if self._flights:
            await asyncio.wait(set(self._flights), timeout=EMPTIED_S)


def opening_words(host: str, port: int, token: str, most: int) -> list[str]:
    """Return what is said to the one who runs the server: where it is, and what that means."""
    key = f"/?{TOKEN}={token}"
    if is_loopback(host):
        return [
            "The cockpit is served to browsers on this machine only. Open:",
            f"  http://{bracketed(host)}:{port}{key}",
            "Another program on this machine needs the address with its token too. Ctrl+C ends it.",
        ]
    hosts = [network_number(), "127.0.0.1"] if is_everywhere(host) else [host]
    return [
        "The cockpit is served to the network. That means:",
        "  - anyone on the network who has the address with its token can fly here, on this machine's power;",
        "  - each browser sees its own flights alone; their records are all kept here, in your folder of flights;",
        "  - nothing is encrypted: who listens on the network can read along, the token too. Not for the internet.",
        f"At most {most} cockpits at a time. Open:",
        *(f"  http://{bracketed(each)}:{port}{key}" for each in hosts),
        "Ctrl+C ends it.",
    ]


def _end(ends: asyncio.Future[int], number: int) -> None:
    if not ends.done():    # a second signal while it ends
        ends.set_result(number)


def _terminal_files() -> Path:
    """Return the folder of the terminal's script, style and font."""
    spec = importlib.util.find_spec("textual_serve")
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError("textual_serve")
    return Path(spec.origin).parent / "static"


def _cells(request: web.Request, name: str, default: int) -> int:
    given = request.query.get(name, "")
    return int(given) if given.isascii() and given.isdigit() and len(given) < 5 else default


def _full(most: int) -> web.StreamResponse:
    return words_page(503, "Every seat is taken", f"{most} cockpits are flying here, and there are no more. "
                                                  "Wait until somebody leaves, then load this page again.")


async def _nowhere(_request: web.Request) -> web.StreamResponse:
    return words_page(404, "Nothing here", "There is no such page. The cockpit is at the first page.")
