"""An airplane in trouble that turns on and on, or comes down, and has not been told to: what radar shows is said.

It is told, asked whether it can stop, and offered no-gyro vectors (FAA JO 7110.65 10-2-1 and AIM 5-4-11, by memory; the
thresholds are the author's).
"""

from __future__ import annotations

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Line, Radar, in_trouble, powerless
from drill.flight.phraseology import altitude_words, field_of
from drill.flight.replacing import replace
from drill.flight.replying import LEVEL, NO_GYRO
from drill.flight.weather import bearing_deg
from drill.scenario.model import Scenario

_ROUND_DEG, _SPIRAL_DEG = 220.0, 100.0   # more than any turn that is assigned by the shorter way; and coming down in it
_LOSING_FPM, _RAPID_FPM, _RAPID_S = -400.0, -1500.0, 8.0
_THERE_DEG = 25.0
_EVERY_S = 30.0
_SLOWER = (1, 1, 1, 2, 2, 4)             # times that, as it goes on
_BELOW_FT = 200.0


def warned(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Say that radar shows an airplane in trouble turning or coming down, again while it lasts."""
    seen = state.seen
    visual = state.told.conditions == "vmc" or (
        state.ifr_cancelled and state.told.conditions not in ("imc", "icing"))
    if not in_trouble(state) or radar.on_ground or state.in_sight or visual or any(
            each.asks or each.answer for each in state.lines):
        return state
    down_to = state.altitude_ft
    losing = seen.climb_fpm < _LOSING_FPM and (down_to is None or radar.altitude_ft < down_to - _BELOW_FT)
    turns = state.turns
    called = turns is not None and not turns.suspended and turns.way * seen.turned_deg > 0.0
    if powerless(state):                  # it comes down, and turns over its field, as it must
        losing = losing and seen.rapid_since_s is not None
    circles = not powerless(state) and abs(seen.turned_deg) >= _ROUND_DEG and "hold" not in state.told.assistance
    spirals = losing and abs(seen.turned_deg) >= _SPIRAL_DEG and not _on_its_way(scenario, state, radar)
    turning = not called and (circles or spirals)
    rapid = losing and seen.rapid_since_s is not None and t_s - seen.rapid_since_s >= _RAPID_S
    wait_s = _EVERY_S * _SLOWER[min(state.warnings, len(_SLOWER) - 1)]
    if not (turning or rapid) or t_s - state.warned_s < wait_s:
        return state
    side = "left" if seen.turned_deg < 0.0 else "right"
    what = f"in a {side} turn" if turning else "descending rapidly"
    through = f"{', descending' if turning else ''} through {altitude_words(radar.altitude_ft)}" if losing else ""
    state = replace(state, warned_s=t_s, warnings=state.warnings + 1)
    words = f"radar shows you {what}{through}"
    if state.warnings % 2 == 0 and turning and turns is None and scenario.fields and state.asked.count(NO_GYRO) < 2:
        line = Line(t_s, f"{words}. Do you want no-gyro vectors?", asks=True, question=NO_GYRO, urgent=True)
    elif state.warnings <= 2:
        able = "level the wings" if turning else "level off"
        line = Line(t_s, f"{words}, are you able to {able}?", asks=True, question=LEVEL, urgent=True)
    else:
        line = Line(t_s, f"{words}, {'stop turn when able' if turning else 'level off when able'}", urgent=True)
    return replace(state, lines=(*state.lines, line))


def _on_its_way(scenario: Scenario, state: ControllerState, radar: Radar) -> bool:
    """Whether a turn leads by less than a circle to the heading that was given, or to the field that is gone to."""
    field = field_of(scenario, state.place)
    wanted = [] if state.heading_deg is None else [state.heading_deg]
    if field is not None:
        wanted.append(float(bearing_deg(field, radar.north_nm, radar.east_nm)))
    turned = state.seen.turned_deg
    left = [float(wrap_deg(FLOATS, each - radar.track_deg)) for each in wanted]
    return any(abs(each) <= _THERE_DEG or (each * turned > 0.0 and abs(each) + abs(turned) <= _ROUND_DEG)
               for each in left)
