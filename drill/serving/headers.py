"""The headers of every answer: they keep foreign pages and foreign files out."""

from __future__ import annotations

import secrets

from aiohttp import web

LONGEST_SECRET = 200


def hardened(request: web.Request, response: web.StreamResponse, *, policy: str, referrer: str) -> None:
    """Give an answer its headers: `policy` says, by CSP's words, what its page may do besides asking nobody else.

    `referrer` is its Referrer-Policy: `no-referrer` where nothing is sent by forms, else `same-origin`, without which
    a form's Origin is null. Every answer but a socket's is its connection's only one: none stands idle in the door.
    """
    if not isinstance(response, web.WebSocketResponse):
        response.force_close()
        response.headers["Connection"] = "close"
    host = request.headers.get("Host", "")
    socket = f" ws://{host}" if host and all(each.isalnum() or each in ".-:[]" for each in host) else ""
    response.headers.update({
        "Content-Security-Policy": (
            f"default-src 'none'; connect-src 'self'{socket}; base-uri 'none'; frame-ancestors 'none'; {policy}"
        ),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": referrer,
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Cache-Control": "no-cache" if isinstance(response, web.FileResponse) else "no-store",
    })
    response.headers.popall("Server", None)


def same(given: str, secret: str) -> bool:
    """Return whether a secret is right; how long that takes tells nothing of how much of it is."""
    return len(given) <= LONGEST_SECRET and secrets.compare_digest(given.encode(errors="replace"), secret.encode())
