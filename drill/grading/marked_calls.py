"""Calls marked up by element: what ATC heard in each, by which words, what it did not know by then, what was not read.

The elements of a report are those of 14 CFR 91.187(b) (who, what failed, how far that limits the flight, what is
wanted); the further ones those of a distress call, AIM 6-3-2.
"""

from __future__ import annotations

from dataclasses import replace

from drill.grading.debrief import CallHeard, Piece
from drill.grading.situation import Situation
from drill.grading.timeline import Deed
from drill.language.marking import Marked, marked
from drill.language.meaning import Context, Told, Transmit
from drill.scenario.model import NEEDS, Need
from drill.scenario.names import words_of

ELEMENTS = {
    "facility": "whom you called", "callsign": "who you are", "urgency": "how urgent it is",
    "equipment": "what failed", "impairment": "how far that limits you", "assistance": "what you want",
    "intentions": "what you mean to do", "conditions": "the weather you are in", "altitude_ft": "altitude",
    "heading_deg": "heading", "position": "where you are", "souls": "people on board", "fuel_min": "fuel",
    "places": "where to", "cancels_ifr": "cancelling IFR", "trouble": "that something is wrong",
    "rejoined": "what works", "replies": "answer",
}
MOST_MARKED = 12
"""Calls that are marked up; the others of a long talk have nothing new in them."""
_UNITS = {"altitude_ft": " ft", "fuel_min": " min"}
_SHORT = {"imc": "IMC", "vmc": "VMC"}
_NO_VALUE = frozenset({"callsign"})


def marked_calls(situation: Situation) -> tuple[CallHeard, ...]:
    """Return the calls that told ATC something new once it knew of trouble, marked up, in the order of time (s).

    So are those that only say that something is wrong, or what works again, and those that decline an emergency.
    """
    found: list[CallHeard] = []
    before = Told()
    for deed in situation.line.calls():
        known = replace(deed.told, calls=0)
        new, before = known != before, known
        if not isinstance(deed.action, Transmit) or len(found) >= MOST_MARKED:
            continue
        call = deed.action.meaning
        if (new and _in_trouble(deed.told)) or call.trouble or call.declines_emergency or (new and call.rejoined):
            found.append(_marked(situation, deed, deed.action))
    return tuple(found)


def heard_in(words: str, context: Context) -> CallHeard:
    """Return one call marked up by itself, as of somebody of whom ATC knows nothing: what is not in it is not known."""
    said = marked(words, context)
    told = Told().with_call(said.call)
    return _told(said, tuple(ELEMENTS[need] for need in NEEDS if not known_by(told, need)), 0.0)


def _in_trouble(told: Told) -> bool:
    return bool(told.equipment) or told.impairment or told.urgency != "none"


def _marked(situation: Situation, deed: Deed, action: Transmit) -> CallHeard:
    said = marked(action.call, situation.scenario.context, action.meaning)
    lacking = tuple(ELEMENTS[need] for need in NEEDS if not known_by(deed.told, need)) if _in_trouble(deed.told) else ()
    return _told(said, lacking, deed.t)


def _told(said: Marked, lacking: tuple[str, ...], at_s: float) -> CallHeard:
    pieces = tuple(Piece(ELEMENTS[each.element], _value(each.element, each.value), said.words[each.start:each.end],
                         each.start, each.end) for each in said.heard)
    return CallHeard(at_s, said.words, pieces, lacking, tuple(said.words[start:end] for start, end in said.unread))


def _value(element: str, value: str) -> str:
    if not value or element in _NO_VALUE:
        return ""
    if element == "heading_deg":
        return f"{int(value):03d}°"
    return f"{value}{_UNITS[element]}" if element in _UNITS else _SHORT.get(value, words_of(value))


def known_by(told: Told, need: Need) -> bool:
    """Say whether ATC, knowing what is `told`, knows this content of a report; what one means to do asks for it too."""
    if need == "assistance":
        return bool(told.assistance) or told.intentions
    return bool(getattr(told, need))
