"""What a pilot only wants to know: weather, tops, bases, altimeter, fields near by, distances, his own position.

All of it comes from the scenario's data and from radar. Nothing is granted or assigned by it.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

from drill.flight.controller_state import ControllerState, Radar
from drill.flight.phraseology import (
    altimeter_in,
    altitude_words,
    approach_words,
    field_of,
    field_weather,
    heading_words,
    where_is,
)
from drill.flight.weather import cloud_layer, distance_nm, field_position, visual_weather
from drill.language.meaning import Call
from drill.language.numbers import spoken_digits
from drill.scenario.model import Field, Scenario
from drill.scenario.units import HPA_PER_INHG

_MOST_FIELDS = 3
_FEW_WORDS = 6           # of a call that names nothing but what it asks about: "altimeter, 04W"
_GUIDED = frozenset({"vectors", "no_gyro_vectors", "radar_approach", "named_airport", "visual_approach"})
_QUESTION = re.compile(r"\b(?:what|what's|which|where|how|are there|is there|any|do you have)\b|\?", re.IGNORECASE)
_ASKS = re.compile(_QUESTION.pattern + r"|\b(?:say|request|need|get|give|know|tell|latest|current|confirm|check)\b",
                   re.IGNORECASE)
_STATES = re.compile(r"\b\d+(?:[.,]\d+)?\b|\b(?:thousand|hundred|miles?)\b", re.IGNORECASE)
_ABOUT = {
    "altimeter": re.compile(r"\b(?:altimeter|qnh)\b", re.IGNORECASE),
    "tops": re.compile(r"\btops\b|\bhow high\b.*\b(?:clouds?|overcast|layer)\b", re.IGNORECASE),
    "bases": re.compile(r"\bbases?\b(?! (?:leg|turn))|\bhow low\b.*\b(?:clouds?|overcast|layer)\b", re.IGNORECASE),
    "distance": re.compile(r"\bhow far\b|\bdistance\b|\bhow many miles\b", re.IGNORECASE),
    "position": re.compile(r"\bwhere (?:am i|are we)\b|\b(?:my|our) (?:present )?position\b", re.IGNORECASE),
    "minimum": re.compile(r"\bminimum (?:safe |vectoring |sector )?altitude\b|\bm[svo]a\b", re.IGNORECASE),
    "fields": re.compile(r"\b(?:airports?|fields?|airfields?|aerodromes?)\b", re.IGNORECASE),
    "weather": re.compile(r"\b(?:weather|metars?|ceilings?|visibility|atis)\b", re.IGNORECASE),
}
_BETTER = re.compile(r"\b(?:better|best|good|vfr|visual|vmc|clear)\b", re.IGNORECASE)
_NEAREST = re.compile(r"\b(?:nearest|closest)\b", re.IGNORECASE)
_REPORT = re.compile(r"(?:METAR|SPECI) (.+?) \d{6}Z .*\bA(\d{4})\b")
_APPROACH = re.compile(r"\b(ils|gps|rnav|vor|ndb|localizer|surveillance|asr|par)\b", re.IGNORECASE)


def asked_about(call: Call) -> tuple[str, ...]:
    """Return what a call only wants to know, by the table's names; () where it states or wants something done."""
    if call.equipment or call.urgency != "none" or call.cancels_ifr or any(
            reply.kind == "readback" for reply in call.replies):
        return ()
    found = {topic for topic, pattern in _ABOUT.items() if pattern.search(call.words)}
    if not _ASKS.search(call.words):
        alone = len(call.words.split()) <= _FEW_WORDS and not (
            call.replies or altimeter_in(call.words) or _STATES.search(call.words))
        return tuple(topic for topic in _ABOUT if topic in found - {"fields"} and alone)
    if "fields" in found and not _QUESTION.search(call.words):
        found.discard("fields")           # "request the nearest airport" wants to be led there
    if set(call.assistance) & _GUIDED or (call.places and call.intentions):
        found -= {"fields", "weather", "distance"}
    if {"fields", "weather"} <= found:    # "which airport has better weather", or "the weather at that airport"
        found.discard("weather" if _BETTER.search(call.words) else "fields")
    if not found and "weather" in call.assistance:
        found.add("weather")
    return tuple(topic for topic in _ABOUT if topic in found)


def informed(scenario: Scenario, state: ControllerState, call: Call,
             radar: Radar) -> tuple[ControllerState, list[str]]:
    """Return the controller and what it says to a call that wants to know something."""
    said: list[str] = []
    names = call.words.casefold()
    named = [each for each in scenario.fields if re.search(rf"\b{re.escape(each.name.casefold())}\b", names)]
    near = nearest_first(scenario, radar)
    for topic in asked_about(call):
        match topic:
            case "altimeter":
                there = next(iter(named or near), None)
                digits = field_altimeter(scenario, there)
                said.append(f"{there.name if there is not None else ''} altimeter {spoken_digits(digits)}".strip())
                state = replace(state, altimeter=digits)
            case "tops" | "bases":
                said.append(_layer(scenario, named, topic))
            case "distance":
                led = field_of(scenario, state.place)
                field = named[0] if named else led if led is not None else near[0] if near else None
                said.append("no field is known here" if field is None
                            else where_is(field, radar.north_nm, radar.east_nm))
            case "position":
                by = f", {where_is(near[0], radar.north_nm, radar.east_nm)}" if near else ""
                said.append(f"radar shows you at {altitude_words(radar.altitude_ft)}, "
                            f"track {heading_words(radar.track_deg)}{by}")
            case "minimum":
                said.append(f"minimum altitude {altitude_words(scenario.minimum_altitude_ft)}")
            case "fields":
                said += _fields(call, near, radar)
            case "weather":
                said += [field_weather(each) for each in named or near[:_MOST_FIELDS]] or ["no field weather on hand"]
    return state, said


def altimeter_digits(pressure_hpa: float) -> str:
    """Return an altimeter setting in hundredths of an inch of mercury, cut off as in a report (AIM 7-1-12, memory)."""
    return f"{math.floor(pressure_hpa / HPA_PER_INHG * 100.0 + 0.02):04d}"


def field_altimeter(scenario: Scenario, field: Field | None) -> str:
    """Return the digits of the setting at a field: as its own coded report has it, else that of the air."""
    for coded in scenario.weather.coded if field is not None else ():
        found = _REPORT.match(coded)
        if found is not None and field is not None and found.group(1).casefold() == field.name.casefold():
            return found.group(2)
    return altimeter_digits(scenario.weather.air.pressure_hpa)


def nearest_first(scenario: Scenario, radar: Radar) -> list[Field]:
    """Return the fields in the order of their distance."""
    return sorted(scenario.fields, key=lambda field: distance_nm(field, radar.north_nm, radar.east_nm))


def suited(call: Call, near: list[Field]) -> list[Field]:
    """Return those of the fields that have what a call wants: a kind of approach, weather to see by, or anything."""
    kind = _APPROACH.search(call.words)
    if kind is not None:
        wanted = kind.group(1).casefold()
        by_radar = wanted in ("surveillance", "asr")
        return [each for each in near if (by_radar and each.radar_approach)
                or any(wanted in name.casefold().split() for name in each.approaches)]
    return [each for each in near if visual_weather(each)] if _BETTER.search(call.words) else near


def _fields(call: Call, near: list[Field], radar: Radar) -> list[str]:
    """Say which fields are near; of the one that is asked for by what it has, its approach and weather as well."""
    found = suited(call, near)
    if not found:
        return ["no field like that is known here"]
    there = [where_is(each, radar.north_nm, radar.east_nm) for each in found[:_MOST_FIELDS]]
    if found == near and not _NEAREST.search(call.words):
        return there
    approaches = "".join(f", {approach_words(each)}" for each in found[0].approaches[:1] if each != "visual")
    return [f"{there[0]}{approaches}", field_weather(found[0])]


def _layer(scenario: Scenario, named: list[Field], topic: str) -> str:
    """Return the reported tops or bases, over a field where one is named."""
    cloud = scenario.weather.cloud
    layer = None if cloud is None else (cloud.base_ft, cloud.tops_ft)
    where = ""
    if named:
        layer, where = cloud_layer(scenario, *field_position(named[0])), f" at {named[0].name}"
    if layer is None:
        return f"no {topic} reported{where}"
    return f"{topic} are reported at {altitude_words(layer[0] if topic == 'bases' else layer[1])}{where}"
