"""Airspeed indicator, altimeter and vertical speed indicator from the pressures in their lines."""

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
    PITOT_LAG_S,
    STATIC_LAG_S,
    STEP_S,
    VSI_LEAK_S,
    VSI_MOST_FPM,
)
from drill.airplane.controls import Controls
from drill.airplane.motion import Motion

_PITOT = 1.0 - math.exp(-STEP_S / PITOT_LAG_S)
_STATIC = 1.0 - math.exp(-STEP_S / STATIC_LAG_S)
_LEAK = 1.0 - math.exp(-STEP_S / VSI_LEAK_S)


@dataclass(frozen=True, slots=True)
class PitotStatic:
    """Pressures (Pa) in the pitot line, the static line and the chamber of the vertical speed indicator."""

    pitot_pa: Quantity
    static_pa: Quantity
    chamber_pa: Quantity
    airspeed_kt: Quantity          # as shown
    vertical_speed_fpm: Quantity   # as shown


def _vertical_speed_fpm(static_pa: Quantity, chamber_pa: Quantity) -> Quantity:
    rises = atmosphere.altitude_m(static_pa) - atmosphere.altitude_m(chamber_pa)
    return rises / (VSI_LEAK_S * FPM)


def advance(maths: Maths, was: PitotStatic, motion: Motion, controls: Controls) -> PitotStatic:
    """Return the lines and needles one step later. The cabin, where the alternate source is, lies a little below."""
    outside = motion.pressure_pa
    source = outside - ALTERNATE_STATIC_SHARE * motion.impact_pa * controls.alternate_static
    pitot = was.pitot_pa + _PITOT * (outside + motion.impact_pa - was.pitot_pa)
    static = was.static_pa + _STATIC * (source - was.static_pa)
    chamber = was.chamber_pa + _LEAK * (static - was.chamber_pa)
    return PitotStatic(pitot, static, chamber, atmosphere.cas_mps(maths, pitot - static) / KNOT,
                       maths.clip(_vertical_speed_fpm(static, chamber), -VSI_MOST_FPM, VSI_MOST_FPM))


def shown_altitude_ft(static_pa: Quantity, setting_hpa: Quantity) -> Quantity:
    """Return the altimeter's reading (ft) for a static pressure (Pa) and a setting (hPa)."""
    return atmosphere.altitude_m(static_pa, 100.0 * setting_hpa) / FOOT


def start(maths: Maths, motion: Motion) -> PitotStatic:
    """Return lines and needles settled in level flight."""
    outside = motion.pressure_pa
    airspeed = atmosphere.cas_mps(maths, motion.impact_pa) / KNOT
    return PitotStatic(outside + motion.impact_pa, outside, outside, airspeed, 0.0 * outside)
