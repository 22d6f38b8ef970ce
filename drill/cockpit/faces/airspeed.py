"""The airspeed indicator: knots, clockwise from the upper right, with the arcs of the airplane's own speeds."""

from __future__ import annotations

from functools import lru_cache

from textual.strip import Strip

from drill.airplane.pointers import FIGURE_EACH_KT, airspeed_deg, airspeed_high_kt
from drill.airplane.pointers import LOW_KT as LOW_KT  # the scale's lowest mark, for who asks this face
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.round_dial import (
    Ring,
    arc,
    corner,
    dashes,
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

MARK_EACH_KT = 10

_MOST_KT = 999
_MARKS_OVER_ARCS = 40.0


def high_kt(dial: Dial) -> int:
    """Return the highest mark of the scale, well above the never-exceed speed."""
    return airspeed_high_kt(max((arc.high for arc in dial.arcs), default=0.0))


def needle_deg(knots: float, dial: Dial) -> float:
    """Return where the needle points at `knots`, degrees clockwise from the top; it stays between its stops."""
    return airspeed_deg(knots, high_kt(dial))


class AirspeedFace:
    """The airspeed indicator's face."""

    code = "airspeed_indicator"
    title = "AIRSPEED"

    def key(self, shown: Shown, dial: Dial) -> int:  # noqa: ARG002 - the protocol's
        """Return the airspeed to the knot."""
        return round(min(max(shown["airspeed_kt"], 0.0), _MOST_KT))

    def draw(self, key: int, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:
        """Return the picture."""
        return list(_picture(key, width, height, ink, dial))


@lru_cache(maxsize=8)
def _picture(knots: int, width: int, height: int, ink: Ink, dial: Dial) -> tuple[Strip, ...]:
    where = ring(width, height, 3)
    if where is None:
        return tuple(small("AIRSPEED", f"{knots} KT", width, height, ink).strips())
    ground, place, word = _ground(width, height, ink, dial, where)
    raster = ground.copy()
    cells = needle(raster, where.centre, needle_deg(knots, dial), where.radius * 0.2, where.radius - 1, ink.needle,
                   thick=needle_thickness(where.radius))
    if word is not None:
        print_below(raster, *word, "VNE", ink.red, cells)
    hub(raster, where.centre, max(1.5, where.radius * 0.09), ink.needle)
    if where.roomy:
        window(raster, width // 2, _window_row(where), f"{knots:3d}", unit="KT")
    else:
        raster.text(*place, f"{knots:3d} KT" if place[0] + 6 <= width else f"{knots:3d}", ink.needle, bold=True)
    return tuple(raster.strips())


def _window_row(where: Ring) -> int:
    return int(where.centre[1] + where.radius * 0.48) // 4


@lru_cache(maxsize=16)
def _ground(width: int, height: int, ink: Ink, dial: Dial, where: Ring) -> (
        tuple[Raster, tuple[int, int], tuple[int, int] | None]):
    """Return what does not move, where the value stands if in a corner, and where the red line's word stands."""
    raster = dial_ground(width, height, ink, where)
    marks = range(LOW_KT, high_kt(dial) + 1, MARK_EACH_KT)
    over = ink.plain or where.radius >= _MARKS_OVER_ARCS   # on a small dial white marks would break the arcs up
    for knots in marks:
        mark(raster, where, needle_deg(knots, dial), ink.mark, long=knots % FIGURE_EACH_KT == 0 and not over)
    _arcs(raster, where, dial)
    for knots in marks:
        if knots % FIGURE_EACH_KT == 0:
            if over:
                mark(raster, where, needle_deg(knots, dial), ink.mark, long=True)
            if where.figures:
                figure(raster, where, needle_deg(knots, dial), str(knots))
    word = _red_line(raster, where, dial)
    place = corner(raster, where, 6, right=True) or value_corner(raster, where, 3)
    title(raster, where, "AIRSPEED", "SPEED", "ASI", "KT", before=None if where.roomy else place[0])
    return raster, place, word


def _arcs(raster: Raster, where: Ring, dial: Dial) -> None:
    """Draw the arcs, no two of one shape: green solid, yellow broken and double, white thin and further in."""
    ink = raster.ink
    thick = min(max(2, round(where.radius * 0.09)), 5)
    for each in dial.arcs:
        start, end = needle_deg(each.low, dial), needle_deg(each.high, dial)
        if each.colour == "white":
            arc(raster, where, thick + 2, start, end, ink.mark, plain_as="'")
        elif each.colour == "green":
            arc(raster, where, 0, start, end, ink.green, thick=thick, plain_as="=")
        elif each.colour == "yellow" and ink.plain:
            arc(raster, where, 0, start, end, ink.yellow, plain_as=":")
        elif each.colour == "yellow":
            for inward in (0, thick):
                dashes(raster, where.centre, where.radius - inward, start, end, ink.yellow)


def _red_line(raster: Raster, where: Ring, dial: Dial) -> tuple[int, int] | None:
    """Draw the red line across the scale; return where its word begins, if there is room."""
    word = None
    for each in dial.arcs:
        if each.colour != "red":
            continue
        deg = needle_deg(each.high, dial)
        if raster.ink.plain:
            arc(raster, where, 0, deg, deg, raster.ink.red, plain_as="X")
        else:
            thick = min(max(2.0, where.radius * 0.1), 4.0)
            raster.ray(where.centre, where.radius * 0.72, where.radius + 1, deg, raster.ink.red, thick=thick)
        if where.roomy:
            word = inside(where, deg, where.radius * 0.32, "VNE")
    return word


FACE = AirspeedFace()
