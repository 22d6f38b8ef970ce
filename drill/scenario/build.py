"""From what was read to the frozen model, with every default in one place. Called only for documents without errors."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.clean import Clean, clean
from drill.language.lexicon import SAID, Lexicon, LocalWords, lexicon_with, usage
from drill.scenario.airplane_document import AIRFRAME_KEYS
from drill.scenario.cards import USUAL_MINUTES
from drill.scenario.conditions import Condition
from drill.scenario.document import EFFECT_NAMES
from drill.scenario.model import (
    LIMIT_ENDINGS,
    WHEN_ABLE,
    Airplane,
    Branch,
    Clearance,
    Cloud,
    Cue,
    DebriefWords,
    Effect,
    End,
    Ending,
    Fail,
    FailurePlan,
    Field,
    Go,
    Heal,
    Item,
    Note,
    Phase,
    Say,
    Scenario,
    Start,
    TakenUp,
    Tell,
    Variation,
    Weather,
)
from drill.scenario.poll_keys import build_polls
from drill.scenario.problems import Place
from drill.scenario.reading import Entry

PARKED_ORDER_KT = 100.0
"""On the ground no airspeed is flown; the controls carry one all the same."""

ASK = (
    Clean("What failed, and what told you?"),
    Clean("When did you know?"),
    Clean("What would you do differently?"),
)
TIME_LIMIT_S = 45 * 60.0
_LIMITS: Mapping[str, tuple[str, str]] = {
    "ground": ("hit the ground", "The airplane has met the ground."),
    "break-up": ("broke up", "The airplane has come apart in the air."),
    "time up": ("unresolved", "The flight is stopped here, with nothing settled."),
}


def build_airplane(name: str, entry: Entry, text: str) -> Airplane:
    """Return the airplane; what the document leaves out is as in Airframe."""
    given = {field: entry.get(key.name) for field, key in AIRFRAME_KEYS.items() if key.name in entry.values}
    checklists = entry.get("checklists", {})
    return Airplane(
        name=name,
        title=entry.get("title"),
        airframe=Airframe(**given),
        checklists=tuple((Clean(each.lower()), tuple(steps)) for each, steps in checklists.items()),
        text=text,
    )


def build_scenario(name: str, entry: Entry, airplane: Airplane, text: str) -> Scenario:
    """Return the scenario."""
    get = entry.get
    ground_ft = get("ground", 0.0)
    weather = _weather(get("weather", Entry(Place())), get("latitude", 40.0), ground_ft)
    start = _start(get("start"), weather.air)
    callsign = get("callsign")
    wear = get("instruments", airplane.airframe.instruments)
    up = _taken_up(get("taken up"))
    failures = tuple(_failure(each, value) for each, value in get("failures", {}).items())
    variations = tuple(_variation(each, value) for each, value in get("variations", {}).items())
    if up is not None:
        start = replace(start, phase=up.phase)
    if up is not None and up.failed:
        failures, variations = _begun(failures, up), _with_begun(variations, up)
    return Scenario(
        name=name,
        edition=int(get("drill")),
        board_title=get("board title"),
        title=get("title"),
        aim=get("aim"),
        covers=get("covers", ()),
        airplane=replace(airplane, airframe=replace(airplane.airframe, instruments=wear)),
        callsign=callsign,
        start=start,
        weather=weather,
        minimum_altitude_ft=get("minimum altitude"),
        fields=tuple(_field(each, value, ground_ft) for each, value in get("fields").items()),
        clearance=_clearance(get("clearance"), start),
        course=_course(get("course")),
        briefing=get("briefing", Clean("")),
        minutes=get("minutes", USUAL_MINUTES),
        time_limit_s=get("time limit", TIME_LIMIT_S),
        nothing_fails=get("nothing fails", 0.0) if up is None or not up.failed else 0.0,
        failures=failures,
        variations=variations,
        events=tuple(_cue(f"event/{each}", value) for each, value in get("events", {}).items()),
        phases=tuple(_phase(each, value) for each, value in get("phases").items()),
        endings=_endings(get("endings")),
        grade_sheet=tuple(_item(each) for each in get("grade sheet")),
        debrief=_debrief(get("debrief", Entry(Place()))),
        cautions=get("cautions", ()),
        text=text,
        lexicon=_lexicon(get("usage", ()), get("local words")),
        taken_up=up,
        polls=build_polls(get("polls", ())),
    )


def _taken_up(entry: Entry | None) -> TakenUp | None:
    return None if entry is None else TakenUp(entry.get("phase"), tuple(entry.get("failed", ())))


def _begun(plans: tuple[FailurePlan, ...], up: TakenUp) -> tuple[FailurePlan, ...]:
    return tuple(replace(each, at_s=0.0, spread_s=0.0) if each.name in up.failed else each for each in plans)


def _with_begun(variations: tuple[Variation, ...], up: TakenUp) -> tuple[Variation, ...]:
    """Return the variations such that one is drawn in which what has begun happens; where none has it all, any."""
    varied = set(up.failed) & {name for each in variations for name in each.fails}
    if any(varied <= set(each.fails) for each in variations):
        return tuple(each if varied <= set(each.fails) else replace(each, share=0) for each in variations)
    return tuple(replace(each, fails=tuple(name for name in each.fails if name not in up.failed))
                 for each in variations)


def _lexicon(countries: Sequence[str], local: Entry | None) -> Lexicon | None:
    """Return the lexicon with the words of these countries and the author's own, None where there are none."""
    layers = [usage(country) for country in countries]
    if local is not None:
        layers.append(LocalWords(**{key: local.get(key, ()) for key in ("names", "asks", *SAID)}))
    return lexicon_with(*layers) if layers else None


def _start(entry: Entry, air: Air) -> Start:
    get = entry.get
    return Start(
        phase=get("phase"),
        altitude_ft=get("altitude", air.ground_ft),
        heading_deg=get("heading"),
        airspeed_kt=get("airspeed", PARKED_ORDER_KT),
        on_board=int(get("on board", 1)),
        fuel_min=get("fuel", 240.0),
        altimeter_hpa=get("altimeter", air.pressure_hpa),
        clock=get("clock", Clean("12:00")),
        autopilot=get("autopilot", "off") == "on",
        on_ground=get("on ground", False),
        gyros_running=get("gyros", "running") == "running",
    )


def _weather(entry: Entry, latitude_deg: float, ground_ft: float) -> Weather:
    get = entry.get
    cloud = get("cloud")
    wind_from_deg, wind_kt = get("wind", (0.0, 0.0))
    layer = Cloud(cloud.get("base"), cloud.get("tops")) if isinstance(cloud, Entry) else None
    air = Air(
        wind_from_deg=wind_from_deg,
        wind_kt=wind_kt,
        turbulence=get("turbulence", "calm"),
        temperature_deviation_c=get("temperature", 0.0),
        pressure_hpa=get("pressure", 1013.25),
        latitude_deg=latitude_deg,
        ground_ft=ground_ft,
        icing=get("icing", "none"),
        cloud_base_ft=0.0 if layer is None else layer.base_ft,
        cloud_tops_ft=0.0 if layer is None else layer.tops_ft,
        freezing_level_ft=get("freezing level", Air().freezing_level_ft),
    )
    return Weather(layer, air, get("freezing level"), get("words", Clean("")), get("coded", ()))


def _field(name: str, entry: Entry, ground_ft: float) -> Field:
    get = entry.get
    ceiling = get("ceiling")
    return Field(
        name=Clean(name),
        bearing_deg=get("bearing"),
        distance_nm=get("distance"),
        elevation_ft=get("elevation", ground_ft),
        ceiling_ft=None if ceiling == "clear" else ceiling,
        tops_ft=get("tops"),
        visibility_sm=get("visibility", 10.0),
        approaches=get("approaches", ()),
        runway_deg=get("runway"),
        minimums_ft=get("minimums"),
        weather=get("weather", Clean("")),
        radar_approach=get("radar approach", False),
    )


def _clearance(entry: Entry, start: Start) -> Clearance:
    get = entry.get
    return Clearance(
        facility=get("facility"),
        frequency=get("frequency", Clean("")),
        altitude_ft=get("altitude", start.altitude_ft),
        heading_deg=get("heading", start.heading_deg),
        code=get("code", Clean("")),
        limit=get("limit", Clean("")),
        radar_approach=get("radar approach", False),
        mood=get("mood", "helpful"),
        mistakes=tuple(dict.fromkeys(get("mistakes", ()))),
        when_able=get("when able", WHEN_ABLE),
    )


def _course(entry: Entry | None) -> tuple[Clean, float] | None:
    return None if entry is None else (entry.get("to"), entry.get("inbound"))


def _failure(name: str, entry: Entry) -> FailurePlan:
    get = entry.get
    return FailurePlan(
        name=name,
        part=get("part").lower(),
        how=get("how").lower(),
        at_s=get("at"),
        spread_s=get("spread", 0.0),
        lasts_s=get("lasts"),
        severity=get("severity", 1.0),
        place=entry.place,
        every_s=get("every"),
    )


def _variation(name: str, entry: Entry) -> Variation:
    fails = entry.get("fails")
    return Variation(name, int(entry.get("share", 1)), tuple(fails), entry.place)


def _say(entry: Entry) -> Say:
    get = entry.get
    return Say(
        words=get("says"),
        voice=get("voice"),
        heading_deg=get("heading"),
        altitude_ft=get("altitude"),
        cleared_approach=get("cleared"),
        asks=get("asks", ""),
        at_discretion=get("at discretion", False),
        hands_off=get("hands off", False),
        instead_of=get("instead of", ""),
    )


def _effects(entry: Entry) -> tuple[Effect, ...]:
    """Return the effects in the author's order of keys."""
    made: list[Effect] = []
    for key, value in entry.values.items():
        if key == "says":
            made.append(_say(entry))
        if key not in EFFECT_NAMES:
            continue
        make: Any = {"tell": Tell, "say": _say, "fail": Fail, "heal": Heal, "note": Note}[key]
        made += [make(each) for each in value]
    return tuple(made)


def _cue(key: str, entry: Entry, effects: tuple[Effect, ...] | None = None) -> Cue:
    get = entry.get
    return Cue(
        key=key,
        after_s=get("after", 0.0),
        spread_s=get("spread", 0.0),
        when=get("when"),
        unless=get("unless"),
        effects=_effects(entry) if effects is None else effects,
        place=entry.place,
    )


def _phase(name: str, entry: Entry) -> Phase:
    get = entry.get
    enter: list[Effect] = [Tell(get("tell"))] if get("tell") is not None else []
    for each in get("do", ()):
        enter += _effects(each)
    cues = [_cue(f"{name}/atc/{i}", each, (_say(each),)) for i, each in enumerate(get("atc", ()))]
    cues += [_cue(f"{name}/cue/{i}", each) for i, each in enumerate(get("cues", ()))]
    return Phase(name, tuple(enter), tuple(cues), tuple(_branch(each) for each in get("branches", ())), entry.place)


def _branch(entry: Entry) -> Branch:
    when: Condition = entry.get("when")
    last: Effect = Go(entry.get("go")) if entry.get("go") is not None else End(entry.get("end"))
    return Branch(when, entry.get("for", 0.0), (*_effects(entry), last), entry.place)


def _endings(entries: Mapping[str, Entry]) -> tuple[Ending, ...]:
    """Return the author's endings and plain ones for the limits that the author gave no words."""
    made = [Ending(name, each.get("outcome"), each.get("tell"), each.place) for name, each in entries.items()]
    made += [
        Ending(name, _LIMITS[name][0], Clean(_LIMITS[name][1]), Place())
        for name in LIMIT_ENDINGS
        if name not in entries
    ]
    return tuple(made)


def _item(entry: Entry) -> Item:
    get = entry.get
    return Item(
        name=get("item"),
        part=get("part"),
        weight=get("weight", "major"),
        do=get("do"),
        never=get("never"),
        keep=get("keep"),
        when=get("when"),
        after=get("after"),
        before=get("before"),
        within=get("within"),
        needs=get("needs", ()),
        example=get("example"),
        why=get("why"),
        source=get("source"),
        unsafe=get("unsafe", False),
        place=entry.place,
    )


def _debrief(entry: Entry) -> DebriefWords:
    discuss = entry.get("discuss", "")
    return DebriefWords(entry.get("ask", ASK), clean(re.sub(r"[ ]+\n", "\n", discuss)))
