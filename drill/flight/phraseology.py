"""How ATC says things: callsigns, numbers and weather in the words of the radio (AIM 4-2-3 to 4-2-10)."""

from __future__ import annotations

import math
import re

from drill.flight.weather import bearing_deg, distance_nm
from drill.language.numbers import DIGITS, SPOKEN, spoken_altitude, spoken_digits, spoken_heading
from drill.scenario.model import Field, Scenario

_LETTERS = (
    "alfa", "bravo", "charlie", "delta", "echo", "foxtrot", "golf", "hotel", "india", "juliett", "kilo", "lima", "mike",
    "november", "oscar", "papa", "quebec", "romeo", "sierra", "tango", "uniform", "victor", "whiskey", "x-ray",
    "yankee", "zulu",
)   # ICAO Annex 10 vol. II
_DIGIT = rf"(?:\d|\b(?:{'|'.join(DIGITS)}|point|decimal)\b|\.)"
_ALTIMETER = re.compile(rf"\baltimeter(?: setting)?(?: is)? ((?:{_DIGIT}[ ]?)+)")
_SETTING = re.compile(rf"(?<!\w)((?:{_DIGIT}[ ]?){{4,}})(?!\w| (?:thousand|hundred|feet|degrees))")
_LOWEST, _HIGHEST = "2700", "3199"       # settings that there are, in hundredths of an inch
_SHORT = 3   # characters of a shortened callsign: AIM 4-2-4


def _spelled(characters: str) -> str:
    said = []
    for each in characters.lower():
        if each.isascii() and each.isdigit():
            said.append(SPOKEN[int(each)])
        elif each.isascii() and each.isalpha():
            said.append(_LETTERS[ord(each) - ord("a")])
    return " ".join(said)


def spoken_callsign(callsign: str, *, short: bool) -> str:
    """Return a callsign as it is said: "Larkspur 5304W" whole, or its last three characters once there is contact."""
    *names, tail = callsign.split() or [callsign]
    if not names and not any(each.isdigit() for each in tail):
        return callsign
    characters = tail[-_SHORT:] if short else tail
    return " ".join([*names, _spelled(characters)]).strip()


def shortens(words: str, callsign: str) -> bool:
    """Say whether a line of ATC calls this airplane by its short callsign; from then on its pilot may do so, too."""
    said, whole = words.casefold(), spoken_callsign(callsign, short=False).casefold()
    short = spoken_callsign(callsign, short=True).casefold()
    return short != whole and short in said and whole not in said


def heading_words(degrees: float) -> str:
    """Return a heading or a track in three spoken digits."""
    return spoken_heading(round(degrees) % 360)


def altitude_words(feet: float) -> str:
    """Return an altitude, to the nearest hundred feet, in words."""
    return spoken_altitude(max(100, round(feet / 100) * 100))


def feet_words(feet: float) -> str:
    """Return an altitude to the next ten feet up, as minimums are said: 1040 is "one thousand forty"."""
    whole = math.ceil(feet / 10.0) * 10
    tens = ("", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")[whole % 100 // 10]
    hundreds = whole // 100 * 100
    return " ".join(each for each in (altitude_words(hundreds) if hundreds else "", tens) if each)


def miles_words(miles: float) -> str:
    """Return a whole number of miles in words, at least one."""
    count = max(1, round(miles))
    return f"{spoken_digits(str(count))} mile{'' if count == 1 else 's'}"


def altimeter_in(words: str) -> str:
    """Return the four digits of the altimeter setting that `words` name, or ""."""
    found = _ALTIMETER.search(words.lower())
    return "" if found is None else _four_digits(found.group(1))


def setting_in(words: str) -> str:
    """Return the four digits of a setting that `words` read back without calling it one: "two niner six eight"."""
    said = [_four_digits(each) for each in _SETTING.findall(words.lower())]
    return next((each for each in said if _LOWEST <= each <= _HIGHEST), "")


def _four_digits(said: str) -> str:
    digits = "".join(
        each if each.isdecimal() else DIGITS.get(each, "") for each in re.findall(r"[a-z]+|\d", said))
    return digits if len(digits) == 4 else ""


def approach_words(approach: str) -> str:
    """Return an approach as it is said: "ILS 24" is "ILS runway two four"; one without a runway as it is."""
    name, _, runway = approach.rpartition(" ")
    digits = runway.rstrip("LRC")
    if not name or not digits.isdecimal():
        return approach
    side = {"L": " left", "R": " right", "C": " center"}.get(runway[len(digits):], "")
    return f"{name} runway {spoken_digits(digits)}{side}"


def spoken_runway(runway_deg: float) -> str:
    """Return the number of a runway by its heading: 270 is "two seven"."""
    return spoken_digits(f"{round(runway_deg / 10.0) % 36 or 36:02d}".lstrip("0"))


def filled(words: str, *, callsign: str, heading_deg: float | None, altitude_ft: float | None) -> str:
    """Return a scenario's line with {callsign}, {heading} and {altitude} said; what is not known stays out."""
    heading = "" if heading_deg is None else heading_words(heading_deg)
    altitude = "" if altitude_ft is None else altitude_words(altitude_ft)
    for name, said in (("{callsign}", callsign), ("{heading}", heading), ("{altitude}", altitude)):
        words = words.replace(name, said)
    return " ".join(words.split())


def field_weather(field: Field) -> str:
    """Return a field's weather as ATC reads it out."""
    if field.weather:
        return f"{field.name} weather: {field.weather.rstrip('.')}"
    sky = "sky clear" if field.ceiling_ft is None else f"ceiling {altitude_words(field.ceiling_ft)}"
    sight = max(1, round(field.visibility_sm))
    return f"{field.name} weather: {sky}, visibility {spoken_digits(str(sight))}"


def where_is(field: Field, north_nm: float, east_nm: float) -> str:
    """Return bearing and distance to a field from a position, in words."""
    bearing = heading_words(bearing_deg(field, north_nm, east_nm))
    return f"{field.name} is heading {bearing}, {miles_words(distance_nm(field, north_nm, east_nm))}"


def names_words(codes: frozenset[str] | tuple[str, ...]) -> str:
    """Return equipment codes as a list in words."""
    names = sorted(code.replace("_", " ") for code in codes)
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]


def field_of(scenario: Scenario, name: str) -> Field | None:
    """Return the field of that very name, or None."""
    return next((field for field in scenario.fields if field.name == name), None)
