"""What the controller answers to one call: corrections first, then what weighs most, then what was asked for.

`STEPS` is the order. Each step takes from the call what it answers; what nobody has answered is acknowledged.
"""

from __future__ import annotations

import re
from collections.abc import Set
from dataclasses import replace

from drill.flight.anew import cleared_anew
from drill.flight.answering import Answering, Step
from drill.flight.assigned import confirmation, confirmed, departed, read_back, unheard
from drill.flight.controller_state import (
    ControllerState,
    Line,
    Radar,
    Received,
    emergency,
    in_trouble,
    must_land,
)
from drill.flight.deviating import deviated
from drill.flight.forced import at_discretion, turned_straight
from drill.flight.granting import accepted, granted_to
from drill.flight.ground import from_the_ground
from drill.flight.helping import off_heading, sinking, steadied
from drill.flight.ifr import ifr_cancelled
from drill.flight.information import NOT_KNOWN, asked_about, informed, nearest_first, seen_visual, suited
from drill.flight.missed import missed_instructions, missed_words
from drill.flight.phraseology import field_of, heading_words, spoken_callsign, where_is
from drill.flight.replying import FUEL_IN_WORDS, NO_GYRO, OFFER, YES_OR_NO, Question, sees
from drill.flight.saying import said_now
from drill.flight.served import approach_field
from drill.flight.sighting import sighted
from drill.flight.silence import HEAR_ME, RADIO_CODE
from drill.flight.stages import ANYTHING, FIELD, NO_PLAN, next_question
from drill.flight.steering import turn_words
from drill.flight.suggesting import suggested
from drill.flight.unable import alternative
from drill.flight.urgent import (
    declared,
    emergency_ended,
    headings_again,
    left_without_heading,
    no_help,
    not_level,
    off_field,
    radio_lost,
    reported,
)
from drill.flight.vectoring import vectored_to
from drill.flight.withdrawing import withdrawn
from drill.language.meaning import Call
from drill.language.numbers import spoken_digits
from drill.language.patterns import compiled
from drill.scenario.model import Scenario

STANDBY_S = 30.0
REFUSED_WITHIN_S = 60.0
MOST_FUEL = 2            # times that it is asked for in time
CODE_GIVEN = "code given"   # that a pilot who is heard again was told to squawk his own code
_SILENT = frozenset({"roger", "wilco", "readback", "affirmative", "negative"})
_WORD = re.compile(r"[a-z0-9]+")
_GREETS = {"hello", "hi", "good", "day", "morning", "afternoon", "evening", "with", "you", "this", "is"}
_ASKS = {"can", "could", "would", "may", "what", "where", "which", "when", "how", "is", "are", "do", "does", "request",
         "requesting", "say", "confirm", "verify", "who", "why", "am", "any", "did"}
_ASKS_WHAT = {"what", "where", "which", "when", "how", "who", "why"}
SAY_AGAIN = "say again your request"
_CHECKS_RADIO = re.compile(r"\bradio check\b|\bhow do you (?:hear|read)\b|\bare you (?:still )?there\b|"
                           r"\b(?:do|can) you (?:still )?(?:hear|read|copy) (?:us|me)\b|"
                           r"\b(?:anybody|anyone) (?:there|hear\w*|read\w*|on (?:this )?frequency)\b", re.IGNORECASE)
_HEARS_BADLY = compiled(r"""
    \b(?:you(?: are|'re|r transmission is)|your (?:radio|signal|transmission)(?: is)?)(?: \w+){0,2}? (?:very )?(?:weak|
    broken|unreadable|garbled|scratchy|readable|breaking up|cutting out|stepped on|blocked)\b(?! five)|
    ^(?:\W|\w+ ){0,4}?(?:unreadable|weak but readable)\b|\byou were (?:stepped on|blocked|cut off)\b|
    \b(?:can ?not|could not|did not) (?:hear|read|copy|understand|make (?:that|it|you) out|
    make out)(?: you| that| it| the)?\b""")
_BACK = re.compile(r"\bback (?:with you|again|now|on (?:your |this |the )?(?:frequency|radio))\b|"
                   r"\b(?:is|are|am) back\b", re.IGNORECASE)
_FOR_US = re.compile(r"\bwas that for\b|\b(?:were you|are you|did you) call(?:ing)?\b", re.IGNORECASE)
CHECKS_WORDS = re.compile(r"\b(?:confirm|verify)\b|\bwas that (?:for|a)\b|\bdid you (?:say|call)\b", re.IGNORECASE)
_MISSES = re.compile(r"\b(?:missed approach|going missed|go(?:ing)? around)\b")
_MISSED_ASKED = re.compile(r"\bmissed approach (?:instructions?|procedures?|point)\b", re.IGNORECASE)
_BY_SIGHT = frozenset({"visual_approach", "named_airport", "vectors"})
_ALL_RIGHT = re.compile(r"\b(?:all right|alright|okay|ok|fine|under control|everything normal)\b.*\?", re.IGNORECASE)
Answer = tuple[ControllerState, Line | str | None, bool]


def answer(scenario: Scenario, state: ControllerState, received: Received, radar: Radar, t_s: float) -> Answer:
    """Return the controller after a call, what to say (None: nothing), and whether to ask on.

    A `Line` is said as it is; other words follow the callsign.
    """
    call = received.call
    kinds = {reply.kind for reply in call.replies}
    if call.callsign == "wrong":
        heard = f"roger {call.urgency}, " if received.declares else ""
        return state, Line(t_s, f"station calling, {heard}say again your callsign.", plain=True), False
    waits = "standby" in kinds
    news = bool(call.assistance or received.reports or received.natures) or received.declares
    if waits and not news:
        return replace(_turns(state, suspended=True), quiet_until_s=t_s + STANDBY_S), None, False
    was_asked = state.question
    if was_asked == "turn" and "negative" in kinds:
        kinds.add("unable")
    given = state.gave == "altitude" and received.expected and t_s - state.given_s <= REFUSED_WITHIN_S
    if kinds == {"negative"} and given and not was_asked and not _says_more(call):
        kinds.add("unable")               # no to an altitude that has just been assigned
    state = _turns(state, suspended="unable" in kinds)
    a = Answering(scenario, state, received, accepted(state, call), radar, t_s, frozenset(kinds))
    if "say_again" in kinds and state.last_words and not news and not confirmation(a):   # news come first
        return state, _again(state, received, t_s), False
    if not news and not kinds - {"say_again"} and said_now(call.words, _HEARS_BADLY):
        return state, _again(state, received, t_s) if state.last_words else HEAR_ME, False
    for step in STEPS:
        a = a if a.closed else step(a)
    state = replace(a.state, quiet_until_s=t_s + STANDBY_S) if waits else a.state
    ask = (in_trouble(state) or state.wants_altitude) and a.question is None and "cancels_emergency" not in kinds
    if a.question is not None:
        return state, _asking(t_s, [*a.said, a.question.words], a.question.key), False
    if "altitude_change" in call.assistance and state.wants_altitude:
        unnamed = [] if next_question(state)[0] == "altitude" else ["say altitude with your request"]
        return state, _sentences([*a.said, *unnamed]) if a.said or unnamed else "", True
    if a.said:
        return state, _sentences([*a.said]), ask
    if CHECKS_WORDS.search(call.words) and not kinds:
        if _FOR_US.search(call.words) and (state.others_s > state.addressed_s or not state.last_words):
            return state, "negative, that was not for you", False
        if state.last_words:
            return state, _again(state, received, t_s), False
    return _acknowledged(scenario, state, received, was_asked, ask)


def _again(state: ControllerState, received: Received, t_s: float) -> Line | None:
    """Return the last line once more, before all that waits; None where another assignment waits by now."""
    if (state.heading_deg, state.altitude_ft) != state.aired and state.lines:
        return None
    return Line(t_s + 2.0, state.last_words, plain=True, asks=received.expected, question=state.question, urgent=True)


def _around_weather(a: Answering) -> Answering:
    state, words, call = deviated(a.scenario, a.state, a.call, a.radar)
    return a.saying(words, state, call=call)


def _on_the_ground(a: Answering) -> Answering:
    state, words, call = from_the_ground(a.scenario, a.state, a.call, a.radar)
    return a.saying(words, state, call=call)


def _given_up(a: Answering) -> Answering:
    state, words, question, call = withdrawn(a.scenario, a.state, a.call, a.radar)
    return a.saying(words, state, call=call, question=question)


def _missed(a: Answering) -> Answering:
    """Send up who misses the approach, the way that was briefed; say that way to who asks for it."""
    field = approach_field(a.scenario, a.state, a.radar) or field_of(a.scenario, a.state.place)
    if _MISSED_ASKED.search(a.call.words):
        return a.saying(missed_instructions(a.scenario, a.state, field),
                        call=replace(a.call, assistance=(), intentions=False))
    if a.state.approach is None or not said_now(a.call.words, _MISSES):
        return a
    state, words = missed_words(a.scenario, a.state, a.radar, a.t_s, "roger")
    return a.saying(words.removesuffix(", say intentions"), state, question=Question("say intentions", "intentions"),
                    closed=True)


def _in_sight(a: Answering) -> Answering:
    """Clear who sees the field, where radar shows it near; else have that verified."""
    asked = a.state.question == FIELD
    if asked and "negative" in a.kinds:
        return a.saying("roger, report the field in sight")
    names = [each.name for each in a.scenario.fields]
    if not (sees(a.call.words, names) or (asked and "affirmative" in a.kinds)) or a.radar.on_ground:
        return a
    state, words = sighted(a.scenario, a.state, a.radar)
    if words and not state.in_sight:      # not yet believed
        return a.saying("", state, question=Question(words, FIELD), closed=True)
    if words:                             # that is what was asked for
        call = replace(a.call, places=(), intentions=False,
                       assistance=tuple(each for each in a.call.assistance if each not in _BY_SIGHT))
        return a.saying(words, replace(state, question=""), call=call)
    near = next(iter(nearest_first(a.scenario, a.radar)), None)
    if near is None:
        return a
    where = where_is(near, a.radar.north_nm, a.radar.east_nm)
    if asked:                             # he is sure of it
        state = replace(a.state, place=near.name, planned=True, question="", own_heading=True, heading_deg=None)
        words = f"roger, cleared direct {near.name}, report the field in sight again nearer"
        return a.saying(words, state, closed=True)
    return a.saying("", question=Question(f"verify field in sight, radar shows {where}", FIELD), closed=True)


def _heard(a: Answering) -> Answering:
    """Tell who checks his radio that he is heard (AIM 4-2-3, by memory), and give back his code to who had lost it."""
    code = a.scenario.clearance.code
    back = a.radar.code == RADIO_CODE and RADIO_CODE in a.state.asked and bool(code) and not a.state.wordless
    checks = _CHECKS_RADIO.search(a.call.words) is not None
    if back and CODE_GIVEN not in a.state.asked:
        state = replace(a.state, asked=(*a.state.asked, CODE_GIVEN))
        return a.saying(f"loud and clear, squawk {spoken_digits(code)}", state)
    return a.saying("loud and clear") if checks else a


def _unable(a: Answering) -> Answering:
    if "unable" not in a.kinds or a.call.assistance:
        return a
    state, words, offer = alternative(a.scenario, a.state, a.call, a.radar)
    return a.saying(words, state, question=offer)


def _no_gyro_declined(a: Answering) -> Answering:
    """Give a heading to who wants no no-gyro vectors."""
    if a.state.question != NO_GYRO or "negative" not in a.kinds or (a.call.places and a.call.intentions):
        return a
    field, state = field_of(a.scenario, a.state.place), replace(a.state, question="")
    if field is None:
        return replace(a, state=state)
    state = vectored_to(state, field, a.radar)
    return a.saying(f"fly heading {heading_words(state.heading_deg or 0.0)}, vectors to {field.name}", state)


def _able_again(a: Answering) -> Answering:
    """Lead on a pilot who is able to turn again."""
    field, state = field_of(a.scenario, a.state.place), a.state
    if state.question != "able" or "affirmative" not in a.kinds or field is None or state.turns is not None:
        return a
    led = vectored_to(replace(state, question="", own_heading=emergency(state)), field, a.radar)
    words = f"roger, {turn_words(state, a.radar.track_deg, led.heading_deg or 0.0)}, vectors to {field.name}"
    return a.saying(words, led)


def _fuel_in_words(a: Answering) -> Answering:
    """Ask once for the time that gallons and full tanks come to (FAA JO 7110.65 10-2-1: fuel remaining in time)."""
    state = a.state
    if state.question not in ("fuel", "more") or a.call.fuel_min is not None or a.call.equipment or (
            not FUEL_IN_WORDS.search(a.call.words.lower())):
        return a
    if state.asked.count("fuel") < MOST_FUEL:
        return a.saying("", question=Question("roger, say fuel remaining in hours and minutes", "fuel"))
    return a.saying("roger", replace(state, told=replace(state.told, fuel=True)))


def _granted(a: Answering) -> Answering:
    if a.call.cancels_ifr:
        return a
    before = a.state.place
    state, said, question = granted_to(a.scenario, a.state, a.call, a.radar)
    led = a.received.declares or (state.place and (state.place != before or set(a.call.assistance) - NO_PLAN))
    free = led and must_land(state) and not a.radar.on_ground and not any("discretion" in each for each in a.said)
    return a.saying([*said[:1], *([at_discretion(a.scenario, state)] if free else []), *said[1:]], state,
                    question=question)


def _told(a: Answering) -> Answering:
    """Tell what a call wants to know; where that is a field, ask whether vectors there are wanted."""
    topics = asked_about(a.call)
    if "unable" in a.kinds or not topics:
        return a
    state, told = informed(a.scenario, a.state, a.call, a.radar)
    near = nearest_first(a.scenario, a.radar)
    nearest = topics == ("fields",) and re.search(r"\b(?:nearest|closest)\b", a.call.words.lower()) is not None
    field = seen_visual(near) if "visual" in topics else next(iter(suited(a.call, near)), None) if nearest else None
    offers = field is not None and not a.radar.on_ground and field.name not in (state.place, state.offered)
    if field is None or not offers:
        return a.saying(told, state)
    return a.saying(told, replace(state, offered=field.name), question=Question("do you want vectors there?", OFFER))


def _asked_if_well(a: Answering) -> Answering:
    """Take a no to "is everything all right?" for the trouble that it is."""
    if a.state.question != ANYTHING or "negative" not in a.kinds or not _ALL_RIGHT.search(a.state.last_words):
        return a
    return a.saying("roger", replace(a.state, trouble=True, question="", stage="trouble" if (
        a.state.stage == "routine") else a.state.stage))


STEPS: tuple[Step, ...] = (
    _heard, read_back, confirmed, unheard, _around_weather, declared, emergency_ended, radio_lost, reported,
    _on_the_ground, headings_again, off_field, steadied, off_heading, sinking, _given_up, turned_straight,
    left_without_heading, no_help, cleared_anew, ifr_cancelled, _missed, _in_sight, not_level, _asked_if_well, departed,
    _unable, _no_gyro_declined, _able_again, _fuel_in_words, suggested, _granted, _told,
)
"""What is answered, in this order; a step that closes the answer is the last one."""


def _asking(t_s: float, said: list[str], key: str) -> Line:
    return Line(t_s, _sentences(said), answer=True, asks=True, question=key)


def _sentences(said: list[str]) -> str:
    """Return sentences, the first without a capital; "roger" is said once."""
    first, *more = [each for each in said if each]
    more = [each.removeprefix("roger, ") for each in more]
    return ". ".join([first, *(f"{each[0].upper()}{each[1:]}" for each in more)])


def _acknowledged(scenario: Scenario, state: ControllerState, received: Received, was_asked: str,
                  ask: bool) -> Answer:
    """Answer a call that neither asks nor declares anything: with "roger", "go ahead" or nothing."""
    call = received.call
    kinds = {reply.kind for reply in call.replies}
    news = received.declares or bool(received.reports or received.natures)
    if _BACK.search(call.words) and not in_trouble(state):
        return replace(state, quiet_until_s=0.0), "roger", ask
    if kinds and kinds <= _SILENT and not _says_more(call):
        answered = bool(was_asked) and (was_asked == ANYTHING or bool(kinds & {"affirmative", "negative"}))
        return (state, "roger", ask) if answered else (state, None, False)
    left = _beside_names(scenario, call)
    first = _beside_names(scenario, call, greetings=frozenset())
    begins = bool(_ASKS & {*first[:1]}) and (first[0] != "may" or first[1:2] in (["we"], ["i"]))
    asks = call.words.rstrip().endswith("?") or begins
    if left and not (asks or news or was_asked) and {*left} <= {*_WORD.findall(state.last_words.lower())}:
        return state, None, False         # it says back what it was told
    plainly = call.words.rstrip().endswith("?") or (begins and first[0] in _ASKS_WHAT)
    if asks and not news and not kinds and (plainly or state.question not in YES_OR_NO):
        again = state.last_words.endswith(f"{SAY_AGAIN}.")   # a question is not acknowledged
        return state, NOT_KNOWN if again else SAY_AGAIN, False
    if _says_more(call) or in_trouble(state) or was_asked == ANYTHING:
        return state, "roger", ask
    if received.expected and not asks:
        return state, None, False
    if not state.told.callsign:
        return state, "", True
    if _states(scenario, call):
        return state, "roger", ask
    if left:
        return state, SAY_AGAIN if left[0] in _ASKS else "say again", False
    return state, "go ahead" if call.callsign == "given" or call.facility else "say again", False


def only_statement(scenario: Scenario, call: Call) -> bool:
    """Say whether a call wants no more than to be heard: an acknowledgement, a report, a statement."""
    wants = bool(call.assistance) or call.heading_wanted_deg is not None or call.altitude_wanted_ft is not None
    return not wants and (bool(call.replies) or _says_more(call) or _states(scenario, call))


def _states(scenario: Scenario, call: Call) -> bool:
    """Say whether a call whose meaning is unknown states something, beyond names, and asks nothing."""
    left = _beside_names(scenario, call)
    return len(left) >= 2 and not call.words.rstrip().endswith("?") and left[0] not in _ASKS


def _beside_names(scenario: Scenario, call: Call, greetings: Set[str] = _GREETS) -> list[str]:
    """Return the words of a call without names and greetings."""
    names = {each for name in (scenario.callsign, scenario.clearance.facility)
             for each in _WORD.findall(f"{name} {spoken_callsign(name, short=False)}".lower())}
    short = scenario.callsign[-3:].lower()
    return [each for each in _WORD.findall(call.words.lower()) if each not in {*names, *greetings, short, "x", "ray"}]


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
            or call.declines_emergency or call.trouble
            or (not call.replies and (call.altitude_ft is not None or call.heading_deg is not None)))
