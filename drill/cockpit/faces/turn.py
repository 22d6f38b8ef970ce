"""The turn coordinator: a little airplane, seen from behind, banks with the rate of turn; a ball lies in its tube."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from textual.strip import Strip

from drill.airplane.pointers import STANDARD_RATE_TILT_DEG as STANDARD_RATE_TILT_DEG  # for who asks this face
from drill.airplane.pointers import TURN_STOP_DPS, turn_tilt_deg
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.round_dial import (
    Ring,
    dial_ground,
    disc,
    needle,
    needle_thickness,
    ring,
    small,
    title,
    value_corner,
)
from drill.cockpit.ink import Ink
from drill.cockpit.raster import DOTS_DOWN, Raster, at

MARKED_TILTS_DEG = (-STANDARD_RATE_TILT_DEG, 0.0, STANDARD_RATE_TILT_DEG)
"""Which leans have a mark on the case: standard rate left, wings level, standard rate right."""

STEP_DPS = 0.25
"""To what the rate is shown."""

_TUBE_DEG = 15.0      # from the middle of the tube to an end of the ball's way, along the tube's curve


class Turn(NamedTuple):
    """Rate in steps of `STEP_DPS` (right positive), ball in tenths of its way (right positive), flag in view."""

    rate_steps: int
    ball_tenths: int
    flag: bool


def tilt_deg(rate_dps: float, dial: Dial) -> float:
    """Return how far the little airplane leans, right wing down positive."""
    return turn_tilt_deg(rate_dps, dial.standard_rate_dps)


class TurnFace:
    """The turn coordinator's face."""

    code = "turn_coordinator"
    title = "TURN"

    def key(self, shown: Shown, dial: Dial) -> Turn:  # noqa: ARG002 - the protocol's
        """Return the rate to a quarter degree a second up to the stop, the ball to a tenth, and the flag."""
        rate = round(min(max(shown["turn_rate_dps"], -TURN_STOP_DPS), TURN_STOP_DPS) / STEP_DPS)
        return Turn(rate, round(min(max(shown["ball"], -1.0), 1.0) * 10), shown["turn_flag"] > 0.5)

    def draw(self, key: Turn, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:
        """Return the picture."""
        return list(_picture(key, width, height, ink, dial))


@lru_cache(maxsize=8)
def _picture(turn: Turn, width: int, height: int, ink: Ink, dial: Dial) -> tuple[Strip, ...]:
    where = ring(width, height, 0)
    if where is None:
        return tuple(_small(turn, width, height, ink).strips())
    raster = _ground(width, height, ink, where).copy()
    if ink.plain:     # a few characters cannot lean finely enough
        words = _rate_words(turn).rjust(6)
        raster.text(*value_corner(raster, where, len(words)), words, ink.needle, bold=True)
    view = _View(raster, where)
    view.airplane(tilt_deg(turn.rate_steps * STEP_DPS, dial))
    view.ball(turn.ball_tenths / 10)
    if turn.flag:
        view.flag()
    return tuple(raster.strips())


def _rate_words(turn: Turn) -> str:
    rate = turn.rate_steps * STEP_DPS
    return f"{'R' if rate > 0 else 'L'} {abs(rate):.2f}" if rate else "LEVEL"


def _small(turn: Turn, width: int, height: int, ink: Ink) -> Raster:
    raster = small("TURN OFF" if turn.flag else "TURN", _rate_words(turn), width, height, ink)
    top = max(0, (height - 2) // 2)
    if turn.flag:
        raster.centred(width // 2 + 2, top, " OFF", ink.flag_word, ink.flag, bold=True)
    raster.centred(width // 2, top + 2, _tube_of_words(turn.ball_tenths / 10, 3), ink.mark)
    return raster


def _tube_of_words(ball: float, half: int) -> str:
    """Return the tube as 2 `half` + 1 characters, the ball an O, the two lines beside its middle place."""
    tube = ["-"] * (2 * half + 1)
    for line in (half - 1, half + 1):
        tube[line] = "|"
    tube[half + round(ball * half)] = "O"
    return "".join(tube)


@lru_cache(maxsize=16)
def _ground(width: int, height: int, ink: Ink, where: Ring) -> Raster:
    """Return what does not move: marks, words, the tube and its two lines."""
    raster = dial_ground(width, height, ink, where)
    view = _View(raster, where)
    view.marks()
    view.tube()
    title(raster, where, "TURN")
    return raster


class _View:
    """Draws on a raster, around the middle of the little airplane."""

    def __init__(self, raster: Raster, where: Ring) -> None:
        self.raster = raster
        self.ink = raster.ink
        self.outer = where.outer
        self.centre = where.centre
        self.middle = (where.centre[0], where.centre[1] - where.outer * 0.16)
        self.reach = where.outer * 0.72                 # of a wing tip
        self.curve = where.outer * 1.5                  # radius of the tube's curve, its centre above
        self.bottom = where.centre[1] + where.outer * 0.56   # of the tube's middle line
        self.ball_size = max(1.5, where.outer * 0.1)

    def marks(self) -> None:
        """Draw the marks of level wings and standard rate on both sides, with their words."""
        ink = self.ink
        for side in (90, 270):
            for tilt in MARKED_TILTS_DEG:
                if (tilt < 0) == (side == 90) and tilt:
                    continue                            # the wing goes down on the side of the turn
                self._mark(side + tilt)
        for side, words in ((1, "R"), (-1, "L")):
            deg = side * (90 + STANDARD_RATE_TILT_DEG + 15)
            x, y = at(self.middle, self.reach + self.outer * 0.1, deg)
            self.raster.text(int(x) // 2, int(y) // DOTS_DOWN, words, ink.mark, bold=True)
        lowest = int(self.centre[1] + self.outer) // DOTS_DOWN
        self.raster.centred(int(self.centre[0]) // 2, lowest, "2 MIN", ink.mark)

    def _mark(self, deg: float) -> None:
        inner, outer = self.reach + 1, self.reach + max(3.0, self.outer * 0.14)
        if self.ink.plain:
            x, y = at(self.middle, inner + 1, deg)
            self.raster.text(int(x) // 2, int(y) // DOTS_DOWN, "=", self.ink.mark)
            return
        self.raster.ray(self.middle, inner, outer, deg, self.ink.mark, thick=2.0 if self.outer >= 20 else 1.0)

    def airplane(self, tilt: float) -> None:
        """Draw the airplane leaning by `tilt` degrees, right wing down positive."""
        raster, ink = self.raster, self.ink
        for side in (90, -90):
            needle(raster, self.middle, side + tilt, 0, self.reach - 1, ink.airplane,
                   thick=needle_thickness(self.outer))
        needle(raster, self.middle, tilt, 0, self.outer * 0.3, ink.airplane, thick=self.outer * 0.04)
        if ink.plain:
            raster.text(int(self.middle[0]) // 2, int(self.middle[1]) // DOTS_DOWN, "o", ink.airplane)
        else:
            disc(raster, self.middle, max(2.0, self.outer * 0.12), ink.airplane)

    def tube(self) -> None:
        """Draw the tube, lower in its middle, and the two lines between which the ball is centred."""
        raster, ink = self.raster, self.ink
        x, y = self._along(0.0)
        if ink.plain:
            return
        half = self.ball_size + 1.5
        centre = (x, y - self.curve)
        ends = _TUBE_DEG + math.degrees((self.ball_size + 1) / self.curve)
        for off in (-half, half):
            raster.arc(centre, self.curve + off, 180 - ends, 180 + ends, ink.faint)
        for deg in (180 - ends, 180 + ends):
            raster.ray(centre, self.curve - half, self.curve + half, deg, ink.faint)
        for side in (-1, 1):
            off = side * (self.ball_size + 1.5)
            raster.line(x + off, y - half, x + off, y + half, ink.mark)

    def ball(self, ball: float) -> None:
        """Draw the ball at `ball` of its way, right positive."""
        raster, ink = self.raster, self.ink
        if ink.plain:
            words = _tube_of_words(ball, max(4, int(self.outer * 0.2)))
            x, y = self._along(0.0)
            raster.text(int(x) // 2 - len(words) // 2, int(y) // DOTS_DOWN, words, ink.mark)
            return
        disc(raster, self._along(ball), self.ball_size, ink.needle)

    def _along(self, ball: float) -> tuple[float, float]:
        return at((self.middle[0], self.bottom - self.curve), self.curve, 180 - ball * _TUBE_DEG)

    def flag(self) -> None:
        """Let the flag drop into view."""
        y = int(self.middle[1] - self.outer * 0.5) // DOTS_DOWN
        self.raster.centred(int(self.middle[0]) // 2, y, " OFF ", self.ink.flag_word, self.ink.flag, bold=True)


FACE = TurnFace()
