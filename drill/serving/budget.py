"""How much one browser may send: so much a second, and more at once after a quiet while."""

from __future__ import annotations

import time
from collections.abc import Callable


class Budget:
    """A purse that fills by `rate` a second up to `most`, full at first."""

    def __init__(self, rate: float, most: float, now: Callable[[], float] = time.monotonic) -> None:
        self._rate = rate
        self._most = most
        self._now = now
        self._left = most
        self._at_s = now()

    def holds(self, cost: float) -> bool:
        """Return whether there is as much in it now."""
        return cost <= min(self._most, self._left + self._rate * (self._now() - self._at_s))

    def spend(self, cost: float) -> bool:
        """Take `cost` from it; return whether there was as much in it. Otherwise nothing is taken."""
        now_s = self._now()
        self._left = min(self._most, self._left + self._rate * (now_s - self._at_s))
        self._at_s = now_s
        if cost > self._left:
            return False
        self._left -= cost
        return True
