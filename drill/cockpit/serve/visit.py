"""One visitor's cockpit: a process of its own, its pipes, and the browser's socket.

The process speaks the packets of `textual.drivers.web_driver`: one byte (D data, M a JSON object, P packed), four bytes
of length, the payload. The browser sends JSON lists: what was typed, the size, focus, a ping. Of what an app may ask of
a browser only the end is passed on: no addresses to open and no files, for a flight needs neither.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
from asyncio.subprocess import PIPE, Process
from collections.abc import Mapping, Sequence
from enum import IntEnum
from pathlib import Path

from aiohttp import WSMsgType, web

import drill
from drill.clean import clean_line
from drill.cockpit.serve.mode import PILOT, SERVED
from drill.serving.budget import Budget

LARGEST_PACKET = 8 * 1024 * 1024    # bytes; a whole screen at 500 x 200 in all colours is far less
LARGEST_MESSAGE = 256 * 1024        # bytes from the browser; a paste
SENT_A_SECOND = 64 * 1024           # bytes from the browser in the long run; who types and drags sends a hundredth
SENT_AT_ONCE = LARGEST_MESSAGE + 64 * 1024
MESSAGE_COSTS = 64                  # bytes that each message counts beside its own, for the work it makes
PINGS_A_SECOND = 1.0
PINGS_AT_ONCE = 10
LARGEST_SIDE = 500                  # cells
LINES_BEFORE_READY = 50
TAIL = 2_000                        # bytes kept of what a process says on its error output
ASKED_S = 4.0                       # seconds to leave in good order
TOLD_S = 2.0                        # then seconds after SIGTERM
READY = b"__GANGLION__\n"


class Close(IntEnum):
    """Why a socket is closed, for the page to say in words; numbers from 4000 are the program's own."""

    ENDED = 4000      # the pilot left the cockpit
    FULL = 4001       # every seat is taken
    FAULT = 4002      # the process could not begin, or broke
    STOPPED = 4003    # the server is being stopped
    FLOOD = 4004      # the browser sent more than anybody types
    GONE = 1000       # the browser went away: nobody reads this


class Visit:
    """A cockpit for one browser."""

    def __init__(self, process: Process) -> None:
        if process.stdin is None or process.stdout is None or process.stderr is None:
            raise ValueError("a cockpit's process needs three pipes")
        self._process = process
        self._input = process.stdin
        self._output = process.stdout
        self._stopped = asyncio.Event()
        self._tail = b""
        self._errors = asyncio.create_task(self._keep_errors(process.stderr))

    @classmethod
    async def begin(cls, command: Sequence[str], environment: Mapping[str, str], width: int, height: int) -> Visit:
        """Start `command` for a terminal of `width` by `height` cells. OSError if it cannot be started."""
        size = {"COLUMNS": str(within(width)), "ROWS": str(within(height))}
        process = await asyncio.create_subprocess_exec(
            *command, stdin=PIPE, stdout=PIPE, stderr=PIPE, env={**environment, **size},
            start_new_session=True,    # Ctrl+C in the server's terminal is the server's to handle
        )
        return cls(process)

    @property
    def pid(self) -> int:
        """The number of the process."""
        return self._process.pid

    @property
    def failed(self) -> bool:
        """Whether the process has ended by itself with an error."""
        return (self._process.returncode or 0) > 0

    @property
    def last_words(self) -> str:
        """The last line that the process wrote to its error output, safe to show; for who runs the server."""
        lines = self._tail.decode(errors="replace").strip().splitlines()
        return clean_line(lines[-1])[:300] if lines else ""

    def stop(self) -> None:
        """Let `serve` return, because the server ends."""
        self._stopped.set()

    async def serve(self, socket: web.WebSocketResponse) -> Close:
        """Carry packets both ways until one side ends; return why."""
        shows = asyncio.create_task(self._show(socket))
        hears = asyncio.create_task(self._hear(socket))
        stops = asyncio.create_task(self._stopped.wait())
        tasks = (shows, hears, stops)
        try:
            await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for task in tasks:
                task.cancel()
            ends = await asyncio.gather(*tasks, return_exceptions=True)
        if self._stopped.is_set():
            return Close.STOPPED
        return next((end for end in ends[:2] if isinstance(end, Close)), Close.GONE)

    async def leave(self) -> None:
        """End the process: asked first, then told, then made to. Its record is written as the flight goes."""
        empties = asyncio.create_task(self._empty())    # a process that cannot write cannot leave
        with contextlib.suppress(OSError, RuntimeError):
            self._send(b"M", json.dumps({"type": "quit"}).encode())
        try:
            for end, seconds in ((None, ASKED_S), (self._process.terminate, TOLD_S), (self._process.kill, None)):
                if end is not None:
                    with contextlib.suppress(ProcessLookupError):
                        end()
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(self._process.wait(), seconds)
                    break
        finally:
            self._input.close()
            empties.cancel()
            self._errors.cancel()
            await asyncio.gather(empties, self._errors, return_exceptions=True)

    def _send(self, kind: bytes, payload: bytes) -> None:
        self._input.write(kind + len(payload).to_bytes(4, "big") + payload)

    async def _show(self, socket: web.WebSocketResponse) -> Close:
        """From the process to the browser."""
        try:
            for _ in range(LINES_BEFORE_READY):
                line = await self._output.readline()
                if line == READY or not line:
                    break
            while True:
                kind = await self._output.readexactly(1)
                size = int.from_bytes(await self._output.readexactly(4), "big")
                if size > LARGEST_PACKET:
                    return Close.FAULT
                payload = await self._output.readexactly(size)
                if kind == b"D":
                    await socket.send_bytes(payload)
                elif kind == b"M" and _is_the_end(payload):
                    return Close.ENDED
        except (asyncio.IncompleteReadError, ValueError):    # ended without a word; or no packets
            return Close.FAULT
        except OSError:                                      # the browser went away while it was sent to
            return Close.GONE

    async def _hear(self, socket: web.WebSocketResponse) -> Close | None:
        """From the browser to the process; what is not understood is passed over, what is too much ends it."""
        sent, pings = Budget(SENT_A_SECOND, SENT_AT_ONCE), Budget(PINGS_A_SECOND, PINGS_AT_ONCE)
        async for message in socket:
            if message.type not in (WSMsgType.TEXT, WSMsgType.BINARY):
                continue
            if not sent.spend(len(message.data) + MESSAGE_COSTS):
                return Close.FLOOD
            if message.type is not WSMsgType.TEXT:
                continue
            try:
                match json.loads(message.data):
                    case ["stdin", str(typed)]:
                        self._send(b"D", typed.encode(errors="replace"))
                    case ["resize", {"width": int(width), "height": int(height)}]:
                        size = {"type": "resize", "width": within(width), "height": within(height)}
                        self._send(b"M", json.dumps(size).encode())
                    case ["focus" | "blur" as focus]:
                        self._send(b"M", json.dumps({"type": focus}).encode())
                    case ["ping", str(when)] if pings.spend(1):
                        await socket.send_json(["pong", when[:40]])
                await self._input.drain()
            except (ValueError, RecursionError):
                continue
            except (OSError, RuntimeError):    # the process is ending; `_show` says how
                return None
        return None

    async def _empty(self) -> None:
        while await self._output.read(65_536):
            pass

    async def _keep_errors(self, errors: asyncio.StreamReader) -> None:
        while data := await errors.read(4_096):
            self._tail = (self._tail + data)[-TAIL:]


def _is_the_end(payload: bytes) -> bool:
    match json.loads(payload):
        case {"type": "exit"}:
            return True
    return False


def within(cells: int) -> int:
    """Return a number of cells as a terminal can have it."""
    return max(1, min(cells, LARGEST_SIDE))


def environment_for(environment: Mapping[str, str], pilot: str) -> dict[str, str]:
    """Return the environment of the cockpit of `pilot` in a browser, made from the server's own."""
    kept = {name: each for name, each in environment.items() if not name.startswith("TEXTUAL")}
    return kept | {
        SERVED: "1", PILOT: pilot, "TEXTUAL_DRIVER": "textual.drivers.web_driver:WebDriver",
        "TEXTUAL_COLOR_SYSTEM": "truecolor", "TEXTUAL_FPS": "30", "TERM_PROGRAM": "textual", "PYTHONUNBUFFERED": "1",
        "PYTHONPATH": os.pathsep.join(filter(None, (_own_root(), environment.get("PYTHONPATH", "")))),
    }


def _own_root() -> str:
    """Return the folder that this program's package is in, so that the process runs the same one from anywhere."""
    return str(Path(drill.__file__).resolve().parent.parent)

