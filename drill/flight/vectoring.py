"""Vectors to the final approach course: by headings, or without gyros by turns that begin and end on the word."""

from __future__ import annotations

import math

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Line, Radar, emergency, must_land
from drill.flight.final import GATE_NM, Leg, Spot, leg_at, leg_left_nm, leg_track_deg, spot_of, wanted_track_deg
from drill.flight.no_gyro import DRIFTED_S, NO_TURN, ON_MY_WORD, call_on_final, call_turn, seen_turning
from drill.flight.phraseology import altitude_words, field_of, heading_words, miles_words
from drill.flight.replacing import replace
from drill.flight.replying import NO_GYRO
from drill.flight.served import is_radar, leads_to_final
from drill.flight.steering import (
    HEADING_OFF_DEG,
    STEADY_DPS,
    drifted,
    heading_for,
    off_heading_deg,
    turn_words,
)
from drill.flight.weather import bearing_deg, distance_nm
from drill.scenario.model import Field, Scenario

MOST_TURN_QUESTIONS = 2
_LOW_FT, _CLIMBS_FPM = 200.0, 200.0
_MOVES_KT = 30.0                          # slower, a track means nothing
_NOT_FLOWN_S, _MOST_TURNED = 40.0, 2      # for so long, each time longer; and how often it is turned again
_OFF_DEG, _OFF_S = 10.0, 40.0            # a heading so far off the way is changed, no more often than this
_STRAIGHT_DEG, _MISS_NM, _STRAIGHT_S = 5.0, 0.7, 90.0   # straight to a field: the same, and how far it would pass
_LANDS_MISS_NM, _LANDS_S = 0.4, 45.0      # and the same for one that has to come down
_OVERHEAD_NM = 1.5                        # so near, the bearing swings
_LEG_ENDS_NM = 1.2                        # before the end of a leg nothing is corrected on it
_HALF_RATE_NM = 5.5                       # where no leg says that final has begun
_NO_END_S = 1e6


def vectored_to(state: ControllerState, field: Field, radar: Radar) -> ControllerState:
    """Return the controller that leads an airplane by headings, with the first one (deg) that does so.

    It leads to the field's final approach course, or straight there.
    """
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    leg: Leg = ""
    track = bearing
    if leads_to_final(state, field) and field.runway_deg is not None:
        spot = spot_of(field, field.runway_deg, radar.north_nm, radar.east_nm, radar.track_deg)
        leg, side = leg_at("", 0.0, spot)
        track = leg_track_deg(leg, side, spot, field.runway_deg)
    return replace(state, vectored=True, heading_deg=heading_for(state, track), vector_s=state.now_s, vector_leg=leg)


def led(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Return the controller with the leg that an airplane is on that he leads to a final approach course."""
    state = drifted(state, radar, t_s)
    field = field_of(scenario, state.place)
    if field is None or field.runway_deg is None or radar.on_ground or not leads_to_final(state, field) or not (
            state.turns is not None or state.vectored):
        return replace(state, leg="") if state.leg else state
    if state.outbound_deg is not None or (state.leg == "final" and state.miles_called):
        return state
    spot = spot_of(field, field.runway_deg, radar.north_nm, radar.east_nm, radar.track_deg)
    leg, side = leg_at(state.leg, state.side, spot)
    lost = state.approach is not None and leg in ("downwind", "base")
    if lost:
        words = f"approach clearance cancelled, maintain {altitude_words(scenario.minimum_altitude_ft)}, vectors again"
        state = replace(state, approach=None, miles_called=0, lines=(*state.lines, Line(t_s, words)))
    return replace(state, leg=leg, side=side, course_deg=float(field.runway_deg))


def headed(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Give the heading of the next leg, or a better one for this leg; on final that comes with the range."""
    field = field_of(scenario, state.place)
    if not state.vectored or state.turns is not None or state.outbound_deg is not None or (
            field is None or state.heading_deg is None or state.miles_called):
        return state
    if _climbs_first(scenario, state, radar):
        return state
    if not must_land(state) and (again := _not_flown(state, field, radar, t_s)) is not None:
        return again
    if not state.leg or field.runway_deg is None:
        return _straight(state, field, radar, t_s)
    if state.approach is None and state.leg in ("intercept", "final") and (
            state.brought_down or distance_nm(field, radar.north_nm, radar.east_nm) <= GATE_NM + 4.0):
        return state                      # it comes with the clearance
    if state.approach is not None and not is_radar(state.approach):
        return state                      # the pilot follows the approach
    spot = spot_of(field, field.runway_deg, radar.north_nm, radar.east_nm, radar.track_deg)
    heading = _heading_on(state, field, radar)
    off = abs(float(wrap_deg(FLOATS, heading - state.heading_deg)))
    new = state.leg != state.vector_leg
    if off < (5.0 if new else _OFF_DEG):
        return replace(state, vector_leg=state.leg)
    if not new and (t_s - state.vector_s < _OFF_S or abs(state.seen.turning_dps) > STEADY_DPS
                    or leg_left_nm(state.leg, state.side, spot) < _LEG_ENDS_NM):
        return state
    why = {"base": ", base leg", "final": ", final"}.get(state.leg, "") if new else ""
    return replace(state, heading_deg=heading, vector_s=t_s, vector_leg=state.leg,
                   lines=(Line(t_s, f"{turn_words(state, radar.track_deg, heading)}{why}", turns=True),))


def _climbs_first(scenario: Scenario, state: ControllerState, radar: Radar) -> bool:
    """Say whether an airplane is on its way up to the minimum altitude, where it is turned (5-6-1, by memory)."""
    low = radar.altitude_ft < scenario.minimum_altitude_ft - _LOW_FT
    return low and state.approach is None and state.seen.climb_fpm > _CLIMBS_FPM


def _not_flown(state: ControllerState, field: Field, radar: Radar, t_s: float) -> ControllerState | None:
    """Turn an airplane again that flies on beside its heading, then offer turns on the word; None where it flies it.

    The heading is the one that leads on from where it is by then.
    """
    heading = state.heading_deg
    if heading is None or state.approach is not None or state.in_sight or (
            state.seen.speed_kt < _MOVES_KT):
        return None
    steady = abs(state.seen.turning_dps) <= STEADY_DPS
    if off_heading_deg(state, radar.track_deg) <= HEADING_OFF_DEG:
        return replace(state, strayed=0) if state.strayed and steady else None
    waited_s = t_s - max(state.vector_s, state.assigned_s, state.heard_s)
    if not steady or waited_s < _NOT_FLOWN_S * (1 + state.strayed):
        return state
    shown = f"radar shows your track {heading_words(radar.track_deg)}"
    state = replace(state, strayed=state.strayed + 1, vector_s=t_s)
    if state.strayed > _MOST_TURNED and NO_GYRO not in state.asked:
        line = Line(t_s, f"{shown}, do you want no-gyro vectors?", asks=True, question=NO_GYRO)
    else:
        able = "when able, " if emergency(state) else ""
        now = _heading_on(state, field, radar)
        heading = now if abs(float(wrap_deg(FLOATS, now - heading))) >= _OFF_DEG else heading
        line = Line(t_s, f"{shown}, {able}{turn_words(state, radar.track_deg, heading)}", asks=True, turns=True)
    return replace(state, heading_deg=heading, vector_leg=state.leg, lines=(line,))


def _heading_on(state: ControllerState, field: Field, radar: Radar) -> float:
    """Return the heading (deg) that leads on from here: on the leg that is flown, or straight to the field."""
    if not state.leg or field.runway_deg is None:
        return heading_for(state, bearing_deg(field, radar.north_nm, radar.east_nm))
    spot = spot_of(field, field.runway_deg, radar.north_nm, radar.east_nm, radar.track_deg)
    return heading_for(state, leg_track_deg(state.leg, state.side, spot, field.runway_deg))


def _straight(state: ControllerState, field: Field, radar: Radar, t_s: float) -> ControllerState:
    """Give a better heading straight to a field where the track leads well past it."""
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    off = float(wrap_deg(FLOATS, bearing - radar.track_deg))
    miss_nm = distance * abs(math.sin(math.radians(off))) if abs(off) < 90.0 else distance
    last_s = max(state.vector_s, state.assigned_s)
    lands = must_land(state)              # no way to spare: sooner, and for less
    wait_s, least_nm = (_LANDS_S, _LANDS_MISS_NM) if lands else (_STRAIGHT_S, _MISS_NM)
    if state.approach is not None or state.in_sight or distance < _OVERHEAD_NM or t_s - last_s < wait_s or (
            abs(off) < _STRAIGHT_DEG or miss_nm < least_nm or abs(state.seen.turning_dps) > STEADY_DPS):
        return state
    heading = heading_for(state, bearing)
    if heading == state.heading_deg and not (lands and abs(off) > HEADING_OFF_DEG):
        return state
    where = f"{field.name} {miles_words(distance)}" if lands else f"vectors to {field.name}"
    return replace(state, heading_deg=heading, vector_s=t_s, lines=(
        Line(t_s, f"{turn_words(state, radar.track_deg, heading)}, {where}", turns=True),))


def turn_called(scenario: Scenario, state: ControllerState, radar: Radar, rate_dps: float,
                t_s: float) -> ControllerState:
    """Say when to start and stop a turn, while no-gyro vectors are given; `rate_dps`: of the last second's track.

    A turn begins when nothing else waits to be said; its end goes before all that does.
    """
    turns = state.turns
    field = field_of(scenario, turns.place) if turns is not None else None
    if turns is None or field is None or radar.on_ground:
        return state
    turns = seen_turning(turns, state.seen.turning_dps, t_s)
    state = replace(state, turns=turns)
    first = not turns.started and not any(   # before all the rest, but not before what a pilot has asked is answered
        ON_MY_WORD in each.words or (each.answer and not each.plan) for each in state.lines)
    if turns.suspended or (not turns.way and _climbs_first(scenario, state, radar)) or (
            state.lines and not turns.way and not first):
        return state
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    talked = is_radar(state.approach or "")
    inbound = state.outbound_deg is None and state.leg in ("", "final")
    if distance < 1.5 and not talked and inbound:
        return replace(state, turns=None, miles_called=1,
                       lines=(*state.lines, Line(t_s, f"{field.name} is one mile ahead, no-gyro vectors end"),))
    if state.leg != state.vector_leg:     # a new leg is turned to at once
        turns = replace(turns, off_since_s=t_s - DRIFTED_S)
        state = replace(state, turns=turns, vector_leg=state.leg, vector_s=t_s)
    wanted, spot = _wanted(state, field, radar, talked=talked)
    if state.leg and not turns.way and turns.started and not turns.half_rate and (
            state.leg == state.vector_leg and turns.called_s > state.vector_s
            and leg_left_nm(state.leg, state.side, spot) < _LEG_ENDS_NM):
        return state                      # the turn on to the next leg comes at once
    begun = spot.before_nm < GATE_NM + 1.0 if state.leg else distance < _HALF_RATE_NM
    if begun and inbound and not turns.half_rate and not turns.way:
        return replace(state, turns=replace(turns, half_rate=True),
                       lines=(*state.lines, Line(t_s, "make half standard rate turns from here"),))
    before = turns
    if turns.half_rate and inbound and state.course_deg is not None and (talked or state.leg):
        turns, words = call_on_final(turns, spot, radar.track_deg, rate_dps, wanted, t_s,
                                      seen_dps=state.seen.turning_dps)
    else:
        turns, words = call_turn(turns, radar.track_deg, rate_dps, wanted, t_s, seen_dps=state.seen.turning_dps)
    state = replace(state, turns=turns)
    if not words:
        return state
    if words == NO_TURN and state.asked.count("turn") >= MOST_TURN_QUESTIONS:
        return state                      # asked often enough: it waits for the pilot
    if words == NO_TURN:
        return replace(state, lines=(*state.lines, Line(t_s, words, asks=True, question="turn"),))
    if state.slip is not None and state.slip.what == "side":
        if turns.wrong_way:               # it turns as it was told: the controller's own mistake, and not the pilot's
            turns, words = replace(before, called_s=t_s), f"turn {'right' if before.way > 0 else 'left'}"
        state, words = replace(state, slip=None, turns=turns), f"correction, {words}"
    return replace(state, lines=(*state.lines, Line(t_s, words, turns=True, urgent=True),))


def _wanted(state: ControllerState, field: Field, radar: Radar, *, talked: bool) -> tuple[float, Spot]:
    """Return the track (deg) to be made good, and where the airplane is to the final approach course."""
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    course = state.course_deg if state.course_deg is not None else bearing
    spot = spot_of(field, course, radar.north_nm, radar.east_nm, radar.track_deg)
    leg: Leg = state.leg
    if state.outbound_deg is not None:
        return state.outbound_deg, spot
    if leg:
        return leg_track_deg(leg, state.side, spot, course), spot
    return (wanted_track_deg(course, bearing) if talked else bearing), spot


def room_s(scenario: Scenario, state: ControllerState, radar: Radar, rate_dps: float) -> float:
    """Return the seconds left to talk in before a called turn has to be stopped."""
    turns = state.turns
    field = field_of(scenario, turns.place) if turns is not None else None
    if turns is None or field is None or not turns.way or turns.suspended or rate_dps * turns.way <= 0.0:
        return _NO_END_S
    wanted, _ = _wanted(state, field, radar, talked=is_radar(state.approach or ""))
    left = float(wrap_deg(FLOATS, wanted - radar.track_deg)) * turns.way % 360.0
    return left / abs(rate_dps)
