"""The small faces: gauges with a needle before a sector, compass, course needle, GPS. 100 units wide, 66 high."""

from __future__ import annotations

import math

from markupsafe import Markup

from drill.airplane.airframe import Airframe
from drill.airplane.dials import SUCTION_GREEN_INHG, rpm_green
from drill.airplane.pointers import AMPERES, CARD_FIGURES, RPM, SUCTION_INHG, SWEEP_DEG, VOLTS, GaugeScale
from drill.flight.readings import three_digits
from drill.paper.faces.round_dials import Shown
from drill.paper.svg import arc, at, circle, group, line, path, ray, rectangle, words

_PIVOT = (50.0, 55.0)
_RADIUS = 46.0
_SEEN_DEG = 42.0         # of the compass card, from the lubber line to the edge of the window


def _case() -> Markup:
    return rectangle(0.5, 0.5, 99, 65, "f-dial", 5)


# --- gauges ----------------------------------------------------------------------------------------


def _gauge_ground(title: str, scale: GaugeScale, green: tuple[float, float] | None = None,
                  red: float | None = None) -> Markup:
    printed = [arc(_PIVOT, _RADIUS, -SWEEP_DEG, SWEEP_DEG, "f-thin")]
    figured = dict(scale.figures)
    printed += [ray(_PIVOT, _RADIUS - (6 if mark in figured else 3.5), _RADIUS, scale.angle(mark), "f-mark")
                for mark in scale.marks if mark in figured or len(scale.marks) <= 20]
    if green is not None:
        printed.append(arc(_PIVOT, _RADIUS - 2, scale.angle(green[0]), scale.angle(green[1]), "f-green"))
        printed += [ray(_PIVOT, _RADIUS - 8, _RADIUS + 1, scale.angle(edge), "f-mark") for edge in green]
    if red is not None:
        printed.append(ray(_PIVOT, _RADIUS - 10, _RADIUS + 1, scale.angle(red), "f-red"))
    for value, text in scale.figures[::2] if len(figured) > 6 else scale.figures:
        x, y = at(_PIVOT, _RADIUS - 12.5, scale.angle(value))
        printed.append(words(x, y + 3, text, "f-small"))
    return group(_case(), *printed, words(5, 62, title, "f-title", "start"))


def _gauge(scale: GaugeScale, value: float, says: str, light: str = "") -> Markup:
    lamp = [group(rectangle(22, 27, 56, 11, "f-flag"), words(50, 35.4, light, "f-flagged"))] if light else []
    return group(ray(_PIVOT, -4, _RADIUS - 1, scale.angle(value), "f-needle"), circle(*_PIVOT, 3, "f-hub"),
                 words(95, 62, says, "f-value", "end"), *lamp)


def suction_ground(_airframe: Airframe) -> Markup:
    """Return the suction gauge's ground."""
    return _gauge_ground("SUCTION", SUCTION_INHG, SUCTION_GREEN_INHG)


def suction(shown: Shown, airframe: Airframe) -> Markup:
    """Return the suction gauge's needle, and the warning light if the airplane has one and it is on."""
    value = abs(shown["suction_inhg"])
    lit = airframe.low_vacuum_light_fitted and shown["low_vacuum_light"] > 0.5
    return _gauge(SUCTION_INHG, value, f"{value:.1f} IN", "LOW VACUUM" if lit else "")


def amperes_ground(_airframe: Airframe) -> Markup:
    """Return the ammeter's ground."""
    return _gauge_ground("AMPS", AMPERES)


def amperes(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the ammeter's needle."""
    amps = round(shown["amps"])
    return _gauge(AMPERES, shown["amps"], f"{amps:+d}" if amps else "0")


def volts_ground(_airframe: Airframe) -> Markup:
    """Return the voltmeter's ground."""
    return _gauge_ground("VOLTS", VOLTS)


def volts(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the voltmeter's needle, and the warning light if it is on."""
    return _gauge(VOLTS, shown["volts"], f"{shown['volts']:.1f}",
                  "LOW VOLTAGE" if shown["low_voltage_light"] > 0.5 else "")


def rpm_ground(airframe: Airframe) -> Markup:
    """Return the tachometer's ground."""
    green = rpm_green(airframe)
    return _gauge_ground("RPM", RPM, green, green[1])


def rpm(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the tachometer's needle."""
    return _gauge(RPM, shown["rpm"], f"{round(shown['rpm'] / 10) * 10}")


# --- compass, course, GPS --------------------------------------------------------------------------


def compass_ground(_airframe: Airframe) -> Markup:
    """Return the compass's case; what is in its window lies above it."""
    return group(_case(), words(5, 62, "COMPASS", "f-title", "start"))


def compass(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the part of the card that is in the compass's window; greater headings stand to the left, as they do."""
    heading = shown["compass_deg"] % 360
    drawn = []
    for number in range(72):
        off = (number * 5 - heading + 180) % 360 - 180
        if abs(off) >= _SEEN_DEG:
            continue
        x = 50 * (1 - math.sin(math.radians(off)) / math.sin(math.radians(_SEEN_DEG)))
        drawn.append(line(x, 46, x, 33 if number % 6 == 0 else 37 if number % 2 == 0 else 41, "f-mark"))
        if number % 6 == 0 and 7 < x < 93:
            drawn.append(words(x, 25, CARD_FIGURES[number // 6], "f-figure"))
    return group(*drawn, line(50, 4, 50, 47, "f-lubber"),
                 words(95, 62, three_digits(round(heading / 5) * 5), "f-value", "end"))


def course_ground(_airframe: Airframe) -> Markup:
    """Return the course needle's case with its dots."""
    dots = [circle(50 + side * step * 8, 25, 1.7, "f-dot") for step in range(1, 6) for side in (-1, 1)]
    return group(_case(), circle(50, 25, 4, "f-ring"), *dots, words(5, 62, "COURSE", "f-title", "start"))


def course(shown: Shown, _airframe: Airframe) -> Markup:
    """Return the course needle, or its flag."""
    x = 50 + min(max(shown["course_deviation"], -1.0), 1.0) * 40
    if shown["course_flag"] > 0.5:
        return group(line(x, 7, x, 44, "f-faint"), rectangle(36, 36, 28, 11, "f-flag"),
                     words(50, 44.4, "FLAG", "f-flagged"))
    return line(x, 5, x, 46, "f-needle")


def gps_ground(_airframe: Airframe) -> Markup:
    """Return the GPS's case."""
    return group(_case(), words(5, 62, "GPS", "f-title", "start"))


def gps(shown: Shown, _airframe: Airframe) -> Markup:
    """Return track and groundspeed, or that the screen is dark."""
    if shown["gps_on"] < 0.5:
        return words(50, 33, "DARK", "f-note")
    return group(words(6, 22, "TRACK", "f-small", "start"),
                 words(94, 23, three_digits(shown["track_deg"]), "f-value", "end"),
                 words(6, 42, "GS", "f-small", "start"),
                 words(94, 43, f"{shown['groundspeed_kt']:.0f} KT", "f-value", "end"))


def paper_over(width: float, height: float) -> Markup:
    """Return the sheet of paper over a covered instrument."""
    return group(rectangle(1, 1, width - 2, height - 2, "f-sheet", 4),
                 path(f"M1 {height - 1:.0f}L{width - 1:.0f} 1M1 1L{width - 1:.0f} {height - 1:.0f}", "f-faint"),
                 rectangle(width / 2 - 30, height / 2 - 9, 60, 15, "f-sheet"),
                 words(width / 2, height / 2 + 3, "COVERED", "f-value"))
