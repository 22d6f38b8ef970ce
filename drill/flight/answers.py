"""What the controller answers to one call: corrections first, then what was asked for, then "roger"."""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.adrift import LEVEL
from drill.flight.approach import approach_field, missed_instructions, missed_words
from drill.flight.controller_state import (
    ControllerState,
    Line,
    Radar,
    Received,
    emergency,
    in_trouble,
    no_plan,
)
from drill.flight.deviating import deviated
from drill.flight.granting import NO_GYRO, OFFER, ON_TOP, Question, accepted, granted_to
from drill.flight.ground import from_the_ground
from drill.flight.information import asked_about, informed, nearest_first, seen_visual
from drill.flight.mistakes import corrected, noticed
from drill.flight.phraseology import (
    altimeter_in,
    altitude_words,
    field_of,
    heading_words,
    names_words,
    spoken_callsign,
)
from drill.flight.stages import next_question
from drill.flight.unable import alternative
from drill.flight.vectoring import first_heading_deg
from drill.language.meaning import Call
from drill.language.numbers import spoken_digits
from drill.scenario.model import Scenario

STANDBY_S = 30.0
VISUAL = "visual"        # the question whether the airplane is in visual conditions
ALTITUDE_SHOWN = "altitude_shown"   # the question about an altitude that radar does not show
_SILENT = frozenset({"roger", "wilco", "readback", "affirmative", "negative"})
_SAME_ALTITUDE_FT = 300.0
_WORD = re.compile(r"[a-z0-9]+")
_GREETS = {"hello", "hi", "good", "day", "morning", "afternoon", "evening", "with", "you", "this", "is"}
_ASKS = {"can", "could", "would", "may", "what", "where", "which", "when", "how", "is", "are", "do", "does", "request",
         "requesting", "say", "confirm", "verify"}
_CHECKS_RADIO = re.compile(r"\bradio check\b|\bhow do you (?:hear|read)\b", re.IGNORECASE)
MINIMUM_FUEL = re.compile(r"\bminimum fuel\b|\bmin fuel\b", re.IGNORECASE)
NO_HELP = re.compile(r"\bno (?:further |other )?(?:assistance|help)\b|\bassistance (?:is )?not (?:required|needed)\b|"
                     r"\b(?:do not|don['\u2019]t|won['\u2019]t) (?:need|require) (?:any )?(?:assistance|help)\b",
                     re.IGNORECASE)
_FOR_US = re.compile(r"\bwas that for\b|\b(?:were you|are you|did you) call(?:ing)?\b", re.IGNORECASE)
CHECKS_WORDS = re.compile(r"\b(?:confirm|verify)\b|\bwas that (?:for|a)\b|\bdid you (?:say|call)\b", re.IGNORECASE)
_MISSES = re.compile(r"\b(?:missed approach|going missed|go(?:ing)? around)\b", re.IGNORECASE)
_MISSED_ASKED = re.compile(r"\bmissed approach (?:instructions?|procedures?|point)\b", re.IGNORECASE)
_SEES = re.compile(r"\b(?:runway|field|airport|lights)(?: is| are)? in sight\b|\bsee the (?:runway|field|airport)\b",
                   re.IGNORECASE)
_NOT_NOW = re.compile(r"\b(?:no|not|never|without|unable|negative|if|unless|until|when|once|may|might|would|report)\b|"
                      r"n['\u2019]t\b", re.IGNORECASE)
_GIVES_UP = re.compile(r"\b(?:scratch that|disregard|changed (?:my|our) mind|go(?:ing)? .*\binstead|"
                       r"forget (?:that|it))\b", re.IGNORECASE)
Answer = tuple[ControllerState, Line | str | None, bool]


def answer(scenario: Scenario, state: ControllerState, received: Received, radar: Radar, t_s: float) -> Answer:
    """Return the controller after a call, what to say (None: nothing), and whether to ask on.

    A `Line` is said as it is; other words follow the callsign.
    """
    call = received.call
    kinds: set[str] = {reply.kind for reply in call.replies}
    if call.callsign == "wrong":
        heard = f"roger {call.urgency}, " if received.declares else ""
        return state, Line(t_s, f"station calling, {heard}say again your callsign.", plain=True), False
    if "say_again" in kinds and state.last_words:
        return state, _again(state, received, t_s), False
    if "standby" in kinds and not call.assistance and not received.reports and not received.declares:
        return replace(_turns(state, suspended=True), quiet_until_s=t_s + STANDBY_S), None, False
    was_asked = state.question
    if was_asked == "turn" and "negative" in kinds:
        kinds.add("unable")
    state = _turns(state, suspended="unable" in kinds)
    state, said, question = _answered(scenario, state, received, radar, t_s, kinds)
    said = list(dict.fromkeys(each for each in said if each))
    ask = (in_trouble(state) or state.wants_altitude) and not question and "cancels_emergency" not in kinds
    if question:
        return state, _asking(t_s, said, question), False
    if "altitude_change" in call.assistance and state.wants_altitude and not said:
        return state, "" if next_question(state)[0] == "altitude" else "say altitude with your request", True
    if said:
        return state, _sentences(said), ask
    if CHECKS_WORDS.search(call.words) and not kinds:
        if _FOR_US.search(call.words) and (state.others_s > state.addressed_s or not state.last_words):
            return state, "negative, that was not for you", False
        if state.last_words:
            return state, _again(state, received, t_s), False
    return _acknowledged(scenario, state, received, was_asked, ask)


def plan_dropped(state: ControllerState, received: Received) -> ControllerState:
    """Return the controller without what waits to be said for a plan that a call gives up for another one."""
    call = received.call
    new = [each for each in call.places if each != state.place] if call.intentions or call.assistance else []
    stale = [each for each in state.lines if each.plan and each.born_s <= received.heard_s]
    if not stale or not ((new and state.place) or _GIVES_UP.search(call.words)):
        return state
    heading, altitude = (number if name in state.unsaid else now for name, number, now in zip(
        ("heading", "altitude"), state.aired, (state.heading_deg, state.altitude_ft), strict=True))
    return replace(state, lines=tuple(each for each in state.lines if each not in stale), heading_deg=heading,
                   altitude_ft=altitude, unsaid=())


def _again(state: ControllerState, received: Received, t_s: float) -> Line:
    return Line(t_s + 2.0, state.last_words, plain=True, asks=received.expected, question=state.question)


def _answered(scenario: Scenario, state: ControllerState, received: Received, radar: Radar, t_s: float,
              kinds: set[str]) -> tuple[ControllerState, list[str], Question | None]:
    """Return the controller, what it says to a call in the order of its weight, and a question of the call's own."""
    call, said = accepted(state, received.call), list[str]()
    question: Question | None = None
    state, words, call = deviated(scenario, state, call, radar)
    said.append(words)
    state, grounded, call = from_the_ground(scenario, state, call, radar)
    slip = noticed(state, call)
    state, words = corrected(state) if slip else _readback_wrong(state, call)
    said.append(words)
    if received.declares:
        said.append(_declared(state, call))
        state = replace(state, question="")
    if "cancels_emergency" in kinds:
        state, words = _no_emergency(scenario, state, radar)
        said.append(words)
    if received.reports and not received.declares:
        said.append(f"roger, copy {names_words(received.reports)}")
    if MINIMUM_FUEL.search(call.words):
        said.append("roger, minimum fuel, no delay expected")   # AIM 5-5-15, by memory
    said += grounded
    if NO_HELP.search(call.words) and not call.assistance:
        said.append(f"{'' if said[-1:] and said[-1] else 'roger, '}advise if you need assistance")
    if call.cancels_ifr or state.question in (VISUAL, ALTITUDE_SHOWN):
        state, words, question = ifr_cancelled(scenario, state, call, radar)
        said.append(words)
    now = state.approach is not None and _NOT_NOW.search(call.words) is None
    if _MISSED_ASKED.search(call.words):
        field = approach_field(scenario, state, radar) or field_of(scenario, state.place)
        said.append(missed_instructions(scenario, state, field))
        call, now = replace(call, assistance=(), intentions=False), False
    if now and _MISSES.search(call.words):
        state, words = missed_words(scenario, state, radar, t_s, "roger")
        return state, [*said, words.removesuffix(", say intentions")], Question("say intentions", "intentions")
    if now and _SEES.search(call.words):
        state = replace(state, in_sight=True)
        said.append("roger, cleared to land")
    if state.question == LEVEL and kinds & {"negative", "unable"}:
        state = replace(state, control="unable", question="")
        kinds.discard("unable")
        if state.turns is None and scenario.fields and NO_GYRO not in state.asked:
            return state, said, Question("roger, do you want no-gyro vectors?", NO_GYRO)
    if "unable" in kinds and not call.assistance:
        state, words, offer = alternative(scenario, state, call, radar)
        said.append(words)
        question = question or offer
    if state.question == NO_GYRO and "negative" in kinds:
        state, words = _heading(scenario, state, radar)
        said.append(words)
    if not call.cancels_ifr and not slip:
        state, granted, where = granted_to(scenario, state, call, radar)
        said += granted
        question = question or where
    if not slip and "unable" not in kinds:
        state, told = informed(scenario, state, call, radar)
        said += told
        seen = seen_visual(nearest_first(scenario, radar)) if "visual" in asked_about(call) else None
        if seen is not None and question is None and state.place != seen.name:
            state = replace(state, offered=seen.name)
            question = Question("do you want vectors there?", OFFER)
    return state, said, question


def _asking(t_s: float, said: list[str], question: Question) -> Line:
    return Line(t_s, _sentences([*said, question.words]), answer=True, asks=True, question=question.key)


def _sentences(said: list[str]) -> str:
    return ". ".join([said[0], *(f"{each[0].upper()}{each[1:]}" for each in said[1:])])


def _acknowledged(scenario: Scenario, state: ControllerState, received: Received, was_asked: str,
                  ask: bool) -> Answer:
    """Answer a call that neither asks nor declares anything: with "roger", "go ahead" or nothing."""
    call = received.call
    kinds = {reply.kind for reply in call.replies}
    if kinds and kinds <= _SILENT and not _says_more(call):
        answered = bool(was_asked) and bool(kinds & {"affirmative", "negative"})
        state = replace(state, question="" if answered else state.question)
        return (state, "roger", ask) if answered else (state, None, False)
    if _CHECKS_RADIO.search(call.words):
        return state, "loud and clear", False
    if _says_more(call) or in_trouble(state):
        return replace(state, question=""), "roger", ask
    if received.expected:
        return state, None, False
    if not state.told.callsign:
        return state, "", True
    if _states(scenario, call):
        return state, "roger", ask
    return state, "go ahead" if call.callsign == "given" or call.facility else "say again", False


def only_statement(scenario: Scenario, call: Call) -> bool:
    """Say whether a call wants no more than to be heard: an acknowledgement, a report, a statement."""
    wants = bool(call.assistance) or call.heading_wanted_deg is not None or call.altitude_wanted_ft is not None
    return not wants and (bool(call.replies) or _says_more(call) or _states(scenario, call))


def _states(scenario: Scenario, call: Call) -> bool:
    """Say whether a call whose meaning is unknown states something, beyond names, and asks nothing."""
    names = {each for name in (scenario.callsign, scenario.clearance.facility)
             for each in _WORD.findall(f"{name} {spoken_callsign(name, short=False)}".lower())}
    short = scenario.callsign[-3:].lower()
    left = [each for each in _WORD.findall(call.words.lower()) if each not in {*names, *_GREETS, short, "x", "ray"}]
    return len(left) >= 2 and not call.words.rstrip().endswith("?") and left[0] not in _ASKS


def _turns(state: ControllerState, *, suspended: bool) -> ControllerState:
    """Return the controller with its called turns suspended, or on again from a straight flight."""
    turns = state.turns
    if turns is None or turns.suspended == suspended:
        return state
    return replace(state, turns=replace(turns, suspended=suspended, doubted=False, way=0, off_since_s=None,
                                        started=turns.started and suspended))


def _says_more(call: Call) -> bool:
    """Say whether a call carries information beyond an acknowledgement."""
    return (call.impairment or call.intentions or call.position or call.souls is not None or call.fuel_min is not None
            or call.conditions != "unstated" or bool(call.equipment) or bool(call.rejoined) or bool(call.places)
            or call.declines_emergency
            or (not call.replies and (call.altitude_ft is not None or call.heading_deg is not None)))


def _readback_wrong(state: ControllerState, call: Call) -> tuple[ControllerState, str]:
    """Return the words that correct a wrong read-back, "" for none; what is corrected is to be read back again."""
    wrong, unread = [], []
    for reply in call.replies:
        if reply.kind not in ("readback", "wilco", "roger"):
            continue
        if reply.heading_deg is not None and state.heading_deg is not None and (
                (reply.heading_deg - round(state.heading_deg)) % 360 != 0):
            wrong.append(f"heading {heading_words(state.heading_deg)}")
            unread.append("heading")
        if reply.altitude_ft is not None and state.altitude_ft is not None and (
                abs(reply.altitude_ft - state.altitude_ft) > 50):
            wrong.append(f"maintain {altitude_words(state.altitude_ft)}")
            unread.append("altitude")
    said = altimeter_in(call.words)
    if said and state.altimeter and said != state.altimeter:
        wrong.append(f"altimeter {spoken_digits(state.altimeter)}")
        unread.append("altimeter")
    if not wrong:
        return state, ""
    return replace(state, unread=tuple(dict.fromkeys(unread))), "negative, " + ", ".join(dict.fromkeys(wrong))


def _declared(state: ControllerState, call: Call) -> str:
    """Return the words that leave headings and altitudes to the pilot (14 CFR 91.3(b)) and keep the frequency."""
    heard = {"mayday": "roger mayday", "pan-pan": "roger pan-pan", "emergency": "roger, emergency"}[call.urgency]
    stay = ". Remain on this frequency" if state.gave == "frequency" else ""
    return f"{heard}. Any heading and altitude you need is approved{stay}"


def _no_emergency(scenario: Scenario, state: ControllerState, radar: Radar) -> tuple[ControllerState, str]:
    """Return the controller after an emergency, with an altitude assigned again but in an approach."""
    state = replace(state, asked=(*state.asked, "emergency"), question="")
    if state.approach is not None or state.ifr_cancelled or radar.on_ground:
        return state, "roger, emergency cancelled"
    here = max(scenario.minimum_altitude_ft, round(radar.altitude_ft / 100.0) * 100.0)
    to = state.altitude_ft if state.altitude_ft is not None else here
    to = to if abs(to - here) <= _SAME_ALTITUDE_FT else here
    state = replace(state, altitude_ft=to, own_altitude=emergency(state))
    return state, f"roger, emergency cancelled, maintain {altitude_words(to)}"


def ifr_cancelled(scenario: Scenario, state: ControllerState, call: Call,
                  radar: Radar) -> tuple[ControllerState, str, Question | None]:
    """Return the controller after a cancellation of IFR, or after the answer to what it asked about it.

    Radar does not see cloud: unless visual conditions have been reported, they are asked for, once. It sees the
    altitude: one that is not as said, or below the tops for an airplane on top, is asked about first.
    """
    kinds = {reply.kind for reply in call.replies}
    if _not_as_shown(scenario, call, radar) and ALTITUDE_SHOWN not in state.asked:
        return state, "", Question(f"verify altitude, radar shows {altitude_words(radar.altitude_ft)}", ALTITUDE_SHOWN)
    if state.question == ALTITUDE_SHOWN and not call.cancels_ifr and VISUAL not in state.asked and (
            "negative" not in kinds):
        return state, "", Question("verify you are in visual conditions", VISUAL)
    if "negative" in kinds or call.conditions in ("imc", "icing"):
        return replace(state, question=""), "roger, IFR clearance remains in effect", None
    if call.conditions == "vmc" or "affirmative" in kinds or (call.cancels_ifr and VISUAL in state.asked):
        done = replace(no_plan(state), place=state.place, planned=True, ifr_cancelled=True, heading_deg=None,
                       altitude_ft=None, own_heading=True, own_altitude=True, question="")
        return done, "IFR cancellation received, squawk VFR", None
    if call.cancels_ifr:
        return state, "", Question("verify you are in visual conditions", VISUAL)
    return state, "", None


def _not_as_shown(scenario: Scenario, call: Call, radar: Radar) -> bool:
    """Say whether a cancellation names an altitude that radar does not show, or is on top of tops that are higher."""
    if not call.cancels_ifr:
        return False
    cloud = scenario.weather.cloud
    under = cloud is not None and ON_TOP.search(call.words) is not None and radar.altitude_ft < cloud.tops_ft - 200.0
    return under or (call.altitude_ft is not None and abs(call.altitude_ft - radar.altitude_ft) > _SAME_ALTITUDE_FT)


def _heading(scenario: Scenario, state: ControllerState, radar: Radar) -> tuple[ControllerState, str]:
    field = field_of(scenario, state.place)
    if field is None:
        return replace(state, question=""), ""
    state = replace(state, vectored=True)
    bearing = first_heading_deg(state, field, radar)
    return replace(state, heading_deg=bearing, question=""), (
        f"fly heading {heading_words(bearing)}, vectors to {field.name}")
