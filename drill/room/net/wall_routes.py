"""What the wall can ask for: its page, its style and script, and the socket by which it is kept up to date.

The wall shows what the room sees and can do nothing. Its key keeps phones from taking its place.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING

from aiohttp import WSCloseCode, web

from drill.room.net.connections import bounded
from drill.room.net.gate import page_file, words
from drill.room.net.hub import Channel, Hub
from drill.room.net.limits import LARGEST_MESSAGE, Limits
from drill.room.net.tokens import Tokens
from drill.room.net.wall_pages import Wall
from drill.room.net.wall_results import WallResults
from drill.serving.headers import same

if TYPE_CHECKING:
    from drill.room.host import Host

COOKIE = "drill_wall"
KEPT_S = 24 * 3600
FULL = 4001


class WallRoutes:
    """Answers walls. `phones_url` is the address that the wall shows, "" where there are no phones."""

    def __init__(self, host: Host, tokens: Tokens, limits: Limits, hub: Hub,
                 seated: Callable[[web.Request], None], fault: Callable[[str], None]) -> None:
        self._host = host
        self._tokens = tokens
        self._limits = limits
        self._hub = hub
        self._seated = seated
        self._open: set[web.WebSocketResponse] = set()
        self._results = WallResults(host, hub.tell, fault)
        self.phones_url = ""

    def add_to(self, app: web.Application) -> None:
        """Add the routes."""
        app.router.add_get("/wall", self._page)
        app.router.add_get("/wall/socket", self._socket)
        for name in ("wall.css", "wall.js"):
            app.router.add_get(f"/{name}", page_file(name))
        app.router.add_get("/faces.css", self._faces)

    def begin(self) -> None:
        """Work out what came of the evening once its debrief begins."""
        self._results.begin()

    async def close(self) -> None:
        """Close every wall's socket."""
        await self._results.end()
        for each in set(self._open):
            await each.close(code=WSCloseCode.GOING_AWAY)

    def _has_key(self, request: web.Request) -> bool:
        return same(request.cookies.get(COOKIE, ""), self._tokens.wall)

    async def _page(self, request: web.Request) -> web.StreamResponse:
        if same(request.query.get("key", ""), self._tokens.wall):
            answer = web.Response(status=303, headers={"Location": "/wall"})
            answer.set_cookie(COOKIE, self._tokens.wall, httponly=True, samesite="Lax", path="/wall", max_age=KEPT_S)
            return answer
        if not self._has_key(request):
            return words(403, "The wall", "The projector's page opens with the whole address that the facilitator's "
                                          "screen shows, with the key at its end.")
        return web.Response(text=self._wall().page(), content_type="text/html")

    def _wall(self) -> Wall:
        return Wall(self._host, self.phones_url, lambda: self._results.found)

    async def _faces(self, _request: web.Request) -> web.StreamResponse:
        from drill.paper.faces.panel import faces_css

        return web.Response(text=faces_css(), content_type="text/css")

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        if not self._has_key(request):
            return words(403, "The wall", "Open the projector's page first.")
        socket = web.WebSocketResponse(heartbeat=self._limits.silent_s, max_msg_size=LARGEST_MESSAGE, compress=False)
        await socket.prepare(request)
        if len(self._open) >= self._limits.walls:
            await socket.close(code=FULL, message=b"The wall is open in too many places; close one of them.")
            return socket
        self._seated(request)
        self._open.add(socket)
        wall = self._wall()

        async def send() -> None:
            if changed := wall.changed():
                await socket.send_str(json.dumps(changed, ensure_ascii=False))

        try:
            with (bounded(request, self._limits.sends_s) as connection,
                  self._hub.joined(Channel(send, connection, self._limits.sends_s))):
                async for _ in socket:    # it has nothing to say
                    pass
        finally:
            self._open.discard(socket)
        return socket
