"""Attitude indicator, heading indicator and turn coordinator: rotors that run up and down, and what they then show."""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane.arith import Maths, Quantity, compass_deg, wrap_deg
from drill.airplane.constants import (
    BEARING_DRIFT,
    CARRY_SPEED,
    DEG,
    DRAG_SPEED,
    EARTH_RATE_DPH,
    ERECTION_BAND_DEG,
    ERECTION_DPM,
    FALLEN_DEG,
    FLAG_VOLTS,
    HEADING_FRICTION_DPH,
    KNOT,
    PITCH_STOP_DEG,
    RAD,
    RESTING_TILT_DEG,
    ROTOR_DRIVE_PER_S,
    ROTOR_LEAST,
    STEP_S,
    SUCTION_NORMAL_INHG,
    TOPPLE_TO_DEG,
    TUMBLE_BANK_DEG,
    TUMBLE_PITCH_DEG,
    TUMBLE_SPIN_DPS,
    TUMBLE_SPIN_S,
    TUMBLE_TILT_DEG,
    TUMBLED_UNTIL_DEG,
    TURN_BIAS_DPS,
    TURN_CANT,
    TURN_FULL_VOLTS,
    TURN_LAG_S,
    TURN_SPIN_DOWN_S,
    TURN_SPIN_UP_S,
    TURN_STOP_DPS,
    G,
    Wear,
)
from drill.airplane.controls import Controls
from drill.airplane.draws import Instruments
from drill.airplane.faults import Faults
from drill.airplane.motion import Motion, yaw_radps
from drill.airplane.world import World

_TURN_LAG = 1.0 - math.exp(-STEP_S / TURN_LAG_S)


@dataclass(frozen=True, slots=True)
class Gyros:
    """Rotor speeds as fractions of nominal, and the display errors or readings they carry; degrees."""

    attitude_rotor: Quantity
    roll_error_deg: Quantity       # shown bank less true bank
    pitch_error_deg: Quantity      # shown pitch less true pitch
    spin_left_s: Quantity          # tumbling: time until the display stops
    tumbled: Quantity
    heading_rotor: Quantity
    heading_deg: Quantity          # as shown, 0 <= x < 360
    turn_rotor: Quantity
    turn_dps: Quantity             # as shown


def rotor_rate(maths: Maths, wear: Wear, speed: Quantity, suction_inhg: Quantity, friction: Quantity) -> Quantity:
    """Return the change of rotor speed (1/s): the air jet against bearing friction.

    `friction` multiplies the bearing's. At 5 inHg and friction 1 the speed settles at 1.
    """
    jet = maths.sqrt(maths.most(suction_inhg, 0.0) / SUCTION_NORMAL_INHG)
    loss = wear.friction + wear.friction_1 * speed + wear.friction_2 * speed * speed
    full = wear.friction + wear.friction_1 + wear.friction_2
    reach = 1.0 + full / ROTOR_DRIVE_PER_S
    return ROTOR_DRIVE_PER_S * jet * (reach * jet - speed) - friction * loss


def case_drag(speed: Quantity) -> Quantity:
    """Return the share (0 to 1) of the case's motion that a rotor of this speed is dragged along with."""
    x = speed / DRAG_SPEED
    x = x * x
    return 1.0 / (1.0 + x * x)


def apparent_drift_dph(world: World, east_mps: Quantity) -> Quantity:
    """Return the drift (deg/h) of an ideal heading gyro: earth rate, balance nut, and transport over the earth."""
    turning = EARTH_RATE_DPH * (world.sin_nut - world.sin_latitude)
    return turning - east_mps / KNOT / 60.0 * world.tan_latitude


def _attitude(world: World, was: Gyros, motion: Motion, pitch_deg: Quantity, faults: Faults, mine: Instruments,
              suction: Quantity) -> tuple[Quantity, Quantity, Quantity, Quantity, Quantity]:
    m, wear = world.maths, world.wear
    own = m.exp(wear.friction_spread * mine.attitude_friction_z) * faults.attitude_friction
    air = suction * (1.0 - faults.attitude_stopped)   # no air through the case: neither jet nor vanes
    rate = rotor_rate(m, wear, was.attitude_rotor, air, own)
    rotor = m.most(was.attitude_rotor + STEP_S * rate, 0.0)
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
    leaning_back = m.atan(motion.accel_mps2 / G) * RAD
    roll = was.roll_error_deg + STEP_S * (
        mine.attitude_side * falls
        + faults.attitude_drift_dpm / 60.0
        - erection * m.clip(shown / ERECTION_BAND_DEG, -1.0, 1.0)
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
    spin = m.where(over, TUMBLE_SPIN_S, m.most(was.spin_left_s - STEP_S, 0.0))
    spinning = spin > 0.0
    stops = (was.spin_left_s > 0.0) & m.no(spinning)
    low, high = TUMBLE_TILT_DEG
    roll = m.where(spinning, was.roll_error_deg + STEP_S * TUMBLE_SPIN_DPS * mine.attitude_side, roll)
    roll = m.where(stops, mine.attitude_side * (low + (high - low) * mine.tumble_u), roll)
    roll = wrap_deg(m, roll)
    far = (roll > TUMBLED_UNTIL_DEG) | (roll < -TUMBLED_UNTIL_DEG)
    fallen = slow & ((roll > FALLEN_DEG) | (roll < -FALLEN_DEG))
    tumbled = m.where(spinning | fallen | ((was.tumbled > 0.5) & far), 1.0, 0.0)
    return rotor, roll, m.clip(pitch, -PITCH_STOP_DEG, PITCH_STOP_DEG), spin, tumbled


def advance(world: World, was: Gyros, motion: Motion, pitch_deg: Quantity, controls: Controls, faults: Faults,
            mine: Instruments, suction: Quantity, volts: Quantity, east_mps: Quantity) -> Gyros:
    """Return the gyros one step later; `suction` in inHg at the gyros, `volts` on the bus, true pitch in degrees."""
    m = world.maths
    attitude_rotor, roll, pitch, spin, tumbled = _attitude(world, was, motion, pitch_deg, faults, mine, suction)

    own = m.exp(world.wear.friction_spread * mine.heading_friction_z)
    rate = rotor_rate(m, world.wear, was.heading_rotor, suction * (1.0 - faults.heading_stopped), own)
    heading_rotor = m.most(was.heading_rotor + STEP_S * rate, 0.0)
    w = m.most(heading_rotor, ROTOR_LEAST)
    free = (1.0 - case_drag(w)) * (1.0 - faults.heading_seized)
    drift = apparent_drift_dph(world, east_mps) + HEADING_FRICTION_DPH * mine.heading_drift_z / (w * w * w)
    drift = (drift + faults.heading_drift_dph) * (1.0 - faults.heading_seized)
    heading = was.heading_deg + STEP_S * (free * motion.turn_radps * RAD + drift / 3600.0)

    supply = volts * controls.turn_breaker * faults.turn_power
    driven = m.clip(supply / TURN_FULL_VOLTS, 0.0, 1.05) * faults.turn_rotor
    lag = m.where(driven > was.turn_rotor, STEP_S / TURN_SPIN_UP_S, STEP_S / TURN_SPIN_DOWN_S)
    turn_rotor = was.turn_rotor + lag * (driven - was.turn_rotor)
    yaw = yaw_radps(m, motion.bank_rad, motion.path_rad, motion.tas_mps)
    felt = turn_rotor * (yaw + motion.bank_rate_radps * TURN_CANT) * RAD
    meant = m.clip(felt + TURN_BIAS_DPS * mine.turn_bias_z + faults.turn_bias_dps, -TURN_STOP_DPS, TURN_STOP_DPS)
    turn = was.turn_dps + _TURN_LAG * (meant - was.turn_dps)

    return Gyros(attitude_rotor, roll, pitch, spin, tumbled, heading_rotor, compass_deg(m, heading), turn_rotor, turn)


def start(world: World, heading_deg: Quantity, mine: Instruments, running: Quantity) -> Gyros:
    """Return gyros at full speed and erect (`running` 1.0), or at rest and tilted as they fell (0.0)."""
    m = world.maths
    low, high = RESTING_TILT_DEG
    fell = mine.attitude_side * (low + (high - low) * mine.resting_u) * (1.0 - running)
    none = 0.0 * heading_deg
    return Gyros(
        attitude_rotor=none + running, roll_error_deg=none + fell, pitch_error_deg=none - 0.4 * abs(fell),
        spin_left_s=none, tumbled=none, heading_rotor=none + running,
        heading_deg=compass_deg(m, heading_deg + 3.0 * fell), turn_rotor=none + running,
        turn_dps=none + TURN_BIAS_DPS * mine.turn_bias_z * running,
    )


def shown_bank_deg(maths: Maths, gyros: Gyros, motion: Motion) -> Quantity:
    """Return the bank on the attitude indicator, -180 <= x < 180."""
    return wrap_deg(maths, motion.bank_rad / DEG + gyros.roll_error_deg)


def turn_flag(maths: Maths, controls: Controls, faults: Faults, volts: Quantity) -> Quantity:
    """Return 1.0 when the turn coordinator's flag shows: it watches the supply, never the rotor."""
    return maths.where(volts * controls.turn_breaker * faults.turn_power < FLAG_VOLTS, 1.0, 0.0)
