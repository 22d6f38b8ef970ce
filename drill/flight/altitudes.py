"""Altitudes as they are granted: one that is asked for, on top, a block; and what is said where none is named.

In an emergency the pilot descends as he must; the minimum altitude is said to him (14 CFR 91.3(b)). VFR-on-top: FAA JO
7110.65 7-3-1, by memory.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

from drill.flight.controller_state import ControllerState, Radar, emergency, in_trouble, own_altitude
from drill.flight.orders import CEILING_FT
from drill.flight.phraseology import altitude_words
from drill.flight.saying import said_now
from drill.language.meaning import Call
from drill.language.numbers import join_numbers
from drill.language.words import tokens
from drill.scenario.model import Scenario

ON_TOP = re.compile(r"\b(?:on top|above the (?:cloud|clouds|tops|deck|layer|overcast)|over the top)\b", re.IGNORECASE)
VFR_ON_TOP = re.compile(r"\bv ?f ?r[- ]on[- ]top\b|\bv ?f ?r over the top\b", re.IGNORECASE)
_BELOW = re.compile(r"\b(?:below|under|beneath) (?:the |this )?(?:clouds?|overcast|layer|deck|ceiling)\b")
_ABOVE_TOPS_FT, _BELOW_BASE_FT = 300.0, 200.0
_BLOCK_FT, _LEAST_SAID_FT = 1000.0, 500.0
_OPPOSITE_FT = 300.0
_UP, _DOWN = re.compile(r"\b(?:climb|higher|up)\b"), re.compile(r"\b(?:descend|descent|lower|down)\b")
_NOW = re.compile(r"\b(?:now|immediate(?:ly)?|right away|at once|asap|urgent(?:ly)?)\b")
_NAMED = re.compile(r"\b(?:get|have|want|like|need|take|make (?:that|it)|chance of)(?: (?:up|down|at|to))* (\d{4,5})\b")
_NO_LEVEL = re.compile(r"\b(?:miles?|degrees|heading|minutes?|hours?|gallons)\b")


def altitude_in(words: str) -> int | None:
    """Return the one altitude (ft) that words ask for or mend, None for none or for several: "can we get 9000"."""
    if _NO_LEVEL.search(words.lower()):
        return None
    said = joined(words)
    levels = {int(each) for each in _NAMED.findall(said) if 1000 <= int(each) <= CEILING_FT}
    return levels.pop() if len(levels) == 1 else None


def joined(words: str) -> str:
    """Return words in small letters with their numbers in figures."""
    return " ".join(each.text for each in join_numbers(tokens(words.lower())))


def granted_altitude(scenario: Scenario, state: ControllerState, call: Call, radar: Radar, *,
                     on_top: bool) -> tuple[ControllerState, str]:
    """Return the controller with the altitude that is asked for, and the words for it; "" where it is to be named."""
    words, least = call.words.lower(), scenario.minimum_altitude_ft
    wanted = call.altitude_wanted_ft if call.altitude_wanted_ft is not None else altitude_in(call.words)
    if VFR_ON_TOP.search(words) and wanted is None:
        return _vfr_on_top(scenario, state)
    cloud = scenario.weather.cloud
    if wanted is None and on_top and cloud is not None:
        wanted = math.ceil((cloud.tops_ft + _ABOVE_TOPS_FT) / 1000.0) * 1000
        state = replace(state, altitude_ft=float(wanted), own_altitude=own_altitude(state))
        tops = f"tops are reported at {altitude_words(cloud.tops_ft)}"
        return state, f"climb and maintain {altitude_words(wanted)}, {tops}"
    if wanted is None and cloud is not None and _BELOW.search(words):
        wanted = math.floor((cloud.base_ft - _BELOW_BASE_FT) / 100.0) * 100
        if wanted < least and not emergency(state):
            return state, f"unable below {altitude_words(least)}, bases are reported at {altitude_words(cloud.base_ft)}"
    if wanted is None:
        return _unnamed(scenario, state, words)
    if wanted > CEILING_FT:
        return replace(state, wants_altitude=True), f"unable {altitude_words(wanted)}"
    up, down = (said_now(words, each) for each in (_UP, _DOWN))
    if (up and not down and wanted < radar.altitude_ft - _OPPOSITE_FT) or (
            down and not up and wanted > radar.altitude_ft + _OPPOSITE_FT):
        return _unnamed(scenario, state, words)   # "climb two thousand feet" from five thousand: to, or by?
    if wanted < least and emergency(state):
        base = "" if cloud is None else f", bases are reported at {altitude_words(cloud.base_ft)}"
        state = replace(state, altitude_ft=None, own_altitude=True)
        return state, (f"minimum altitude in your area is {altitude_words(least)}, below that at your own "
                       f"discretion{base}")
    if wanted < least:
        return state, f"unable {altitude_words(wanted)}, minimum altitude {altitude_words(least)}"
    state = replace(state, wants_altitude=False, asked=tuple(each for each in state.asked if each != "altitude"),
                    question="" if state.question == "altitude" else state.question)
    rise = wanted - radar.altitude_ft
    verb = "climb and " if rise > 150 else "descend and " if rise < -150 else ""
    state = replace(state, altitude_ft=float(wanted), own_altitude=own_altitude(state))
    return state, f"{verb}maintain {altitude_words(wanted)}"


def _unnamed(scenario: Scenario, state: ControllerState, words: str) -> tuple[ControllerState, str]:
    """Answer who asks for another altitude and not which: in need it is his own, with the minimum; else it is asked."""
    least = f"minimum altitude in your area is {altitude_words(scenario.minimum_altitude_ft)}"
    need = emergency(state) or (in_trouble(state) and (
        _NOW.search(words) is not None or state.told.conditions == "icing" or state.control == "unable"))
    if need or state.own_altitude:
        way = "descend" if _DOWN.search(words) else "climb" if _UP.search(words) else "altitude"
        # how high he means to go has to be known above him; how low is the pilot's affair
        state = replace(state, own_altitude=True, altitude_ft=None, wants_altitude=way == "climb")
        return state, f"{way} at your discretion, {least}"
    asked = state.asked if state.question == "altitude" else tuple(   # for another wish it is asked anew
        each for each in state.asked if each != "altitude")
    return replace(state, wants_altitude=True, asked=asked), ""


def _vfr_on_top(scenario: Scenario, state: ControllerState) -> tuple[ControllerState, str]:
    cloud = scenario.weather.cloud
    if cloud is None:
        return replace(state, altitude_ft=None, own_altitude=True), "maintain VFR on top"
    top = math.ceil((cloud.tops_ft + _ABOVE_TOPS_FT) / 1000.0) * 1000
    state = replace(state, altitude_ft=float(top), own_altitude=own_altitude(state), wants_altitude=False)
    return state, (f"climb to and report reaching VFR on top, tops are reported at {altitude_words(cloud.tops_ft)}. "
                   f"If not on top at {altitude_words(top)}, maintain {altitude_words(top)} and advise")


def block_in(words: str) -> tuple[float, float] | None:
    """Return the lower and the upper altitude (ft) that a call for a block names; equal where it names one only."""
    found = [float(each.text) for each in join_numbers(tokens(words.lower())) if each.text.isdecimal()]
    said = [each for each in found if _LEAST_SAID_FT <= each <= CEILING_FT]
    # "six to eight thousand", "six to eight": the thousand stands behind the second one, or behind neither
    said += [each * 1000.0 for each in found if 1.0 <= each < 20.0 and len(said) < 2 and len(found) == 2]
    return (min(said), max(said)) if said else None


def granted_block(scenario: Scenario, state: ControllerState, call: Call, radar: Radar) -> tuple[ControllerState, str]:
    """Return the controller with a block of altitudes: the one asked for, above the minimum; else a thousand feet."""
    here_ft = state.altitude_ft or radar.altitude_ft
    low, high = block_in(call.words[call.words.lower().find("block"):]) or (here_ft, here_ft)
    low = max(low, scenario.minimum_altitude_ft)
    high = high if high > low else low + _BLOCK_FT
    state = replace(state, own_altitude=True, altitude_ft=None, holding=True, wants_altitude=False)
    return state, f"block {altitude_words(low)} through {altitude_words(high)} approved"
