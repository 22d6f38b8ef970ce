"""Fields that cannot be landed at as they are described: approaches, runways and weather that do not go together."""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import cos, radians

from drill.airplane.arith import FLOATS, wrap_deg
from drill.check.rules import warning
from drill.check.standing import key_at, value_at
from drill.scenario.model import Field, Scenario
from drill.scenario.nearest import hint
from drill.scenario.places import Node
from drill.scenario.problems import Problem

KINDS = ("ILS", "LOC", "localizer", "RNAV", "GPS", "GLS", "VOR", "NDB", "LDA", "SDF", "TACAN", "RNP", "visual",
         "contact", "surveillance", "ASR", "SRA", "precision radar", "PAR")
"""Kinds of approaches; AIM 5-4-5, 5-4-11, 5-4-23 and 5-4-25; SRA is a surveillance approach outside the United States
(from memory).
"""
VISUAL_CEILING_FT, VISUAL_MILES = 1_000.0, 3.0
"""Weather in which a field can be come to in sight of it: 14 CFR 91.155(c) and (d); AIM 5-4-23 (from memory)."""
CONTACT_MILES = 1.0
"""What a contact approach wants, and to be clear of cloud, with no height of it; AIM 5-4-25 (from memory)."""
LEAST_MILES = 0.5
"""The least visibility of a standard ILS (Category I), in statute miles: common practice, no source."""
MOST_TAILWIND_KT = 10.0
"""The most that light airplanes are usually landed with: common practice, no source."""
RUNWAY_OFF_DEG = 15.0
_RUNWAY = re.compile(r"\s*(?:(?:runway|rwy)\s*)?(\d{1,2})\s*([LRC]|left|right|cent(?:er|re))?\s*$", re.IGNORECASE)


def check_fields(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each approach, runway and weather of a field that cannot be meant."""
    found = []
    for field in scenario.fields:
        downwind = list(_wind(field, scenario, tree))
        found += [*downwind, *_approaches(field, tree, meant=not downwind), *_weather(field, scenario, tree)]
    return found


def kind_and_runway(approach: str) -> tuple[str, int | None]:
    """Return an approach's kind in its own letters, and the number of its runway (None: none is named)."""
    match = _RUNWAY.search(approach)
    kind = approach[: match.start()] if match else approach
    return kind.strip(" -"), int(match[1]) if match else None


def _approaches(field: Field, tree: Node, *, meant: bool) -> Iterator[Problem]:
    """Yield approaches that are none; `meant`: nothing is known against the runway in use."""
    for number, approach in enumerate(field.approaches):
        place = value_at(tree, "fields", field.name, "approaches", number)
        kind, runway = kind_and_runway(approach)
        if "," in approach or not any(_is_kind(kind, each) for each in KINDS):
            yield warning(place, "approach-unknown", f"`{approach}` is no approach that is known",
                          hint(kind, KINDS), "write each by its kind and runway in a list: `[ILS 24, visual]`")
        elif runway is not None and not 1 <= runway <= 36:
            yield warning(place, "approach-unknown", f"`{approach}`: there is no runway {runway:02d}",
                          "runways have numbers from 01 to 36", "correct the number")
        elif meant and runway is not None and field.runway_deg is not None and _off(runway * 10.0, field.runway_deg) > (
                RUNWAY_OFF_DEG):
            yield warning(place, "approach-unknown",
                          f"`{approach}` does not lead to the runway in use, of {field.runway_deg:03.0f} degrees",
                          f"its number would be about {round(field.runway_deg / 10.0) or 36:02d}",
                          "correct the approach, or `runway`")


def _is_kind(written: str, kind: str) -> bool:
    """Say whether an approach is of a kind; more may follow, as in `ILS or LOC` and `RNAV (GPS)`."""
    return re.match(rf"{re.escape(kind)}\b", written, re.IGNORECASE) is not None


def _off(one: float, other: float) -> float:
    return abs(float(wrap_deg(FLOATS, one - other)))


def _wind(field: Field, scenario: Scenario, tree: Node) -> Iterator[Problem]:
    air = scenario.weather.air
    if field.runway_deg is None:
        return
    tail_kt = -air.wind_kt * cos(radians(air.wind_from_deg - field.runway_deg))
    if tail_kt > MOST_TAILWIND_KT:
        yield warning(value_at(tree, "fields", field.name, "runway"), "runway-downwind",
                      f"the runway in use at {field.name} has {tail_kt:.0f} kt of wind from behind",
                      f"the wind is from {air.wind_from_deg:03.0f} at {air.wind_kt:.0f} kt",
                      "use the runway's other end, or correct the wind")


def _weather(field: Field, scenario: Scenario, tree: Node) -> Iterator[Problem]:
    ceiling_ft = 1e9 if field.ceiling_ft is None else field.ceiling_ft
    kinds = [kind_and_runway(each)[0] for each in field.approaches]
    contact = any(_is_kind(each, "contact") for each in kinds)
    sighted = all(_is_kind(each, "visual") or _is_kind(each, "contact") for each in kinds)
    least_ft, least_miles = (0.0, CONTACT_MILES) if contact else (VISUAL_CEILING_FT, VISUAL_MILES)
    low = ceiling_ft < least_ft or field.visibility_sm < least_miles
    at = "ceiling" if ceiling_ft < least_ft else "visibility"
    if low and sighted and not field.radar_approach:
        has = f"it has {', '.join(field.approaches)}" if field.approaches else "it has no approach at all"
        wanted = "the airplane to be clear of cloud" if contact else f"a ceiling of {least_ft:,.0f} ft"
        yield warning(key_at(tree, "fields", field.name, "approaches" if _given(field, tree) else at), "no-way-down",
                      f"nobody can land at {field.name} in this weather",
                      f"{has}, and that wants {wanted} and {least_miles:.0f} sm",
                      "give it an instrument approach, or better weather")
        return
    if any(each.outcome == "below minimums" for each in scenario.endings) or sighted:
        return        # where that is what the story is about, or the approach ends by sight
    ends_ft = 0.0 if field.minimums_ft is None else field.minimums_ft - field.elevation_ft
    if ceiling_ft < ends_ft:
        yield warning(value_at(tree, "fields", field.name, "ceiling"), "no-way-down",
                      f"the approach to {field.name} ends above the ceiling, so nobody sees the runway",
                      f"its `minimums` are {ends_ft:,.0f} ft above the field, and the ceiling is {ceiling_ft:,.0f} ft",
                      "raise the ceiling, or correct `minimums` or `elevation`")
    elif field.visibility_sm < LEAST_MILES:
        yield warning(value_at(tree, "fields", field.name, "visibility"), "no-way-down",
                      f"nobody sees the runway of {field.name} in {field.visibility_sm:g} sm",
                      f"an approach wants {LEAST_MILES:g} sm or more", "correct the visibility")


def _given(field: Field, tree: Node) -> bool:
    """Say whether the approaches of a field have been written, and there are none that need sight."""
    return not field.approaches and key_at(tree, "fields", field.name, "approaches") != value_at(
        tree, "fields", field.name)
