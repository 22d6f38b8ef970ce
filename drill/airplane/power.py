"""Throttle: the airspeed, more of it for a climb, and all or none in a recovery."""

from __future__ import annotations

import math
from typing import NamedTuple

from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import (
    AIRSPEED_AHEAD_S,
    AIRSPEED_TREND_S,
    CRUISE_POWER,
    FAR_OFF_FT,
    POWER_LAG_S,
    POWER_LEARNS,
    POWER_PER_FPM,
    POWER_PER_KT,
    POWER_PER_RPM,
    POWER_SLEW_PER_S,
    RECOVER_BAND_KT,
    RPM_SLEW,
    SHORT_MOST_KT,
    STEP_S,
)
from drill.airplane.controls import HOLD_AIRSPEED, HOLD_PITCH, HOLD_RPM, RECOVER, Controls
from drill.airplane.looking import Looks
from drill.airplane.memory import Hands

_AIRSPEED_LAG = 1.0 - math.exp(-STEP_S / AIRSPEED_TREND_S)
_POWER_LAG = 1.0 - math.exp(-STEP_S / POWER_LAG_S)
_POWER_SLEW = POWER_SLEW_PER_S * STEP_S


class Power(NamedTuple):
    """Airspeed trend and throttle, each as in `Hands`."""

    airspeed_smooth_kt: Quantity
    climb_power: Quantity
    cruise_power: Quantity
    throttle: Quantity


def set_power(m: Maths, controls: Controls, rpm: Quantity, looks: Looks, asked: Quantity, was: Hands) -> Power:
    """Return the throttle for the ordered airspeed and a vertical speed of `asked` ft/min."""
    airspeed = looks.airspeed_kt
    recovers = controls.lateral == RECOVER
    holds_pitch = controls.vertical == HOLD_PITCH
    airspeed_smooth = was.airspeed_smooth_kt + _AIRSPEED_LAG * (airspeed - was.airspeed_smooth_kt)
    airspeed_trend = (airspeed - airspeed_smooth) / AIRSPEED_TREND_S
    short = m.clip(controls.airspeed_kt - airspeed, -SHORT_MOST_KT, SHORT_MOST_KT)
    below = controls.altitude_ft - looks.altitude_ft
    far_off = (below > FAR_OFF_FT) | (below < -FAR_OFF_FT)
    for_climb = m.where(far_off & m.no(holds_pitch | recovers), POWER_PER_FPM * asked, 0.0)
    climb_power = was.climb_power + _POWER_LAG * (for_climb - was.climb_power)
    meant = was.cruise_power + climb_power + POWER_PER_KT * short
    sated = ((meant >= 1.0) & (short > 0.0)) | ((meant <= 0.0) & (short < 0.0))
    holds_airspeed = controls.power == HOLD_AIRSPEED
    tuning = holds_airspeed & m.no(sated | recovers)
    cruise_power = m.clip(was.cruise_power + m.where(tuning, STEP_S * POWER_LEARNS * short, 0.0), *CRUISE_POWER)
    soon = airspeed + AIRSPEED_AHEAD_S * airspeed_trend
    rescue = m.where(m.most(soon, airspeed) > controls.airspeed_kt + RECOVER_BAND_KT, 0.0,
                     m.where(soon < controls.airspeed_kt - RECOVER_BAND_KT, 1.0, cruise_power))
    by_rpm = was.throttle + m.clip(POWER_PER_RPM * (controls.rpm - rpm), -RPM_SLEW, RPM_SLEW)
    ordered = m.where(controls.power == HOLD_RPM, m.clip(by_rpm, 0.0, 1.0), controls.throttle)
    wanted = m.where(recovers, rescue, m.where(holds_airspeed, m.clip(meant, 0.0, 1.0), ordered))
    throttle = was.throttle + m.clip(wanted - was.throttle, -_POWER_SLEW, _POWER_SLEW)
    return Power(airspeed_smooth, climb_power, cruise_power, throttle)
