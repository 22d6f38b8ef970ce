"""What is true of the flight, on the facilitator's screen for as long as that is asked for. Never on the wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from drill.room.screen.words import true_lines

if TYPE_CHECKING:
    from drill.grading.debrief import FailureStory
    from drill.room.host import Host

EVERY_S = 20.0
"""Of flight: so often what has failed is worked out anew while it goes on, in some tenths of a second."""


class TrueState:
    """What is so, in lines, while it is `shown`: attitude and altitude as of now, failures as of `look_up`."""

    def __init__(self, host: Host) -> None:
        self.shown = False
        self._host = host
        self._failures: tuple[FailureStory, ...] | None = None
        self._as_of_s = -EVERY_S
        self._looking = False

    def lines(self) -> list[str]:
        """Return what is so; nothing while it is not shown."""
        return true_lines(self._host.true_now(), self._failures) if self.shown else []

    def is_old(self, stage: str) -> bool:
        """Say whether the failures should be looked up again: after a while of flight, and wherever it stops."""
        if not self.shown or self._looking:
            return False
        flown_s = self._host.flights.room.t_s - self._as_of_s
        return flown_s >= EVERY_S if stage == "fly" and self._host.flights.pace else flown_s > 0.0

    async def look_up(self) -> None:
        """Look up what has failed by now."""
        if self._looking:
            return
        self._looking, self._as_of_s = True, self._host.flights.room.t_s
        try:
            self._failures = await self._host.failures_so_far()
        finally:
            self._looking = False
