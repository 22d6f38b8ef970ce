"""Who may come in: the address asked for must be ours, a socket must be our own page's, and everybody needs the token.

Other programs and other pages on the same machine reach a loopback port as well as the pilot does, so the token is
wanted there too.
"""

from __future__ import annotations

import hashlib
import re
import secrets
from collections.abc import Callable
from typing import TYPE_CHECKING

from aiohttp import web

from drill.cockpit.serve.pages import words_page
from drill.serving.address import Address
from drill.serving.headers import hardened, same

if TYPE_CHECKING:
    from aiohttp.typedefs import Handler, Middleware

TOKEN = "token"  # noqa: S105 - the name of it in an address
PILOT_COOKIE = "drill_pilot"
PILOT_KEPT_S = 400 * 24 * 3600    # as long as browsers keep any
POLICY = ("script-src 'self'; style-src 'self' 'unsafe-inline'; font-src 'self'; img-src 'self' data:; "
          "form-action 'none'")
"""What a cockpit's page may do; the terminal's script sets styles of its own."""


def gate(address: Callable[[], Address], token: str) -> Middleware:
    """Return the middleware that lets in who may come in; `address` is asked once the server listens."""

    @web.middleware
    async def let_in(request: web.Request, handler: Handler) -> web.StreamResponse:
        host = request.headers.get("Host", "")
        if not address().is_ours(host):
            return words_page(421, "Not this address", "This server does not answer to the address you used. "
                                                       "Open the one that drill serve printed.")
        if request.method != "GET":
            return words_page(405, "Nothing to send here", "There are only pages to look at here.")
        if "Upgrade" in request.headers and request.headers.get("Origin") != f"http://{host}":
            return words_page(403, "Not from this page", "A cockpit can only be opened from its own page.")
        cookie = f"drill_{address().port}"
        if same(request.query.get(TOKEN, ""), token):
            return _admitted(request, cookie, token)
        if not same(request.cookies.get(cookie, ""), token):
            return words_page(403, "The whole address is needed",
                              "This cockpit opens with the address that drill serve printed, with the token at its "
                              "end. Ask the one who runs it, and copy all of it.")
        return await handler(request)

    return let_in


def pilot_of(request: web.Request) -> str:
    """Return whose browser it is: not the secret in its cookie, but what is made of that. One without is nobody's."""
    secret = _secret(request) or secrets.token_urlsafe()
    return hashlib.sha256(secret.encode()).hexdigest()[:32]


def name_pilot(request: web.Request, answer: web.StreamResponse) -> None:
    """Give a browser a secret of its own if it has none, by which its flights are told from those of others."""
    if not _secret(request):
        answer.set_cookie(PILOT_COOKIE, secrets.token_urlsafe(), httponly=True, samesite="Strict", path="/",
                          max_age=PILOT_KEPT_S)


def _secret(request: web.Request) -> str:
    given = request.cookies.get(PILOT_COOKIE, "")
    return given if re.fullmatch(r"[A-Za-z0-9_-]{43}", given) else ""


def _admitted(request: web.Request, cookie: str, token: str) -> web.StreamResponse:
    """Take the token out of the address and into a cookie.

    The page goes on by itself instead of a redirect: after a redirect from a link on a foreign page (a club's chat),
    a strict cookie would not be sent.
    """
    answer = words_page(200, "Opening the cockpit", "One moment.", to="/")
    answer.set_cookie(cookie, token, httponly=True, samesite="Strict", path="/")
    name_pilot(request, answer)
    return answer


async def harden(request: web.Request, response: web.StreamResponse) -> None:
    """Give every answer the headers that keep foreign pages and foreign files out."""
    hardened(request, response, policy=POLICY, referrer="no-referrer")
