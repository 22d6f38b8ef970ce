"""The small gauges at the edge of the panel: suction, ammeter, voltmeter, tachometer. One needle before a sector each.

Nothing here changes its colour with the reading and nothing blinks: a gauge is to be looked at. What an airplane has
for a warning is a light, and it is drawn as a word on a ground of its own.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple, TypeAlias

from textual.strip import Strip

from drill.airplane import pointers
from drill.airplane.pointers import SWEEP_DEG as SWEEP_DEG  # for who asks a gauge
from drill.airplane.pointers import GaugeScale
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.lettering import placard, stroke, stroke_width, titled_below
from drill.cockpit.faces.round_dial import needle
from drill.cockpit.faces.scale import scale_line, share_of
from drill.cockpit.ink import Ink
from drill.cockpit.raster import DOTS_DOWN, Raster, at

Band: TypeAlias = tuple[float, float] | None


class Reading(NamedTuple):
    """Where the needle stands, in whole `steps` of the scale, and whether the warning light is on."""

    steps: int
    light: bool = False


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge's face."""

    code: str
    title: str
    field: str                                   # of `Panel`
    scale: GaugeScale
    step: float                                  # the finest reading
    needle_step: float                           # what the needle moves by
    words: Callable[[float], tuple[str, ...]]    # the value, from long to short; beside the title, where there is room
    light_field: str = ""
    light: str = ""
    unsigned: bool = False

    def key(self, shown: Shown, dial: Dial) -> Reading:
        """Return the reading in steps of the scale, a little beyond its ends at most."""
        value = abs(shown[self.field]) if self.unsigned else shown[self.field]
        room = self.scale.high - self.scale.low
        value = min(max(value, self.scale.low - room), self.scale.high + room)
        fitted = bool(self.light_field) and (self.code != "suction_gauge" or dial.low_vacuum_light)
        return Reading(round(value / self.step), fitted and shown[self.light_field] > 0.5)

    def draw(self, key: Reading, width: int, height: int, ink: Ink, dial: Dial) -> list[Strip]:
        """Return the picture: a sector, or a straight scale where there is no room for one."""
        return list(_picture(self, key, width, height, ink, self.band(dial), self.limit(dial)))

    def band(self, dial: Dial) -> Band:
        """Return the green band printed on this gauge."""
        return {"suction_gauge": dial.suction_green, "tachometer": dial.rpm_green}.get(self.code)

    def limit(self, dial: Dial) -> float | None:
        """Return where the red line of this gauge is."""
        return dial.rpm_green[1] if self.code == "tachometer" else None

    @property
    def ends(self) -> tuple[float, ...]:
        """The marks of the straight scale: both ends, and zero if it lies between."""
        return (self.scale.low, *((0.0,) if self.scale.low < 0 < self.scale.high else ()), self.scale.high)

    def value(self, key: Reading) -> float:
        """Return the reading in the gauge's unit."""
        return key.steps * self.step

    def fitting(self, key: Reading, room: int) -> str:
        """Return the longest words for the value that fit into `room` characters; empty if none does."""
        return next((words for words in self.words(self.value(key)) if len(words) <= room), "")


@lru_cache(maxsize=32)
def _picture(gauge: Gauge, key: Reading, width: int, height: int, ink: Ink, band: Band,
             limit: float | None) -> tuple[Strip, ...]:
    if width < 14 or height < 5:
        return tuple(_straight(gauge, key, width, height, ink, band, limit).strips())
    return tuple(_sector(gauge, key, width, height, ink, band, limit).strips())


def _straight(gauge: Gauge, key: Reading, width: int, height: int, ink: Ink, band: Band,
              limit: float | None) -> Raster:
    raster = Raster(width, height, ink)
    low, high = gauge.scale.low, gauge.scale.high
    line = scale_line(width, share_of(gauge.value(key), low, high), [share_of(mark, low, high) for mark in gauge.ends],
                      letters=() if limit is None else ((share_of(limit, low, high), "X"),),
                      band=band and (share_of(band[0], low, high), share_of(band[1], low, high)), plain=ink.plain)
    top = max((height - 4) // 2, 0) if height > 4 else 0
    words = gauge.fitting(key, width)
    raster.text(0, top + 1, line)
    raster.centred(width // 2, top + 2, words, bold=True)
    if height > 4:
        titled_below(raster, gauge.title)
    elif not key.light:
        raster.centred(width // 2, 0, gauge.title, ink.faint)
    if key.light:
        placard(raster, top, gauge.light)
    return raster


def _sector(gauge: Gauge, key: Reading, width: int, height: int, ink: Ink, band: Band,
            limit: float | None) -> Raster:
    raster = _printed(gauge, width, height, ink, band, limit).copy()
    _, radius = sector_of(width, height)
    shown = round(gauge.value(key) / gauge.needle_step) * gauge.needle_step
    high = _figure_high(radius, ink)
    figures = _figures(gauge.scale, width, height, ink)
    _needle(raster, gauge.scale.angle(shown), high, figures)
    for x, y, words in figures:
        if high:
            stroke(raster, words, (x, y), high, ink.mark)
        else:
            raster.text(math.floor((x - len(words)) / 2 + 0.5), int(y) // 4, words)
    bottom = height - 1
    words = gauge.fitting(key, width - len(gauge.title) - 2)      # the last column stays free
    if words:
        gap = 2 if len(gauge.title) + len(words) + 3 <= width else 1
        left = (width - len(gauge.title) - len(words) - gap) // 2
        raster.text(left, bottom, gauge.title, ink.faint)
        raster.text(left + len(gauge.title) + gap, bottom, words)
    else:
        raster.centred(width // 2, bottom, gauge.title, ink.faint)
    if key.light:
        rows = 3 if height >= 20 else 1
        placard(raster, bottom - 1 - rows // 2, f"! {gauge.light} !", rows)
    return raster


def _needle(raster: Raster, deg: float, figure_high: float, figures: tuple[tuple[float, float, str], ...]) -> None:
    """Draw the needle. It is broken where it crosses a figure: half a figure is another figure."""
    centre, radius = sector_of(raster.width, raster.height)
    ring, thick = _figure_ring(radius, figure_high), min(max(2.0, radius / 16), 8.0)
    over_x, over_y = at(centre, ring, deg)
    high = figure_high or DOTS_DOWN
    halves = [stroke_width(words, high) / 2 if figure_high else len(words) for _, _, words in figures]
    crosses = any(abs(over_x - x) <= half + thick / 2 and abs(over_y - y) < high
                  for (x, y, _), half in zip(figures, halves, strict=True))
    if not crosses or raster.ink.plain:
        needle(raster, centre, deg, 0, radius - 1, raster.ink.needle, thick=thick)
        return
    half = high * 0.75
    raster.ray(centre, 0, ring - half, deg, raster.ink.needle, thick=thick)
    raster.ray(centre, ring + half, radius - 1, deg, raster.ink.needle, thick=thick / 2)


def sector_of(width: int, height: int) -> tuple[tuple[float, float], float]:
    """Return the needle's pivot and the radius of the scale, in dots, on a face of `width` by `height` cells."""
    across, down = width * 2, (height - 1) * 4
    radius = min((across / 2 - 1) / math.sin(math.radians(SWEEP_DEG)), down - 2.0)
    return (across / 2, (down + radius) / 2), radius


@lru_cache(maxsize=32)
def _printed(gauge: Gauge, width: int, height: int, ink: Ink, band: Band, limit: float | None) -> Raster:
    """Return what does not move: the arc, its marks, the band (a thicker arc between two long marks), the red line."""
    raster = Raster(width, height, ink)
    titled_below(raster, "")
    scale = gauge.scale
    centre, radius = sector_of(width, height)
    if ink.plain:
        _printed_plain(raster, scale, band, limit)
        return raster
    figured = {value for value, _ in scale.figures}
    raster.arc(centre, radius, -SWEEP_DEG, SWEEP_DEG, ink.rim)
    fine = len(scale.marks) * 3 <= math.radians(2 * SWEEP_DEG) * radius
    for mark in scale.marks:
        if mark in figured or fine:
            length = max(3.0, radius * 0.1) if mark in figured else max(1.0, radius * 0.05)
            raster.ray(centre, radius - length, radius, scale.angle(mark), ink.mark, thick=max(0.5, radius / 50))
    if band is not None:
        low, high = (scale.angle(edge) for edge in band)
        for depth in range(max(2, round(radius * 0.06))):
            raster.arc(centre, radius - depth, low, high, ink.green)
        for edge in (low, high):
            raster.ray(centre, radius - max(4.0, radius * 0.12), radius, edge, ink.green, thick=max(0.5, radius / 50))
    if limit is not None:
        raster.ray(centre, radius - max(5.0, radius * 0.2), radius, scale.angle(limit), ink.red,
                   thick=max(1.0, radius / 25))
    return raster


def _printed_plain(raster: Raster, scale: GaugeScale, band: Band, limit: float | None) -> None:
    """Print the scale with characters: + at a figure, . between, = along the band, its edges in brackets, X a limit."""
    centre, radius = sector_of(raster.width, raster.height)
    figured = [value for value, _ in scale.figures]
    places: list[tuple[float, str]] = [(scale.angle(value), "+") for value in figured]
    if len(scale.marks) * 5 <= math.radians(2 * SWEEP_DEG) * radius:
        places = [(scale.angle(value), ".") for value in scale.marks if value not in figured] + places
    if band is not None:
        low, high = (scale.angle(edge) for edge in band)
        steps = max(1, math.ceil(math.radians(high - low) * radius / 2))
        places += [(low + (high - low) * step / steps, "=") for step in range(1, steps)]
        places += [(low, "["), (high, "]")]
    if limit is not None:
        places.append((scale.angle(limit), "X"))
    for deg, character in places:
        x, y = at(centre, radius, deg)
        raster.text(min(int(x) // 2, raster.width - 1), int(y) // 4, character,
                    raster.ink.green if character in "[=]" else raster.ink.red if character == "X" else raster.ink.mark)


def _figure_high(radius: float, ink: Ink) -> float:
    """Return how high figures are drawn with strokes, in dots; 0 where a character is as large."""
    return 0.0 if ink.plain or radius < 75 else radius * 0.11


def _figure_ring(radius: float, high: float) -> float:
    """Return the radius that the middles of the figures lie on."""
    return radius - max(6.0, radius * 0.15, high * 1.9)


@lru_cache(maxsize=32)
def _figures(scale: GaugeScale, width: int, height: int, ink: Ink) -> tuple[tuple[float, float, str], ...]:
    """Return the figures and where their middles are, in dots. Every other one is left out while they would touch."""
    centre, radius = sector_of(width, height)
    high = _figure_high(radius, ink)
    inner = _figure_ring(radius, high)
    figures = scale.figures
    longest = max(stroke_width(words, high) if high else len(words) * 2.0 for _, words in figures)
    while len(figures) > 3 and (longest + 3) * (len(figures) - 1) > math.radians(2 * SWEEP_DEG) * inner:
        figures = figures[::2]
    return tuple((*at(centre, inner, scale.angle(value)), words) for value, words in figures)


def _suction_words(value: float) -> tuple[str, ...]:
    return f"{value:.1f} in", f"{value:.1f}"


def _amps_words(value: float) -> tuple[str, ...]:
    amps = round(value)
    if amps == 0:
        return ("zero",)
    way = "charge" if amps > 0 else "discharge"
    return f"{abs(amps)} {way}", f"{amps:+d}"


def _volts_words(value: float) -> tuple[str, ...]:
    return (f"{value:.1f}",)


def _rpm_words(value: float) -> tuple[str, ...]:
    return (f"{value:.0f}",)


SUCTION = Gauge(
    "suction_gauge", "SUCTION", "suction_inhg", pointers.SUCTION_INHG, 0.1, 0.1,
    _suction_words, light_field="low_vacuum_light", light="LOW VAC", unsigned=True)
AMMETER = Gauge("ammeter", "AMPS", "amps", pointers.AMPERES, 1.0, 1.0, _amps_words)
VOLTS = (pointers.VOLTS.low, pointers.VOLTS.high)
VOLTMETER = Gauge(
    "voltmeter", "VOLTS", "volts", pointers.VOLTS, 0.1, 0.1,
    _volts_words, light_field="low_voltage_light", light="LOW VOLT")
TACHOMETER = Gauge("tachometer", "RPM", "rpm", pointers.RPM, 10.0, 20.0, _rpm_words)
