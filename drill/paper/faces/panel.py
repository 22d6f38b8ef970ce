"""The instrument panel of one airplane as it stood at a moment: the six in their places, the lesser ones below."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from importlib import resources

from markupsafe import Markup

from drill.airplane.airframe import Airframe
from drill.flight.readings import absent, instrument_name, panel_words, reading_words
from drill.paper.faces import attitude, round_dials, small
from drill.paper.svg import element, group, picture, rectangle, short, words

WIDTH = 336.0
_GAP = 6.0
_BIG = (WIDTH - 2 * _GAP) / 3
_SMALL = (WIDTH - 3 * _GAP) / 4
_SMALL_HIGH = _SMALL * 0.66
SIX = ("airspeed_indicator", "attitude_indicator", "altimeter", "turn_coordinator", "heading_indicator",
       "vertical_speed_indicator")
LESSER = ("suction_gauge", "ammeter", "voltmeter", "tachometer", "magnetic_compass", "course_needle", "navigation",
          "standby_instrument")
LAMPS = ("autopilot", "radio", "transponder")
STANDBY = "standby_instrument"

Shown = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Face:
    """One face: what does not move, what does, and how high it is where it is 100 units wide."""

    ground: Callable[[Airframe], Markup]
    pointers: Callable[[Shown, Airframe], Markup]
    high: float = 100.0


FACES: dict[str, Face] = {
    "airspeed_indicator": Face(round_dials.airspeed_ground, round_dials.airspeed),
    "attitude_indicator": Face(attitude.attitude_ground, attitude.attitude),
    "altimeter": Face(round_dials.altimeter_ground, round_dials.altimeter),
    "turn_coordinator": Face(round_dials.turn_ground, round_dials.turn),
    "heading_indicator": Face(round_dials.heading_ground, round_dials.heading),
    "vertical_speed_indicator": Face(round_dials.vertical_speed_ground, round_dials.vertical_speed),
    "standby_instrument": Face(attitude.standby_ground, attitude.standby),
    "suction_gauge": Face(small.suction_ground, small.suction, 66.0),
    "ammeter": Face(small.amperes_ground, small.amperes, 66.0),
    "voltmeter": Face(small.volts_ground, small.volts, 66.0),
    "tachometer": Face(small.rpm_ground, small.rpm, 66.0),
    "magnetic_compass": Face(small.compass_ground, small.compass, 66.0),
    "course_needle": Face(small.course_ground, small.course, 66.0),
    "navigation": Face(small.gps_ground, small.gps, 66.0),
}


def grounds(airframe: Airframe) -> Markup:
    """Return what every panel of this airplane uses; it stands once on a page, before the first of them."""
    faces = [element("symbol", face.ground(airframe), id=f"face-{code}", viewBox=f"0 0 100 {short(face.high)}")
             for code, face in FACES.items()]
    return element("defs", attitude.horizon_parts(), round_dials.heading_card(), *faces)


def faces_css() -> str:
    """Return the style of the faces; their colors (`--dial`, `--sky` ...) are properties of the page that uses it."""
    return resources.files("drill.paper.faces").joinpath("faces.css").read_text(encoding="utf-8")


def single(name: str, code: str, shown: Shown, covered: Collection[str], airframe: Airframe) -> Markup:
    """Return one instrument of `FACES` by itself, as it stands, as a drawing called `name`."""
    face = FACES[code]
    drawn = covered_or_drawn(code, shown, covered, airframe)
    return picture(100, face.high, instrument_name(code), reading_words(code, shown, covered), name, drawn,
                   class_="panel")


def covered_or_drawn(code: str, shown: Shown, covered: Collection[str], airframe: Airframe) -> Markup:
    """Return one instrument, 100 units wide: its ground, and its pointers or the paper over them."""
    face = FACES[code]
    return group(element("use", href=f"#face-{code}", width=100, height=face.high),
                 small.paper_over(100, face.high) if code in covered else face.pointers(shown, airframe))


def panel(name: str, title: str, shown: Shown, covered: Collection[str], about: Collection[str],
          airframe: Airframe) -> Markup:
    """Return the panel as a drawing called `title`; those that it is `about` stand in a frame of their own.

    `shown` has every field of `Panel`. `name` is one that no other drawing on the page has.
    """
    without = absent(airframe)
    six = [STANDBY if code in without and STANDBY not in without else code for code in SIX]
    lesser = [code for code in LESSER if code not in without and code not in six
              and (code != "navigation" or airframe.gps_fitted)]
    drawn = []
    for place, code in enumerate(six):
        x, y = place % 3 * (_BIG + _GAP), place // 3 * (_BIG + _GAP)
        if code not in without:
            drawn.append(_one(code, x, y, _BIG, shown, covered, code in about, airframe))
    top = 2 * (_BIG + _GAP)
    for place, code in enumerate(lesser):
        x, y = place % 4 * (_SMALL + _GAP), top + place // 4 * (_SMALL_HIGH + _GAP)
        drawn.append(_one(code, x, y, _SMALL, shown, covered, code in about, airframe))
    bottom = top + -(-len(lesser) // 4) * (_SMALL_HIGH + _GAP) + 9
    lamps = " · ".join(reading_words(code, shown, covered).upper() for code in LAMPS if code not in without)
    drawn.append(words(WIDTH / 2, bottom, lamps, "f-lamps"))
    says = panel_words(shown, covered, without)
    return picture(WIDTH, bottom + 4, title, says, name, *drawn, class_="panel")


def _one(code: str, x: float, y: float, size: float, shown: Shown, covered: Collection[str], is_about: bool,
         airframe: Airframe) -> Markup:
    face, scale = FACES[code], size / 100
    high = 66.0 if size == _SMALL else face.high
    inner = scale * high / face.high     # the standby display among the lesser ones is drawn smaller
    left = x + (size - 100 * inner) / 2
    drawn = group(covered_or_drawn(code, shown, covered, airframe),
                  transform=f"translate({short(left)} {short(y)}) scale({short(inner)})")
    if not is_about:
        return drawn
    return group(drawn, rectangle(x - 1.5, y - 1.5, size + 3, scale * high + 3, "f-about", 7))
