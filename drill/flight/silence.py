"""A pilot who does not answer: he is asked whether he hears, ever more seldom, and then tried without words.

"How do you hear me?", then "if you read, ident", then, with nothing wrong aboard, a turn that radar sees, then what he
needs to know in the blind (FAA JO 7110.65 10-4-4 and 5-2-8, AIM 6-4-1 and 6-4-2, by memory; the intervals are the
author's). Who follows called turns hears; code 7600 says that he cannot speak, and is asked for nothing in words: an
ident is his yes. Heard again with that code still set, he is given his own.
"""

from __future__ import annotations

import re

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Line, Radar, Received, in_trouble
from drill.flight.guidance import ACKNOWLEDGE
from drill.flight.information import nearest_first
from drill.flight.no_gyro import NOT_TURNING_DPS
from drill.flight.phraseology import altitude_words, field_of, field_weather, where_is
from drill.flight.replacing import replace
from drill.flight.replying import NO_GYRO, OFFER
from drill.flight.steering import rounded_deg, turn_words
from drill.language.meaning import Call, Reply
from drill.scenario.model import Scenario

RADIO_CODE = "7600"                     # AIM 6-4-2
HEAR_ME = "how do you hear me?"
IDENT = "if you read, ident"
BY_IDENT = "acknowledge with ident"
_AFTER_S = (45.0, 75.0, 75.0, 90.0, 120.0, 240.0, 300.0, 300.0)   # of silence, before each try
_FIRST_WORDLESS = 2                     # of the tries
_MOST_UNANSWERED = 5                    # questions in a row, before it is tried whether he hears
_CLIMBS_S = 60.0                        # that a missed approach is given to be flown
_BUSY_S = 120.0                         # that such a pilot is given on top
_TURN_DEG, _TURN_SEEN_DEG = 30.0, 15.0
_THERE_DEG = 10.0
_LATELY_S, _TO_GO_FT, _CLIMB_FPM = 90.0, 300.0, 300.0   # an altitude that was given, and is gone to
_WANTS = re.compile(r"\bdo you want ([^?.]+)\?", re.IGNORECASE)
_CODE_AFTER_S = 5.0                     # a sweep of the radar
_OFFERS_S = 5.0                         # behind what he needs most


def searched(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Try the next way to reach a pilot who has not answered, when it is time."""
    if state.wordless or t_s - state.missed_s < _CLIMBS_S or (state.turns is not None and not state.turns.suspended):
        return state                      # the next turn that is called will show it
    since = state.unanswered_since_s
    if since is None and len(state.asked) - state.asked_heard >= _MOST_UNANSWERED and state.question:
        since = state.addressed_s + _BUSY_S
        state = replace(state, unanswered_since_s=since, nudges=0)
    due_s = next_try_s(state)
    if since is None or due_s is None or ACKNOWLEDGE in state.final_told or t_s < due_s:
        return state
    number = state.nudges
    state = replace(state, nudges=number + 1, unanswered_since_s=t_s, tried="")
    if number < _FIRST_WORDLESS:
        return replace(state, lines=(Line(t_s, HEAR_ME, asks=True),))
    able = not in_trouble(state) and state.turns is None and not state.vectored and state.approach is None
    if number == _FIRST_WORDLESS + 1 and able:
        heading = rounded_deg((radar.track_deg - _TURN_DEG) % 360.0)
        words = f"if you read, {turn_words(state, radar.track_deg, heading)}"
        return replace(state, tried="turn", tried_deg=radar.track_deg, lines=(Line(t_s, words, asks=True),))
    blind = "" if number % 2 == 0 else f". {_needed(scenario, state, radar)}"
    return replace(state, tried="ident", lines=(Line(t_s, f"reply not received, {IDENT}{blind}", asks=True),))


def next_try_s(state: ControllerState) -> float | None:
    """Return when (s) the next try to reach a pilot who does not answer is due; None where there is none to come.

    Each line to him begins the wait anew: he is not called over what he was told a moment ago.
    """
    if not searching(state) or state.unanswered_since_s is None:
        return None
    return max(state.unanswered_since_s, state.addressed_s) + _AFTER_S[state.nudges]


def _needed(scenario: Scenario, state: ControllerState, radar: Radar) -> str:
    """Return what a pilot who only hears needs most: where a field is, its weather, the lowest altitude."""
    field = field_of(scenario, state.place) or next(iter(nearest_first(scenario, radar)), None)
    least = f"minimum altitude in your area is {altitude_words(scenario.minimum_altitude_ft)}"
    if field is None:
        return least[0].upper() + least[1:]
    return f"{where_is(field, radar.north_nm, radar.east_nm)}, {least}. {field_weather(field)}"


def reached(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Notice that a silent pilot hears: by his ident, his turn, or the called turn that he follows; and code 7600."""
    state = _followed(state, radar)
    if radar.code == RADIO_CODE and RADIO_CODE not in state.asked and t_s - state.heard_s > _CODE_AFTER_S:
        line = Line(t_s + _CODE_AFTER_S, f"radar shows you squawking seven six zero zero, {IDENT}", asks=True)
        return replace(state, asked=(*state.asked, RADIO_CODE), nudges=_FIRST_WORDLESS, tried="ident",
                       lines=(*state.lines, line))
    turned = state.tried == "turn" and float(wrap_deg(FLOATS, radar.track_deg - state.tried_deg)) <= -_TURN_SEEN_DEG
    seen = "ident" if radar.ident and (state.tried or state.nudges or state.wordless) else "turn" if turned else ""
    if not seen or (state.unanswered_since_s is None and not state.wordless):
        return state
    if state.wordless:
        return _affirmed(state, t_s)
    back = "" if state.heading_deg is None or seen == "ident" else ", resume your heading"
    words = f"{seen} observed{back}. {BY_IDENT.capitalize()}. {_needed(scenario, state, radar)}"
    lines, field = (*state.lines, Line(t_s, words)), next(iter(nearest_first(scenario, radar)), None)
    if field is not None and not (state.place or state.approach):
        offer = Line(t_s + _OFFERS_S, f"do you want vectors to {field.name}?", question=OFFER)
        state, lines = replace(state, offered=field.name), (*lines, offer)
    return replace(_hears(state), wordless=True, lines=lines)


def _affirmed(state: ControllerState, t_s: float) -> ControllerState:
    """Take another ident for a yes where a yes has been asked for."""
    state = replace(_hears(state), lines=(*state.lines, Line(t_s, "ident observed")))
    if state.question not in (OFFER, NO_GYRO):
        return state
    call = Call(replies=(Reply("affirmative"),), assistance=("no_gyro_vectors",) if state.question == NO_GYRO else ())
    yes = Received(call, declares=False, reports=(), expected=True, heard_s=t_s)
    return replace(state, received=(*state.received, yes))


def by_ident(state: ControllerState, words: str) -> str:
    """Return what is said to a pilot who answers by ident alone: what a yes would answer is asked for so."""
    return _WANTS.sub(r"if you want \1, ident.", words) if state.wordless else words


def _hears(state: ControllerState) -> ControllerState:
    return replace(state, unanswered_since_s=None, nudges=0, tried="", asked_heard=len(state.asked))


def _followed(state: ControllerState, radar: Radar) -> ControllerState:
    """Return the controller without a search where a called turn, or what has just been given, is being flown."""
    turns, start, heading = state.turns, state.turned_from_deg, state.heading_deg
    hears = turns is not None and turns.way != 0 and state.seen.turning_dps * turns.way > NOT_TURNING_DPS
    if start is not None and heading is not None:
        way = float(wrap_deg(FLOATS, heading - start))
        there = abs(float(wrap_deg(FLOATS, heading - radar.track_deg))) <= _THERE_DEG
        turned = state.seen.turned_deg * way > 0.0 and abs(state.seen.turned_deg) >= _TURN_SEEN_DEG
        hears = hears or (abs(way) >= _TURN_SEEN_DEG and (there or turned))
        state = replace(state, turned_from_deg=None) if there else state
    climb = state.seen.climb_fpm
    to_go = 0.0 if state.altitude_ft is None else state.altitude_ft - radar.altitude_ft
    lately = state.now_s - state.assigned_s <= _LATELY_S
    hears = hears or (lately and abs(to_go) > _TO_GO_FT and abs(climb) > _CLIMB_FPM and climb * to_go > 0.0)
    return _hears(state) if hears else state


def searching(state: ControllerState) -> bool:
    """Say whether there is another try to come."""
    return state.unanswered_since_s is not None and state.nudges < len(_AFTER_S)


def out_of_reach(state: ControllerState) -> bool:
    """Say whether it is no use to ask for anything in words: nobody answers, or answers by ident alone."""
    return state.wordless or state.nudges > 0 or len(state.asked) - state.asked_heard >= _MOST_UNANSWERED
