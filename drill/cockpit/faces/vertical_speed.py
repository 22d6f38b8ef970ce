"""The vertical speed indicator: zero at nine o'clock, climb over the top, descent below."""

from __future__ import annotations

from functools import lru_cache

from textual.strip import Strip

from drill.airplane.pointers import FULL_SCALE_FPM as FULL_SCALE_FPM  # the scale, for who asks this face
from drill.airplane.pointers import vertical_speed_deg
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.round_dial import (
    Ring,
    corner,
    dial_ground,
    figure,
    hub,
    inside,
    mark,
    needle,
    needle_thickness,
    print_below,
    ring,
    small,
    title,
    value_corner,
    window,
)
from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster

STEP_FPM = 50
"""To what the rate is shown."""

FIGURE_EACH_FPM = 500
MARK_EACH_FPM = 100

needle_deg = vertical_speed_deg
"""Where the needle points, for who asks this face."""


def signed(fpm: int) -> str:
    """Return a rate with its sign, zero without."""
    return f"{fpm:+d}" if fpm else "0"


class VerticalSpeedFace:
    """The vertical speed indicator's face."""

    code = "vertical_speed_indicator"
    title = "VERT SPEED"

    def key(self, shown: Shown, dial: Dial) -> int:  # noqa: ARG002 - the protocol's
        """Return the vertical speed to 50 ft/min, up to where the needle stops."""
        return round(min(max(shown["vertical_speed_fpm"], -FULL_SCALE_FPM), FULL_SCALE_FPM) / STEP_FPM) * STEP_FPM

    def draw(self, key: int, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture."""
        return list(_picture(key, width, height, ink))


@lru_cache(maxsize=8)
def _picture(fpm: int, width: int, height: int, ink: Ink) -> tuple[Strip, ...]:
    where = ring(width, height, 3)      # two, and a column free beside the last figure
    if where is None:
        words = f"UP {fpm}" if fpm > 0 else f"DN {-fpm}" if fpm else "LEVEL"
        return tuple(small("VERT SPEED" if width >= 10 else "VERT SPD", words, width, height, ink).strips())
    ground, place, printed = _ground(width, height, ink, where)
    raster = ground.copy()
    cells = needle(raster, where.centre, needle_deg(fpm), where.radius * 0.2, where.radius - 1, ink.needle,
                   thick=needle_thickness(where.radius))
    for x, y, words in printed:
        print_below(raster, x, y, words, ink.faint, cells)
    hub(raster, where.centre, max(1.5, where.radius * 0.09), ink.needle)
    if where.roomy:
        window(raster, _window_column(where), int(where.centre[1]) // 4, signed(fpm).rjust(5))
    else:
        raster.text(*place, signed(fpm).rjust(5), ink.needle, bold=True)
    return tuple(raster.strips())


def _window_column(where: Ring) -> int:
    """Return the middle of the window, on the right where the needle points at full scale only."""
    return int(where.centre[0] + where.radius * 0.48) // 2


@lru_cache(maxsize=16)
def _ground(width: int, height: int, ink: Ink, where: Ring) -> (
        tuple[Raster, tuple[int, int], tuple[tuple[int, int, str], ...]]):
    """Return what does not move, where the value stands if in a corner, and the words that the needle passes over."""
    raster = dial_ground(width, height, ink, where)
    each = MARK_EACH_FPM if where.radius >= 16 and not ink.plain else FIGURE_EACH_FPM // 2
    for fpm in range(-FULL_SCALE_FPM, FULL_SCALE_FPM + 1, each):
        mark(raster, where, needle_deg(fpm), ink.mark, long=fpm % FIGURE_EACH_FPM == 0)
    if where.figures:
        for fpm in range(-FULL_SCALE_FPM, FULL_SCALE_FPM + 1, FIGURE_EACH_FPM):
            figure(raster, where, needle_deg(fpm), str(abs(fpm) // 100), bold=True)
    place = value_corner(raster, where, 5)
    title(raster, where, "VERT SPEED", "VERT SPD", "V SPEED", "VSI", before=None if where.roomy else place[0])
    printed = [(*inside(where, deg, where.radius * 0.3, words), words) for deg, words in ((0, "UP"), (180, "DN"))]
    for unit in ("X100 FT/MIN", "X100 FPM", "FPM"):
        low = corner(raster, where, len(unit), low=True)
        if low is not None:
            raster.text(*low, unit, ink.faint)
            break
    return raster, place, tuple(printed)


FACE = VerticalSpeedFace()
