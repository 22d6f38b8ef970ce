"""A question that is open is put once again after a while; who then still says nothing is tried by `silence`.

What matters most comes again sooner. A pilot who has asked for time is given it. What is asked for last, fuel and
people, is asked for once. The intervals are the author's.
"""

from __future__ import annotations

from drill.flight.controller_state import ControllerState, Line, emergency, in_trouble
from drill.flight.replacing import replace
from drill.flight.replying import ALTITUDE_SHOWN, CANCELS, NO_GYRO, OFFER, OVER, SURVEILLANCE, VISUAL
from drill.flight.stages import ANYTHING, FIELD, known

_PRESSING = frozenset({"intentions", "nature", "altitude", NO_GYRO, FIELD, VISUAL, ALTITUDE_SHOWN})
_OTHERS = frozenset({OFFER, SURVEILLANCE, CANCELS, OVER, ANYTHING, "emergency", "reason", "shown"})
_MOST = 2                               # that one thing is asked for, by whatever line
_MISSED_S = 45.0                        # that a missed approach is given to be begun
_SILENT_S, _PRESSING_S, _OTHERS_S = 25.0, 35.0, 60.0   # without a word; else after the last word of either


def repeated(state: ControllerState, t_s: float, *, pressing: bool) -> ControllerState:
    """Put the open question again where it is time; `pressing`: only one that matters most, else any."""
    key = state.question
    if not key or key not in (_PRESSING if pressing else _OTHERS) or not state.question_words:
        return state
    settled = known(state, key) or (key == "intentions" and state.planned) or (key == "emergency" and emergency(state))
    busy = (state.turns is not None and state.turns.way != 0) or state.miles_called or state.wordless
    silent = state.unanswered_since_s is not None
    if settled or busy or state.nudges or state.repeats or state.asked.count(key) >= _MOST or (
            key == ANYTHING and (in_trouble(state) or not silent)) or (silent and not state.contact):
        return state
    quiet_s = t_s - max(state.addressed_s, state.heard_s, state.question_s)
    wait_s = _SILENT_S if silent else _PRESSING_S if pressing else _OTHERS_S
    if quiet_s < wait_s or t_s - state.missed_s < _MISSED_S:
        return state
    return replace(state, lines=(Line(t_s, state.question_words, asks=silent, question=key),))
