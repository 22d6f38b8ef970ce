"""The altimeter: a needle of hundreds, a short pointer of thousands, the altitude on a drum, and what it is set to.

Three pointers on one dial are notoriously misread, so the drum is what is read first, and the needle shows the motion.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from textual.strip import Strip

from drill.airplane.pointers import hundreds_deg as hundreds_deg  # where its needles point, for who asks this face
from drill.airplane.pointers import thousands_deg as thousands_deg
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.round_dial import (
    Ring,
    corner,
    dial_ground,
    figure,
    hub,
    mark,
    needle,
    needle_thickness,
    ring,
    small,
    title,
    value_corner,
    window,
)
from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster
from drill.flight.readings import setting_words

STEP_FT = 20
"""To what the altitude is shown."""

_MOST_FT = 99_980
_MOST_HPA = 3386.0


class Altitude(NamedTuple):
    """Feet, a multiple of `STEP_FT`; the setting as it is written, in inches of mercury."""

    feet: int
    setting: str


class AltimeterFace:
    """The altimeter's face."""

    code = "altimeter"
    title = "ALTIMETER"

    def key(self, shown: Shown, dial: Dial) -> Altitude:  # noqa: ARG002 - the protocol's
        """Return the altitude to 20 ft, and the setting."""
        feet = round(min(max(shown["altitude_ft"], -_MOST_FT), _MOST_FT) / STEP_FT) * STEP_FT
        return Altitude(feet, setting_words(min(max(shown["altimeter_setting_hpa"], 0.0), _MOST_HPA)))

    def draw(self, key: Altitude, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture."""
        return list(_picture(key, width, height, ink))


@lru_cache(maxsize=8)
def _picture(altitude: Altitude, width: int, height: int, ink: Ink) -> tuple[Strip, ...]:
    feet, setting = altitude
    where = ring(width, height, 1)
    if where is None:
        raster = small("ALTIMETER" if width >= 9 else "ALTIM", f"{feet:,} FT" if width >= 9 else f"{feet:,}",
                       width, height, ink)
        if height > 2:
            raster.centred(width // 2, max(0, (height - 2) // 2) + 2, setting[:width], ink.faint)
        return tuple(raster.strips())
    ground, value_at, setting_at = _ground(width, height, ink, where)
    raster = ground.copy()
    needle(raster, where.centre, thousands_deg(feet), 0, where.radius * 0.52, ink.airplane,
           thick=min(max(3.0, where.radius * 0.16), 9.0), plain_as="#")
    needle(raster, where.centre, hundreds_deg(feet), where.radius * 0.2, where.radius - 1, ink.needle,
           thick=needle_thickness(where.radius))
    hub(raster, where.centre, max(1.5, where.radius * 0.09), ink.needle)
    if where.roomy:
        up, down = (int(where.centre[1] + where.radius * off) // 4 for off in (-0.5, 0.5))
        window(raster, width // 2, up, f"{feet:,}", unit="FT" if where.radius >= 24 else "")
        shown = f"[{setting}]" if ink.plain else f" {setting} "
        raster.centred(width // 2, down, shown, ink.mark, ink.panel)
        if where.radius >= 24:
            raster.text(width // 2 - len(shown) // 2 + len(shown), down, "IN", ink.faint)
    else:
        raster.text(*value_at, f"{feet:,}".rjust(6), ink.needle, bold=True)
        if setting_at is not None:
            raster.text(*setting_at, setting, ink.mark)
    return tuple(raster.strips())


@lru_cache(maxsize=16)
def _ground(width: int, height: int, ink: Ink, where: Ring) -> (
        tuple[Raster, tuple[int, int], tuple[int, int] | None]):
    """Return what does not move, and where altitude and setting stand if in corners."""
    raster = dial_ground(width, height, ink, where)
    each = 20 if where.radius >= 30 else 50 if where.radius >= 16 else 100
    for feet in range(0, 1000, each):
        mark(raster, where, hundreds_deg(feet), ink.mark, long=feet % 100 == 0)
    if where.figures:
        for number in range(10):
            figure(raster, where, hundreds_deg(number * 100), str(number), bold=True)
    value_at = value_corner(raster, where, 6)
    setting_at = corner(raster, where, 5, right=value_at[1] == 0, low=True)      # not where the value stands
    title(raster, where, "ALTIMETER", "ALTIM", "ALT", before=None if where.roomy else value_at[0])
    return raster, value_at, setting_at


FACE = AltimeterFace()
