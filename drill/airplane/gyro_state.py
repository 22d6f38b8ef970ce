"""What the gyros are at one moment."""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.arith import Quantity


@dataclass(frozen=True, slots=True)
class Gyros:
    """Rotor speeds as fractions of nominal, and the display errors or readings they carry; degrees.

    The fields stand in the order of `attitude.Attitude`, the heading indicator and the turn coordinator.
    """

    attitude_rotor: Quantity
    roll_error_deg: Quantity       # shown bank less true bank
    pitch_error_deg: Quantity      # the gyro's pitch less true pitch
    pitch_shown_deg: Quantity      # where the bar stands: with the gyro, unless it sticks
    spin_left_s: Quantity          # tumbling: time until the display stops
    tumbled: Quantity
    knocked: Quantity              # the fault that knocks it over, as last seen: it does so once
    heading_rotor: Quantity
    heading_deg: Quantity          # as shown, 0 <= x < 360
    turn_rotor: Quantity
    turn_dps: Quantity             # as shown; 0 where none is fitted
