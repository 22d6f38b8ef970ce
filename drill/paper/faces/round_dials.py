"""The round faces with needles: airspeed, altimeter, vertical speed; and the two whose parts turn: turn and heading.

Each stands in a square of 100 units. Arcs differ by shape as well as by color, so that a grey print keeps them apart.
"""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup

from drill.airplane.airframe import Airframe
from drill.airplane.dials import STANDARD_RATE_DPS, airspeed_arcs
from drill.airplane.pointers import (
    CARD_FIGURES,
    FIGURE_EACH_KT,
    FULL_SCALE_FPM,
    LOW_KT,
    STANDARD_RATE_TILT_DEG,
    airspeed_deg,
    airspeed_high_kt,
    hundreds_deg,
    thousands_deg,
    turn_tilt_deg,
    vertical_speed_deg,
)
from drill.flight.readings import setting_words, three_digits
from drill.paper.svg import arc, at, circle, element, group, line, path, ray, rectangle, short, words

MIDDLE = (50.0, 50.0)
RIM = 48.0
SCALE = 45.0
_TURN_MIDDLE = (50.0, 44.0)

Shown = Mapping[str, float]


def dial(*inside: Markup) -> Markup:
    """Return the ground of a round dial with what is printed on it."""
    return group(circle(*MIDDLE, RIM, "f-dial"), *inside)


def figure(deg: float, text: str, radius: float = 32.0) -> Markup:
    """Return a figure of the scale with its middle at `radius`."""
    x, y = at(MIDDLE, radius, deg)
    return words(x, y + 3.2, text, "f-figure")


def _needle(deg: float, outer: float, class_: str = "f-needle", tail: float = 9.0) -> Markup:
    return ray(MIDDLE, -tail, outer, deg, class_)


def _hub() -> Markup:
    return circle(*MIDDLE, 3.4, "f-hub")


def window(x: float, y: float, text: str, wide: float = 34.0) -> Markup:
    """Return a reading in figures in a window of its own."""
    return group(rectangle(x - wide / 2, y - 8.6, wide, 11.6, "f-window", 1.5), words(x, y, text, "f-value"))


# --- airspeed --------------------------------------------------------------------------------------


def airspeed_ground(airframe: Airframe) -> Markup:
    """Return the dial of the airspeed indicator with the arcs of this airplane."""
    high = airspeed_high_kt(airframe.never_exceed_kt)
    printed = []
    for each in airspeed_arcs(airframe):
        start, end = airspeed_deg(each.low, high), airspeed_deg(each.high, high)
        if each.colour == "red":
            printed.append(ray(MIDDLE, SCALE - 10, SCALE + 1, start, "f-red"))
            continue
        radius, class_ = {"white": (SCALE - 6.5, "f-white"), "green": (SCALE - 1.5, "f-green"),
                          "yellow": (SCALE - 1.5, "f-yellow")}[each.colour]
        printed.append(arc(MIDDLE, radius, start, end, class_))
    for knots in range(LOW_KT, high + 1, 10):
        long = knots % FIGURE_EACH_KT == 0
        printed.append(ray(MIDDLE, SCALE - (7 if long else 4), SCALE, airspeed_deg(knots, high), "f-mark"))
        if long and (knots % 40 == 0 or high <= 180):
            printed.append(figure(airspeed_deg(knots, high), str(knots)))
    return dial(*printed, words(50, 38, "AIRSPEED", "f-title"))


def airspeed(shown: Shown, airframe: Airframe) -> Markup:
    """Return the needle of the airspeed indicator."""
    knots = min(max(shown["airspeed_kt"], 0.0), 999.0)
    deg = airspeed_deg(knots, airspeed_high_kt(airframe.never_exceed_kt))
    return group(_needle(deg, SCALE - 1), _hub(), window(50, 71, f"{knots:.0f} KT"))


# --- altimeter -------------------------------------------------------------------------------------


def altimeter_ground(_airframe: Airframe) -> Markup:
    """Return the dial of the altimeter."""
    marks = [ray(MIDDLE, SCALE - (7 if number % 5 == 0 else 3.5), SCALE, number * 7.2, "f-mark")
             for number in range(50)]
    return dial(*marks, *(figure(number * 36.0, str(number)) for number in range(10)),
                words(50, 33, "ALTITUDE", "f-title"))


def altimeter(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the pointers of the altimeter, the altitude in figures, and what it is set to."""
    feet = min(max(shown["altitude_ft"], -99_980.0), 99_980.0)
    return group(
        _needle(thousands_deg(feet), 24, "f-short", 4), _needle(hundreds_deg(feet), SCALE - 1), _hub(),
        window(50, 66.5, f"{round(feet / 20) * 20:,}"),
        words(50, 76.5, f"{setting_words(shown['altimeter_setting_hpa'])} IN", "f-note"))


# --- vertical speed --------------------------------------------------------------------------------


def vertical_speed_ground(_airframe: Airframe) -> Markup:
    """Return the dial of the vertical speed indicator."""
    printed = []
    for fpm in range(-FULL_SCALE_FPM, FULL_SCALE_FPM + 1, 100):
        long = fpm % 500 == 0
        printed.append(ray(MIDDLE, SCALE - (7 if long else 3.5), SCALE, vertical_speed_deg(fpm), "f-mark"))
        if long:
            printed.append(figure(vertical_speed_deg(fpm), str(abs(fpm) // 100)))
    return dial(*printed, words(52, 34, "VERT SPD", "f-title"), words(52, 41, "100 FT/MIN", "f-note"))


def vertical_speed(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the needle of the vertical speed indicator, and the rate in figures."""
    fpm = min(max(shown["vertical_speed_fpm"], -FULL_SCALE_FPM), FULL_SCALE_FPM)
    rate = round(fpm / 50) * 50
    return group(_needle(vertical_speed_deg(fpm), SCALE - 1), _hub(),
                 window(53, 68, f"{rate:+d}" if rate else "0", 28))


# --- turn ------------------------------------------------------------------------------------------


def turn_ground(_airframe: Airframe) -> Markup:
    """Return the case of the turn coordinator: marks of level wings and standard rate, the tube with its two lines."""
    marks = [ray(_TURN_MIDDLE, 36, 43, side + tilt, "f-thick")
             for side, tilts in ((90.0, (0.0, STANDARD_RATE_TILT_DEG)), (270.0, (0.0, -STANDARD_RATE_TILT_DEG)))
             for tilt in tilts]
    return dial(
        *marks, words(12, 71, "L", "f-figure"), words(88, 71, "R", "f-figure"), words(50, 94, "2 MIN", "f-note"),
        words(50, 20, "TURN", "f-title"),
        path("M26 70Q50 79 74 70L74 78Q50 87 26 78Z", "f-tube"), line(44.2, 74, 44.2, 83, "f-mark"),
        line(55.8, 74, 55.8, 83, "f-mark"))


def turn(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the little airplane of the turn coordinator, the ball, and the flag if it is in sight."""
    tilt = turn_tilt_deg(shown["turn_rate_dps"], STANDARD_RATE_DPS)
    x, y = _TURN_MIDDLE
    ball = min(max(shown["ball"], -1.0), 1.0)
    flag = [group(rectangle(36, 24, 28, 10, "f-flag"), words(50, 32, "OFF", "f-flagged"))]
    return group(
        group(line(x - 34, y, x + 34, y, "f-plane"), line(x, y, x, y - 13, "f-plane"), circle(x, y, 5, "f-body"),
              transform=f"rotate({short(tilt)} {short(x)} {short(y)})"),
        circle(50 + ball * 20, 78.5 - abs(ball) * 4.2, 4.2, "f-ball"),
        *(flag if shown["turn_flag"] > 0.5 else []))


# --- heading ---------------------------------------------------------------------------------------

CARD = "card-of-headings"


def heading_card() -> Markup:
    """Return the card that turns, north up; to be defined once under the name `CARD`."""
    marks = [ray(MIDDLE, SCALE - (8 if deg % 30 == 0 else 6 if deg % 10 == 0 else 3.5), SCALE - 1, deg, "f-mark")
             for deg in range(0, 360, 5)]
    figures = [element("text", text, x=50, y=21.5, class_="f-figure", text_anchor="middle",
                       transform=f"rotate({number * 30} 50 50)") for number, text in enumerate(CARD_FIGURES)]
    return group(*marks, *figures, id=CARD)


def heading_ground(_airframe: Airframe) -> Markup:
    """Return the case of the heading indicator: lubber line, the airplane in the middle, marks each 45 degrees."""
    return dial(
        path("M50 7L46 0L54 0Z", "f-body"), *(ray(MIDDLE, SCALE, RIM, deg, "f-mark") for deg in range(45, 360, 45)),
        line(50, 36, 50, 62, "f-plane"), line(37, 47, 63, 47, "f-plane"), line(44, 60, 56, 60, "f-plane"))


def heading(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the card of the heading indicator as it stands, and the heading in figures."""
    return group(
        element("use", href=f"#{CARD}", transform=f"rotate({short(-(shown['heading_deg'] % 360))} 50 50)"),
        window(50, 73.5, three_digits(shown["heading_deg"]), 22))
