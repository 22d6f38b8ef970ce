"""The voice of ATC: one small state machine that hears calls, answers, asks for what is missing, and watches.

Rules of this file. Nothing is asked that has been told, be it by a line of the scenario. One question a transmission.
Lines never overlap each other or the pilot's own. The controller sees what radar sees (track, altitude, position) and
never the panel.
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.airplane.draws import draw_uniform
from drill.flight.answers import answer
from drill.flight.approach import approached, begun_anew
from drill.flight.controller_state import (
    ControllerState,
    Line,
    Radar,
    Received,
    Spoken,
    in_trouble,
    known,
    next_question,
    own_altitude,
)
from drill.flight.granting import NO_GYRO
from drill.flight.phraseology import altimeter_in, altitude_words, filled, spoken_callsign
from drill.flight.watching import more_asked, turn_called, watched
from drill.language import read_call
from drill.language.meaning import Call, Context, Reply
from drill.scenario.model import Say, Scenario

WORDS_PER_SECOND = 2.8   # a controller's brisk speech
_FEW_WORDS = 7           # an answer that names the trouble and nothing else
ANSWERS_WITHIN_S = 60.0  # a call so soon after a line to this airplane answers it (the author's choice)
EMERGENCY_CODE = "7700"  # AIM 6-2-2
CODE_SEEN_AFTER_S = 5.0  # a sweep of the radar
MORE_AFTER_S = 30.0      # fuel and people on board are asked for when the first rush is over
_WHERE = re.compile(r"\b(?:pass(?:ing|ed)|leaving|left|through|out of|at|level)(?: at)? [\w.]+")   # not where to


def begin(scenario: Scenario) -> ControllerState:
    """Return the controller as the flight begins, with what has been cleared."""
    clearance = scenario.clearance
    return ControllerState(heading_deg=clearance.heading_deg, altitude_ft=clearance.altitude_ft,
                           assigned=(clearance.heading_deg, clearance.altitude_ft))


def understood(state: ControllerState, call: Call, context: Context) -> Call:
    """Return `call` as it is understood in the conversation.

    A "yes" to "are you declaring an emergency?" declares, one to "do you want no-gyro vectors?" asks for them; a few
    words on "say nature of the problem" name what failed, on "say intentions" a place to go; bare numbers answer "say
    altitude wanted", or read back a new heading or altitude.
    """
    bare = not (call.equipment or call.assistance or call.position or call.urgency != "none")
    if bare and state.question == "nature" and 0 < len(call.words.split()) <= _FEW_WORDS:
        call = replace(call, equipment=read_call(f"we have lost the {call.words}", context).equipment)
    wanted = next((each.altitude_ft for each in call.replies if each.altitude_ft is not None), call.altitude_ft)
    if bare and state.question == "altitude" and wanted is not None:
        return replace(call, altitude_wanted_ft=wanted, assistance=("altitude_change",), altitude_ft=None, replies=())
    heading = call.heading_deg if "heading" in state.unread else None
    altitude = _altitude_read_back(state, call) if "altitude" in state.unread else None
    read_back = any(reply.kind == "readback" for reply in call.replies)
    if bare and not read_back and (heading is not None or altitude is not None):
        call = replace(call, replies=(*call.replies, Reply("readback", heading, altitude)))
    if bare and state.question == "intentions" and not call.places and 0 < len(call.words.split()) <= _FEW_WORDS:
        bound = read_call(f"we will divert to {call.words}", context)
        if bound.places and not call.replies:
            call = replace(call, intentions=True, places=bound.places)
    yes = any(reply.kind == "affirmative" for reply in call.replies)
    if yes and call.urgency == "none" and state.question == "emergency":
        return replace(call, urgency="emergency")
    if yes and state.question == NO_GYRO and not call.assistance:
        return replace(call, assistance=("no_gyro_vectors",))
    return call


def _altitude_read_back(state: ControllerState, call: Call) -> int | None:
    """Return the altitude (ft) that a bare figure reads back; one that only says where the airplane is does not."""
    said = call.words.lower().replace(",", "")
    if state.altitude_ft is not None:
        assigned = round(state.altitude_ft)
        if re.search(rf"\b(?:{assigned}|{altitude_words(assigned)})\b(?! \w+ hundred\b)", said):
            return assigned
    if own_altitude(state) or state.own_altitude or _WHERE.search(said):
        return None
    return call.altitude_ft


def awaits(state: ControllerState, t_s: float) -> bool:
    """Say whether a call begun at `t_s` answers something: a question, an assignment, or a line not long ago."""
    return (state.unanswered_since_s is not None or bool(state.unread) or bool(state.question)
            or t_s - state.addressed_s <= ANSWERS_WITHIN_S)


def hear(state: ControllerState, call: Call) -> ControllerState:
    """Return the controller having heard `call` (as `understood` gives it); the answer comes with `step`."""
    received = Received(
        call,
        declares=state.told.urgency == "none" and call.urgency != "none",
        reports=tuple(each for each in call.equipment if each not in state.told.equipment),
        expected=state.unanswered_since_s is not None or bool(state.unread),
    )
    again = any(reply.kind == "say_again" for reply in call.replies)   # what it was about still has to be read back
    return replace(
        state, told=state.told.with_call(call), received=(*state.received, received), unanswered_since_s=None, nudges=0,
        notices=0, alerts=0, contact=state.contact or call.callsign == "given", unread=state.unread if again else (),
        asked=(*state.asked, "emergency") if call.declines_emergency else state.asked,
    )


def say(state: ControllerState, line: Say, t_s: float) -> ControllerState:
    """Return the controller with a line of the scenario to say; it stands in for a bare answer that still waits.

    A line that only asks for what is known stays unsaid; so does any other question, assigning nothing, in trouble
    or while a call waits for its answer.
    """
    facility = line.voice is None
    question = line.asks if line.asks not in ("yes", "readback") else ""
    only_asks = bool(question) and not line.at_discretion and (
        line.heading_deg is None and line.altitude_ft is None and line.cleared_approach is None)
    if only_asks and known(state, question):
        return state
    assigns = line.at_discretion or not (
        line.heading_deg is None and line.altitude_ft is None and line.cleared_approach is None)
    if facility and line.asks == "yes" and not assigns and (in_trouble(state) or state.received):
        return state   # small talk, when there is something else to talk of
    lines = state.lines
    if facility:
        lines = tuple(
            replace(each, ask=each.ask and line.asks in ("", "readback")) for each in lines
            if not (each.answer and (each.words in ("", "roger") or (question and each.question == question)))
        )
    delay = 2.0 if state.received or len(lines) < len(state.lines) else 0.0
    words: str = line.words
    if line.cleared_approach is not None and line.altitude_ft is not None:
        words = words.replace("{altitude}", altitude_words(line.altitude_ft))
    new = Line(t_s + delay, words, voice=line.voice or "", plain=True, asks=bool(line.asks),
               question=question, only_asks=only_asks, to_us=facility or "{callsign}" in line.words,
               turns=line.heading_deg is not None)
    altitude = line.altitude_ft
    if altitude is None and not line.at_discretion:
        altitude = state.altitude_ft
    if line.cleared_approach is not None:   # the airplane descends in it as the approach says
        state = replace(begun_anew(state), approach=line.cleared_approach)
        altitude = None
    received = () if facility and _only_talk(state.received) else state.received
    return replace(
        state, lines=(*lines, new), received=received,
        heading_deg=line.heading_deg if line.heading_deg is not None else state.heading_deg,
        altitude_ft=altitude, altimeter=altimeter_in(line.words) or state.altimeter,
        own_heading=state.own_heading and line.heading_deg is None,
        own_altitude=line.at_discretion or own_altitude(state) or (state.own_altitude and line.altitude_ft is None),
        turns=None if line.heading_deg is not None else state.turns,
    )


def _only_talk(received: tuple[Received, ...]) -> bool:
    """Say whether nothing that has been asked for or declared in these calls waits for an answer of its own."""
    return all(
        not each.call.assistance and not each.declares and not each.call.replies
        and each.call.heading_wanted_deg is None and each.call.altitude_wanted_ft is None
        and not (each.call.places and each.call.intentions)
        for each in received
    )


def step(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float, *, pilot_talks: bool,
         seed: int) -> tuple[ControllerState, list[Spoken]]:
    """Return the controller one second later and what is said in it, at most one line."""
    for received in state.received:
        low, high = (5.0, 9.0) if scenario.clearance.mood == "busy" else (2.0, 4.0)
        delay = low + (high - low) * draw_uniform(seed, "controller", state.answers)
        state, words, ask = answer(scenario, state, received, radar, t_s)
        state = replace(state, answers=state.answers + 1, heard_s=t_s)
        if words is not None:
            state = replace(state, lines=(*state.lines, replace(words, due_s=t_s + delay) if isinstance(
                words, Line) else Line(
                t_s + delay, words, answer=True, ask=ask)))
        if state.more_at_s is None and in_trouble(state):
            state = replace(state, more_at_s=t_s + MORE_AFTER_S)
    state = replace(state, received=())
    if radar.code == EMERGENCY_CODE and not state.emergency_code and EMERGENCY_CODE not in state.asked:
        state = replace(state, emergency_code=True, asked=(*state.asked, EMERGENCY_CODE), lines=(
            *state.lines, Line(t_s + CODE_SEEN_AFTER_S, "observed your emergency squawk", ask=True)))
    state = watched(scenario, state, radar, t_s)
    if not state.lines and not pilot_talks and t_s >= state.frequency_free_s:
        state = turn_called(scenario, state, radar, t_s)
        if not state.lines:
            state = approached(scenario, state, radar, t_s)
        if not state.lines and t_s >= state.quiet_until_s:
            state = more_asked(scenario, state, radar, t_s)
    state = replace(state, track_was_deg=radar.track_deg)
    return _spoken(scenario, state, t_s, pilot_talks)


def _spoken(scenario: Scenario, state: ControllerState, t_s: float,
            pilot_talks: bool) -> tuple[ControllerState, list[Spoken]]:
    if not state.lines or pilot_talks or t_s < state.frequency_free_s:
        return state, []
    line = min(state.lines, key=lambda each: each.due_s)
    if t_s < line.due_s:
        return state, []
    rest = tuple(each for each in state.lines if each is not line)
    callsign = spoken_callsign(scenario.callsign, short=state.contact)
    if line.plain:
        words = filled(line.words, callsign=callsign, heading_deg=state.heading_deg, altitude_ft=state.altitude_ft)
        key = line.question if line.to_us else ""
        if line.only_asks and known(state, key):
            return replace(state, lines=rest), []
    else:
        key, question = next_question(state) if line.ask and t_s >= state.quiet_until_s else (line.question, "")
        said = line.words + question
        if line.words and question:
            said = f"{line.words}. {question[0].upper()}{question[1:]}"
        if not said:
            return replace(state, lines=rest), []
        address = "aircraft calling" if key == "identification" else callsign
        words = f"{address}, {said}"
        words = words if words.endswith("?") else words + "."
    free = t_s + len(words.split()) / WORDS_PER_SECOND + 1.0
    asks = line.asks or bool(key)
    unread = state.unsaid if line.to_us else ()
    state = replace(
        state, lines=rest, frequency_free_s=free,
        last_words=words if line.to_us else state.last_words,
        asked=(*state.asked, key) if key else state.asked,
        question=key if line.to_us else state.question,
        unsaid=() if line.to_us else state.unsaid,
        unread=(*state.unread, *unread),
        wants_altitude=state.wants_altitude and key != "altitude",
        addressed_s=free if line.to_us else state.addressed_s,
        unanswered_since_s=free if line.asks else None if asks and line.to_us else state.unanswered_since_s,
    )
    wants = line.to_us and (asks or line.turns or bool(unread))
    return state, [Spoken(line.voice or scenario.clearance.facility, words, line.to_us, wants)]
