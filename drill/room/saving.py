"""Writing the papers of an evening that goes on, beside everything else, as the facilitator asks for them."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from drill.room.outcome import Results
from drill.room.papers import results_of, write_attendance, write_papers

if TYPE_CHECKING:
    from drill.room.host import Host

PAPERS = ("handout", "handout named", "attendance")
"""What can be asked for: nobody is named in the first, tables are in the second, people in the third."""


async def worked_out(host: Host) -> Results:
    """Return the results of the evening as it stands."""
    return await asyncio.to_thread(results_of, host.evening, host.scenario, tuple(host.flights.room.events),
                                   host.path)


async def saved(host: Host, what: str) -> tuple[str, bool]:
    """Write one of `PAPERS`; return words about it, and whether it failed."""
    evening, events = host.evening, tuple(host.flights.room.events)

    def write() -> Sequence[Path]:
        if what == "attendance":
            return write_attendance(evening, host.scenario.title, host.path)
        found = results_of(evening, host.scenario, events, host.path)
        return write_papers(found, host.path, named=what == "handout named")

    try:
        paths = await asyncio.to_thread(write)
    except OSError as error:
        return f"Not written. {error.strerror or error}", True
    return f"Written beside the record: {', '.join(path.name for path in paths)}", False
