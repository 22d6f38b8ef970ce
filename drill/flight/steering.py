"""Headings as a controller gives them: rounded, by the shorter way, and by the track that radar shows.

Radar shows the track and no heading. The wind is known to him as to everybody; what the assigned heading and the track
differ by beyond it, while the airplane flies straight, is the error of its heading instrument or of its pilot, and is
allowed for in the next heading. Both are seen for a while before they count: an airplane that wanders is not steered
after each of its swings.
"""

from __future__ import annotations

from drill.airplane.arith import FLOATS, Maths, Quantity, wrap_deg
from drill.airplane.constants import DEG, RAD
from drill.flight.controller_state import ControllerState, Radar
from drill.flight.phraseology import heading_words
from drill.flight.replacing import replace

STEADY_DPS = 1.0                        # no turn
HEADING_OFF_DEG = 25.0                  # beside an assigned heading: it is not flown
_TAKEN_UP_S = 25.0                      # to read a heading back, turn to it and roll out (the author's choice)
_SMOOTHED = 0.025                       # a second: over some forty of them, longer than a pilot's swings
_ALIKE_DEG = 45.0                       # headings on which the error is much the same
_MOVES_KT = 30.0                        # slower, a track means nothing
_LEAST_TURN_DEG = 2.0
_MOST_ACROSS = 0.9                      # of the airspeed


def rounded_deg(degrees: float) -> float:
    """Return a heading to the next five degrees, 0 <= x < 360."""
    return float(round(degrees / 5.0) * 5 % 360)


def turn_words(state: ControllerState, track_deg: float, heading_deg: float) -> str:
    """Return the words that turn an airplane to a heading by the shorter way from the one that it flies.

    That is the heading that it was assigned, where the track can be its; else nothing but the track is known of it.
    """
    flown = state.heading_deg
    if flown is None or abs(state.seen.turning_dps) > STEADY_DPS or (
            off_heading_deg(state, track_deg) > HEADING_OFF_DEG) or abs(
            float(wrap_deg(FLOATS, heading_deg - flown))) < _LEAST_TURN_DEG:
        flown = track_deg
    side = "left" if wrap_deg(FLOATS, heading_deg - flown) < 0 else "right"
    return f"turn {side} heading {heading_words(heading_deg)}"


def into_wind_deg(wind: tuple[float, float], speed_kt: Quantity, track_deg: Quantity, to_deg: Quantity,
                  m: Maths = FLOATS) -> Quantity:
    """Return by how much (deg) a heading has to differ from a track `to_deg` for the wind.

    `wind`: from where (deg) and how strong (knots); radar shows `speed_kt` over the ground along `track_deg`. 0 while
    nothing moves.
    """
    from_deg, wind_kt = wind
    with_it = (track_deg - from_deg) * DEG                # 0: straight into it
    through_kt = m.most(_MOVES_KT, m.hypot(speed_kt + wind_kt * m.cos(with_it), wind_kt * m.sin(with_it)))
    across = m.clip(wind_kt * m.sin((from_deg - to_deg) * DEG) / through_kt, -_MOST_ACROSS, _MOST_ACROSS)
    return m.where(speed_kt < _MOVES_KT, 0.0, m.asin(across) * RAD)


def beside_deg(wind: tuple[float, float], speed_kt: Quantity, heading_deg: Quantity, track_deg: Quantity,
               m: Maths = FLOATS) -> Quantity:
    """Return how far (deg) an assigned heading differs from the one that a track is flown on in this wind."""
    return wrap_deg(m, heading_deg - track_deg - into_wind_deg(wind, speed_kt, track_deg, track_deg, m))


def off_heading_deg(state: ControllerState, track_deg: float) -> float:
    """Return how far (deg) an airplane is beside its assigned heading, by its track; 0 where none is assigned."""
    if state.heading_deg is None:
        return 0.0
    return abs(float(beside_deg(state.wind, state.seen.speed_kt, state.heading_deg, track_deg)))


def drifted(state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Return the controller with what heading and track differ by, beyond the wind, as the last second shows it."""
    heading = state.heading_deg
    if heading is None or abs(state.seen.turning_dps) > STEADY_DPS or t_s - state.assigned_s < _TAKEN_UP_S:
        return state
    shown = float(beside_deg(state.wind, state.seen.speed_kt, heading, radar.track_deg))
    if abs(shown) > HEADING_OFF_DEG:
        return state
    seconds = state.drift_seen_s if _alike(state, heading) else 0.0
    before = state.drift_deg if seconds else 0.0
    share = max(_SMOOTHED, 1.0 / (seconds + 1.0))
    return replace(state, drift_deg=before + (shown - before) * share, drift_on_deg=heading, drift_seen_s=seconds + 1.0)


def _alike(state: ControllerState, heading_deg: float) -> bool:
    return state.drift_on_deg is not None and (
        abs(float(wrap_deg(FLOATS, heading_deg - state.drift_on_deg))) <= _ALIKE_DEG)


def heading_for(state: ControllerState, track_deg: float) -> float:
    """Return the heading (deg) to assign so that a track is made good."""
    error = state.drift_deg * min(1.0, state.drift_seen_s * _SMOOTHED) if _alike(state, track_deg) else 0.0
    seen = state.seen
    now_deg = track_deg if seen.track_deg is None else seen.track_deg
    return rounded_deg(track_deg + float(into_wind_deg(state.wind, seen.speed_kt, now_deg, track_deg)) + error)
