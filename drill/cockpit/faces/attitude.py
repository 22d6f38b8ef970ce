"""The attitude indicator: sky, earth, pitch marks, bank marks, and a fixed airplane before a horizon that moves."""

from __future__ import annotations

import math
from typing import NamedTuple

from textual.strip import Strip

from drill.airplane.dials import BANK_MARKS_DEG, pitch_marks
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.ink import Ink
from drill.cockpit.raster import DOTS_DOWN, Raster, at

_SHOWN_PITCH_DEG = 22.0
"""Pitch from the middle to the top of the face."""

_HORIZON_WITHIN = 0.85
"""How far from the middle the horizon goes, as a share of the half face: some sky or earth always shows the way up."""

_LARGE_DOTS = 40.0
"""From this radius on the airplane's wings are thicker than half a cell."""


class Attitude(NamedTuple):
    """Bank in whole degrees (right positive), pitch in half degrees (nose up positive)."""

    bank_deg: int
    pitch_half_deg: int


class AttitudeFace:
    """The attitude indicator's face."""

    code = "attitude_indicator"
    title = "ATTITUDE"

    def key(self, shown: Shown, dial: Dial) -> Attitude:  # noqa: ARG002 - the protocol's
        """Return the attitude to 1 degree of bank and 0.5 degrees of pitch."""
        return Attitude(round(shown["bank_deg"]), round(shown["pitch_deg"] * 2))

    def draw(self, key: Attitude, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:  # noqa: ARG002
        """Return the picture. The pointer of bank moves with the sky, along marks that are fixed to the case."""
        raster = Raster(width, height, ink, ink.panel)
        view = Horizon(raster, key)
        view.ground()
        view.ladder()
        view.bank_scale()
        view.airplane()
        return raster.strips()


class Horizon:
    """Draws one attitude on a raster, or on its upper `rows`. Coordinates are dots from the middle, y downward."""

    def __init__(self, raster: Raster, attitude: Attitude, rows: int | None = None) -> None:
        self.raster = raster
        rows = raster.height if rows is None else rows
        down = rows * DOTS_DOWN
        self.ink = raster.ink
        self.bank = math.radians(attitude.bank_deg)
        self.pitch_deg = attitude.pitch_half_deg / 2
        self.middle = (raster.dots_across / 2, rows // 2 * 4.0)    # level, the horizon runs between two rows
        self.radius = min(self.middle[0], down - self.middle[1], self.middle[1]) - 1.0
        self.dots_a_degree = down / 2 / _SHOWN_PITCH_DEG
        half = min(*self.middle, down - self.middle[1])
        most = max(min(_HORIZON_WITHIN * half, half - DOTS_DOWN), half / 2)
        self.horizon_down = min(max(self.pitch_deg * self.dots_a_degree, -most), most)   # pitch marks go on beyond it
        self.up = (-math.sin(self.bank), -math.cos(self.bank))      # toward the sky, on the screen
        self.right = (math.cos(self.bank), -math.sin(self.bank))    # along the horizon

    def ground(self) -> None:
        """Fill every cell with sky or earth; where the horizon passes, with both."""
        if abs(self.up[1]) >= 0.5:
            self._across()
        else:
            self._steep()

    def _across(self) -> None:
        """Fill columns, each with a piece of horizon somewhere; inverted, the sky is below."""
        raster, ink = self.raster, self.ink
        lower, upper = (ink.earth, ink.sky) if self.up[1] < 0 else (ink.sky, ink.earth)
        down = self.horizon_down
        at_rows = [(self.middle[1] - (down + (x * 2 + 1 - self.middle[0]) * self.up[0]) / self.up[1]) / 4
                   for x in range(raster.width)]
        for y in range(raster.height):
            raster.fill_row(y, [upper if y + 0.5 < row else lower for row in at_rows], *self._pattern)
        for x, row in enumerate(at_rows):
            raster.split(x, math.floor(row), lower, upper, 1.0 - row % 1.0, *self._pattern)

    def _steep(self) -> None:
        """Fill rows, each with a piece of horizon somewhere."""
        raster, ink = self.raster, self.ink
        left, right = (ink.sky, ink.earth) if self.up[0] < 0 else (ink.earth, ink.sky)
        down = self.horizon_down
        for y in range(raster.height):
            column = (self.middle[0] - (down + (y * 4 + 2 - self.middle[1]) * self.up[1]) / self.up[0]) / 2
            raster.fill_row(y, [left if x + 0.5 < column else right for x in range(raster.width)], *self._pattern)
            raster.part(math.floor(column), y, left, right, column % 1.0, *self._pattern)

    @property
    def _pattern(self) -> tuple[str, str]:
        """What tells earth from sky beside the colour: the colour that has a pattern, and the pattern."""
        return (self.ink.earth, ":") if self.ink.texture or self.ink.plain else ("", "")

    def ladder(self) -> None:
        """Draw the pitch marks, long each ten degrees and short between, with figures where there is room."""
        for mark, is_long in pitch_marks(-85, 85):
            off = (mark - self.pitch_deg) * self.dots_a_degree
            if abs(off) > self.radius * 1.05 or off * self.up[1] < -0.64 * self.radius:    # there the bank scale is
                continue
            if not is_long and self.dots_a_degree * 5 < 3.0:
                continue
            half = self.radius * (0.42 if is_long else 0.20)
            x, y = self.middle[0] + off * self.up[0], self.middle[1] + off * self.up[1]
            self.raster.line(x - half * self.right[0], y - half * self.right[1],
                             x + half * self.right[0], y + half * self.right[1], self.ink.mark)
            if is_long and self.radius >= 20:
                for side in (-1, 1):
                    reach = side * (half + 4)
                    column = int(x + reach * self.right[0]) // 2 + (side > 0)
                    self._figure(column, int(y + reach * self.right[1]) // 4, str(abs(mark)))

    def _figure(self, column: int, row: int, words: str) -> None:
        """Print a figure around `column`, if all of it can be seen: a part of it would be another figure."""
        first = column - len(words) // 2
        behind_wings = self.radius < _LARGE_DOTS and row == int(self.middle[1]) // DOTS_DOWN
        if first >= 0 and first + len(words) <= self.raster.width and not behind_wings:
            self.raster.text(first, row, words)

    def bank_scale(self) -> None:
        """Draw the fixed marks around the top and the pointer that the sky carries."""
        raster, ink = self.raster, self.ink
        radius = self.radius
        if radius < 10:
            return
        for mark in (0, *BANK_MARKS_DEG):
            for side in (-1, 1) if mark else (1,):
                length = 0.14 if mark in (0, 30, 60) else 0.07
                raster.ray(self.middle, radius * (1 - length), radius, mark * side, ink.mark)
        deg = -math.degrees(self.bank)
        tip = radius * 0.84
        for inner in range(max(3, round(radius * 0.12))):
            spread = inner * 0.75
            left, right = (at((0.0, 0.0), tip - inner, deg + math.degrees(math.atan2(s * spread, tip - inner)))
                           for s in (-1, 1))
            raster.line(self.middle[0] + left[0], self.middle[1] + left[1],
                        self.middle[0] + right[0], self.middle[1] + right[1], ink.airplane)

    def airplane(self) -> None:
        """Draw the fixed airplane right below the middle: two wings and the nose between them."""
        span, inner = max(6.0, self.radius * 0.62), max(3.0, self.radius * 0.22)
        if self.radius >= _LARGE_DOTS:
            self._large_airplane(span, inner)
            return
        raster, half = self.raster, self.raster.width / 2
        row = int(self.middle[1]) // 4
        right = range(math.ceil(half + inner / 2), math.floor(half + span / 2) + 1)
        for x in (math.floor(half), *right):
            for column in (x, raster.width - 1 - x):
                raster.slab(column, row, self.ink.airplane)

    def _large_airplane(self, span: float, inner: float) -> None:
        (x, y), thick = self.middle, self.radius / 16
        for side in (-1, 1):
            self.raster.bar(x + side * inner, y + thick / 2, x + side * span, y + thick / 2, self.ink.airplane, thick)
            self.raster.bar(x + side * inner, y, x + side * inner, y + 3 * thick, self.ink.airplane, thick)
        self.raster.bar(x - thick, y + thick / 2, x + thick, y + thick / 2, self.ink.airplane, thick)


FACE = AttitudeFace()
