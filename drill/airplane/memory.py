"""What the hands are shown, and what they remember from one step to the next."""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.arith import Quantity
from drill.airplane.constants import STEADY_S


@dataclass(frozen=True, slots=True)
class Shown:
    """The readings that the hands use, at one moment, in the units of the panel."""

    bank_deg: Quantity
    pitch_deg: Quantity
    heading_deg: Quantity
    turn_dps: Quantity
    altitude_ft: Quantity
    airspeed_kt: Quantity
    vertical_speed_fpm: Quantity
    compass_deg: Quantity
    track_deg: Quantity
    rpm: Quantity
    needle_fitted: Quantity = 1.0          # 0.0: the airplane has no turn coordinator
    standby_bank_deg: Quantity = 0.0
    standby_pitch_deg: Quantity = 0.0
    standby_flag: Quantity = 1.0           # 1: the standby attitude display shows no attitude


@dataclass(frozen=True, slots=True)
class Hands:
    """What the hands remember, and what they do: `roll_dps`, `pull_deg`, `trim_deg`, `throttle`.

    The fields stand in the order of `looking.Looks`, `steering.Reckoning` and `Turning`, the roll, `pitching.Elevator`
    and `power.Power`.
    """

    bank_deg: Quantity             # held readings, each with the time to its next look
    bank_in_s: Quantity
    pitch_deg: Quantity
    pitch_in_s: Quantity
    heading_deg: Quantity
    track_deg: Quantity
    heading_in_s: Quantity
    turn_dps: Quantity             # by the needle, or by the bank when the needle is out of sight
    turn_in_s: Quantity
    yaw_dps: Quantity              # the needle without what the hands' own roll adds to it
    altitude_ft: Quantity
    altitude_in_s: Quantity
    trend_fpm: Quantity
    trend_in_s: Quantity
    airspeed_kt: Quantity
    airspeed_in_s: Quantity
    vertical_speed_fpm: Quantity
    vertical_speed_in_s: Quantity
    compass_deg: Quantity
    compass_in_s: Quantity
    altimeter_was_ft: Quantity     # the altimeter a step ago, and its smoothed movement
    altimeter_moves_fpm: Quantity
    roll_felt_dps: Quantity        # the hands' roll as the needle feels it, late
    standby_dark_s: Quantity       # how long a standby display that they fly by has shown no attitude
    turn_smooth_dps: Quantity
    steady_s: Quantity             # how long the turn has been near nothing
    reckoned_deg: Quantity         # heading by dead reckoning from compass, turn needle and clock
    needle_bias_dps: Quantity      # what the needle is believed to show in straight flight
    order_deg: Quantity            # the ordered heading, direction, amount and kind, as last seen
    order_way: Quantity
    order_by_deg: Quantity
    order_lateral: Quantity
    sense_deg: Quantity            # heading by the heading reference, and which reference that was
    sense_by: Quantity
    to_go_deg: Quantity            # of a turn by an amount, in its direction
    turning: Quantity              # 1 from a new order until nearly there
    way: Quantity                  # direction of that turn, -1 or 1
    long_way: Quantity             # 1 while the turn must keep its direction
    roll_dps: Quantity
    level_pitch_deg: Quantity      # the pitch on the horizon that is believed to hold level
    pressure_pull_deg: Quantity    # elevator learned from the altimeter's trend
    pull_deg: Quantity             # elevator, as angle of attack
    trim_deg: Quantity             # trim, as angle of attack
    airspeed_smooth_kt: Quantity
    climb_power: Quantity          # throttle added for a climb
    cruise_power: Quantity         # throttle learned for the airspeed
    throttle: Quantity


def start(shown: Shown, trim_deg: Quantity, throttle: Quantity) -> Hands:
    """Return hands that have settled on what is shown, know its pitch and power, and hold the present heading."""
    none = 0.0 * shown.altitude_ft
    return Hands(
        bank_deg=shown.bank_deg, bank_in_s=none, pitch_deg=shown.pitch_deg, pitch_in_s=none,
        heading_deg=shown.heading_deg, track_deg=shown.track_deg, heading_in_s=none, turn_dps=shown.turn_dps,
        turn_in_s=none, yaw_dps=shown.turn_dps,
        altitude_ft=shown.altitude_ft, altitude_in_s=none, trend_fpm=none, trend_in_s=none,
        airspeed_kt=shown.airspeed_kt, airspeed_in_s=none, vertical_speed_fpm=none, vertical_speed_in_s=none,
        compass_deg=shown.compass_deg, compass_in_s=none, altimeter_was_ft=shown.altitude_ft,
        altimeter_moves_fpm=none, roll_felt_dps=none, standby_dark_s=none,
        turn_smooth_dps=shown.turn_dps,
        airspeed_smooth_kt=shown.airspeed_kt,
        steady_s=none + STEADY_S, reckoned_deg=shown.compass_deg, needle_bias_dps=shown.turn_dps,
        order_deg=shown.heading_deg, order_way=none, order_by_deg=none, order_lateral=none,
        sense_deg=shown.heading_deg, sense_by=none, to_go_deg=none, turning=none, way=none + 1.0, long_way=none,
        level_pitch_deg=shown.pitch_deg, pressure_pull_deg=none, climb_power=none, cruise_power=none + throttle,
        roll_dps=none, pull_deg=none, trim_deg=none + trim_deg, throttle=none + throttle,
    )
