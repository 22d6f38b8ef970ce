"""An airplane cleared direct to a field that flies another way: radar shows it, and it is told where the field is.

FAA JO 7110.65 5-1-10 (deviation advisories), by memory; the thresholds are the author's.
"""

from __future__ import annotations

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Line, Radar, in_trouble
from drill.flight.phraseology import field_of, heading_words, where_is
from drill.flight.replacing import replace
from drill.flight.steering import STEADY_DPS
from drill.flight.weather import bearing_deg, distance_nm
from drill.scenario.model import Scenario

_OFF_DEG, _NEAR_NM = 60.0, 3.0
_AFTER_S = 75.0           # of flight the other way: to read the clearance back and to turn
_EVERY_S = 150.0
_QUIET_S = 15.0           # since the last line: a question is left its time
OPEN_S = 45.0                           # that a question is left to its answer (the author's choice)
_MOST = 3                 # for one field


def told_direct(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Tell an airplane that has been cleared direct and flies steadily another way where its field is."""
    field = field_of(scenario, state.place)
    led = state.vectored or state.turns is not None or state.heading_deg is not None or state.approach is not None
    free = state.holding or state.aside or state.in_sight or state.ifr_cancelled or radar.on_ground
    if field is None or led or free:
        told = 0 if field is None else state.direct_told
        if state.direct_off_since_s is None and told == state.direct_told:
            return state                  # as it is in nearly every second
        return replace(state, direct_off_since_s=None, direct_told=told)
    bearing = bearing_deg(field, radar.north_nm, radar.east_nm)
    off = abs(float(wrap_deg(FLOATS, bearing - radar.track_deg)))
    turning = abs(state.seen.turning_dps) > STEADY_DPS
    near = distance_nm(field, radar.north_nm, radar.east_nm) < _NEAR_NM
    if off <= _OFF_DEG or turning or near:
        return state if state.direct_off_since_s is None else replace(state, direct_off_since_s=None)
    since = t_s if state.direct_off_since_s is None else state.direct_off_since_s
    state = replace(state, direct_off_since_s=since)
    wait_s = _AFTER_S if not state.direct_told else _EVERY_S
    busy = state.lines or state.received or t_s < max(state.quiet_until_s, state.frequency_free_s)
    talks = t_s - max(state.addressed_s, state.heard_s) < _QUIET_S
    asks = bool(state.question) and t_s - state.question_s < OPEN_S
    waits = talks or asks or state.wordless or state.nudges > 0
    if busy or waits or t_s - since < wait_s or state.direct_told >= _MOST:
        return state
    where = where_is(field, radar.north_nm, radar.east_nm)
    verify = "" if in_trouble(state) else f", verify direct {field.name}"
    words = f"radar shows your track {heading_words(radar.track_deg)}, {where}{verify}"
    return replace(state, direct_told=state.direct_told + 1, direct_off_since_s=t_s,
                   lines=(Line(t_s, words, asks=not in_trouble(state)),))
