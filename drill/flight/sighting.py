"""A field that is come to by eye: it is to be seen before a visual approach is cleared, and before a landing is.

A pilot is asked to report it in sight, told where to look, and led back when it has been passed unseen (FAA JO
7110.65 7-4-1 to 7-4-3, by memory). A landing is cleared with runway and wind (FAA JO 7110.65 3-10-5, by memory).
"""

from __future__ import annotations

from dataclasses import replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Line, Radar, must_land
from drill.flight.descent import HIGH_FT, least_ft, turning
from drill.flight.missed import climb_out, missed, wind_words
from drill.flight.phraseology import altitude_words, field_of, miles_words, spoken_runway
from drill.flight.served import approach_field, by_eye
from drill.flight.steering import heading_for, turn_words
from drill.flight.weather import FIELD_RADIUS_NM, bearing_deg, cloud_layer, distance_nm, nearest_field
from drill.language.numbers import spoken_digits
from drill.scenario.model import Field, Scenario

ASKED_NM = (10.0, 5.0, 3.0)             # where it is asked for
LANDING_NM = 6.0                        # so near, a landing is cleared
_SEEN_FROM_NM = 15.0                    # the farthest from which a field is believed to be in sight
_STEEP_FT_A_MILE, _PATTERN_FT = 500.0, 1500.0   # more than that above the field is too high to fly straight in by eye
_AWAY_NM, _BEHIND_DEG = 0.7, 90.0
_MOST_RETURNS = 2
_AROUND_NM = 2.5                        # in a pattern the field lies abeam and behind
NM_IN_SM, _UNLIMITED_SM = 0.869, 10.0   # ten miles are reported for all that is more
_BETTER, _ABOVE_BASE_FT = 1.5, 200.0    # by how much the weather may be better than it is reported
_HOURS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def clock_words(radar: Radar, bearing: float) -> str:
    """Return where a bearing (deg) lies from the track, as on a clock: "two o'clock"."""
    hour = round(float(wrap_deg(FLOATS, bearing - radar.track_deg)) / 30.0) % 12 or 12
    return f"{_HOURS[hour - 1]} o'clock"


def looked_for(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Ask for a field that is come to by eye and not yet seen, and turn back an airplane that has passed it."""
    field = field_of(scenario, state.place)
    if field is None or not by_eye(state, field) or state.approach is not None or state.in_sight or (
            state.ifr_cancelled or state.holding or radar.on_ground):
        return state
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    if distance > ASKED_NM[0] and not state.sight_asked:
        return state
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    state = replace(state, closest_nm=min(state.closest_nm, distance))
    behind = abs(float(wrap_deg(FLOATS, bearing - radar.track_deg))) > _BEHIND_DEG
    if state.sight_asked and behind and distance > state.closest_nm + _AWAY_NM and not turning(state):
        return _passed(scenario, state, field, radar, t_s)
    due = sum(distance <= each for each in ASKED_NM)
    if due <= state.sight_asked or behind:
        return state
    where = f"{field.name} is {clock_words(radar, bearing)}, {miles_words(distance)}"
    down = ""
    high = radar.altitude_ft > least_ft(scenario) + HIGH_FT
    if high and not state.sight_asked and not state.descent_given and not must_land(state):
        down = f"descend at your discretion, maintain {altitude_words(least_ft(scenario))}, "
        state = replace(state, descent_given=True, altitude_ft=least_ft(scenario), own_altitude=True)
    return replace(state, sight_asked=due, lines=(
        Line(t_s, f"{where}, {down}report the field in sight", turns=bool(down)),))


def _passed(scenario: Scenario, state: ControllerState, field: Field, radar: Radar, t_s: float) -> ControllerState:
    """Say that the field has been passed, and lead back to it; not without end."""
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    where = f"you have passed {field.name}, {miles_words(distance)} at your {clock_words(radar, bearing)}"
    if state.passed >= _MOST_RETURNS and must_land(state):
        return state                      # it comes down over the field, and knows where that is
    if state.passed >= _MOST_RETURNS:
        return missed(scenario, state, radar, t_s, where)
    state = replace(state, closest_nm=distance, sight_asked=1, passed=state.passed + 1)
    turn = ""
    if state.vectored and state.turns is None:
        heading = heading_for(state, bearing)
        turn = f", {turn_words(state, radar.track_deg, heading)}"
        state = replace(state, heading_deg=heading, vector_s=t_s)
    words = f"{where}{turn}, report the field in sight"
    return replace(state, lines=(Line(t_s, words, asks=not turn, turns=bool(turn)),))


def lost_from_sight(state: ControllerState, field: Field, radar: Radar, t_s: float) -> ControllerState:
    """Ask again for a field whose landing was cleared, and that the airplane has flown away from."""
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    where = clock_words(radar, bearing_deg(field, radar.north_nm, radar.east_nm))
    state = replace(state, in_sight=False, landing=False, approach=None, sight_asked=len(ASKED_NM), closest_nm=distance)
    words = f"{field.name} is {where}, {miles_words(distance)}, landing clearance cancelled, report the field in sight"
    return replace(state, lines=(Line(t_s, words, asks=True),))


def sighted(scenario: Scenario, state: ControllerState, radar: Radar) -> tuple[ControllerState, str]:
    """Return the controller and what it says to a field reported in sight; "" where radar shows it nowhere near.

    A landing is cleared on final or near the field, a visual approach from farther out.
    """
    field = approach_field(scenario, state, radar) or field_of(scenario, state.place) or nearest_field(
        scenario, radar.north_nm, radar.east_nm)
    if field is None or radar.on_ground:
        return state, ""
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    if distance > _SEEN_FROM_NM:
        return state, ""
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    behind = abs(float(wrap_deg(FLOATS, bearing - radar.track_deg))) > _BEHIND_DEG
    where = f"{field.name} is {clock_words(radar, bearing)}, {miles_words(distance)}"
    if behind and distance > _AWAY_NM and not state.sight_doubted:
        return replace(state, sight_doubted=True), f"{where}, verify {field.name} in sight"
    if behind and distance > _AROUND_NM:  # who flies away from a field does not see it ahead
        return _back_to_it(state, field, radar, bearing, where)
    hidden = _hidden(scenario, field, radar, distance)
    if hidden and not state.sight_doubted:
        return replace(state, sight_doubted=True), f"{where}, {hidden}, verify {field.name} in sight"
    state = replace(state, in_sight=True, place=field.name, planned=True, heading_deg=None, vectored=False, turns=None,
                    holding=False)
    if distance <= LANDING_NM:
        high = _steep(field, radar, distance)
        state, words = landing(scenario, state, field)
        return state, f"{high}{words}"
    return _visual(scenario, state, field, radar, distance)


def _back_to_it(state: ControllerState, field: Field, radar: Radar, bearing: float,
                where: str) -> tuple[ControllerState, str]:
    """Turn back to the field an airplane that reports it in sight and flies away from it all the same."""
    if state.turns is not None or state.heading_deg is None:
        return state, f"{where}, behind you, report the field in sight ahead"
    heading = heading_for(state, bearing)
    state = replace(state, heading_deg=heading, vectored=True, place=field.name, vector_s=state.now_s)
    return state, f"{where}, {turn_words(state, radar.track_deg, heading)}, report the field in sight ahead"


def _hidden(scenario: Scenario, field: Field, radar: Radar, distance: float) -> str:
    """Return what of the reported weather hides a field from where radar shows the airplane, "" for nothing."""
    if field.visibility_sm < _UNLIMITED_SM and distance > field.visibility_sm * NM_IN_SM * _BETTER:
        return f"visibility there is reported at {spoken_digits(str(max(1, round(field.visibility_sm))))}"
    layer = cloud_layer(scenario, radar.north_nm, radar.east_nm) if distance <= FIELD_RADIUS_NM else None
    if field.ceiling_ft is not None and layer is not None and radar.altitude_ft > layer[0] + _ABOVE_BASE_FT:
        return f"ceiling there is reported at {altitude_words(field.ceiling_ft)}"
    return ""


def landing(scenario: Scenario, state: ControllerState, field: Field) -> tuple[ControllerState, str]:
    """Return the controller with a landing, or a low approach, cleared, and the words for it."""
    runway = "" if field.runway_deg is None else f"runway {spoken_runway(field.runway_deg)}, "
    wind = wind_words(scenario, field).removeprefix(", ")
    what = "cleared low approach" if state.low_approach else "cleared to land"
    after = f". {climb_out(scenario, state, field).capitalize()}" if state.low_approach else ""
    approach = state.approach or "visual"
    state = replace(state, landing=True, approach=approach, altitude_ft=None, own_altitude=True)
    return state, f"{f'{wind}, ' if wind else ''}{runway}{what}{after}"


def landing_due(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Clear the landing of an airplane that sees its field, once it is near."""
    field = approach_field(scenario, state, radar)
    if field is None or not state.in_sight or state.landing or (
            distance_nm(field, radar.north_nm, radar.east_nm) > LANDING_NM):
        return state
    state, words = landing(scenario, state, field)
    return replace(state, lines=(Line(t_s, words),))


def _visual(scenario: Scenario, state: ControllerState, field: Field, radar: Radar,
            distance: float) -> tuple[ControllerState, str]:
    if state.approach is not None and state.approach != "visual":
        return state, "roger"             # it goes on with what it is cleared for
    runway = "" if field.runway_deg is None else f" runway {spoken_runway(field.runway_deg)}"
    wind = wind_words(scenario, field)
    state = replace(state, approach="visual", altitude_ft=None, own_altitude=True, closest_nm=distance)
    return state, f"{_steep(field, radar, distance)}cleared visual approach{runway}{wind}"


def _steep(field: Field, radar: Radar, distance: float) -> str:
    high = radar.altitude_ft - field.elevation_ft > _STEEP_FT_A_MILE * distance + _PATTERN_FT
    return "you are high, maneuver as you need, " if high else ""
