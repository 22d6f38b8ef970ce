"""On the ground with the engine running: rolling, braking and turning by eye, before the airplane ever flies."""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import (
    BALL_FULL_DEG,
    BRAKE_MPS2,
    DEG,
    KNOT,
    ROLL_ALONG_MPS2,
    STEP_S,
    TAXI_MOST_KT,
    TAXI_RADIUS_M,
    TAXI_RATE_PER_DEG,
    TAXI_TURN_DPS,
    G,
)
from drill.airplane.controls import KEEP_TURNING, RECOVER, WINGS_LEVEL, Controls

_FULL = math.tan(BALL_FULL_DEG * DEG)


@dataclass(frozen=True, slots=True)
class Taxi:
    """How it rolls: speed over the ground (m/s), its change (m/s2), rate of turn (rad/s), the ball's place."""

    speed_mps: Quantity
    accel_mps2: Quantity
    turn_radps: Quantity
    ball: Quantity


STANDS = Taxi(0.0, 0.0, 0.0, 0.0)
"""Brakes set; also what an airplane in the air is given."""


def roll(m: Maths, controls: Controls, speed_mps: Quantity, to_turn_deg: Quantity) -> Taxi:
    """Return the roll in the next step, from a speed (m/s) and the degrees still to be turned, right positive.

    A turn is no tighter than the nosewheel lets it be and no quicker than `TAXI_TURN_DPS`; standing, nothing turns. The
    ball swings to the outside (FAA-H-8083-15, instrument check on the taxiway).
    """
    wanted = m.clip(controls.taxi_kt, 0.0, TAXI_MOST_KT) * KNOT
    accel = m.clip((wanted - speed_mps) / STEP_S, -BRAKE_MPS2, ROLL_ALONG_MPS2)
    speed = m.most(speed_mps + STEP_S * accel, 0.0)
    most = m.least(TAXI_TURN_DPS * DEG, speed / TAXI_RADIUS_M)
    side = m.where(controls.direction < 0.0, -1.0, 1.0)
    straight = (controls.lateral == WINGS_LEVEL) | (controls.lateral == RECOVER)
    ordered = m.where(controls.lateral == KEEP_TURNING, side * most, TAXI_RATE_PER_DEG * to_turn_deg * DEG)
    turn = m.where(straight, 0.0, m.clip(ordered, -most, most))
    return Taxi(speed, accel, turn, m.clip(-speed * turn / (G * _FULL), -1.0, 1.0))
