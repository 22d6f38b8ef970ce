"""What a call asks for, granted or refused: a place to go, an altitude, a heading, a hold."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from drill.flight.approach import begun_anew, radar_served
from drill.flight.controller_state import ControllerState, Radar, emergency, own_altitude
from drill.flight.information import asked_about, nearest_first, suited
from drill.flight.no_gyro import Turns
from drill.flight.orders import CEILING_FT
from drill.flight.phraseology import altitude_words, field_of, field_weather, heading_words, where_is
from drill.flight.vectoring import first_heading_deg
from drill.flight.weather import nearest_field, visual_weather
from drill.language.meaning import Call
from drill.language.numbers import join_numbers
from drill.language.words import tokens
from drill.scenario.model import Field, Scenario

OFFER, SURVEILLANCE = "offer", "surveillance"   # whether what was offered is wanted: vectors, a radar approach
NO_GYRO = "no_gyro"      # the question whether no-gyro vectors are wanted
_LED = frozenset({"no_gyro_vectors", "vectors", "radar_approach", "nearest_airport"})   # the controller leads,
_BOUND = frozenset({"named_airport", "visual_approach"})                                # the pilot flies there
_ABOVE_TOPS_FT = 300.0
_BLOCK_FT, _LEAST_SAID_FT = 1000.0, 500.0
_LEAVES = re.compile(r"\b(?:request|like|want|may we|may i|can we|can i)\b.*\b(?:leave (?:the |your )?frequency|"
                     r"frequency change|(?:change|switch) (?:to another )?frequenc(?:y|ies))\b", re.IGNORECASE)
_PRECISION = re.compile(r"\b(?:par|precision)\b", re.IGNORECASE)
ON_TOP = re.compile(r"\b(?:on top|above the (?:cloud|clouds|tops|deck|layer|overcast)|over the top)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Question:
    """What the controller asks in an answer; `key` names it."""

    words: str
    key: str = ""


def accepted(state: ControllerState, call: Call) -> Call:
    """Return a yes to an offer as the request that it is."""
    yes = any(reply.kind == "affirmative" for reply in call.replies)
    if not yes or not state.offered or call.places or call.assistance or state.question not in (OFFER, SURVEILLANCE):
        return call
    wanted = "radar_approach" if state.question == SURVEILLANCE else "vectors"
    return replace(call, assistance=(wanted,), places=(state.offered,), intentions=True)


def granted_to(scenario: Scenario, state: ControllerState, call: Call,
               radar: Radar) -> tuple[ControllerState, list[str], Question | None]:
    """Return the controller with what a call asks for granted, what it says to that, and what it asks."""
    said: list[str] = []
    weather: list[str] = []               # read last: what is to be done comes first
    question: Question | None = None
    wants = set(call.assistance)
    asked = asked_about(call)
    if "fields" in asked or "visual" in asked:   # "what is the nearest airport" wants to know, not to go there
        wants -= {"nearest_airport", "vmc"}
    if "ride" in asked or "icing" in asked or "wind" in asked:   # "how is the ride up at nine" wants no nine thousand
        call = replace(call, altitude_wanted_ft=None)
    on_top = "altitude_change" in wants and ("vmc" in wants or ON_TOP.search(call.words) is not None)
    bound = bool(call.places) and call.intentions
    guided = bool(wants & (_LED | _BOUND)) or ("vmc" in wants and not on_top) or bound
    if wants & {"hold"} or guided or on_top or call.intentions:
        state = replace(state, planned=True)
    if guided:
        by_radar = bool(wants & _LED) or ("vmc" in wants and not on_top)
        state, (*words, read), question = _guided(scenario, state, call, radar, wants, vectors=by_radar)
        said += words
        weather.append(read)
    if ("altitude_change" in wants or call.altitude_wanted_ft is not None) and "block_altitude" not in wants:
        state, word = _altitude(scenario, state, call, radar, on_top=on_top)
        said.append(word)
    if call.heading_wanted_deg is not None and not guided:
        said.append(f"heading {heading_words(call.heading_wanted_deg)} approved")
        state = replace(state, heading_deg=float(call.heading_wanted_deg), own_heading=emergency(state), turns=None,
                        vectored=False)
    if "block_altitude" in wants:
        low, high = _block(scenario, call, state.altitude_ft or radar.altitude_ft)
        said.append(f"block {altitude_words(low)} through {altitude_words(high)} approved")
        state = replace(state, own_altitude=True)
    if "hold" in wants:
        said.append("hold where you are approved, left or right turns")
        state = replace(state, own_heading=True, heading_deg=None, turns=None, vectored=False)
    if "priority" in wants:
        said.append("you have priority")
    if "frequency" in wants or _LEAVES.search(call.words):
        leaves = state.ifr_cancelled and not emergency(state)
        said.append("frequency change approved" if leaves else "remain on this frequency")
    if "relay" in wants:
        said.append("we will pass that on")
    if "rescue" in wants:
        said.append("rescue services are being told")
    return state, [*said, *weather], question


def block_in(words: str) -> tuple[float, float] | None:
    """Return the lower and the upper altitude (ft) that a call for a block names; equal where it names one only."""
    found = [float(each.text) for each in join_numbers(tokens(words.lower())) if each.text.isdecimal()]
    said = [each for each in found if _LEAST_SAID_FT <= each <= CEILING_FT]
    # "six to eight thousand", "six to eight": the thousand stands behind the second one, or behind neither
    said += [each * 1000.0 for each in found if 1.0 <= each < 20.0 and len(said) < 2 and len(found) == 2]
    return (min(said), max(said)) if said else None


def _block(scenario: Scenario, call: Call, here_ft: float) -> tuple[float, float]:
    """Return the block (ft) that is approved: the one asked for, above the minimum altitude; else a thousand feet."""
    low, high = block_in(call.words[call.words.lower().find("block"):]) or (here_ft, here_ft)
    low = max(low, scenario.minimum_altitude_ft)
    return low, high if high > low else low + _BLOCK_FT


def _altitude(scenario: Scenario, state: ControllerState, call: Call, radar: Radar, *,
              on_top: bool) -> tuple[ControllerState, str]:
    wanted = call.altitude_wanted_ft
    cloud = scenario.weather.cloud
    if wanted is None and on_top and cloud is not None:
        top = f"tops are reported at {altitude_words(cloud.tops_ft)}"
        wanted = math.ceil((cloud.tops_ft + _ABOVE_TOPS_FT) / 1000.0) * 1000
        state = replace(state, altitude_ft=float(wanted), own_altitude=own_altitude(state))
        return state, f"climb and maintain {altitude_words(wanted)}, {top}"
    if wanted is None:
        if state.own_altitude:
            return state, f"altitude at your discretion, minimum {altitude_words(scenario.minimum_altitude_ft)}"
        return replace(state, wants_altitude=True), ""
    if wanted > CEILING_FT:
        return replace(state, wants_altitude=True), f"unable {altitude_words(wanted)}"
    if wanted < scenario.minimum_altitude_ft:
        return state, (f"unable {altitude_words(wanted)}, "
                       f"minimum altitude {altitude_words(scenario.minimum_altitude_ft)}")
    state = replace(state, wants_altitude=False, asked=tuple(each for each in state.asked if each != "altitude"))
    up = wanted - radar.altitude_ft
    verb = "climb and " if up > 150 else "descend and " if up < -150 else ""
    state = replace(state, altitude_ft=float(wanted), own_altitude=own_altitude(state))
    return state, f"{verb}maintain {altitude_words(wanted)}"


def _guided(scenario: Scenario, state: ControllerState, call: Call, radar: Radar, wants: set[str], *,
            vectors: bool) -> tuple[ControllerState, list[str], Question | None]:
    """Lead the airplane to a place: its own turns for no-gyro vectors, else a heading, or direct as it intends.

    Of the words that are returned the last are the weather there.
    """
    field = _place(scenario, state, call, radar, wants)
    if field is None:
        if "vmc" in wants:
            return state, ["unable, no field with weather like that is known here", ""], None
        return state, [""], Question("say where to")
    weather = field_weather(field)
    if "radar_approach" in wants and not radar_served(field):
        other = next((each for each in nearest_first(scenario, radar) if radar_served(each)), None)
        if other is not None:
            kind = "PAR" if _PRECISION.search(call.words) else f"a radar approach at {field.name}"
            there = where_is(other, radar.north_nm, radar.east_nm).replace(f"{other.name} is", other.name)
            return replace(state, offered=other.name), [
                f"unable {kind}, surveillance approach available at {there}", ""], Question(
                "do you want the surveillance approach?", SURVEILLANCE)
    able = radar_served(field) if "radar_approach" in wants else state.radar_approach and state.place == field.name
    told = (state.descent_given, state.missed_told) if state.place == field.name and state.approach is None else (
        False, False)                     # what has been said on the way there need not be said again
    state = begun_anew(replace(state, place=field.name, own_heading=True, approach=None, question="",
                               radar_approach=able))
    state = replace(state, descent_given=told[0], missed_told=told[1])
    expect = "" if "radar_approach" not in wants else (
        ", unable PAR, expect a surveillance approach" if able and _PRECISION.search(call.words) else
        ", expect a radar approach" if able else ", unable a radar approach there")
    if "no_gyro_vectors" in wants:
        state = replace(state, turns=Turns(field.name), heading_deg=None)
        return state, [f"this will be no-gyro vectors to {field.name}{expect}. Make all turns standard rate, start and "
                       f"stop turns on my word", weather], None
    there = where_is(field, radar.north_nm, radar.east_nm)
    if not vectors:
        state = replace(state, heading_deg=None, turns=None)
        return state, [f"cleared to {field.name} as requested, {there}", weather], None
    if state.turns is not None:
        return replace(state, turns=Turns(field.name)), [f"no-gyro vectors to {field.name}{expect}", weather], None
    if "heading_indicator" in state.told.equipment and NO_GYRO not in state.asked:
        # a heading is the one thing that such a pilot cannot well fly
        state = replace(state, heading_deg=None)
        return state, [f"{there}{expect}", weather], Question("do you want no-gyro vectors?", NO_GYRO)
    state = replace(state, vectored=True)
    bearing = first_heading_deg(state, field, radar)
    state = replace(state, heading_deg=bearing)
    return state, [f"fly heading {heading_words(bearing)}, vectors to {field.name}{expect}", weather], None


def _place(scenario: Scenario, state: ControllerState, call: Call, radar: Radar, wants: set[str]) -> Field | None:
    for name in call.places:
        if (field := field_of(scenario, name)) is not None:
            return field
    near = nearest_first(scenario, radar)
    if "vmc" in wants:
        return next((field for field in near if visual_weather(field)), None)
    if "nearest_airport" in wants:
        return next(iter(suited(call, near) or near), None)
    if (field := field_of(scenario, state.place)) is not None:
        return field
    if scenario.course is not None and (field := field_of(scenario, scenario.course[0])) is not None:
        return field
    return nearest_field(scenario, radar.north_nm, radar.east_nm)
