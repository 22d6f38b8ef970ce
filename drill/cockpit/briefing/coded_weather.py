"""A field's weather in the notation of an aviation routine weather report.

The notation is the METAR code of the United States: Federal Meteorological Handbook No. 1 (FMH-1), chapter 12, after
WMO-No. 306, code form FM 15. Which values are reportable: FMH-1 tables for visibility and sky condition (memory, and
AIM 7-1-15 for visibility). What a scenario does not say (time of observation, weather such as mist, temperature) is
left out, as FMH-1 leaves out what was not observed.
"""

from __future__ import annotations

import math
import unicodedata
from fractions import Fraction
from typing import TYPE_CHECKING

from drill.scenario.units import HPA_PER_INHG

if TYPE_CHECKING:
    from drill.scenario.model import Field, Scenario

MADE_BY_DRILL = (
    "Coded from this scenario's own weather, in the notation of a METAR. The stations are invented: their names stand "
    "for identifiers. Wind is magnetic here, true in a real report; time, weather and temperature are left out."
)
BY_THE_AUTHOR = "As the scenario's author coded it. The stations are invented: their names stand for identifiers."

_VISIBILITY = (
    *(Fraction(n, 16) for n in range(7)), *(Fraction(n, 8) for n in range(4, 17)),
    *(Fraction(n, 4) for n in range(9, 13)), *(Fraction(n) for n in range(4, 16)),
    *(Fraction(n) for n in range(20, 100, 5)),
)
"""Reportable visibilities in statute miles, as a person reports them (AIM 7-1-15; FMH-1 chapter 6, memory)."""


def wind_group(from_deg: float, speed_kt: float) -> str:
    """Return direction and speed of the wind, e.g. `27020KT`; `00000KT`: calm. Direction to the nearest ten degrees."""
    knots = math.floor(speed_kt + 0.5)
    if knots < 1:
        return "00000KT"
    tens = math.floor(from_deg / 10.0 + 0.5) % 36 or 36
    return f"{tens * 10:03d}{knots:02d}KT"


def visibility_group(miles: float) -> str:
    """Return the visibility in statute miles, e.g. `1 1/2SM`; between two reportable values the lower is reported."""
    value = max(each for each in _VISIBILITY if each <= max(miles, 0.0) + 1e-6)
    whole, part = divmod(value, 1)
    said = [str(whole)] if whole or not part else []
    return " ".join([*said, *([f"{part.numerator}/{part.denominator}"] if part else [])]) + "SM"


def sky_group(ceiling_ft: float | None) -> str:
    """Return the sky, e.g. `OVC007`; `SKC`: clear. Heights in feet above the field, coded in hundreds.

    A scenario's ceiling is the base of a closed layer, hence OVC. Steps of 100 feet up to 5,000, of 500 up to 10,000
    and of 1,000 above.
    """
    if ceiling_ft is None:
        return "SKC"
    step = 100 if ceiling_ft <= 5_000 else 500 if ceiling_ft <= 10_000 else 1_000
    return f"OVC{math.floor(ceiling_ft / step + 0.5) * step // 100:03d}"


def altimeter_group(hpa: float) -> str:
    """Return the altimeter setting in hundredths of an inch of mercury, e.g. `A2986`; what is over is cut off."""
    return f"A{math.floor(hpa / HPA_PER_INHG * 100.0 + 0.02):04d}"


def station(name: str) -> str:
    """Return a field's name as it stands for a station's identifier: capital letters and figures, no spaces."""
    plain = unicodedata.normalize("NFKD", name).upper()
    return "".join(each for each in plain if each.isascii() and each.isalnum()) or "STATION"


def coded_field(field: Field, scenario: Scenario) -> str:
    """Return the weather at `field` as one coded line."""
    air = scenario.weather.air
    return " ".join(
        (
            station(field.name), wind_group(air.wind_from_deg, air.wind_kt), visibility_group(field.visibility_sm),
            sky_group(field.ceiling_ft), altimeter_group(air.pressure_hpa),
        )
    )


def coded_lines(scenario: Scenario) -> tuple[list[str], str]:
    """Return the coded weather, the author's lines if there are any, and a sentence that says whose they are."""
    if scenario.weather.coded:
        return list(scenario.weather.coded), BY_THE_AUTHOR
    return [coded_field(field, scenario) for field in scenario.fields], MADE_BY_DRILL
