"""Pace: how much flight time the wall clock gives. What a flight was never depends on it. Light."""

from __future__ import annotations

from typing import Literal, TypeAlias

Pace: TypeAlias = Literal["running", "held", "turns"]
PACE_WORDS: dict[Pace, str] = {
    "running": "time never stops, as in the airplane",
    "held": "time waits while you type a line",
    "turns": "time passes only while something is done",
}
"""How time may run, and what that means; none of them changes a grade."""
PACES: tuple[Pace, ...] = tuple(PACE_WORDS)
PACE_NAMES: dict[Pace, str] = {"running": "it never stops", "held": "held while you type", "turns": "turn by turn"}

HELD_AT_MOST_S = 3.0
"""Without a key for this long, a line that is begun no longer holds time."""

LONGEST_GAP_S = 1.0
"""A longer gap between two looks at the clock is a machine that slept or a program that was stopped."""


class PaceClock:
    """Says how much flight time has passed; times are `time.monotonic` seconds."""

    def __init__(self, pace: Pace, now: float) -> None:
        self.pace = pace
        self.paused = False
        self._last = now

    def passed(self, now: float, last_key: float | None) -> float:
        """Return the flight time in seconds since the last call; `last_key`: of a line that is begun."""
        gap = min(max(now - self._last, 0.0), LONGEST_GAP_S)
        self._last = max(now, self._last)
        if self.paused or self.pace == "turns":
            return 0.0
        if self.pace == "held" and last_key is not None:
            return min(gap, max(0.0, now - last_key - HELD_AT_MOST_S))
        return gap
