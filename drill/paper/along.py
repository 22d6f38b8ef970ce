"""The line of time that lanes and plots share: where a time stands, and the marks of the minutes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from drill.flight.readings import clock_words as clock
from drill.grading.moments import Moment
from drill.paper.svg import group, line, words

WIDTH = 760.0
LEFT = 92.0
RIGHT = WIDTH - 58.0
_STEPS_S = (5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200)
_MOST_TICKS = 12
GUIDED = ("failed", "evident", "first act")
"""The kinds of moment that a line through lanes and plots leads the eye to."""


@dataclass(frozen=True, slots=True)
class Along:
    """The time of a flight of `length_s` along the width of a drawing, from `from_s` on."""

    length_s: float
    from_s: float = 0.0

    def x(self, t: float) -> float:
        """Return where the time `t` (s) stands."""
        whole = self.length_s - self.from_s
        share = 0.0 if whole <= 0.0 else min(max((t - self.from_s) / whole, 0.0), 1.0)
        return LEFT + share * (RIGHT - LEFT)

    def ticks(self) -> list[float]:
        """Return the times that have a mark: at most about a dozen."""
        whole = self.length_s - self.from_s
        if whole <= 0.0:
            return [self.from_s]
        step = next((step for step in _STEPS_S if whole / step <= _MOST_TICKS), None) or int(whole / _MOST_TICKS)
        return [float(t) for t in range(math.ceil(self.from_s / step) * step, int(self.length_s) + 1, step)]

    def grid(self, top: float, bottom: float, guides: Sequence[Moment] = ()) -> Markup:
        """Return a thin line at each mark, and one of its own kind at each of `guides`."""
        return group(
            *(line(self.x(t), top, self.x(t), bottom, "grid") for t in self.ticks()),
            *(line(self.x(each.t), top, self.x(each.t), bottom, f"guide guide-{each.kind.replace(' ', '-')}")
              for each in guides if each.t is not None))

    def labels(self, y: float) -> Markup:
        """Return the times of the marks, and the end of the flight unless it would run into the last of them."""
        ticks = self.ticks()
        said = [words(self.x(t), y, clock(t), "tick") for t in ticks]
        if not ticks or self.x(self.length_s) - self.x(ticks[-1]) > 34:
            said.append(words(self.x(self.length_s), y, clock(self.length_s), "tick"))
        return group(*said)


def guides_of(moments: Sequence[Moment]) -> list[Moment]:
    """Return the moments that lines lead the eye to: of few failures all, of many the first."""
    return [each for each in moments if each.t is not None and each.kind in GUIDED][:9]
