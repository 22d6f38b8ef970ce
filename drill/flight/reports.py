"""What the scenario's coded reports say: altimeter settings, winds, rides, icing (AIM 7-1-12, memory)."""

from __future__ import annotations

import math
import re

from drill.language.numbers import spoken_altitude, spoken_digits
from drill.scenario.model import Field, Scenario
from drill.scenario.units import HPA_PER_INHG

_FIELD = re.compile(r"(?:METAR|SPECI) (.+?) \d{6}Z (.*)")
_SETTING = re.compile(r"\bA(\d{4})\b")
_WIND = re.compile(r"\b(\d{3}|VRB)(\d{2,3})(?:G(\d{2,3}))?KT\b")
_PILOT = re.compile(r"\bU?UA\b")
_LEVEL = re.compile(r"/FL(\d{3})")
_GROUP = {"ride": re.compile(r"/TB ([A-Z -]+?)(?= ?/|$)"), "icing": re.compile(r"/IC ([A-Z -]+?)(?= ?/|$)")}
_STRENGTH = {"NEG": "no", "SMTH": "no", "TRACE": "trace", "LGT": "light", "MOD": "moderate", "SEV": "severe"}
_OF = {"ride": "turbulence", "icing": "icing"}


def altimeter_digits(pressure_hpa: float) -> str:
    """Return an altimeter setting in hundredths of an inch of mercury, cut off as in a report (AIM 7-1-12, memory)."""
    return f"{math.floor(pressure_hpa / HPA_PER_INHG * 100.0 + 0.02):04d}"


def field_altimeter(scenario: Scenario, field: Field | None) -> str:
    """Return the digits of the setting at a field: as its own coded report has it, else that of the air."""
    found = _SETTING.search(_report(scenario, field))
    return altimeter_digits(scenario.weather.air.pressure_hpa) if found is None else found.group(1)


def field_wind(scenario: Scenario, field: Field) -> str:
    """Return the wind at a field as it is read out."""
    found = _WIND.search(_report(scenario, field))
    if found is None:
        return f"{field.name} wind not reported"
    way, knots, gusts = found.groups()
    if not int(knots):
        return f"{field.name} wind calm"
    said = "variable" if way == "VRB" else spoken_digits(way)
    more = f" gusts {spoken_digits(str(int(gusts)))}" if gusts else ""
    return f"{field.name} wind {said} at {spoken_digits(str(int(knots)))}{more}"


def reported(scenario: Scenario, about: str) -> str:
    """Return what pilots have reported of the "ride" or of "icing"."""
    for coded in scenario.weather.coded:
        group = _GROUP[about].search(coded)
        if _PILOT.search(coded) is None or group is None:
            continue
        level = _LEVEL.search(coded)
        where = f" at {spoken_altitude(int(level.group(1)) * 100)}" if level is not None else ""
        how = _STRENGTH.get(group.group(1).split("-")[0].split(" ")[0], "some")
        return f"{how} {_OF[about]} reported{where}, no other reports"
    return f"no reports of {_OF[about]}"


def _report(scenario: Scenario, field: Field | None) -> str:
    for coded in scenario.weather.coded if field is not None else ():
        found = _FIELD.match(coded)
        if found is not None and field is not None and found.group(1).casefold() == field.name.casefold():
            return found.group(2)
    return ""
