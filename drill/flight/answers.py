"""What the controller answers to one call: corrections first, then what was asked for, then "roger"."""

from __future__ import annotations

import math
from dataclasses import replace

from drill.flight.controller_state import ControllerState, Line, Radar, Received, in_trouble
from drill.flight.no_gyro import Turns
from drill.flight.orders import CEILING_FT
from drill.flight.phraseology import (
    altitude_words,
    field_of,
    field_weather,
    heading_words,
    names_words,
    where_is,
)
from drill.flight.weather import bearing_deg, distance_nm, nearest_field
from drill.language.meaning import Call
from drill.scenario.model import Field, Scenario

STANDBY_S = 30.0
_GUIDED = frozenset({"no_gyro_vectors", "vectors", "radar_approach", "nearest_airport", "named_airport", "vmc",
                     "visual_approach"})
_LED = _GUIDED - {"named_airport", "visual_approach", "vmc"}   # the controller leads; else the pilot flies there
_ABOVE_TOPS_FT = 300.0
_VMC_CEILING_FT, _VMC_VISIBILITY_SM = 3000.0, 5.0   # well above the basic minimums of 14 CFR 91.155
_MOST_WEATHER = 3
_SILENT = frozenset({"roger", "wilco", "readback", "affirmative", "negative"})
Answer = tuple[ControllerState, Line | str | None, bool]


def answer(scenario: Scenario, state: ControllerState, received: Received, radar: Radar, t_s: float) -> Answer:
    """Return the controller after a call, what to say (None: nothing), and whether to ask on.

    A `Line` is said as it is; other words follow the callsign.
    """
    call = received.call
    kinds = {reply.kind for reply in call.replies}
    if call.callsign == "wrong":
        return state, "station calling, say again your callsign", False
    if "say_again" in kinds and state.last_words:
        return state, Line(t_s + 2.0, state.last_words, plain=True), False
    if "standby" in kinds and not call.assistance and not received.reports and not received.declares:
        return replace(state, quiet_until_s=t_s + STANDBY_S), None, False
    said: list[str] = []
    if wrong := _readback_wrong(state, call):
        said.append(wrong)
    if received.declares:
        state, words = _declared(state, call)
        said.append(words)
    if "cancels_emergency" in kinds:
        said.append("roger, emergency cancelled")
    if received.reports and not received.declares:
        said.append(f"roger, copy {names_words(received.reports)}")
    if "unable" in kinds and not call.assistance:
        state = replace(state, heading_deg=None if state.turns is None else state.heading_deg, question="intentions")
        said.append("roger, say intentions")
    state, granted = _granted(scenario, state, call, radar)
    said = [each for each in (*said, *granted) if each]
    ask = in_trouble(state.told) or state.wants_altitude
    if state.wants_altitude and not said:
        return state, "", True
    if said:
        later = (f"{each[0].upper()}{each[1:]}" for each in said[1:])
        return state, ". ".join([said[0], *later]), ask
    if kinds and kinds <= _SILENT and not _says_more(call):
        answered = bool(state.question) and bool(kinds & {"affirmative", "negative"})
        state = replace(state, question="" if answered else state.question)
        return (state, "roger", ask) if answered else (state, None, False)
    if _says_more(call) or in_trouble(state.told):
        return replace(state, question=""), "roger", ask
    if received.expected:
        return state, None, False
    if not state.told.callsign:
        return state, "", True
    return state, "go ahead" if call.callsign == "given" or call.facility else "say again", False


def _says_more(call: Call) -> bool:
    """Say whether a call carries information beyond an acknowledgement."""
    return (call.impairment or call.intentions or call.position or call.souls is not None or call.fuel_min is not None
            or call.conditions != "unstated" or bool(call.equipment) or bool(call.rejoined) or bool(call.places)
            or (not call.replies and (call.altitude_ft is not None or call.heading_deg is not None)))


def _readback_wrong(state: ControllerState, call: Call) -> str:
    wrong = []
    for reply in call.replies:
        if reply.kind not in ("readback", "wilco", "roger"):
            continue
        if reply.heading_deg is not None and state.heading_deg is not None and (
                (reply.heading_deg - round(state.heading_deg)) % 360 != 0):
            wrong.append(f"heading {heading_words(state.heading_deg)}")
        if reply.altitude_ft is not None and state.altitude_ft is not None and (
                abs(reply.altitude_ft - state.altitude_ft) > 50):
            wrong.append(f"maintain {altitude_words(state.altitude_ft)}")
    return "negative, " + ", ".join(wrong) if wrong else ""


def _declared(state: ControllerState, call: Call) -> tuple[ControllerState, str]:
    """Return the controller with headings and altitudes left to the pilot (14 CFR 91.3(b))."""
    heard = {"mayday": "roger mayday", "pan-pan": "roger pan-pan", "emergency": "roger, emergency"}[call.urgency]
    freed = replace(state, own_heading=True, own_altitude=True, question="")
    return freed, f"{heard}. Any heading and altitude you need is approved"


def _granted(scenario: Scenario, state: ControllerState, call: Call, radar: Radar) -> tuple[ControllerState, list[str]]:
    said: list[str] = []
    wants = set(call.assistance)
    on_top = {"vmc", "altitude_change"} <= wants and not wants & _LED and not call.places
    guided = bool(wants & _GUIDED) and not on_top
    if guided or (call.places and call.intentions):
        state, words = _guided(scenario, state, call, radar, wants, vectors=bool(wants & (_LED | {"vmc"})))
        said.append(words)
    if "altitude_change" in wants or call.altitude_wanted_ft is not None:
        state, words = _altitude(scenario, state, call, radar)
        said.append(words)
    if call.heading_wanted_deg is not None and not guided:
        said.append(f"heading {heading_words(call.heading_wanted_deg)} approved")
        state = replace(state, heading_deg=float(call.heading_wanted_deg), own_heading=False)
    if "block_altitude" in wants:
        low = max(state.altitude_ft or radar.altitude_ft, scenario.minimum_altitude_ft)
        said.append(f"block {altitude_words(low)} through {altitude_words(low + 1000)} approved")
        state = replace(state, own_altitude=True)
    if "hold" in wants:
        said.append("hold where you are approved, left or right turns")
        state = replace(state, own_heading=True, heading_deg=None)
    if "weather" in wants and not guided:
        named = [field for name in call.places if (field := field_of(scenario, name)) is not None]
        near = sorted(scenario.fields, key=lambda field: distance_nm(field, radar.north_nm, radar.east_nm))
        said += [field_weather(field) for field in named or near[:_MOST_WEATHER]] or ["no field weather on hand"]
    if "priority" in wants:
        said.append("you have priority")
    if "frequency" in wants:
        said.append("remain on this frequency")
    if "relay" in wants:
        said.append("we will pass that on")
    if "rescue" in wants:
        said.append("rescue services are being told")
    return state, said


def _altitude(scenario: Scenario, state: ControllerState, call: Call, radar: Radar) -> tuple[ControllerState, str]:
    wanted = call.altitude_wanted_ft
    cloud = scenario.weather.cloud
    if wanted is None and "vmc" in call.assistance and cloud is not None:
        top = f"tops are reported at {altitude_words(cloud.tops_ft)}"
        wanted = math.ceil((cloud.tops_ft + _ABOVE_TOPS_FT) / 1000.0) * 1000
        return replace(state, altitude_ft=float(wanted)), f"climb and maintain {altitude_words(wanted)}, {top}"
    if wanted is None:
        if state.own_altitude:
            return state, f"altitude at your discretion, minimum {altitude_words(scenario.minimum_altitude_ft)}"
        return replace(state, wants_altitude=True), ""
    if wanted > CEILING_FT:
        return replace(state, wants_altitude=True), f"unable {altitude_words(wanted)}"
    if wanted < scenario.minimum_altitude_ft:
        return state, (f"unable {altitude_words(wanted)}, "
                       f"minimum altitude {altitude_words(scenario.minimum_altitude_ft)}")
    up = wanted - radar.altitude_ft
    verb = "climb and " if up > 150 else "descend and " if up < -150 else ""
    return replace(state, altitude_ft=float(wanted), own_altitude=False), f"{verb}maintain {altitude_words(wanted)}"


def _guided(scenario: Scenario, state: ControllerState, call: Call, radar: Radar, wants: set[str], *,
            vectors: bool) -> tuple[ControllerState, str]:
    """Lead the airplane to a place: its own turns for no-gyro vectors, else a heading, or direct as it intends."""
    field = _place(scenario, state, call, radar, wants)
    if field is None:
        return state, "unable, no field with weather like that is known here" if "vmc" in wants else "say where to"
    bearing = float(round(bearing_deg(field, radar.north_nm, radar.east_nm) / 5.0) * 5 % 360)
    weather = field_weather(field)
    state = replace(state, place=field.name, own_heading=True, approach=None, question="")
    if "no_gyro_vectors" in wants:
        state = replace(state, turns=Turns(field.name), heading_deg=None)
        return state, (f"this will be no-gyro vectors to {field.name}. Make all turns standard rate, start and stop "
                       f"turns on my word. {weather}")
    if not vectors:
        state = replace(state, heading_deg=None, turns=None)
        there = where_is(field, radar.north_nm, radar.east_nm)
        return state, f"cleared to {field.name} as requested, {there}. {weather}"
    if state.turns is not None:
        return replace(state, turns=Turns(field.name)), f"no-gyro vectors to {field.name}. {weather}"
    state = replace(state, heading_deg=bearing)
    words = f"fly heading {heading_words(bearing)}, vectors to {field.name}"
    if "radar_approach" in wants:
        able = field.radar_approach or scenario.clearance.radar_approach
        words += ", expect a radar approach" if able else ", unable a radar approach there"
    return state, f"{words}. {weather}"


def _place(scenario: Scenario, state: ControllerState, call: Call, radar: Radar, wants: set[str]) -> Field | None:
    for name in call.places:
        if (field := field_of(scenario, name)) is not None:
            return field
    near = sorted(scenario.fields, key=lambda field: distance_nm(field, radar.north_nm, radar.east_nm))
    if "vmc" in wants:
        return next((field for field in near if field.visibility_sm >= _VMC_VISIBILITY_SM and (
            field.ceiling_ft is None or field.ceiling_ft >= _VMC_CEILING_FT)), None)
    if "nearest_airport" in wants:
        return near[0] if near else None
    if (field := field_of(scenario, state.place)) is not None:
        return field
    if scenario.course is not None and (field := field_of(scenario, scenario.course[0])) is not None:
        return field
    return nearest_field(scenario, radar.north_nm, radar.east_nm)
