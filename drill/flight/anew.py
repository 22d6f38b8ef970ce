"""IFR anew for an airplane that flies VFR: limit, route, altitude and code; no clearance below the minimum in cloud.

FAA JO 7110.65 4-2-1 and 4-2-8, by memory. Below the minimum altitude a pilot who sees the ground is asked whether he
keeps clear of it himself on the way up; one in cloud has to climb first, at once.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

from drill.flight.answering import Answering
from drill.flight.controller_state import ControllerState, emergency
from drill.flight.information import nearest_first
from drill.flight.orders import CEILING_FT
from drill.flight.phraseology import altitude_words, field_of
from drill.flight.replying import ALTITUDE_SHOWN, CLIMBS_FIRST, TERRAIN, VISUAL, WANTS_IFR, Question
from drill.language.meaning import Call
from drill.language.numbers import join_numbers, spoken_digits
from drill.language.patterns import compiled
from drill.language.words import tokens
from drill.scenario.model import Field

_INSTRUMENT = r"(?:i ?f ?r\b(?! (?:conditions|weather|cancel\w*|traffic|departures?))|instrument (?:clearance|flight))"
_WANTS = compiled(rf"""
    \b(?:request\w*|need|like|want|get|have|give|issue|pick\w* up|file|filing|resume|reinstate|go|going|back|
    pop-?up|cleared)\b[^.;]*?\b{_INSTRUMENT}""")
_DENIED = compiled(rf"""
    \b(?:no|not|n't|without|never|unable|cancel\w*|until|before)\b[^,.;]*\b{_INSTRUMENT}""")
_HERE = compiled(r"\b(?:present|currently|now|level|cloud|passing|leaving|out of|we are|i am|radar)\b")
_LEVEL = re.compile(r"\b(\d{4,5})\b")
_LOW_FT = 200.0
_ROUND_FT = 1000.0
_GIVEN = frozenset({"named_airport", "altitude_change", "nearest_airport", "vmc"})
_LED = frozenset({"vectors", "no_gyro_vectors", "radar_approach"})


def wants_ifr(call: Call) -> bool:
    """Say whether a call asks for a clearance under IFR, or says that it wants to be under it again."""
    said = call.words.lower().replace("\u2019", "'")
    return not call.cancels_ifr and _WANTS.search(said) is not None and _DENIED.search(said) is None


def cleared_anew(a: Answering) -> Answering:
    """Clear an airplane that has cancelled IFR and wants it again; offer it to one that is in cloud without it."""
    state, call = a.state, a.call
    if not state.ifr_cancelled or a.radar.on_ground or call.cancels_ifr:
        return a
    no, yes = bool(a.kinds & {"negative", "unable"}), "affirmative" in a.kinds
    asks = wants_ifr(call) or (state.question == WANTS_IFR and yes)
    goes_on = state.question == TERRAIN and yes
    up = state.question == CLIMBS_FIRST and not no and not _low(a)
    if state.question in (TERRAIN, WANTS_IFR) and no:
        return _refused(a)
    if not (asks or goes_on or up):
        blind = call.conditions in ("imc", "icing") and state.question not in (WANTS_IFR, CLIMBS_FIRST, TERRAIN)
        if not blind or call.assistance or emergency(state):
            return a
        return a.saying("", question=Question("do you want an IFR clearance?", WANTS_IFR))
    field = _bound(a)
    if field is None:
        return a if call.places else a.saying("", question=Question("say destination", "intentions"))
    state = replace(state, place=field.name, planned=True)
    if _low(a) and not goes_on and not emergency(state):
        a = replace(a, state=state)
        return _climbs_first(a) if _blind(state) else a.saying("", question=Question(
            f"are you able to maintain your own terrain and obstruction clearance until reaching {_least(a)}?",
            TERRAIN), call=_left(call))
    return _cleared(replace(a, state=state), field)


def _cleared(a: Answering, field: Field) -> Answering:
    """Return the clearance (FAA JO 7110.65 4-2-1: limit, route, altitude, code)."""
    state, call, here_ft = a.state, a.call, a.radar.altitude_ft
    wanted = _wanted(call)
    least_ft = math.ceil(a.scenario.minimum_altitude_ft / 100.0) * 100.0
    round_ft = round(here_ft / _ROUND_FT) * _ROUND_FT
    unfit = wanted is not None and not least_ft <= wanted <= CEILING_FT
    refused = [f"unable {altitude_words(wanted or 0.0)}"] if unfit else []
    to = float(wanted) if wanted is not None and not refused else round_ft if round_ft >= least_ft else least_ft
    verb = "climb and " if to > here_ft + 150.0 else "descend and " if to < here_ft - 150.0 else ""
    way = "radar vectors" if set(call.assistance) & _LED else "direct"
    code = a.scenario.clearance.code
    squawk = f", squawk {spoken_digits(code)}" if code else ""
    told = state.told if call.conditions != "unstated" else replace(state.told, conditions="unstated")
    state = replace(
        state, ifr_cancelled=False, told=told, altitude_ft=to, own_altitude=emergency(state), heading_deg=None,
        own_heading=True, wants_altitude=False, question="", approach=None,
        asked=tuple(each for each in state.asked if each not in (VISUAL, ALTITUDE_SHOWN, TERRAIN, WANTS_IFR)))
    words = f"cleared to {field.name} via {way}, {verb}maintain {altitude_words(to)}{squawk}"
    return a.saying([*refused, words], state, call=_left(call))


def _climbs_first(a: Answering) -> Answering:
    """Refuse, below the minimum altitude in cloud, what would be no protection; the climb is what counts."""
    words = f"unable IFR clearance below {_least(a)}, climb immediately to {_least(a)}, report reaching"
    return a.saying("", question=Question(words, CLIMBS_FIRST), call=_left(a.call))


def _refused(a: Answering) -> Answering:
    if a.state.question == WANTS_IFR:
        return a.saying("roger, maintain VFR, advise if unable", replace(a.state, question=""))
    if _blind(a.state):
        return _climbs_first(a)
    return a.saying(f"unable IFR clearance below {_least(a)}, maintain VFR, advise reaching {_least(a)} or if unable",
                    replace(a.state, question=CLIMBS_FIRST), closed=True)


def _left(call: Call) -> Call:
    led = bool(set(call.assistance) & _LED)
    left = tuple(each for each in call.assistance if each not in _GIVEN or (led and each == "named_airport"))
    return replace(call, assistance=left, intentions=led, places=call.places if led else (), altitude_wanted_ft=None)


def _low(a: Answering) -> bool:
    return a.radar.altitude_ft < a.scenario.minimum_altitude_ft - _LOW_FT


def _blind(state: ControllerState) -> bool:
    return state.told.conditions in ("imc", "icing")


def _least(a: Answering) -> str:
    return altitude_words(a.scenario.minimum_altitude_ft)


def _bound(a: Answering) -> Field | None:
    """Return where it is bound for: the field that it names, where it was going, its course, the nearest one."""
    named = [field for name in a.call.places if (field := field_of(a.scenario, name)) is not None]
    if named or a.call.places:
        return next(iter(named), None)
    if "nearest_airport" in a.call.assistance:
        return next(iter(nearest_first(a.scenario, a.radar)), None)
    course = a.scenario.course
    return field_of(a.scenario, a.state.place) or (field_of(a.scenario, course[0]) if course is not None else None)


def _wanted(call: Call) -> int | None:
    """Return the altitude (ft) that is wanted under IFR, not the one that the airplane is at; None for none."""
    if call.altitude_wanted_ft is not None:
        return call.altitude_wanted_ft
    for clause in call.words.lower().replace(",000", "000").split(","):
        said = " ".join(each.text for each in join_numbers(tokens(clause)))
        levels = [] if _HERE.search(said) else [int(each) for each in _LEVEL.findall(said)]
        if levels and 1000 <= levels[-1] <= CEILING_FT:
            return levels[-1]
    return None
