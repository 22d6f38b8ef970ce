"""The sketch of a situation: where the flight begins, the fields around it, course, wind, minimum altitude.

North (magnetic) is up and the airplane's place is where the flight begins; nothing on it comes from the story.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.strip import Strip

from drill.cockpit.ink import Ink
from drill.cockpit.raster import DOTS_ACROSS, DOTS_DOWN, Raster, at

if TYPE_CHECKING:
    from drill.scenario.model import Field, Scenario, Start

LEAST_NM = 5.0
"""No sketch shows less around the airplane than this."""
WIDE = 56
"""From this many columns on a field has its bearing and distance beside it, too."""

MOST_LARGE = 12
"""Of more fields none is drawn large."""

_OFF, _OFF_WIDE = 3, 4        # cells between a place and the words beside it
_RINGS_NM = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0)
_PLACES = ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, 1), (1, 1), (-1, -1))
_LABEL_BEARINGS = (135.0, 315.0, 45.0, 225.0, 100.0, 170.0, 280.0, 350.0, 10.0, 190.0)


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a place lies on the raster: the airplane's dot, and dots a nautical mile."""

    x: float
    y: float
    scale: float

    def dot(self, bearing_deg: float, distance_nm: float) -> tuple[float, float]:
        """Return the dot of a place given by bearing and distance from where the flight begins."""
        return at((self.x, self.y), distance_nm * self.scale, bearing_deg)


def sketch(scenario: Scenario, width: int, height: int, ink: Ink, *, plain: bool = False) -> list[Strip]:
    """Return the sketch as `height` strips of `width` cells; `plain`: ASCII characters only."""
    ink = replace(ink, plain=ink.plain or plain)
    raster = Raster(width, height, ink)
    frame = framed(scenario.fields, width, height)
    used: set[tuple[int, int]] = set()
    used |= {(x, y) for y in (0, height - 1) for x in range(width)}
    nearest_first = sorted(scenario.fields, key=lambda field: field.distance_nm)
    marks = [(_cell(frame.dot(field.bearing_deg, field.distance_nm)), field) for field in nearest_first]
    large = width >= WIDE and len(marks) <= MOST_LARGE
    here = _cell((frame.x, frame.y))
    for (x, y), _ in [*marks, (here, None)]:
        used |= {(x + dx, y + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1)}
    rings = ring_distances(frame, width, height)
    for ring in rings:
        raster.arc((frame.x, frame.y), ring * frame.scale, 0.0, 360.0, ink.faint, every=7 if ink.plain else 3)
    _course(raster, frame, scenario)
    for (x, y), field in marks:
        _field(raster, field, *frame.dot(field.bearing_deg, field.distance_nm), (x, y), large=large)
    _airplane(raster, frame, scenario.start.heading_deg)
    heading = f"you, {'heading ' if width >= WIDE else ''}{_three(scenario.start.heading_deg)}"
    _label(raster, used, here, [heading], ink.airplane, bold=True)
    for (x, y), field in marks:
        words = _beside(field, width)
        for lines in (words, words[:1]) if len(words) > 1 else (words,):
            if _label(raster, used, (x, y), lines, ink.mark, bold=True, only_free=True):
                break
    _course_label(raster, used, frame, scenario)
    _ring_labels(raster, used, frame, rings)
    _edges(raster, scenario, width, height)
    return raster.strips()


def _high(start: Start) -> str:
    return "on the ground" if start.on_ground else f"{start.altitude_ft:,.0f} feet"


def sketch_words(scenario: Scenario) -> list[str]:
    """Return what the sketch shows, as sentences, for whoever cannot see or read it."""
    start = scenario.start
    wind = scenario.weather.air
    said = [f"You: at the middle of the rings, heading {_three(start.heading_deg)}, {_high(start)}."]
    for field in sorted(scenario.fields, key=lambda each: each.distance_nm):
        runway = f", runway {_runway(field.runway_deg)}" if field.runway_deg is not None else ""
        said.append(
            f"{field.name}: bearing {_three(field.bearing_deg)}, {field.distance_nm:.0f} nautical miles{runway}."
        )
    if scenario.course is not None:
        field_name, inbound = scenario.course
        said.append(f"Course to {field_name}: {_three(inbound)} inbound, the broken line.")
    said.append(
        "Wind calm." if wind.wind_kt < 1 else
        f"Wind from {_three(wind.wind_from_deg)} at {wind.wind_kt:.0f} knots; the arrow flies with it."
    )
    said.append(f"Minimum altitude {scenario.minimum_altitude_ft:,.0f} feet.")
    said.append("North is up; bearings are magnetic, from where you are.")
    return said


def framed(fields: tuple[Field, ...], width: int, height: int) -> Frame:
    """Return the frame in which the airplane and all `fields` are in sight, as large as it goes."""
    across, down = width * DOTS_ACROSS, height * DOTS_DOWN
    places = [at((0.0, 0.0), field.distance_nm, field.bearing_deg) for field in fields] + [(0.0, 0.0)]
    left, right = min(x for x, _ in places), max(x for x, _ in places)
    top, bottom = min(y for _, y in places), max(y for _, y in places)
    side, edge = min(across * 0.16, 20.0), DOTS_DOWN * 2.5    # room for names at the sides, for words above and below
    scale = min(
        (across - 2 * side) / max(right - left, LEAST_NM), (down - 2 * edge) / max(bottom - top, LEAST_NM)
    )
    return Frame(across / 2 - (left + right) / 2 * scale, down / 2 - (top + bottom) / 2 * scale, scale)


def ring_distances(frame: Frame, width: int, height: int) -> list[float]:
    """Return the distances of the rings: the step that leaves them apart, as far as the sketch reaches."""
    across, down = width * DOTS_ACROSS, height * DOTS_DOWN
    reach = max(frame.x, across - frame.x, frame.y, down - frame.y) / frame.scale
    apart = max(down / 5, 10.0)
    step = next((each for each in _RINGS_NM if each * frame.scale >= apart), _RINGS_NM[-1])
    return [step * number for number in range(1, math.floor(reach / step) + 1)][:6]


def _course(raster: Raster, frame: Frame, scenario: Scenario) -> None:
    start = _course_end(frame, scenario)
    if start is None:
        return
    x, y, inbound = start
    for gap in range(8, raster.dots_across + raster.dots_down, 8):     # dashes: a line that is no ring and no runway
        if raster.ink.plain:
            raster.text(*_cell(at((x, y), gap, inbound + 180.0)), "+", raster.ink.green)
        else:
            raster.line(*at((x, y), gap, inbound + 180.0), *at((x, y), gap + 3.0, inbound + 180.0), raster.ink.green)


def _course_end(frame: Frame, scenario: Scenario) -> tuple[float, float, float] | None:
    """Return the dot to which the course leads, and the inbound course; None without one."""
    if scenario.course is None:
        return None
    name, inbound = scenario.course
    field = next((each for each in scenario.fields if each.name == name), None)
    return None if field is None else (*frame.dot(field.bearing_deg, field.distance_nm), inbound)


def _course_label(raster: Raster, used: set[tuple[int, int]], frame: Frame, scenario: Scenario) -> None:
    start = _course_end(frame, scenario)
    if start is None:
        return
    x, y, inbound = start
    words = [f"course {_three(inbound)}"]
    for share in (0.3, 0.4, 0.22, 0.5, 0.6):
        cell = _cell(at((x, y), share * raster.dots_across, inbound + 180.0))
        if _label(raster, used, cell, words, raster.ink.green, bold=False, only_free=True):
            return


def _field(raster: Raster, field: Field, x: float, y: float, cell: tuple[int, int], *, large: bool) -> None:
    if raster.ink.plain:
        raster.text(*cell, "O", raster.ink.mark, bold=True)
        return
    size = 3.0 if large else 2.0
    raster.arc((x, y), size, 0.0, 360.0, raster.ink.mark)
    if field.runway_deg is not None and large:
        for out in (field.runway_deg, field.runway_deg + 180.0):
            raster.ray((x, y), size, size + 3.0, out, raster.ink.mark)


def _airplane(raster: Raster, frame: Frame, heading: float) -> None:
    here, ink = (frame.x, frame.y), raster.ink
    if ink.plain:
        raster.text(*_cell(here), "A", ink.airplane, bold=True)
        return
    raster.ray(here, -3.0, 4.0, heading, ink.airplane, thick=1.5)                # fuselage
    raster.ray(here, 6.0, 12.0, heading, ink.airplane)                           # where it is heading
    wing, tail = at(here, 1.0, heading), at(here, -3.0, heading)
    raster.line(*at(wing, 5.0, heading - 90.0), *at(wing, 5.0, heading + 90.0), ink.airplane)
    raster.line(*at(tail, 2.0, heading - 90.0), *at(tail, 2.0, heading + 90.0), ink.airplane)


def _beside(field: Field, width: int) -> list[str]:
    name = narrow(field.name)
    if width < WIDE:
        return [name[: width // 3]]
    return [name[: width // 4], f"{_three(field.bearing_deg)} {field.distance_nm:.0f} nm"]


def _label(
    raster: Raster, used: set[tuple[int, int]], cell: tuple[int, int], words: list[str], colour: str, *, bold: bool,
    only_free: bool = False,
) -> bool:
    """Print lines of words beside a cell, where there is room: right, left, above or below of it. False: nowhere."""
    wide, high = max(len(each) for each in words), len(words)
    off = _OFF_WIDE if raster.width >= WIDE else _OFF
    corners = []
    for dx, dy in _PLACES:
        x = cell[0] + (off + 1 if dx > 0 else -wide - off if dx < 0 else -wide // 2)
        y = cell[1] + (2 if dy > 0 else -high - 1 if dy < 0 else -(high // 2))
        corners.append((x, y))
    room = [corner for corner in corners if _fits(raster, corner, wide, high)]
    free = [(x, y) for x, y in room if not any((x + i, y + j) in used for i in range(wide) for j in range(high))]
    if not free and (only_free or not room):
        return False                                         # the words under the sketch have it
    x, y = (free or room)[0]
    for number, line in enumerate(words):
        raster.text(x, y + number, line, colour if number == 0 else raster.ink.faint, bold=bold and number == 0)
    used |= {(x + i, y + j) for i in range(-1, wide + 1) for j in range(high)}
    return True


def _fits(raster: Raster, corner: tuple[int, int], wide: int, high: int) -> bool:
    x, y = corner
    return x >= 0 and x + wide <= raster.width and y >= 1 and y + high <= raster.height - 1


def _ring_labels(raster: Raster, used: set[tuple[int, int]], frame: Frame, rings: list[float]) -> None:
    for ring in rings:
        words = f"{ring:g} nm"
        for bearing in _LABEL_BEARINGS:
            x, y = _cell(frame.dot(bearing, ring))
            x -= len(words) // 2
            cells = {(x + number, y) for number in range(-1, len(words) + 1)}
            if _fits(raster, (x, y), len(words), 1) and not cells & used:
                raster.text(x, y, words, raster.ink.faint)
                used |= cells
                break


def _edges(raster: Raster, scenario: Scenario, width: int, height: int) -> None:
    """Print what is no place: wind at the upper left, north at the upper right, the minimum altitude below."""
    ink, air = raster.ink, scenario.weather.air
    if air.wind_kt < 1:
        wind = "wind calm"
    else:
        wind = f"{_arrow(air.wind_from_deg + 180.0, plain=ink.plain)} wind {_three(air.wind_from_deg)} at "
        wind += f"{air.wind_kt:.0f} kt"
    north = "N ^" if ink.plain else "N ↑"
    minimum = f"minimum altitude {scenario.minimum_altitude_ft:,.0f} ft"
    raster.text(0, 0, " " * width)
    raster.text(0, height - 1, " " * width)
    raster.text(1, 0, wind, ink.mark)
    raster.text(width - len(north) - 1, 0, north, ink.mark, bold=True)
    raster.text(1, height - 1, minimum, ink.mark)


def narrow(name: str) -> str:
    """Return `name` with a `?` for each character that does not take just one column."""
    return "".join(each if cell_len(each) == 1 else "?" for each in name)


def _arrow(deg: float, *, plain: bool) -> str:
    eighth = round(deg / 45.0) % 8
    return ("^", "/^", "->", "\\v", "v", "v/", "<-", "^\\")[eighth] if plain else "↑↗→↘↓↙←↖"[eighth]


def _cell(dot: tuple[float, float]) -> tuple[int, int]:
    return math.floor(dot[0] / DOTS_ACROSS), math.floor(dot[1] / DOTS_DOWN)


def _three(degrees: float) -> str:
    from drill.flight.readings import three_digits  # with numpy: only once a scenario is there to be drawn

    return three_digits(degrees)


def _runway(degrees: float) -> str:
    return f"{round(degrees / 10.0) % 36 or 36:02d}"
