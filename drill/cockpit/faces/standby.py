"""The standby attitude indicator: a small rectangular display of its own; crossed out when it cannot be believed."""

from __future__ import annotations

from typing import Literal, NamedTuple

from textual.strip import Strip

from drill.cockpit.faces.attitude import Attitude, Horizon
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.lettering import placard, titled_below
from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster

SELF_TEST = "SELF-TEST"


class Standby(NamedTuple):
    """What the display shows: an attitude, or why there is none."""

    state: Literal["attitude", "crossed out", "self-test", "not fitted"]
    attitude: Attitude = Attitude(0, 0)


class StandbyFace:
    """The standby attitude indicator's face."""

    code = "standby_instrument"
    title = "STANDBY"

    def key(self, shown: Shown, dial: Dial) -> Standby:
        """Return the attitude to 1 degree of bank and 0.5 degrees of pitch, where one is shown."""
        if self.code in dial.without:
            return Standby("not fitted")
        if shown["standby_testing"] > 0.5:
            return Standby("self-test")
        if shown["standby_flag"] > 0.5:
            return Standby("crossed out")
        pitch = max(-90.0, min(90.0, shown["standby_pitch_deg"]))
        return Standby("attitude", Attitude(round(shown["standby_bank_deg"]), round(pitch * 2)))

    def draw(self, key: Standby, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture: the horizon to the edges of the display, or a cross from corner to corner."""
        raster = Raster(width, height, ink, ink.panel if key.state == "not fitted" else ink.dial)
        rows = height - (height > 3)
        if key.state == "not fitted":
            return raster.strips()
        if key.state == "attitude":
            raster = self._attitude(key.attitude, width, height, rows, ink)
        elif key.state == "self-test":
            raster.centred(width // 2, rows // 2, SELF_TEST if width > len(SELF_TEST) else "TEST", bold=True)
        else:
            self._cross(raster, rows)
        if rows < height:
            titled_below(raster, self.title)
        return raster.strips()

    def _attitude(self, attitude: Attitude, width: int, height: int, rows: int, ink: Ink) -> Raster:
        view = Horizon(Raster(width, height, ink, ink.panel), attitude, rows)
        view.ground()
        view.ladder()
        view.bank_scale()
        view.airplane()
        return view.raster

    def _cross(self, raster: Raster, rows: int) -> None:
        """Draw a red cross over the dark display, and say in words what it is."""
        right, down = raster.dots_across - 1.0, rows * 4 - 1.0
        thick = max(1.5, min(right, down) / 14)
        raster.bar(0, 0, right, down, raster.ink.red, thick)
        raster.bar(0, down, right, 0, raster.ink.red, thick)
        placard(raster, rows // 2, " FAIL " if raster.width > 6 else "FAIL")


FACE = StandbyFace()
