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
    regulator_inhg: Quantity = 0.0     # added to what the suction regulator holds
    standby_vacuum: Quantity = 1.0     # 1 works, when switched on
    suction_gauge: Quantity = 1.0      # 1 works, 0 stuck where it was
    low_vacuum_light: Quantity = 1.0   # 1 works
    attitude_drift_dpm: Quantity = 0.0  # added roll drift of the attitude indicator, degrees per minute, right positive
    attitude_friction: Quantity = 1.0   # multiplies the rotor's bearing friction
    attitude_stopped: Quantity = 0.0    # 1: no air gets to the rotor
    attitude_tumbles: Quantity = 0.0    # 1: the gyro is knocked over as if past its stops
    attitude_pitch_stuck: Quantity = 0.0   # 1: the pitch bar stays where it was in the case
    heading_drift_dph: Quantity = 0.0   # degrees per hour
    heading_seized: Quantity = 0.0      # 1: the card turns with the case
    heading_stopped: Quantity = 0.0     # 1: no air gets to the rotor
    turn_power: Quantity = 1.0          # 0: no supply, flag out
    turn_rotor: Quantity = 1.0          # 0: no drive, no flag
    turn_bias_dps: Quantity = 0.0
    standby_drift_dpm: Quantity = 0.0   # the standby attitude's bank creeps, degrees per minute, right positive
    standby_attitude: Quantity = 1.0    # 0: it has found itself faulty and shows its flag
    compass_stuck: Quantity = 0.0
    compass_deviation_deg: Quantity = 0.0
    pitot_ram: Quantity = 0.0           # share of the pitot opening that is closed; the drain may be open
    pitot_drain: Quantity = 0.0         # 1: the drain is closed too; with a closed opening the pressure is trapped
    pitot_heat: Quantity = 1.0          # 1 works, when switched on
    static_block: Quantity = 0.0        # 1: the static ports are closed; the alternate source still works
    static_lag_s: Quantity = 0.0        # a partly closed port: added lag
    static_leak: Quantity = 0.0         # share of the impact pressure by which a broken line lies below static
    airspeed_stuck: Quantity = 0.0      # 1: the needle stays where it was
    altimeter_stick_ft: Quantity = 0.0  # the hands move in jumps of this size
    vertical_speed_off_fpm: Quantity = 0.0
    alternator: Quantity = 1.0          # 1 works
    regulator_volts: Quantity = 0.0     # added to what the voltage regulator holds
    battery_capacity: Quantity = 1.0    # share of new
    bus: Quantity = 1.0                 # 0: the main bus has no power at all
    avionics_power: Quantity = 1.0      # 0: the avionics bus has no power
    low_voltage_light: Quantity = 1.0   # 1 works
    gps_signal: Quantity = 1.0
    transmitter: Quantity = 1.0
    transponder: Quantity = 1.0
    autopilot_runs: Quantity = 0.0      # 1 or -1: its roll servo drives to that side
    autopilot_holds: Quantity = 1.0     # 0: it lets go
    engine: Quantity = 1.0              # share of its power that the engine still makes
