"""How a call is understood in the conversation: what answers a question, what reads a figure back.

A few words mean something only because of what was asked: "affirm", "IMC", "four hours", "two", "Wendle".
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from drill.flight.controller_state import Control, ControllerState, own_altitude
from drill.flight.granting import NO_GYRO
from drill.flight.information import asked_about
from drill.flight.phraseology import altitude_words
from drill.language import read_call
from drill.language.calls import call_tokens
from drill.language.meaning import Action, Call, Context, Reply, Unclear
from drill.language.words import word_set

ANSWERS_WITHIN_S = 60.0  # a call so soon after a line to this airplane answers it (the author's choice)
_FEW_WORDS = 7           # an answer that names the trouble, or a figure, and nothing else
_MOST_PEOPLE = 20
_HEDGED = re.compile(r"\b(?:but|if|not|maybe|only|heard|read(?:ing)? you|(?:got|heard) the question|stand ?by|hang "
                     r"on|wait|no|"
                     r"thinking|on the)\b", re.IGNORECASE)
"""A yes with one of these words does not say that an emergency is declared: "yes, but not now"."""
_BESIDE_NAMES = word_set(
    """the a an my our both all and also plus or it is just only think i we have system pump instrument instruments
    problem failure trouble issue with of to in , . uh um er gauge indicator 1 2 total complete""")
_NO_COUNT = re.compile(r"\b(?:stand ?by|wait|moment|minutes?|mins?|hours?|seconds?|fuel|number|heading|feet|"
                       r"thousand|miles?)\b",
                       re.IGNORECASE)
"""Words beside which a figure counts no people: "stand by one"."""
_NO_FUEL = re.compile(r"\b(?:stand ?by|wait|moment|give me|ask|ago|heading|feet|thousand|miles?|in (?:a|\d+|one|two|"
                      r"five|ten))\b",
                      re.IGNORECASE)
_LIKELY_FUEL_MIN = range(5, 15 * 60)
_WHERE = re.compile(r"\b(?:pass(?:ing|ed)|leaving|left|through|out of|at|level)(?: at)? [\w.]+")   # not where to
_LOSING = re.compile(
    r"\b(?:can ?not|can['\u2019]t|unable to|not able to|could ?n[o'\u2019]t) (?:really )?(?:hold|keep|maintain|control)"
    r" (?:an? |our |my |the |any |this )?(?:heading|altitude|level|control|wings|attitude|airplane|aircraft|it\b)|"
    r"\blosing (?:control|it)\b|\blost control\b|\bout of control\b|\bdisorient(?:ed|ated)\b|\bvertigo\b|"
    r"\bin a (?:spin|spiral)\b", re.IGNORECASE)
_PARTIAL = re.compile(r"\b(?:partial|limited) panel\b|\b(?:no|without) (?:any )?(?:gyros|attitude|horizon)\b",
                      re.IGNORECASE)
_NOT_LOST = re.compile(r"\b(?:not|no|if|when|until|without|unless|never|were|was)\b|n['\u2019]t\b", re.IGNORECASE)
_BARELY = re.compile(r"\b(?:barely|hardly|not (?:really|well|very well|sure)|only just|struggling|with difficulty)\b",
                     re.IGNORECASE)


def understood(state: ControllerState, call: Call, context: Context) -> Call:
    """Return `call` as it is understood in the conversation; what it says by itself stays."""
    bare = not (call.equipment or call.assistance or call.position or call.urgency != "none")
    short = 0 < len(call.words.split()) <= _FEW_WORDS and not asked_about(call)
    wanted = next((each.altitude_ft for each in call.replies if each.altitude_ft is not None), call.altitude_ft)
    if bare and (state.question == "altitude" or state.wants_altitude) and wanted is not None:
        return replace(call, altitude_wanted_ft=wanted, assistance=("altitude_change",), altitude_ft=None, replies=())
    if short and bare:
        call = _bare_answer(state, call, context)
    heading = call.heading_deg if "heading" in state.unread else None
    altitude = _altitude_read_back(state, call) if "altitude" in state.unread else None
    read_back = any(reply.kind == "readback" for reply in call.replies)
    if bare and not read_back and (heading is not None or altitude is not None):
        call = replace(call, replies=(*call.replies, Reply("readback", heading, altitude)))
    yes, no = (any(reply.kind == kind for reply in call.replies) for kind in ("affirmative", "negative"))
    if (yes and call.urgency == "none" and state.question == "emergency" and not call.declines_emergency
            and not _HEDGED.search(call.words)):
        return replace(call, urgency="emergency")
    if no and call.urgency == "none" and state.question == "emergency":
        return replace(call, declines_emergency=True)
    if state.question == "control" and (yes or no or control_said(state, call)):
        return replace(call, impairment=True)
    if yes and state.question == NO_GYRO and not call.assistance:
        return replace(call, assistance=("no_gyro_vectors",))
    return call


def _bare_answer(state: ControllerState, call: Call, context: Context) -> Call:
    """Return a call of a few words with what it answers; the words are read with the question's own around them."""
    said = call.words
    if state.question == "nature":
        if not _only_names(call, context):
            return call
        return replace(call, equipment=read_call(f"we have lost the {said}", context).equipment)
    if state.question == "intentions" and not call.places:
        bound = read_call(f"we will divert to {said}", context)
        return replace(call, intentions=True, places=bound.places) if bound.places and not call.replies else call
    if state.question == "conditions" and call.conditions == "unstated":
        return replace(call, conditions=read_call(f"we are in {said}", context).conditions)
    if {"fuel", "more"} & set(state.asked) and not state.told.fuel and call.fuel_min is None:
        call = replace(call, fuel_min=_fuel_min(said, context))
        if call.fuel_min is not None:
            return call   # "three plus thirty" counts nobody
    if (state.question in ("people", "more") or "people" in _left_open(state)) and call.souls is None:
        souls = None if _NO_COUNT.search(said) else next((found for words in (f"{said} on board", f"on board {said}") if
                      (found := read_call(words, context).souls) is not None and found <= _MOST_PEOPLE), None)
        call = replace(call, souls=souls)
    return call


def _fuel_min(said: str, context: Context) -> int | None:
    """Return the minutes of fuel that a bare time names: "four hours", "an hour and ten", "one plus thirty"."""
    if _NO_FUEL.search(said):
        return None
    plus = re.sub(r"\bplus\b", "and", said)
    return next((found for words in (said, plus, f"{plus} hours") if
                 (found := read_call(f"fuel {words}", context).fuel_min) is not None and found in _LIKELY_FUEL_MIN),
                                             None)


def _only_names(call: Call, context: Context) -> bool:
    """Whether a call is nothing but names of equipment ("the vacuum pump and both gyros"), and so names the trouble."""
    words = [token.text for token in call_tokens(call.words, context)]
    return all(word in _BESIDE_NAMES or word.startswith("<") for word in words)


def control_said(state: ControllerState, call: Call) -> Control:
    """Return what a call says of keeping control, by itself or as an answer to that question; "" for nothing."""
    kinds = {reply.kind for reply in call.replies}
    losing = _LOSING.search(call.words)
    if losing is not None and _NOT_LOST.search(call.words[:losing.start()]) is None:
        return "unable"
    if state.question == "control":
        if kinds & {"negative", "unable"} or _BARELY.search(call.words):
            return "unable"
        if "affirmative" in kinds or call.impairment:
            return "able"
    return "partial" if _PARTIAL.search(call.words) and call.impairment else ""


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


_WISHES = re.compile(r"^(?:uh |um |well |ok |okay )*(?:we|i)(?:'d like| would like|'d rather| would rather|'ll| "
                     r"will|'re going| are going|"
                     r"'m going| am going| want| intend| plan)\b", re.IGNORECASE)


def answers(state: ControllerState, words: str, actions: Sequence[Action], context: Context) -> bool:
    """Whether a typed line, though no word sends it, answers what the controller has asked: "IMC", "two", "Wendle".

    A line that orders something is an order, but for one that says "we'd like to" while he waits for an answer.
    """
    if not state.question and not _left_open(state):
        return False
    if _WISHES.match(words):
        return True
    if not all(isinstance(action, Unclear) for action in actions) or len(words.split()) > _FEW_WORDS:
        return False
    said = understood(state, read_call(words, context), context)
    return replace(said, words="") != Call()


def _left_open(state: ControllerState) -> frozenset[str]:
    """Return what was asked for before the present question, and has not been answered."""
    asked = set(state.asked)
    answered = (("fuel", state.told.fuel), ("people", state.told.souls),
                ("emergency", state.told.urgency != "none" or state.declined))
    return frozenset(each for each, done in answered if each in asked and not done)


def awaits(state: ControllerState, t_s: float) -> bool:
    """Say whether a call begun at `t_s` answers something: a question, an assignment, or a line not long ago."""
    return (state.unanswered_since_s is not None or bool(state.unread) or bool(state.question)
            or t_s - state.addressed_s <= ANSWERS_WITHIN_S)
