"""Every number of the model that does not belong to one type of airplane, with its unit and where it comes from.

The tag after a number says how far to trust it:

- [H] handbook or regulation (FAA-H-8083-15 instrument flying, FAA-H-8083-25 aeronautical knowledge, AIM, 14 CFR),
- [P] another published formula, standard or paper,
- [M] from memory, not looked up,
- [C] chosen so that the stated behaviour results,
- [X] measured in this model or in its prototype.

The model is for training decisions. It is approved by nobody and stands for no real airplane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

STEP_S = 0.1  # length of one step, s [X] 0.4 deg and 2 ft from steps of 0.01 s after 200 s on a dead horizon

# Units
KNOT = 1852.0 / 3600.0         # m/s [P] exact
FOOT = 0.3048                  # m [P] exact
MILE = 1852.0                  # nautical mile, m [P] exact
FPM = FOOT / 60.0              # ft/min in m/s
DEG = math.pi / 180.0          # rad
RAD = 180.0 / math.pi          # deg

# Standard atmosphere, troposphere (ISO 2533, ICAO Doc 7488) [P]
G = 9.80665                    # m/s2
SEA_TEMPERATURE_K = 288.15
LAPSE_K_PER_M = 0.0065
SEA_PRESSURE_PA = 101325.0
GAS_J_PER_KG_K = 287.05287
SEA_DENSITY = SEA_PRESSURE_PA / (GAS_J_PER_KG_K * SEA_TEMPERATURE_K)   # kg/m3
PRESSURE_EXPONENT = G / (GAS_J_PER_KG_K * LAPSE_K_PER_M)               # 5.25588
SEA_SOUND_MPS = math.sqrt(1.4 * GAS_J_PER_KG_K * SEA_TEMPERATURE_K)    # 340.294
CEILING_M = 11_000.0           # the troposphere's top; the model stays below it

# Airplane: quick motions
LIFT_ZERO_PITCH = 0.35         # lift coefficient at which the horizon bar stands on zero (about 120 KTAS) [C]
PITCH_RESPONSE_S = 0.35        # angle of attack follows the elevator [C]
ROLL_RESPONSE_S = 0.35         # roll mode [M]
STALL_DRAG = 0.15              # added drag coefficient when stalled [C]
WING_DROP_AFTER_S = 1.0        # [C]
WING_DROP_RADPS = 20.0 * DEG   # [C]
LIFT_MIN = -0.9                # lift coefficient at the negative stall [C]
FLAP_DRAG_PER_DEG = 0.0010     # [C]
FLAP_LIFT_PER_DEG = 0.012      # on the greatest lift coefficient [C]
CARBURETTOR_HEAT_POWER = 0.95  # share of power left with it on [C]
SPIRAL_BANK_RAD = 45.0 * DEG   # spiral: more bank than this, and either fast or falling [C]
SPIRAL_DESCENT_MPS = 2000.0 * FPM
ULTIMATE_FACTOR = 1.5          # 14 CFR 23.303 [M]
TAS_MIN_MPS = 15.0             # the equations are not meant for slower flight
BALL_S = 0.8                   # lag of the ball [C]
BALL_PER_ROLL = 0.8            # ball per rad/s of roll ordered [C]
BALL_PER_POWER = 0.9           # ball per unit of throttle away from the trimmed one, rudder forgotten [C]
BALL_GUST = 0.5                # ball, rms, per m/s of gust (white, before the lag) [C]

PARKED_THROTTLE = 0.30         # warming up at about 1,250 rpm [C]
BALL_FULL_DEG = 8.0            # lean of the apparent vertical at which the ball meets its stop [C]

# On the ground. All [C] but the last, common practice, no source.
TAXI_RADIUS_M = 10.0           # no turn is tighter
TAXI_TURN_DPS = 12.0
TAXI_RATE_PER_DEG = 0.5        # deg/s for each degree still to turn
ROLL_ALONG_MPS2 = 0.6
BRAKE_MPS2 = 1.5
TAXI_MOST_KT = 15.0            # a brisk walk is usual; nobody taxies faster than this

# Turbulence: first-order Dryden (Ornstein-Uhlenbeck)
GUST_LENGTH_M = 533.0          # 1750 ft, MIL-F-8785C above 2000 ft [M]
GUST_MPS = {"calm": 0.0, "light": 0.8, "moderate": 1.6, "severe": 3.2}   # rms [C]
ROLL_GUST_S = 1.0              # [C]
ROLL_GUST_RADPS = 1.3 * DEG    # rms per m/s of gust [C]
PLUNGE_S = 0.47                # the slow part of a gust carries the airplane: 2m/(rho V S a) [P]

# Vacuum
SUCTION_NORMAL_INHG = 5.0      # 4.5 to 5.5 is the usual range [M]; the airplane's handbook rules
PUMP_FULL_RPM = 1500.0         # the regulator holds from here up [C]
SUCTION_FALL_S = 2.4           # [C] below 0.3 inHg within 7 s of a sheared pump
SUCTION_RISE_S = 1.0           # [C]
STANDBY_SUCTION_INHG = 4.5     # electric standby pump [C]
LOW_VACUUM_INHG = 3.5          # the light comes on below; common practice, no source
CLOG_MOST = 0.97               # a filter that passes nothing at all would divide by zero

# Gyros
ROTOR_DRIVE_PER_S = 1.0 / 40.0   # [C] usable within 5 min of the start [H]
ERECTION_DPM = 8.0               # pendulous vanes at full suction and speed, deg/min [M]
ERECTION_BAND_DEG = 1.5          # tilt at which the vanes are fully open [C]
DRAG_SPEED = 0.22                # rotor speed at which the case drags the gyro half along [C]
CARRY_SPEED = 0.65               # rotor speed at which gimbal friction carries the tilt half round in a turn [C]
ROTOR_LEAST = 0.08               # keeps 1/w finite
TOPPLE_TO_DEG = 70.0             # a toppling gyro comes to rest on its stops here [C]
PITCH_STOP_DEG = 25.0            # pitch error at which the gimbal of a dying gyro meets its stop [C]
FALLEN_DEG = 45.0                # a slow gyro that leans more than this has fallen over for all to see [C]
TUMBLE_BANK_DEG = 105.0          # older air-driven units tumble at 100 to 110 deg of bank (Navy training text 14009)
TUMBLE_PITCH_DEG = 65.0          # and 60 to 70 deg of pitch (same)
TUMBLE_SPIN_S = 5.0              # [C]
TUMBLE_SPIN_DPS = 30.0           # [C]
TUMBLE_NOD_DPS, TUMBLE_NOD_S = 10.0, 2.0   # meanwhile the bar nods at this rate, up and down in this time [C]
TUMBLE_TILT_DEG = (30.0, 80.0)   # where it stops [C]
TUMBLED_UNTIL_DEG = 15.0         # re-erected below this tilt [C]
RESTING_TILT_DEG = (5.0, 25.0)   # of a gyro at rest before the start [C]
RESTING_PITCH = -0.4             # its pitch error, as a share of that tilt [C]
RESTING_HEADING = 3.0            # degrees that its heading card was carried off for each degree of it [C]
EARTH_RATE_DPH = 15.041          # deg/h [P]
HEADING_FRICTION_DPH = 4.0       # rms; more than 3 deg in 15 min deserves attention [H]
BEARING_DRIFT = 1.5              # a bearing with x times the friction drifts 1 + 1.5 (x - 1) times as much [C]
TURN_CANT = math.tan(30.0 * DEG)  # gimbal canted about 30 deg: senses roll as well [H]
TURN_LAG_S = 0.6                 # [C]
TURN_STOP_DPS = 6.0              # [C]
TURN_BIAS_DPS = 0.1              # rms [C]
TURN_SPIN_UP_S = 20.0            # [C]
TURN_SPIN_DOWN_S = 60.0          # [C]
TURN_FULL_VOLTS = 24.0           # below, the rotor is slow and the needle reads too little [C]
FLAG_VOLTS = 18.0                # [C]

# Standby attitude display, solid state
STANDBY_BIAS_DPS = 0.02          # rms of its rate sensors [C]
STANDBY_AIDED_S = 60.0           # it levels itself by its accelerometers in this time [C],
STANDBY_UNAIDED_S = 180.0        # and more slowly without an airspeed to tell a turn from a tilt [C]
STANDBY_AIRSPEED_KT = 40.0       # below, it takes the airspeed for lost [C]
STANDBY_TEST_STANDING_S = 60.0   # self-test at power-up [C]
STANDBY_TEST_MOVING_S = 180.0    # [C]
STANDBY_VOLTS = 9.0              # of the bus; below, its own battery [C]
STANDBY_BATTERY_S = (30.0 * 60.0, 60.0 * 60.0)   # how long that lasts [C]
STANDBY_CHARGES_S = 2.0 * 3600.0   # and takes to charge [C]
STANDBY_RATE_DPS = 200.0         # it crosses itself out beyond this rate of roll [C],
STANDBY_RESIDUAL_DEG = 10.0      # or when its rate sensors and accelerometers differ by more than this [C]
STANDBY_RESIDUAL_S = 5.0         # for so long [C]

# Autopilot. All [C]: slower and weaker than a hand, as FAA-H-8083-15 has it follow whatever its source shows.
AUTOPILOT_VOLTS = 18.0
AUTOPILOT_BANK_DEG = 20.0        # by the horizon: standard rate at most, and never more than this
AUTOPILOT_ROLL_DPS = 5.0         # greatest roll rate,
AUTOPILOT_SLEW_DPS2 = 8.0        # how fast the servo changes it,
AUTOPILOT_LAG_S = 0.5            # and its lag
AUTOPILOT_PER_BANK = 0.4         # deg/s of roll for each degree of bank
AUTOPILOT_PER_RATE = 1.4         # deg/s of roll for each deg/s of turn, by the turn coordinator
AUTOPILOT_BANK_PER_DEG = 1.2     # bank for each degree off the heading
AUTOPILOT_RATE_PER_DEG = 0.07    # and deg/s of turn
AUTOPILOT_RUN_DPS = 6.0          # its servo hard over
AUTOPILOT_PULL_DEG = (-3.0, 3.0)   # elevator, as degrees of angle of attack, until it slips
AUTOPILOT_PULL_SLEW_DPS = 2.0
AUTOPILOT_PITCH_DEG = 10.0       # the pitch that it orders at most
AUTOPILOT_LEARNS = 0.001         # deg/s of the pitch that holds level, for each ft/min
AUTOPILOT_OFF_BANK_DEG = 60.0    # it lets go beyond, by its own horizon
AUTOPILOT_OFF_PITCH_DEG = 35.0


@dataclass(frozen=True, slots=True)
class Wear:
    """How an air-driven gyro ages: bearing friction, drift, and what becomes of it when it slows.

    Rotor speed is a fraction w of nominal; friction slows it by `friction + friction_1 w + friction_2 w^2` a second.
    The roll drift is uniform between `drift_low_dpm` and `drift_high_dpm` (deg/min) at full speed and grows as
    w^-2.5; below `topple_speed` the gyro falls over at `topple_dps`.
    """

    friction: float
    friction_1: float
    friction_2: float
    friction_spread: float     # sigma of the logarithm, from one instrument to the next
    drift_low_dpm: float
    drift_high_dpm: float
    pitch_drift_dpm: float     # rms
    topple_speed: float
    topple_dps: float
    heading_slow_dph: float    # drift of a heading gyro that has slowed, times w^-3 - 1, deg/h


WEAR = {
    # Runs down in about ten minutes and leans meanwhile (an autopilot maker's pilot guide), so that the time to a
    # dangerous bank suits pilots who took 7.6 min on average to recognize it in flight (DOT/FAA/AM-02/19). [C]
    # Heading indicator, median error [X]: 1 deg after 3 min without air, 4 after 5, 7 after 6, 14 after 7, 28 after 8:
    # "fails within minutes" (instructor notes to FAA-S-8081-9B), later than the horizon. [C]
    "fresh": Wear(0.00088, 0.00074, 0.00086, 0.12, 0.28, 0.42, 0.05, 0.18, 0.5, 8.0),
    # The quick set: a worn instrument that is dangerous within three or four minutes. [C]
    "worn": Wear(0.0008, 0.0022, 0.0010, 0.20, 2.0, 4.0, 0.40, 0.20, 4.0, 0.0),
}

# Magnetic compass
COMPASS_PERIOD_S = 12.0        # [C]
COMPASS_DAMPING = 0.5          # [C]
COMPASS_SWIRL = 0.1            # the fluid drags the card round with the case [C]
COMPASS_BANK_RAD = 70.0 * DEG  # the card hangs on its stops beyond [C]
DEVIATION_DEG = (1.0, 2.0, -2.0, 1.0, 0.0)   # A + B sin + C cos + D sin 2 + E cos 2 [C]
DEVIATION_LOAD_DEG = 3.0       # more with landing light or pitot heat on [C]

# Pitot-static
PITOT_LAG_S = 0.1              # [C]
STATIC_LAG_S = 0.15            # [C]
VSI_LEAK_S = 4.0               # 90 % after 9 s; the handbook gives 6 to 9 s [H]
VSI_MOST_FPM = 2000.0            # the needle's stops (common practice, no source)
ALTERNATE_STATIC_SHARE = 0.07  # cabin below static by this share of the impact pressure [C]
ICE_FULL_S = {"none": math.inf, "light": 6 * 60.0, "moderate": 2 * 60.0}   # an unheated pitot opening closes in [C]
PITOT_DRAINS_S = 1.5           # a closed opening: the line empties through its drain [C]
PITOT_MELTS_S = 60.0           # heat opens a pitot full of ice in [C]
PITOT_THAWS_S = 120.0          # and warm air in [C]
PITOT_HEAT_VOLTS = 20.0        # below, the element makes less than half of its heat at 28 V: too little [C]
SCALE_HEIGHT_M = 8000.0        # of the air where small airplanes fly: a share of pressure lost for each meter [P]

# Electrical (28 V system)
BUS_VOLTS = 28.0               # regulated [C]
ALTERNATOR_AMPS = 60.0         # [C]
ALTERNATOR_RPM = 1000.0        # [C]
BATTERY_AH = 24.0              # at the one-hour rate [C]; each type of airplane may have its own
PEUKERT = 1.2                  # lead-acid 1.1 to 1.3 [M]
BATTERY_OHM = 0.06             # when full, twice that when flat [C]
SURFACE_VOLTS = 1.0            # surface charge of a battery just off the alternator [C]
SURFACE_S = 40.0               # [C]
CHARGE_AMPS = 20.0             # into an empty battery [C]
LOW_VOLTS = 24.5               # the light comes on below [M]
GPS_VOLTS = 18.0               # [C]
TRANSMIT_VOLTS = 21.0          # listeners report a weak signal below [C]
TRANSPONDER_VOLTS = 20.0       # [C]
RECEIVE_VOLTS = 16.0           # [C]
STANDBY_PUMP_VOLTS = 18.0      # its motor stalls below [C]
FIELD_VOLTS = 20.0             # without a battery the alternator needs this much of its own to keep its field [C]
LIGHT_VOLTS = 8.0              # a panel light is dark below, a third of its rating [C]
GPS_RESTART_S = 45.0           # [C]
LOADS_A = {                    # amperes at 24 to 28 V [C]
    # avionics: a communication radio 0.5, navigation 0.5, audio 0.3
    "field": 1.5, "avionics": 1.3, "second_radio": 0.5, "gps": 1.5, "transponder": 1.5, "transmit": 5.5, "turn": 0.4,
    "panel": 2.0, "pitot_heat": 6.0, "nav_lights": 3.0, "strobes": 3.0, "beacon": 1.0, "landing_light": 7.0,
    "standby_vacuum": 8.0, "standby_attitude": 0.6, "autopilot": 1.5,
}
OVER_VOLTS = 32.0              # the field is tripped above [C]
OVERCHARGE_A_PER_V = 6.0       # more into the battery for each volt above what the regulator should hold [C]

# Navigation
GPS_LAG_S = 1.0                # [C]
COURSE_FULL_SCALE_NM = 2.0     # en route needle: common practice, no source

# Hands: how often they look at full attention (s), and how well they read (one sigma). All [C].
LOOK_BANK_S, READ_BANK_DEG = 0.6, 1.0
LOOK_PITCH_S, READ_PITCH_DEG = 0.8, 0.5
LOOK_HEADING_S, READ_HEADING_DEG = 2.0, 1.0
LOOK_HEADING_TURN_S = 0.8        # while a turn is to end on a heading
LOOK_TURN_S, READ_TURN_DPS = 0.6, 0.25
LOOK_ALTITUDE_S, READ_ALTITUDE_FT = 1.5, 8.0
LOOK_TREND_S, READ_TREND_FPM = 1.0, 60.0
LOOK_AIRSPEED_S, READ_AIRSPEED_KT = 2.0, 1.0
LOOK_VSI_S, READ_VSI_FPM = 1.5, 40.0
LOOK_COMPASS_S, READ_COMPASS_DEG = 3.0, 2.0
STANDBY_DARK_S = 3.0           # a standby display without attitude: after so long they go by what is left
LOOK_SPREAD = (0.7, 1.3)       # the next look comes after the period times a draw between these

# Hands: limits and gains. All [C], [X]: chosen so that healthy hands hold the tolerances of the practical test (100 ft,
# 10 deg, 10 kt, ACS IR.IV.A.S1) and partial panel keeps control; see the tests.
ATTENTION_LEAST = 0.1
UNSURE_DEG = 45.0               # within so much of the opposite heading the way back is less and less clear [C]
HOLD_BANK_DEG = 8.0            # nobody banks 20 deg to hold a heading
HOLD_RATE_DPS = 1.5            # the same, by the turn coordinator
TURN_BANK_DEG = (5.0, 25.0)    # least and greatest bank of an ordered turn
BANK_PER_DEG = 2.0             # bank for each degree to go in a turn: the roll-out leads by half the bank
HOLD_BANK_PER_DEG = 1.0        # and when holding a heading
RATE_PER_DEG = 0.12            # deg/s for each degree to go, by the turn coordinator in a turn
HOLD_RATE_PER_DEG = 0.06       # and when holding
ROLL_PER_BANK = 0.6            # deg/s of roll for each degree of bank to change
ROLL_PER_RATE = 1.5            # deg/s of roll for each deg/s of turn to change
ROLL_BY_HORIZON_DPS = 8.0      # greatest roll rates used
ROLL_BY_NEEDLE_DPS = 5.0
HURRY = 2.0                    # times those rates in a recovery by the horizon
RECOVER_ROLL_DPS = 20.0        # by the needle, firmly: about half of what full aileron gives such an airplane [M]
RECOVER_ROLL_PER_RATE = 3.0    # deg/s of roll for each deg/s of turn, the roll's own share of the needle taken off
RECOVER_BANK_DEG = 20.0        # fast and banked more than this, the nose is not raised yet
RECOVER_TURN_DPS = 2.0         # the same by the needle
ROLL_FELT_S = 0.95             # the needle feels the hands' roll this much later: roll mode and its own lag together
OVERBANKS = 0.025              # aileron held against the bank, deg/s for each degree, or it would steepen by itself
BANK_TO_TURN_MOST_DEG = 60.0   # steeper, the turn that goes with a bank is not reckoned any higher
DEGREES_PER_DPS = 5.5          # bank that goes with each deg/s of turn at the speeds of the class
TURN_ENDS_DEG = 3.0
ROLL_OUT_EARLY_DEG = 2.0       # makes up for the time that looking and rolling take, or the lead would be too short
ALREADY_THERE_DEG = 15.0       # so near the ordered heading nobody goes the long way round to it [C]
LONG_WAY_DEG = 170.0           # a turn with more than this to go keeps its direction whatever the shorter way is
STEADY_DPS = 0.8               # the compass is believed after five seconds below this rate of turn
STEADY_S = 5.0
RECKON_S = 6.0                 # the steady compass corrects the reckoned heading in this time
BIAS_PER_S = 0.0008            # and the bias that the needle is believed to have, deg/s for each degree a second
BIAS_MOST_DPS = 0.5
CLIMB_PER_FT = 8.0             # ft/min ordered for each foot off: 500 ft/min eases off 60 ft before
CLIMB_PER_FT_PARTIAL = 3.0
CLIMB_PER_KT = 40.0            # ft/min of climb allowed for each knot above 1.3 Vs
DESCENT_PER_KT = 60.0          # ft/min of descent allowed for each knot below Vno
SAFE_SPEED = 1.3               # times Vs, never slower
PITCH_LEARNS = 0.0006          # deg/s for each ft/min, full panel
PITCH_FORGETS_S = 60.0
PULL_PER_PITCH = 0.6           # elevator, as degrees of angle of attack, for each degree of pitch
PULL_DEG = (-6.0, 8.0)
PULL_PER_FPM = 0.0007          # deg for each ft/min of trend, partial panel
PULL_BY_TREND_DEG = 1.2
PULL_IN_RECOVERY_DEG = 3.0
PULL_LEARNS = 0.0001           # deg/s for each ft/min
TRIM_DEG = (1.0, 14.0)
TRIM_S = 30.0
EASE_LEAST_KT = 40.0           # keeps a share of the airspeed finite
LEVEL_PITCH_MOST_DEG = 10.0    # nobody believes that a steeper pitch holds level
ROLL_LAG_S = 0.3               # a hand on the ailerons: reaction and push,
ROLL_SLEW_DPS2 = 20.0          # and how fast the rate asked for may change
PULL_LAG_S = 0.4               # the same on the elevator,
PULL_SLEW_DPS = 4.0            # as degrees of angle of attack a second
TURN_MEAN_S = 3.0              # a wandering needle is averaged by eye over this long
TREND_MEAN_S = 1.0             # and the altimeter's movement over this
LOOSE_ATTENTION = 0.5          # below this share of attention the controls are flown ever more loosely
POWER_LAG_S = 2.0              # climb power is fed in
POWER_SLEW_PER_S = 0.25        # the throttle goes from stop to stop in four seconds
CRUISE_POWER = (0.1, 1.0)      # what the hands take for level flight
SHORT_MOST_KT = 15.0           # further off, the airspeed is not chased harder
# True airspeed is more than the airspeed indicator's by this share for each foot: between the pilots' rule of two per
# cent a thousand feet and the standard atmosphere's 1.5 to 1.65 from 5,000 to 10,000 feet.
TAS_PER_FT = 1.75e-5
AIRSPEED_TREND_S = 4.0
AIRSPEED_AHEAD_S = 6.0         # in a recovery power goes by the airspeed expected this far ahead
RECOVER_BAND_KT = 10.0
RECOVER_TRIMS = 3.0            # times as fast as otherwise
RECOVER_AHEAD_S = 3.0          # in a recovery the nose goes by the vertical speed expected this far ahead
POWER_PER_KT = 0.008           # throttle for each knot short, at once
POWER_LEARNS = 0.0006          # and a second
POWER_PER_FPM = 0.0005         # throttle for a climb
POWER_PER_RPM = 0.00002        # throttle a step for each rpm short of an ordered engine speed
RPM_SLEW = 0.01                # and at most so much a step
STILL_FPM = 0.5                # altimeter hands that move less stand dead still; in the air they pass it in a blink
LEVEL_FPM = 150.0              # a vertical speed that is read as level
DOUBTED_SPEED = 0.8            # times Vs: nobody believes an airspeed below it in flight
FAR_OFF_FT = 60.0              # power for a climb is set from this far off

# Failures: how large and how fast. All [C].
PUMP_WEAK_SHARE = 0.4         # of its suction lost: in the green at cruise power, low below it
CLOG_SHARE = 0.9              # of the filter's area
CLOG_S = 20 * 60.0
LEAK_SHARE = 0.6
LEAK_S = 5 * 60.0
REGULATOR_LOW_INHG = 2.0      # below the usual 5: gyros slow and sluggish
REGULATOR_HIGH_INHG = 1.5     # above it: the gauge beyond its green arc, and wear
REGULATOR_S = 2 * 60.0
LEAN_DPM = 11.0               # against 8 deg/min of erection: a net 3
BEARING_TIMES = 12.0          # bearing friction, times its healthy value
BEARING_S = 10 * 60.0
HEADING_DRIFT_DPH = 90.0
STANDBY_LEAN_DPM = 3.0        # the bank that a standby attitude display makes up
COMPASS_OFF_DEG = 20.0        # something magnetic lies by the compass
NEEDLE_OFF_DPS = 1.0
BELT_SHARE = 0.25             # 15 A of 60
REGULATOR_VOLTS = 6.0
VOLTAGE_REGULATOR_S = 40.0
BATTERY_OLD_SHARE = 0.5
ENGINE_SHARE = 0.5
PITOT_CLOSES_S = 4 * 60.0     # an opening that closes little by little, in between light and moderate icing
STATIC_CLOSED_LAG_S = 20.0    # static ports all but closed
STATIC_LEAK_SHARE = 0.07      # a line open into the cabin: as the alternate source, which opens there too
ALTIMETER_STICK_FT = 40.0     # the jumps of sticking altimeter hands
VERTICAL_SPEED_OFF_FPM = 150.0
