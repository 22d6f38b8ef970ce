"""What the controller answers to an airplane on the ground, parked or taxiing: no radar service, no clearance aloft."""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.controller_state import ControllerState, Radar
from drill.flight.information import asked_about
from drill.flight.natures import calls_out_crews, natures_in
from drill.flight.phraseology import spoken_runway
from drill.flight.saying import said_now
from drill.flight.weather import nearest_field
from drill.language.meaning import Call
from drill.scenario.model import Scenario

_TAXI = re.compile(r"\btaxi(?:ing)?\b", re.IGNORECASE)
_WANTS = re.compile(r"\b(?:request|ready|like|want|need|may(?! ?day)|can|could|permission)\b", re.IGNORECASE)
_PROGRESSIVE = re.compile(r"\bprogressive\b", re.IGNORECASE)
_BACK = re.compile(r"\b(?:ramp|parking|apron|tie ?downs?|stand|hangar|shop|back)\b", re.IGNORECASE)
_VISUAL = re.compile(r"\b(?:vfr|visual(?: flight)? rules?)\b", re.IGNORECASE)
_LEAVES = re.compile(r"\bdepart(?:ure|ing)?\b|\btake ?off\b|\bleave\b|\bgo\b", re.IGNORECASE)
_READY = re.compile(r"\bready (?:for|to) (?:departure|depart|take ?off|go)\b", re.IGNORECASE)
_STAYS = re.compile(r"\brun[- ]?up\b|\b(?:hold|wait|stay) (?:here|there|where we are|our position)\b|"
                    r"\b(?:few|couple|some|\w+)(?: of)?(?: more)? minutes?\b", re.IGNORECASE)
_WAY = re.compile(r"\b(north|south|east|west)(?:east|west|bound)?\b|\b(?:north|south)(?:east|west)\b", re.IGNORECASE)
_EVACUATES = re.compile(r"\bevacuat(?:e|es|ing|ion)\b|\b(?:getting|we are|everybody(?: is)?) out\b")
_LED = frozenset({"no_gyro_vectors", "vectors", "radar_approach", "nearest_airport", "named_airport", "vmc",
                  "visual_approach", "altitude_change", "block_altitude", "hold"})


def from_the_ground(scenario: Scenario, state: ControllerState, call: Call,
                    radar: Radar) -> tuple[ControllerState, list[str], Call]:
    """Return the controller, what it says to requests from the ground, and what of the call is left to be answered."""
    if not radar.on_ground:
        return state, [], call
    leaves_it = said_now(call.words, _EVACUATES)
    if leaves_it or call.urgency != "none" or calls_out_crews(natures_in(call)):
        return _rescued(state, call, leaves_it=leaves_it)
    field = nearest_field(scenario, radar.north_nm, radar.east_nm)
    runway = f" runway {spoken_runway(field.runway_deg)}" if field is not None and field.runway_deg is not None else ""
    words, said = call.words, list[str]()
    taxis = (_WANTS.search(words) or call.cancels_ifr) and (_TAXI.search(words) or _BACK.search(words))
    if _PROGRESSIVE.search(words):        # AIM 4-3-18: it may be asked for (from memory); no taxiway is known here
        there = "signs to the ramp" if _BACK.search(words) else f"signs to{runway or ' the runway'}, hold short"
        said.append(f"unable progressive taxi, follow the taxiway {there}. If unsure of your position, stop and say so")
        taxis = None
    if call.cancels_ifr:
        state = replace(state, ifr_cancelled=True, planned=True, heading_deg=None, altitude_ft=None)
        said.append(f"roger, IFR clearance cancelled{'' if taxis else ', advise intentions'}")
    leaves = _VISUAL.search(words) is not None and _LEAVES.search(words) is not None
    if leaves:
        way = _WAY.search(words)
        said.append(f"VFR departure{f' to the {way.group(0).lower()}' if way else ''} approved, advise ready to taxi")
        state = replace(state, planned=True)
    elif _READY.search(words):
        said.append(f"hold short{f' of{runway}' if runway else ''}, contact tower for departure when there")
    elif _STAYS.search(words) and not taxis:
        said.append("approved, advise ready to taxi" if _WANTS.search(words) else "roger, advise ready to taxi")
    elif taxis and "?" not in words:
        said.append("taxi to the ramp" if _BACK.search(words) else f"taxi to{runway or ' the runway'}, hold short")
    elif (set(call.assistance) & _LED or call.altitude_wanted_ft is not None) and not asked_about(call):
        said.append("unable on the ground, that is for departure once you are airborne")
    if not said:
        return state, [], call
    left = tuple(each for each in call.assistance if each not in _LED)
    return state, said, replace(call, assistance=left, altitude_wanted_ft=None, heading_wanted_deg=None,
                                cancels_ifr=False, intentions=False, places=())


def _rescued(state: ControllerState, call: Call, *, leaves_it: bool) -> tuple[ControllerState, list[str], Call]:
    """Send emergency equipment, and ask for nothing but how many people it is for (FAA JO 7110.65 10-1-2, by memory).

    The answer to a declaration has sent it already.
    """
    said = [] if call.urgency != "none" else [f"{'roger evacuation, ' if leaves_it else ''}emergency equipment is on "
                                              "the way"]
    rest = replace(call, assistance=(), altitude_wanted_ft=None, heading_wanted_deg=None, intentions=False, places=())
    if not (state.told.souls or "people" in state.asked):
        said.append("say people on board")
    asked = (*state.asked, "intentions", "intentions", "people")   # what he will do is plain
    return replace(state, asked=asked, planned=True, heading_deg=None, altitude_ft=None), said, rest
