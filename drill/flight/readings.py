"""What the panel shows, in words: short sentences with units, as one pilot would read it out to another.

Everything here takes what is *shown* (the fields of `Panel` by name) and knows nothing of what is true.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import fields

from drill.airplane.airframe import Airframe
from drill.airplane.dials import SUCTION_GREEN_INHG, by_the_marks
from drill.airplane.panel import Panel
from drill.scenario.units import HPA_PER_INHG

Shown = Mapping[str, float]

WHOLE_PANEL = (
    "attitude_indicator", "airspeed_indicator", "altimeter", "vertical_speed_indicator", "heading_indicator",
    "turn_coordinator", "standby_instrument", "magnetic_compass", "suction_gauge", "voltmeter", "ammeter", "tachometer",
    "navigation", "course_needle", "autopilot", "radio", "transponder",
)
"""The instruments in the order in which the whole panel is read out, those that few airplanes have among them."""

FIELDS_OF: dict[str, tuple[str, ...]] = {
    "attitude_indicator": ("bank_deg", "pitch_deg", "attitude_tumbled"),
    "airspeed_indicator": ("airspeed_kt",),
    "altimeter": ("altitude_ft", "altimeter_setting_hpa"),
    "vertical_speed_indicator": ("vertical_speed_fpm",),
    "heading_indicator": ("heading_deg",),
    "turn_coordinator": ("turn_rate_dps", "turn_flag", "ball"),
    "standby_instrument": ("standby_bank_deg", "standby_pitch_deg", "standby_flag", "standby_testing"),
    "magnetic_compass": ("compass_deg",),
    "suction_gauge": ("suction_inhg", "low_vacuum_light"),
    "voltmeter": ("volts", "low_voltage_light"),
    "ammeter": ("amps",),
    "tachometer": ("rpm",),
    "navigation": ("gps_on", "track_deg", "groundspeed_kt"),
    "course_needle": ("course_deviation", "course_flag"),
    "autopilot": ("autopilot_on",),
    "radio": ("radio_on",),
    "transponder": ("transponder_on",),
    "clock": ("clock_s",),
}
"""Which fields of `Panel` each instrument shows."""

_ALSO = {"vacuum_system": ("suction_gauge",), "alternator": ("ammeter", "voltmeter"), "engine": ("tachometer",),
         "electrical_system": ("voltmeter", "ammeter"), "battery": ("voltmeter", "ammeter")}


def absent(airframe: Airframe) -> frozenset[str]:
    """Return the instruments of `WHOLE_PANEL` that this type of airplane does not have."""
    missing = {"standby_instrument": not airframe.standby_attitude_fitted, "autopilot": airframe.autopilot == "none",
               "turn_coordinator": not airframe.turn_coordinator_fitted}
    return frozenset(name for name, is_missing in missing.items() if is_missing)


def shown_of(panel: Panel) -> dict[str, float]:
    """Return the readings of `panel` (one flight) by name."""
    return {each.name: float(getattr(panel, each.name)) for each in fields(panel)}


_NAMES = {"navigation": "GPS", "standby_instrument": "standby attitude indicator"}


def instrument_name(code: str) -> str:
    """Return the name of an instrument as it is said: "attitude_indicator" is "attitude indicator"."""
    return _NAMES.get(code, code.replace("_", " "))


def three_digits(degrees: float) -> str:
    """Return a heading as three digits; north is 360."""
    return f"{round(degrees) % 360 or 360:03d}"


def clock_words(seconds: float) -> str:
    """Return a time since the start as minutes and seconds, `M:SS`; parts of a second are dropped."""
    whole = int(seconds + 1e-6)   # 59.99999999 s is a minute
    return f"{whole // 60}:{whole % 60:02d}"


def setting_words(hpa: float) -> str:
    """Return an altimeter setting in inches of mercury, e.g. `29.92`."""
    return f"{hpa / HPA_PER_INHG:.2f}"


def _degrees(x: float) -> str:
    size = abs(round(x))
    return "1 degree" if size == 1 else f"{size} degrees"


def _attitude(shown: Shown) -> str:
    if shown["attitude_tumbled"] > 0.5:
        return "the horizon bar lies on its side"
    return _wings_and_nose(shown["bank_deg"], shown["pitch_deg"])


def _wings_and_nose(bank: float, pitch: float) -> str:
    wings = "wings level" if abs(bank) < 1.5 else f"{_degrees(bank)} {'right' if bank > 0 else 'left'} wing down"
    nose = "nose level" if abs(pitch) < 1.0 else f"nose {_degrees(pitch)} {'up' if pitch > 0 else 'down'}"
    return f"{wings}, {nose}"


def _airspeed(shown: Shown) -> str:
    return f"{round(shown['airspeed_kt'])} knots"


def _altimeter(shown: Shown) -> str:
    return f"{round(shown['altitude_ft'] / 20) * 20:,} feet"


def _vertical_speed(shown: Shown) -> str:
    rate = round(shown["vertical_speed_fpm"] / 50) * 50
    if abs(rate) <= 50:
        return "level"
    return f"{'climb' if rate > 0 else 'descent'} {abs(rate)} feet a minute"


def _heading_indicator(shown: Shown) -> str:
    return three_digits(shown["heading_deg"])


def _turn_coordinator(shown: Shown) -> str:
    rate = shown["turn_rate_dps"]
    side = "right" if rate > 0 else "left"
    size = abs(rate)
    if size < 0.4:
        turn = "wings level"
    elif size < 1.0:
        turn = f"slight turn {side}"
    elif size < 2.2:
        turn = f"half standard rate {side}"
    elif size < 3.8:
        turn = f"standard rate {side}"
    else:
        turn = f"more than standard rate {side}"
    ball = shown["ball"]
    slip = "ball centered" if abs(ball) < 0.25 else f"ball {'right' if ball > 0 else 'left'}"
    return f"{'red flag, ' if shown['turn_flag'] > 0.5 else ''}{turn}, {slip}"


def _standby(shown: Shown) -> str:
    if shown["standby_testing"] > 0.5:
        return "self-test, no attitude shown"
    if shown["standby_flag"] > 0.5:
        return "crossed out"
    return _wings_and_nose(shown["standby_bank_deg"], shown["standby_pitch_deg"])


def _lamp(field: str, off: str) -> Callable[[Shown], str]:
    """Return the words of a thing that is either on, or `off`."""
    return lambda shown: "on" if shown[field] > 0.5 else off


def _compass(shown: Shown) -> str:
    return three_digits(shown["compass_deg"])


def _suction(shown: Shown) -> str:
    light = ", low vacuum light on" if shown["low_vacuum_light"] > 0.5 else ""
    suction = abs(shown["suction_inhg"])
    low, high = SUCTION_GREEN_INHG
    band = "below the green" if suction < low else "above the green" if suction > high else "in the green"
    return f"{suction:.1f} inches, {band}{light}"


def _voltmeter(shown: Shown) -> str:
    light = ", low voltage light on" if shown["low_voltage_light"] > 0.5 else ""
    return f"{shown['volts']:.1f} volts{light}"


def _ammeter(shown: Shown) -> str:
    amps = round(shown["amps"])
    if amps == 0:
        return "zero"
    return f"{'charging' if amps > 0 else 'discharging'} {abs(amps)} amperes"


def _tachometer(shown: Shown) -> str:
    return f"{round(shown['rpm'] / 10) * 10} RPM"


def _gps(shown: Shown) -> str:
    if shown["gps_on"] < 0.5:
        return "screen dark"
    return f"track {three_digits(shown['track_deg'])}, groundspeed {round(shown['groundspeed_kt'])} knots"


def _course_needle(shown: Shown) -> str:
    if shown["course_flag"] > 0.5:
        return "flag, not usable"
    needle = shown["course_deviation"]
    size = abs(needle)
    if size < 0.1:
        return "centered"
    side = "right" if needle > 0 else "left"
    if size > 0.95:
        return f"full scale {side}"
    return f"{round(size * 100)} percent of full scale {side}"


def _clock(shown: Shown) -> str:
    return f"{clock_words(shown['clock_s'])} since the start"


_SAYS: dict[str, Callable[[Shown], str]] = {
    "attitude_indicator": _attitude, "airspeed_indicator": _airspeed, "altimeter": _altimeter,
    "vertical_speed_indicator": _vertical_speed, "heading_indicator": _heading_indicator,
    "turn_coordinator": _turn_coordinator, "magnetic_compass": _compass, "suction_gauge": _suction,
    "voltmeter": _voltmeter, "ammeter": _ammeter, "tachometer": _tachometer, "navigation": _gps,
    "course_needle": _course_needle, "standby_instrument": _standby, "autopilot": _lamp("autopilot_on", "off"),
    "radio": _lamp("radio_on", "dark"), "transponder": _lamp("transponder_on", "dark"), "clock": _clock,
}
_LABELS = {"suction_gauge": "suction", "magnetic_compass": "compass", "vertical_speed_indicator": "vertical speed",
           "airspeed_indicator": "airspeed", "tachometer": "engine", "navigation": "GPS",
           "standby_instrument": "standby attitude"}


def can_be_read(instrument: str) -> bool:
    """Say whether `instrument` (a name of `meaning.IN_SIGHT`) is read from the panel's own needles and lights."""
    return instrument in _SAYS or instrument in _ALSO or instrument == "panel"


def reading_words(instrument: str, shown: Shown, covered: Collection[str] = (), *, closely: bool = False,
                  without: Collection[str] = ()) -> str:
    """Return one instrument's reading, e.g. "compass: 238". ValueError for what the panel does not show.

    Looked at `closely`, the horizon is read against its bank marks too, and the altimeter with what it is set to.
    `without` are instruments that the airplane does not have (`absent`), which the whole panel leaves out.
    """
    if instrument == "panel":
        return panel_words(shown, covered, without)
    if instrument in _ALSO:
        return "; ".join(reading_words(each, shown, covered) for each in _ALSO[instrument])
    if instrument == "navigation":
        return "; ".join(_one(each, shown, covered) for each in ("navigation", "course_needle"))
    if instrument not in _SAYS:
        raise ValueError(f"the panel has no {instrument_name(instrument)} to read")
    mark = by_the_marks(shown["bank_deg"]) if closely and instrument == "attitude_indicator" else ""
    more = f", {mark}" if mark and instrument not in covered and shown["attitude_tumbled"] < 0.5 else ""
    if closely and instrument == "altimeter" and instrument not in covered:
        more = f", set to {setting_words(shown['altimeter_setting_hpa'])}"
    return f"{_one(instrument, shown, covered)}{more}"


def _one(instrument: str, shown: Shown, covered: Collection[str]) -> str:
    label = _LABELS.get(instrument, instrument_name(instrument))
    return f"{label}: {'covered' if instrument in covered else _SAYS[instrument](shown)}"


def panel_words(shown: Shown, covered: Collection[str] = (), without: Collection[str] = ()) -> str:
    """Return the whole panel as short sentences in one line; `shown` has every field of `Panel`, none rounded away.

    A covered instrument is said to be covered and not read; those in `without`, which the airplane does not have
    (`absent`), are left out. KeyError if a field is missing.
    """
    said = [_one(each, shown, covered) for each in WHOLE_PANEL if each not in without]
    return ". ".join(each[0].upper() + each[1:] for each in said) + "."


def told(before: Shown, after: Shown, instruments: Collection[str]) -> dict[str, float]:
    """Return `before` with the readings of `instruments` brought up to `after`: what a listener now knows."""
    known = dict(before)
    for instrument in instruments:
        for name in FIELDS_OF[instrument]:
            known[name] = after[name]
    return known
