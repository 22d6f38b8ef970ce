"""The voice of ATC: it hears calls, answers, asks for what is missing, and watches.

Rules of this room. The state machine is the table in `stages`; nothing else moves it. Nothing is asked that has been
told, be it by a line of the scenario. One question a transmission, one open at a time, and none without end. Lines
never overlap each other or the pilot's own. The controller sees what radar sees (track, altitude, position) and never
the panel. The callsign is said in full until there is contact and once more, then shortened (AIM 4-2-4). An emergency,
declared or not, keeps its frequency and is never told to stand by.

`understood` and `hear` take a call in, `say` a line of the scenario, `step` lets a second pass.
"""

from __future__ import annotations

import re

from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.draws import draw_uniform
from drill.flight.adrift import warned
from drill.flight.answers import CHECKS_WORDS, answer, only_statement
from drill.flight.approach import begun_anew
from drill.flight.astray import told_direct
from drill.flight.controller_state import (
    ControllerState,
    Line,
    Radar,
    Received,
    Spoken,
    emergency,
    in_trouble,
    no_plan,
    own_altitude,
)
from drill.flight.guidance import approached
from drill.flight.information import asked_about
from drill.flight.natures import natures_in
from drill.flight.overcome import ALL_WELL, overcome
from drill.flight.phraseology import altimeter_in, altitude_words
from drill.flight.replacing import replace
from drill.flight.replying import is_answer
from drill.flight.silence import reached
from drill.flight.speaking import CALLSIGN_SHORTENED, spoken
from drill.flight.stages import ANYTHING, NO_PLAN, known, moved, taken_back
from drill.flight.understanding import awaits, control_said, understood
from drill.flight.urgent import MINIMUM_FUEL, NO_HELP
from drill.flight.vectoring import headed, led, room_s, turn_called
from drill.flight.watching import assignments_taken, more_asked, staged, tracked, watched
from drill.flight.withdrawing import plan_dropped
from drill.language.meaning import Call
from drill.scenario.model import Say, Scenario

__all__ = ["awaits", "begin", "hear", "say", "step", "understood"]

EMERGENCY_CODE = "7700"  # AIM 6-2-2
CODE_SEEN_AFTER_S = 5.0  # a sweep of the radar
MORE_AFTER_S = 30.0      # what can wait is asked for when the first rush is over
_FALSE_ALARM = re.compile(r"\b(?:it|that|this) (?:was|is|turned out to be) (?:a |just a |only a )?false alarm\b|"
                          r"^\W*false alarm\b|, false alarm\b", re.IGNORECASE)
_SAME_MISSED_S = 30.0    # a scenario's line on the same missed approach
_SAME_ALTITUDE_S = 20.0
_CLIMBS_S = 60.0         # that a missed approach takes, at least
_CLIMBS = re.compile(r"\bclimb\b", re.IGNORECASE)
_DESCENDS = re.compile(r"\bdescen(?:d|t)\b", re.IGNORECASE)
_CLIMBS_FT = 300.0       # a line that sends an airplane so far up ends its approach
_ANY_HEADING = re.compile(r"\bany heading\b|\b(?:turns?|headings?) at your (?:own )?discretion\b", re.IGNORECASE)
_AT_DISCRETION = re.compile(rf"[,;]? ?(?:and )?(?:{_ANY_HEADING.pattern}),?", re.IGNORECASE)


def begin(scenario: Scenario) -> ControllerState:
    """Return the controller as the flight begins, with what has been cleared."""
    clearance = scenario.clearance
    air = scenario.weather.air
    return ControllerState(
        heading_deg=clearance.heading_deg, altitude_ft=clearance.altitude_ft, wind=(air.wind_from_deg, air.wind_kt),
        assigned=(clearance.heading_deg, clearance.altitude_ft), mistakes=clearance.mistakes)


def hear(state: ControllerState, call: Call) -> ControllerState:
    """Return the controller having heard `call` (as `understood` gives it); the answer comes with `step`."""
    kinds = {reply.kind for reply in call.replies}
    natures = natures_in(call)
    received = Received(
        call,
        declares=state.told.urgency == "none" and call.urgency != "none",
        reports=tuple(each for each in call.equipment if each not in state.told.equipment),
        natures=tuple(each for each in natures if each not in state.natures),
        expected=state.unanswered_since_s is not None or bool(state.unread), heard_s=state.now_s,
        missed=state.unread if state.nudges and not kinds & {"readback", "say_again"} else (),
    )
    ends = "cancels_emergency" in kinds
    if ends:
        state = taken_back(state)
    no_help = ends or (not call.assistance and NO_HELP.search(call.words.lower()) is not None)
    again = bool(call.assistance) or call.urgency != "none" or call.trouble
    trouble = (call.trouble and MINIMUM_FUEL.search(call.words) is None) or "fuel" in natures
    state = replace(state, no_help=no_help or (state.no_help and not again), trouble=state.trouble or trouble,
                    natures=tuple(dict.fromkeys((*state.natures, *natures))))
    if ALL_WELL.search(call.words.lower()) and not call.equipment and "?" not in call.words:
        state = replace(state, control="", trouble=False, natures=(),
                        seen=replace(state.seen, wild_since_s=None, wild_at_s=None))
    if _FALSE_ALARM.search(call.words) and "?" not in call.words and not call.equipment:
        state = replace(state, trouble=False, natures=(), control="", told=replace(
            state.told, equipment=frozenset(), impairment=False))
    waits = tuple(each for each in state.received if not (received.declares and each.stood_by and (
        each.call.places or set(each.call.assistance) - NO_PLAN)))   # an emergency wants another plan
    # on "say again", what it was about still has to be read back
    state = overcome(replace(state, told=state.told.with_call(call)), call)
    return moved(replace(
        state, received=(*waits, received), unanswered_since_s=None, nudges=0,
        tried="", wordless=False, asked_heard=len(state.asked),
        prompts=0, notices=0, alerts=0, contact=state.contact or call.callsign == "given" or bool(state.question),
        unread=state.unread if "say_again" in kinds else (),
        asked=(*state.asked, "emergency") if call.declines_emergency else state.asked,
        emergency_code=state.emergency_code and not call.declines_emergency,
        declined=(state.declined or call.declines_emergency) and call.urgency == "none",
        control=control_said(state, call) or state.control,
        shortened_first=state.shortened_first or (call.shortened and state.said < CALLSIGN_SHORTENED),
    ))


def say(state: ControllerState, line: Say, t_s: float) -> ControllerState:
    """Return the controller with a line of the scenario to say; it stands in for a bare answer that still waits.

    Unsaid stay: one that only asks for what is known, or on a missed approach that has been spoken of; any other
    question, assigning nothing, in trouble or while a call waits for its answer; a climb or descent of which more has
    been assigned since; in an emergency one that sends the airplane to another frequency; and a mere heading for an
    airplane that he leads somewhere else by then.
    """
    facility = line.voice is None
    question = line.asks if line.asks not in ("yes", "readback") else ""
    put = ANYTHING if line.asks == "yes" and "?" in line.words else question
    assigns = line.heading_deg is not None or line.altitude_ft is not None or line.cleared_approach is not None
    only_asks = bool(question) and not line.at_discretion and not assigns
    small_talk = facility and line.asks == "yes" and not (assigns or line.at_discretion) and (
        in_trouble(state) or bool(state.received))
    said_before = facility and question == "intentions" and t_s - state.missed_s <= _SAME_MISSED_S and (
        line.altitude_ft in (None, state.altitude_ft)) and not any(each.question == question for each in state.lines)
    led = state.vectored or state.turns is not None or state.approach is not None
    routine = facility and led and not line.instead_of and line.heading_deg is not None and (
        line.cleared_approach is None and (line.altitude_ft is None or emergency(state)))   # for what he no longer does
    if (only_asks and known(state, question)) or small_talk or said_before or routine or (
            line.hands_off and emergency(state)):
        return state
    if facility and _gone_further(state, line):
        return state
    sent_up = facility and not line.instead_of and t_s - state.missed_s <= _CLIMBS_S
    if sent_up and line.at_discretion and _DESCENDS.search(line.words):
        return state                      # it belongs to an approach that has come to nothing since
    state = _replaced(state, line)
    lines = state.lines
    steered = state.vectored or (state.turns is not None and line.heading_deg is None) or sent_up
    words: str = _without_turns(line.words) if facility and steered else line.words
    if not words:
        return state
    if facility and _just_given(state, line, t_s):
        words = _rest_of(words, line.altitude_ft or 0.0)
        if not words:
            return state
    if facility:
        lines = tuple(
            replace(each, ask=each.ask and line.asks in ("", "readback")) for each in lines
            if not (each.answer and (each.words in ("", "roger") or (question and each.question == question)))
        )
        if line.altitude_ft is not None:
            lines = tuple(less for each in lines if (less := _without_altitude(each, line.altitude_ft)) is not None)
    delay = 2.0 if state.received or len(lines) < len(state.lines) else 0.0
    if line.cleared_approach is not None and line.altitude_ft is not None:
        words = words.replace("{altitude}", altitude_words(line.altitude_ft))
    new = Line(t_s + delay, words, voice=line.voice or "", plain=True, asks=bool(line.asks),
               question=put, only_asks=only_asks, to_us=facility or "{callsign}" in line.words,
               turns=line.heading_deg is not None, hands_off=line.hands_off, plan=assigns or line.at_discretion,
               born_s=t_s)
    altitude = line.altitude_ft
    if altitude is None and not line.at_discretion:
        altitude = state.altitude_ft
    if line.cleared_approach is not None:   # the airplane descends in it as the approach says
        state = replace(begun_anew(state), approach=line.cleared_approach)
        altitude = None
    free = facility and not steered and line.heading_deg is None and _ANY_HEADING.search(line.words) is not None
    received = () if facility and _only_talk(state.received) else state.received
    return replace(
        state, lines=(*lines, new), received=received,
        heading_deg=line.heading_deg if line.heading_deg is not None else None if free else state.heading_deg,
        altitude_ft=altitude, altimeter=altimeter_in(line.words) or state.altimeter,
        own_descent_s=t_s if line.at_discretion and "descend" in line.words.lower() else state.own_descent_s,
        own_heading=emergency(state) or free or (state.own_heading and line.heading_deg is None),
        own_altitude=line.at_discretion or own_altitude(state) or (state.own_altitude and line.altitude_ft is None),
        turns=None if line.heading_deg is not None else state.turns,
        vectored=state.vectored and line.heading_deg is None,
    )


def _gone_further(state: ControllerState, line: Say) -> bool:
    """Say whether a line only climbs or descends the airplane to less than it has been assigned already."""
    to, assigned = line.altitude_ft, state.altitude_ft
    alone = line.heading_deg is None and line.cleared_approach is None and line.asks in ("", "yes", "readback")
    if to is None or assigned is None or line.at_discretion or not alone:
        return False
    return (to < assigned and _CLIMBS.search(line.words) is not None) or (
        to > assigned and _DESCENDS.search(line.words) is not None)


def _without_turns(words: str) -> str:
    """Return a line of the scenario without what leaves the turns to a steered airplane, "" for nothing left."""
    sentences = [_AT_DISCRETION.sub("", each) for each in words.split(". ")]
    kept = [each for each in sentences if re.search(r"\w", each.replace("{callsign}", ""))]
    said = ". ".join(kept)
    return said if not said or said[-1] in ".?!" else f"{said}."


def _replaced(state: ControllerState, line: Say) -> ControllerState:
    """Return the controller without what a line is said instead of; one that sends up ends an approach."""
    seen_ft = state.seen.altitude_ft
    sent_up = (line.cleared_approach is None and line.altitude_ft is not None and seen_ft is not None
               and line.altitude_ft > seen_ft + _CLIMBS_FT)
    if state.approach is not None and (sent_up or line.instead_of == "missed approach"):
        state = no_plan(state)
    if line.instead_of == "answer":
        state = replace(state, received=(), lines=tuple(each for each in state.lines if not each.answer))
    if line.instead_of == "handling":
        state = replace(moved(replace(state, author_handles=True)), handling_said=True)
    return state


def _without_altitude(line: Line, altitude_ft: float) -> Line | None:
    """Return an answer that waits without the sentence that gives the same altitude; None if nothing is left."""
    if not line.answer:
        return line
    given = re.compile(rf"\bmaintain {altitude_words(altitude_ft)}\b(?! \w+ hundred\b)", re.IGNORECASE)
    stays = [each for each in line.words.split(". ") if given.search(each) is None]
    return replace(line, words=". ".join(stays)) if any(stays) or not line.words else None


def _just_given(state: ControllerState, line: Say, t_s: float) -> bool:
    """Say whether a line of the scenario gives, and nothing else, the altitude that an answer has just given."""
    return (line.altitude_ft is not None and line.altitude_ft == state.aired[1] and not state.given_plain
            and t_s - state.given_s <= _SAME_ALTITUDE_S and line.heading_deg is None and line.cleared_approach is None)


def _rest_of(words: str, altitude_ft: float) -> str:
    """Return a scenario's line without its first sentence where that gives the altitude; "" if nothing is left."""
    first, _, rest = words.partition(". ")
    said = altitude_words(altitude_ft)
    if "{altitude}" not in first and said not in first.lower():
        return words
    return f"{{callsign}}, {rest[0].lower()}{rest[1:]}" if rest else ""


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
    track_deg = state.seen.track_deg
    rate_dps = 0.0 if track_deg is None else float(wrap_deg(FLOATS, radar.track_deg - track_deg))
    state = reached(scenario, tracked(scenario, state, radar, t_s), radar, t_s)
    state = _answering(scenario, state, radar, t_s, seed)
    if state.more_at_s is None and in_trouble(state):
        state = replace(state, more_at_s=t_s + MORE_AFTER_S)
    if radar.code == EMERGENCY_CODE and not state.emergency_code and EMERGENCY_CODE not in state.asked:
        state = replace(state, emergency_code=True, asked=(*state.asked, EMERGENCY_CODE), lines=(
            *state.lines, Line(t_s + CODE_SEEN_AFTER_S, "observed your emergency squawk", ask=True, asks=True)))
    state = watched(scenario, staged(scenario, led(scenario, state, radar, t_s), t_s), radar, t_s)
    state = told_direct(scenario, warned(scenario, state, radar, t_s), radar, t_s)
    if not pilot_talks and t_s >= state.frequency_free_s:
        state = turn_called(scenario, state, radar, rate_dps, t_s)
        if not state.lines:
            state = headed(scenario, state, radar, t_s)
        if not state.lines:
            state = approached(scenario, state, radar, t_s)
        if not state.lines and t_s >= state.quiet_until_s:
            state = more_asked(scenario, state, radar, t_s)
    room = room_s(scenario, state, radar, rate_dps)
    state = assignments_taken(state, radar, t_s)
    return (state, []) if pilot_talks else spoken(scenario, state, t_s, room)


def _answering(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float, seed: int) -> ControllerState:
    """Return the controller with its answers to the calls that it has heard; a busy one comes back to some of them."""
    if not state.received:
        return state
    busy = scenario.clearance.mood == "busy"
    low, high = (5.0, 9.0) if busy else (2.0, 4.0)
    later: list[Received] = []
    for received in sorted(state.received, key=lambda each: each.stood_by):   # what is new first
        if received.due_s > t_s and not in_trouble(state):
            later.append(received)
            continue
        delay = draw_uniform(seed, "controller", state.answers)
        state = replace(state, answers=state.answers + 1, heard_s=t_s)
        due_s = t_s + low + (high - low) * delay
        if busy and _can_wait(scenario, state, received):
            back_s = due_s + 15.0 + 15.0 * delay
            later.append(replace(received, due_s=back_s, stood_by=True))
            state = replace(state, lines=(*state.lines, Line(due_s, "stand by")))
            continue
        state, asked = plan_dropped(state, received), state.question
        state, words, ask = answer(scenario, state, received, radar, t_s)
        if words == "roger" and any(each.answer and each.words for each in state.lines):
            words = None                  # what waits to be said acknowledges this as well
        if words is not None:
            line = words if isinstance(words, Line) else Line(due_s, words, answer=True, ask=ask)
            corrects = line.words.startswith(("negative, ", "correction, "))
            state = replace(state, lines=(*state.lines, replace(
                line, due_s=t_s if corrects else due_s, urgent=corrects, born_s=t_s,
                plan=bool(received.call.assistance or received.call.places))))
        if state.question == asked and _closed(state, received):
            state = replace(state, question="")
    return replace(state, received=tuple(later))


def _closed(state: ControllerState, received: Received) -> bool:
    """Say whether a call has closed the open question: its answer is known, or it was a yes or a no to it."""
    plain = state.question == ANYTHING and received.expected and not received.call.assistance
    return plain or known(state, state.question) or is_answer(state.question, received.call)


def _can_wait(scenario: Scenario, state: ControllerState, received: Received) -> bool:
    """Say whether a call may be told to stand by: the first or one that wants something; never in trouble or twice."""
    call = received.call
    wants = bool(call.assistance or asked_about(call)) or call.heading_wanted_deg is not None or (
        call.altitude_wanted_ft is not None)
    if in_trouble(state) or CHECKS_WORDS.search(call.words) or received.stood_by or received.expected or state.question:
        return False
    if call.replies or call.callsign == "wrong":
        return False
    return wants or (state.said == 0 and not only_statement(scenario, call))
