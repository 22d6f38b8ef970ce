"""What else a pilot may want to know, each answered with the fact or with "unable": a table of topic, words, answer."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Radar
from drill.flight.phraseology import (
    altitude_words,
    approach_words,
    feet_words,
    field_of,
    field_weather,
    heading_words,
    miles_words,
    spoken_runway,
    where_is,
)
from drill.flight.reports import reported
from drill.flight.served import bound_field
from drill.flight.weather import bearing_deg, distance_nm
from drill.language.numbers import spoken_digits
from drill.language.patterns import compiled
from drill.scenario.model import Field, Scenario

_ON_COURSE_DEG = 20.0


@dataclass(frozen=True, slots=True)
class Inquiry:
    """A question: its words in small letters, the field that is meant (None: none is known), all by distance."""

    scenario: Scenario
    radar: Radar
    words: str
    field: Field | None
    near: tuple[Field, ...]


@dataclass(frozen=True, slots=True)
class Fact:
    """One topic: the words that ask for it, and what is said."""

    key: str
    asked: re.Pattern[str]
    says: Callable[[Inquiry], list[str]]


def kinds_of(field: Field) -> list[str]:
    """Return the approaches of a field as they are said."""
    listed = [approach_words(each) for each in field.approaches]
    by_radar = field.radar_approach and not any("surv" in each for each in listed)
    return [*listed, *(["surveillance approach"] if by_radar else [])]


def _approaches(asked: Inquiry) -> list[str]:
    if asked.field is None:
        return ["no field is known here"]
    return [f"approaches at {asked.field.name}: {', '.join(kinds_of(asked.field)) or 'none'}"]


def _with_approach(asked: Inquiry) -> list[str]:
    kind = re.search(r"ils|gps|rnav|vor|ndb|localizer|\basr\b|\bpar\b|surveillance|radar", asked.words)
    wanted = "surveillance" if kind is None or kind.group() in ("asr", "par", "radar") else kind.group()
    for each in asked.near:
        found = [name for name in kinds_of(each) if wanted in name.lower()]
        if found:
            return [f"{where_is(each, asked.radar.north_nm, asked.radar.east_nm)}, {found[0]}"]
    return [f"unable, no {wanted.upper() if len(wanted) < 5 else wanted} approach is known here"]


def _minimums(asked: Inquiry) -> list[str]:
    if asked.field is None:
        return ["unable, minimums not on hand"]
    least = asked.field.minimums_ft
    said = "minimums not on hand" if least is None else f"minimums {feet_words(least)}"
    return [f"{field_weather(asked.field)}, {said}"]


def _runway(asked: Inquiry) -> list[str]:
    if asked.field is None:
        return ["no field is known here"]
    if re.search(r"\b(?:long|length|feet|wide|width)\b", asked.words) or asked.field.runway_deg is None:
        return [f"unable, runway data for {asked.field.name} not on hand"]
    return [f"runway {spoken_runway(asked.field.runway_deg)} at {asked.field.name}"]


def _radar(asked: Inquiry) -> list[str]:
    near = next(iter(asked.near), None)
    miles = 0.0 if near is None else distance_nm(near, asked.radar.north_nm, asked.radar.east_nm)
    where = "" if near is None else f", {miles_words(miles)} from {near.name}"
    return [f"affirmative, radar contact{where}, altitude {altitude_words(asked.radar.altitude_ft)}"]


def _pireps(asked: Inquiry) -> list[str]:
    cloud = asked.scenario.weather.cloud
    tops = [] if cloud is None else [f"tops are reported at {altitude_words(cloud.tops_ft)}"]
    return [*(reported(asked.scenario, about) for about in ("ride", "icing")), *tops]


def _terrain(asked: Inquiry) -> list[str]:
    field = asked.field
    known = field is not None and field.elevation_ft > 0.0
    low = f", {field.name} elevation {feet_words(field.elevation_ft)}" if known and field is not None else ""
    return [f"minimum altitude in your area is {altitude_words(asked.scenario.minimum_altitude_ft)}{low}"]


def _elevation(asked: Inquiry) -> list[str]:
    if asked.field is None or asked.field.elevation_ft <= 0.0:
        return ["unable, elevation not on hand"]
    return [f"{asked.field.name} elevation {feet_words(asked.field.elevation_ft)}"]


def _aloft(asked: Inquiry) -> list[str]:
    air = asked.scenario.weather.air
    if air.wind_kt < 1.0:
        return ["winds aloft calm"]
    way = heading_words(round(air.wind_from_deg / 10.0) * 10)
    return [f"winds aloft {way} at {spoken_digits(str(round(air.wind_kt)))}"]


def _roads(asked: Inquiry) -> list[str]:
    near = next(iter(asked.near), None)
    where = "" if near is None else f", nearest field: {where_is(near, asked.radar.north_nm, asked.radar.east_nm)}"
    return [f"unable, nothing of the ground is known here{where}"]


def _bearing(asked: Inquiry) -> list[str]:
    return ["no field is known here" if asked.field is None
            else where_is(asked.field, asked.radar.north_nm, asked.radar.east_nm)]


def _on_course(asked: Inquiry) -> list[str]:
    if asked.field is None:
        return ["no field is known here"]
    bearing = bearing_deg(asked.field, asked.radar.north_nm, asked.radar.east_nm)
    on = abs(float(wrap_deg(FLOATS, bearing - asked.radar.track_deg))) <= _ON_COURSE_DEG
    where = where_is(asked.field, asked.radar.north_nm, asked.radar.east_nm)
    return [f"{'affirmative' if on else 'negative'}, radar shows your track "
            f"{heading_words(asked.radar.track_deg)}, {where}"]


FACTS = (
    Fact("on course", compiled(r"""
        \b(?:am i|are we) (?:still |now )?(?:on (?:the |our )?(?:right )?(?:course|track|way)|(?:going|flying|headed|
        heading) (?:in )?the (?:right|wrong) (?:way|direction))\b"""), _on_course),
    Fact("terrain", compiled(r"""
        \bterrain\b|\bobstacles?\b|\b(?:are|is) there (?:any )?(?:mountains?|hills?|high ground)\b|
        \bhow low can\b|\bwhat is (?:below|under|beneath) us\b|
        \bground below\b"""), _terrain),
    Fact("roads", compiled(r"\b(?:roads?|highways?|beach\w*|open (?:fields?|ground)|farm ?land)\b"), _roads),
    Fact("minimums", compiled(r"""
        \b(?:m ?d ?a|decision (?:height|altitude)|minimum descent altitude)\b|
        \b(?:above|below|at|what are the|the) (?:\w+ )?minim(?:ums|a|um(?! (?:altitude|vectoring|safe|sector|descent|
        fuel)))\b"""), _minimums),
    Fact("elevation", compiled(r"\b(?:what|say)\b.*\belevation\b|\belevation (?:at|of)\b"), _elevation),
    Fact("aloft", compiled(r"\bwinds? (?:aloft|up here|at (?:our|this) altitude)\b"), _aloft),
    Fact("frequency", compiled(r"\b(?:what|which|say)\b.*\bfrequenc(?:y|ies)\b"),
         lambda _: ["unable, other frequencies not on hand, remain on this frequency"]),
    Fact("readout", compiled(r"\baltitude read ?out\b|\bmode c\b.*\b(?:show|read|say)\w*|\bwhat(?:'s| is) (?:my|our) "
                             r"(?:reported |mode c )?altitude\b"),
         lambda asked: [f"radar shows {altitude_words(asked.radar.altitude_ft)}"]),
    Fact("runway", compiled(r"""
        \b(?:how long|how wide|length|what|which)\b.*\brunways?\b|\brunway (?:length|in use)\b"""), _runway),
    Fact("radar", compiled(r"""
        \b(?:can|do) you (?:still )?(?:see|have) (?:us|me)\b|\bradar contact\b.*\?|
        \b(?:are|am) (?:we|i) (?:still )?(?:(?:in )?radar (?:contact|identified)|(?:on|in) (?:your )?radar)\b
        """), _radar),
    Fact("traffic", compiled(r"\b(?:any|is there|what|other) (?:other )?traffic\b"),
         lambda _: ["no traffic observed near you"]),
    Fact("delay", compiled(r"""
        \bexpect(?:ed)? further clearance\b|\bfurther clearance\b|\befc\b|
        \b(?:any|how much|is there an?|expect) delays?\b|
        \bhow many (?:airplanes|aircraft|planes|others|people)\b.*\b(?:ahead|before|in front|approach|ils)\b|
        \bwhat number (?:are|am) (?:we|i)\b"""), lambda _: ["no delay expected"]),
    Fact("stays", compiled(r"\b(?:will|can|could) you (?:please )?stay with (?:us|me)\b"),
         lambda _: ["affirmative, staying with you"]),
    Fact("clock", compiled(r"\bwhat time is it\b|\bwhat(?:'s| is) the time\b|\btime check\b"),
         lambda _: ["unable, no time check here"]),
    Fact("pireps", compiled(r"\bpireps?\b|\bpilot reports?\b"), _pireps),
    Fact("with approach", compiled(r"""
        \b(?:which|who|what field)\b[^?]*\bha(?:s|ve) (?:a |got )?radar\b(?! contact)|
        \b(?:is|are) (?:the |an? |your )?(?:ils|gps|rnav|vor|ndb|asr|par|surveillance|radar|no[- ]gyro)(?: \w+){0,5}
        [ ](?:available|up|working|in (?:service|use)|usable)\b|
        \b(?:is there|are there|do you have|have you got|any(?:where|body|one|thing)?|who has|which)\b.*\b(?:ils|gps|
        rnav|vor|ndb|asr|par|
        surveillance|radar approach)\b.*(?:\b(?:near|nearby|around|close|here|in range|available|approach)\b|
        \?|$)"""), _with_approach),
    Fact("approaches", compiled(r"\b(?:what|which|any|list)\b.*\bapproach(?:es)\b|"
                                r"\b(?:what|which)\b[^.?]*\b(?:expected approach|approach (?:should|can|do|will|are|"
                                r"is) (?:we|i|you|in))\b"), _approaches),
    Fact("bearing", compiled(r"""
        \b(?:what|which|say)(?:'s| is)?(?: the| our)? (?:heading|bearing|course|direction|way)(?: is it|
        [ ]should (?:we|i) fly| do (?:we|i) need)? (?:to|for|toward) (?!final|take|fly)\w+"""), _bearing),
)
_ON_THE_WAY = frozenset({"on course"})
"""Asked of the way that is flown: to the clearance limit, where help leads nowhere else."""
_WISHES = re.compile(r"\b(?:request|need|want|like|vectors?|take|get|give)\b")


def facts_asked(words: str) -> tuple[str, ...]:
    """Return the topic that a line asks for, by the table; at most one, () for a wish."""
    said = words.lower().replace("\u2019", "'")
    if _WISHES.search(said):
        return ()
    return tuple(each.key for each in FACTS if each.asked.search(said))[:1]


def fact(scenario: Scenario, state: ControllerState, radar: Radar, key: str, words: str) -> list[str]:
    """Return what is said to a question of the table."""
    said = words.lower()
    near = tuple(sorted(scenario.fields, key=lambda each: distance_nm(each, radar.north_nm, radar.east_nm)))
    named = [each for each in scenario.fields if re.search(rf"\b{re.escape(each.name.lower())}\b", said)]
    limit = bound_field(scenario, state) if key in _ON_THE_WAY else None
    field = next(iter(named), None) or field_of(scenario, state.place) or limit or field_of(scenario, state.spoken_of)
    asked = Inquiry(scenario, radar, said, field or next(iter(near), None), near)
    return next(each for each in FACTS if each.key == key).says(asked)
