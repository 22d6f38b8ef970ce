"""Headings as a controller gives them: rounded, by the shorter way, and by the track that radar shows.

Radar shows the track and no heading. What the assigned heading and the track differ by while the airplane flies
straight is the wind and the error of its heading instrument together, and it is allowed for in the next heading.
"""

from __future__ import annotations

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.controller_state import ControllerState, Radar
from drill.flight.phraseology import heading_words
from drill.flight.replacing import replace

STEADY_DPS = 1.0                        # no turn
_MOST_DRIFT_DEG = 25.0                  # more is another heading than the assigned one
_TAKEN_UP_S = 25.0                      # to read a heading back, turn to it and roll out (the author's choice)
_SMOOTHED = 0.1                         # a second
_ALIKE_DEG = 45.0                       # headings on which the wind is much the same


def rounded_deg(degrees: float) -> float:
    """Return a heading to the next five degrees, 0 <= x < 360."""
    return float(round(degrees / 5.0) * 5 % 360)


def turn_words(track_deg: float, heading_deg: float) -> str:
    """Return the words that turn an airplane to a heading by the shorter way."""
    side = "left" if wrap_deg(FLOATS, heading_deg - track_deg) < 0 else "right"
    return f"turn {side} heading {heading_words(heading_deg)}"


def drifted(state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Return the controller with the difference between heading and track as the last second on a straight shows it."""
    heading = state.heading_deg
    if heading is None or abs(state.seen.turning_dps) > STEADY_DPS or t_s - state.assigned_s < _TAKEN_UP_S:
        return state
    shown = float(wrap_deg(FLOATS, heading - radar.track_deg))
    if abs(shown) > _MOST_DRIFT_DEG:
        return state
    before = drift_deg(state, heading)
    return replace(state, drift_deg=before + (shown - before) * _SMOOTHED, drift_on_deg=heading)


def drift_deg(state: ControllerState, heading_deg: float) -> float:
    """Return by how much a heading (deg) has to differ from the track that it is to make good; 0 where not known."""
    known = state.drift_on_deg is not None and (
        abs(float(wrap_deg(FLOATS, heading_deg - state.drift_on_deg))) <= _ALIKE_DEG)
    return state.drift_deg if known else 0.0


def heading_for(state: ControllerState, track_deg: float) -> float:
    """Return the heading (deg) to assign so that a track is made good."""
    return rounded_deg(track_deg + drift_deg(state, track_deg))
