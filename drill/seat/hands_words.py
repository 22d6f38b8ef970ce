"""What the hands have been ordered to do and what they go by, in words for one row."""

from __future__ import annotations

import math
from collections.abc import Sequence

from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.controls import (
    BY_COMPASS,
    BY_GPS_TRACK,
    HOLD_ALTITUDE,
    HOLD_PITCH,
    HOLD_RPM,
    HOLD_THROTTLE,
    KEEP_TURNING,
    RECOVER,
    TURN_TO_HEADING,
    WINGS_LEVEL,
    Controls,
)
from drill.flight.cockpit import trusted
from drill.flight.readings import Shown, instrument_name, three_digits
from drill.language.meaning import Action

TURNS_DPS = 1.0
THERE_DEG = 5.0
"""So near, a turn is as good as done (a compass is marked every 5 degrees)."""


def hands_words(controls: Controls, shown: Shown, *, tracking: bool = False, autopilot: str = "none",
                parked: bool = False) -> str:
    """Return e.g. "hands: heading 240, 6,000 ft, 110 kt | by attitude indicator, heading indicator".

    `shown` is what the panel shows: a turn whose heading has come up is a heading held. `tracking` says that they
    follow the course needle, `autopilot` where the autopilot takes roll from while it flies (`cockpit.trusted`),
    `parked` that the airplane stands or rolls on the ground, where they steer by eye.
    """
    if parked:
        return f"hands: {_on_the_ground(controls, shown)}, {float(controls.rpm):,.0f} RPM | by what is outside"
    lateral = "following the course needle" if tracking else _lateral(controls, shown)
    orders = ", ".join(each for each in (lateral, _vertical(controls), _power(controls)) if each)
    who, *by = ("hands", *trusted(controls)) if autopilot == "none" else trusted(controls, autopilot)
    return f"{who}: {orders} | by {', '.join(instrument_name(each) for each in by)}"


def doing_words(busy: tuple[Action, float] | None, waiting: Sequence[Action] = ()) -> str:
    """Return e.g. "doing: checklist 12 s | waiting: 2", or nothing if nothing is being done.

    `busy` is the act being done and the seconds that it will still take, `waiting` the acts after it.
    """
    said = []
    if busy is not None:
        act, seconds = busy
        said.append(f"doing: {act.kind.replace('_', ' ')} {max(1, math.ceil(seconds - 1e-6))} s")
    if waiting:
        said.append(f"waiting: {len(waiting)}")
    return " | ".join(said)


def _on_the_ground(controls: Controls, shown: Shown) -> str:
    if controls.taxi_kt < 0.5:
        return "brakes set" if shown["groundspeed_kt"] < 0.5 else "stopping"
    turns = controls.lateral in (TURN_TO_HEADING, KEEP_TURNING) and abs(shown["turn_rate_dps"]) > TURNS_DPS
    return f"taxiing, {_lateral(controls, shown)}" if turns else "taxiing straight ahead"


def _lateral(controls: Controls, shown: Shown) -> str:
    side = {-1.0: "left", 1.0: "right"}.get(float(controls.direction), "")
    if controls.lateral == TURN_TO_HEADING and controls.turn_by_deg:
        return f"{side or 'right'} by {controls.turn_by_deg:.0f} degrees"
    if controls.lateral == TURN_TO_HEADING and not _has_come(controls, shown):
        return f"{side or 'turning'} to {three_digits(float(controls.heading_deg))}"
    if controls.lateral == KEEP_TURNING:
        return f"{side or 'right'} until told to stop"
    if controls.lateral == WINGS_LEVEL:
        return "wings level"
    if controls.lateral == RECOVER:
        return "recovering"
    return f"heading {three_digits(float(controls.heading_deg))}"


def _has_come(controls: Controls, shown: Shown) -> bool:
    """Say whether the heading that is turned to stands on the instrument that it is read on."""
    read_on = {BY_COMPASS: "compass_deg", BY_GPS_TRACK: "track_deg"}.get(float(controls.heading_by), "heading_deg")
    off = float(wrap_deg(FLOATS, shown[read_on] - float(controls.heading_deg)))
    return abs(off) <= THERE_DEG


def _vertical(controls: Controls) -> str:
    if controls.lateral == RECOVER:
        return ""
    if controls.vertical == HOLD_PITCH:
        pitch = round(float(controls.pitch_deg))
        return "nose level" if pitch == 0 else f"nose {abs(pitch)} degrees {'up' if pitch > 0 else 'down'}"
    if controls.vertical == HOLD_ALTITUDE:
        return f"{float(controls.altitude_ft):,.0f} ft"
    return ""


def _power(controls: Controls) -> str:
    if controls.lateral == RECOVER:
        return ""
    if controls.power == HOLD_RPM:
        return f"{float(controls.rpm):,.0f} RPM"
    return "power as set" if controls.power == HOLD_THROTTLE else f"{float(controls.airspeed_kt):.0f} kt"
