"""A thousand simulated phones against a room, or a bare server that only acknowledges; each a process of its own.

`python tests/bench/room_load.py bare` and `... room FOLDER PHONES` serve and say their port in a line; `... screen
FOLDER PHONES PIPE` does with the facilitator's screen in the same loop, on a terminal of its own. `Phones` vote.
"""

from __future__ import annotations

import asyncio
import fcntl
import json
import os
import pty
import resource
import statistics
import struct
import sys
import termios
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from aiohttp import ClientSession, ClientWebSocketResponse, TCPConnector, WSMsgType, web

from drill.room import commands as c
from drill.room.net.limits import Limits, Rate
from drill.room.net.phone_routes import COOKIE
from drill.room.net.tokens import Tokens
from drill.room.net.wall_routes import COOKIE as WALL_COOKIE

KEY = "a key for the benchmark, forty letters long"
NUMBER = "4711"
WITHOUT = Limits(messages=Rate(1e9, 1e9), asked=Rate(1e9, 1e9))
"""Nobody votes as fast as a benchmark; the budget of a phone is not what is measured."""

STARTS_S = 60.0
FIRST_PAINT = 2_000
"""Bytes that a screen has sent once it is there."""


def phone(number: int) -> str:
    """Return the id of a simulated phone."""
    return f"{number:020x}"


def many_files() -> None:
    """Let this process have as many sockets open as the system gives."""
    hard = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    most = 65_536 if hard == resource.RLIM_INFINITY else min(hard, 65_536)
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))


async def serve_bare() -> None:
    """Acknowledge each vote, keep the last one of each phone in memory, and do nothing else."""
    tally: dict[str, str] = {}

    async def acknowledge(request: web.Request) -> web.WebSocketResponse:
        socket = web.WebSocketResponse(compress=False)
        await socket.prepare(request)
        async for message in socket:
            if message.type is WSMsgType.TEXT:
                said = json.loads(message.data)
                tally[said["n"]] = said["answer"]
                await socket.send_str(json.dumps({"ack": said["n"], "ok": True, "says": ""}))
        return socket

    app = web.Application()
    app.router.add_get("/socket", acknowledge)
    runner = web.AppRunner(app)
    await runner.setup()
    site = web.TCPSite(runner, "127.0.0.1", 0, backlog=4_096)
    await site.start()
    print(runner.addresses[0][1], flush=True)
    await asyncio.Event().wait()


async def serve_room(folder: Path, phones: int, tell: int | None = None) -> None:
    """Serve an evening into which so many phones have come, with its first poll open.

    `tell`: where the port is said if the streams are a terminal, on which the facilitator's screen is shown then.
    """
    from drill.room.host import Host
    from drill.room.long_lived import set_aside
    from drill.room.net.app import serve
    from drill.scenario import find, load

    host = Host.begin(load(find("cruise-to-tallowby")), 1, folder / "evening.jsonl", number=NUMBER)
    await asyncio.gather(*(host.join(phone(each), f"Pilot {each}", f"{each % 12}") for each in range(phones)))
    await host.command(c.Brief())
    await host.command(c.OpenPoll())
    running = await serve(host, key=KEY, listen="127.0.0.1", port=0, limits=WITHOUT)
    set_aside()         # as `drill.room.running` does
    if tell is None:
        print(running.port, flush=True)
        await asyncio.Event().wait()
    else:
        from drill.room.screen import facilitate

        os.write(tell, f"{running.port}\n".encode())
        await facilitate(host, running)


@asynccontextmanager
async def served(*arguments: str) -> AsyncIterator[tuple[int, asyncio.subprocess.Process]]:
    """Serve in a process of its own; gives its port."""
    process = await asyncio.create_subprocess_exec(
        sys.executable, str(Path(__file__)), *arguments, stdout=asyncio.subprocess.PIPE)
    try:
        if process.stdout is None:
            raise RuntimeError("a pipe was asked for")
        yield int(await asyncio.wait_for(process.stdout.readline(), STARTS_S)), process
    finally:
        with suppress(ProcessLookupError):
            process.kill()
        await process.wait()


@asynccontextmanager
async def served_with_screen(*arguments: str, columns: int = 120, rows: int = 40) -> AsyncIterator[tuple[int, Painted]]:
    """Serve in a process of its own on a terminal of its own; gives its port, and what the screen has sent."""
    terminal, inside = pty.openpty()
    fcntl.ioctl(inside, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    hears, tells = os.pipe()
    process = await asyncio.create_subprocess_exec(
        sys.executable, str(Path(__file__)), "screen", *arguments, str(tells), stdin=inside, stdout=inside,
        stderr=inside, pass_fds=(tells,), env={**os.environ, "TERM": "xterm-256color", "LANG": "C.UTF-8"})
    os.close(inside)
    os.close(tells)
    painted, loop = Painted(), asyncio.get_running_loop()
    loop.add_reader(terminal, painted.take, terminal)
    try:
        port = await asyncio.wait_for(asyncio.to_thread(os.read, hears, 64), STARTS_S)
        async with asyncio.timeout(STARTS_S):
            while painted.bytes < FIRST_PAINT:
                await asyncio.sleep(0.05)
        yield int(port), painted
    finally:
        loop.remove_reader(terminal)
        with suppress(ProcessLookupError):
            process.kill()
        await process.wait()
        os.close(terminal)
        os.close(hears)


@dataclass(slots=True)
class Painted:
    """How many bytes a screen has sent, in how many pieces."""

    bytes: int = 0
    pieces: int = 0

    def take(self, terminal: int) -> None:
        """Read what is there."""
        with suppress(OSError):
            self.bytes += len(os.read(terminal, 1 << 16))
            self.pieces += 1


@asynccontextmanager
async def wall_looking_on(port: int) -> AsyncIterator[None]:
    """Let a wall look on meanwhile, as there is one in every room."""
    async with ClientSession() as session, session.ws_connect(f"http://127.0.0.1:{port}/wall/socket", headers={
            "Origin": f"http://127.0.0.1:{port}", "Cookie": f"{WALL_COOKIE}={Tokens(KEY, NUMBER).wall}"}) as socket:
        seen = asyncio.create_task(_drained(socket))
        yield
        seen.cancel()
        await asyncio.gather(seen, return_exceptions=True)


async def _drained(socket: ClientWebSocketResponse) -> None:
    async for _ in socket:
        pass


@dataclass(frozen=True, slots=True)
class Round:
    """What one round of votes took: votes a second, and the time to the acknowledgement in milliseconds."""

    a_second: float
    p50_ms: float
    p99_ms: float
    worst_ms: float


class Phones:
    """Simulated phones, each with a socket."""

    def __init__(self, sockets: list[ClientWebSocketResponse], poll: str) -> None:
        self._sockets = sockets
        self._poll = poll
        self._n = 0

    @classmethod
    @asynccontextmanager
    async def connected(cls, port: int, phones: int, poll: str = "p1") -> AsyncIterator[Phones]:
        """Connect so many phones, which are in the room already."""
        tokens = Tokens(KEY, NUMBER)
        async with ClientSession(connector=TCPConnector(limit=0)) as session:
            sockets: list[ClientWebSocketResponse] = []
            for first in range(0, phones, 100):
                sockets += await asyncio.gather(*(
                    session.ws_connect(f"http://127.0.0.1:{port}/socket", compress=0, headers={
                        "Origin": f"http://127.0.0.1:{port}", "Cookie": f"{COOKIE}={tokens.of_phone(phone(each))}"})
                    for each in range(first, min(first + 100, phones))))
            yield cls(sockets, poll)
            await asyncio.gather(*(each.close() for each in sockets), return_exceptions=True)

    async def vote(self, answer: Callable[[int, int], str], *, within_s: float, times: int = 1) -> Round:
        """Let every phone vote so many `times`, each vote once the one before is acknowledged; begun `within_s`."""
        took: list[float] = []
        start = time.perf_counter()

        async def one(number: int, socket: ClientWebSocketResponse) -> None:
            await asyncio.sleep(within_s * number / len(self._sockets))
            for turn in range(times):
                n = self._n + turn + 1
                begun = time.perf_counter()
                await socket.send_str(json.dumps(
                    {"n": n, "poll": self._poll, "answer": answer(number, turn), "words": "", "sure": None}))
                await acknowledged(socket, n)
                took.append((time.perf_counter() - begun) * 1_000)

        await asyncio.gather(*(one(number, socket) for number, socket in enumerate(self._sockets)))
        lasted = time.perf_counter() - start
        self._n += times
        took.sort()
        return Round(len(took) / lasted, statistics.median(took), took[int(0.99 * len(took))], took[-1])


async def acknowledged(socket: ClientWebSocketResponse, n: int) -> dict[str, Any]:
    """Return the acknowledgement of vote `n`; news in between are passed over. RuntimeError if it is none."""
    while True:
        message = await socket.receive()
        if message.type is not WSMsgType.TEXT:
            raise RuntimeError(f"the socket ended: {message}")
        said: dict[str, Any] = json.loads(message.data)
        if said.get("ack") == n:
            if not said["ok"]:
                raise RuntimeError(f"not counted: {said['says']}")
            return said


if __name__ == "__main__":
    many_files()
    match sys.argv[1:]:
        case ["bare"]:
            asyncio.run(serve_bare())
        case ["room", folder, phones]:
            asyncio.run(serve_room(Path(folder), int(phones)))
        case ["screen", folder, phones, pipe]:
            asyncio.run(serve_room(Path(folder), int(phones), int(pipe)))
