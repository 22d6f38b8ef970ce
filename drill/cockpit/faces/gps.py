"""The GPS: track and groundspeed as text on its screen, and what it leads to; a dark screen when it has no power."""

from __future__ import annotations

from typing import NamedTuple

from textual.strip import Strip

from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.lettering import lettered, titled_below
from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster
from drill.flight.readings import three_digits

_MOST_KT = 999
_MOST_NM = 999.0


class Leading(NamedTuple):
    """Where a destination lies: whole degrees, and tenths of a mile below a hundred miles, whole miles from there."""

    bearing_deg: int
    distance_tenths: int

    @property
    def distance(self) -> str:
        """The distance as it is written, in nautical miles."""
        return f"{self.distance_tenths / 10:.1f}" if self.distance_tenths < 1000 else f"{self.distance_tenths // 10}"


def leading_to(shown: Shown) -> Leading | None:
    """Return where the destination lies that the GPS leads to; None where the readings have none."""
    bearing, distance = shown.get("bearing_deg"), shown.get("distance_nm")
    if bearing is None or distance is None:
        return None
    tenths = round(min(max(distance, 0.0), _MOST_NM) * 10)
    return Leading(round(bearing % 360) % 360, tenths if tenths < 1000 else round(tenths / 10) * 10)


class Screen(NamedTuple):
    """What the screen shows: whole degrees and knots; nothing of them when it is dark."""

    fitted: bool
    lit: bool
    track_deg: int = 0
    groundspeed_kt: int = 0
    to: Leading | None = None


class GpsFace:
    """The GPS's face. `bearing_deg` and `distance_nm` of its destination are shown where the readings have them."""

    code = "navigation"
    title = "GPS"

    def key(self, shown: Shown, dial: Dial) -> Screen:
        """Return what the screen shows, to 1 degree and 1 knot."""
        if not dial.gps:
            return Screen(fitted=False, lit=False)
        if shown["gps_on"] < 0.5:
            return Screen(fitted=True, lit=False)
        speed = min(max(shown["groundspeed_kt"], 0), _MOST_KT)
        return Screen(True, True, round(shown["track_deg"] % 360) % 360, round(speed), leading_to(shown))

    def draw(self, key: Screen, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture; where the airplane has no GPS, nothing but panel."""
        raster = Raster(width, height, ink, ink.dial if key.fitted else ink.panel)
        if not key.fitted:
            return raster.strips()
        if key.lit:
            degrees = "" if ink.plain else "°"
            lines: list[tuple[tuple[str, ...], str, str]] = [
                (("TRK",), three_digits(key.track_deg), degrees), (("GS",), str(key.groundspeed_kt), "kt")]
            if key.to is not None:
                lines += [(("BRG",), three_digits(key.to.bearing_deg), degrees), (("DIST",), key.to.distance, "nm")]
            lettered(raster, lines, height - 1)
        else:
            raster.centred(width // 2, (height - 1) // 2, "dark", ink.faint)
        titled_below(raster, self.title)
        return raster.strips()


FACE = GpsFace()
