"""The end of an approach that comes to nothing, and what is said of it beforehand.

Before a radar approach: what kind it is, where its missed approach point is, altimeter setting and wind, what to do
when it is missed, and what to do without a radio (FAA JO 7110.65 5-10-2, 5-10-4 and 5-10-11; the wind by memory).
What is said when it is missed is what was said before.
"""

from __future__ import annotations

import math
from dataclasses import replace

from drill.flight.controller_state import ControllerState, Line, Radar, emergency, no_plan
from drill.flight.phraseology import altitude_words, approach_words, field_weather, heading_words
from drill.flight.reports import field_altimeter, field_wind
from drill.flight.served import approach_field, approach_name, is_radar
from drill.flight.weather import distance_nm, field_position, visual_weather
from drill.language.numbers import spoken_digits
from drill.scenario.model import Field, Scenario

_SAY = ", say intentions"


def briefed(scenario: Scenario, state: ControllerState, field: Field, t_s: float) -> ControllerState:
    """Give the next thing that has to be known before a radar approach; the same controller when all has been said.

    A second approach at the same field needs none of it again (FAA JO 7110.65 5-10-4).
    """
    said = state.briefed if state.briefed[:1] == (field.name,) else (field.name,)
    digits = field_altimeter(scenario, field)
    gyro = "no-gyro " if state.turns is not None else ""
    name, _, runway = approach_words(approach_name(state, field)).partition(" runway ")
    to = f" to runway {runway}" if runway else ""
    pieces = {
        **({"weather": field_weather(field)} if state.turns is not None else {}),   # others have had it before
        "kind": f"this will be a {gyro}{name} approach{to} at {field.name}, missed approach point is one mile from "
                f"runway. {field.name} altimeter {spoken_digits(digits)}{wind_words(scenario, field)}",
        "missed": missed_instructions(scenario, state, field),
        "radio": _lost_words(scenario, field),
    }
    key = next((each for each in pieces if each not in said), "")
    if not key:
        return replace(state, missed_told=True)
    return replace(state, briefed=(*said, key), missed_told=len(said) == len(pieces), altimeter=digits,
                   lines=(Line(t_s, pieces[key]),))


def wind_words(scenario: Scenario, field: Field) -> str:
    """Return ", wind ..." at a field, "" where none is reported."""
    wind = field_wind(scenario, field).removeprefix(f"{field.name} ")
    return "" if "not reported" in wind else f", {wind}"


def _lost_words(scenario: Scenario, field: Field) -> str:
    """Return what to do when nothing is heard any more (FAA JO 7110.65 5-10-4)."""
    other = next((str(each) for each in field.approaches if not is_radar(each) and each != "visual"), "")
    near = sorted((each for each in scenario.fields if each is not field and visual_weather(each)),
                  key=lambda each: distance_nm(each, *field_position(field)))
    least = altitude_words(_climb_ft(scenario))
    then = f"maintain {least}, proceed with the {approach_words(other)} approach" if other else (
        f"maintain {least}, proceed to {near[0].name}" if near else f"climb and maintain {least}, straight ahead")
    return ("if no transmissions are received for one minute in the pattern or fifteen seconds on final, proceed VFR. "
            f"If unable, {then}")


def _climb_ft(scenario: Scenario) -> float:
    return math.ceil(scenario.minimum_altitude_ft / 1000.0) * 1000.0


def missed_instructions(scenario: Scenario, state: ControllerState, field: Field | None) -> str:
    """Return what to do when the approach is missed: a climb, and where to."""
    return f"if missed approach, {climb_words(scenario, state, field)}"


def climb_words(scenario: Scenario, state: ControllerState, field: Field | None) -> str:
    """Return the climb of a missed approach, and where to."""
    return f"climb and maintain {altitude_words(_climb_ft(scenario))}, {_way(state, field)[1]}"


def climb_out(scenario: Scenario, state: ControllerState, field: Field) -> str:
    """Return what to do after a low approach that does not land (FAA JO 7110.65 5-10-12, by memory)."""
    return f"after completing low approach, {climb_words(scenario, state, field)}"


def _way(state: ControllerState, field: Field | None) -> tuple[float | None, str]:
    """Return the heading (deg) of the missed approach and its words; without gyros it goes straight ahead."""
    if field is None or field.runway_deg is None or state.turns is not None:
        return None, "straight ahead"
    return float(field.runway_deg), f"fly heading {heading_words(field.runway_deg)}"


def missed(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float, why: str) -> ControllerState:
    """End an approach that has come to nothing: up, the way that was briefed, and what next."""
    state, words = missed_words(scenario, state, radar, t_s, why)
    return replace(state, lines=(Line(t_s, words, asks=True, question="intentions", turns=True),))


def missed_words(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float,
                 why: str) -> tuple[ControllerState, str]:
    """Return the controller with the approach over, and the words for it."""
    least = _climb_ft(scenario)
    heading, way = _way(state, approach_field(scenario, state, radar))
    state = replace(no_plan(state), heading_deg=heading, own_heading=emergency(state) or heading is None,
                    alerted_s=t_s, missed_s=t_s, gave="", question="",   # it is on its way up
                    asked=tuple(each for each in state.asked if each != "intentions"))
    if radar.altitude_ft > least + 150.0:
        state = replace(state, altitude_ft=None)
        return state, f"{why}, stay at or above {altitude_words(least)}, {way}{_SAY}"
    state = replace(state, altitude_ft=least, own_altitude=emergency(state))
    return state, f"{why}, climb and maintain {altitude_words(least)}, {way}{_SAY}"
