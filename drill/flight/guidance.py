"""The talk of a cleared approach: range, course guidance on a radar approach, its missed approach point, its end.

A surveillance approach has its range told each mile, its course about every fifteen seconds, its descent announced and
given, and ends at its missed approach point (FAA JO 7110.65 5-11-3, 5-11-5 and 5-11-6). Any other one has its range
told; radar sees who leaves its course (5-10-14, and AIM 5-4-11, by memory). An approach ends by the field in sight, by
a climb, or by being told that the field has been passed; over its missed approach point nobody is left in silence.
"""

from __future__ import annotations

import math

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Line, Radar
from drill.flight.descent import APPROACH_NM, FIRST_MILE
from drill.flight.final import Spot, final_course_deg, spot_of, wanted_track_deg
from drill.flight.missed import climb_words, missed
from drill.flight.phraseology import altitude_words, feet_words, heading_words, miles_words
from drill.flight.replacing import replace
from drill.flight.served import approach_field, is_radar
from drill.flight.sighting import landing_due, lost_from_sight
from drill.flight.steering import (
    HEADING_OFF_DEG,
    STEADY_DPS,
    beside_deg,
    heading_for,
    off_heading_deg,
    rounded_deg,
    turn_words,
)
from drill.flight.weather import bearing_deg, distance_nm
from drill.language.numbers import spoken_digits
from drill.scenario.model import Field, Scenario

GUIDANCE_S = 10.0                       # of silence: with the words themselves some fifteen seconds (5-11-5)
LOW_ALERT = "low altitude alert, check your altitude immediately"   # FAA JO 7110.65 2-1-6
ACKNOWLEDGE = "acknowledge"             # that nothing more is to be acknowledged has been said
_GUIDED_NM = 8.0                        # of a radar approach, once on final
_READY_NM = (FIRST_MILE + 0.2, FIRST_MILE + 1.6)
_SIGHT_MILE = 3                         # where a report of the runway is asked for (5-11-2)
_SOON_NM = 0.1
_LATE_CALL_NM = 0.4                     # a mile is not told so long after it
_NEARLY_DEG, _LEAST_TURN_DEG, _WELL_OFF_DEG = 1.5, 4.0, 5.0   # on course; a turn that is worth it
_OFF_DEG, _FAR_OFF_DEG, _OFF_NM, _OFF_S = 3.0, 6.0, 0.15, 20.0   # beyond the full scale of a localizer
_ASTRAY_DEG, _ASTRAY_NM = 10.0, 0.3     # in the descent: so far off and going on, he is sent up
_BELOW_FT, _ALERT_EVERY_S = 100.0, 30.0
_STEP_DEG, _MOST_CUT_DEG = 5.0, 30.0
_WRONG_DEG = 30.0                       # to go, and it turns the other way
_TAKEN_UP_S = 12.0                      # to turn to a small correction
_ESTABLISHED_DEG, _CONVERGES_DEG = 30.0, 5.0
_ON_COURSE_BY_NM = 3.5     # nearer, who is still well off his course is sent up (common practice, no source)
_NEAR_NM, _PASSED_NM, _SEEN_PASSED_NM, _OVER_NM = 2.5, 2.0, 5.0, 0.5   # so near once, and so far again: passed
_POINT_S = 15.0                         # neither sight nor climb so long after the missed approach point
_CLIMB_FPM, _CLIMB_FT, _LOW_FT = 300.0, 80.0, 200.0
_BESIDE_NM, _BESIDE_A_MILE, _ALONG_DEG = 0.5, 0.2, 60.0   # established on final, as far as radar can tell


def approached(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Give range and course in a cleared approach, and end it when it has come to nothing."""
    field = approach_field(scenario, state, radar)
    if field is None:
        return state
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    course = state.course_deg if state.course_deg is not None else final_course_deg(field, bearing)
    spot = spot_of(field, course, radar.north_nm, radar.east_nm, radar.track_deg)
    state = replace(state, course_deg=course, closest_nm=min(state.closest_nm, distance))
    talked = is_radar(state.approach or "")
    if state.altitude_ft is not None and not talked and on_final(field, state, radar):
        state = replace(state, altitude_ft=None)   # established: the approach says how low
    state = landing_due(scenario, state, radar, t_s)
    if state.lines:
        return state
    if state.in_sight and distance > max(_NEAR_NM, state.closest_nm) + _SEEN_PASSED_NM:
        return lost_from_sight(state, field, radar, t_s)
    if not state.in_sight and state.closest_nm <= _NEAR_NM and distance > max(_PASSED_NM, state.closest_nm + 0.5):
        return missed(scenario, state, radar, t_s, f"you have passed {field.name}")
    if state.miles_called == 1 and not state.in_sight:
        return _past_the_point(scenario, state, field, radar, spot, t_s)
    if state.in_sight:
        return state
    if not talked:
        state = _strayed(scenario, state, field, radar, spot, t_s)
        if state.lines or state.approach is None:
            return state
    elif _lost_on_final(state, spot, distance):
        return missed(scenario, state, radar, t_s,
                      f"you are well {_side(spot)} of course, approach clearance cancelled")
    if (alerted := _below_minimums(state, field, radar, spot, t_s)) is not None:
        return alerted
    return _told(state, field, radar, spot, distance, t_s)


def _lost_on_final(state: ControllerState, spot: Spot, distance: float) -> bool:
    """Say whether a radar approach is lost: well off before the descent, or in it farther off and not coming back.

    Who has been sent down is low and in cloud: he goes up at once (AIM 5-4-11; the limits are the author's).
    """
    if "descent" in state.final_told:
        return distance <= FIRST_MILE and abs(spot.angle_deg) > _ASTRAY_DEG and abs(spot.beside_nm) > _ASTRAY_NM and (
            spot.before_nm > 0.0 and not _converges(spot))
    return distance <= _ON_COURSE_BY_NM and _well_off(spot) and not _converges(spot)


def _below_minimums(state: ControllerState, field: Field, radar: Radar, spot: Spot,
                    t_s: float) -> ControllerState | None:
    """Alert an airplane on final below the minimums of its approach (FAA JO 7110.65 2-1-6); None for another."""
    least = field.minimums_ft
    low = least is not None and radar.altitude_ft < least - _BELOW_FT and state.seen.climb_fpm < _CLIMB_FPM
    if least is None or not low or spot.before_nm < 1.0 or t_s - state.alerted_s < _ALERT_EVERY_S or (
            state.approach == "visual" or not on_final(field, state, radar)):
        return None
    kind = "minimum descent altitude is" if is_radar(state.approach or "") else "minimums are"
    words = f"{LOW_ALERT}, {kind} {feet_words(least)}"
    return replace(state, alerted_s=t_s, alerts=state.alerts + 1, lines=(Line(t_s, words, urgent=True),))


def _told(state: ControllerState, field: Field, radar: Radar, spot: Spot, distance: float,
          t_s: float) -> ControllerState:
    """Say what is due on the way down final: a mile, the descent, where the course is."""
    talked = is_radar(state.approach or "")
    mile = max(1, math.ceil(distance))
    guided = talked and (distance <= FIRST_MILE or (distance <= _GUIDED_NM and (
        state.leg == "final" or (not state.leg and on_final(field, state, radar)))))
    late = not state.miles_called and distance < mile - _LATE_CALL_NM and not (talked and mile <= FIRST_MILE)
    new_mile = (mile <= FIRST_MILE or guided) and (not state.miles_called or mile < state.miles_called) and not late
    ready = talked and "ready" not in state.final_told and _READY_NM[0] <= distance <= _READY_NM[1]
    quiet_s = t_s - max(state.addressed_s, state.final_s)
    soon = distance - (mile - 1) < _SOON_NM    # the next mile comes with its own guidance
    if not (new_mile or ready or (guided and quiet_s >= GUIDANCE_S and not soon)):
        return state
    if distance > state.closest_nm + 0.2 or (state.turns is not None and state.turns.way and mile > 1):
        return state   # going away, or in a turn that must be stopped in time
    said: list[str] = []
    state = replace(state, final_s=t_s)
    if new_mile:
        state = replace(state, miles_called=mile)
        said.append(f"{_range_words(mile, distance)} from {'runway' if talked else field.name}")
    if new_mile and mile == 1:
        state = replace(state, point_ft=radar.altitude_ft)
        said += [*(["over missed approach point"] if talked else []),
                 "if the runway is not in sight, execute missed approach"]
        return replace(state, lines=(Line(t_s, ", ".join(said)),))
    least = "" if field.minimums_ft is None else feet_words(field.minimums_ft)
    astray = talked and _well_off(spot)   # who is well off his course is not sent down
    if ready and not astray:
        said += ["prepare to descend in one mile", *([f"minimum descent altitude {least}"] if least else [])]
        state = _with(state, "ready")
    elif guided and not astray and mile <= FIRST_MILE and "descent" not in state.final_told:
        said += ["descend to your minimum descent altitude", *([least] if least else [])]
        state = replace(_with(state, "descent"), altitude_ft=None)
    turned = False
    if talked:
        state, where, turned = _course(state, radar, spot, t_s) if guided else (state, [], False)
        said += where
    elif _beside(spot) and abs(spot.angle_deg) > _OFF_DEG and "established" in state.final_told:
        said.append(f"well {_side(spot)} of course")
    if guided and new_mile and mile == _SIGHT_MILE:
        said.append("report runway in sight")
    line = ", ".join(said)
    if guided and ACKNOWLEDGE not in state.final_told:   # FAA JO 7110.65 5-10-10
        state, line = _with(state, ACKNOWLEDGE), f"{line}. Do not acknowledge further transmissions"
    return replace(state, lines=(Line(t_s, line, turns=turned),)) if line else state


def _with(state: ControllerState, key: str) -> ControllerState:
    return replace(state, final_told=(*state.final_told, key))


def _side(spot: Spot) -> str:
    return "right" if spot.beside_nm > 0.0 else "left"


def _beside(spot: Spot) -> bool:
    return spot.before_nm > 0.0 and abs(spot.beside_nm) > _OFF_NM


def _well_off(spot: Spot) -> bool:
    return _beside(spot) and abs(spot.angle_deg) > _WELL_OFF_DEG


def _converges(spot: Spot) -> bool:
    return spot.off_deg * spot.beside_nm < 0.0 and abs(spot.off_deg) >= _CONVERGES_DEG


def _past_the_point(scenario: Scenario, state: ControllerState, field: Field, radar: Radar, spot: Spot,
                    t_s: float) -> ControllerState:
    """Say again what to do past the missed approach point, and end the approach by a climb or behind the runway."""
    if state.seen.climb_fpm > _CLIMB_FPM and radar.altitude_ft > state.point_ft + _CLIMB_FT:
        return missed(scenario, state, radar, t_s, "radar shows you climbing")
    state = replace(state, point_ft=min(state.point_ft, radar.altitude_ft))
    low = radar.altitude_ft < scenario.minimum_altitude_ft - _LOW_FT
    least = altitude_words(scenario.minimum_altitude_ft)
    alert = f"{LOW_ALERT}, minimum altitude in your area is {least}. " if low else ""
    if spot.before_nm < -_OVER_NM:
        return missed(scenario, state, radar, t_s, f"{alert}{'Y' if alert else 'y'}ou have passed {field.name}")
    if "again" in state.final_told or t_s - state.final_s < _POINT_S or t_s - state.heard_s < _POINT_S:
        return state
    words = f"if runway not in sight, {climb_words(scenario, state, field)}"
    return replace(_with(state, "again"), lines=(Line(t_s, words, urgent=True),))


def _strayed(scenario: Scenario, state: ControllerState, field: Field, radar: Radar, spot: Spot,
             t_s: float) -> ControllerState:
    """Say that an airplane leaves the course of its approach, and end the approach where it does not come back."""
    if state.approach == "visual" or field.runway_deg is None or spot.before_nm < 1.0 or spot.before_nm > APPROACH_NM:
        return state
    off = abs(spot.angle_deg)
    if "established" not in state.final_told:
        along = off < _OFF_DEG and abs(spot.off_deg) < _ESTABLISHED_DEG
        return _with(state, "established") if along else state
    if off <= _OFF_DEG or not _beside(spot):
        return replace(state, final_told=tuple(each for each in state.final_told if each != "off"))
    if "off" not in state.final_told:
        return replace(_with(state, "off"), final_s=t_s, lines=(
            Line(t_s, f"radar shows you well {_side(spot)} of course", urgent=True),))
    if t_s - state.final_s < _OFF_S or (_converges(spot) and off < _FAR_OFF_DEG):
        return state
    return missed(scenario, state, radar, t_s, f"you are well {_side(spot)} of course, approach clearance cancelled")


def on_final(field: Field, state: ControllerState, radar: Radar) -> bool:
    """Say whether an airplane is established on the final course of its approach, as radar can tell."""
    if state.course_deg is None or distance_nm(field, radar.north_nm, radar.east_nm) > APPROACH_NM:
        return False
    spot = spot_of(field, state.course_deg, radar.north_nm, radar.east_nm, radar.track_deg)
    near = abs(spot.beside_nm) <= _BESIDE_NM + _BESIDE_A_MILE * abs(spot.before_nm)
    return spot.before_nm > -_PASSED_NM and near and abs(spot.off_deg) <= _ALONG_DEG


def _course(state: ControllerState, radar: Radar, spot: Spot, t_s: float) -> tuple[ControllerState, list[str], bool]:
    """Say where the airplane is from its final course and, unless turns are called, what heading leads back."""
    course = state.course_deg or 0.0
    off = abs(spot.angle_deg)
    turn = float(wrap_deg(FLOATS, wanted_track_deg(course, course - spot.angle_deg) - radar.track_deg))
    converges = spot.off_deg * spot.beside_nm < 0.0 and abs(spot.off_deg) >= _CONVERGES_DEG / 2.0
    how_far = "on course" if off < _NEARLY_DEG else (
        f"{'well' if off > _WELL_OFF_DEG else 'slightly'} {_side(spot)} of course"
        f"{' and correcting' if converges else ''}")
    if state.turns is not None:
        return state, [how_far], False
    heading = heading_for(state, radar.track_deg + turn)
    flown = state.heading_deg
    leads_on = flown is None or float(wrap_deg(FLOATS, heading - flown)) * turn > 0.0
    if not leads_on and off_heading_deg(state, radar.track_deg) <= HEADING_OFF_DEG:
        # never to the other side than the one that is told: farther round, or none
        heading = _farther(state, course, turn) if off >= _NEARLY_DEG and not converges else flown or 0.0
    least = _LEAST_TURN_DEG * (1.0 if off >= _NEARLY_DEG else 1.5)
    turning = state.seen.turning_dps
    goes_wrong = turning * turn < 0.0 and abs(turn) > _WRONG_DEG   # and is not left to it
    if abs(turn) < least or (abs(turning) > STEADY_DPS and not goes_wrong) or (
            t_s - state.vector_s < _TAKEN_UP_S):   # the last one is being flown
        same = state.heading_deg is not None and off < _NEARLY_DEG
        return state, [*([f"heading {heading_words(state.heading_deg or 0.0)}"] if same else []), how_far], False
    if heading == state.heading_deg:      # nothing new is told of it
        return state, [f"heading {heading_words(heading)}", how_far], False
    turned = turn_words(state, radar.track_deg, heading)
    return replace(state, heading_deg=heading, own_heading=True, vector_s=t_s), [how_far, turned], True


def _farther(state: ControllerState, course_deg: float, turn: float) -> float:
    """Return the assigned heading (deg) by five degrees farther to the side of a turn, within a cut of thirty."""
    heading = state.heading_deg if state.heading_deg is not None else course_deg
    farther = rounded_deg(heading + math.copysign(_STEP_DEG, turn))
    cut = beside_deg(state.wind, state.seen.speed_kt, farther, course_deg)
    return farther if abs(float(cut)) <= _MOST_CUT_DEG else heading


def _range_words(mile: int, distance: float) -> str:
    """Return the miles that are called; one that a turn has kept waiting is nearer by half a mile."""
    late = mile > 1 and distance < mile - _LATE_CALL_NM
    return f"{spoken_digits(str(mile - 1))} and one half miles" if late else miles_words(mile)
