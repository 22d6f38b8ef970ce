"""Who may come in: the address asked for must be ours, a socket must be our own page's, and everybody needs the token.

Other programs and other pages on the same machine reach a loopback port as well as the pilot does, so the token is
wanted there too. A page elsewhere may give its own name our number (DNS rebinding): its Host is then a name that is not
ours. A page elsewhere may open a socket to us: its Origin is then not our address.
"""

from __future__ import annotations

import hashlib
import ipaddress
import re
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from aiohttp import web

from drill.cockpit.serve.pages import words_page

if TYPE_CHECKING:
    from aiohttp.typedefs import Handler, Middleware

TOKEN = "token"  # noqa: S105 - the name of it in an address
LONGEST_TOKEN = 200
PILOT_COOKIE = "drill_pilot"
PILOT_KEPT_S = 400 * 24 * 3600    # as long as browsers keep any
HTTP_PORT = 80

_LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})


@dataclass(frozen=True, slots=True)
class Address:
    """Where the server listens: names and numbers that a Host header may have, and the port."""

    names: frozenset[str]
    port: int
    any_number: bool = False    # listening everywhere: any numeric address is one of ours, for rebinding needs a name

    def is_ours(self, host: str) -> bool:
        """Return whether a Host header is one of ours."""
        try:
            parts = urlsplit(f"//{host}")
            name, port = parts.hostname, parts.port
        except ValueError:
            return False
        if name is None or parts.netloc != host or "@" in host or (port or HTTP_PORT) != self.port:
            return False
        return name in self.names or (self.any_number and is_number(name))


def is_number(host: str) -> bool:
    """Return whether `host` is an IP address and no name."""
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def is_loopback(host: str) -> bool:
    """Return whether only this machine reaches `host`."""
    return host.lower() == "localhost" or (is_number(host) and ipaddress.ip_address(host).is_loopback)


def is_everywhere(host: str) -> bool:
    """Return whether listening on `host` means on every address of this machine."""
    return is_number(host) and ipaddress.ip_address(host).is_unspecified


def address_of(host: str, port: int, bound: frozenset[str], machine: str) -> Address:
    """Return the address of a server that was told to listen on `host` and then `bound` these numbers.

    `machine` is this machine's own name, by which the network may know it.
    """
    names = {host.lower()} | bound
    if is_everywhere(host):
        names |= {machine.lower(), f"{machine.lower()}.local"}
    if is_everywhere(host) or is_loopback(host):
        names |= _LOOPBACK_NAMES
    return Address(frozenset(names), port, is_everywhere(host))


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


def same(given: str, token: str) -> bool:
    """Return whether the token is right; how long that takes tells nothing of how much of it is."""
    return len(given) <= LONGEST_TOKEN and secrets.compare_digest(given.encode(errors="replace"), token.encode())


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
    if not isinstance(response, web.WebSocketResponse):
        response.force_close()    # one answer a connection: none stands idle in the door
        response.headers["Connection"] = "close"
    host = request.headers.get("Host", "")
    socket = f"ws://{host}" if host and all(each.isalnum() or each in ".-:[]" for each in host) else ""
    response.headers.update({
        "Content-Security-Policy": (
            "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; font-src 'self'; "
            f"img-src 'self' data:; connect-src 'self' {socket}; base-uri 'none'; form-action 'none'; "
            "frame-ancestors 'none'"
        ),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Cache-Control": "no-cache" if isinstance(response, web.FileResponse) else "no-store",
    })
    response.headers.popall("Server", None)
