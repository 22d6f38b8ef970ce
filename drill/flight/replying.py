"""What few words mean because of the question that is open: a table from the question to what reads its answer.

A yes, a no and a "stand by" in other words become the reply that they are; what no reader knows stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from drill.flight.controller_state import ControllerState
from drill.flight.saying import said_now
from drill.flight.stages import ANYTHING, FIELD
from drill.language import read_call
from drill.language.calls import call_tokens
from drill.language.meaning import Call, Context, Reply, ReplyKind
from drill.language.patterns import compiled
from drill.language.places import known_places
from drill.language.words import word_set

OFFER, SURVEILLANCE = "offer", "surveillance"   # whether what was offered is wanted: vectors, a radar approach
NO_GYRO = "no_gyro"      # whether no-gyro vectors are wanted
VISUAL = "visual"        # whether the airplane is in visual conditions
ALTITUDE_SHOWN = "altitude_shown"   # about an altitude that radar does not show
WANTS_IFR = "wants_ifr"  # whether a clearance under IFR is wanted
TERRAIN = "terrain"      # whether the pilot keeps clear of the ground himself on the way up to the minimum altitude
CLIMBS_FIRST = "climbs_first"       # whether the minimum altitude has been reached, for a clearance there
LEVEL = "level"          # whether the wings can be levelled
CANCELS = "cancels"      # whether what ATC does is to end
HEADINGS = "headings"    # whether headings can be flown again
OVER = "over"            # whether the emergency is
YES_OR_NO = frozenset({OFFER, SURVEILLANCE, NO_GYRO, VISUAL, ALTITUDE_SHOWN, LEVEL, CANCELS, OVER, HEADINGS, FIELD,
                       ANYTHING, WANTS_IFR, TERRAIN, "control", "emergency", "turn", "able"})
"""The questions that a yes or a no closes."""
YES_WITHIN_S = 120.0     # an older question is not what a bare yes is about (the author's choice)
FEW_WORDS = 7            # an answer that names the trouble, or a figure, and nothing else
_MOST_PEOPLE = 20


@dataclass(frozen=True, slots=True)
class Question:
    """What the controller asks in an answer; `key` names it."""

    words: str
    key: str = ""


_FOREWORDS = r"^(?:uh |um |well |oh |ok |okay |sir |so |, )*"
_YES = compiled(rf"""
    {_FOREWORDS}(?:(?:we|i) (?:are|am|do|can|will|would|have)(?: so)?|i (?:think|believe|guess) so|
    (?:that (?:is|would be) )?(?:correct|right|great|good)|sure(?: thing)?|of course|please(?: do)?|you bet|
    by all means|absolutely|definitely|i would like that|more or less|pretty much|roughly)
    (?: (?:sir|please|now|yes))*$""")
_NO = compiled(rf"""
    {_FOREWORDS}(?:no|nah|not (?:yet|really|now|quite|at this (?:time|point|moment)|at the moment|right now|at all)|
    (?:we|i) (?:are|am|do|can|will) not|i do not (?:think|believe) so|(?:(?:i|we) would )?rather not|
    no (?:thanks|thank you))
    (?: (?:sir|thanks|thank you))*$|
    ^(?:disregard|cancel that|never ?mind)\b.*\b(?:keep|stay|remain)\b""")
_WAITS = compiled(rf"""
    {_FOREWORDS}(?:(?:give|allow) (?:me|us) (?:\w+ ){{0,2}}(?:moments?|minutes?|mins?|seconds?|secs?|
    bit|while|time|few|1|sec)|hang on|wait(?: 1)?|1 moment|ready(?: to copy)?|
    (?:still )?(?:thinking|deciding|working)(?: on (?:it|that))?|undecided|unknown|not (?:sure|decided)(?: yet)?|
    we will (?:see|let you know)|i do not know(?: yet)?|do not know(?: yet)?)(?: sir| please| yet)*$""")
_ABLE = re.compile(r"\b(?:able|ready) (?:to turn|for (?:the )?turns?)\b|^(?:we are |i am )?(?:able|ready)(?: now)?$")
_NOT_ABLE = re.compile(r"\b(?:not|un|unable) ?(?:able|to)\b")
_HEDGED = compiled(r"""
    \b(?:but|if|maybe|only|heard|read(?:ing)? you|(?:got|heard) the question|stand ?by|hang on|wait|thinking|on the|
    not (?:yet|now|really|quite|sure|declaring|an emergency|at this time|right now)|
    (?:yes|yeah|affirm\w*) (?:and|or) no|no (?:we|i) )\b|
    (?:^|, )no$""")
"""A yes with one of these words does not say that an emergency is declared: "yes, but not now"."""
_BESIDE_NAMES = word_set(
    """the a an my our both all and also plus or it is just only think i we have system pump instrument instruments
    problem failure trouble issue with of to in , . uh um er gauge indicator 1 2 total complete""")
_NO_COUNT = re.compile(r"\b(?:stand ?by|wait|moment|minutes?|mins?|hours?|seconds?|fuel|number|heading|feet|"
                       r"thousand|miles?|gallons?|tanks?|plus|and a half)\b")
"""Words beside which a figure counts no people: "stand by one"."""
_NO_FUEL = re.compile(r"\b(?:stand ?by|wait|moment|give me|ask|ago|heading|feet|thousand|miles?|gallons?|liters?|"
                      r"in (?:a|\d+|one|two|five|ten))\b")
FUEL_IN_WORDS = compiled(r"""
    \b(?:gallons?|litres?|liters?|pounds?|tanks?|plenty|lots|enough|no (?:fuel )?(?:problem|issue)s?|full|half)\b""")
"""An answer about fuel that names no time."""
_LIKELY_FUEL_MIN = range(5, 15 * 60)
_TWO = compiled(r"""
    ^(?:just |only )?(?:(?:me|myself|i|pilot) (?:and|plus) (?:my |a |the |1 )?[a-z]+(?: [a-z]+)?|a couple|
    the 2 of us|2 of us|both of us)$""")
_ONE = re.compile(r"^(?:just|only) (?:me|myself|the pilot)$|^(?:myself|solo|alone)$")
_IN_AND_OUT = compiled(r"""
    \b(?:in and out|between layers|hard ifr|in the (?:clag|muck|milk)|can not see (?:a thing|anything))\b""")
GOOD_WEATHER = compiled(r"""
    \b(?:some|any)(?:where|place) (?:that is |that has |with |in )*(?:clear|vfr|vmc|visual|(?:good|better|nice) weather|
    better)\b""")
GETS_DOWN = compiled(r"""
    \b(?:land|get (?:us |me |it |her )?(?:down|on the ground)|put (?:it|her) down)\b.*\b(?:as soon as (?:possible|
    practic\w+|(?:we|you) can)|soonest|anywhere|right now|asap|immediately|quickly)\b""")
"""Wants to be on the ground, wherever that is."""
_SOON = compiled(r"""
    \b(?:land|get down|get on the ground|put (?:it|her) down)\b.*\b(?:as soon as|nearest)\b|
    ^(?:the )?(?:nearest|closest)(?: (?:airport|field|runway|suitable))*$""")
_NO_EMERGENCY = compiled(r"""
    \bnot (?:yet|now|at this time|right now|necessary|needed)\b|^no (?:problem|worries|need)\b|\bunder control\b|
    ^maybe later$""")
_SERVICE = re.compile(r"\bno[- ]gyro\b(?: vectors?| turns?)?")
_SEES = compiled(r"""
    \b(?:runway|field|airport|lights|it)(?: is| are)? in sight\b|
    \b(?:see|have) (?:the |it |our )?(?:runway|field|airport|lights)(?: in sight)?\b|^in sight\b(?! of)""")
_TO_LAND = re.compile(r"^(?:to |we will |i want to |we want to )?land(?:ing)?(?: please)?$")
_GOES_ON = compiled(r"""
    \b(?:continu(?:e|ing)|proceed(?:ing)?|carry on|press on)(?: \w+){0,3} (?:as (?:cleared|filed|planned)|on course|
    to destination)\b|^(?:we will |i will |we would like to )?continue$|^as (?:cleared|filed)$""")
RULED_OUT = compiled(r"""
    \b(?:not|never|no longer|any(?:where|thing) (?:but|except)|except|other than|rather than|instead of|cancel|
    forget|disregard|scratch|without|unable)(?: (?:be|being|make|making|reach|get|go|going|land|landing|divert|
    diverting|fly|flying|proceed|to|at|in|into|for|want|like|need|the|about|direct|over|back|there|vectors?|
    heading)){0,6} $""")
"""How the words before a place go on that rule it out: "we will not be landing at", "anywhere but"."""
_BOUND_FOR = re.compile(r"\b(?:to|direct|at|into|for|towards?|via|land|landing|divert\w*|in|the|request\w*)\W*$",
                        re.IGNORECASE)
_DOUBT = re.compile(r"^(?:should|shall|would|could|is|are|do|does|can|what|which|how|where|why)\b.*\?$")


def bare(call: Call, context: Context) -> str:
    """Return a call's words without callsign and facility, contractions spelled out, numbers as digits."""
    kept = [token.text for token in call_tokens(call.words, context)
            if token.text not in ("<callsign>", "<facility>", "<other>")]
    said = re.sub(r"(?: ?[,.!] ?)+$|^(?: ?[,.!] ?)+", "", " ".join(kept).strip())
    return said.replace(" , ", ", ")


def answered(state: ControllerState, call: Call, context: Context) -> Call:
    """Return a call with what it answers to the question that is open."""
    said = bare(call, context)
    fresh = state.now_s - state.question_s <= YES_WITHIN_S
    kinds = {reply.kind for reply in call.replies}
    if state.question and _WAITS.search(said):
        return replace(call, replies=(*call.replies, Reply("standby")), places=(), intentions=False)
    if state.question in YES_OR_NO and fresh and not kinds & {"affirmative", "negative", "unable"}:
        call = _replied(call, state.question, said)
    reader = READERS.get(state.question)
    return call if reader is None else reader(call, said, context)


def _replied(call: Call, question: str, said: str) -> Call:
    kind: ReplyKind | None = None
    if _NO.search(said):
        kind = "negative"
    elif _YES.search(said) or (question in ("turn", "able") and _ABLE.search(said) and not _NOT_ABLE.search(said)):
        kind = "affirmative"
    return call if kind is None else replace(call, replies=(*call.replies, Reply(kind)))


def is_answer(question: str, call: Call) -> bool:
    """Say whether a call closes a question that wants yes or no."""
    kinds = {reply.kind for reply in call.replies}
    return question in YES_OR_NO and bool(kinds & {"affirmative", "negative", "unable"})


def _control(call: Call, said: str, context: Context) -> Call:  # noqa: ARG001 - all readers have one shape
    plain = "yes" in said.split() and not re.search(r"\b(?:no|not)\b", said)
    return replace(call, replies=(*call.replies, Reply("affirmative"))) if plain and not call.replies else call


def _nature(call: Call, said: str, context: Context) -> Call:  # noqa: ARG001 - all readers have one shape
    words = [token.text for token in call_tokens(call.words, context)]
    if call.equipment or not all(word in _BESIDE_NAMES or word.startswith("<") for word in words):
        return call
    return replace(call, equipment=read_call(f"we have lost the {call.words}", context).equipment)


def _intentions(call: Call, said: str, context: Context) -> Call:
    if _DOUBT.match(call.words.lower().strip()):
        return replace(call, places=(), intentions=False)
    if call.places or call.assistance:
        return call
    known = known_places(context)
    bound = [each for each in read_call(f"we will divert, {call.words}", context).places
             if each in known and not ruled_out(call.words, each)]
    if bound:
        return replace(call, intentions=True, places=(bound[0],))
    if len(call.words.split()) <= FEW_WORDS and (named := places_named(call.words, context)):
        return replace(call, intentions=True, places=named[:1])
    if GOOD_WEATHER.search(said):
        return replace(call, assistance=("vmc",), intentions=True)
    if _SOON.search(said) or GETS_DOWN.search(said):
        return replace(call, assistance=("nearest_airport",), intentions=True)
    if _TO_LAND.search(said):             # and where is asked
        return replace(call, assistance=("named_airport",), intentions=True)
    return replace(call, intentions=True) if goes_on(call) else call


def places_named(words: str, context: Context) -> tuple[str, ...]:
    """Return the known places that a line names and does not rule out, also where a facility is called so."""
    return tuple(each for each in known_places(context) if re.search(
        rf"\b{re.escape(each)}\b(?! (?:approach|tower|ground|center|departure|radio)\b)", words, re.IGNORECASE)
        and not ruled_out(words, each))


def sees(words: str, places: Iterable[str]) -> bool:
    """Say whether a field is reported in sight, be it by its name."""
    named = "|".join(re.escape(each.lower()) for each in places)
    return said_now(words, _SEES) or (bool(named) and said_now(words, re.compile(rf"\b(?:{named})(?: is)? in sight\b")))


def goes_on(call: Call) -> bool:
    """Say whether a call means to go on as cleared."""
    return said_now(call.words, _GOES_ON)


def ruled_out(words: str, place: str) -> bool:
    """Say whether a line names a place only to say that it is not gone to."""
    spelled = re.sub(r"n['\u2019]t\b|\bcant\b|cannot", " not", words.lower())
    at = spelled.find(place.lower())
    return at > 0 and RULED_OUT.search(spelled[:at]) is not None


def bound_first(words: str, places: tuple[str, ...]) -> tuple[str, ...]:
    """Return the places of a line, first those that it is bound for: "Tallowby is below minimums, going to Wendle"."""
    return tuple(sorted(places, key=lambda place: not bound_for(words, place)))


def bound_for(words: str, place: str) -> bool:
    """Say whether a line names a place as one to go to, and not only where something is."""
    at = words.lower().find(place.lower())
    return at <= 0 or _BOUND_FOR.search(words[:at]) is not None


def _emergency(call: Call, said: str, context: Context) -> Call:  # noqa: ARG001 - all readers have one shape
    kinds = {reply.kind for reply in call.replies}
    if call.urgency != "none" or call.declines_emergency:
        return call
    if "affirmative" in kinds and not _HEDGED.search(said):
        return replace(call, urgency="emergency")
    declines = "negative" in kinds or _NO_EMERGENCY.search(said) is not None
    return replace(call, declines_emergency=declines)


def _conditions(call: Call, said: str, context: Context) -> Call:
    if call.conditions != "unstated":
        return call
    if _IN_AND_OUT.search(said):
        return replace(call, conditions="imc")
    return replace(call, conditions=read_call(f"we are in {said}", context).conditions)


def fuel(call: Call, said: str, context: Context) -> Call:
    """Return the call with the minutes of fuel that a bare time names: "four hours", "one plus thirty"."""
    if call.fuel_min is not None or _NO_FUEL.search(said):
        return call
    plus = re.sub(r"\bplus\b", "and", call.words)
    return replace(call, fuel_min=next((
        found for words in (call.words, plus, f"{plus} hours")
        if (found := read_call(f"fuel {words}", context).fuel_min) is not None and found in _LIKELY_FUEL_MIN), None))


def people(call: Call, said: str, context: Context) -> Call:
    """Return the call with the people whom a few words count: "two", "me and my wife"."""
    if call.souls is None and (_TWO.search(said) or _ONE.search(said)):
        return replace(call, souls=2 if _TWO.search(said) else 1)
    if call.souls is not None or _NO_COUNT.search(said):
        return call
    return replace(call, souls=next((
        found for words in (f"{call.words} on board", f"on board {call.words}")
        if (found := read_call(words, context).souls) is not None and found <= _MOST_PEOPLE), None))


def _more(call: Call, said: str, context: Context) -> Call:
    call = fuel(call, said, context)
    return call if call.fuel_min is not None else people(call, said, context)


def _offer(call: Call, said: str, context: Context) -> Call:
    """Take the name of a field for a yes to vectors there: "Wendle it is"."""
    bound = _intentions(call, said, context)
    return replace(bound, assistance=("vectors",)) if bound.places and not call.assistance else call


def _no_gyro(call: Call, said: str, context: Context) -> Call:  # noqa: ARG001 - all readers have one shape
    """Take the name of the service that was offered for no report of what has failed."""
    if not call.equipment or not _SERVICE.search(call.words.lower()):
        return call
    return replace(call, equipment=read_call(_SERVICE.sub("", call.words.lower()), context).equipment)


READERS: Mapping[str, Callable[[Call, str, Context], Call]] = {
    "nature": _nature,
    "intentions": _intentions,
    "emergency": _emergency,
    "control": _control,
    "conditions": _conditions,
    NO_GYRO: _no_gyro,
    OFFER: _offer,
    "fuel": fuel,
    "people": people,
    "more": _more,
}
