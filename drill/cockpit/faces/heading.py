"""The heading indicator: a card that turns under a lubber line, around a fixed airplane."""

from __future__ import annotations

from functools import lru_cache

from textual.strip import Strip

from drill.airplane.pointers import CARD_FIGURES as CARD_FIGURES  # what its card has, for who asks this face
from drill.airplane.pointers import on_the_case_deg as on_the_case_deg
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.round_dial import Ring, dial_ground, inside, mark, ring, small, title, value_corner
from drill.cockpit.ink import Ink
from drill.cockpit.raster import DOTS_DOWN, Raster
from drill.flight.readings import three_digits


class HeadingFace:
    """The heading indicator's face."""

    code = "heading_indicator"
    title = "HEADING"

    def key(self, shown: Shown, dial: Dial) -> int:  # noqa: ARG002 - the protocol's
        """Return the heading to the degree, 0 to 359."""
        return round(shown["heading_deg"] % 360) % 360

    def draw(self, key: int, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture."""
        return list(_picture(key, width, height, ink))


@lru_cache(maxsize=8)
def _picture(heading: int, width: int, height: int, ink: Ink) -> tuple[Strip, ...]:
    whole = ring(width, height, 0)
    if whole is None:
        return tuple(small("HEADING", three_digits(heading), width, height, ink).strips())
    card = Ring(whole.centre, whole.outer - max(DOTS_DOWN, whole.outer * 0.07), whole.outer, figures=True)
    ground, place = _ground(width, height, ink, card)
    raster = ground.copy()
    each = 5 if card.radius >= 40 else 10
    for bearing in range(0, 360, each):
        if card.radius >= 16 or bearing % 30 == 0:
            mark(raster, card, on_the_case_deg(bearing, heading), ink.mark, long=bearing % 30 == 0)
    for number, words in enumerate(CARD_FIGURES):
        if card.radius >= 16 or number % 3 == 0:
            deg = on_the_case_deg(number * 30, heading)
            place_on_card = inside(card, deg, min(card.radius * 0.2, 10) + 1, words)
            raster.text(*place_on_card, words, ink.mark, bold=number % 3 == 0)
    raster.text(*place, three_digits(heading), ink.needle, bold=True)
    return tuple(raster.strips())


@lru_cache(maxsize=16)
def _ground(width: int, height: int, ink: Ink, card: Ring) -> tuple[Raster, tuple[int, int]]:
    """Return what does not turn (lubber line, marks of the case, airplane), and where the value stands."""
    raster = dial_ground(width, height, ink, card)
    for deg in range(45, 360, 45) if not ink.plain else ():
        raster.ray(card.centre, card.radius + 1.5, card.radius + 3, deg, ink.faint)
    _lubber(raster, card)
    _airplane(raster, card)
    place = value_corner(raster, card, 3)
    title(raster, card, "HEADING", "HDG", before=place[0])
    return raster, place


def _lubber(raster: Raster, card: Ring) -> None:
    """Draw the triangle above the card, its point on the card's edge."""
    x, y = card.centre
    if raster.ink.plain:
        raster.text(int(x) // 2, int(y - card.outer) // DOTS_DOWN, "V", raster.ink.airplane, bold=True)
        return
    tip = y - card.radius - 1
    for up in range(int(card.outer - card.radius)):
        raster.line(x - up, tip - up, x + up, tip - up, raster.ink.airplane)


def _airplane(raster: Raster, card: Ring) -> None:
    """Draw the airplane in the middle, seen from above, its nose toward the lubber line."""
    ink = raster.ink
    (x, y), size = card.centre, card.radius * 0.34
    if ink.plain:
        column, row = int(x) // 2, int(y) // DOTS_DOWN
        raster.text(column, row - 1, "^", ink.airplane)
        raster.text(column - 2, row, "--|--" if card.radius >= 16 else " -|- ", ink.airplane)
        if card.radius >= 16:
            raster.text(column - 1, row + 1, "-^-", ink.airplane)
        return
    thick = max(1.0, size * 0.18)
    raster.bar(x, y - size, x, y + size, ink.airplane, thick)
    raster.bar(x - size, y - size * 0.2, x + size, y - size * 0.2, ink.airplane, thick)
    raster.bar(x - size * 0.4, y + size * 0.85, x + size * 0.4, y + size * 0.85, ink.airplane, thick)


FACE = HeadingFace()
