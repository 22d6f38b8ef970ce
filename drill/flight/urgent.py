"""What is answered to trouble: what has been copied, what the pilot is free to do, and what can be known at once.

Headings and altitudes are the pilot's in an emergency (14 CFR 91.3(b)); the minimum altitude in the area is said with
it, for a pilot in cloud cannot see it. Without a radio: 14 CFR 91.185 and FAA JO 7110.65 10-4-4, by memory.
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.answering import Answering
from drill.flight.controller_state import ControllerState, emergency, must_land, powerless
from drill.flight.granting import without_heading
from drill.flight.helping import level_words
from drill.flight.information import nearest_first
from drill.flight.natures import calls_out_crews, copied
from drill.flight.phraseology import altitude_words, field_of, names_words, where_is
from drill.flight.replying import HEADINGS, LEVEL, NO_GYRO, Question
from drill.flight.saying import said_now
from drill.flight.stages import LOST_HEADING
from drill.language.patterns import compiled
from drill.scenario.model import Scenario

MINIMUM_FUEL = re.compile(r"\bminimum fuel\b|\bmin fuel\b", re.IGNORECASE)
NO_HELP = compiled(r"""
    \bno (?:further |other )?(?:assistance|help)\b|\bassistance (?:is )?not (?:required|needed)\b|
    \b(?:do not|don['\u2019]t|won['\u2019]t) (?:need|require) (?:any )?(?:assistance|help)\b""")
_SYSTEMS = frozenset({"vacuum_system", "electrical_system", "static_system"})
_OFF_FIELD = compiled(r"""
    \b(?:land(?:ing)?|put(?:ting)? (?:it|her) down|ditch(?:ing)?|set(?:ting)? (?:it|her) down) (?:\w+ )?(?:in|on|into)
    [ ](?:a|an|the|some|this) (?:\w+ )?(?:field|road|highway|meadow|lake|river|water|beach|farm|pasture|trees|
    clearing)\b|
    \bforced landing\b|\boff[- ]airport\b""")
_NO_RADIO = compiled(r"""
    \b(?:if|in case|should|when|may|might|will|going to|about to|could|expect\w*|likely|afraid)\b[^,.]*\b(?:lose|
    losing|lost|be without|have no|no) (?:\w+ )?(?:radios?|comm?s?|communications?|radio contact)\b|
    \b(?:lost|loss of) (?:comm?s?|communications?|radio)\b[^,.]*\b(?:instructions?|procedures?|clearance)\b|
    \bwhat\b[^,.]*\b(?:lost|loss of) (?:comm?s?|communications?|radio)\b|
    \bif\b[^,.]*\b(?:radios? (?:fails?|quits?|dies?|goes)|can(?: not|'t) (?:hear|reach|read) (?:you|us)|
    (?:you|we) do(?: not|n't) hear)\b|
    \bno (?:more )?radio (?:after|from)\b|\blast transmission\b|\bwithout (?:a )?radio\b|
    \b(?:shut(?:ting)?|turn(?:ing)?|switch(?:ing)?) (?:off|down) (?:the )?(?:master|battery|avionics|radios?)\b""")
_ROUND_FT = 1000.0


def freedom(scenario: Scenario, state: ControllerState) -> str:
    """Return what a pilot in an emergency is free to do: no headings while turns are called."""
    least = f"minimum altitude in your area is {altitude_words(scenario.minimum_altitude_ft)}"
    what = f"{'' if state.turns is not None else 'any heading and '}any altitude at your discretion"
    return what if state.seen.on_ground or state.told.conditions == "vmc" else f"{what}, {least}"


def declared(a: Answering) -> Answering:
    """Answer a declaration: headings and altitudes are left to the pilot, the frequency stays."""
    call, state = a.call, a.state
    if not a.received.declares:
        return a
    heard = {"mayday": "roger mayday", "pan-pan": "roger pan-pan", "emergency": "roger, emergency"}[call.urgency]
    if a.radar.on_ground:
        return a.saying(f"{heard}, emergency equipment is on the way")
    stay = "Remain on this frequency" if state.gave == "frequency" else ""
    low = call.altitude_wanted_ft is not None and call.altitude_wanted_ft < a.scenario.minimum_altitude_ft
    free = "any heading at your discretion" if low else freedom(a.scenario, state)
    if must_land(state) and (powerless(state) or call.assistance or call.places):
        free = ""                         # the way comes first, and that with it
    return a.saying([f"{heard}, {free}" if free else heard, stay])


def emergency_ended(a: Answering) -> Answering:
    """Answer the end of an emergency: an altitude is assigned again, but in an approach."""
    if "cancels_emergency" not in a.kinds:
        return a
    state = replace(a.state, asked=(*a.state.asked, "emergency"), question="")
    if state.approach is not None or state.ifr_cancelled or a.radar.on_ground:
        return a.saying("roger, emergency cancelled", state)
    least = a.scenario.minimum_altitude_ft
    here = round(a.radar.altitude_ft / _ROUND_FT) * _ROUND_FT
    to = state.altitude_ft
    if to is None or abs(to - a.radar.altitude_ft) > _ROUND_FT / 2:
        to = here if here >= least else here + _ROUND_FT * max(1.0, (least - here) // _ROUND_FT + 1)
    state = replace(state, altitude_ft=to, own_altitude=emergency(state))
    return a.saying(f"roger, emergency cancelled, maintain {altitude_words(to)}", state)


_QUITS = re.compile(r"\b(?:fail\w*|quit\w*|rough|stopp\w*|dead|lost|losing|out|power)\b", re.IGNORECASE)


def reported(a: Answering) -> Answering:
    """Copy what has been reported failed or wrong, once; say at once what helps: fields, crews, a minimum altitude."""
    state, call = a.state, a.call
    new = a.received.natures
    parts = a.received.reports
    only_burns = "fire" in new and not _QUITS.search(call.words)
    named = tuple(each for each in parts if not (each == "engine" and only_burns))   # "engine fire" is no failure
    names = [f"{names_words(named)} {'failure' if set(named) <= _SYSTEMS | {'engine'} else 'failed'}"] if named else []
    words = []
    if (names or new) and not (a.received.declares and not new and not parts):
        heard = " and ".join([*copied(new), *names])
        words.append(f"copy {heard}" if a.said else f"roger, copy {heard}")
    if MINIMUM_FUEL.search(call.words):
        words.append("roger, minimum fuel, no delay expected")   # AIM 5-5-15, by memory
    if calls_out_crews(new) and not a.radar.on_ground:
        words.append("emergency equipment will be standing by")
    near = next(iter(nearest_first(a.scenario, a.radar)), None)
    down = must_land(state) and ("engine" in parts or "fire" in new) and not (
        call.places or call.assistance or state.place or a.radar.on_ground)
    if (down or "lost" in new) and near is not None:
        where = where_is(near, a.radar.north_nm, a.radar.east_nm).replace(" is heading", ", heading")
        words.append(f"nearest field is {where}")
    return a.saying(words, state)


def left_without_heading(a: Answering) -> Answering:
    """Offer turns at his word to a pilot who flies headings and now reports that he has nothing to fly them by."""
    new = bool(a.received.reports) or a.call.impairment or a.call.conditions != "unstated"
    state = a.state
    if not new or not state.vectored or a.call.assistance or NO_GYRO in state.asked or not without_heading(state):
        return a
    return a.saying("", state, question=Question("do you want no-gyro vectors?", NO_GYRO))


def headings_again(a: Answering) -> Answering:
    """Ask a pilot who is turned at his word, and has the gyro for his heading again, whether he can fly headings."""
    state, back = a.state, set(a.call.rejoined) & LOST_HEADING
    if not back or state.turns is None or state.told.equipment & LOST_HEADING or a.question is not None:
        return a
    return a.saying([] if a.said else "roger", state, question=Question("are you able to fly headings?", HEADINGS))


def off_field(a: Answering) -> Answering:
    """Answer who lands away from an airport: rescue, and the position that is passed on."""
    if not said_now(a.call.words, _OFF_FIELD) or a.radar.on_ground:
        return a
    near = next(iter(nearest_first(a.scenario, a.radar)), None)
    where = "" if near is None else f", radar shows {where_is(near, a.radar.north_nm, a.radar.east_nm)} from you"
    state = replace(a.state, planned=True, place="", vectored=False, heading_deg=None, own_heading=True,
                    asked=(*a.state.asked, "fuel"))
    return replace(a.saying(f"roger, rescue services are being sent to your position{where}", state, call=replace(
        a.call, assistance=(), intentions=False, places=())), kinds=a.kinds - {"unable"})


def asks_without_radio(words: str) -> bool:
    """Say whether words ask what is to be done without a radio."""
    said = words.lower().replace("\u2019", "'")
    return _NO_RADIO.search(said) is not None and re.search(r"\bwhat\b|\?", said) is not None


def radio_lost(a: Answering) -> Answering:
    """Say what to do without a radio, to a pilot who asks for it or is about to be without."""
    if _NO_RADIO.search(a.call.words.lower()) is None or a.radar.on_ground or a.state.ifr_cancelled:
        return a
    told = replace(a.state.told, equipment=a.state.told.equipment - {"radio"})   # it works, or this were not heard
    received = replace(a.received, reports=tuple(each for each in a.received.reports if each != "radio"))
    bound = next((each for each in a.call.places if field_of(a.scenario, each) is not None), a.state.place)
    words = lost_words(a.scenario, replace(a.state, place=bound), a.radar.altitude_ft)
    return replace(a.saying(words, replace(a.state, planned=True, told=told)), received=received)


def lost_words(scenario: Scenario, state: ControllerState, altitude_ft: float) -> str:
    """Return what is done without a radio: code, by sight if that can be; else the way and the altitude assigned."""
    field = field_of(scenario, state.place) or (
        field_of(scenario, scenario.course[0]) if scenario.course is not None else None)
    to = "on your present route" if field is None else f"to {field.name}"
    least = state.altitude_ft if state.altitude_ft is not None else altitude_ft
    at = altitude_words(max(least, scenario.minimum_altitude_ft))
    return (f"if no transmissions are received, squawk seven six zero zero. In visual conditions remain VFR and land. "
            f"Otherwise proceed {to} at {at}")


def no_help(a: Answering) -> Answering:
    """Answer who says that no help is needed."""
    if not NO_HELP.search(a.call.words.lower()) or a.call.assistance:
        return a
    return a.saying(f"{'' if a.said else 'roger, '}advise if you need assistance")


def not_level(a: Answering) -> Answering:
    """Offer turns at his word to a pilot who cannot stop a turn or a descent."""
    if a.state.question != LEVEL or not a.kinds & {"negative", "unable"}:
        return a
    state = replace(a.state, control="unable", question="")
    if state.turns is None and a.scenario.fields and NO_GYRO not in state.asked:
        return a.saying("", state, question=Question("do you want no-gyro vectors?", NO_GYRO))
    steady = replace(a, state=state, kinds=a.kinds - {"unable"})
    return steady.saying(f"roger, {level_words(state)}", closed=True)
