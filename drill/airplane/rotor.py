"""Gyro rotors: how they run up and down, and what a slow one is dragged along with."""

from __future__ import annotations

from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import (
    DRAG_SPEED,
    ROTOR_DRIVE_PER_S,
    STEP_S,
    SUCTION_NORMAL_INHG,
    TURN_FULL_VOLTS,
    TURN_SPIN_DOWN_S,
    TURN_SPIN_UP_S,
    Wear,
)


def rotor_rate(maths: Maths, wear: Wear, speed: Quantity, suction_inhg: Quantity, friction: Quantity) -> Quantity:
    """Return the change of rotor speed (1/s): the air jet against bearing friction.

    `friction` multiplies the bearing's. At 5 inHg and friction 1 the speed settles at 1.
    """
    jet = maths.sqrt(maths.most(suction_inhg, 0.0) / SUCTION_NORMAL_INHG)
    loss = wear.friction + wear.friction_1 * speed + wear.friction_2 * speed * speed
    full = wear.friction + wear.friction_1 + wear.friction_2
    reach = 1.0 + full / ROTOR_DRIVE_PER_S
    return ROTOR_DRIVE_PER_S * jet * (reach * jet - speed) - friction * loss


def by_air(maths: Maths, wear: Wear, speed: Quantity, suction_inhg: Quantity, friction: Quantity) -> Quantity:
    """Return the speed of an air-driven rotor one step later."""
    return maths.most(speed + STEP_S * rotor_rate(maths, wear, speed, suction_inhg, friction), 0.0)


def by_current(maths: Maths, speed: Quantity, volts: Quantity, drive: Quantity) -> Quantity:
    """Return the speed of an electric rotor one step later; `drive` 1.0 turns it, 0.0 leaves it to run down."""
    driven = maths.clip(volts / TURN_FULL_VOLTS, 0.0, 1.05) * drive
    lag = maths.where(driven > speed, STEP_S / TURN_SPIN_UP_S, STEP_S / TURN_SPIN_DOWN_S)
    return speed + lag * (driven - speed)


def case_drag(speed: Quantity) -> Quantity:
    """Return the share (0 to 1) of the case's motion that a rotor of this speed is dragged along with."""
    x = speed / DRAG_SPEED
    x = x * x
    return 1.0 / (1.0 + x * x)
