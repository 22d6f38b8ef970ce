"""What a pilot only wants to know: weather, tops, bases, altimeter, fields near by, distances, his own position.

All of it comes from the scenario's data and from radar. Nothing is granted or assigned by it.
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.altitudes import joined
from drill.flight.controller_state import ControllerState, Radar
from drill.flight.facts import FACTS, fact, facts_asked
from drill.flight.phraseology import (
    altimeter_in,
    altitude_words,
    approach_words,
    field_of,
    field_weather,
    heading_words,
    miles_words,
    spoken_runway,
    where_is,
)
from drill.flight.reports import altimeter_digits, field_altimeter, field_wind, reported
from drill.flight.saying import clauses_of
from drill.flight.served import bound_field
from drill.flight.weather import cloud_layer, distance_nm, field_position, visual_weather
from drill.language import read_call
from drill.language.meaning import Call, Context
from drill.language.numbers import spoken_digits
from drill.language.patterns import compiled
from drill.scenario.model import Field, Scenario

__all__ = ["INFORMS", "altimeter_digits", "asked_about", "informed", "nearest_first", "seen_visual", "suited"]

NOT_KNOWN = "unable, that information is not on hand"
_MOST_FIELDS = 3
LAPSE_C = 2.0            # degrees Celsius per 1,000 ft (FAA-H-8083-28, the standard lapse rate, from memory)
_SLOWEST_KT = 30.0
_FEW_WORDS = 6           # of a call that names nothing but what it asks about: "altimeter, 04W"
_GUIDED = frozenset({"vectors", "no_gyro_vectors", "radar_approach", "named_airport", "visual_approach"})
_QUESTION = re.compile(r"\b(?:what|what'?s|which|where|how|are there|is there|any|do you have|is the temperature)\b|\?",
                       re.IGNORECASE)
_ASKS_OF_IT = compiled(r"""
    ^(?:[\w ,-]*, ?)?(?:uh |um |and |ok |so )*(?:is there|are there|any|how (?:many|much|big|long|busy|old)|
    what(?:'s| is| are)?|who(?:'s| is)?|which|does|do they|has|have they|when (?:does|do|is|did))\b
    (?! (?:about|if)\b)""")
_WHETHER = re.compile(
    r"^(?:[\w ,-]*,)? ?(?:is|are|do|does|has|have|can|could) (?:you|we|i|it|there|any\w*)\b|"
    r"\bany\w*\b.*\b(?:reports?|reporting|reported)\b|"
    r"\b(?:request|say|give (?:me|us))\b.*\b(?:winds?|rides?|icing|temperatures?)\b", re.IGNORECASE)
_ASKS = re.compile(_QUESTION.pattern + r"|\b(?:say|request|need|get|give|know|tell|latest|current|confirm|check)\b",
                   re.IGNORECASE)
_LEVEL = re.compile(r"\bat (\d{4,5})\b")
_STATES = re.compile(r"\b\d+(?:[.,]\d+)?\b|\b(?:thousand|hundred|miles?|knots?)\b", re.IGNORECASE)
_ABOUT = {
    "altimeter": re.compile(r"\b(?:altimeter|qnh)\b", re.IGNORECASE),
    "tops": re.compile(r"\btops\b|\bhow high\b.*\b(?:clouds?|overcast|layer)\b", re.IGNORECASE),
    "bases": re.compile(r"\bbases?\b(?! (?:leg|turn))|\bhow low\b.*\b(?:clouds?|overcast|layer)\b", re.IGNORECASE),
    "distance": re.compile(r"\bhow far\b|\bdistance\b|\bhow many miles\b", re.IGNORECASE),
    "position": re.compile(r"\bwhere (?:am i|are we)\b|\b(?:my|our) (?:present )?position\b|"
                           r"\bwhat altitude do you\b|\b(?:say|confirm|check) (?:my|our) altitude\b", re.IGNORECASE),
    "minimum": compiled(r"""
        \b(?i:minimum (?:safe |vectoring |sector |en ?route )?altitude|m[svo]a|mea|mva|mia|moca|oroca|
        what altitude (?:do|should|shall) (?:we|i) (?:need|be|fly|have|hold)|(?:best|safe|lowest(?: \w+)?) altitude|
        how (?:high|low) (?:do|should|shall|must|can|may) (?:we|i))\b"""),
    "fields": re.compile(r"\b(?:airports?|fields?|airfields?|aerodromes?)\b", re.IGNORECASE),
    "weather": re.compile(r"\b(?:weather|metars?|ceilings?|visibility|atis)\b", re.IGNORECASE),
    "visual": re.compile(r"\b(?:vfr|vmc|visual conditions|clear|good weather|better weather|"
                         r"(?:high\w*|better|good) ceilings?)\b", re.IGNORECASE),
    "time": re.compile(r"\bhow (?:long|much longer|many minutes)\b(?! (?:can|do|could|have))", re.IGNORECASE),
    "groundspeed": re.compile(r"\bground ?speed\b|\bhow fast are we\b", re.IGNORECASE),
    "track": re.compile(r"\b(?:what(?:'s| is| are)?|say|confirm|check|show|see|give (?:me|us))\b.{0,20}\b(?:our|my) "
                        r"(?:heading|track)\b|\bwhat (?:heading|track)\b|\bsay heading\b", re.IGNORECASE),
    "watch": re.compile(r"\b(?:watch|monitor|keep an eye on|call out)\b.{0,12}\b(?:our|my|us|me)\b", re.IGNORECASE),
    "ride": re.compile(r"\brides?\b|\bturbulen\w+\b|\bbump\w*\b", re.IGNORECASE),
    "icing": re.compile(r"\b(?:icing|ice)\b", re.IGNORECASE),
    "freezing": re.compile(r"\bfreezing (?:level|altitude)\b|\bfreezes\b", re.IGNORECASE),
    "temperature": compiled(r"""
        \b(?i:(?:what|what'?s|is|say|request|give|need|get|know|any|how)\b[^,.;]*?
        (?<!oil )(?<!head )(?<!engine )(?<!gas )\b(?:temperatures?|temps?|oat)|how (?:cold|warm))\b"""),
    "wind": re.compile(r"\bwinds?\b", re.IGNORECASE),
    "purpose": re.compile(r"\b(?:what|why|where)\b.*\b(?:vector\w*|taking us|sending us|this (?:turn|heading))\b"
                          r"(?! to\b)", re.IGNORECASE),
}
_HOW_IT_IS = re.compile(r"\bis (?!it\b|this\b|that\b)[\w']+ (?:still )?(?:clear|open|vfr|vmc|ifr|imc)\b", re.IGNORECASE)
# these words also state things
_ONLY_ASKED = frozenset({"visual", "freezing", "time", "ride", "icing", "wind", "purpose"})
_LED = re.compile(r"\b(?:request\w*|get (?:me|us)|take (?:me|us)|need|like|want|vectors? (?:to|for|toward))\b",
                  re.IGNORECASE)

_FACTS = frozenset(each.key for each in FACTS)
INFORMS = _FACTS | {"else", "fields", "visual", "ride", "icing", "freezing", "temperature", "wind", "time", "distance",
                    "purpose"}
"""What is asked about and asks for nothing to be done: "how is the ride up at nine" wants no nine thousand."""
_ALONE = re.compile(r"^(?:[\w ]*\b(?:approach|departure|center|control|tower|\d\w*) )?(?:say )?(?:the )?"
                    r"(?:nearest|closest)(?: suitable)? (?:air)?(?:ports?|fields?)(?: (?:with|in) [\w ]+)?"
                    r"(?: please)?\W*$",
                    re.IGNORECASE)
_ALONE_VISUAL = re.compile(
    r"^(?:say |where is |what is |what about )?(?:the )?(?:nearest|closest|best|better)(?: (?:visual|clear|good))? ?"
    r"(?:vmc|vfr|weather|conditions|clear air)(?: (?:conditions|weather))?(?: please)?\W*$", re.IGNORECASE)
_ABOUT_REPORTS = re.compile(r"\b(?:any|is there|are there|how is|how's|what is|what's|say)\b[^,.;]*"
                            r"\b(?:ice|icing|rides?|turbulence|bumps?)\b", re.IGNORECASE)
"""Asks what is met by others, whatever is wanted beside it."""
_THE_FIELD = re.compile(r"\b(?:to|is) the (?:airport|field|airfield|runway)\b", re.IGNORECASE)
_THERE = re.compile(r"\bthere\b", re.IGNORECASE)
_BETTER = re.compile(r"\b(?:better|best|good|higher|highest|vfr|visual|vmc|clear)\b", re.IGNORECASE)
_BEST = re.compile(r"\b(?:best|better|good)\b[^,.;]*\bweather\b|\bweather\b[^,.;]*\b(?:best|better)\b", re.IGNORECASE)
_NEAREST_VISUAL = re.compile(r"\b(?:nearest|closest) (?:vfr|vmc|visual|clear)\b", re.IGNORECASE)
_NEAREST = re.compile(r"\b(?:nearest|closest)\b", re.IGNORECASE)
_APPROACH = re.compile(r"\b(ils|gps|rnav|vor|ndb|localizer|surveillance|asr|par)\b", re.IGNORECASE)


def asked_about(call: Call) -> tuple[str, ...]:
    """Return what a call only wants to know, by the table's names; () where it states or wants something done.

    "else" is what is asked about a place, and nothing here knows.
    """
    if call.equipment or call.urgency != "none" or call.cancels_ifr or any(
            reply.kind == "readback" for reply in call.replies):
        return ()
    if (facts := facts_asked(call.words)):
        rest = ", ".join(each for each in clauses_of(call.words) if not facts_asked(each))
        more = asked_about(replace(call, words=rest)) if rest and rest != call.words.lower() else ()
        return (*facts, *(each for each in more if each not in facts))
    if not call.trouble and any(_ALONE.search(part.strip()) for part in call.words.split(",")):
        return ("fields",)                # "nearest airport please" asks which that is
    if not call.trouble and any(_ALONE_VISUAL.search(part.strip()) for part in call.words.split(",")):
        return ("visual",)                # so does "nearest VMC"
    found = {topic for topic, pattern in _ABOUT.items() if pattern.search(call.words)}
    asks = _QUESTION.search(call.words) is not None or _WHETHER.search(call.words) is not None
    if not asks:
        few = len(call.words.split()) <= _FEW_WORDS and not call.replies and not _STATES.search(call.words)
        found -= _ONLY_ASKED - ({"wind"} if few else set())
    if _LED.search(call.words):
        found.discard("visual")
        found.discard("purpose")
    if "visual" in found and _HOW_IT_IS.search(call.words):
        found.add("weather")
    if "distance" in found and _THE_FIELD.search(call.words):
        found.discard("fields")           # the one that it is led to
    if "minimum" in found:
        found.discard("purpose")          # "what is the minimum vectoring altitude"
    if found & {"freezing", "temperature"}:
        found.discard("weather")
    if "visual" in found and ("vmc" not in call.assistance or found & {"fields", "weather"}):
        found.discard("visual")
    if "watch" in found or "purpose" in found or "time" in found:
        found -= {"track", "distance", "fields"}
    wanted = set(call.assistance) - {"weather", "named_airport"}
    if not _ABOUT_REPORTS.search(call.words) and (call.conditions == "icing" or wanted):
        found -= {"icing", "ride"}        # said of what is met, with what is wanted for it
    if found & {"icing", "ride", "wind"}:
        found -= {"weather"}
        return tuple(topic for topic in _ABOUT if topic in found)
    if "watch" in found:
        return ("watch",)
    if not _ASKS.search(call.words):
        alone = len(call.words.split()) <= _FEW_WORDS and not (
            call.replies or altimeter_in(call.words) or _STATES.search(call.words))
        return tuple(topic for topic in _ABOUT if topic in found - {"fields"} and alone)
    if "fields" in found and not _QUESTION.search(call.words):
        found.discard("fields")           # "request the nearest airport" wants to be led there
    if "distance" in found and _NEAREST.search(call.words) and found & {"fields", "visual"}:
        found.discard("distance")         # that comes with it
    if found & {"distance", "weather"} and "fields" not in found and _NEAREST_VISUAL.search(call.words):
        found = {"visual"}                # "how far is the nearest VFR weather"
    if "weather" in found and _BEST.search(call.words) and not call.places:
        found = (found - {"weather"}) | {"fields"}
    if set(call.assistance) & _GUIDED or (call.places and call.intentions):
        found -= {"fields"} if asks else {"fields", "weather", "distance"}
    if {"fields", "weather"} <= found:    # "which airport has better weather", or "the weather at that airport"
        found.discard("weather" if _BETTER.search(call.words) else "fields")
    if not found and "weather" in call.assistance:
        found.add("weather")
    if not found and call.places and set(call.assistance) <= {"named_airport", "rescue"} and not call.intentions and (
            _ASKS_OF_IT.search(call.words.lower())):
        return ("else",)
    return tuple(topic for topic in _ABOUT if topic in found)


def besides(call: Call, context: Context) -> Call:
    """Return a call with what it wants done beside what it only asks about: "how is the ride at nine" wants no nine."""
    kept = [each for each in clauses_of(call.words) if not asked_about(read_call(each, context))]
    left = read_call(", ".join(kept), context)
    return replace(call, assistance=left.assistance, places=left.places, intentions=left.intentions,
                   altitude_wanted_ft=left.altitude_wanted_ft, heading_wanted_deg=left.heading_wanted_deg)


def informed(scenario: Scenario, state: ControllerState, call: Call,
             radar: Radar) -> tuple[ControllerState, list[str]]:
    """Return the controller and what it says to a call that wants to know something."""
    said: list[str] = []
    names = call.words.casefold()
    named = [each for each in scenario.fields if re.search(rf"\b{re.escape(each.name.casefold())}\b", names)]
    near = nearest_first(scenario, radar)
    for topic in asked_about(call):
        match topic:
            case _ if topic in _FACTS:
                said += fact(scenario, state, radar, topic, call.words)
            case "altimeter":
                there = next(iter(named or near), None)
                digits = field_altimeter(scenario, there)
                said.append(f"{there.name if there is not None else ''} altimeter {spoken_digits(digits)}".strip())
                state = replace(state, altimeter=digits)
            case "tops" | "bases":
                said.append(_layer(scenario, named, topic))
            case "distance":
                led = bound_field(scenario, state)
                field = named[0] if named else led if led is not None else near[0] if near else None
                said.append("no field is known here" if field is None
                            else where_is(field, radar.north_nm, radar.east_nm))
            case "position":
                by = f", {where_is(near[0], radar.north_nm, radar.east_nm)}" if near else ""
                said.append(f"radar shows you at {altitude_words(radar.altitude_ft)}, "
                            f"track {heading_words(radar.track_deg)}{by}")
            case "time":
                field = named[0] if named else bound_field(scenario, state) or next(iter(near), None)
                said.append(_time(state, field, radar))
            case "groundspeed":
                said.append(f"radar shows your groundspeed {spoken_digits(str(round(state.seen.speed_kt / 5.0) * 5))}")
            case "track":
                said.append(f"radar shows your track {heading_words(radar.track_deg)}")
            case "watch":
                said.append("wilco")
            case "ride" | "icing":
                here = call.altitude_ft or call.altitude_wanted_ft
                known = reported(scenario, topic)
                other = here is not None and altitude_words(here) not in known and " at " in known
                said.append(f"no reports at {altitude_words(here or 0.0)}, {known}" if other else known)
            case "freezing":
                level_ft = scenario.weather.freezing_level_ft
                said.append("freezing level not reported" if level_ft is None
                            else f"freezing level {altitude_words(level_ft)}")
            case "temperature":
                asked_ft = call.altitude_ft or call.altitude_wanted_ft or _level_in(call.words) or radar.altitude_ft
                said.append(_temperature(scenario.weather.freezing_level_ft, asked_ft))
            case "wind":
                said += [field_wind(scenario, each) for each in (named or near[:1])] or ["no wind reported"]
            case "else":
                said.append(NOT_KNOWN)
            case "purpose":
                said.append(_purpose(scenario, state))
            case "visual":
                said.append(_visual(scenario, near, radar, tops="tops" not in asked_about(call)))
            case "minimum":
                said.append(f"minimum altitude {altitude_words(scenario.minimum_altitude_ft)}")
            case "fields":
                said += _fields(call, near, radar)
            case "weather":
                there = field_of(scenario, state.place or state.spoken_of) if _THERE.search(call.words) and (
                    not named) else None
                at = named if there is None else [there]
                said += [field_weather(each) for each in at or near[:_MOST_FIELDS]] or ["no field weather on hand"]
    return state, said


def _level_in(words: str) -> float | None:
    level = _LEVEL.search(joined(words))
    return None if level is None else float(level.group(1))


def _temperature(freezing_ft: float | None, at_ft: float) -> str:
    """Say what the freezing level makes of the temperature at an altitude (ft)."""
    if freezing_ft is None:
        return f"no temperature reported at {altitude_words(at_ft)}"
    celsius = round((freezing_ft - at_ft) / 1000.0 * LAPSE_C)
    degrees = f"{'minus ' if celsius < 0 else ''}{spoken_digits(str(abs(celsius)))}"
    return (f"freezing level {altitude_words(freezing_ft)}, that makes it about {degrees} degrees Celsius at "
            f"{altitude_words(at_ft)}")


def _time(state: ControllerState, field: Field | None, radar: Radar) -> str:
    if field is None:
        return "no field is known here"
    miles = distance_nm(field, radar.north_nm, radar.east_nm)
    if state.seen.speed_kt < _SLOWEST_KT:
        return where_is(field, radar.north_nm, radar.east_nm)
    minutes = max(1, round(miles / state.seen.speed_kt * 60.0))
    return f"{field.name} is {miles_words(miles)}, about {spoken_digits(str(minutes))} minutes at your groundspeed"


def _purpose(scenario: Scenario, state: ControllerState) -> str:
    """Say what the present vectors are for."""
    field = field_of(scenario, state.place)
    if field is None and state.heading_deg is not None:
        return f"heading {heading_words(state.heading_deg)} is your assigned heading"
    if field is None:
        return "no vectors, heading at your discretion"
    if state.leg and field.runway_deg is not None:
        return f"vectors to the final approach course, runway {spoken_runway(field.runway_deg)} at {field.name}"
    return f"vectors to {field.name}"


def seen_visual(near: list[Field]) -> Field | None:
    """Return the first of the fields whose weather allows an arrival by eye."""
    return next((each for each in near if visual_weather(each)), None)


def _visual(scenario: Scenario, near: list[Field], radar: Radar, *, tops: bool) -> str:
    """Say where visual conditions are known to be: a field, its weather, and the tops."""
    field, cloud = seen_visual(near), scenario.weather.cloud
    high = f". Tops are reported at {altitude_words(cloud.tops_ft)}" if tops and cloud is not None else ""
    if field is None:
        return f"no field with visual weather is known here{high}"
    return f"{where_is(field, radar.north_nm, radar.east_nm)}. {field_weather(field)}{high}"


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
    if layer is None and cloud is not None:   # it is clear there, and what is flown in has them
        feet = cloud.base_ft if topic == "bases" else cloud.tops_ft
        return f"no {topic} reported{where}, elsewhere at {altitude_words(feet)}"
    if layer is None:
        return f"no {topic} reported{where}"
    return f"{topic} are reported at {altitude_words(layer[0] if topic == 'bases' else layer[1])}{where}"
