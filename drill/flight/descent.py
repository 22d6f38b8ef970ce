"""The descent before an approach: given on the way, or, too high, away from the field and back again."""

from __future__ import annotations

import math
from dataclasses import replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Line, Radar, own_altitude
from drill.flight.phraseology import altitude_words
from drill.flight.steering import rounded_deg, turn_words
from drill.scenario.model import Scenario

APPROACH_NM = 10.0                      # where an approach is cleared
_JUST_GIVEN_S = 45.0                    # an altitude is not followed by another one at once (the author's choice)
_TAKES_IN_S = 20.0                      # to read back, and to answer (the author's choice)
_OWN_DESCENT_S = 90.0                   # to begin a descent that was left to the pilot (the author's choice)
DESCENT_NM, FARTHEST_NM = 20.0, 18.0    # where the descent is given; out to where an airplane is led to lose height
FIRST_MILE = 5                          # from where the range is told, and a radar approach descends
HIGH_FT = 400.0
_SLOPE_FT_A_MILE = 300.0                # 500 feet a minute at 100 knots
_TURNING_DPS, _AWAY_DEG = 1.0, 60.0


def turning(state: ControllerState) -> bool:
    """Say whether the airplane turns, or has been told to."""
    return abs(state.seen.turning_dps) > _TURNING_DPS or (state.turns is not None and state.turns.way != 0)


def least_ft(scenario: Scenario) -> float:
    """Return the lowest altitude (ft) that is assigned."""
    return math.ceil(scenario.minimum_altitude_ft / 100.0) * 100.0


def slope_ft(scenario: Scenario, distance: float) -> float:
    """Return the altitude (ft) from which the approach can be begun so far out (nautical miles)."""
    return least_ft(scenario) + _SLOPE_FT_A_MILE * max(0.0, distance - FIRST_MILE)


def too_high(scenario: Scenario, state: ControllerState, radar: Radar, distance: float) -> bool:
    """Say whether an airplane that is led is too high to begin the approach; on an early leg there is way left."""
    return (state.leg in ("", "intercept", "final") and distance <= APPROACH_NM and not state.brought_down
            and radar.altitude_ft > slope_ft(scenario, distance) + HIGH_FT)


def told_high(scenario: Scenario, state: ControllerState, radar: Radar, bearing: float, t_s: float) -> ControllerState:
    """Tell a pilot who flies there by himself that he is too high to be cleared, once; not while he turns away."""
    away = abs(float(wrap_deg(FLOATS, bearing - radar.track_deg))) > _AWAY_DEG
    if state.descent_given or away or turning(state):
        return state
    words = (f"you are high for the approach, descend at your discretion, {altitude_words(least_ft(scenario))} until "
             "cleared, hold as you need")
    return replace(state, descent_given=True, own_altitude=True, altitude_ft=None, lines=(Line(t_s, words),))


def brought_down(scenario: Scenario, state: ControllerState, radar: Radar, distance: float, bearing: float,
                 t_s: float) -> ControllerState:
    """Give the descent on the way, and lead an airplane that is too high out again until it is not."""
    least = least_ft(scenario)
    slope = slope_ft(scenario, distance)
    if state.outbound_deg is not None:
        high = radar.altitude_ft > slope
        if high and distance < FARTHEST_NM - 1.0:
            return state
        if not high or state.turns is not None:
            return replace(state, outbound_deg=None, brought_down=not high, leg="")
        back = rounded_deg(bearing)
        # and out again, if it is still too high
        words = f"{turn_words(state, radar.track_deg, back)}, continue the descent"
        return replace(state, outbound_deg=None, heading_deg=back, vector_s=t_s, leg="",
                       lines=(Line(t_s, words, turns=True),))
    when_able = "when able, " if own_altitude(state) else ""
    down = f"{when_able}descend and maintain {altitude_words(least)}"
    goes_away = abs(float(wrap_deg(FLOATS, bearing - radar.track_deg))) > _AWAY_DEG
    if too_high(scenario, state, radar, distance) and not goes_away and not turning(state):
        course = state.course_deg if state.leg and state.course_deg is not None else bearing
        away = rounded_deg((course + 180.0) % 360.0)
        turn, heading = "", None
        if state.turns is None:
            turn, heading = f", {turn_words(state, radar.track_deg, away)} for the descent", away
        words = f"you are high for the approach, {down}{turn}"
        return replace(state, outbound_deg=away, descent_given=True, altitude_ft=least, heading_deg=heading,
                       own_altitude=own_altitude(state), lines=(Line(t_s, words, turns=bool(turn)),))
    above = radar.altitude_ft > least + HIGH_FT
    waits = bool(state.unread or state.question) and t_s - max(state.addressed_s, state.heard_s) < _TAKES_IN_S
    left_to_him = t_s - state.own_descent_s < _OWN_DESCENT_S or t_s - state.given_s < _JUST_GIVEN_S or waits
    if not turning(state) and distance <= DESCENT_NM and not state.descent_given and above and (
            not left_to_him):             # one thing at a time
        return replace(state, descent_given=True, altitude_ft=least, own_altitude=own_altitude(state),
                       lines=(Line(t_s, down),))
    return state
