"""A room that listens on this machine, and phones that come into it as real ones do: over HTTP, with a cookie."""

from __future__ import annotations

import json
import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from aiohttp import ClientSession, ClientWebSocketResponse, DummyCookieJar, TCPConnector, WSMsgType

from drill.room import commands as c
from drill.room.host import Host
from drill.room.net.app import Running, serve
from drill.room.net.keys import key_beside
from drill.room.net.limits import Limits
from drill.room.net.phone_routes import COOKIE
from drill.scenario import find, load
from drill.scenario.model import Scenario

WAIT_S = 20.0
POLL = "p1"


@cache
def tallowby() -> Scenario:
    """The scenario of the evening, loaded once."""
    return load(find("cruise-to-tallowby"))


@dataclass
class Phone:
    """A phone that has joined: its cookie, and what its forms carry."""

    room: Room
    cookie: str
    form: str
    name: str

    @property
    def headers(self) -> dict[str, str]:
        return {"Cookie": f"{COOKIE}={self.cookie}", "Origin": self.room.origin}

    async def page(self) -> str:
        """Return the page that it is shown."""
        async with self.room.session.get(self.room.at("/"), headers=self.headers) as answer:
            assert answer.status == 200, await answer.text()
            return await answer.text()

    async def post(self, path: str, **fields: str) -> tuple[int, str]:
        """Send a form without following where it leads; return status and text."""
        async with self.room.session.post(self.room.at(path), headers=self.headers, data={"form": self.form, **fields},
                                          allow_redirects=False) as answer:
            return answer.status, await answer.text()

    async def socket(self, **headers: str) -> ClientWebSocketResponse:
        """Return an open socket of it."""
        return await self.room.session.ws_connect(self.room.at("/socket"), headers={**self.headers, **headers})


@dataclass
class Room:
    """An evening that is served."""

    host: Host
    running: Running
    session: ClientSession
    said: list[str] = field(default_factory=list)

    @property
    def netloc(self) -> str:
        return f"127.0.0.1:{self.running.port}"

    @property
    def origin(self) -> str:
        return f"http://{self.netloc}"

    @property
    def number(self) -> str:
        return self.host.evening.number

    def at(self, path: str) -> str:
        return f"{self.origin}{path}"

    async def form(self) -> str:
        """Return what the form on the page for newcomers carries."""
        async with self.session.get(self.at(f"/{self.number}")) as answer:
            return carried(await answer.text())

    async def join(self, name: str, table: str = "", number: str = "") -> tuple[int, str, str]:
        """Send the join form; return status, text and the cookie that was given."""
        async with self.session.post(
                self.at("/join"), headers={"Origin": self.origin}, allow_redirects=False,
                data={"form": await self.form(), "number": number or self.number, "name": name,
                      "table": table}) as answer:
            cookie = answer.cookies.get(COOKIE)
            return answer.status, await answer.text(), "" if cookie is None else cookie.value

    async def phone(self, name: str, table: str = "") -> Phone:
        """Return a phone that has joined."""
        status, text, cookie = await self.join(name, table)
        assert status == 303, text
        made = Phone(self, cookie, "", name)
        made.form = carried(await made.page())
        return made

    async def poll_open(self) -> None:
        """Begin the briefing and open the first poll."""
        for command in (c.Brief(), c.OpenPoll()):
            outcome = await self.host.command(command)
            assert isinstance(outcome, c.Done), outcome


def carried(page: str) -> str:
    """Return what the first form of a page carries."""
    found = re.search(r'name="form" value="([^"]+)"', page)
    assert found is not None, page
    return found[1]


async def news(socket: ClientWebSocketResponse) -> dict[str, Any]:
    """Return the next news of a phone's socket, acknowledgements passed over."""
    return await _next(socket, "v")


async def acknowledged(socket: ClientWebSocketResponse) -> dict[str, Any]:
    """Return the next acknowledgement."""
    return await _next(socket, "ack")


async def _next(socket: ClientWebSocketResponse, key: str) -> dict[str, Any]:
    while True:
        message = await socket.receive(timeout=WAIT_S)
        assert message.type is WSMsgType.TEXT, message
        said: dict[str, Any] = json.loads(message.data)
        if key in said:
            return said


async def closed_with(socket: ClientWebSocketResponse) -> int | None:
    """Return the number that a socket is closed with, after whatever came before."""
    while (await socket.receive(timeout=WAIT_S)).type not in (
            WSMsgType.CLOSE, WSMsgType.CLOSED, WSMsgType.CLOSING, WSMsgType.ERROR):
        pass
    return socket.close_code


def vote(n: int = 1, poll: str = POLL, answer: str = "a", **more: Any) -> str:
    """Return a vote as a page sends it."""
    return json.dumps({"n": n, "poll": poll, "answer": answer, "words": "", "sure": None, **more})


@asynccontextmanager
async def served(folder: Path, limits: Limits | None = None, *, phones: bool = True) -> AsyncIterator[Room]:
    """A room with its record in `folder`; taken up if one is there."""
    path = folder / "evening.jsonl"
    host = Host.resume(path) if path.exists() else Host.begin(tallowby(), 1, path)
    said: list[str] = []
    running = await serve(host, key=key_beside(path), listen="127.0.0.1", port=0, phones=phones, limits=limits,
                          say=said.append)
    try:
        async with ClientSession(cookie_jar=DummyCookieJar(), connector=TCPConnector(limit=0)) as session:
            yield Room(host, running, session, said)
    finally:
        await running.close()
        await host.close()


