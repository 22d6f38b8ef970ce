"""What is broken, part by part, as numbers that the model reads. The words for it are in `failures`."""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.arith import Quantity


@dataclass(frozen=True, slots=True)
class Faults:
    """Condition of each part; floats, or arrays of shape (N,). The defaults are an airplane with nothing wrong."""

    pump: Quantity = 1.0               # share of its healthy suction that the pump delivers
    clog: Quantity = 0.0               # share of the filter's area that is blocked
    leak: Quantity = 0.0
    standby_vacuum: Quantity = 1.0     # 1 works, when switched on
    suction_gauge: Quantity = 1.0      # 1 works, 0 stuck where it was
    low_vacuum_light: Quantity = 1.0   # 1 works
    attitude_drift_dpm: Quantity = 0.0  # added roll drift of the attitude indicator, degrees per minute, right positive
    attitude_friction: Quantity = 1.0   # multiplies the rotor's bearing friction
    attitude_stopped: Quantity = 0.0    # 1: no air gets to the rotor
    heading_drift_dph: Quantity = 0.0   # degrees per hour
    heading_seized: Quantity = 0.0      # 1: the card turns with the case
    heading_stopped: Quantity = 0.0     # 1: no air gets to the rotor
    turn_power: Quantity = 1.0          # 0: no supply, flag out
    turn_rotor: Quantity = 1.0          # 0: no drive, no flag
    turn_bias_dps: Quantity = 0.0
    compass_stuck: Quantity = 0.0
    alternator: Quantity = 1.0          # 1 works
