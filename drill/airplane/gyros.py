"""Attitude indicator, heading indicator and turn coordinator: rotors that run up and down, and what they then show."""

from __future__ import annotations

import math

from drill.airplane import attitude
from drill.airplane.arith import Quantity, compass_deg
from drill.airplane.attitude import shown_bank_deg
from drill.airplane.constants import (
    EARTH_RATE_DPH,
    FLAG_VOLTS,
    HEADING_FRICTION_DPH,
    KNOT,
    RAD,
    RESTING_HEADING,
    ROTOR_LEAST,
    STEP_S,
    TURN_BIAS_DPS,
    TURN_CANT,
    TURN_LAG_S,
    TURN_STOP_DPS,
)
from drill.airplane.controls import Controls
from drill.airplane.draws import Instruments
from drill.airplane.faults import Faults
from drill.airplane.gyro_state import Gyros
from drill.airplane.motion import Motion, yaw_radps
from drill.airplane.rotor import by_air, by_current, case_drag, rotor_rate
from drill.airplane.world import World

__all__ = ["Gyros", "advance", "apparent_drift_dph", "case_drag", "rotor_rate", "shown_bank_deg", "start", "turn_flag"]

_TURN_LAG = 1.0 - math.exp(-STEP_S / TURN_LAG_S)


def apparent_drift_dph(world: World, east_mps: Quantity) -> Quantity:
    """Return the drift (deg/h) of an ideal heading gyro: earth rate, balance nut, and transport over the earth."""
    turning = EARTH_RATE_DPH * (world.sin_nut - world.sin_latitude)
    return turning - east_mps / KNOT / 60.0 * world.tan_latitude


def _heading(world: World, was: Gyros, motion: Motion, faults: Faults, mine: Instruments, suction: Quantity,
             volts: Quantity, east_mps: Quantity) -> tuple[Quantity, Quantity]:
    m, wear = world.maths, world.wear
    if world.airframe.heading_drive == "electric":
        rotor = by_current(m, was.heading_rotor, volts, 1.0 - faults.heading_stopped)
    else:
        own = m.exp(wear.friction_spread * mine.heading_friction_z)
        rotor = by_air(m, wear, was.heading_rotor, suction * (1.0 - faults.heading_stopped), own)
    w = m.most(rotor, ROTOR_LEAST)
    cubed = 1.0 / (w * w * w)
    slow = wear.heading_slow_dph * m.most(cubed - 1.0, 0.0) * m.sign(mine.heading_drift_z)
    drift = apparent_drift_dph(world, east_mps) + HEADING_FRICTION_DPH * mine.heading_drift_z * cubed + slow
    held = 1.0 - faults.heading_seized
    free = (1.0 - case_drag(w)) * held
    drift = (drift + faults.heading_drift_dph) * held
    return rotor, compass_deg(m, was.heading_deg + STEP_S * (free * motion.turn_radps * RAD + drift / 3600.0))


def _turn(world: World, was: Gyros, motion: Motion, controls: Controls, faults: Faults, mine: Instruments,
          volts: Quantity) -> tuple[Quantity, Quantity]:
    m = world.maths
    if not world.airframe.turn_coordinator_fitted:
        return was.turn_rotor, 0.0 * was.turn_dps
    rotor = by_current(m, was.turn_rotor, volts * controls.turn_breaker * faults.turn_power, faults.turn_rotor)
    yaw = m.where(motion.parked > 0.5, motion.turn_radps,
                  yaw_radps(m, motion.bank_rad, motion.path_rad, motion.tas_mps))
    felt = rotor * (yaw + motion.bank_rate_radps * TURN_CANT) * RAD
    meant = m.clip(felt + TURN_BIAS_DPS * mine.turn_bias_z + faults.turn_bias_dps, -TURN_STOP_DPS, TURN_STOP_DPS)
    return rotor, was.turn_dps + _TURN_LAG * (meant - was.turn_dps)


def advance(world: World, was: Gyros, motion: Motion, pitch_deg: Quantity, controls: Controls, faults: Faults,
            mine: Instruments, suction: Quantity, volts: Quantity, east_mps: Quantity) -> Gyros:
    """Return the gyros one step later; `suction` in inHg at the gyros, `volts` on the bus, true pitch in degrees."""
    return Gyros(
        *attitude.advance(world, was, motion, pitch_deg, faults, mine, suction),
        *_heading(world, was, motion, faults, mine, suction, volts, east_mps),
        *_turn(world, was, motion, controls, faults, mine, volts),
    )


def start(world: World, heading_deg: Quantity, mine: Instruments, running: Quantity,
          pitch_deg: Quantity = 0.0) -> Gyros:
    """Return gyros at full speed and erect (`running` 1.0), or at rest and tilted as they fell (0.0)."""
    m = world.maths
    fitted = 1.0 if world.airframe.turn_coordinator_fitted else 0.0
    none = 0.0 * heading_deg
    upright = attitude.start(none + pitch_deg, mine, running)
    return Gyros(
        *upright, heading_rotor=none + running,
        heading_deg=compass_deg(m, heading_deg + RESTING_HEADING * upright.roll_error_deg),
        turn_rotor=none + running, turn_dps=none + TURN_BIAS_DPS * mine.turn_bias_z * running * fitted,
    )


def turn_flag(world: World, controls: Controls, faults: Faults, volts: Quantity) -> Quantity:
    """Return 1.0 when the turn coordinator's flag shows, or where none is fitted: it watches the supply, not the rotor.
    """
    if not world.airframe.turn_coordinator_fitted:
        return 0.0 * volts + 1.0
    return world.maths.where(volts * controls.turn_breaker * faults.turn_power < FLAG_VOLTS, 1.0, 0.0)
