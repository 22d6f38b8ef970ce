"""What a pilot takes back or gives up: a request that waits, vectors, no-gyro vectors, a field for another one."""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.approach import begun_anew
from drill.flight.controller_state import ControllerState, Radar, Received, emergency, no_plan
from drill.flight.phraseology import altitude_words, field_of, heading_words
from drill.flight.replying import CANCELS, HEADINGS, NO_GYRO, OVER, Question, bare, places_named, ruled_out
from drill.flight.saying import said_now
from drill.flight.vectoring import vectored_to
from drill.language import read_call
from drill.language.meaning import Call, Context
from drill.language.patterns import compiled
from drill.language.places import known_places
from drill.language.withdrawn import takes_back
from drill.scenario.model import Scenario

_ENDS = r"(?:cancel|stop|discontinue|terminate|end|disregard|(?:do not|no longer) (?:need|want|require)|no more)"
_SERVICE = r"(?: (?:the|our|my|your|any|this|these|radar|more|further|request|for))* "
_NO_GYRO_ENDS = compiled(rf"\b{_ENDS}{_SERVICE}(?:no )?(?:<gyros>|gyro)")
_ORDINARY = compiled(r"""
    \b(?:normal|regular|ordinary|standard|usual) (?:radar )?vectors\b|\bvectors (?:with|by) headings\b""")
_VECTORS_END = compiled(rf"""
    \b{_ENDS}{_SERVICE}vectors?\b|\bnegative (?:on )?(?:the )?vectors\b|
    \bvectors? (?:is |are )?(?:not|no longer) (?:needed|required|necessary)\b""")
_OWN = compiled(r"""
    \bown (?:nav\b|navigation\b|<navigation>)|\bnavigat\w+ (?:on (?:our|my) own|(?:by )?(?:ourselves|myself))\b""")
_BY_WORD = re.compile(r"\b(?:disregard|never ?mind|cancel|scratch|forget|strike|belay|withdraw|ignore)\b")
_INSTEAD = compiled(r"""
    ^(?:(?:actually|no|negative|correction|sorry|wait|and|but),? |, )*(?:make (?:that|it)|
    (?:scratch|forget|strike|cancel|disregard|belay) (?:that|it|this)|changed (?:my|our) mind|
    (?:i|we) (?:have )?changed (?:my|our) minds?|never ?mind|disregard)\b""")
_CHANGES = re.compile(r"\b(?:actually|instead|scratch|forget|cancel|disregard|rather|make that|going|divert\w*)\b")
_GIVES_UP = re.compile(r"\b(?:scratch|disregard|changed (?:my|our) mind|go(?:ing)? .*\binstead|forget (?:that|it))\b")
_JUST_GIVEN_S = 60.0      # an altitude given longer ago is not what is taken back


def gives_up(state: ControllerState, call: Call, context: Context) -> bool:
    """Say whether a line gives up something that the controller does or waits for."""
    said = bare(call, context)
    led = state.vectored or state.turns is not None
    return bool((led and (_NO_GYRO_ENDS.search(said) or _VECTORS_END.search(said) or _OWN.search(said)))
                or ((state.wants_altitude or state.question) and _only_takes_back(call, said))
                or (state.place and instead(call, context)))


def _only_takes_back(call: Call, said: str) -> bool:
    """Say whether a line takes something back, and is no plain no to a question."""
    plain = {reply.kind for reply in call.replies} & {"negative", "affirmative", "unable"}
    first, last = said.partition(", ")[0], said.rpartition(", ")[2]
    return not (plain or call.assistance or call.equipment or call.urgency != "none") and any(
        takes_back(each) and _BY_WORD.search(each) for each in (said, first, last))


def instead(call: Call, context: Context) -> str:
    """Return the known place that a call names in the stead of what it takes back, "" for none."""
    known = known_places(context)
    named = [each for each in read_call(f"we will divert, {call.words}", context).places if each in known]
    if not named and _INSTEAD.search(bare(call, context)):
        named = list(places_named(call.words, context))
    left = [each for each in named if not ruled_out(call.words, each)]
    if call.assistance or not left or not (_INSTEAD.search(bare(call, context)) or (
            len(left) < len(named) and _CHANGES.search(call.words.lower()))):
        return ""
    return left[0]


def withdrawn(scenario: Scenario, state: ControllerState, call: Call,
              radar: Radar) -> tuple[ControllerState, str, Question | None, Call]:
    """Return the controller without what a call gives up, what it says to that, and what is left to be answered."""
    said = bare(call, scenario.context)
    kinds = {reply.kind for reply in call.replies}
    rest = replace(call, words="", assistance=(), intentions=False, places=())
    if state.question == CANCELS and kinds & {"affirmative", "negative"}:
        state = replace(state, question="")
        return (*(_ended(state) if "affirmative" in kinds else (state, "roger, vectors continue")), None, rest)
    if state.question == HEADINGS and kinds & {"affirmative", "negative"} and state.turns is not None:
        state = replace(state, question="")
        return (*(_by_headings(scenario, state, radar) if "affirmative" in kinds else (
            state, "roger, no-gyro vectors continue")), None, rest)
    if call.cancels_ifr or "cancels_emergency" in kinds:
        return state, "", None, call
    if state.turns is not None and (_NO_GYRO_ENDS.search(said) or (_ORDINARY.search(said) and call.assistance)):
        return (*_by_headings(scenario, state, radar), None, rest)
    led = state.vectored or state.turns is not None
    if (said_now(said, _OWN) and not call.assistance) or (led and _VECTORS_END.search(said)):
        return (*_ended(state), None, rest)
    if not _only_takes_back(call, said) or (call.places and call.intentions):
        return state, "", None, call
    if state.told.urgency != "none" and state.question in ("nature", "intentions"):
        return state, "", Question("do you want to cancel the emergency?", OVER), rest
    if state.wants_altitude or state.question:
        return replace(state, wants_altitude=False, question="", offered=""), "roger", None, rest
    if state.gave == "altitude" and state.now_s - state.given_s <= _JUST_GIVEN_S:
        kept = call.altitude_ft if call.altitude_ft is not None else round(radar.altitude_ft / 100.0) * 100.0
        to = max(float(kept), scenario.minimum_altitude_ft)
        return replace(state, altitude_ft=to), f"roger, maintain {altitude_words(to)}", None, rest
    if state.place and not led and state.approach is None:
        was, state = state.place, replace(no_plan(state), asked=tuple(
            each for each in state.asked if each != "intentions"))
        return state, f"roger, direct {was} cancelled", Question("say intentions", "intentions"), rest
    if led and state.place:
        return state, "", Question(f"do you want to end vectors to {state.place}?", CANCELS), rest
    return state, "roger", None, rest


def _ended(state: ControllerState) -> tuple[ControllerState, str]:
    """Return the controller with the airplane on its own navigation."""
    stays = "" if state.altitude_ft is None or state.own_altitude else f", maintain {altitude_words(state.altitude_ft)}"
    state = replace(no_plan(state), planned=True, heading_deg=None, own_heading=True, question="", outbound_deg=None)
    return state, f"roger, resume own navigation{stays}"


def _by_headings(scenario: Scenario, state: ControllerState, radar: Radar) -> tuple[ControllerState, str]:
    """Return the controller with headings in the place of turns that it calls."""
    field = field_of(scenario, state.place)
    told = replace(state.told, equipment=state.told.equipment - {"heading_indicator"})
    state = replace(begun_anew(replace(state, turns=None, told=told, approach=None)), asked=(*state.asked, NO_GYRO))
    if field is None:
        return state, "roger, no-gyro vectors end"
    state = vectored_to(replace(state, own_heading=emergency(state)), field, radar)
    heading = heading_words(state.heading_deg or 0.0)
    return state, f"roger, no-gyro vectors end, fly heading {heading}, vectors to {field.name}"


def plan_dropped(state: ControllerState, received: Received) -> ControllerState:
    """Return the controller without what waits to be said for a plan that a call gives up for another one."""
    call = received.call
    new = [each for each in call.places if each != state.place] if call.intentions or call.assistance else []
    stale = [each for each in state.lines if each.plan and each.born_s <= received.heard_s]
    if not stale or not ((new and state.place) or _GIVES_UP.search(call.words.lower())):
        return state
    heading, altitude = (number if name in state.unsaid else now for name, number, now in zip(
        ("heading", "altitude"), state.aired, (state.heading_deg, state.altitude_ft), strict=True))
    return replace(state, lines=tuple(each for each in state.lines if each not in stale), heading_deg=heading,
                   altitude_ft=altitude, unsaid=())
