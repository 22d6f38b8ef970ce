"""Around weather, and off the frequency for a while: asked for in words of weather, and not a question about it.

Approved to the side that was asked for, with a word when clear (AIM 7-1-12 and FAA JO 7110.65 2-6-4, by memory).
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Radar, emergency
from drill.flight.phraseology import field_of
from drill.flight.stages import LOST_HEADING
from drill.flight.steering import rounded_deg, turn_words
from drill.flight.vectoring import vectored_to
from drill.flight.weather import bearing_deg
from drill.language.meaning import Call
from drill.language.numbers import spoken_digits
from drill.scenario.model import Scenario

_ROUND_DEG = 20.0
_WEATHER = r"(?:weather|rain|showers?|storms?|thunderstorms?|cells?|build ?ups?|precip(?:itation)?|this cloud)"
_ASIDE = re.compile(rf"\bdeviat\w*\b|\b(?:left|right)\b.*\b(?:for|around|to avoid|due to)\b.*\b{_WEATHER}\b|"
                    rf"\b(?:for|around|avoid|due to)\b.*\b{_WEATHER}\b.*\b(?:left|right)\b", re.IGNORECASE)
_ROUND = re.compile(rf"\b(?:around|avoid|clear of)\b (?:the |this |that |some )?{_WEATHER}\b", re.IGNORECASE)
_AMOUNT = re.compile(r"\b((?:\w+ )?\w+) degrees?\b", re.IGNORECASE)
_SIDE = re.compile(r"\b(left|right)\b", re.IGNORECASE)
_OFF = re.compile(r"\b(?:off|leave|leaving)\b(?: the| your| this)? ?frequency\b.*"
                  r"\b(?:minutes?|moment|weather|atis|awos|briefing|flight service|radio)\b|"
                  r"\boff (?:the |your |this )?(?:air|frequency) (?:for|to)\b", re.IGNORECASE)
_CLEAR = re.compile(rf"\b(?:clear of|past|around|through) (?:the |that |this )?{_WEATHER}\b", re.IGNORECASE)
_WANTS = re.compile(r"\b(?:request|like|want|need|can|could|may|vectors?)\b", re.IGNORECASE)


def deviated(scenario: Scenario, state: ControllerState, call: Call,
             radar: Radar) -> tuple[ControllerState, str, Call]:
    """Return the controller, what it says ("" for nothing), and what of the call is left to be answered."""
    words = call.words
    rest = replace(call, words="", assistance=(), heading_wanted_deg=None)
    if _OFF.search(words) and _SIDE.search(words) is None:
        if emergency(state):
            return state, "remain on this frequency", replace(rest, words=words, assistance=("weather",))
        return state, "approved, report back on this frequency", rest
    if not _WANTS.search(words) and "?" not in words and _ASIDE.search(words) is None and not state.aside:
        return state, "", call
    side = _SIDE.search(words)
    if state.aside and side is None and _CLEAR.search(words) and not _WANTS.search(words):
        return _on_course(scenario, state, radar, rest)
    if side is not None and _ASIDE.search(words) and not call.places:
        amount = _AMOUNT.search(words)
        degrees = f" {_counted(amount.group(1))} degrees" if amount is not None else ""
        return _aside(state), f"deviation{degrees} {side.group(1).lower()} approved, advise when clear of weather", rest
    if _ROUND.search(words) and _WANTS.search(words):
        way = 1.0 if side is None or side.group(1).lower() == "right" else -1.0
        place = field_of(scenario, state.place)
        if side is None and place is not None:   # to the side where it wants to go
            to = bearing_deg(place, radar.north_nm, radar.east_nm)
            way = 1.0 if wrap_deg(FLOATS, to - radar.track_deg) >= 0.0 else -1.0
        if state.turns is not None or state.told.equipment & LOST_HEADING:
            named = "right" if way > 0.0 else "left"
            return _aside(state), f"turn {named} two zero degrees, report clear of the weather", rest
        heading = rounded_deg((radar.track_deg + way * _ROUND_DEG) % 360.0)
        state = replace(_aside(state), heading_deg=heading)
        return state, f"{turn_words(state, radar.track_deg, heading)} around the weather, report clear", rest
    return state, "", call


def _on_course(scenario: Scenario, state: ControllerState, radar: Radar,
               rest: Call) -> tuple[ControllerState, str, Call]:
    """Lead on an airplane that is clear of the weather."""
    state = replace(state, aside=False)
    place = field_of(scenario, state.place)
    if state.turns is not None:
        return replace(state, turns=replace(state.turns, suspended=False, started=False)), (
            f"roger, no-gyro vectors to {state.turns.place} again"), rest
    if state.vectored and place is not None:
        led = vectored_to(state, place, radar)
        return led, (f"roger, {turn_words(state, radar.track_deg, led.heading_deg or 0.0)}, "
                     f"vectors to {place.name}"), rest
    return state, "roger, resume own navigation", rest


def _counted(said: str) -> str:
    """Return the words of a number of degrees without the word before them: "request five" is "five"."""
    words = said.split()
    if words[-1].isdecimal():
        return spoken_digits(words[-1])
    numbers = {"five", "ten", "fifteen", "twenty", "thirty", "forty"}
    return said if all(each in numbers for each in words) else words[-1]


def _aside(state: ControllerState) -> ControllerState:
    turns = None if state.turns is None else replace(state.turns, suspended=True, way=0)
    return replace(state, own_heading=True, heading_deg=None, turns=turns, aside=True)
