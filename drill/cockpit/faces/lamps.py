"""Whether a thing is on, as a word beside its name: the autopilot's annunciator, the radio and the transponder."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from textual.strip import Strip

from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.lettering import titled_below
from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster


class Lit(NamedTuple):
    """Whether the airplane has it, and whether it is on."""

    fitted: bool
    on: bool


@dataclass(frozen=True, slots=True)
class Lamp:
    """One of these: its instrument's code, its name in full and in few letters, the field of `Panel`, the word for off.

    On is a word in green, off a faint one: the change of word tells it too, where colors do not.
    """

    code: str
    title: str
    short: str
    field: str
    off: str

    def key(self, shown: Shown, dial: Dial) -> Lit:
        """Return whether it is on."""
        return Lit(self.code not in dial.without, shown[self.field] > 0.5)

    def words(self, key: Lit) -> str:
        """Return the word that stands on it."""
        return "ON" if key.on else self.off

    def draw(self, key: Lit, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture: a row with the name and the word, or the word above the name where rows are left."""
        raster = Raster(width, height, ink, ink.dial if key.fitted else ink.panel)
        if not key.fitted:
            return raster.strips()
        word, colour = self.words(key), ink.green if key.on else ink.faint
        if height >= 3:
            raster.centred(width // 2, (height - 1) // 2, word, colour, bold=key.on)
            titled_below(raster, self.title if len(self.title) <= width else self.short)
            return raster.strips()
        name = self.title if len(self.title) + len(word) + 2 < width else self.short
        row = (height - 1) // 2
        raster.text(0, row, name, ink.faint)
        raster.text(max(width - 1 - len(word), len(name) + 1), row, word, colour, bold=key.on)
        return raster.strips()


AUTOPILOT = Lamp("autopilot", "AUTOPILOT", "AP", "autopilot_on", "off")
RADIO = Lamp("radio", "RADIO", "RAD", "radio_on", "dark")
TRANSPONDER = Lamp("transponder", "TRANSPONDER", "XPDR", "transponder_on", "dark")
LAMPS = (AUTOPILOT, RADIO, TRANSPONDER)
