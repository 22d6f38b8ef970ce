"""How a call is understood in the conversation: what answers a question, what reads a figure back, what is sent.

What few words mean because of what was asked is in `replying`: "affirm", "IMC", "four hours", "two", "Wendle".
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from drill.flight.altitudes import altitude_in
from drill.flight.controller_state import Control, ControllerState, in_trouble, own_altitude
from drill.flight.helping import cries, which_way
from drill.flight.information import asked_about
from drill.flight.phraseology import altitude_words, heading_words
from drill.flight.replying import (
    FEW_WORDS,
    FUEL_IN_WORDS,
    GETS_DOWN,
    GOOD_WEATHER,
    NO_GYRO,
    OFFER,
    OVER,
    READERS,
    answered,
    bare,
    bound_first,
    fuel,
    people,
    places_named,
    ruled_out,
    sees,
)
from drill.flight.righting import righted
from drill.flight.saying import just_said, said_now
from drill.flight.stages import ANYTHING
from drill.flight.suggesting import asks_for_advice
from drill.flight.urgent import asks_without_radio
from drill.flight.withdrawing import gives_up, instead
from drill.language import read_call
from drill.language.meaning import Action, Call, Context, Decide, Diagnose, Look, Reply, Unclear, Wait
from drill.language.patterns import compiled
from drill.language.rules import ASK_WHICH

ANSWERS_WITHIN_S = 60.0  # a call so soon after a line to this airplane answers it (the author's choice)
_WHERE = re.compile(r"\b(?:pass(?:ing|ed)|leaving|left|through|out of|at|level)(?: at)? [\w.,]+(?! (?:for|to)\b)")
"""Where an airplane is, and not where to."""
_GOES_TO = compiled(r"""
    \b(?:climb(?:ing)?|descend(?:ing)?|up|down|leaving \d+)(?: and)?(?: maintain(?:ing)?)?(?: to| for)? (\d{4,5})\b""")
"""Where to: said so soon after an altitude was assigned, it reads that back."""
_LOSING = compiled(r"""
    \b(?:can ?not|can['\u2019]?t|unable to|not able to|could ?n[o'\u2019]t) (?:really )?(?:hold|keep|maintain|control)
    [ ](?:an? |our |my |the |any |this )?(?:heading|altitude|level|control|wings|attitude|airplane|aircraft|it\b)|
    \blosing (?:control|it)\b|\blost control\b|\bout of control\b|\bdisorient(?:ed|ated)\b|\bvertigo\b|
    \bin a (?:spin|spiral)\b""")
_ROUGHLY = re.compile(r"\b(?:within|better than|any closer|precisely|accurately|exactly|plus|turbulence)\b")
_HALF = compiled(r"""
    \b(?:heading|altitude)\b[^,.]*\b(?:no|not)\b|\b(?:not|no|but not)(?: \w+)? (?:heading|altitude)\b""")
"""One of the two that a pilot was asked about cannot be held."""
_PARTIAL = re.compile(r"\b(?:partial|limited) panel\b|\b(?:no|without) (?:any )?(?:gyros|attitude|horizon)\b",
                      re.IGNORECASE)
_NOT_LOST = re.compile(r"\b(?:not|no|if|when|until|without|unless|never|were|was)\b|n['\u2019]t\b", re.IGNORECASE)
_BARELY = re.compile(r"\b(?:barely|hardly|not (?:really|well|very well|sure)|only just|struggling|with difficulty)\b",
                     re.IGNORECASE)
_LIKES = compiled(r"""
    ^(?:uh |um |well |ok |okay )*(?:we|i)(?:['\u2019]d (?:like|rather|prefer)| would (?:like|rather|prefer)| want|
    [ ]wish| prefer)\b""")
_WILL = compiled(r"""
    ^(?:uh |um |well |ok |okay )*(?:we|i)(?:['\u2019]ll| will|['\u2019](?:re|m) going| (?:are|am) going| intend|
    [ ]plan)\b""")
_GO_THERE = compiled(r"""
    \b(?:go|going|head|heading|divert|diverting|land|landing|fly|proceed|take us|vectors?) (?:straight |right |over )?
    there\b""")
_NEW_DESTINATION = re.compile(
    r"\b(?:chang\w+|new|amend\w*) (?:of |the |our |my |a )?destination\b|\bdestination (?:is now|will be|change)\b")
_MENDS = re.compile(r"\bmake (?:that|it)\b")
_CAN = re.compile(r"^(?:we|i)(?: can| can ?not| can['\u2019]t| are| am|['\u2019](?:re|m)| could)\b")
_RADIO_AGAIN = compiled(r"""
    \bhad (?:lost|a|an|some|been|our|no)\b[^,.;]*\b(?:radios?|comm?s?|communications?)\b|
    \b(?:radios?|comm?s?|communications?)\b[^;]*\b(?:back|again)\b|
    \bback\b[^;]*\b(?:radios?|comm?s?|communications?)\b""")
"""Who says this is heard, and has a radio that works."""
_ORDERS = re.compile(r"(?:climb|descend|turn|slow|speed|fly|switch|cover|uncover|level)\b")
_NO_ORDER = (Unclear, Diagnose, Decide, Wait)


def understood(state: ControllerState, call: Call, context: Context) -> Call:
    """Return `call` as it is understood in the conversation; what it says by itself stays."""
    if "radio" in call.equipment and _RADIO_AGAIN.search(call.words.lower()):
        call = replace(call, equipment=tuple(each for each in call.equipment if each != "radio"))
    call = righted(state, call, context)
    named = tuple(each for each in call.places if not ruled_out(call.words, each))
    call = replace(call, places=bound_first(call.words, named))
    there = state.offered if state.question == OFFER and state.offered else state.spoken_of
    if not named and there and said_now(call.words, _GO_THERE) and "?" not in call.words:
        call = replace(call, places=(there,), intentions=True)
    if GETS_DOWN.search(call.words.lower()) and not (state.place or call.places or "?" in call.words) and (
            set(call.assistance) <= {"altitude_change"}):
        call = replace(call, assistance=("nearest_airport",), intentions=True)
    if _NEW_DESTINATION.search(call.words.lower()) and (new := places_named(call.words, context)):
        call = replace(call, intentions=True, places=new[-1:])
    told = not (call.equipment or call.assistance or call.position or call.urgency != "none")
    wanted = next((each.altitude_ft for each in call.replies if each.altitude_ft is not None), call.altitude_ft)
    if told and (state.question == "altitude" or state.wants_altitude) and wanted is not None and (
            not _WHERE.search(call.words.lower())):
        return _wanting(call, wanted)
    if told and state.gave == "altitude" and _MENDS.search(call.words.lower()) and (
            mended := altitude_in(call.words)) is not None:
        return _wanting(call, mended)
    if (other := instead(call, context)):
        return replace(call, intentions=True, places=(other,))
    if not asked_about(call) or (state.question == "intentions" and GOOD_WEATHER.search(call.words.lower())):
        call = _answered(state, call, context)
    said = call.heading_deg
    heading = said if "heading" in state.unread or (said is not None and just_said(
        state, rf"heading {heading_words(said)}")) else None
    altitude = _altitude_read_back(state, call, context) if "altitude" in state.unread else None
    read_back = any(reply.kind == "readback" for reply in call.replies)
    if told and not read_back and (heading is not None or altitude is not None):
        call = replace(call, replies=(*call.replies, Reply("readback", heading, altitude)))
    yes, no = (any(reply.kind == kind for reply in call.replies) for kind in ("affirmative", "negative"))
    if state.question == "control" and (yes or no or control_said(state, call)):
        return replace(call, impairment=True)
    if yes and state.question == OVER:
        return replace(call, replies=(*call.replies, Reply("cancels_emergency")))
    if yes and state.question == NO_GYRO and not call.assistance:
        return replace(call, assistance=("no_gyro_vectors",))
    return call


def _wanting(call: Call, altitude_ft: int) -> Call:
    return replace(call, altitude_wanted_ft=altitude_ft, assistance=("altitude_change",), altitude_ft=None, replies=())


def _answered(state: ControllerState, call: Call, context: Context) -> Call:
    """Return a call with what it answers: the open question first, then what was asked for before it."""
    call = answered(state, call, context)
    short = 0 < len(call.words.split()) <= FEW_WORDS
    if not short or call.assistance or call.position or call.equipment or call.urgency != "none":
        return call
    said, open_ = bare(call, context), left_open(state)
    if "fuel" in open_:
        call = fuel(call, said, context)
    if "people" in open_ and call.fuel_min is None:   # "three plus thirty" counts nobody
        call = people(call, said, context)
    return READERS["intentions"](call, said, context) if "intentions" in open_ and not call.replies else call


def control_said(state: ControllerState, call: Call) -> Control:
    """Return what a call says of keeping control, by itself or as an answer to that question; "" for nothing."""
    kinds = {reply.kind for reply in call.replies}
    losing = _LOSING.search(call.words.lower())
    if losing is not None and "block_altitude" in call.assistance and _ROUGHLY.search(call.words.lower()):
        losing = None                     # it is held as well as the air lets it
    if losing is not None and _NOT_LOST.search(call.words[:losing.start()]) is None:
        return "unable"
    if state.question == "control":
        no = kinds & {"negative", "unable"} and not call.declines_emergency
        if no or _BARELY.search(call.words) or _HALF.search(call.words.lower()):
            return "unable"
        if "affirmative" in kinds or call.impairment:
            return "able"
    return "partial" if _PARTIAL.search(call.words) and call.impairment else ""


def _altitude_read_back(state: ControllerState, call: Call, context: Context) -> int | None:
    """Return the altitude (ft) that a bare figure reads back; one that only says where the airplane is does not."""
    said = call.words.lower().replace(",", "")
    if state.altitude_ft is not None:
        assigned = round(state.altitude_ft)
        if re.search(rf"\b(?:{assigned}|{altitude_words(assigned)})\b(?! \w+ hundred\b)", said):
            return assigned
    if own_altitude(state) or state.own_altitude:
        return None
    if (bound := _GOES_TO.search(bare(call, context))) is not None:
        return int(bound.group(1))
    if _WHERE.search(said):
        return None
    return call.altitude_ft


def answers(state: ControllerState, words: str, actions: Sequence[Action], context: Context) -> bool:
    """Whether a typed line, though no word sends it, is for the controller: it answers him, or gives up what he does.

    A line that orders something to be done is an order, also one that only announces it ("I'll level the wings"); a
    wish is for him while he waits for an answer.
    """
    call = read_call(words, context)
    if gives_up(state, call, context) and all(isinstance(each, Unclear) for each in actions):
        return True
    if sees(words, context.places) and all(isinstance(each, Unclear) for each in actions):
        return True                       # it is for nobody else
    unclear = all(isinstance(each, Unclear) for each in actions)
    if unclear and state.contact and (asked_about(call) or asks_for_advice(words) or asks_without_radio(words)):
        return True                       # nobody else aboard could tell
    if unclear and righted(state, call, context) != call:
        return True                       # it was told to nobody else
    if in_trouble(state) and ((unclear and cries(words)) or (
            which_way(words) and all(isinstance(each, Unclear | Look) for each in actions))):
        return True                       # he knows of the trouble, and who else would tell
    open_ = left_open(state)
    if not state.question and not open_:
        return False
    if _LIKES.match(words.lower()):
        return True
    if state.question == "control" and _CAN.match(words.lower()) and control_said(state, call):
        return True
    if state.question in ("fuel", "more") and FUEL_IN_WORDS.search(words.lower()):
        return True
    if not all(isinstance(each, _NO_ORDER) for each in actions):
        return False
    if Unclear(ASK_WHICH) in actions and _ORDERS.match(words.lower()):
        return False                      # an order that can be taken in two ways is asked about, and tells him nothing
    if any(isinstance(each, Diagnose) for each in actions):
        return state.question in ("nature", ANYTHING) and bool(call.equipment)
    said = understood(state, call, context)
    if any(isinstance(each, Decide) for each in actions):
        return "intentions" in (state.question, *open_) and (said.intentions or bool(said.assistance))
    if _WILL.match(words.lower()):
        return True
    if any(isinstance(each, Wait) for each in actions):
        return any(reply.kind == "standby" for reply in said.replies)
    if len(words.split()) > FEW_WORDS:
        return False
    return replace(said, words="") != Call() or (state.question == ANYTHING and not words.rstrip().endswith("?"))


def left_open(state: ControllerState) -> frozenset[str]:
    """Return what was asked for before the present question, and has not been answered."""
    asked = set(state.asked)
    fuel_asked, people_asked = (bool({each, "more"} & asked) for each in ("fuel", "people"))
    missing = (("fuel", fuel_asked and not state.told.fuel), ("people", people_asked and not state.told.souls),
               ("emergency", "emergency" in asked and state.told.urgency == "none" and not state.declined),
               ("intentions", "intentions" in asked and not (state.place or state.planned)))
    return frozenset(each for each, is_missing in missing if is_missing)


def awaits(state: ControllerState, t_s: float) -> bool:
    """Say whether a call begun at `t_s` answers something: a question, an assignment, or a line not long ago."""
    return (state.unanswered_since_s is not None or bool(state.unread) or bool(state.question)
            or t_s - state.addressed_s <= ANSWERS_WITHIN_S)
