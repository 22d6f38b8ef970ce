"""What an instrument face is: a pure picture of a quantised reading."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias

from textual.strip import Strip

from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster

Shown: TypeAlias = Mapping[str, float]
"""What the panel shows: the fields of `drill.airplane.panel.Panel` by name."""


@dataclass(frozen=True, slots=True)
class SpeedArc:
    """An arc of the airspeed indicator, knots; `low` equals `high` for the red line."""

    colour: str                   # white, green, yellow, red
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Dial:
    """What is printed on the faces of one type of airplane."""

    arcs: tuple[SpeedArc, ...] = ()
    suction_green: tuple[float, float] = (4.5, 5.5)  # inches of mercury
    low_vacuum_light: bool = False
    gps: bool = True
    rpm_green: tuple[float, float] = (2100.0, 2700.0)   # the red line stands at its upper end
    without: frozenset[str] = frozenset({"standby_instrument", "autopilot"})   # what the airplane does not have
    standard_rate_dps: float = 3.0


class Face(Protocol):
    """One instrument's face."""

    @property
    def code(self) -> str:
        """Which instrument, as in `readings.WHOLE_PANEL`."""

    @property
    def title(self) -> str:
        """What is printed on it."""

    def key(self, shown: Shown, dial: Dial) -> Hashable:
        """Return the reading as fine as the face can show it: the same key is the same picture."""

    def draw(self, key: Any, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:
        """Return `height` strips of `width` cells each."""


def covered_face(title: str, width: int, height: int, ink: Ink) -> list[Strip]:
    """Return the picture of a covered instrument: a sheet of paper over it, and the word."""
    raster = Raster(width, height, ink, ink.panel)
    for y in range(height):
        for x in range(width):
            edge = width > 10 and height > 5 and (x in (0, width - 1) or y in (0, height - 1))
            if not edge:
                raster.fill(x, y, ink.paper, "/" if (x + y) % 6 == 0 else "", ink.faint)
    middle = height // 2
    for words, y in ((" COVERED ", middle), (f" {title} ", middle - 1 if height > 3 else -1)):
        raster.centred(width // 2, y, words, ink.paper_word, ink.paper, bold=words == " COVERED ")
    return raster.strips()
