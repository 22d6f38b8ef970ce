"""The course needle: a vertical needle before a circle and five dots to each side, and a flag when it is not usable."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from textual.strip import Strip

from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.lettering import placard, titled_below
from drill.cockpit.faces.round_dial import disc
from drill.cockpit.ink import Ink
from drill.cockpit.raster import Raster

DOTS_A_SIDE = 5
_STEPS = 50        # of the needle to one side


class Needle(NamedTuple):
    """The needle in fiftieths of full scale, right positive, and whether the flag is in sight."""

    fiftieths: int
    flag: bool


def needle_dot(fiftieths: int, across: int) -> float:
    """Return where the needle stands, in dots from the left of `across`; full scale is the last dot of the scale."""
    return across / 2 + fiftieths / _STEPS * spacing(across) * DOTS_A_SIDE


def spacing(across: int) -> float:
    """Return the distance of the dots of the scale, in dots of a face `across` wide."""
    return (across / 2 - 2) / (DOTS_A_SIDE + 0.4)


class CourseFace:
    """The course needle's face."""

    code = "course_needle"
    title = "COURSE"

    def key(self, shown: Shown, dial: Dial) -> Needle:  # noqa: ARG002 - the protocol's
        """Return the needle to 0.02 of full scale."""
        deviation = min(max(shown["course_deviation"], -1.0), 1.0)
        return Needle(round(deviation * _STEPS), shown["course_flag"] > 0.5)

    def draw(self, key: Needle, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture. With the flag out the needle is drawn faint where it stopped."""
        return list(_picture(key, width, height, ink))


@lru_cache(maxsize=8)
def _picture(key: Needle, width: int, height: int, ink: Ink) -> tuple[Strip, ...]:
    raster = _ground(width, height, ink).copy()
    rows = max(height - 1, 1)
    middle = rows * 2
    x = needle_dot(key.fiftieths, raster.dots_across)
    half = min(rows * 4 - 1, raster.dots_across) / 2
    colour = ink.faint if key.flag else ink.needle
    gap = spacing(raster.dots_across)
    if ink.plain:
        for y in range(rows):
            raster.text(int(x) // 2, y, "|", colour, bold=not key.flag)
    else:
        raster.bar(x, middle - half, x, middle + half, colour, 0.5 if gap < 5 else gap / 5)
    if key.flag:
        words = "OFF".center(max(3, width // 7 // 2 * 2 + 1))
        placard(raster, max(rows // 2 - max(rows // 4, 1), 0), words, max(rows // 16 * 2 + 1, 1))
    return tuple(raster.strips())


@lru_cache(maxsize=16)
def _ground(width: int, height: int, ink: Ink) -> Raster:
    """Return what does not move: the circle and the dots; where they would run together, the outermost alone."""
    raster = Raster(width, height, ink)
    rows = max(height - 1, 1)
    gap = spacing(raster.dots_across)
    middle = (float(width), rows * 2.0)
    step = 1 if gap >= 2.0 else DOTS_A_SIDE
    places = [middle[0] + side * number * gap for number in range(step, DOTS_A_SIDE + 1, step) for side in (-1, 1)]
    if ink.plain:
        for x in places:
            raster.text(int(x) // 2, rows // 2, "." if step == 1 else ":", ink.mark)
        raster.text(width // 2, rows // 2, "o", ink.airplane)
    else:
        raster.arc(middle, max(1.5, min(gap * 0.6, middle[1] - 1)), 0, 360, ink.airplane)
        for x in places:
            if step > 1:
                raster.line(x, middle[1] - 2, x, middle[1] + 1, ink.mark)
            else:
                disc(raster, (x, middle[1]), min(gap * 0.13, middle[1] * 0.2), ink.mark)
    if height > 2:
        titled_below(raster, "COURSE")
    return raster


FACE = CourseFace()
