"""What the controller does unasked: notices, alerts, later questions and no-gyro turns."""

from __future__ import annotations

from dataclasses import replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.approach import APPROACH_NM, approach_field, cleared, is_radar, wanted_track_deg
from drill.flight.controller_state import ControllerState, Line, Radar, in_trouble
from drill.flight.no_gyro import call_turn
from drill.flight.phraseology import altitude_words, field_of, heading_words
from drill.flight.weather import bearing_deg, distance_nm
from drill.scenario.model import Scenario

ALTITUDE_OFF_FT, ALTITUDE_OFF_S = 200.0, 20.0
HEADING_OFF_DEG, HEADING_OFF_S = 25.0, 30.0
NOTICE_EVERY_S = 120.0
MOST_NOTICES = 3                        # then nothing more is said until the pilot calls
GRACE_S = 60.0                          # to hear, read back and begin to fly a new assignment
LOW_ALERT_EVERY_S = 60.0
UNANSWERED_S = 25.0
SILENCE_S, MOST_PROMPTS = 240.0, 3
_CLOSING_FT, _CLOSING_DEG = 15.0, 4.0   # nearer than the farthest of late by this much: coming back by itself


def more_asked(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Ask, once each, for what can wait; clear for the approach when near; call again into a silence."""
    told = state.told
    if state.more_at_s is not None and t_s >= state.more_at_s and "more" not in state.asked:
        later = ((told.fuel, "fuel remaining"), (told.souls, "people on board"))
        missing = [words for known, words in later if not known]
        state = replace(state, asked=(*state.asked, "more"))
        if missing:
            return replace(state, lines=(Line(t_s, f"when able, say {' and '.join(missing)}"),))
    state = cleared(scenario, state, radar, t_s)
    if state.lines:
        return state
    if state.unanswered_since_s is not None and t_s - state.unanswered_since_s >= UNANSWERED_S and state.nudges < 2:
        return replace(state, nudges=state.nudges + 1, unanswered_since_s=t_s,
                       lines=(Line(t_s, "how do you hear me?", asks=True),))
    return _prompted(state, t_s)


def _prompted(state: ControllerState, t_s: float) -> ControllerState:
    """Ask what is wanted where somebody in trouble has no plan and nothing has been said for long."""
    led = state.place or state.planned or state.approach is not None or (
        state.turns is not None and not state.turns.suspended)
    silent_s = t_s - max(state.addressed_s, state.heard_s)
    if led or not in_trouble(state) or silent_s < SILENCE_S or state.prompts >= MOST_PROMPTS:
        return state
    return replace(state, prompts=state.prompts + 1,
                   lines=(Line(t_s, "say intentions", asks=True, question="intentions"),))


def turn_called(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Say when to start and stop a turn, while no-gyro vectors are given."""
    turns = state.turns
    field = field_of(scenario, turns.place) if turns is not None else None
    if turns is None or field is None or state.track_was_deg is None or turns.suspended:
        return state
    distance = distance_nm(field, radar.north_nm, radar.east_nm)
    talked = is_radar(state.approach or "")
    if distance < 1.5 and not talked and state.outbound_deg is None:
        return replace(state, turns=None, miles_called=1,
                       lines=(Line(t_s, f"{field.name} is one mile ahead, no-gyro vectors end"),))
    if distance < 5.5 and state.outbound_deg is None and not turns.half_rate and not turns.way:
        return replace(state, turns=replace(turns, half_rate=True),
                       lines=(Line(t_s, "make half standard rate turns from here"),))
    rate = float(wrap_deg(FLOATS, radar.track_deg - state.track_was_deg))
    wanted = bearing_deg(field, radar.north_nm, radar.east_nm)
    if state.outbound_deg is not None:
        wanted = state.outbound_deg
    elif talked and state.course_deg is not None:
        wanted = wanted_track_deg(state.course_deg, wanted)
    turns, words = call_turn(turns, radar.track_deg, rate, wanted, t_s)
    return replace(state, turns=turns, lines=(Line(t_s, words, turns=True),) if words else ())


def watched(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Notice an airplane that leaves what it was assigned and is not coming back to it."""
    if radar.on_ground:
        return state
    field = approach_field(scenario, state, radar)
    near = field is not None and distance_nm(field, radar.north_nm, radar.east_nm) <= APPROACH_NM
    visual = state.ifr_cancelled   # its own sight keeps it clear of the ground
    every_s = LOW_ALERT_EVERY_S * (1, 1, 2, 4)[min(3, state.alerts)]
    if (not near and not visual and radar.altitude_ft < scenario.minimum_altitude_ft - ALTITUDE_OFF_FT
            and t_s - state.alerted_s >= every_s and t_s >= state.frequency_free_s):
        words = f"low altitude alert, minimum altitude is {altitude_words(scenario.minimum_altitude_ft)}"
        return replace(state, alerted_s=t_s, alerts=state.alerts + 1, noticed_s=t_s,
                       lines=(*state.lines, Line(t_s, words)))

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
        off_deg = float(abs(wrap_deg(FLOATS, radar.track_deg - state.heading_deg)))
    farthest_deg = _fading(off_deg, state.heading_was_off_deg)
    astray = (off_deg > HEADING_OFF_DEG and off_deg > farthest_deg - _CLOSING_DEG and not state.own_heading
              and state.turns is None)
    heading_since = (state.heading_off_since_s if state.heading_off_since_s is not None else t_s) if astray else None
    state = replace(state, altitude_was_off_ft=farthest_ft, altitude_off_since_s=altitude_since,
                    heading_was_off_deg=farthest_deg, heading_off_since_s=heading_since)
    silent_until_s = max(state.assigned_s + GRACE_S, state.quiet_until_s)
    if state.lines or t_s < silent_until_s or state.notices >= MOST_NOTICES:
        return state
    if (altitude_since is not None and t_s - altitude_since >= ALTITUDE_OFF_S and state.altitude_ft is not None
            and t_s >= state.noticed_s + NOTICE_EVERY_S):
        words = (f"verify altitude, radar shows {altitude_words(radar.altitude_ft)}, "
                 f"you are assigned {altitude_words(state.altitude_ft)}")
        return _noticing(replace(state, noticed_s=t_s), words, t_s)
    if (heading_since is not None and t_s - heading_since >= HEADING_OFF_S and state.heading_deg is not None
            and t_s >= state.heading_noticed_s + NOTICE_EVERY_S):
        words = f"verify heading, you are assigned {heading_words(state.heading_deg)}"
        return _noticing(replace(state, heading_noticed_s=t_s), words, t_s)
    return state


def _noticing(state: ControllerState, words: str, t_s: float) -> ControllerState:
    return replace(state, notices=state.notices + 1, lines=(Line(t_s, words, asks=True),))


def _fading(off: float, farthest: float) -> float:
    """Return the greatest of the last deviations, forgotten over some ten seconds."""
    return off if off >= farthest else farthest + (off - farthest) / 8.0
