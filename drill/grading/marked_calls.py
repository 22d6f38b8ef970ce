"""Calls marked up by element: what ATC heard in each, by which words, what it did not know by then, what was not read.

The elements of a report are those of 14 CFR 91.187(b) (who, what failed, how far that limits the flight, what is
wanted); the further ones those of a distress call, AIM 6-3-2.
"""

from __future__ import annotations

from dataclasses import replace

from drill.clean import clean_line
from drill.grading.debrief import CallHeard, Piece
from drill.grading.situation import Situation
from drill.grading.timeline import Deed
from drill.language.marking import marked
from drill.language.meaning import Told, Transmit
from drill.scenario.model import NEEDS
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

    So are those that only say that something is wrong, and those that decline an emergency.
    """
    found: list[CallHeard] = []
    before = Told()
    for deed in situation.line.calls():
        known = replace(deed.told, calls=0)
        new, before = known != before, known
        if not isinstance(deed.action, Transmit) or len(found) >= MOST_MARKED:
            continue
        call = deed.action.meaning
        if (new and _in_trouble(deed.told)) or call.trouble or call.declines_emergency:
            found.append(_marked(situation, deed, deed.action))
    return tuple(found)


def _in_trouble(told: Told) -> bool:
    return bool(told.equipment) or told.impairment or told.urgency != "none"


def _marked(situation: Situation, deed: Deed, action: Transmit) -> CallHeard:
    said = marked(action.call, situation.scenario.context, action.meaning)
    pieces = tuple(Piece(ELEMENTS[each.element], _value(each.element, each.value), said.words[each.start:each.end],
                         each.start, each.end) for each in said.heard)
    lacking = tuple(ELEMENTS[need] for need in NEEDS if not _known(deed.told, need)) if _in_trouble(deed.told) else ()
    return CallHeard(deed.t, clean_line(action.call), pieces, lacking,
                     tuple(said.words[start:end] for start, end in said.unread))


def _value(element: str, value: str) -> str:
    if not value or element in _NO_VALUE:
        return ""
    if element == "heading_deg":
        return f"{int(value):03d}°"
    return f"{value}{_UNITS[element]}" if element in _UNITS else _SHORT.get(value, words_of(value))


def _known(told: Told, need: str) -> bool:
    if need == "assistance":
        return bool(told.assistance) or told.intentions
    return bool(getattr(told, need))
