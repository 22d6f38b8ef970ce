"""The clock: local time if it is known, time since the start, and the timer if it was started."""

from __future__ import annotations

from typing import NamedTuple

from textual.strip import Strip

from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.lettering import lettered, titled_below
from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster

_DAY_S = 86_400
_MOST_S = 100 * 3600 - 1


class Times(NamedTuple):
    """Whole seconds; None for what is not known or not started."""

    local_s: int | None        # after midnight
    elapsed_s: int
    timer_s: int | None


def day_words(seconds: int) -> str:
    """Return a time of day, `14:05:32`."""
    return f"{seconds // 3600 % 24:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


def span_words(seconds: int) -> str:
    """Return a span of time as `M:SS`."""
    return f"{seconds // 60}:{seconds % 60:02d}"


def _whole(seconds: float) -> int:
    return int(min(max(seconds + 1e-6, 0.0), _MOST_S))      # 59.99999999 s is a minute


class ClockFace:
    """The clock's face. `local_s` (seconds after midnight) and `timer_s` are shown where the readings have them."""

    code = "clock"
    title = "CLOCK"

    def key(self, shown: Shown, dial: Dial) -> Times:  # noqa: ARG002 - the protocol's
        """Return the times in whole seconds. Local time turns over with the time since the start, not beside it."""
        elapsed = shown["clock_s"]
        local, timer = shown.get("local_s"), shown.get("timer_s")
        whole = _whole(elapsed)
        return Times(None if local is None else (whole + round(local - elapsed)) % _DAY_S, whole,
                     None if timer is None else _whole(timer))

    def draw(self, key: Times, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture: a line for each time, as large as there is room for."""
        raster = Raster(width, height, ink)
        lines: list[tuple[tuple[str, ...], str, str]] = []
        if key.local_s is not None:
            lines.append((("LOCAL", "LT"), day_words(key.local_s), ""))
        if key.timer_s is not None:
            lines.append((("TIMER", "TM"), span_words(key.timer_s), ""))
        lines.append((("ELAPSED", "EL"), span_words(key.elapsed_s), ""))
        titled = height > len(lines)
        lettered(raster, lines, height - titled)
        if titled:
            titled_below(raster, self.title)
        return raster.strips()


FACE = ClockFace()
