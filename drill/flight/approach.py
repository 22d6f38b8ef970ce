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
from drill.flight.final import final_course_deg, leg_track_deg, spot_of, wanted_track_deg
from drill.flight.phraseology import altitude_words, approach_words, field_of, heading_words, miles_words
from drill.flight.reports import field_altimeter
from drill.flight.weather import bearing_deg, distance_nm, nearest_field
from drill.language.numbers import spoken_digits
from drill.scenario.model import Field, Scenario

APPROACH_NM = 10.0
_FIRST_MILE = 5
_NEARLY_DEG, _LEAST_TURN_DEG = 1.5, 4.0   # on course; a smaller correction is not worth a turn
_MOST_DRIFT_DEG = 15.0
_WELL_OFF_DEG = 5.0
_NEAR_NM, _PASSED_NM = 2.5, 2.0         # so near once, and farther than that again: passed
_DESCENT_NM, _FARTHEST_NM = 20.0, 18.0  # where the descent is given; out to where an airplane is led to lose height
_SLOPE_FT_A_MILE = 300.0                # 500 feet a minute at 100 knots
_HIGH_FT, _LOW_FT = 400.0, 200.0
_TURNING_DPS, _AWAY_DEG = 1.0, 60.0
_LATE_NM = 7.5                          # so near, the clearance waits for no turn to end
_BESIDE_NM, _BESIDE_A_MILE, _ALONG_DEG = 0.5, 0.2, 60.0   # established on final, as far as radar can tell
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


def leads_to_final(state: ControllerState, field: Field) -> bool:
    """Say whether vectors to a field lead to the final approach course of its runway: in weather, where it is known."""
    return field.runway_deg is not None and not _by_eye(state, field)


def _talked(state: ControllerState, field: Field) -> bool:
    return state.radar_approach or (state.turns is not None and radar_served(field))


def _by_eye(state: ControllerState, field: Field) -> bool:
    return field.ceiling_ft is None or not (field.approaches or _talked(state, field))


def cleared(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Clear for an approach at the field that the airplane is helped to, once it is near and low enough.

    An airplane that is led there is turned on to final with it, and brought down first, if need be away from the
    field again.
    """
    field = field_of(scenario, state.place)
    if field is None or state.approach is not None or state.ifr_cancelled:
        return state
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    talked, visual = _talked(state, field), _by_eye(state, field)
    turn = ""
    led = state.turns is not None or state.heading_deg is not None
    if not visual and led:
        state = _brought_down(scenario, state, radar, distance, bearing, t_s)
        if state.lines:
            return state
        if talked and not state.missed_told and distance <= _DESCENT_NM and not _turning(state):
            return _instructed(scenario, state, field, t_s)
        if state.outbound_deg is not None or _too_high(scenario, state, radar, distance):
            return state
        if leads_to_final(state, field) and (state.vectored or state.turns is not None):
            waits = state.turns is not None and (_turning(state) or state.leg != state.vector_leg)   # the turn first
            if state.leg not in ("intercept", "final") or (waits and distance >= _LATE_NM):
                return state
            turn, state = _turned_on(state, field, radar, t_s)
        else:
            turn, state = _inbound(state, radar, bearing)
    if distance > (APPROACH_NM if not state.brought_down else _FARTHEST_NM):
        return state
    if not visual and radar.altitude_ft < scenario.minimum_altitude_ft - _LOW_FT:
        return state                      # up first: that is said by the alert
    steep_ft = _STEEP_FT_A_MILE * distance + _PATTERN_FT
    high = radar.altitude_ft - field.elevation_ft > steep_ft if visual else (
        not led and radar.altitude_ft > _slope_ft(scenario, distance) + _HIGH_FT)
    if high and not visual:
        return _told_high(scenario, state, radar, bearing, t_s)
    turned = bool(turn)
    turn = f"you are high, maneuver as you need, {turn}" if high else turn
    approach = "visual" if visual else (
        next((str(each) for each in field.approaches if is_radar(each)), _surveillance(field)) if talked
        else str(field.approaches[0]))
    until = "advised" if talked else "established on the final approach course"
    least = _least_ft(scenario)
    stays = "descend at your discretion" if visual else f"maintain {altitude_words(least)} until {until}"
    words = f"{miles_words(distance)} from {field.name}, {turn}cleared {approach_words(approach)} approach, {stays}"
    return replace(state, approach=approach, own_altitude=True, altitude_ft=None if visual else least,
                   lines=(Line(t_s, words, turns=turned),))


def _surveillance(field: Field) -> str:
    """Return the name of a radar approach that the field's own list does not have."""
    if field.runway_deg is None:
        return "surveillance"
    return f"surveillance {round(field.runway_deg / 10.0) % 36 or 36:02d}"


def _turning(state: ControllerState) -> bool:
    return abs(state.seen.turning_dps) > _TURNING_DPS or (state.turns is not None and state.turns.way != 0)


def _turned_on(state: ControllerState, field: Field, radar: Radar, t_s: float) -> tuple[str, ControllerState]:
    """Return the words that turn an airplane that is led by headings on to final, "" where it already flies so."""
    if state.turns is not None or field.runway_deg is None:
        return "", state
    spot = spot_of(field, field.runway_deg, radar.north_nm, radar.east_nm, radar.track_deg)
    track = leg_track_deg(state.leg, state.side, spot, field.runway_deg)
    heading = rounded_deg(track + drift_deg(state, radar))
    now = state.heading_deg if state.heading_deg is not None else radar.track_deg
    if abs(wrap_deg(FLOATS, heading - now)) < _LEAST_TURN_DEG:
        return "", replace(state, vector_leg=state.leg)
    state = replace(state, heading_deg=heading, vector_s=t_s, vector_leg=state.leg)
    return f"{turn_words(radar.track_deg, heading)}, ", state


def _instructed(scenario: Scenario, state: ControllerState, field: Field, t_s: float) -> ControllerState:
    """Give what has to be known before a radar approach, once (AIM 5-4-11; FAA JO 7110.65 5-10 and 5-12, by memory)."""
    digits = field_altimeter(scenario, field)
    missed_so = missed_instructions(scenario, state, field).capitalize()
    words = f"{field.name} altimeter {spoken_digits(digits)}. {missed_so}"
    return replace(state, missed_told=True, altimeter=digits, lines=(Line(t_s, words),))


def missed_instructions(scenario: Scenario, state: ControllerState, field: Field | None) -> str:
    """Return what to do when the approach is missed: a climb, and where to."""
    least = altitude_words(math.ceil(scenario.minimum_altitude_ft / 1000.0) * 1000.0)
    known = field is not None and field.runway_deg is not None and state.turns is None
    ahead = f"fly heading {heading_words(field.runway_deg)}" if known and field is not None and (
        field.runway_deg is not None) else "straight ahead"
    return f"if missed approach, climb and maintain {least}, {ahead}"


def _least_ft(scenario: Scenario) -> float:
    return math.ceil(scenario.minimum_altitude_ft / 100.0) * 100.0


def _slope_ft(scenario: Scenario, distance: float) -> float:
    """Return the altitude (ft) from which the approach can be begun so far out (nautical miles)."""
    least = _least_ft(scenario)
    return least + _SLOPE_FT_A_MILE * max(0.0, distance - _FIRST_MILE)


def _too_high(scenario: Scenario, state: ControllerState, radar: Radar, distance: float) -> bool:
    """Say whether an airplane that is led is too high to begin the approach; on an early leg there is way left."""
    return (state.leg in ("", "intercept", "final") and distance <= APPROACH_NM and not state.brought_down
            and radar.altitude_ft > _slope_ft(scenario, distance) + _HIGH_FT)


def _told_high(scenario: Scenario, state: ControllerState, radar: Radar, bearing: float, t_s: float) -> ControllerState:
    """Tell a pilot who flies there by himself that he is too high to be cleared, once; not while he turns away."""
    away = abs(float(wrap_deg(FLOATS, bearing - radar.track_deg))) > _AWAY_DEG
    if state.descent_given or away or _turning(state):
        return state
    least = _least_ft(scenario)
    words = (f"you are high for the approach, descend at your discretion, {altitude_words(least)} until cleared, "
             "hold as you need")
    return replace(state, descent_given=True, own_altitude=True, altitude_ft=None, lines=(Line(t_s, words),))


def _brought_down(scenario: Scenario, state: ControllerState, radar: Radar, distance: float, bearing: float,
                  t_s: float) -> ControllerState:
    """Give the descent on the way, and lead an airplane that is too high out again until it is not."""
    least = _least_ft(scenario)
    slope_ft = _slope_ft(scenario, distance)
    if state.outbound_deg is not None:
        high = radar.altitude_ft > slope_ft
        if high and distance < _FARTHEST_NM - 1.0:
            return state
        if not high or state.turns is not None:
            return replace(state, outbound_deg=None, brought_down=not high, leg="")
        back = rounded_deg(bearing)
        words = f"{turn_words(radar.track_deg, back)}, continue the descent"   # and out again, if it is still too high
        return replace(state, outbound_deg=None, heading_deg=back, vector_s=t_s, leg="",
                       lines=(Line(t_s, words, turns=True),))
    when_able = "when able, " if own_altitude(state) else ""
    down = f"{when_able}descend and maintain {altitude_words(least)}"
    goes_away = abs(float(wrap_deg(FLOATS, bearing - radar.track_deg))) > _AWAY_DEG
    if _too_high(scenario, state, radar, distance) and not goes_away and not _turning(state):
        course = state.course_deg if state.leg and state.course_deg is not None else bearing
        away = rounded_deg((course + 180.0) % 360.0)
        turn, heading = "", None
        if state.turns is None:
            turn, heading = f", {turn_words(radar.track_deg, away)} for the descent", away
        words = f"you are high for the approach, {down}{turn}"
        return replace(state, outbound_deg=away, descent_given=True, altitude_ft=least, heading_deg=heading,
                       own_altitude=own_altitude(state), lines=(Line(t_s, words, turns=bool(turn)),))
    above = radar.altitude_ft > least + _HIGH_FT
    if not _turning(state) and distance <= _DESCENT_NM and not state.descent_given and above:   # one thing at a time
        return replace(state, descent_given=True, altitude_ft=least, own_altitude=own_altitude(state),
                       lines=(Line(t_s, down),))
    return state


def _inbound(state: ControllerState, radar: Radar, bearing: float) -> tuple[str, ControllerState]:
    """Return the words that turn an airplane that was led out back in, "" for another one."""
    if not state.brought_down or state.turns is not None:
        return "", state
    heading = rounded_deg(bearing)
    return f"{turn_words(radar.track_deg, heading)}, ", replace(state, heading_deg=heading)


def rounded_deg(degrees: float) -> float:
    """Return a heading to the next five degrees, 0 <= x < 360."""
    return float(round(degrees / 5.0) * 5 % 360)


def turn_words(track_deg: float, heading_deg: float) -> str:
    """Return the words that turn an airplane to a heading by the shorter way."""
    side = "left" if wrap_deg(FLOATS, heading_deg - track_deg) < 0 else "right"
    return f"turn {side} heading {heading_words(heading_deg)}"


def drift_deg(state: ControllerState, radar: Radar) -> float:
    """Return by how much the assigned heading differs from the track that it makes good; 0 where it is not flown."""
    if state.heading_deg is None:
        return 0.0
    drift = float(wrap_deg(FLOATS, state.heading_deg - radar.track_deg))
    return drift if abs(drift) <= _MOST_DRIFT_DEG else 0.0   # more is no wind


def radar_served(field: Field) -> bool:
    """Say whether a radar approach can be had at a field."""
    return field.radar_approach or any(is_radar(each) for each in field.approaches)


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
    if state.altitude_ft is not None and not is_radar(state.approach or "") and on_final(field, state, radar):
        state = replace(state, altitude_ft=None)   # established: the approach says how low
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
            state = replace(state, altitude_ft=None)
        state, words, turned = _final(state, radar, bearing)
        said += words
    return state, ", ".join(said), turned


def on_final(field: Field, state: ControllerState, radar: Radar) -> bool:
    """Say whether an airplane is established on the final course of its approach, as radar can tell."""
    if state.course_deg is None or distance_nm(field, radar.north_nm, radar.east_nm) > APPROACH_NM:
        return False
    spot = spot_of(field, state.course_deg, radar.north_nm, radar.east_nm, radar.track_deg)
    near = abs(spot.beside_nm) <= _BESIDE_NM + _BESIDE_A_MILE * abs(spot.before_nm)
    return spot.before_nm > -_PASSED_NM and near and abs(spot.off_deg) <= _ALONG_DEG


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
    heading = rounded_deg(wanted + drift_deg(state, radar))
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
                   brought_down=False, descent_given=False, vectored=False, leg="", missed_told=False)
