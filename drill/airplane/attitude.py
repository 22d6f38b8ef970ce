"""The vacuum attitude indicator: a gyro that its vanes hold upright, that leans as it slows, and that can tumble."""

from __future__ import annotations

import math
from typing import NamedTuple

from drill.airplane.arith import Maths, Quantity, wrap_deg
from drill.airplane.constants import (
    BEARING_DRIFT,
    CARRY_SPEED,
    DEG,
    ERECTION_BAND_DEG,
    ERECTION_DPM,
    FALLEN_DEG,
    PITCH_STOP_DEG,
    RAD,
    RESTING_PITCH,
    RESTING_TILT_DEG,
    ROTOR_LEAST,
    STEP_S,
    SUCTION_NORMAL_INHG,
    TOPPLE_TO_DEG,
    TUMBLE_BANK_DEG,
    TUMBLE_NOD_DPS,
    TUMBLE_NOD_S,
    TUMBLE_PITCH_DEG,
    TUMBLE_SPIN_DPS,
    TUMBLE_SPIN_S,
    TUMBLE_TILT_DEG,
    TUMBLED_UNTIL_DEG,
    G,
)
from drill.airplane.draws import Instruments
from drill.airplane.faults import Faults
from drill.airplane.gyro_state import Gyros
from drill.airplane.motion import Motion
from drill.airplane.rotor import by_air, case_drag
from drill.airplane.world import World


class Attitude(NamedTuple):
    """The attitude indicator's part of the gyros, each as in `Gyros`."""

    attitude_rotor: Quantity
    roll_error_deg: Quantity
    pitch_error_deg: Quantity
    pitch_shown_deg: Quantity
    spin_left_s: Quantity
    tumbled: Quantity
    knocked: Quantity


def advance(world: World, was: Gyros, motion: Motion, pitch_deg: Quantity, faults: Faults, mine: Instruments,
            suction: Quantity) -> Attitude:
    """Return the attitude indicator one step later; `suction` in inHg at the gyros, true pitch in degrees.

    The vanes hold the gyro to the apparent vertical. In a coordinated turn that is the airplane's own, on the ground,
    without bank, it leans out of a taxi turn by the centripetal acceleration.
    """
    m, wear = world.maths, world.wear
    own = m.exp(wear.friction_spread * mine.attitude_friction_z) * faults.attitude_friction
    air = suction * (1.0 - faults.attitude_stopped)   # no air through the case: neither jet nor vanes
    rotor = by_air(m, wear, was.attitude_rotor, air, own)
    w = m.most(rotor, ROTOR_LEAST)
    erection = ERECTION_DPM / 60.0 * (air / SUCTION_NORMAL_INHG) / w
    grows = 1.0 / (w * w * m.sqrt(w))
    rough = 1.0 + BEARING_DRIFT * (faults.attitude_friction - 1.0)
    drift = (wear.drift_low_dpm + (wear.drift_high_dpm - wear.drift_low_dpm) * mine.attitude_drift_u) / 60.0
    bank_deg = motion.bank_rad * RAD
    shown = wrap_deg(m, bank_deg + was.roll_error_deg)
    slow = rotor < wear.topple_speed
    falls = drift * rough * grows + m.where(slow, wear.topple_dps, 0.0)
    falls = m.where(slow & (shown * mine.attitude_side >= TOPPLE_TO_DEG), 0.0, falls)
    leaning_out = m.atan(motion.parked * motion.ground_mps * motion.turn_radps / G) * RAD
    leaning_back = m.atan(motion.accel_mps2 / G) * RAD
    roll = was.roll_error_deg + STEP_S * (
        mine.attitude_side * falls
        + faults.attitude_drift_dpm / 60.0
        - erection * m.clip((shown + leaning_out) / ERECTION_BAND_DEG, -1.0, 1.0)
        - case_drag(w) * motion.bank_rate_radps * RAD
    )
    pitch = was.pitch_error_deg + STEP_S * (
        wear.pitch_drift_dpm / 60.0 * mine.attitude_pitch_z * grows
        - erection * m.clip((was.pitch_error_deg - leaning_back) / ERECTION_BAND_DEG, -1.0, 1.0)
    )
    # The tilt keeps its direction in space while the airplane turns under it, as far as gimbal friction lets it.
    x = w / CARRY_SPEED
    x = x * x
    x = x * x
    turned = STEP_S * motion.turn_radps * (1.0 - 1.0 / (1.0 + x * x))
    roll, pitch = roll + pitch * turned, pitch - roll * turned

    over = ((bank_deg > TUMBLE_BANK_DEG) | (bank_deg < -TUMBLE_BANK_DEG) | (pitch_deg > TUMBLE_PITCH_DEG)
            | (pitch_deg < -TUMBLE_PITCH_DEG)) & (rotor > wear.topple_speed)
    over = over | ((faults.attitude_tumbles > 0.5) & (was.knocked < 0.5))
    spin = m.where(over, TUMBLE_SPIN_S, m.most(was.spin_left_s - STEP_S, 0.0))
    spinning = spin > 0.0
    stops = (was.spin_left_s > 0.0) & m.no(spinning)
    low, high = TUMBLE_TILT_DEG
    roll = m.where(spinning, was.roll_error_deg + STEP_S * TUMBLE_SPIN_DPS * mine.attitude_side, roll)
    roll = m.where(stops, mine.attitude_side * (low + (high - low) * mine.tumble_u), roll)
    roll = wrap_deg(m, roll)
    nods = m.where(m.sin(2.0 * math.pi / TUMBLE_NOD_S * spin) > 0.0, TUMBLE_NOD_DPS, -TUMBLE_NOD_DPS)
    pitch = m.where(spinning, was.pitch_error_deg + STEP_S * nods, pitch)
    pitch = m.clip(pitch, -PITCH_STOP_DEG, PITCH_STOP_DEG)
    bar = m.where(faults.attitude_pitch_stuck > 0.5, was.pitch_shown_deg, pitch_deg + pitch)
    far = (roll > TUMBLED_UNTIL_DEG) | (roll < -TUMBLED_UNTIL_DEG)
    fallen = slow & ((roll > FALLEN_DEG) | (roll < -FALLEN_DEG))
    tumbled = m.where(spinning | fallen | ((was.tumbled > 0.5) & far), 1.0, 0.0)
    return Attitude(rotor, roll, pitch, bar, spin, tumbled, faults.attitude_tumbles + 0.0 * roll)


def start(pitch_deg: Quantity, mine: Instruments, running: Quantity) -> Attitude:
    """Return an indicator at full speed and erect (`running` 1.0), or at rest and tilted as it fell (0.0)."""
    low, high = RESTING_TILT_DEG
    none = 0.0 * pitch_deg
    fell = none + mine.attitude_side * (low + (high - low) * mine.resting_u) * (1.0 - running)
    nods = RESTING_PITCH * abs(fell)
    return Attitude(none + running, fell, nods, pitch_deg + nods, none, none, none)


def shown_bank_deg(maths: Maths, gyros: Gyros, motion: Motion) -> Quantity:
    """Return the bank on the attitude indicator, -180 <= x < 180."""
    return wrap_deg(maths, motion.bank_rad / DEG + gyros.roll_error_deg)
