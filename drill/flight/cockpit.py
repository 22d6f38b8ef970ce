"""What the pilot has set, covered and chosen, and what an act makes of it."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, field, fields, replace
from functools import partial
from typing import Annotated, Any, TypeAlias

from drill.airplane.airframe import Airframe
from drill.airplane.controls import (
    BY_ATTITUDE,
    BY_COMPASS,
    BY_GPS_TRACK,
    BY_HEADING_INDICATOR,
    BY_HORIZON,
    BY_PRESSURE,
    BY_STANDBY,
    BY_STANDBY_HORIZON,
    BY_TURN,
    Controls,
)
from drill.flight.labels import ReadBy
from drill.flight.readings import Shown
from drill.language.meaning import Action
from drill.scenario.model import Scenario


def numbers_from(kind: type[Any], data: Any) -> Any:
    """Return a dataclass of numbers from a mapping of exactly its fields to finite floats; else ValueError."""
    if isinstance(data, kind):
        return data
    names = [each.name for each in fields(kind)]
    if not isinstance(data, dict) or set(data) != set(names):
        raise ValueError(f"these are not the numbers of {kind.__name__}")
    for name in names:
        if not isinstance(data[name], float) or not math.isfinite(data[name]):
            raise ValueError(f"{name} is no number")
    return kind(**data)


ControlNumbers: TypeAlias = Annotated[Controls, ReadBy(partial(numbers_from, Controls), asdict)]


@dataclass(frozen=True, slots=True)
class Cockpit:
    """The pilot's side of the airplane. `covered` is sorted; empty text means nothing chosen."""

    controls: ControlNumbers = field(default_factory=Controls)
    covered: tuple[str, ...] = ()
    destination: str = ""                  # field that the GPS leads to
    plan: str = ""                         # last decision, e.g. "divert Wendle"
    code: str = ""                         # transponder
    frequency: str = ""                    # "": the facility's, as cleared
    checklist: str = ""
    checklist_at: int = 0                  # step that comes next, from 0
    timer_from_s: float | None = None
    tracking: bool = False                 # following the course needle


@dataclass(frozen=True, slots=True)
class Seen:
    """What an act has before it: the panel as shown now, the view outside, the position that a GPS would use."""

    scenario: Scenario
    shown: Shown
    outside: str
    north_nm: float
    east_nm: float
    reckoned_deg: float                    # heading by compass, turn needle and clock, as the hands keep it
    throttle: float                        # where the lever stands, 0 to 1
    t_s: float
    fuel_min: float
    icing: bool                            # ice forms on the airplane here
    parked: bool = False                   # on the ground, standing or taxiing: then what follows is seen outside
    groundspeed_kt: float = 0.0
    true_heading_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Effect:
    """What an act did. `refused`: it changed nothing, and `result` says why."""

    cockpit: Cockpit
    result: str = ""
    refused: bool = False
    set_heading_indicator_to: float | None = None
    action: Action | None = None           # the act as carried out, where that says more than as it was asked for


def done(cockpit: Cockpit, result: str = "", **orders: Any) -> Effect:
    """Return `cockpit` with `orders` given to its controls. A lateral order ends the following of the needle."""
    if not orders:
        return Effect(cockpit, result)
    tracking = cockpit.tracking and "lateral" not in orders
    return Effect(replace(cockpit, controls=replace(cockpit.controls, **orders), tracking=tracking), result)


def refused(cockpit: Cockpit, why: str) -> Effect:
    """Return `cockpit` unchanged, with the reason."""
    return Effect(cockpit, why, refused=True)


def trusted(controls: Controls, autopilot: str = "none") -> tuple[str, ...]:
    """Return the instruments that the flight goes by, for bank, heading and pitch, without repeats.

    `autopilot` is where the autopilot takes roll from (`Airframe.autopilot`) while it flies, else "none". What it flies
    by the flight trusts, whatever the hands are told; it stands first itself.
    """
    bank = {BY_ATTITUDE: "attitude_indicator", BY_TURN: "turn_coordinator",
            BY_STANDBY: "standby_instrument"}[float(controls.bank_by)]
    heading = {BY_HEADING_INDICATOR: "heading_indicator", BY_COMPASS: "magnetic_compass",
               BY_GPS_TRACK: "navigation"}[float(controls.heading_by)]
    pitch = {BY_HORIZON: "attitude_indicator", BY_PRESSURE: "altimeter",
             BY_STANDBY_HORIZON: "standby_instrument"}[float(controls.pitch_by)]
    if autopilot == "horizon":
        return "autopilot", "attitude_indicator", "heading_indicator"
    if autopilot == "turn coordinator":
        return tuple(dict.fromkeys(("autopilot", "turn_coordinator", heading, pitch)))
    return tuple(dict.fromkeys((bank, heading, pitch)))


def reference(controls: Controls, autopilot: str = "none") -> str:
    """Return full_panel, partial_panel, or the trusted instruments joined by +; `autopilot` as in `trusted`."""
    if autopilot != "none":
        return "+".join(trusted(controls, autopilot))
    if controls.pitch_by == BY_HORIZON and controls.bank_by == BY_ATTITUDE:
        if controls.heading_by == BY_HEADING_INDICATOR:
            return "full_panel"
    elif (controls.pitch_by == BY_PRESSURE and controls.bank_by == BY_TURN
          and controls.heading_by != BY_HEADING_INDICATOR):
        return "partial_panel"
    return "+".join(trusted(controls))


def autopilot_flying(airframe: Airframe, autopilot_on: float) -> str:
    """Return where the autopilot takes roll from if it flies now (`Panel.autopilot_on`), else "none"."""
    return airframe.autopilot if autopilot_on > 0.5 else "none"


def heading_kept(controls: Controls, seen: Seen) -> float:
    """Return the heading now by the heading reference, degrees; on the ground by eye."""
    if seen.parked:
        return seen.true_heading_deg
    if controls.heading_by == BY_COMPASS:
        return seen.reckoned_deg
    if controls.heading_by == BY_GPS_TRACK:
        return seen.shown["track_deg"]
    return seen.shown["heading_deg"]
