"""Turns that ATC orders: flown, or refused, or taken up by another. A turn that nobody flies is told.

A heading binds like an altitude (14 CFR 91.123(b)) until headings are the pilot's own. Of no-gyro turns the pilot has
asked for each himself, emergency or not; they begin and end at ATC's word (AIM 5-4-11), and there is nothing else that
could steer the airplane there; a turn that goes on after "stop turn" is not flown as told either.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.controls import KEEP_TURNING, TURN_TO_HEADING
from drill.flight.events import Heard, Trace
from drill.flight.phraseology import heading_words
from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.clearance import ON_AIR_S, WITHIN_S, free_s, refused
from drill.grading.debrief import Finding
from drill.grading.situation import Situation
from drill.grading.timeline import lasting, number

ITEM = "Fly the turns that ATC orders, or say unable"
NO_GYRO_S = 20.0         # a called turn has begun by then (the author's choice; standard rate takes 5 s to roll into)
TURNS_DPS = 0.7          # as radar judges it
STOP = "stop"
THERE_DEG, TOWARD_DEG = 15.0, 20.0   # the heading that was given; so far on the way to it, it is being flown
STOPPED_S = 15.0         # and a turn has ended, after "stop turn"
_CALLED = re.compile(r"\b(?:turn (left|right)\b(?! heading)|(stop) turn\b)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Turn:
    """A turn that ATC ordered at `t` (s), in words, and whether it was flown."""

    t: float
    words: str
    flown: bool
    called: bool                           # of a no-gyro service


def grade_ordered_turns(situation: Situation) -> list[Finding]:
    """Return the findings on headings and on no-gyro turns; none where none was ordered."""
    found: list[Finding] = []
    for called, turns in ((False, _headings(situation)), (True, _called(situation))):
        missed = [each for each in turns if not each.flown]
        source = sources.NO_GYRO if called else sources.CLEARANCE
        if not turns:
            continue
        if not missed:
            found.append(situation.finding(
                ITEM, "aviate", "kept", None, "Each turn that ATC ordered was begun in time.", source, score=1.0))
            continue
        why = ("Whoever asks for turns by ATC's word flies them when they are called; nobody else can steer the "
               "airplane there." if called else "ATC keeps others away from where it takes the airplane to go.")
        found.append(situation.finding(
            ITEM, "aviate", "missed", missed[0].t,
            f"{_ordered(len(turns), len(missed))} not flown within "
            f"{lasting(NO_GYRO_S if called else WITHIN_S)}, with no “unable”: first at {clock(missed[0].t)}, "
            f"“{missed[0].words}”. {why}", source, weight="critical" if called else "major",
            better="turn as told, at standard rate; or: unable" if called else "turn to the heading; or: unable",
            score=1.0 - len(missed) / len(turns), about=("turn_coordinator", "heading_indicator")))
    return found


def _ordered(turns: int, missed: int) -> str:
    if turns == 1:
        return "ATC ordered a turn, and it was"
    return f"Of {turns} turns that ATC ordered {missed} {'was' if missed == 1 else 'were'}"


# --- headings ----------------------------------------------------------------------------------------


def _headings(situation: Situation) -> list[_Turn]:
    line = situation.line
    found: list[_Turn] = []
    before = situation.scenario.clearance.heading_deg
    free = free_s(situation)
    for place, event in enumerate(line.assigned):
        if event.heading_deg is None or not math.isfinite(event.heading_deg):
            continue
        new, before = event.heading_deg != before, event.heading_deg
        spoken = next((each for each in line.heard if event.t <= each.t <= event.t + ON_AIR_S
                       and each.to_us and heading_words(event.heading_deg) in each.words.lower()), None)
        if not new or spoken is None or event.approach is not None:
            continue
        until = spoken.t + WITHIN_S
        other = next((each.t for each in line.assigned[place + 1:] if each.heading_deg != event.heading_deg), None)
        soon = (other is not None and other < until) or line.flown_s < until
        if soon or (free is not None and free <= until) or refused(line, spoken.t, until):
            continue
        found.append(_Turn(spoken.t, f"heading {heading_words(event.heading_deg)}",
                           _goes_to(situation, event.heading_deg, spoken.t, until), called=False))
    return found


def _goes_to(situation: Situation, heading_deg: float, start: float, until: float) -> bool:
    began = situation.line.at(start)
    off = None if began is None else _off(began.true, heading_deg)
    for trace in situation.line.between(start, until):
        ordered = number(trace.controls, "lateral", -1.0) in (TURN_TO_HEADING, KEEP_TURNING)
        if ordered and _off({"heading_deg": number(trace.controls, "heading_deg")}, heading_deg) <= THERE_DEG:
            return True
        now = _off(trace.true, heading_deg)
        if now <= THERE_DEG or (off is not None and off - now >= TOWARD_DEG):
            return True
    return False


def _off(values: dict[str, float], heading_deg: float) -> float:
    return abs(float(wrap_deg(FLOATS, number(values, "heading_deg") - heading_deg)))


# --- turns at ATC's word -----------------------------------------------------------------------------


def _called(situation: Situation) -> list[_Turn]:
    """Return the no-gyro turns and their ends, one for what is called again."""
    line = situation.line
    calls = [(each, side) for each in line.heard if (side := _side(each))]
    found: list[_Turn] = []
    last: tuple[str, float] | None = None
    for place, (heard, side) in enumerate(calls):
        until = heard.t + (STOPPED_S if side == STOP else NO_GYRO_S)
        other = any(each.t <= until and word != side for each, word in calls[place + 1:])
        now = line.at(heard.t)
        nothing_to_stop = side == STOP and now is not None and _turns(now, STOP)
        if other or nothing_to_stop or line.flown_s < until or refused(line, heard.t, until):
            last = None
            continue
        flown = any(_turns(trace, side) for trace in line.between(heard.t, until))
        if last is not None and last[0] == side and heard.t - last[1] <= 4.0 * NO_GYRO_S and found:
            found[-1] = replace(found[-1], flown=found[-1].flown or (flown and side != STOP))
        else:
            found.append(_Turn(heard.t, f"{side} turn" if side == STOP else f"turn {side}", flown, called=True))
        last = side, heard.t
    return found


def _side(heard: Heard) -> str:
    said = _CALLED.search(heard.words) if heard.to_us and heard.wants == "turn" else None
    return "" if said is None else (said[1] or said[2]).lower()


def _turns(trace: Trace, side: str) -> bool:
    rate = number(trace.true, "turn_rate_dps")
    if side == STOP:
        return abs(rate) < TURNS_DPS
    return rate < -TURNS_DPS if side == "left" else rate > TURNS_DPS
