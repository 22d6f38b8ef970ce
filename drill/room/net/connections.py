"""What a socket's connection may hold, and that it ends: a page that takes nothing must cost nothing for long."""

from __future__ import annotations

import asyncio
import socket as sockets
from collections.abc import Iterator
from contextlib import contextmanager

from aiohttp import web

HELD_BYTES = 64 * 1024
"""The system holds about so much of what a page has not taken yet; of its own accord it would hold megabytes."""


@contextmanager
def bounded(request: web.Request, ends_s: float) -> Iterator[asyncio.Transport | None]:
    """Give the connection of a request, hold little for it, and end it `ends_s` after this, taken or not."""
    transport = request.transport
    connection = None if transport is None else transport.get_extra_info("socket")
    if connection is not None:
        connection.setsockopt(sockets.SOL_SOCKET, sockets.SO_SNDBUF, HELD_BYTES)
    try:
        yield transport
    finally:
        if transport is not None:    # closed by now, but what it still holds may never be taken
            asyncio.get_running_loop().call_later(ends_s, transport.abort)
