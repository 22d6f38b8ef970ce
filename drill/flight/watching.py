"""What the controller does unasked: notices, alerts, later questions, approach clearance and no-gyro turns."""

from __future__ import annotations

from dataclasses import replace

from drill.flight.controller_state import ControllerState, Line, Radar
from drill.flight.no_gyro import call_turn
from drill.flight.phraseology import altitude_words, field_of, heading_words, miles_words
from drill.flight.weather import bearing_deg, distance_nm, nearest_field
from drill.scenario.model import Scenario

ALTITUDE_OFF_FT, ALTITUDE_OFF_S = 200.0, 20.0
HEADING_OFF_DEG, HEADING_OFF_S = 25.0, 30.0
NOTICE_EVERY_S = 120.0
MOST_NOTICES = 3                        # then nothing more is said until the pilot calls
GRACE_S = 60.0                          # to hear, read back and begin to fly a new assignment
LOW_ALERT_EVERY_S = 60.0
UNANSWERED_S = 25.0
APPROACH_NM = 10.0
_CLOSING_FT, _CLOSING_DEG = 15.0, 4.0   # nearer than the farthest of late by this much: coming back by itself


def more_asked(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Ask, once each, for what can wait; clear for the approach when near; call again when nobody answers."""
    told = state.told
    if state.more_at_s is not None and t_s >= state.more_at_s and "more" not in state.asked:
        later = ((told.fuel, "fuel remaining"), (told.souls, "people on board"))
        missing = [words for known, words in later if not known]
        state = replace(state, asked=(*state.asked, "more"))
        if missing:
            return replace(state, lines=(Line(t_s, f"when able, say {' and '.join(missing)}"),))
    field = field_of(scenario, state.place)
    if field is not None and state.approach is None:
        distance = distance_nm(field, radar.north_nm, radar.east_nm)
        if distance <= APPROACH_NM:
            approach = "visual" if field.ceiling_ft is None or not field.approaches else field.approaches[0]
            words = (f"{miles_words(distance)} from {field.name}, cleared {approach} approach, "
                     "descend at your discretion")
            return replace(state, approach=str(approach), own_altitude=True, altitude_ft=None,
                           lines=(Line(t_s, words),))
    if state.unanswered_since_s is not None and t_s - state.unanswered_since_s >= UNANSWERED_S and state.nudges < 2:
        return replace(state, nudges=state.nudges + 1, unanswered_since_s=t_s,
                       lines=(Line(t_s, "how do you hear me?", asks=True),))
    return state


def turn_called(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Say when to start and stop a turn, while no-gyro vectors are given."""
    turns = state.turns
    field = field_of(scenario, turns.place) if turns is not None else None
    if turns is None or field is None or state.track_was_deg is None:
        return state
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    if distance < 1.5:
        return replace(state, turns=None, lines=(Line(t_s, f"{field.name} is one mile ahead, no-gyro vectors end"),))
    if distance < 5.0 and not turns.half_rate and not turns.way:
        return replace(state, turns=replace(turns, half_rate=True),
                       lines=(Line(t_s, f"five miles from {field.name}, make half standard rate turns"),))
    rate = (radar.track_deg - state.track_was_deg + 180.0) % 360.0 - 180.0
    wanted = bearing_deg(field, radar.north_nm, radar.east_nm)
    turns, words = call_turn(turns, radar.track_deg, rate, wanted, t_s)
    return replace(state, turns=turns, lines=(Line(t_s, words),) if words else ())


def watched(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Notice an airplane that leaves what it was assigned and is not coming back to it."""
    field = nearest_field(scenario, radar.north_nm, radar.east_nm)
    near = field is not None and distance_nm(field, radar.north_nm, radar.east_nm) <= APPROACH_NM
    if (not near and radar.altitude_ft < scenario.minimum_altitude_ft - ALTITUDE_OFF_FT
            and t_s - state.alerted_s >= LOW_ALERT_EVERY_S and t_s >= state.frequency_free_s):
        words = f"low altitude alert, minimum altitude is {altitude_words(scenario.minimum_altitude_ft)}"
        return replace(state, alerted_s=t_s, noticed_s=t_s, lines=(*state.lines, Line(t_s, words)))

    if (state.heading_deg, state.altitude_ft) != state.assigned:
        now = (state.heading_deg, state.altitude_ft)
        new = tuple(name for name, number, was in zip(("heading", "altitude"), now, state.assigned, strict=True)
                    if number is not None and number != was)
        state = replace(state, assigned=now, assigned_s=t_s, unsaid=new, altitude_off_since_s=None,
                        heading_off_since_s=None)
    off_ft = 0.0 if state.altitude_ft is None else abs(radar.altitude_ft - state.altitude_ft)
    farthest_ft = _fading(off_ft, state.altitude_was_off_ft)
    astray = off_ft > ALTITUDE_OFF_FT and off_ft > farthest_ft - _CLOSING_FT and not state.own_altitude
    altitude_since = (state.altitude_off_since_s if state.altitude_off_since_s is not None else t_s) if astray else None
    off_deg = 0.0
    if state.heading_deg is not None:
        off_deg = abs((radar.track_deg - state.heading_deg + 180.0) % 360.0 - 180.0)
    farthest_deg = _fading(off_deg, state.heading_was_off_deg)
    astray = (off_deg > HEADING_OFF_DEG and off_deg > farthest_deg - _CLOSING_DEG and not state.own_heading
              and state.turns is None)
    heading_since = (state.heading_off_since_s if state.heading_off_since_s is not None else t_s) if astray else None
    state = replace(state, altitude_was_off_ft=farthest_ft, altitude_off_since_s=altitude_since,
                    heading_was_off_deg=farthest_deg, heading_off_since_s=heading_since)
    silent_until_s = max(state.assigned_s + GRACE_S, state.noticed_s + NOTICE_EVERY_S, state.quiet_until_s)
    if state.lines or t_s < silent_until_s or state.notices >= MOST_NOTICES:
        return state
    if altitude_since is not None and t_s - altitude_since >= ALTITUDE_OFF_S and state.altitude_ft is not None:
        words = (f"verify altitude, radar shows {altitude_words(radar.altitude_ft)}, "
                 f"you are assigned {altitude_words(state.altitude_ft)}")
        return _noticing(state, words, t_s)
    if heading_since is not None and t_s - heading_since >= HEADING_OFF_S and state.heading_deg is not None:
        words = f"verify heading, you are assigned {heading_words(state.heading_deg)}"
        return _noticing(state, words, t_s)
    return state


def _noticing(state: ControllerState, words: str, t_s: float) -> ControllerState:
    return replace(state, noticed_s=t_s, notices=state.notices + 1, lines=(Line(t_s, words, asks=True),))


def _fading(off: float, farthest: float) -> float:
    """Return the greatest of the last deviations, forgotten over some ten seconds."""
    return off if off >= farthest else farthest + (off - farthest) / 8.0
