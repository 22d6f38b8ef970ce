"""Elevator and trim: the climb that the airspeed allows, and the pull that makes it."""

from __future__ import annotations

import math
from typing import NamedTuple

from drill.airplane.airframe import Airframe
from drill.airplane.arith import Maths, Quantity, Truth
from drill.airplane.constants import (
    AIRSPEED_TREND_S,
    ATTENTION_LEAST,
    CLIMB_PER_FT,
    CLIMB_PER_FT_PARTIAL,
    CLIMB_PER_KT,
    DEG,
    DESCENT_PER_KT,
    EASE_LEAST_KT,
    FAR_OFF_FT,
    FPM,
    LEVEL_PITCH_MOST_DEG,
    LOOSE_ATTENTION,
    PITCH_FORGETS_S,
    PITCH_LEARNS,
    PULL_BY_TREND_DEG,
    PULL_DEG,
    PULL_IN_RECOVERY_DEG,
    PULL_LAG_S,
    PULL_LEARNS,
    PULL_PER_FPM,
    PULL_PER_PITCH,
    PULL_SLEW_DPS,
    RAD,
    RECOVER_AHEAD_S,
    RECOVER_BAND_KT,
    RECOVER_BANK_DEG,
    RECOVER_TRIMS,
    RECOVER_TURN_DPS,
    SAFE_SPEED,
    STEP_S,
    TREND_MEAN_S,
    TRIM_DEG,
    TRIM_S,
)
from drill.airplane.controls import HOLD_PITCH, RECOVER, Controls
from drill.airplane.looking import Looks
from drill.airplane.memory import Hands

_PULL_LAG = 1.0 - math.exp(-STEP_S / PULL_LAG_S)
_PULL_SLEW = PULL_SLEW_DPS * STEP_S
_TRIM = STEP_S / TRIM_S


class Elevator(NamedTuple):
    """What holds the nose, each as in `Hands`."""

    level_pitch_deg: Quantity
    pressure_pull_deg: Quantity
    pull_deg: Quantity
    trim_deg: Quantity


def asked_fpm(m: Maths, controls: Controls, by_horizon: Truth, still: Truth, looks: Looks,
              tas_mps: Quantity) -> Quantity:
    """Return the vertical speed (ft/min) that the order asks for; by needles that stand still nothing is corrected."""
    per_ft = m.where(by_horizon, CLIMB_PER_FT, CLIMB_PER_FT_PARTIAL)
    asked = m.clip(per_ft * (controls.altitude_ft - looks.altitude_ft), -controls.climb_fpm, controls.climb_fpm)
    near = (asked < per_ft * FAR_OFF_FT) & (asked > -per_ft * FAR_OFF_FT)
    asked = m.where(still & near, 0.0, asked)
    asked = m.where(controls.vertical == HOLD_PITCH, tas_mps / FPM * controls.pitch_deg * DEG, asked)
    return m.where(controls.lateral == RECOVER, 0.0, asked)


def raise_nose(m: Maths, frame: Airframe, controls: Controls, by_attitude: Truth, by_horizon: Truth, still: Truth,
               looks: Looks, tas_mps: Quantity, asked: Quantity, was: Hands) -> Elevator:
    """Return elevator and trim for `asked` ft/min, by a horizon or by pressure; airspeed comes first."""
    bank, pitch, airspeed = looks.bank_deg, looks.pitch_deg, looks.airspeed_kt
    recovers = controls.lateral == RECOVER
    holds_pitch = controls.vertical == HOLD_PITCH
    # Who looks seldom pulls gently, as with the ailerons: firm corrections to old readings would rock the nose.
    attention = m.clip(controls.attention, ATTENTION_LEAST, 1.0)
    loose = m.where(recovers, 1.0, m.least(attention / LOOSE_ATTENTION, 1.0))
    ceiling = CLIMB_PER_KT * (airspeed - SAFE_SPEED * frame.stall_kt)
    floor = -DESCENT_PER_KT * m.most(frame.cruise_most_kt - airspeed, 0.0)
    climb = m.least(m.most(asked, floor), ceiling)

    learns = m.where(recovers | holds_pitch | still, 0.0, 1.0)
    learning = loose * PITCH_LEARNS * (climb - looks.vertical_speed_fpm) - was.level_pitch_deg / PITCH_FORGETS_S
    level_pitch = m.clip(was.level_pitch_deg + STEP_S * learns * learning, -LEVEL_PITCH_MOST_DEG, LEVEL_PITCH_MOST_DEG)
    level_pitch = m.where(by_horizon, level_pitch, pitch)
    pitch_order = m.where(holds_pitch, controls.pitch_deg, level_pitch + climb * FPM / tas_mps * RAD)
    yaw = looks.yaw_dps
    banked = m.where(by_attitude, (bank > RECOVER_BANK_DEG) | (bank < -RECOVER_BANK_DEG),
                     (yaw > RECOVER_TURN_DPS) | (yaw < -RECOVER_TURN_DPS))
    banked_fast = (airspeed > controls.airspeed_kt + RECOVER_BAND_KT) & banked
    pull_most = m.where(recovers & banked_fast, 0.0, PULL_DEG[1])
    pull_by_horizon = m.clip(loose * PULL_PER_PITCH * (pitch_order - pitch), PULL_DEG[0], pull_most)
    # Out of a dive the trim raises the nose by itself: the pull eases while the altimeter's hands still slow down.
    moved = (looks.altimeter_was_ft - was.altimeter_was_ft) * (60.0 / STEP_S)
    gained = RECOVER_AHEAD_S / TREND_MEAN_S * (moved - looks.altimeter_moves_fpm)
    wrong = climb - looks.trend_fpm - m.where(recovers, gained, 0.0)
    learns = m.where(recovers, 0.0, loose * PULL_LEARNS)
    learned = m.clip(was.pressure_pull_deg + STEP_S * learns * wrong, *PULL_DEG)
    learned = m.where(by_horizon, 0.0, learned)
    reach = m.where(recovers, PULL_IN_RECOVERY_DEG, PULL_BY_TREND_DEG)
    push = m.where(recovers, PULL_DEG[0], -PULL_BY_TREND_DEG)
    pull_by_trend = m.least(m.clip(loose * PULL_PER_FPM * wrong, push, reach), pull_most) + learned
    pull_order = m.where(by_horizon, pull_by_horizon, pull_by_trend)
    pull = was.pull_deg + m.clip(_PULL_LAG * (pull_order - was.pull_deg), -_PULL_SLEW, _PULL_SLEW)

    # The hands trim off what they hold; by pressure only what they have learned, or it would be learned twice.
    # In a recovery they trim off a push alone, and quickly, or the airplane would zoom once it ends.
    pushed = RECOVER_TRIMS * m.least(pull, 0.0)
    trimmed = _TRIM * m.where(recovers, pushed, m.where(by_horizon, pull, learned))
    # By pressure nothing shows pitch: as the airspeed falls they ease back, half as much as level flight will need.
    slowing = (was.airspeed_smooth_kt - airspeed) / (AIRSPEED_TREND_S * m.most(airspeed, EASE_LEAST_KT))
    eased = STEP_S * was.trim_deg * slowing * m.where(by_horizon | recovers, 0.0, 1.0)
    trim = m.clip(was.trim_deg + trimmed + eased, *TRIM_DEG)
    return Elevator(level_pitch, m.where(by_horizon, 0.0, learned - m.where(recovers, 0.0, trimmed)), pull, trim)
