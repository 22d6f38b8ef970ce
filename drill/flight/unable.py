"""What the controller offers to a pilot who says "unable": something else to do, rather than only a question."""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.approach import begun_anew
from drill.flight.controller_state import ControllerState, Radar, in_trouble
from drill.flight.phraseology import altitude_words
from drill.flight.replying import NO_GYRO, Question
from drill.flight.stages import LOST_HEADING
from drill.language.meaning import Call
from drill.scenario.model import Scenario

_NEAR_FT = 1000.0         # a figure farther from where radar shows the airplane is no altitude that it keeps
_FREQUENCY = re.compile(r"\bfrequency\b|\bremain(?:ing)? with you\b|\bstay(?:ing)? with you\b", re.IGNORECASE)


def alternative(scenario: Scenario, state: ControllerState, call: Call,
                radar: Radar) -> tuple[ControllerState, str, Question | None]:
    """Return the controller after "unable", what it says to it, and what it asks.

    What cannot be done is what the pilot names, else what was instructed last. Nothing of it stays assigned.
    """
    state = replace(state, question="")
    if _FREQUENCY.search(call.words) or state.gave == "frequency":
        return replace(state, gave=""), "roger, remain on this frequency", None
    if state.turns is not None:           # suspended with the call, on again with the next
        state = replace(state, turns=replace(state.turns, half_rate=True))
        return state, "", Question("roger, fly straight ahead, half standard rate turns are approved. Say when able to "
                                   "turn", "able")
    state = replace(state, planned=False)
    named = re.search(r"\b(altitude|heading|turn|approach)\b", call.words.lower())
    about = state.gave if named is None else named.group(1)
    if about in ("heading", "turn"):
        state = replace(state, vectored=False)
        if state.told.equipment & LOST_HEADING and NO_GYRO not in state.asked and scenario.fields:
            return replace(state, heading_deg=None), "", Question("roger, do you want no-gyro vectors?", NO_GYRO)
        here = float(round(radar.track_deg / 5.0) * 5 % 360)
        state = replace(state, heading_deg=here, own_heading=True, assigned=(here, state.assigned[1]))
        return state, "", Question("roger, fly present heading. Say when able to turn", "able")
    if about == "altitude":
        return _altitude(scenario, state, call, radar)
    if about == "approach" and state.approach is not None:
        state = replace(begun_anew(state), approach=None)
        return state, "roger, approach clearance cancelled", _intentions(state)
    question = _intentions(state)
    return state, "roger", question


def _altitude(scenario: Scenario, state: ControllerState, call: Call,
              radar: Radar) -> tuple[ControllerState, str, Question | None]:
    """Return the controller with the altitude that can be kept: as it is named; else it is asked for.

    Every altitude above the minimum is only free where something is wrong.
    """
    kept = call.altitude_ft
    if kept is not None and kept >= scenario.minimum_altitude_ft and abs(kept - radar.altitude_ft) <= _NEAR_FT:
        state = replace(state, altitude_ft=float(kept), wants_altitude=False)
        return state, f"roger, maintain {altitude_words(kept)}", None
    say = "Say altitude you are able to maintain"
    if in_trouble(state):
        state = replace(state, altitude_ft=None, own_altitude=True)
        free = f"any altitude above {altitude_words(scenario.minimum_altitude_ft)}"
        return state, "", Question(f"roger, {free}. {say}", "altitude")
    here = round(radar.altitude_ft / 100.0) * 100.0
    to = max(here, scenario.minimum_altitude_ft)
    return replace(state, altitude_ft=to), "", Question(f"roger, maintain {altitude_words(to)}. {say}", "altitude")


def _intentions(state: ControllerState) -> Question | None:
    put = state.asked.count("intentions") + sum(each.ask or each.question == "intentions" for each in state.lines)
    return Question("say intentions", "intentions") if put < 2 else None
