"""What the hands are told to do, and the switches as they stand.

The codes are numbers so that ten thousand flights can each carry their own.
"""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.arith import Quantity
from drill.airplane.dials import STANDARD_RATE_DPS

# bank reference
BY_ATTITUDE = 0.0
BY_TURN = 1.0
BY_STANDBY = 2.0     # the standby attitude display
# heading reference
BY_HEADING_INDICATOR = 0.0
BY_COMPASS = 1.0     # dead reckoning on the turn coordinator and clock, compass when steady
BY_GPS_TRACK = 2.0
# pitch reference
BY_HORIZON = 0.0     # attitude indicator, trimmed by altimeter and vertical speed
BY_PRESSURE = 1.0    # altimeter trend and airspeed
BY_STANDBY_HORIZON = 2.0   # the standby attitude display, trimmed as by the attitude indicator
# lateral order
HOLD_HEADING = 0.0
TURN_TO_HEADING = 1.0
KEEP_TURNING = 2.0   # at `turn_rate_dps` until told otherwise
WINGS_LEVEL = 3.0    # no turn; whatever heading comes
RECOVER = 4.0        # from an unusual attitude: power by the airspeed trend, level by the bank reference, then pitch
# vertical order
HOLD_ALTITUDE = 0.0  # go to `altitude_ft` and keep it
HOLD_PITCH = 1.0     # keep `pitch_deg` on the horizon (or the vertical speed it stands for, by pressure)
# power order
HOLD_AIRSPEED = 0.0
HOLD_THROTTLE = 1.0
HOLD_RPM = 2.0       # the throttle goes where the tachometer shows `rpm`


@dataclass(frozen=True, slots=True)
class Controls:
    """Orders to the hands and switch positions; floats, or arrays of shape (N,). Switches are 0.0 or 1.0."""

    bank_by: Quantity = BY_ATTITUDE
    heading_by: Quantity = BY_HEADING_INDICATOR
    pitch_by: Quantity = BY_HORIZON
    lateral: Quantity = HOLD_HEADING
    heading_deg: Quantity = 0.0        # ordered heading, as read on the heading reference
    direction: Quantity = 0.0          # -1 left, 1 right, 0 the shorter way (with `turn_by_deg`: right)
    turn_by_deg: Quantity = 0.0        # TURN_TO_HEADING: turn this far, to 720, counted on the heading reference from
                                       # the order on, and stay there; 0: turn to `heading_deg`
    turn_rate_dps: Quantity = STANDARD_RATE_DPS   # half of it for half standard rate
    vertical: Quantity = HOLD_ALTITUDE
    altitude_ft: Quantity = 5000.0     # as read on the altimeter
    climb_fpm: Quantity = 500.0        # largest vertical speed used to get there
    pitch_deg: Quantity = 0.0
    power: Quantity = HOLD_AIRSPEED
    airspeed_kt: Quantity = 110.0
    throttle: Quantity = 0.65
    rpm: Quantity = 2300.0
    taxi_kt: Quantity = 0.0            # on the ground: rolls at this speed; 0: brakes set. Turns by the lateral order
    autopilot: Quantity = 0.0          # 1.0: engaged by the pilot; whether it flies is `Panel.autopilot_on`
    attention: Quantity = 1.0          # 0 to 1: share of the pilot that flies
    altimeter_setting_hpa: Quantity = 1013.25
    flaps_deg: Quantity = 0.0
    standby_vacuum: Quantity = 0.0
    alternate_static: Quantity = 0.0
    pitot_heat: Quantity = 0.0
    alternator: Quantity = 1.0
    battery: Quantity = 1.0
    avionics: Quantity = 1.0
    landing_light: Quantity = 0.0
    nav_lights: Quantity = 1.0
    strobes: Quantity = 1.0
    beacon: Quantity = 1.0
    gps: Quantity = 1.0
    transponder: Quantity = 1.0
    second_radio: Quantity = 1.0
    standby_instrument: Quantity = 1.0   # the standby attitude display's own switch
    carburettor_heat: Quantity = 0.0
    turn_breaker: Quantity = 1.0       # turn coordinator's breaker in
    turn_coordinator_in_sight: Quantity = 1.0   # 0.0: covered; bank and turn come from the horizon then
    transmitting: Quantity = 0.0
    course_north_nm: Quantity = 0.0    # course needle: the point it leads to,
    course_east_nm: Quantity = 0.0
    course_deg: Quantity = 0.0         # the course to it,
    course_width_deg: Quantity = 0.0   # and full scale as an angle at the point (0: as a distance of 2 nm)
