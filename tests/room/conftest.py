"""Hosts of small evenings, for the tests of a room."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest_asyncio
from room.hosts import Opener


@pytest_asyncio.fixture
async def hosts(tmp_path: Path) -> AsyncIterator[Opener]:
    opener = Opener(tmp_path)
    yield opener
    for host in opener.opened:
        await host.close()
