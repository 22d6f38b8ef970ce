"""The talk of an approach: clearance, range at each mile, the final course of a radar approach, and its end.

A radar (surveillance) approach is talked down to its missed approach point (AIM 5-4-11); the gyros being lost, its
turns are begun and stopped at the controller's word, at half standard rate. Any approach ends: by the field in sight,
by going around, or by being told that the field has been passed.
"""

from __future__ import annotations

import math
from dataclasses import replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import FAR_NM, ControllerState, Line, Radar, emergency, no_plan, own_altitude
from drill.flight.phraseology import altitude_words, approach_words, field_of, heading_words, miles_words
from drill.flight.weather import bearing_deg, distance_nm, nearest_field
from drill.scenario.model import Field, Scenario

APPROACH_NM = 10.0
_FIRST_MILE = 5
_BESIDE_DEG = 30.0                      # a runway so far off the way to it is circled to (the author's choice)
_NEARLY_DEG, _LEAST_TURN_DEG = 1.5, 4.0   # on course; a smaller correction is not worth a turn
_MOST_CUT_DEG, _CUT_A_DEGREE = 20.0, 2.0
_MOST_DRIFT_DEG = 15.0
_WELL_OFF_DEG = 5.0
_NEAR_NM, _PASSED_NM = 2.5, 2.0         # so near once, and farther than that again: passed
_DESCENT_NM, _FARTHEST_NM = 20.0, 18.0  # where the descent is given; out to where an airplane is led to lose height
_SLOPE_FT_A_MILE = 300.0                # 500 feet a minute at 100 knots
_HIGH_FT, _LOW_FT = 400.0, 200.0
_STEEP_FT_A_MILE, _PATTERN_FT = 500.0, 1500.0   # more than that above the field is too high to fly straight in by eye
_RADAR = ("surveillance", "asr", "radar", "par")
_MISSED_ASKS = "any heading, say intentions"


def is_radar(approach: str) -> bool:
    """Say whether an approach is talked down by radar."""
    return any(word in _RADAR for word in approach.lower().replace("-", " ").split())


def approach_field(scenario: Scenario, state: ControllerState, radar: Radar) -> Field | None:
    """Return the field of the cleared approach: one that has it, of those the nearest; else where help leads to."""
    if state.approach is None:
        return None
    cleared = state.approach.casefold()
    led = [field for name in (state.place, scenario.course[0] if scenario.course is not None else "")
           if (field := field_of(scenario, name)) is not None]
    near = sorted(scenario.fields, key=lambda field: distance_nm(field, radar.north_nm, radar.east_nm))
    for field in (*led[:1], *near):
        if field.name.casefold() in cleared or any(each.casefold() == cleared for each in field.approaches):
            return field
    return led[0] if led else nearest_field(scenario, radar.north_nm, radar.east_nm)


def cleared(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Clear for an approach at the field that the airplane is helped to, once it is near and low enough.

    An airplane that is led there is brought down first, if need be away from the field again.
    """
    field = field_of(scenario, state.place)
    if field is None or state.approach is not None or state.ifr_cancelled:
        return state
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    talked = state.radar_approach or (state.turns is not None and radar_served(field))
    visual = field.ceiling_ft is None or not (field.approaches or talked)
    turn = ""
    led = state.turns is not None or state.heading_deg is not None
    if not visual and led:
        state = _brought_down(scenario, state, radar, distance, bearing, t_s)
        if state.lines or state.outbound_deg is not None:
            return state
        turn, state = _inbound(state, radar, bearing)
    if distance > (APPROACH_NM if not state.brought_down else _FARTHEST_NM):
        return state
    if not visual and radar.altitude_ft < scenario.minimum_altitude_ft - _LOW_FT:
        return state                      # up first: that is said by the alert
    steep_ft = _STEEP_FT_A_MILE * distance + _PATTERN_FT
    high = radar.altitude_ft - field.elevation_ft > steep_ft if visual else (
        not led and radar.altitude_ft > _slope_ft(scenario, distance) + _HIGH_FT)
    if high and not visual:
        return _told_high(scenario, state, t_s)
    turned = bool(turn)
    turn = f"you are high, maneuver as you need, {turn}" if high else turn
    approach = "visual" if visual else (
        next((str(each) for each in field.approaches if is_radar(each)), "surveillance") if talked
        else str(field.approaches[0]))
    words = (f"{miles_words(distance)} from {field.name}, {turn}cleared {approach_words(approach)} approach, "
             "descend at your discretion")
    return replace(state, approach=approach, own_altitude=True, altitude_ft=None,
                   lines=(Line(t_s, words, turns=turned),))


def _slope_ft(scenario: Scenario, distance: float) -> float:
    """Return the altitude (ft) from which the approach can be begun so far out (nautical miles)."""
    least = math.ceil(scenario.minimum_altitude_ft / 100.0) * 100.0
    return least + _SLOPE_FT_A_MILE * max(0.0, distance - _FIRST_MILE)


def _told_high(scenario: Scenario, state: ControllerState, t_s: float) -> ControllerState:
    """Tell a pilot who flies there by himself that he is too high to be cleared, once."""
    if state.descent_given:
        return state
    least = math.ceil(scenario.minimum_altitude_ft / 100.0) * 100.0
    words = (f"you are high for the approach, descend at your discretion, {altitude_words(least)} until cleared, "
             "hold as you need")
    return replace(state, descent_given=True, own_altitude=True, altitude_ft=None, lines=(Line(t_s, words),))


def _brought_down(scenario: Scenario, state: ControllerState, radar: Radar, distance: float, bearing: float,
                  t_s: float) -> ControllerState:
    """Give the descent on the way, and lead an airplane that is too high out again until it is not."""
    least = math.ceil(scenario.minimum_altitude_ft / 100.0) * 100.0
    slope_ft = _slope_ft(scenario, distance)
    if state.outbound_deg is not None:
        high = radar.altitude_ft > slope_ft
        if high and distance < _FARTHEST_NM - 1.0:
            return state
        if not high or state.turns is not None:
            return replace(state, outbound_deg=None, brought_down=not high)
        back = _rounded(bearing)
        words = f"{_turn_words(radar.track_deg, back)}, continue the descent"   # and out again, if it is still too high
        return replace(state, outbound_deg=None, heading_deg=back, lines=(Line(t_s, words, turns=True),))
    when_able = "when able, " if own_altitude(state) else ""
    down = f"{when_able}descend and maintain {altitude_words(least)}"
    if distance <= APPROACH_NM and not state.brought_down and radar.altitude_ft > slope_ft + _HIGH_FT:
        away = _rounded((bearing + 180.0) % 360.0)
        turn, heading = "", None
        if state.turns is None:
            turn, heading = f", {_turn_words(radar.track_deg, away)} for the descent", away
        words = f"you are high for the approach, {down}{turn}"
        return replace(state, outbound_deg=away, descent_given=True, altitude_ft=least, heading_deg=heading,
                       own_altitude=own_altitude(state), lines=(Line(t_s, words, turns=bool(turn)),))
    turning = state.turns is not None and state.turns.way != 0   # one thing at a time: the descent waits for its end
    if not turning and distance <= _DESCENT_NM and not state.descent_given and radar.altitude_ft > least + _HIGH_FT:
        return replace(state, descent_given=True, altitude_ft=least, own_altitude=own_altitude(state),
                       lines=(Line(t_s, down),))
    return state


def _inbound(state: ControllerState, radar: Radar, bearing: float) -> tuple[str, ControllerState]:
    """Return the words that turn an airplane that was led out back in, "" for another one."""
    if not state.brought_down or state.turns is not None:
        return "", state
    heading = _rounded(bearing)
    return f"{_turn_words(radar.track_deg, heading)}, ", replace(state, heading_deg=heading)


def _rounded(degrees: float) -> float:
    return float(round(degrees / 5.0) * 5 % 360)


def _turn_words(track_deg: float, heading_deg: float) -> str:
    side = "left" if wrap_deg(FLOATS, heading_deg - track_deg) < 0 else "right"
    return f"turn {side} heading {heading_words(heading_deg)}"


def radar_served(field: Field) -> bool:
    """Say whether a radar approach can be had at a field."""
    return field.radar_approach or any(is_radar(each) for each in field.approaches)


def final_course_deg(field: Field, bearing: float) -> float:
    """Return the course (deg) of a final approach begun at `bearing` to the field: the runway's, or straight there."""
    if field.runway_deg is not None and abs(wrap_deg(FLOATS, field.runway_deg - bearing)) <= _BESIDE_DEG:
        return float(field.runway_deg)
    return _rounded(bearing)


def wanted_track_deg(course_deg: float, bearing: float) -> float:
    """Return the track (deg) that leads back to a course, seen from where the field has `bearing`."""
    off = float(wrap_deg(FLOATS, bearing - course_deg))   # right of it: the airplane is left of the course
    return (course_deg + max(-_MOST_CUT_DEG, min(_MOST_CUT_DEG, _CUT_A_DEGREE * off))) % 360.0


def approached(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Give range and course in a cleared approach, and end it when the field has been passed."""
    field = approach_field(scenario, state, radar)
    if field is None:
        return state
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    if state.course_deg is None:
        state = replace(state, course_deg=final_course_deg(field, bearing))
    state = replace(state, closest_nm=min(state.closest_nm, distance))
    if state.closest_nm <= _NEAR_NM and distance > max(_PASSED_NM, state.closest_nm + 0.5):
        return missed(scenario, state, radar, t_s, f"you have passed {field.name}")
    mile = max(1, math.ceil(distance))
    if state.in_sight or mile > _FIRST_MILE or (state.miles_called and mile >= state.miles_called):
        return state
    if distance > state.closest_nm + 0.2 or (state.turns is not None and state.turns.way and mile > 1):
        return state   # going away, or in a turn that must be stopped in time
    state, words, turns = _at_mile(field, state, radar, mile, bearing)
    return replace(state, miles_called=mile, lines=(Line(t_s, words, turns=turns),))


def _at_mile(field: Field, state: ControllerState, radar: Radar, mile: int,
             bearing: float) -> tuple[ControllerState, str, bool]:
    talked = is_radar(state.approach or "")
    said = [f"{miles_words(mile)} from {'runway' if talked and mile < _FIRST_MILE else field.name}"]
    if mile == 1:
        if talked:
            said = ["one mile from runway, missed approach point"]
        ends = replace(state, turns=None)
        return ends, ", ".join([*said, "if the runway is not in sight, execute missed approach"]), False
    turned = False
    if talked:
        if mile == _FIRST_MILE:
            least = "" if field.minimums_ft is None else f", {_feet_words(field.minimums_ft)}"
            said.append(f"descend to your minimum descent altitude{least}")
        state, words, turned = _final(state, radar, bearing)
        said += words
    return state, ", ".join(said), turned


def _final(state: ControllerState, radar: Radar, bearing: float) -> tuple[ControllerState, list[str], bool]:
    """Say where the airplane is from its final course and, unless turns are called, what heading leads back."""
    course = state.course_deg if state.course_deg is not None else bearing
    off = float(wrap_deg(FLOATS, bearing - course))
    side = "left" if off > 0 else "right"
    how_far = "on course" if abs(off) < _NEARLY_DEG else (
        f"{'well' if abs(off) > _WELL_OFF_DEG else 'slightly'} {side} of course")
    wanted = wanted_track_deg(course, bearing)
    turn = float(wrap_deg(FLOATS, wanted - radar.track_deg))
    if state.turns is not None or abs(turn) < _LEAST_TURN_DEG:
        return state, [how_far], False
    drift = 0.0
    if state.heading_deg is not None:
        drift = float(wrap_deg(FLOATS, state.heading_deg - radar.track_deg))
        drift = drift if abs(drift) <= _MOST_DRIFT_DEG else 0.0   # more is no wind: the heading is not being flown
    heading = _rounded(wanted + drift)
    if heading == state.heading_deg:
        return state, [how_far, f"heading {heading_words(heading)}"], False
    state = replace(state, heading_deg=heading, own_heading=True)
    return state, [how_far, f"turn {'left' if turn < 0 else 'right'} heading {heading_words(heading)}"], True


def _feet_words(feet: float) -> str:
    """Return an altitude to the next ten feet up, as minimums are said: 1040 is "one thousand forty"."""
    whole = math.ceil(feet / 10.0) * 10
    tens = ("", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")[whole % 100 // 10]
    hundreds = whole // 100 * 100
    return " ".join(each for each in (altitude_words(hundreds) if hundreds else "", tens) if each)


def missed(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float, why: str) -> ControllerState:
    """End an approach that has come to nothing: up, any heading, and what next."""
    state, words = missed_words(scenario, state, radar, t_s, why)
    return replace(state, lines=(Line(t_s, words, asks=True, question="intentions", turns=True),))


def missed_words(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float,
                 why: str) -> tuple[ControllerState, str]:
    """Return the controller with the approach over, and the words for it."""
    least = math.ceil(scenario.minimum_altitude_ft / 1000.0) * 1000.0
    state = replace(no_plan(state), heading_deg=None, own_heading=True, alerted_s=t_s,   # it is on its way up
                    missed_s=t_s, gave="", asked=tuple(each for each in state.asked if each != "intentions"))
    if radar.altitude_ft > least + 150.0:
        state = replace(state, altitude_ft=None)
        return state, f"{why}, stay at or above {altitude_words(least)}, {_MISSED_ASKS}"
    state = replace(state, altitude_ft=least, own_altitude=emergency(state))
    return state, f"{why}, climb and maintain {altitude_words(least)}, {_MISSED_ASKS}"


def begun_anew(state: ControllerState) -> ControllerState:
    """Return the controller with nothing yet said of the approach that it clears or leads to."""
    return replace(state, course_deg=None, miles_called=0, closest_nm=FAR_NM, in_sight=False, outbound_deg=None,
                   brought_down=False, descent_given=False)
