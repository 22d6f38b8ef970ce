"""How a field is come to: by a radar approach, by another instrument approach, or by eye."""

from __future__ import annotations

from drill.flight.controller_state import ControllerState, Radar, must_land
from drill.flight.phraseology import field_of
from drill.flight.weather import distance_nm, nearest_field
from drill.scenario.model import Field, Scenario

_RADAR = ("surveillance", "asr", "sra", "radar", "par")


def is_radar(approach: str) -> bool:
    """Say whether an approach is talked down by radar."""
    return any(word in _RADAR for word in approach.lower().replace("-", " ").split())


def radar_served(field: Field) -> bool:
    """Say whether a radar approach can be had at a field."""
    return field.radar_approach or any(is_radar(each) for each in field.approaches)


def approach_field(scenario: Scenario, state: ControllerState, radar: Radar) -> Field | None:
    """Return the field of the cleared approach: one that has it, of those the nearest; else where help leads to."""
    if state.approach is None:
        return None
    cleared = state.approach.casefold()
    led = [field for name in (state.place, scenario.course[0] if scenario.course is not None else "")
           if (field := field_of(scenario, name)) is not None]
    near = sorted(scenario.fields, key=lambda field: distance_nm(field, radar.north_nm, radar.east_nm))
    for field in (*led[:1], *near):
        if field.name.casefold() in cleared or any(each.casefold() == cleared for each in field.approaches):
            return field
    return led[0] if led else nearest_field(scenario, radar.north_nm, radar.east_nm)


def bound_field(scenario: Scenario, state: ControllerState) -> Field | None:
    """Return the field that an airplane is on its way to: where help leads to, else its clearance limit."""
    limit = scenario.course[0] if scenario.course is not None else scenario.clearance.limit
    return field_of(scenario, state.place) or field_of(scenario, limit)


def talked(state: ControllerState, field: Field) -> bool:
    """Say whether the approach at a field will be talked down."""
    return state.radar_approach or (state.turns is not None and radar_served(field))


def by_eye(state: ControllerState, field: Field) -> bool:
    """Say whether a field is come to by eye: in clear weather, for want of an approach or of the time for one."""
    return must_land(state) or field.ceiling_ft is None or not (field.approaches or talked(state, field))


def leads_to_final(state: ControllerState, field: Field) -> bool:
    """Say whether vectors to a field lead to the final approach course of its runway: in weather, where it is known."""
    return field.runway_deg is not None and not by_eye(state, field)


def approach_name(state: ControllerState, field: Field) -> str:
    """Return the approach that is cleared at a field."""
    if by_eye(state, field):
        return "visual"
    if not talked(state, field):
        return str(field.approaches[0])
    listed = next((str(each) for each in field.approaches if is_radar(each)), "")
    number = "" if field.runway_deg is None else f" {round(field.runway_deg / 10.0) % 36 or 36:02d}"
    return listed or f"surveillance{number}"
