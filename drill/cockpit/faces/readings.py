"""The compact panel for a small terminal: a row for each instrument, with its name, a small scale and its value.

A row is made from the quantised reading alone (`rows_key`): as long as that is the same, so is every row.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeAlias

from rich.segment import Segment
from textual.strip import Strip

from drill.airplane.constants import VSI_MOST_FPM
from drill.cockpit.faces.course import DOTS_A_SIDE
from drill.cockpit.faces.face import Dial, Shown
from drill.cockpit.faces.gauges import VOLTS
from drill.cockpit.faces.gps import leading_to
from drill.cockpit.faces.lamps import LAMPS, Lit
from drill.cockpit.faces.scale import column_of, scale_line, share_of
from drill.cockpit.ink import Ink
from drill.cockpit.raster import style
from drill.flight.readings import WHOLE_PANEL, setting_words, three_digits

Reading: TypeAlias = tuple[Any, ...]
RowsKey: TypeAlias = tuple[tuple[str, Reading | None], ...]
"""Instrument and quantised reading; None for a covered one."""

_LABELS = {
    "attitude_indicator": ("ATTITUDE", "ATT"), "airspeed_indicator": ("AIRSPEED", "SPEED"),
    "altimeter": ("ALTITUDE", "ALT"), "vertical_speed_indicator": ("VERT SPD", "VS"),
    "heading_indicator": ("HEADING", "HDG"), "turn_coordinator": ("TURN", "TURN"),
    "magnetic_compass": ("COMPASS", "COMP"), "suction_gauge": ("SUCTION", "SUCT"), "voltmeter": ("VOLTS", "VOLTS"),
    "ammeter": ("AMPS", "AMPS"), "tachometer": ("RPM", "RPM"), "navigation": ("GPS", "GPS"),
    "course_needle": ("COURSE", "CRS"), "standby_instrument": ("STANDBY", "STBY"),
}
_LABEL, _SHORT_LABEL = 8, 5
_VALUE, _BRIEF = 18, 12
_LEAST_SCALE = 7

_JOINED_FIRST = (("voltmeter", "ammeter"), ("suction_gauge", "tachometer"), ("navigation", "course_needle"),
                 ("heading_indicator", "magnetic_compass"), ("altimeter", "vertical_speed_indicator"))
"""Which two share a row when rows are few, the least vital first."""

_LAMPS = {lamp.code: lamp for lamp in LAMPS}
"""These stand together in one row, the last."""

_MOST = 99_990.0


@dataclass(frozen=True, slots=True)
class Row:
    """One instrument's row. Shares are places on the scale from 0 to 1; a row without `scale` has words alone."""

    value: str
    brief: str
    share: float | None = None
    marks: tuple[float, ...] = ()
    band: tuple[float, float] | None = None
    letters: tuple[tuple[float, str], ...] = ()     # marks that are letters, each after its share
    scale: bool = True
    warning: str = ""            # a flag or a light that is on, the first word of it in a narrow row

    def words(self, room: int) -> tuple[str, str]:
        """Return warning and value in at most `room` cells, or the shortest there is; never half a figure."""
        first = self.warning.split(" ")[0]
        for warning, value in ((self.warning, self.value), (first, self.value), (first, self.brief)):
            if len(warning) + bool(warning and value) + len(value) <= room:
                break
        return warning, value


def rows_key(shown: Shown, covered: Collection[str]) -> RowsKey:
    """Return what the rows show, as fine as they can show it: the same key is the same rows."""
    return tuple((code, None if code in covered else _QUANTISED[code](shown)) for code in WHOLE_PANEL)


def readings_rows(shown: Shown, covered: Collection[str], dial: Dial, width: int, height: int, ink: Ink,
                  skip: Sequence[str] = ()) -> list[Strip]:
    """Return `height` strips of `width` cells: the readings in the order of the scan, without those in `skip`.

    With fewer rows than instruments the less vital share a row, then all do; what then finds no row is left out, the
    last of the scan first. Made for 38 to 60 columns.
    """
    return list(_rows(rows_key(shown, covered), dial, width, height, ink, tuple(skip)))


@lru_cache(maxsize=32)
def _rows(key: RowsKey, dial: Dial, width: int, height: int, ink: Ink, skip: tuple[str, ...]) -> tuple[Strip, ...]:
    readings = dict(key)
    codes = [code for code, _ in key if code not in skip and code not in dial.without
             and (dial.gps or code != "navigation")]
    strips = [_strip(group, readings, dial, width, ink) for group in shared(codes, height)]
    blank = Strip([Segment(" " * width, style(ink.mark, ink.panel))], width)
    return tuple((strips + [blank] * height)[:height])


def shared(codes: Sequence[str], height: int) -> list[tuple[str, ...]]:
    """Return which instruments stand together in a row, so that `height` rows are enough, if they can be."""
    lamps = tuple(code for code in codes if code in _LAMPS)
    codes = [code for code in codes if code not in _LAMPS]
    height -= bool(lamps)
    groups: list[tuple[str, ...]] = [(code,) for code in codes]
    for first, second in _JOINED_FIRST:
        if len(groups) > height and (first,) in groups and (second,) in groups:
            groups[groups.index((first,))] = (first, second)
            groups.remove((second,))
    if len(groups) > height:
        groups = [tuple(codes[at:at + 2]) for at in range(0, len(codes), 2)]
    return [*groups, lamps] if lamps else groups


# --- one row -----------------------------------------------------------------------------------------


def _strip(codes: tuple[str, ...], readings: Mapping[str, Reading | None], dial: Dial, width: int, ink: Ink) -> Strip:
    if codes[0] in _LAMPS:
        return _lamps(codes, readings, width, ink)
    if len(codes) == 1:
        cell = _cell(codes[0], readings[codes[0]], dial, width - 1, ink, _LABEL, _VALUE)
        return Strip(_exactly(cell, width, ink), width)       # the last column stays free
    left = (width - 1) // 2
    gap = [Segment(" ", style(ink.mark, ink.panel))]
    halves = [_cell(code, readings[code], dial, room, ink, _SHORT_LABEL, _BRIEF)
              for code, room in zip(codes, (left, width - 1 - left), strict=True)]
    return Strip([*halves[0], *gap, *halves[1]], width)


def _lamps(codes: tuple[str, ...], readings: Mapping[str, Reading | None], width: int, ink: Ink) -> Strip:
    """Return the row of what is on or dark: "RADIO on  XPDR on"."""
    pieces: list[Segment] = []
    long = sum(len(_LAMPS[code].title) + 7 for code in codes) <= width
    for code in codes:
        lamp, lit = _LAMPS[code], Lit(True, readings[code] == (True,))
        name = lamp.title if long else lamp.short
        word, colour = lamp.words(lit), ink.green if lit.on else ink.faint
        pieces += [Segment(f"{name} ", style(ink.faint, ink.panel)),
                   Segment(f"{word:<4}  ", style(colour, ink.panel, bold=lit.on))]
    return Strip(_exactly(pieces, width, ink), width)


def _cell(code: str, reading: Reading | None, dial: Dial, width: int, ink: Ink, label: int,
          value: int) -> list[Segment]:
    """Return one instrument in exactly `width` cells: label, scale if there is room, and the value in `value` cells."""
    name = _LABELS[code][label == _SHORT_LABEL]
    pieces = [Segment(f"{name:<{label}} ", style(ink.faint, ink.panel))]
    room = max(width - label - 1, 0)
    if reading is None:
        pieces.append(Segment(" COVERED ".center(room, "/"), style(ink.paper_word, ink.paper, bold=True)))
        return _exactly(pieces, width, ink)
    row = _ROWS[code](reading, dial)
    scale = room - value - 1
    if row.scale and scale >= _LEAST_SCALE:
        pieces += _scale(row, scale, ink)
        room = value
    warning, words = row.words(room)
    if warning:
        pieces.append(Segment(warning, style(ink.flag_word, ink.flag, bold=True)))
        words = words and f" {words}"
        room -= len(warning)
    if len(words) > room:
        words = f"{words[:max(room - 1, 0)]}~"      # seen to be cut, not taken for another figure
    pieces.append(Segment(words, style(ink.needle, ink.panel, bold=True)))
    return _exactly(pieces, width, ink)


def _scale(row: Row, width: int, ink: Ink) -> list[Segment]:
    """Return the scale of a row and a space; where the marks would crowd, the ends and the middle alone."""
    marks = row.marks
    if marks and len(marks) * 2 > width:
        marks = (marks[0], marks[len(marks) // 2], marks[-1])
    line = scale_line(width, row.share, marks, band=row.band, letters=row.letters, plain=ink.plain)
    if row.share is None:
        return [Segment(f"{line} ", style(ink.faint, ink.panel))]
    at = column_of(row.share, width)
    return [Segment(line[:at], style(ink.faint, ink.panel)), Segment(line[at], style(ink.needle, ink.panel, bold=True)),
            Segment(f"{line[at + 1:]} ", style(ink.faint, ink.panel))]


def _exactly(pieces: list[Segment], width: int, ink: Ink) -> list[Segment]:
    """Return pieces cut or filled to `width` cells; every character here is one cell wide."""
    fitted: list[Segment] = []
    for piece in pieces:
        if width <= 0:
            break
        text = piece.text[:width]
        width -= len(text)
        if text:
            fitted.append(Segment(text, piece.style))
    if width > 0:
        fitted.append(Segment(" " * width, style(ink.mark, ink.panel)))
    return fitted


# --- readings, quantised -------------------------------------------------------------------------------


def _to(value: float, step: float) -> int:
    """Return how many steps `value` is, to the nearest."""
    return round(min(max(value, -_MOST), _MOST) / step)


def _degrees(value: float) -> int:
    return round(value % 360) % 360


def _attitude(shown: Shown) -> Reading:
    if shown["attitude_tumbled"] > 0.5:
        return ("tumbled",)
    bank, pitch = shown["bank_deg"], shown["pitch_deg"]
    return 0 if abs(bank) < 1.5 else _to(bank, 1), 0 if abs(pitch) < 1 else _to(pitch, 1)


def _standby(shown: Shown) -> Reading:
    if shown["standby_testing"] > 0.5:
        return ("self-test",)
    if shown["standby_flag"] > 0.5:
        return ("crossed out",)
    bank, pitch = shown["standby_bank_deg"], shown["standby_pitch_deg"]
    return 0 if abs(bank) < 1.5 else _to(bank, 1), 0 if abs(pitch) < 1 else _to(pitch, 1)


def _lit(field: str) -> Callable[[Shown], Reading]:
    """Return what reads whether the thing of that field is on."""
    return lambda shown: (shown[field] > 0.5,)


def _turn(shown: Shown) -> Reading:
    rate = shown["turn_rate_dps"]
    band = next((number for number, limit in enumerate((0.4, 1.0, 2.2, 3.8)) if abs(rate) < limit), 4)
    ball = shown["ball"]
    place = 0 if abs(ball) < 0.25 else (1 if abs(ball) < 0.6 else 2) * (1 if ball > 0 else -1)
    return shown["turn_flag"] > 0.5, band if rate > 0 else -band, _to(min(max(rate, -6.0), 6.0), 0.5), place


def _gps(shown: Shown) -> Reading:
    if shown["gps_on"] < 0.5:
        return ()
    return _degrees(shown["track_deg"]), _to(shown["groundspeed_kt"], 1), leading_to(shown)


def _course(shown: Shown) -> Reading:
    if shown["course_flag"] > 0.5:
        return ()
    return (_to(min(max(shown["course_deviation"], -1.0), 1.0), 0.02),)


_QUANTISED: dict[str, Callable[[Shown], Reading]] = {
    "attitude_indicator": _attitude,
    "airspeed_indicator": lambda shown: (_to(shown["airspeed_kt"], 1),),
    "altimeter": lambda shown: (_to(shown["altitude_ft"], 20), setting_words(
        min(max(shown["altimeter_setting_hpa"], 0.0), 2000.0))),
    "vertical_speed_indicator": lambda shown: (
        _to(min(max(shown["vertical_speed_fpm"], -VSI_MOST_FPM), VSI_MOST_FPM), 50),),
    "heading_indicator": lambda shown: (_degrees(shown["heading_deg"]),),
    "turn_coordinator": _turn,
    "magnetic_compass": lambda shown: (_to(_degrees(shown["compass_deg"]), 5) % 72,),
    "suction_gauge": lambda shown: (_to(abs(shown["suction_inhg"]), 0.1), shown["low_vacuum_light"] > 0.5),
    "voltmeter": lambda shown: (_to(shown["volts"], 0.1), shown["low_voltage_light"] > 0.5),
    "ammeter": lambda shown: (_to(shown["amps"], 1),),
    "tachometer": lambda shown: (_to(shown["rpm"], 10),),
    "navigation": _gps,
    "course_needle": _course,
    "standby_instrument": _standby,
    **{lamp.code: _lit(lamp.field) for lamp in LAMPS},
}


# --- readings, as rows -----------------------------------------------------------------------------------


def _side(value: float, right: str = "right", left: str = "left") -> str:
    return right if value > 0 else left


def _attitude_row(reading: Reading, dial: Dial) -> Row:  # noqa: ARG001 - as all rows
    if reading == ("tumbled",):
        return Row("bar on its side", "bar on side", scale=False)
    bank, pitch = reading
    marks = tuple(share_of(mark, -60, 60) for mark in (-30, 0, 30))
    share = share_of(bank, -60, 60)
    wings = f"{abs(bank)} {_side(bank)}" if bank else "level"
    nose = f"{abs(pitch)} {_side(pitch, 'up', 'down')}" if pitch else "level"
    brief = f"{abs(bank)}{_side(bank, 'R', 'L')} {abs(pitch)}{_side(pitch, 'up', 'dn')}"
    if not bank and not pitch:
        return Row("level", "level", share, marks)
    return Row(f"{wings}, {nose}", brief, share, marks)


def _standby_row(reading: Reading, dial: Dial) -> Row:
    if reading == ("self-test",):
        return Row("self-test", "self-test", scale=False)
    if reading == ("crossed out",):
        return Row("", "", scale=False, warning="FAIL")
    return _attitude_row(reading, dial)


def _airspeed_row(reading: Reading, dial: Dial) -> Row:
    low, high = 40.0, max([50.0, *(arc.high for arc in dial.arcs)] if dial.arcs else [180.0]) * 1.1
    green = next(((share_of(arc.low, low, high), share_of(arc.high, low, high)) for arc in dial.arcs
                  if arc.colour == "green"), None)
    never_exceed = tuple((share_of(arc.high, low, high), "X") for arc in dial.arcs if arc.colour == "red")
    return Row(f"{reading[0]} kt", f"{reading[0]} kt", share_of(reading[0], low, high), (0.0, 1.0), green,
               letters=never_exceed)


def _altimeter_row(reading: Reading, dial: Dial) -> Row:  # noqa: ARG001
    feet = reading[0] * 20
    off = (feet + 500) % 1000 - 500     # from the nearest thousand, which is where flights are level
    return Row(f"{feet:,} ft  {reading[1]}", f"{feet:,} ft", share_of(off, -500, 500), (0.0, 0.5, 1.0))


def _vertical_speed_row(reading: Reading, dial: Dial) -> Row:  # noqa: ARG001
    rate = reading[0] * 50
    words = "level" if abs(rate) <= 50 else f"{_side(rate, 'up', 'down')} {abs(rate)}"
    share = share_of(rate, -VSI_MOST_FPM, VSI_MOST_FPM)
    return Row(words if words == "level" else f"{words} fpm", words, share, (0.0, 0.5, 1.0))


def _card_row(heading: int) -> Row:
    """Return a heading on the four quarters from north to north."""
    return Row(three_digits(heading), three_digits(heading), heading / 360,
               letters=tuple((number / 4, letter) for number, letter in enumerate("NESWN")))


def _turn_row(reading: Reading, dial: Dial) -> Row:
    flag, band, rate, ball = reading
    side = f" {_side(band, 'R', 'L')}" if band else ""
    full = ("level", "slight", "half std", "standard", "over std")[abs(band)]
    short = ("level", "slight", "half", "std", "over")[abs(band)]
    marks = tuple(share_of(mark, -6, 6) for mark in (-dial.standard_rate_dps, 0, dial.standard_rate_dps))
    tube = "".join("o" if place == ball else "|" if place == 0 else "-" for place in range(-2, 3))
    small = "".join("o" if place * 2 in (ball, ball + (ball > 0) - (ball < 0)) else "." for place in (-1, 0, 1))
    said = f"{short + side:<8} {tube}" if flag else f"{full + side:<10} [{tube}]"
    return Row(said, small if flag else f"{short}{side} {small}", share_of(rate * 0.5, -6, 6), marks,
               warning="OFF" if flag else "")


def _suction_row(reading: Reading, dial: Dial) -> Row:
    inches = reading[0] / 10
    low, high = dial.suction_green
    light = reading[1] and dial.low_vacuum_light
    return Row(f"{inches:.1f} in", f"{inches:.1f} in", share_of(inches, 0, 8), (0.0, 1.0),
               (share_of(low, 0, 8), share_of(high, 0, 8)), warning="LOW VAC" if light else "")


def _voltmeter_row(reading: Reading, dial: Dial) -> Row:  # noqa: ARG001
    volts = reading[0] / 10
    return Row(f"{volts:.1f} V", f"{volts:.1f} V", share_of(volts, *VOLTS), (0.0, 1.0),
               warning="LOW VOLT" if reading[1] else "")


def _ammeter_row(reading: Reading, dial: Dial) -> Row:  # noqa: ARG001
    amps = reading[0]
    words = f"{abs(amps)} {_side(amps, 'charge', 'discharge')}" if amps else "zero"
    return Row(words, f"{amps:+d} A" if amps else words, share_of(amps, -60, 60), (0.0, 0.5, 1.0))


def _tachometer_row(reading: Reading, dial: Dial) -> Row:
    low, high = (share_of(rpm, 0, 3500) for rpm in dial.rpm_green)
    return Row(f"{reading[0] * 10}", f"{reading[0] * 10}", share_of(reading[0] * 10, 0, 3500), (0.0, 1.0), (low, high))


def _gps_row(reading: Reading, dial: Dial) -> Row:  # noqa: ARG001
    if not reading:
        return Row("dark", "dark", scale=False)
    track, speed, to = reading
    brief = f"{three_digits(track)} {speed} kt"
    if to is None:
        return Row(f"TRK {three_digits(track)}  GS {speed} kt", brief, scale=False)
    return Row(f"TRK {three_digits(track)} GS {speed} BRG {three_digits(to.bearing_deg)} {to.distance} NM", brief,
               scale=False)


def _course_row(reading: Reading, dial: Dial) -> Row:  # noqa: ARG001
    marks = tuple(number / 10 for number in range(11))
    if not reading:
        return Row("", "", None, marks, warning="OFF")
    needle = reading[0]
    dots = round(abs(needle) * DOTS_A_SIDE / 50, 1)
    words = ("centered" if dots < 0.5 else f"{_side(needle)} {dots} dots" if dots <= 4.8 else f"full {_side(needle)}")
    return Row(words, words, share_of(needle, -50, 50), marks)


_ROWS: dict[str, Callable[[Reading, Dial], Row]] = {
    "attitude_indicator": _attitude_row, "airspeed_indicator": _airspeed_row, "altimeter": _altimeter_row,
    "vertical_speed_indicator": _vertical_speed_row,
    "heading_indicator": lambda reading, _: _card_row(reading[0]),
    "turn_coordinator": _turn_row,
    "magnetic_compass": lambda reading, _: _card_row(reading[0] * 5),
    "suction_gauge": _suction_row, "voltmeter": _voltmeter_row, "ammeter": _ammeter_row,
    "tachometer": _tachometer_row, "navigation": _gps_row, "course_needle": _course_row,
    "standby_instrument": _standby_row,
}
