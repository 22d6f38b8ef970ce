"""Position over the ground, GPS track and groundspeed, and one course needle. North is magnetic."""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane.arith import Maths, Quantity, compass_deg, wrap_deg
from drill.airplane.constants import COURSE_FULL_SCALE_NM, DEG, GPS_LAG_S, MILE, RAD, STEP_S
from drill.airplane.controls import Controls
from drill.airplane.motion import Motion
from drill.airplane.world import World

_LAG = 1.0 - math.exp(-STEP_S / GPS_LAG_S)


@dataclass(frozen=True, slots=True)
class Navigation:
    """Position from the start (m), velocity over the ground and as the GPS smooths it (m/s); north and east."""

    north_m: Quantity
    east_m: Quantity
    north_mps: Quantity
    east_mps: Quantity
    gps_north_mps: Quantity
    gps_east_mps: Quantity


def ground_velocity(world: World, motion: Motion) -> tuple[Quantity, Quantity]:
    """Return the velocity over the ground (m/s), north and east; no wind on the ground."""
    m = world.maths
    fly = 1.0 - motion.parked
    level = motion.tas_mps * m.cos(motion.path_rad) * fly + motion.ground_mps
    return (level * m.cos(motion.heading_rad) + world.wind_north_mps * fly,
            level * m.sin(motion.heading_rad) + world.wind_east_mps * fly)


def advance(world: World, was: Navigation, motion: Motion) -> Navigation:
    """Return the position one step later."""
    north, east = ground_velocity(world, motion)
    return Navigation(
        was.north_m + STEP_S * north, was.east_m + STEP_S * east, north, east,
        was.gps_north_mps + _LAG * (north - was.gps_north_mps), was.gps_east_mps + _LAG * (east - was.gps_east_mps),
    )


def start(world: World, motion: Motion) -> Navigation:
    """Return the place where the flight begins."""
    north, east = ground_velocity(world, motion)
    none = 0.0 * north
    return Navigation(none, none, north, east, north, east)


def direction_deg(maths: Maths, north: Quantity, east: Quantity) -> Quantity:
    """Return the direction (deg, 0 <= x < 360) of a velocity or a way with these components."""
    return compass_deg(maths, maths.atan2(east, north) * RAD)


def needle(maths: Maths, navigation: Navigation, controls: Controls) -> Quantity:
    """Return the course needle, -1 (full left) to 1: left when the course lies to the left.

    The course runs through the controls' point. With a width, full scale is that angle at the point, as an approach
    aid shows it; without one, a distance of 2 nm.
    """
    m = maths
    north = controls.course_north_nm - navigation.north_m / MILE
    east = controls.course_east_nm - navigation.east_m / MILE
    course = controls.course_deg * DEG
    to_go = m.hypot(north, east)
    right_of_course = north * m.sin(course) - east * m.cos(course)
    off = wrap_deg(m, m.atan2(east, north) * RAD - controls.course_deg)
    # beyond the point the angle is measured on the other side of it
    off = m.where((off > 90.0) | (off < -90.0), -wrap_deg(m, off - 180.0), off)
    angular = off / m.most(controls.course_width_deg, 0.1)
    linear = -right_of_course / COURSE_FULL_SCALE_NM
    deflected = m.where((controls.course_width_deg > 0.0) & (to_go > 0.0), angular, linear)
    return m.clip(deflected, -1.0, 1.0)
