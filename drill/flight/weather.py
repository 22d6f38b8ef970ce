"""Where the cloud is, and what is seen out of the window. Within ten miles of a field its own ceiling rules."""

from __future__ import annotations

import math

from drill.airplane.arith import FLOATS, Maths, Quantity
from drill.airplane.constants import RAD
from drill.scenario.model import Field, Scenario

FIELD_RADIUS_NM = 10.0
VISUAL_CEILING_FT, VISUAL_VISIBILITY_SM = 3000.0, 5.0
"""The least ceiling (feet above the field) and visibility (statute miles) for an arrival by eye alone.

Weather better than marginal (AIM 7-1-7, memory). The basic minimums of 14 CFR 91.155 (1,000 feet and 3 miles, memory)
are what is legal under a deck; to get under it out of cloud takes an approach.
"""
_DEPTH_FT = 4000.0   # of a field's cloud when nobody gives its tops (the author's choice)


def field_position(field: Field) -> tuple[float, float]:
    """Return where `field` lies, nautical miles north (magnetic) and east of the place where the flight begins."""
    angle = math.radians(field.bearing_deg)
    return field.distance_nm * math.cos(angle), field.distance_nm * math.sin(angle)


def distance_nm(field: Field, north_nm: Quantity, east_nm: Quantity, m: Maths = FLOATS) -> Quantity:
    """Return the distance in nautical miles from a position to `field`; from N positions in arrays with `ARRAYS`."""
    north, east = field_position(field)
    return m.hypot(north - north_nm, east - east_nm)


def bearing_deg(field: Field, north_nm: Quantity, east_nm: Quantity, m: Maths = FLOATS) -> Quantity:
    """Return the magnetic bearing from a position to `field`, 0 <= x < 360; as `distance_nm`."""
    north, east = field_position(field)
    return m.atan2(east - east_nm, north - north_nm) * RAD % 360.0


def nearest_field(scenario: Scenario, north_nm: float, east_nm: float) -> Field | None:
    """Return the field nearest to a position, or None where the scenario has no field."""
    return min(scenario.fields, key=lambda field: distance_nm(field, north_nm, east_nm), default=None)


def visual_weather(field: Field) -> bool:
    """Say whether the weather at `field` allows an arrival by eye, without an approach."""
    return field.visibility_sm >= VISUAL_VISIBILITY_SM and (
        field.ceiling_ft is None or field.ceiling_ft >= VISUAL_CEILING_FT)


def cloud_layer(scenario: Scenario, north_nm: float, east_nm: float) -> tuple[float, float] | None:
    """Return base and tops (feet above mean sea level) of the cloud over a position, or None where it is clear."""
    cloud = scenario.weather.cloud
    field = nearest_field(scenario, north_nm, east_nm)
    if field is None or distance_nm(field, north_nm, east_nm) > FIELD_RADIUS_NM:
        return None if cloud is None else (cloud.base_ft, cloud.tops_ft)
    if field.ceiling_ft is None:
        return None
    base = field.elevation_ft + field.ceiling_ft
    if field.tops_ft is not None:
        return base, field.tops_ft
    return base, max(base, cloud.tops_ft if cloud is not None else base + _DEPTH_FT)


def in_cloud(scenario: Scenario, north_nm: float, east_nm: float, altitude_ft: float) -> bool:
    """Say whether a position at `altitude_ft` (above mean sea level) is inside cloud."""
    layer = cloud_layer(scenario, north_nm, east_nm)
    return layer is not None and layer[0] <= altitude_ft <= layer[1]


def visual(scenario: Scenario, north_nm: float, east_nm: float, altitude_ft: float) -> bool:
    """Say whether there is an outside horizon to fly by: out of cloud and, near a field, at least a mile of sight."""
    if in_cloud(scenario, north_nm, east_nm, altitude_ft):
        return False
    field = nearest_field(scenario, north_nm, east_nm)
    if field is None or distance_nm(field, north_nm, east_nm) > FIELD_RADIUS_NM:
        return True
    layer = cloud_layer(scenario, north_nm, east_nm)
    on_top = layer is not None and altitude_ft > layer[1]
    return on_top or field.visibility_sm >= 1.0


def outside_words(scenario: Scenario, north_nm: float, east_nm: float, altitude_ft: float, *,
                  parked: bool = False) -> str:
    """Return what is seen out of the window; `parked`: on the ground."""
    if parked:
        sky = "clear sky" if cloud_layer(scenario, north_nm, east_nm) is None else "cloud above"
        return f"ramp and taxiway, {sky}"
    layer = cloud_layer(scenario, north_nm, east_nm)
    if layer is not None and layer[0] <= altitude_ft <= layer[1]:
        return "white, nothing to see"
    if layer is not None and altitude_ft > layer[1]:
        return "clear above, a level deck of cloud below"
    field = nearest_field(scenario, north_nm, east_nm)
    near = field is not None and distance_nm(field, north_nm, east_nm) <= FIELD_RADIUS_NM
    if near and field is not None and field.visibility_sm < 1.0:
        return "mist, the ground in sight only straight down"
    sky = "cloud above" if layer is not None else "clear sky"
    seen = f"the ground in sight, {sky}"
    if near and field is not None and distance_nm(field, north_nm, east_nm) <= field.visibility_sm * 0.869:
        seen += f", {field.name} in sight"   # statute miles of visibility in nautical miles
    return seen
