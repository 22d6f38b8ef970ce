"""The way to an approach and its clearance.

A radar (surveillance) approach is talked down to its missed approach point (AIM 5-4-11); the gyros being lost, its
turns are begun and stopped at the controller's word, at half standard rate.
"""

from __future__ import annotations

from dataclasses import replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import FAR_NM, ControllerState, Line, Radar
from drill.flight.descent import (
    APPROACH_NM,
    DESCENT_NM,
    FARTHEST_NM,
    HIGH_FT,
    brought_down,
    least_ft,
    slope_ft,
    told_high,
    too_high,
    turning,
)
from drill.flight.final import leg_track_deg, spot_of
from drill.flight.missed import briefed
from drill.flight.phraseology import altitude_words, approach_words, field_of, miles_words
from drill.flight.served import approach_name, by_eye, leads_to_final, talked
from drill.flight.sighting import looked_for
from drill.flight.steering import heading_for, rounded_deg, turn_words
from drill.flight.weather import bearing_deg, distance_nm
from drill.scenario.model import Field, Scenario

_LOW_FT = 200.0
_LEAST_TURN_DEG = 4.0                   # a smaller correction is not worth a turn
_LATE_NM = 7.5                          # so near, the clearance waits for nothing
_PAUSE_S = 6.0                          # between two things that are said beforehand (the author's choice)


def cleared(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Clear for an approach at the field that the airplane is helped to, once it is near and low enough.

    An airplane that is led there is turned on to final with it, and brought down first, if need be away from the
    field again. A field that is come to by eye is to be reported in sight instead.
    """
    field = field_of(scenario, state.place)
    if field is None or state.approach is not None or state.ifr_cancelled or state.holding:
        return state
    if by_eye(state, field):
        return looked_for(scenario, state, radar, t_s)
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    turn = ""
    led = state.turns is not None or state.heading_deg is not None
    if led:
        state = brought_down(scenario, state, radar, distance, bearing, t_s)
        if state.lines:
            return state
        if talked(state, field) and not state.missed_told and _LATE_NM <= distance <= DESCENT_NM:
            ready = not turning(state) and t_s - max(state.addressed_s, state.heard_s) >= _PAUSE_S
            state = briefed(scenario, state, field, t_s) if ready else state
            if state.lines or not state.missed_told:
                return state
        if state.outbound_deg is not None or too_high(scenario, state, radar, distance):
            return state
        if leads_to_final(state, field) and (state.vectored or state.turns is not None):
            waits = state.turns is not None and (turning(state) or state.leg != state.vector_leg)   # the turn first
            if state.leg not in ("intercept", "final") or (waits and distance >= _LATE_NM):
                return state
    if distance > (APPROACH_NM if not state.brought_down else FARTHEST_NM):
        return state
    if radar.altitude_ft < scenario.minimum_altitude_ft - _LOW_FT:
        return state                      # up first: that is said by the alert
    if led and leads_to_final(state, field) and (state.vectored or state.turns is not None):
        turn, state = _turned_on(state, field, radar, t_s)
    elif led:
        turn, state = _inbound(state, radar, bearing)
    if not led and radar.altitude_ft > slope_ft(scenario, distance) + HIGH_FT:
        return told_high(scenario, state, radar, bearing, t_s)
    approach, least = approach_name(state, field), least_ft(scenario)
    until = "advised" if talked(state, field) else "established on the final approach course"
    words = (f"{miles_words(distance)} from {field.name}, {turn}cleared {approach_words(approach)} approach, "
             f"maintain {altitude_words(least)} until {until}")
    return replace(state, approach=approach, own_altitude=True, altitude_ft=least,
                   lines=(Line(t_s, words, turns=bool(turn)),))


def _turned_on(state: ControllerState, field: Field, radar: Radar, t_s: float) -> tuple[str, ControllerState]:
    """Return the words that turn an airplane that is led by headings on to final, "" where it already flies so."""
    if state.turns is not None or field.runway_deg is None:
        return "", state
    spot = spot_of(field, field.runway_deg, radar.north_nm, radar.east_nm, radar.track_deg)
    heading = heading_for(state, leg_track_deg(state.leg, state.side, spot, field.runway_deg))
    now = state.heading_deg if state.heading_deg is not None else radar.track_deg
    if abs(wrap_deg(FLOATS, heading - now)) < _LEAST_TURN_DEG:
        return "", replace(state, vector_leg=state.leg)
    state = replace(state, heading_deg=heading, vector_s=t_s, vector_leg=state.leg)
    return f"{turn_words(state, radar.track_deg, heading)}, ", state


def _inbound(state: ControllerState, radar: Radar, bearing: float) -> tuple[str, ControllerState]:
    """Return the words that turn an airplane that was led out back in, "" for another one."""
    if not state.brought_down or state.turns is not None:
        return "", state
    heading = rounded_deg(bearing)
    return f"{turn_words(state, radar.track_deg, heading)}, ", replace(state, heading_deg=heading)


def begun_anew(state: ControllerState) -> ControllerState:
    """Return the controller with nothing yet said of the approach that it clears or leads to."""
    return replace(state, course_deg=None, miles_called=0, closest_nm=FAR_NM, in_sight=False, outbound_deg=None,
                   brought_down=False, descent_given=False, vectored=False, leg="", missed_told=False, final_told=(),
                   sight_asked=0, passed=0, landing=False, holding=False, sight_doubted=False)
