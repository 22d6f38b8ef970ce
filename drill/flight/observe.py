"""What the story and the record see of the airplane each second: values, facts, and numbers fit for a page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from typing import Any

from drill.airplane.arith import FLOATS, Maths, Quantity, wrap_deg
from drill.airplane.panel import Panel, Truths
from drill.flight.cockpit import Cockpit, autopilot_flying, reference, trusted
from drill.flight.weather import bearing_deg, distance_nm, in_cloud
from drill.scenario.conditions import facts_in
from drill.scenario.model import Scenario
from drill.scenario.story import every_condition

_PLACES = 3   # decimals on the page; resuming uses the full state


def values(scenario: Scenario, panel: Panel, true: Truths, *, heading_deg: Quantity | None,
           altitude_ft: Quantity | None, t_s: float, in_phase_s: Quantity, m: Maths = FLOATS) -> dict[str, Quantity]:
    """Return every quantity of `scenario.quantities` under its key; `heading_deg`, `altitude_ft` are as assigned.

    Without an assignment nothing is off. Distances and bearings have one key a field, e.g. `distance to Wendle`. Of N
    flights in arrays with `ARRAYS`.
    """
    seen = {
        "true bank": abs(true.bank_deg),
        "true pitch": true.pitch_deg,
        "true heading": true.heading_deg,
        "true altitude": true.altitude_ft,
        "true airspeed": true.airspeed_kt,
        "true vertical speed": true.vertical_speed_fpm,
        "true turn rate": abs(true.turn_rate_dps),
        "load factor": true.load_factor_g,
        "height": true.height_ft,
        "heading off": 0.0 if heading_deg is None else abs(wrap_deg(m, true.heading_deg - heading_deg)),
        "altitude off": 0.0 if altitude_ft is None else abs(true.altitude_ft - altitude_ft),
        "shown bank": abs(panel.bank_deg),
        "shown pitch": panel.pitch_deg,
        "standby bank": abs(panel.standby_bank_deg),
        "shown heading": panel.heading_deg,
        "shown compass": panel.compass_deg,
        "shown altitude": panel.altitude_ft,
        "shown airspeed": panel.airspeed_kt,
        "shown vertical speed": panel.vertical_speed_fpm,
        "shown turn rate": abs(panel.turn_rate_dps),
        "suction": panel.suction_inhg,
        "volts": panel.volts,
        "amps": panel.amps,
        "rpm": panel.rpm,
        "track": panel.track_deg,
        "groundspeed": panel.groundspeed_kt,
        "course needle": abs(panel.course_deviation),
        "time": t_s,
        "time in phase": in_phase_s,
        "fuel": true.fuel_min,
    }
    for field in scenario.fields:
        seen[f"distance to {field.name}"] = distance_nm(field, true.north_nm, true.east_nm, m)
        seen[f"bearing to {field.name}"] = bearing_deg(field, true.north_nm, true.east_nm, m)
    return seen


def facts(scenario: Scenario, panel: Panel, true: Truths, cockpit: Cockpit, failed: Iterable[str],
          switches: Iterable[str] = ()) -> frozenset[str]:
    """Return the facts that hold: what is covered and flown by, states of the airplane, active failures.

    Of `switches` (codes) those that are on are among them.
    """
    autopilot = autopilot_flying(scenario.airplane.airframe, panel.autopilot_on)
    held = {f"covered {each}" for each in cockpit.covered}
    held |= {f"flying by {each}" for each in
             (reference(cockpit.controls, autopilot), *trusted(cockpit.controls, autopilot))}
    held |= {f"failed {each}" for each in failed}
    held |= {f"on {each}" for each in switches if getattr(cockpit.controls, each) > 0.5}
    states = {
        "in cloud": in_cloud(scenario, true.north_nm, true.east_nm, true.altitude_ft),
        "stalled": true.stalled > 0.5,
        "in a spiral": true.spiral > 0.5,
        "broken": true.broken > 0.5,
        "on the ground": true.on_ground > 0.5,
        "parked": true.parked > 0.5 and true.groundspeed_kt < 0.5,
        "taxiing": true.parked > 0.5 and true.groundspeed_kt >= 0.5,
        "autopilot on": panel.autopilot_on > 0.5,
    }
    return frozenset(held | {f"is {name}" for name, holds in states.items() if holds})


def switches_asked(scenario: Scenario) -> tuple[str, ...]:
    """Return the switches (codes) whose position the scenario asks for: no other is a fact of each second."""
    return tuple(sorted({fact.of for condition in every_condition(scenario) for fact in facts_in(condition)
                         if fact.kind == "on"}))


def page(part: Any) -> dict[str, float]:
    """Return the fields of a dataclass of numbers, rounded for the record."""
    names = _NAMES.get(type(part))
    if names is None:
        names = _NAMES[type(part)] = tuple(each.name for each in fields(part))
    return {name: round(float(getattr(part, name)), _PLACES) for name in names}


_NAMES: dict[type, tuple[str, ...]] = {}
"""The fields of what is put on a page every second."""


def rounded(numbers: dict[str, float]) -> dict[str, float]:
    """Return numbers rounded for the record."""
    return {name: round(float(value), _PLACES) for name, value in numbers.items()}
