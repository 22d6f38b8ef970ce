"""How much flight time is due whenever the wall clock is looked at. Knows no screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from drill.seat.pace import HELD_AT_MOST_S

if TYPE_CHECKING:
    from drill.seat.sitting import Sitting

TURNS_FASTER = 8.0
"""Turn by turn, flight time goes so many times faster than the clock until the pilot has the next word."""

MOST_AT_ONCE_S = 1.0


class Timekeeper:
    """Tells the flight time of one sitting; times are `time.monotonic` seconds.

    `turning`: turn by turn, the flight goes on now until the pilot has the next word.
    """

    def __init__(self, sitting: Sitting, now: float) -> None:
        self._sitting = sitting
        self._last = now
        self.turning = False

    def start(self, now: float) -> None:
        """Let time count from `now` on."""
        self._last = now

    def due(self, now: float, last_key: float | None) -> float:
        """Return the flight time in seconds since the last look; `last_key`: of a line that is begun."""
        gap, self._last = now - self._last, now
        clock = self._sitting.clock
        passed = clock.passed(now, last_key)
        if clock.pace == "turns" and self.turning and not clock.paused:
            return min(max(gap, 0.0) * TURNS_FASTER, MOST_AT_ONCE_S)
        return passed

    def held(self, now: float, last_key: float | None) -> bool:
        """Say whether a line that is begun holds time at this moment."""
        return self._sitting.clock.pace == "held" and last_key is not None and now - last_key < HELD_AT_MOST_S

    def spoken(self) -> None:
        """Take note that the pilot has said something, or that the pace is another one."""
        self.turning = self._sitting.clock.pace == "turns" and not self._sitting.turn_over

    def flown(self) -> None:
        """Take note that flight time has passed."""
        if self._sitting.turn_over:
            self.turning = False
