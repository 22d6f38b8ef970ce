"""Airspeed indicator, altimeter and vertical speed indicator from the pressures in their lines, and ice at the pitot.

A line whose opening is closed keeps the pressure that it has: no flow, no change. All else follows from that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane import atmosphere
from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import (
    ALTERNATE_STATIC_SHARE,
    FOOT,
    FPM,
    KNOT,
    PITOT_DRAINS_S,
    PITOT_HEAT_VOLTS,
    PITOT_LAG_S,
    PITOT_MELTS_S,
    PITOT_THAWS_S,
    SCALE_HEIGHT_M,
    STATIC_LAG_S,
    STEP_S,
    VSI_LEAK_S,
    VSI_MOST_FPM,
)
from drill.airplane.controls import Controls
from drill.airplane.faults import Faults
from drill.airplane.motion import Motion
from drill.airplane.world import World

_PITOT = 1.0 - math.exp(-STEP_S / PITOT_LAG_S)
_LEAK = 1.0 - math.exp(-STEP_S / VSI_LEAK_S)


@dataclass(frozen=True, slots=True)
class PitotStatic:
    """Pressures (Pa) in the lines and behind the needles, and what the needles show."""

    pitot_pa: Quantity
    static_pa: Quantity
    chamber_pa: Quantity           # behind the restrictor of the vertical speed indicator
    hands_pa: Quantity             # where the altimeter's hands stand: the static line's, unless they stick
    airspeed_kt: Quantity          # as shown
    vertical_speed_fpm: Quantity   # as shown
    ice: Quantity                  # share of the pitot opening that ice has closed


def pitot_line_pa(m: Maths, was_pa: Quantity, outside_pa: Quantity, impact_pa: Quantity, closed: Quantity,
                  drain_closed: Quantity) -> Quantity:
    """Return the pitot line's pressure (Pa) one step later.

    `closed` is the share of the opening that is closed, 0 to 1. With the drain open what remains of the impact
    pressure bleeds away through it, slower the less opening there is; with the drain closed too a closed opening traps
    the pressure (FAA-H-8083-15B ch. 5).
    """
    opening = 1.0 - closed
    trapped = drain_closed > 0.5
    reaches = outside_pa + impact_pa * m.where(trapped, 1.0, opening)
    bleeding = 1.0 - m.exp(-STEP_S / (PITOT_LAG_S + (PITOT_DRAINS_S - PITOT_LAG_S) * closed))
    return was_pa + m.where(trapped, _PITOT * opening, bleeding) * (reaches - was_pa)


def cabin_pa(outside_pa: Quantity, impact_pa: Quantity, share: Quantity) -> Quantity:
    """Return the pressure (Pa) inside an unpressurized cabin: below the air's by a share of the impact pressure."""
    return outside_pa - share * impact_pa


def static_line_pa(m: Maths, was_pa: Quantity, source_pa: Quantity, closed: Quantity, lag_s: Quantity) -> Quantity:
    """Return the static line's pressure (Pa) one step later.

    `closed` 1: the ports let nothing through and the pressure stays; `lag_s` is what a narrowed port adds to the lag.
    """
    return was_pa + (1.0 - closed) * (1.0 - m.exp(-STEP_S / (STATIC_LAG_S + lag_s))) * (source_pa - was_pa)


def indicated_kt(m: Maths, pitot_pa: Quantity, static_pa: Quantity) -> Quantity:
    """Return what the airspeed indicator makes (kt) of the pressures (Pa) in its two lines; 0 for less than none."""
    return atmosphere.cas_mps(m, pitot_pa - static_pa) / KNOT


def indicated_fpm(static_pa: Quantity, chamber_pa: Quantity) -> Quantity:
    """Return what a vertical speed indicator without stops makes (ft/min) of line and chamber (Pa)."""
    rises = atmosphere.altitude_m(static_pa) - atmosphere.altitude_m(chamber_pa)
    return rises / (VSI_LEAK_S * FPM)


def shown_altitude_ft(static_pa: Quantity, setting_hpa: Quantity) -> Quantity:
    """Return the altimeter's reading (ft) for a static pressure (Pa) and a setting (hPa)."""
    return atmosphere.altitude_m(static_pa, 100.0 * setting_hpa) / FOOT


def sticking_pa(m: Maths, was_pa: Quantity, static_pa: Quantity, stick_ft: Quantity) -> Quantity:
    """Return where the altimeter's hands stand (as a pressure, Pa) that move only once they are `stick_ft` behind.

    Feet are pressure by the scale height, which is near enough for the size of a jump.
    """
    behind_ft = SCALE_HEIGHT_M / FOOT * (was_pa - static_pa) / static_pa
    return m.where((behind_ft >= stick_ft) | (behind_ft <= -stick_ft), static_pa, was_pa)


def icing_here(world: World, motion: Motion) -> Quantity:
    """Return 1.0 where ice forms: in the cloud layer, above the freezing level, when the air is of that kind."""
    height = motion.altitude_m
    inside = (height > world.ice_from_m) & (height < world.ice_to_m) & (motion.parked < 0.5)
    return world.maths.where(inside, 1.0, 0.0)


def iced(ports: PitotStatic) -> Quantity:
    """Return the share of the pitot opening that ice has closed."""
    return ports.ice


def ice_later(world: World, was: Quantity, motion: Motion, heated: Quantity) -> Quantity:
    """Return the share of the pitot opening that ice closes one step later; `heated` 1: the element is hot.

    Heat keeps it open and melts what is there, air above freezing does so more slowly, and in cold clear air ice stays.
    """
    m = world.maths
    thaws = m.where(motion.altitude_m < world.freezing_m, -1.0 / PITOT_THAWS_S, 0.0)
    grows = m.where(icing_here(world, motion) > 0.5, world.ice_per_s, thaws)
    return m.clip(was + STEP_S * m.where(heated > 0.5, -1.0 / PITOT_MELTS_S, grows), 0.0, 1.0)


def advance(world: World, was: PitotStatic, motion: Motion, controls: Controls, faults: Faults,
            volts: Quantity) -> PitotStatic:
    """Return the lines and needles one step later; `volts` is what the bus has for the pitot heat."""
    m = world.maths
    outside, impact = motion.pressure_pa, motion.impact_pa
    heats = (controls.pitot_heat > 0.5) & (faults.pitot_heat > 0.5) & (volts >= PITOT_HEAT_VOLTS)
    ice = ice_later(world, was.ice, motion, m.where(heats, 1.0, 0.0))
    closed = 1.0 - (1.0 - m.clip(faults.pitot_ram, 0.0, 1.0)) * (1.0 - ice)
    pitot = pitot_line_pa(m, was.pitot_pa, outside, impact, closed, faults.pitot_drain)

    # Alternate source and a broken line both open into the cabin, whatever the ports outside do.
    alternate, broken = controls.alternate_static, m.where(faults.static_leak > 0.0, 1.0, 0.0)
    inside = m.most(alternate, broken)
    source = cabin_pa(outside, impact, m.most(ALTERNATE_STATIC_SHARE * alternate, faults.static_leak))
    static = static_line_pa(m, was.static_pa, source, faults.static_block * (1.0 - inside),
                            faults.static_lag_s * (1.0 - inside))
    chamber = was.chamber_pa + _LEAK * (static - was.chamber_pa)
    airspeed = m.where(faults.airspeed_stuck > 0.5, was.airspeed_kt, indicated_kt(m, pitot, static))
    vertical = m.clip(indicated_fpm(static, chamber) + faults.vertical_speed_off_fpm, -VSI_MOST_FPM, VSI_MOST_FPM)
    return PitotStatic(pitot, static, chamber, sticking_pa(m, was.hands_pa, static, faults.altimeter_stick_ft),
                       airspeed, vertical, ice)


def start(maths: Maths, motion: Motion) -> PitotStatic:
    """Return lines and needles settled in level flight, without ice."""
    outside = motion.pressure_pa
    airspeed = indicated_kt(maths, outside + motion.impact_pa, outside)
    none = 0.0 * outside
    return PitotStatic(outside + motion.impact_pa, outside, outside, outside, airspeed, none, none)
