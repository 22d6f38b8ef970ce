"""Who may come in: the address asked for must be ours, what is sent from our own page, and not too much of it.

There is no CORS anywhere: no answer lets a page elsewhere read it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from aiohttp import web

from drill.room.net.limits import LONGEST_ADDRESS, Limits, Purses
from drill.room.net.phone_pages import PAGES, words_page
from drill.serving.address import Address
from drill.serving.headers import hardened

if TYPE_CHECKING:
    from aiohttp.typedefs import Handler, Middleware

POLICY = "script-src 'self'; style-src 'self'; img-src 'self' data:; form-action 'self'"
"""What a page of the room may do, by CSP's words: its own files, nothing written into it."""

_SENDS = frozenset({"/join", "/vote"})


def gate(address: Callable[[], Address], limits: Limits) -> Middleware:
    """Return the middleware that lets in who may come in; `address` is asked once the server listens."""
    purses = Purses(limits.asked)

    @web.middleware
    async def let_in(request: web.Request, handler: Handler) -> web.StreamResponse:
        if not purses.spend(request.remote or ""):
            return words(429, "Too much at once", "Too much was asked for from here. Wait a little, then try again.")
        if len(request.raw_path) > LONGEST_ADDRESS:
            return words(414, "Too long", "This address is too long. Open the one on the wall.", "/")
        host = request.headers.get("Host", "")
        if not address().is_ours(host):
            return words(421, "Not this address", "This room does not answer to the address you used. Open the one "
                                                  "that stands on the wall.")
        if request.method not in (("POST",) if request.path in _SENDS else ("GET", "HEAD")):
            return words(405, "Not that way", "There are pages to look at here, and forms to send.", "/")
        origin = request.headers.get("Origin")
        if origin != f"http://{host}" and (origin is not None or "Upgrade" in request.headers):
            return words(403, "Not from this page", "This can only be sent from the room's own page.", "/")
        return await handler(request)

    return let_in


async def harden(request: web.Request, response: web.StreamResponse) -> None:
    """Give every answer the headers that keep foreign pages and foreign files out."""
    hardened(request, response, policy=POLICY, referrer="same-origin")


def words(status: int, title: str, said: str, to: str = "") -> web.Response:
    """Return a page that says something."""
    return web.Response(status=status, text=words_page(title, said, to), content_type="text/html")


def page_file(name: str) -> Handler:
    """Return the handler that answers with one of our own files."""
    async def file(_request: web.Request) -> web.StreamResponse:
        return web.FileResponse(PAGES / name)

    return file
