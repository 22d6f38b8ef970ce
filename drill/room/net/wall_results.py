"""What the room learned, for the wall: worked out once the debrief begins, beside everything else."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING

from drill.room.papers import results_of

if TYPE_CHECKING:
    from drill.room.host import Host
    from drill.room.outcome import Results

STAGES = ("debrief", "over")


class WallResults:
    """The results of the evening once they may be shown; `found` is None until then, and while they are worked out.

    `then` is called when they are there, `fault` with words if they cannot be had.
    """

    def __init__(self, host: Host, then: Callable[[], None], fault: Callable[[str], None]) -> None:
        self.found: Results | None = None
        self._host = host
        self._then = then
        self._fault = fault
        self._task: asyncio.Task[None] | None = None

    def begin(self) -> None:
        """Wait for the debrief from now on."""
        self._task = asyncio.create_task(self._work_out())

    async def end(self) -> None:
        """Wait no longer."""
        if self._task is not None:
            self._task.cancel()
            await asyncio.gather(self._task, return_exceptions=True)

    async def _work_out(self) -> None:
        host, since = self._host, self._host.phones_version
        while host.evening.stage not in STAGES:
            since = await host.phones_changed(since)
        try:
            self.found = await asyncio.to_thread(
                results_of, host.evening, host.scenario, tuple(host.flights.room.events), host.path)
        except Exception as error:    # the wall goes on without them, and the one who runs it is told
            self._fault(f"no results for the wall ({type(error).__name__}: {error})")
        self._then()
