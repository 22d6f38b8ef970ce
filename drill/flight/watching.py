"""What the controller does unasked: looks at the radar, notices, alerts, asks what could wait, calls no-gyro turns."""

from __future__ import annotations

import math

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.approach import cleared
from drill.flight.controller_state import ControllerState, Line, Radar, Seen, emergency, in_trouble, powerless
from drill.flight.guidance import LOW_ALERT, on_final
from drill.flight.mistakes import wrong_side_seen
from drill.flight.phraseology import altitude_words, heading_words
from drill.flight.repeating import repeated
from drill.flight.replacing import replace
from drill.flight.served import approach_field, is_radar
from drill.flight.silence import BY_IDENT, HEAR_ME, out_of_reach, searched, searching
from drill.flight.stages import later_question, moved
from drill.flight.steering import HEADING_OFF_DEG, STEADY_DPS, off_heading_deg
from drill.flight.suggesting import offered_unasked
from drill.flight.urgent import freedom
from drill.scenario.model import Scenario

ALTITUDE_OFF_FT, ALTITUDE_OFF_S = 200.0, 20.0
HEADING_OFF_S = 30.0
NOTICE_EVERY_S = 120.0
MOST_NOTICES = 3                        # then nothing more is said until the pilot calls
GRACE_S = 60.0                          # to hear, read back and begin to fly a new assignment
LOW_ALERT_EVERY_S = 60.0
VERY_LOW_FT = 500.0                     # so far below, twice as often
LOW_S = 3.0                             # and not just for a look or two
SILENCE_S, MOST_PROMPTS = 240.0, 3
MISSED_S, MISSED_SILENCE_S = 900.0, 75.0   # after a missed approach nobody is left in silence for so long
SUSPENDED_S = 90.0                      # of silence, while a pilot who could not turn is waited for
MOST_TIMES = 2                          # that one thing is asked for
LEISURE_S, LEFT_S = 12.0, 40.0          # of quiet before a later question; and with another one unanswered
WILD_FPM, WILD_DPS, WILD_S = 2000.0, 6.0, 6.0   # twice standard rate, and no light airplane's descent (author's choice)
WILD = "wild"                           # that this has been said
CLIMBING_FPM = 200.0                    # coming up by itself
HANDLING_AFTER_S = 3.0
RAPID_FPM = 1500.0
_STRAIGHT_DPS = 0.7                     # no turn
_LEAP_FPM, _LEAP_DPS, _LEAP_KT = 18_000.0, 40.0, 700.0
_SMOOTHED = 0.2                         # a second: over some five of them
_CLOSING_FT, _CLOSING_DEG = 15.0, 4.0   # nearer than the farthest of late by this much: coming back by itself


def tracked(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Return the controller after a look at the radar: climb and turn smoothed, and whether they are wild.

    A leap between two looks is a fault of the radar and counts for nothing.
    """
    seen = state.seen
    climb_fpm, turning_dps = 0.0, 0.0
    if seen.altitude_ft is not None and seen.track_deg is not None:
        climb_fpm = (radar.altitude_ft - seen.altitude_ft) * 60.0
        turning_dps = float(wrap_deg(FLOATS, radar.track_deg - seen.track_deg))
        if abs(climb_fpm) > _LEAP_FPM or abs(turning_dps) > _LEAP_DPS:
            climb_fpm, turning_dps = seen.climb_fpm, seen.turning_dps
    climb_fpm = seen.climb_fpm + (climb_fpm - seen.climb_fpm) * _SMOOTHED
    turning_dps = seen.turning_dps + (turning_dps - seen.turning_dps) * _SMOOTHED
    wild = not radar.on_ground and (abs(climb_fpm) > WILD_FPM or abs(turning_dps) > WILD_DPS)
    since_s = (t_s if seen.wild_since_s is None else seen.wild_since_s) if wild else None
    at_s = seen.wild_at_s
    if since_s is not None and t_s - since_s >= WILD_S and at_s is None:
        at_s = t_s
    low = radar.altitude_ft < scenario.minimum_altitude_ft - ALTITUDE_OFF_FT
    low_s = (t_s if seen.low_since_s is None else seen.low_since_s) if low else None
    turned_deg = 0.0 if abs(turning_dps) < _STRAIGHT_DPS or turning_dps * seen.turned_deg < 0.0 else (
        seen.turned_deg + turning_dps)
    rapid_s = (t_s if seen.rapid_since_s is None else seen.rapid_since_s) if climb_fpm < -RAPID_FPM else None
    speed_kt = seen.speed_kt
    if seen.north_nm is not None and seen.east_nm is not None:
        now_kt = math.hypot(radar.north_nm - seen.north_nm, radar.east_nm - seen.east_nm) * 3600.0
        if now_kt <= _LEAP_KT:
            speed_kt = now_kt if speed_kt == 0.0 else speed_kt + (now_kt - speed_kt) * _SMOOTHED
    return replace(state, now_s=t_s, seen=Seen(
        radar.altitude_ft, radar.track_deg, climb_fpm, turning_dps, since_s, at_s, low_s, radar.on_ground, turned_deg,
        radar.north_nm, radar.east_nm, speed_kt, rapid_s))


def staged(scenario: Scenario, state: ControllerState, t_s: float) -> ControllerState:
    """Return the controller in its present stage, with the words for a new one that nobody has called for."""
    state = moved(state)
    if not emergency(state) and any(each.handling for each in state.lines):
        state = replace(state, lines=tuple(each for each in state.lines if not each.handling))
    untold = not (state.told.equipment or state.told.impairment)
    if state.stage == "trouble" and state.seen.wild_at_s is not None and untold and WILD not in state.asked:
        how = "descending" if state.seen.climb_fpm < 0 else "climbing"
        seen = f"{how} rapidly" if abs(state.seen.climb_fpm) > WILD_FPM else "in a steep turn"
        return replace(state, asked=(*state.asked, WILD), lines=(
            *state.lines, Line(t_s, f"radar shows you {seen}", ask=True)))
    if state.stage != "handled" or state.handling_said:
        return state
    still = " all the same" if state.declined else ""
    waits = tuple(each for each in state.lines if not (each.answer and each.words in ("", "roger")))
    roger = "roger, " if len(waits) < len(state.lines) else ""
    words = f"{roger}we are handling you as an emergency{still}, {freedom(scenario, state)}"
    after_s = max([t_s + HANDLING_AFTER_S, *(each.due_s + 0.1 for each in waits if each.answer)])
    asked = any(each.question for each in waits)
    # behind an answer, and what follows it asks the question
    line = Line(after_s, words, answer=True, ask=not asked, handling=True)
    return replace(state, handling_said=True, lines=(*(replace(each, ask=False) for each in waits), line))


def more_asked(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Ask for what can wait, one thing at a time; clear for the approach when near; call again into a silence."""
    state = repeated(state, t_s, pressing=True)
    if state.lines:
        return state
    if state.more_at_s is not None and t_s >= state.more_at_s and _at_leisure(state, t_s) and not out_of_reach(state):
        state = offered_unasked(scenario, state, radar, t_s)
        if state.lines:
            return state
        key, words = later_question(state, scenario.clearance.when_able)
        if key:
            return replace(state, lines=(Line(t_s, words, question=key),))
    state = cleared(scenario, state, radar, t_s)
    state = state if state.lines else repeated(state, t_s, pressing=False)
    if state.lines:
        return state
    state = searched(scenario, state, radar, t_s)
    waits = state.turns is not None and state.turns.suspended
    if state.lines or (state.nudges and searching(state) and not waits):
        return state
    return _prompted(state, t_s)


def _at_leisure(state: ControllerState, t_s: float) -> bool:
    """Say whether there is time for a later question: nobody has just talked, nothing is open, no turn is on."""
    waited_s = t_s - max(state.addressed_s, state.heard_s)
    turning = (state.turns is not None and state.turns.way != 0) or turns_in_trouble(state)
    return waited_s >= (LEFT_S if state.question else LEISURE_S) and not turning and not state.miles_called


def turns_in_trouble(state: ControllerState) -> bool:
    """Say whether an airplane in trouble is in a turn: its pilot has something else to do than to answer questions."""
    return in_trouble(state) and abs(state.seen.turning_dps) > STEADY_DPS


def _prompted(state: ControllerState, t_s: float) -> ControllerState:
    """Call somebody in trouble who has no plan when nothing has been said for long: for intentions, or for a word."""
    waits = state.turns is not None and state.turns.suspended
    led = not waits and bool(state.place or state.planned or state.approach is not None or state.turns is not None)
    silent_s = t_s - max(state.addressed_s, state.heard_s)
    if waits and silent_s >= SUSPENDED_S * (1 if state.prompts < MOST_PROMPTS else 3):
        line = Line(t_s, "no-gyro vectors are waiting, say when able to turn", asks=True, question="able")
        return replace(state, prompts=state.prompts + 1, lines=(line,))
    lost_plan = t_s - state.missed_s <= MISSED_S   # an approach has come to nothing, and nothing has come of that
    wait_s = MISSED_SILENCE_S if lost_plan else SILENCE_S
    if led or waits or state.wordless or silent_s < wait_s or state.prompts >= MOST_PROMPTS or not (
            in_trouble(state) or lost_plan):
        return state
    put = state.asked.count("intentions") >= MOST_TIMES
    if put:                               # the first of the tries to reach him
        return replace(state, prompts=state.prompts + 1, nudges=max(1, state.nudges),
                       lines=(Line(t_s, HEAR_ME, asks=True),))
    line = Line(t_s, "say intentions", asks=True, question="intentions")
    return replace(state, prompts=state.prompts + 1, lines=(line,))


def watched(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Notice an airplane that leaves what it was assigned and is not coming back to it."""
    if radar.on_ground:
        return state
    field = approach_field(scenario, state, radar)
    held_up = is_radar(state.approach or "") and not state.miles_called   # not told to descend yet
    near = field is not None and not held_up and on_final(field, state, radar)
    blind = state.told.conditions in ("imc", "icing")   # VFR, and in cloud all the same
    visual = (state.ifr_cancelled and not blind) or state.in_sight   # its own sight keeps it clear of the ground
    very_low = radar.altitude_ft < scenario.minimum_altitude_ft - VERY_LOW_FT
    every_s = LOW_ALERT_EVERY_S * (1, 1, 1, 2, 2, 4)[min(5, state.alerts)] * (0.5 if very_low else 1.0)
    low_s = state.seen.low_since_s
    low = low_s is not None and t_s - low_s >= LOW_S and state.seen.climb_fpm <= CLIMBING_FPM and not powerless(state)
    if low and not near and not visual and t_s - state.alerted_s >= every_s and t_s >= state.frequency_free_s:
        words = f"{LOW_ALERT}, minimum altitude in your area is {altitude_words(scenario.minimum_altitude_ft)}"
        return replace(state, alerted_s=t_s, alerts=state.alerts + 1, noticed_s=t_s,
                       lines=(*state.lines, Line(t_s, words, urgent=True)))

    if (words := wrong_side_seen(state)):
        return replace(state, slip=None, lines=(*state.lines, Line(t_s, words, urgent=True, turns=True)))
    state = assignments_taken(state, radar, t_s)
    off_ft = 0.0 if state.altitude_ft is None else abs(radar.altitude_ft - state.altitude_ft)
    farthest_ft = _fading(off_ft, state.altitude_was_off_ft)
    astray = off_ft > ALTITUDE_OFF_FT and off_ft > farthest_ft - _CLOSING_FT and not state.own_altitude
    altitude_since = (state.altitude_off_since_s if state.altitude_off_since_s is not None else t_s) if astray else None
    off_deg = off_heading_deg(state, radar.track_deg)
    farthest_deg = _fading(off_deg, state.heading_was_off_deg)
    astray = (off_deg > HEADING_OFF_DEG and off_deg > farthest_deg - _CLOSING_DEG and not state.own_heading
              and state.turns is None)
    heading_since = (state.heading_off_since_s if state.heading_off_since_s is not None else t_s) if astray else None
    state = replace(state, altitude_was_off_ft=farthest_ft, altitude_off_since_s=altitude_since,
                    heading_was_off_deg=farthest_deg, heading_off_since_s=heading_since)
    silent_until_s = max(state.assigned_s + GRACE_S, state.quiet_until_s)
    if state.lines or t_s < silent_until_s or state.notices >= MOST_NOTICES or state.seen.wild_at_s is not None:
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


def assignments_taken(state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Return the controller with a heading or altitude that it has assigned anew, to be said and to be read back.

    Looked at before a line goes out as well as before he watches: what is decided and said in one second is read back
    like any other (FAA JO 7110.65 2-4-3, by memory).
    """
    now = (state.heading_deg, state.altitude_ft)
    if now == state.assigned or radar.on_ground:
        return state
    new = tuple(name for name, number, was in zip(("heading", "altitude"), now, state.assigned, strict=True)
                if number is not None and (number != was or name in state.unsaid))
    turned_from = radar.track_deg if now[0] not in (None, state.assigned[0]) else state.turned_from_deg
    return replace(state, assigned=now, assigned_s=t_s, unsaid=new, altitude_off_since_s=None,
                   heading_off_since_s=None, turned_from_deg=turned_from)


def _noticing(state: ControllerState, words: str, t_s: float) -> ControllerState:
    if state.wordless:                    # he has no words to verify anything with
        told = words.rpartition(", ")[2]
        return replace(state, notices=state.notices + 1, question="", lines=(Line(t_s, f"{told}, {BY_IDENT}"),))
    return replace(state, notices=state.notices + 1, lines=(Line(t_s, words, asks=True),))


def _fading(off: float, farthest: float) -> float:
    """Return the greatest of the last deviations, forgotten over some ten seconds."""
    return off if off >= farthest else farthest + (off - farthest) / 8.0
