"""What is shown (`Panel`) and what is true (`Truths`), in the units of the cockpit. The two are never mixed."""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.arith import Quantity


@dataclass(frozen=True, slots=True)
class Panel:
    """Every reading in sight of the pilot at one moment; floats, or arrays of shape (N,).

    Right, nose-up and climb are positive. Flags and lights are 0.0 or 1.0. A covered instrument is still read here:
    covering is the pilot's doing and belongs to the flight.
    """

    airspeed_kt: Quantity
    altitude_ft: Quantity
    vertical_speed_fpm: Quantity
    altimeter_setting_hpa: Quantity
    bank_deg: Quantity            # attitude indicator
    pitch_deg: Quantity           # attitude indicator
    attitude_tumbled: Quantity    # the bar is spinning or stopped at an impossible angle
    heading_deg: Quantity         # heading indicator, 0 <= x < 360
    turn_rate_dps: Quantity       # turn coordinator, degrees per second
    turn_flag: Quantity           # turn coordinator: power lost
    ball: Quantity                # -1 (full left) to 1 (full right)
    compass_deg: Quantity         # 0 <= x < 360
    suction_inhg: Quantity
    low_vacuum_light: Quantity    # 0 where the airplane has none
    volts: Quantity
    amps: Quantity                # ammeter: charge positive, discharge negative
    low_voltage_light: Quantity
    rpm: Quantity
    standby_bank_deg: Quantity    # standby attitude display; not to be read while its flag shows
    standby_pitch_deg: Quantity
    standby_flag: Quantity        # 1: crossed out, dark, or none fitted
    standby_testing: Quantity     # 1: in its self-test, attitude hidden
    autopilot_on: Quantity        # 1: it flies
    radio_on: Quantity            # receiver and transmitter have power
    transponder_on: Quantity
    track_deg: Quantity           # GPS ground track, magnetic
    groundspeed_kt: Quantity      # GPS
    gps_on: Quantity              # 0: screen dark, track and groundspeed are not to be read
    course_deviation: Quantity    # course needle, -1 (needle full left) to 1 (full right); off-scale values are clipped
    course_flag: Quantity         # 1: needle not usable
    clock_s: Quantity             # seconds since the flight began


@dataclass(frozen=True, slots=True)
class Truths:
    """What the airplane really does; floats, or arrays of shape (N,). Headings are magnetic."""

    bank_deg: Quantity
    pitch_deg: Quantity
    heading_deg: Quantity
    turn_rate_dps: Quantity
    airspeed_kt: Quantity         # calibrated
    true_airspeed_kt: Quantity
    altitude_ft: Quantity         # above mean sea level
    height_ft: Quantity           # above the ground
    vertical_speed_fpm: Quantity
    load_factor_g: Quantity
    track_deg: Quantity
    groundspeed_kt: Quantity
    north_nm: Quantity            # from the place where the flight began
    east_nm: Quantity
    rpm: Quantity
    throttle: Quantity            # 0 to 1
    pitot_ice: Quantity           # share of the pitot opening that ice has closed
    icing: Quantity               # 1: ice forms here
    battery_charge: Quantity      # 0 to 1
    parked: Quantity              # 1: on the ground with the engine running, standing or taxiing
    fuel_min: Quantity            # at the present consumption
    attitude_rotor: Quantity      # rotor speed as a fraction of nominal
    heading_rotor: Quantity
    stalled: Quantity             # 0 or 1, as are the next four
    spiral: Quantity
    beyond_never_exceed: Quantity  # has been
    beyond_limit_load: Quantity    # has been
    broken: Quantity              # broke up in the air
    on_ground: Quantity           # met the ground
