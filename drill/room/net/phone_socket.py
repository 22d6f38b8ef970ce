"""A phone's socket: its votes come in and are acknowledged once they are on disk, its news go out.

A vote is `{"n": 3, "poll": "p1", "answer": "a", "words": "", "sure": 2}`; the answer to it `{"ack": 3, "ok": true,
"says": "Counted: ..."}`. News are `State.news`. What is no vote is passed over; what is too much ends the socket.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from aiohttp import WSCloseCode, WSMsgType, web

from drill.room.commands import Receipt, Refusal
from drill.room.net.connections import bounded
from drill.room.net.hub import Channel, Hub
from drill.room.net.limits import LARGEST_MESSAGE, Limits, Purses, words_of
from drill.room.net.phone_pages import State, View, counted, state_of

if TYPE_CHECKING:
    from drill.room.host import Host

FLOOD = 4100      # from here on the page comes back by itself, later
ELSEWHERE = 4001  # up to 4099 it does not
MOST_NUMBER = 1_000_000_000
UNWRITTEN = "It could not be written down here, so it does not count. Tell the person in front, then try again."


class Full(Exception):  # noqa: N818 - an answer
    """There is no place for another socket."""


class PhoneNews:
    """What one phone is told: how things stand, if that is something else than what it was told last."""

    def __init__(self, host: Host, phone: str, form: str, v: str = "") -> None:
        self._host = host
        self._phone = phone
        self._form = form
        self._v = v
        self._told: View | None = None

    def next(self) -> State | None:
        """Return how things stand if that is new; the phone's own vote is not."""
        view = self._host.phone_view(self._phone)
        known = view if view["poll"] is None else {**view, "poll": {**view["poll"], "yours": None}}
        if known == self._told:
            return None
        self._told = known
        state = state_of(view, self._form)
        if state.v == self._v:
            return None
        self._v = state.v
        return state


class PhoneSockets:
    """The sockets of all phones, `most` at a time; `seated` is told of a request whose connection has become one.

    `purses` hold what each phone may send, by whatever way.
    """

    def __init__(self, host: Host, hub: Hub, limits: Limits, seated: Callable[[web.Request], None]) -> None:
        self._host = host
        self._hub = hub
        self._limits = limits
        self._seated = seated
        self.most = limits.sockets
        self.purses = Purses(limits.messages)
        self._open: dict[str, list[web.WebSocketResponse]] = {}
        self._ending: set[asyncio.Task[bool]] = set()

    async def serve(self, request: web.Request, phone: str, form: str) -> web.WebSocketResponse:
        """Be the phone's socket until one side ends it. A Full if there are as many as there may be."""
        if sum(map(len, self._open.values())) >= self.most:
            raise Full
        socket = web.WebSocketResponse(heartbeat=self._limits.silent_s, max_msg_size=LARGEST_MESSAGE, compress=False)
        await socket.prepare(request)
        self._seated(request)
        mine = self._open.setdefault(phone, [])
        mine.append(socket)
        if len(mine) > self._limits.sockets_a_phone:
            self._end(mine.pop(0))
        news = PhoneNews(self._host, phone, form, request.query.get("v", ""))

        async def send() -> None:
            if (state := news.next()) is not None:
                await socket.send_str(state.news())

        try:
            with (bounded(request, self._limits.sends_s) as connection,
                  self._hub.joined(Channel(send, connection, self._limits.sends_s))):
                await self._hear(socket, phone)
        finally:
            if socket in mine:
                mine.remove(socket)
            if not mine and self._open.get(phone) is mine:
                del self._open[phone]
        return socket

    def _end(self, socket: web.WebSocketResponse) -> None:
        ending = asyncio.create_task(socket.close(code=ELSEWHERE, message=b"This page is open elsewhere too."))
        self._ending.add(ending)
        ending.add_done_callback(self._ending.discard)

    async def close(self) -> None:
        """Close all of them; their pages come back by themselves if the room does."""
        every = [socket for each in self._open.values() for socket in each]
        await asyncio.gather(*(each.close(code=WSCloseCode.GOING_AWAY) for each in every), return_exceptions=True)

    async def _hear(self, socket: web.WebSocketResponse, phone: str) -> None:
        async for message in socket:
            if not self.purses.spend(phone):
                await socket.close(code=FLOOD, message=b"Too much was sent. Trying again by itself.")
                return
            if message.type is WSMsgType.TEXT and (vote := _vote(message.data)) is not None:
                number, given = vote
                ok, says = await voted(self._host, phone, **given)
                try:
                    await socket.send_str(_acknowledgement(number, ok, says))
                except (OSError, RuntimeError):    # it went away; the vote counts
                    return


async def voted(host: Host, phone: str, poll: str, answer: str, words: str, sure: int | None) -> tuple[bool, str]:
    """Let a phone vote; return whether it counts, and what to tell it."""
    outcome = await host.vote(phone, poll, answer, words_of(words) if words else "", sure)
    if not isinstance(outcome, Receipt):
        return False, told(outcome)
    held = host.evening.held(outcome.poll)
    chosen = None if held is None else held.answer(outcome.answer)
    return True, counted(outcome.words if chosen is None else chosen.says, outcome.sure)


def told(refusal: Refusal) -> str:
    """Return what a phone is told of a refusal; where a record is, and what ails it, is for the facilitator alone."""
    return UNWRITTEN if refusal.because == "unwritten" else refusal.words


@lru_cache(maxsize=256)
def _quoted(words: str) -> str:
    """Return words as JSON has them: a room gets the same few answers a thousand times."""
    return json.dumps(words)


def _acknowledgement(number: int, ok: bool, says: str) -> str:
    return f'{{"ack":{number},"ok":{"true" if ok else "false"},"says":{_quoted(says)}}}'


def _vote(text: str) -> tuple[int, dict[str, Any]] | None:
    try:
        said = json.loads(text)
    except (ValueError, RecursionError):
        return None
    if type(said) is not dict:
        return None
    n, poll, answer = said.get("n"), said.get("poll"), said.get("answer")
    words, sure = said.get("words", ""), said.get("sure")
    if not (type(n) is int and 0 < n < MOST_NUMBER and type(poll) is type(answer) is type(words) is str):
        return None
    if sure is not None and type(sure) is not int:
        return None
    return n, {"poll": poll, "answer": answer, "words": words, "sure": sure}
