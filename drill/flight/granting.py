"""What a call asks for, granted or refused: a place to go, a heading, a hold, and what `altitudes` grants."""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.altitudes import ON_TOP, VFR_ON_TOP, granted_altitude, granted_block, joined
from drill.flight.approach import begun_anew
from drill.flight.controller_state import (
    ControllerState,
    Radar,
    emergency,
    in_trouble,
    must_land,
    powerless,
)
from drill.flight.forced import straight_there
from drill.flight.information import INFORMS, asked_about, besides, nearest_first, seen_visual, suited
from drill.flight.missed import climb_out
from drill.flight.no_gyro import Turns
from drill.flight.phraseology import altitude_words, approach_words, field_of, field_weather, heading_words, where_is
from drill.flight.replying import NO_GYRO, OFFER, SURVEILLANCE, Question, bound_for, goes_on
from drill.flight.saying import said_now
from drill.flight.served import approach_name, bound_field, by_eye, radar_served
from drill.flight.stages import LOST_HEADING
from drill.flight.steering import rounded_deg, turn_words
from drill.flight.suggesting import where_to
from drill.flight.vectoring import vectored_to
from drill.flight.weather import nearest_field, visual_weather
from drill.language.meaning import Call
from drill.language.patterns import compiled
from drill.scenario.model import Field, Scenario

_LED = frozenset({"no_gyro_vectors", "vectors", "radar_approach", "nearest_airport"})   # the controller leads,
_BOUND = frozenset({"named_airport", "visual_approach"})                                # the pilot flies there
_SAYS_WHERE = frozenset({"vmc", "nearest_airport", "radar_approach", "visual_approach"})   # though it names no field
_LEAVES = re.compile(r"\b(?:request|like|want|may we|may i|can we|can i)\b.*\b(?:leave (?:the |your )?frequency|"
                     r"frequency change|(?:change|switch) (?:to another )?frequenc(?:y|ies))\b", re.IGNORECASE)
_PRECISION = re.compile(r"\b(?:par|precision)\b", re.IGNORECASE)
_AGAIN = compiled(r"""
    (?<!not )(?<!n't )(?<!not want to )\b(?:(?:try|do|fly|shoot) (?:it |that |the approach |this )?(?:again|once more)|
    another (?:try|attempt|approach|go|shot)|(?:one|1) more (?:time|try|approach))\b""")
_KIND = re.compile(r"\b(ils|gps|rnav|vor|ndb|localizer)\b", re.IGNORECASE)
_WANTS_KIND = compiled(r"""
    ^(?:(?!not\b|n't|unable|negative|cancel)[^.?])*?\b(?:request\w*|(?:would|we'd|i'd) like|want|need|(?:can|could|may)
    [ ](?:we|i) (?:have|get|do|fly|shoot))(?: \w+){0,4} (?:ils|gps|rnav|vor|ndb|localizer)\b""")
_CIRCLE = re.compile(r"\b(left|right)?(?: hand| turning)? ?(?:360|three sixty|orbit|full circle)\b(?! degrees per)"
                     r"(?: (?:turn )?to the (left|right)\b)?", re.IGNORECASE)
_AROUND = re.compile(r"\b(?:(?:one eighty|180(?: degree)?s?)(?: turn)?|reverse (?:course|direction)|"
                     r"turn (?:me|us)? ?(?:around|back))\b(?! (?:degrees|to|onto))", re.IGNORECASE)
_TURN_US = re.compile(r"\bturn (?:us|me)\b", re.IGNORECASE)
_OWN_WAY = re.compile(r"\bdirect\b|\bown navigation\b|\bvisual\b", re.IGNORECASE)
_DIRECT = re.compile(r"\brequest\w* (?:to (?:go|proceed) )?direct\W*(?:$|,)", re.IGNORECASE)
_WISHES = re.compile(r"\b(?:request\w*|like|want|need|may|can|could)\b", re.IGNORECASE)
_TURN_TO = re.compile(r"\b(left|right) turn (?:to )?(?:heading |a heading of )?(\d{2,3})\b")
_FOLLOWING = re.compile(r"\b(?:flight following|traffic advisories|radar service)\b", re.IGNORECASE)
_LOW_FT = 200.0
_STILL_KNOWN_S = 180.0                    # weather that was read (the author's choice)
AWAY_S = 150.0           # on another frequency: nothing is asked of it (the author's choice)
_PROCEEDS = re.compile(r"\bready (?:to (?:proceed|go|leave|descend|continue)|for (?:the |an |our )?approach)\b|"
                       r"\b(?:leaving|ending|done with) the (?:hold|block)\b")
_LOW = re.compile(r"\blow (?:approach|pass)\b", re.IGNORECASE)
Granted = tuple[ControllerState, list[str], Question | None]


def accepted(state: ControllerState, call: Call) -> Call:
    """Return a yes to an offer as the request that it is."""
    yes = any(reply.kind == "affirmative" for reply in call.replies)
    if not yes or not state.offered or call.places or call.assistance or state.question not in (OFFER, SURVEILLANCE):
        return call
    wanted = "radar_approach" if state.question == SURVEILLANCE else "vectors"
    return replace(call, assistance=(wanted,), places=(state.offered,), intentions=True)


def granted_to(scenario: Scenario, state: ControllerState, call: Call, radar: Radar) -> Granted:
    """Return the controller with what a call asks for granted, what it says to that, and what it asks."""
    said: list[str] = []
    weather: list[str] = []               # read last: what is to be done comes first
    question: Question | None = None
    wants, asked = set(call.assistance), set(asked_about(call))
    if asked & INFORMS:                   # "what is the nearest airport" wants to know, not to go there
        call = besides(call, scenario.context)
        wants = set(call.assistance)
    call, wants = _tried_again(state, call, wants)
    if call.places and _TURN_US.search(call.words):
        wants.add("vectors")
    if call.places and call.intentions and not wants & _LED and not _OWN_WAY.search(call.words):
        wants |= set(state.wish)          # that was to be for where he goes now,
        if state.vectored and call.places[0] != state.place and in_trouble(state):
            wants.add("vectors")          # as is what leads him already
    named = next((each for each in scenario.fields if each.name.lower() in call.words.lower()), None)
    bound = named or bound_field(scenario, state)
    if _DIRECT.search(call.words) and not call.places and bound is not None:
        call = replace(call, places=(bound.name,), intentions=True)
    if not (wants | asked) and not call.places and _WANTS_KIND.search(call.words.lower()):
        call = _approach_wanted(call, [*([] if bound is None else [bound]), *nearest_first(scenario, radar)])
    above = ON_TOP.search(call.words) is not None
    on_top = ("altitude_change" in wants and ("vmc" in wants or above)) or ("vmc" in wants and above) or (
        VFR_ON_TOP.search(call.words) is not None and bool(wants))
    near_by = nearest_first(scenario, radar)
    by_radar = bool(wants & _LED) or ("vmc" in wants and not on_top)
    guided = "hold" not in wants and (by_radar or bool(wants & _BOUND) or (bool(call.places) and call.intentions))
    if guided and (strange := _strange(scenario, call)):
        near = next(iter(nearest_first(scenario, radar)), None) if in_trouble(state) else None
        there = [] if near is None else [f"nearest field: {where_is(near, radar.north_nm, radar.east_nm)}"]
        unknown = f"unable, {strange[0].upper()}{strange[1:]} not known here"
        return state, [unknown, *there], Question("say again destination", "intentions")
    if guided and not (call.places or wants & _SAYS_WHERE) and not goes_on(call) and state.question != NO_GYRO and (
            len(suited(call, near_by)) == len(near_by)) and (
            asks := where_to(scenario, state, radar, wants)) is not None:
        state, said, question = asks
        guided = False
    if guided:
        state, (*words, read), question = _guided(scenario, state, call, radar, wants, vectors=by_radar)
        said += words
        weather.append(read)
    elif goes_on(call):
        said.append("roger, continue as cleared")
    if wants & {"hold"} or guided or on_top or goes_on(call):
        state = replace(state, planned=True)
    if (on_top or "altitude_change" in wants or call.altitude_wanted_ft is not None) and "block_altitude" not in wants:
        state, word = granted_altitude(scenario, replace(state, holding=False), call, radar, on_top=on_top)
        said.append(word)
    turn = _TURN_TO.search(joined(call.words)) if _WISHES.search(call.words) else None
    heading = call.heading_wanted_deg if turn is None else int(turn.group(2))
    if heading is not None and not guided:
        side = "" if turn is None else f"{turn.group(1).lower()} turn "
        said.append(f"{side}heading {heading_words(heading)} approved")
        state = replace(state, heading_deg=float(heading), own_heading=emergency(state), turns=None, vectored=False)
    if heading is None and not guided and _AROUND.search(call.words) and not without_heading(state) and not (
            state.turns is not None):
        flown = state.heading_deg if state.heading_deg is not None else radar.track_deg
        back = rounded_deg(flown + 180.0)
        said.append(turn_words(state, radar.track_deg, back))
        state = replace(state, heading_deg=back, own_heading=emergency(state), vectored=False)
    if "block_altitude" in wants:
        state, word = granted_block(scenario, state, call, radar)
        said.append(word)
    if state.ifr_cancelled and _FOLLOWING.search(call.words):
        said.append("radar contact, maintain VFR, advise prior to altitude changes")
        state = replace(state, planned=True)
    state, words = _turning_there(state, call, wants)
    said += words
    for name, answer in _SERVICES.items():
        if name in wants:
            said.append(answer)
    if "frequency" in wants or _LEAVES.search(call.words):
        state, word = _leaving(state)
        said.append(word)
    field = field_of(scenario, state.place)
    if field is not None and _LOW.search(call.words) and not state.low_approach:
        state = replace(state, low_approach=True)
        said.append(f"low approach approved, {climb_out(scenario, state, field)}")
    return state, [*said, *weather], question


def _approach_wanted(call: Call, fields: list[Field]) -> Call:
    """Return a wish for a kind of approach with the first of the fields that has it; as it is where none does."""
    field = next(iter(suited(call, fields)), None)
    return call if field is None else replace(call, places=(field.name,), intentions=True)


def _leaving(state: ControllerState) -> tuple[ControllerState, str]:
    """Let go who flies VFR; under IFR, for minutes, who has nothing wrong and is not steered (AIM 4-2-4, by memory)."""
    if state.ifr_cancelled and not emergency(state):
        return state, "frequency change approved"
    steered = state.turns is not None or state.vectored or state.approach is not None
    if in_trouble(state) or steered:
        return state, "remain on this frequency"
    return replace(state, quiet_until_s=state.now_s + AWAY_S), (
        "frequency change approved, advise when back on this frequency")


_SERVICES = {
    "priority": "you have priority",
    "relay": "we will pass that on",
    "rescue": "rescue services are being told",
}


def _turning_there(state: ControllerState, call: Call, wants: set[str]) -> tuple[ControllerState, list[str]]:
    """Grant a hold, or a circle, where the airplane is or over the field that it names; end a hold on its word."""
    stays = "" if state.altitude_ft is None or state.own_altitude else f", maintain {altitude_words(state.altitude_ft)}"
    if "hold" in wants:
        over = next((each for each in call.places if re.search(
            rf"\bhold\w*[^,.]*\b(?:over|at|above) (?:the )?{re.escape(each.lower())}\b", call.words.lower())), "")
        where = f"over {over}" if over else "where you are"
        state = replace(state, own_heading=True, heading_deg=None, turns=None, vectored=False, holding=True)
        return state, [f"hold {where} approved, left or right turns{stays}, advise ready to proceed"]
    if state.holding and said_now(call.words, _PROCEEDS):
        to = f"direct {state.place}" if state.place else "as cleared"
        return replace(state, holding=False, descent_given=False), [f"roger, proceed {to}"]
    circle = _CIRCLE.search(call.words) if _WISHES.search(call.words) else None
    if circle is None:
        return state, []
    side = (circle.group(1) or circle.group(2) or "left or right").lower()
    return replace(state, own_heading=True), [f"{side} three sixty approved{stays}"]


def _tried_again(state: ControllerState, call: Call, wants: set[str]) -> tuple[Call, set[str]]:
    """Return a wish to try again after a missed approach as a request for what was tried."""
    there = state.place or state.last_place
    tries = there and state.approach is None and not call.places and _AGAIN.search(call.words.lower())
    if not tries or wants & _LED or not (call.intentions or wants or _WISHES.search(call.words)):
        return call, wants
    again = ("no_gyro_vectors", "radar_approach", "vectors")
    kinds = {each for each in again if each in state.told.assistance} or {"vectors"}
    return replace(call, places=(there,), intentions=True), wants | kinds


def _strange(scenario: Scenario, call: Call) -> str:
    """Return the place that a call is bound for where that is none of the fields; "" where one of them is named."""
    if any(field_of(scenario, name) is not None for name in call.places):
        return ""
    for name in call.places:
        if bound_for(call.words, name):
            return name
    return ""


def _guided(scenario: Scenario, state: ControllerState, call: Call, radar: Radar, wants: set[str], *,
            vectors: bool) -> Granted:
    """Lead the airplane to a place: its own turns for no-gyro vectors, else a heading, or direct as it intends.

    Of the words that are returned the last are the weather there.
    """
    field = _place(scenario, state, call, radar, wants)
    if field is None:
        if "vmc" in wants:
            return state, ["unable, no field with weather like that is known here", ""], None
        return state, [""], Question("say where to", "intentions")
    weather = field_weather(field)
    if any(name == field.name and state.now_s - read_s <= _STILL_KNOWN_S for name, read_s in state.read_out):
        weather = ""                      # it has been read not long ago
    there = where_is(field, radar.north_nm, radar.east_nm)
    if "radar_approach" in wants and not radar_served(field):
        other = next((each for each in nearest_first(scenario, radar) if radar_served(each)), None)
        if other is not None:
            kind = "PAR" if _PRECISION.search(call.words) else f"a radar approach at {field.name}"
            place = where_is(other, radar.north_nm, radar.east_nm).replace(f"{other.name} is", other.name)
            return replace(state, offered=other.name), [
                f"unable {kind}, surveillance approach available at {place}", ""], Question(
                "do you want the surveillance approach?", SURVEILLANCE)
    found = _KIND.search(call.words)
    listed = [str(each) for each in field.approaches if found and found.group(1).lower() in each.lower().split()]
    if found is not None and not listed and not vectors:
        has = ", ".join(approach_words(each) for each in field.approaches) or "none"
        words = f"unable {found.group(1).upper()} at {field.name}, approaches there: {has}"
        return state, [words, ""], _say_intentions(state)
    able = radar_served(field) if "radar_approach" in wants else state.radar_approach and state.place == field.name
    # who is led there already is led on when he only names the approach that he wants
    vectors = vectors or (bool(listed) and state.place == field.name and (state.vectored or state.turns is not None))
    able = able and not powerless(state)  # there is no way round to the final approach course
    told = (state.descent_given, state.missed_told) if state.place == field.name and state.approach is None else (
        False, False)                     # what has been said on the way there need not be said again
    refused = any(reply.kind == "negative" for reply in call.replies)
    offered = state.question == NO_GYRO and not refused   # and not answered but by the request itself
    state = begun_anew(replace(state, place=field.name, wish=(), own_heading=True, approach=None, question="",
                               radar_approach=able, holding=False))
    state = replace(state, descent_given=told[0], missed_told=told[1])
    expect = _expected(state, field, call, wants, listed, able=able)
    if "no_gyro_vectors" in wants or (vectors and offered and without_heading(state)):
        state = replace(state, turns=Turns(field.name), heading_deg=None)
        later = radar_served(field)       # the weather comes with what is said of the approach: the first turn first
        return state, [f"this will be no-gyro vectors to {field.name}{expect}. Make all turns standard rate, start and "
                       f"stop turns on my word", "" if later else weather], None
    lost = state.told.conditions != "vmc" and bool(state.told.equipment & LOST_HEADING)
    if without_heading(state) and NO_GYRO not in state.asked and state.turns is None and (vectors or lost):
        # a heading is the one thing that such a pilot cannot well fly
        state = replace(state, heading_deg=None, wish=("vectors",) if vectors else ())
        return state, [f"{there}{expect}", weather], Question("do you want no-gyro vectors?", NO_GYRO)
    if must_land(state):
        state, words = straight_there(state, field, radar)
        return state, [f"{words}{expect}", weather], None
    if not vectors:
        state = replace(state, heading_deg=None, turns=None)
        way = "proceed VFR" if state.ifr_cancelled else "cleared"
        return state, [f"{way} direct {field.name}{expect}, {there}", weather], None
    if state.turns is not None:
        return replace(state, turns=Turns(field.name)), [f"no-gyro vectors to {field.name}{expect}", weather], None
    state = vectored_to(state, field, radar)
    first, heading = _once_up(scenario, state, radar), heading_words(state.heading_deg or 0.0)
    return state, [f"{first}fly heading {heading}, vectors to {field.name}{expect}", weather], None


def _once_up(scenario: Scenario, state: ControllerState, radar: Radar) -> str:
    """Return the words that have an airplane climb before it turns, where it is low (JO 7110.65 5-6-1, by memory)."""
    least = scenario.minimum_altitude_ft
    if radar.altitude_ft >= least - _LOW_FT or emergency(state):
        return ""
    return f"leaving {altitude_words(least)}, "


def without_heading(state: ControllerState) -> bool:
    """Say whether a pilot is known to be without a gyro for the heading, and cannot see outside."""
    told = state.told
    blind = told.conditions in ("imc", "icing") or (state.control == "partial" and told.conditions != "vmc")
    return "heading_indicator" in told.equipment or (
        blind and (bool(told.equipment & LOST_HEADING) or state.control == "partial"))


def _expected(state: ControllerState, field: Field, call: Call, wants: set[str], listed: list[str], *,
              able: bool) -> str:
    """Return what approach is to be expected, where one was asked for."""
    if must_land(state):
        return ""
    if "radar_approach" in wants:
        if able and _PRECISION.search(call.words):
            return ", unable PAR, expect a surveillance approach"
        return ", expect a radar approach" if able else ", unable a radar approach there"
    if listed:
        return f", expect {approach_words(listed[0])} approach"
    if "visual_approach" in wants:
        name = approach_name(state, field)
        return ", expect the visual approach" if by_eye(state, field) else (
            f", unable visual, expect {approach_words(name)} approach")
    return ""


def _say_intentions(state: ControllerState) -> Question | None:
    return Question("say intentions", "intentions") if state.asked.count("intentions") < 2 else None


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
    if "visual_approach" in wants:
        return field_of(scenario, state.last_place) or next((each for each in near if visual_weather(each)), None)
    served = next((each for each in near if radar_served(each)), None)
    if "radar_approach" in wants and not _PRECISION.search(call.words) and served is not None:
        return served
    if "no_gyro_vectors" in wants and in_trouble(state) and not state.planned and near:
        return seen_visual(near) or near[0]   # the turns first; where to is the pilot's to change
    if wants & _LED:
        if (kinds := suited(call, near)) and len(kinds) < len(near):
            return kinds[0]               # "vectors for an ILS" goes where there is one
        if scenario.course is not None and (field := field_of(scenario, scenario.course[0])) is not None:
            return field
        return nearest_field(scenario, radar.north_nm, radar.east_nm)
    return None
