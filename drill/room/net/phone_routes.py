"""What phones can ask for: the page, joining, voting, news without a socket, and the socket."""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Callable
from typing import TYPE_CHECKING

from aiohttp import web

from drill.room.commands import Refusal
from drill.room.net.gate import page_file, words
from drill.room.net.hub import Hub
from drill.room.net.limits import LARGEST_FORM, LONGEST_WORDS, Limits, Purses, name_of, table_of
from drill.room.net.phone_pages import join_form, join_page, state_of, state_page
from drill.room.net.phone_socket import Full, PhoneNews, PhoneSockets, told, voted
from drill.room.net.tokens import Tokens, new_phone
from drill.serving.headers import same

if TYPE_CHECKING:
    from drill.room.host import Host

COOKIE = "drill_room"
KEPT_S = 24 * 3600
_NUMBER = "number"


class PhoneRoutes:
    """Answers phones; `seated` is told of a request whose connection becomes a socket."""

    def __init__(self, host: Host, tokens: Tokens, limits: Limits, hub: Hub,
                 seated: Callable[[web.Request], None]) -> None:
        self._host = host
        self._tokens = tokens
        self._limits = limits
        self._sockets = PhoneSockets(host, hub, limits, seated)
        self._joins = Purses(limits.joined)
        self._guesses = Purses(limits.guessed)
        self._joined_from: Counter[str] = Counter()
        self._waits: Counter[str] = Counter()

    def add_to(self, app: web.Application) -> None:
        """Add the routes."""
        app.router.add_get("/", self._page)
        app.router.add_get(r"/{number:\d{1,12}}", self._page)
        app.router.add_post("/join", self._join)
        app.router.add_post("/vote", self._vote)
        app.router.add_get("/news", self._news)
        app.router.add_get("/socket", self._socket)
        for name in ("phone.css", "phone.js"):
            app.router.add_get(f"/{name}", page_file(name))

    def bound(self, sockets: int) -> None:
        """Let there be so many sockets at most."""
        self._sockets.most = sockets

    async def close(self) -> None:
        """Close every phone's socket."""
        await self._sockets.close()

    def phone_of(self, request: web.Request) -> str | None:
        """Return the phone that has sent a request, if it has joined."""
        phone = self._tokens.phone(request.cookies.get(COOKIE, ""))
        return phone if phone in self._host.evening.people else None

    async def _page(self, request: web.Request) -> web.Response:
        phone = self.phone_of(request)
        if phone is None:
            number = request.match_info.get(_NUMBER, "")
            said = self._why_not_number(number, request.remote or "") if number else ""
            known = "" if said else number
            return _html(join_page(known, join_form(self._tokens.of_form(None), number=known), said=said))
        return _html(self._state_page(phone))

    def _state_page(self, phone: str, said: str = "") -> str:
        view = self._host.phone_view(phone)
        return state_page(self._host.evening.number, view, state_of(view, self._tokens.of_form(phone)), said=said)

    async def _join(self, request: web.Request) -> web.Response:
        sent = await _fields(request)
        if sent is None:
            return words(413, "Too much", "More was sent than a name and a table. Go back and try again.", "/")
        phone = self.phone_of(request)
        if not self._tokens.fits_form(sent.get("form", ""), phone):
            return words(403, "Not from this page", "Open the room's page again, and join there.", "/")
        if phone is not None and not self._sockets.purses.spend(phone):
            return words(429, "Too much at once", TOO_MUCH, "/")
        name, table = name_of(sent.get("name", "")), table_of(sent.get("table", ""))
        number = sent.get(_NUMBER, "").strip()
        address = request.remote or ""
        wrong = "" if phone is not None else self._why_not_in(number, address)
        if not wrong and not name:
            wrong = "Type a name that people can read."
        if wrong:
            return self._join_again(number, name, table, wrong, joined=phone is not None)
        known = phone or new_phone()
        outcome = await self._host.join(known, name, table)
        if isinstance(outcome, Refusal):
            return self._join_again(number, name, table, told(outcome), joined=phone is not None)
        answer = web.Response(status=303, headers={"Location": "/"})
        if phone is None:
            self._joined_from[address] += 1
            answer.set_cookie(COOKIE, self._tokens.of_phone(known), httponly=True, samesite="Lax", path="/",
                              max_age=KEPT_S)
        return answer

    def _why_not_number(self, number: str, address: str) -> str:
        """Return why a number opens nothing; who has guessed too often learns of none whether it is right."""
        if self._guesses.empty(address):
            return TOO_MANY_GUESSES
        if same(number, self._host.evening.number):
            return ""
        self._guesses.spend(address)
        return WRONG_NUMBER

    def _why_not_in(self, number: str, address: str) -> str:
        if wrong := self._why_not_number(number, address):
            return wrong
        if not self._joins.spend(address):
            return "Many are joining at this moment. Wait a few seconds, then press Join again."
        full = len(self._host.evening.present) >= self._limits.phones
        if full or self._joined_from[address] >= self._limits.phones_an_address:
            return "The room is full. Raise your hand instead: hands are counted, too."
        return ""

    def _join_again(self, number: str, name: str, table: str, said: str, *, joined: bool) -> web.Response:
        known = number if said not in (WRONG_NUMBER, TOO_MANY_GUESSES) else ""
        form = self._tokens.of_form(None)
        if joined:
            return words(409, "Not changed", said, "/")
        return _html(join_page(known, join_form(form, number=known, name=name, table=table), said=said), 409)

    async def _vote(self, request: web.Request) -> web.Response:
        phone, sent = self.phone_of(request), await _fields(request)
        by_script = request.headers.get("Accept") == "application/json"
        if phone is None or sent is None or not self._tokens.fits_form(sent.get("form", ""), phone):
            said = "Open the room's page again, and vote there."
            if by_script:
                return web.json_response({"ok": False, "says": said}, status=403)
            return words(403, "Not counted", said, "/")
        if not self._sockets.purses.spend(phone):
            if by_script:
                return web.json_response({"ok": False, "says": TOO_MUCH}, status=429)
            return words(429, "Not counted", TOO_MUCH, "/")
        sure = sent.get("sure", "")
        ok, says = await voted(self._host, phone, sent.get("poll", ""), sent.get("answer", ""), sent.get("words", ""),
                               int(sure) if sure in ("1", "2", "3", "4") else None)
        if by_script:
            return web.json_response({"ok": ok, "says": says})
        return web.Response(status=303, headers={"Location": "/"}) if ok else _html(self._state_page(phone, says), 409)

    async def _news(self, request: web.Request) -> web.Response:
        phone = self.phone_of(request)
        if phone is None:
            return web.json_response({"ok": False, "says": "Join first."}, status=403)
        if self._waits[phone] >= self._limits.waits_a_phone:
            return web.json_response({"ok": False, "says": "This page waits already."}, status=429)
        news = PhoneNews(self._host, phone, self._tokens.of_form(phone), request.query.get("v", ""))
        self._waits[phone] += 1
        try:
            async with asyncio.timeout(self._limits.news_s):
                while True:
                    since = self._host.phones_version
                    if (state := news.next()) is not None:
                        return web.Response(text=state.news(), content_type="application/json")
                    await self._host.phones_changed(since)
        except TimeoutError:
            return web.json_response({})
        finally:
            self._waits[phone] -= 1
            self._waits += Counter()

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        phone = self.phone_of(request)
        if phone is None:
            return words(403, "Join first", "Open the room's page, and join there.", "/")
        try:
            return await self._sockets.serve(request, phone, self._tokens.of_form(phone))
        except Full:    # the page then asks for news without one
            return words(503, "Later", "Every connection is taken. The page goes on without.", "/")


WRONG_NUMBER = "That is not this evening's number. It stands on the wall."
TOO_MUCH = "Too much was sent at once. Wait a little, then try again."
TOO_MANY_GUESSES = "Too many wrong numbers came from here. Wait a minute, then try again."


async def _fields(request: web.Request) -> dict[str, str] | None:
    """Return the fields of a form that is sent; None for one that is too large or none at all."""
    if request.content_type != "application/x-www-form-urlencoded" or (request.content_length or 0) > LARGEST_FORM:
        return None
    try:
        sent = await request.post()
    except (web.HTTPRequestEntityTooLarge, ValueError, LookupError):
        return None
    return {name: each for name, each in sent.items() if isinstance(each, str) and len(each) <= 4 * LONGEST_WORDS}


def _html(text: str, status: int = 200) -> web.Response:
    return web.Response(status=status, text=text, content_type="text/html")


