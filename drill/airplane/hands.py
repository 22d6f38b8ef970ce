"""The hands: they fly by what is shown, never by what is true.

Each instrument is looked at now and then and its reading, with an honest error, is held until the next look; that is
all the reaction time there is. Full panel is bank and pitch by the attitude indicator and heading by the heading
indicator; partial panel is bank by the turn coordinator, heading by compass and clock, pitch by altimeter and
airspeed. Any mixture of references is allowed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane.airframe import Airframe
from drill.airplane.arith import Maths, Quantity, compass_deg, wrap_deg
from drill.airplane.constants import (
    AIRSPEED_AHEAD_S,
    AIRSPEED_TREND_S,
    ATTENTION_LEAST,
    BANK_PER_DEG,
    BIAS_MOST_DPS,
    BIAS_PER_S,
    CLIMB_PER_FT,
    CLIMB_PER_FT_PARTIAL,
    CLIMB_PER_KT,
    DEG,
    DEGREES_PER_DPS,
    DESCENT_PER_KT,
    FAR_OFF_FT,
    FPM,
    HOLD_BANK_DEG,
    HOLD_BANK_PER_DEG,
    HOLD_RATE_DPS,
    HOLD_RATE_PER_DEG,
    KNOT,
    LONG_WAY_DEG,
    LOOK_AIRSPEED_S,
    LOOK_ALTITUDE_S,
    LOOK_BANK_S,
    LOOK_COMPASS_S,
    LOOK_HEADING_S,
    LOOK_HEADING_TURN_S,
    LOOK_PITCH_S,
    LOOK_SPREAD,
    LOOK_TREND_S,
    LOOK_TURN_S,
    LOOK_VSI_S,
    OVERBANKS,
    PITCH_FORGETS_S,
    PITCH_LEARNS,
    POWER_LEARNS,
    POWER_PER_FPM,
    POWER_PER_KT,
    PULL_BY_TREND_DEG,
    PULL_DEG,
    PULL_IN_RECOVERY_DEG,
    PULL_LEARNS,
    PULL_PER_FPM,
    PULL_PER_PITCH,
    RAD,
    RATE_PER_DEG,
    READ_AIRSPEED_KT,
    READ_ALTITUDE_FT,
    READ_BANK_DEG,
    READ_COMPASS_DEG,
    READ_HEADING_DEG,
    READ_PITCH_DEG,
    READ_TREND_FPM,
    READ_TURN_DPS,
    READ_VSI_FPM,
    RECKON_S,
    RECOVER_BAND_KT,
    ROLL_BY_HORIZON_DPS,
    ROLL_BY_NEEDLE_DPS,
    ROLL_OUT_EARLY_DEG,
    ROLL_PER_BANK,
    ROLL_PER_RATE,
    SAFE_SPEED,
    STEADY_DPS,
    STEADY_S,
    STEP_S,
    TRIM_DEG,
    TRIM_S,
    TURN_BANK_DEG,
    TURN_CANT,
    TURN_ENDS_DEG,
)
from drill.airplane.controls import (
    BY_ATTITUDE,
    BY_COMPASS,
    BY_HEADING_INDICATOR,
    BY_HORIZON,
    HOLD_AIRSPEED,
    HOLD_PITCH,
    KEEP_TURNING,
    RECOVER,
    TURN_TO_HEADING,
    WINGS_LEVEL,
    Controls,
)
from drill.airplane.motion import standard_bank_rad

_ROLL_LAG = 1.0 - math.exp(-STEP_S / 0.3)
_ROLL_SLEW = 20.0 * STEP_S     # deg/s in a step
_PULL_LAG = 1.0 - math.exp(-STEP_S / 0.4)
_PULL_SLEW = 4.0 * STEP_S      # deg in a step
_TURN_LAG = 1.0 - math.exp(-STEP_S / 3.0)
_TREND_LAG = 1.0 - math.exp(-STEP_S / 1.0)
_AIRSPEED_LAG = 1.0 - math.exp(-STEP_S / AIRSPEED_TREND_S)
_POWER_LAG = 1.0 - math.exp(-STEP_S / 2.0)
_TRIM = STEP_S / TRIM_S
_POWER_SLEW = 0.25 * STEP_S    # share of full throttle in a step


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


@dataclass(frozen=True, slots=True)
class Hands:
    """What the hands remember, and what they do: `roll_dps`, `pull_deg`, `trim_deg`, `throttle`."""

    bank_deg: Quantity             # held readings, each with the time to its next look
    bank_in_s: Quantity
    pitch_deg: Quantity
    pitch_in_s: Quantity
    heading_deg: Quantity
    track_deg: Quantity
    heading_in_s: Quantity
    turn_dps: Quantity
    turn_in_s: Quantity
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
    turn_smooth_dps: Quantity
    airspeed_smooth_kt: Quantity
    steady_s: Quantity             # how long the turn needle has been near the middle
    reckoned_deg: Quantity         # heading by dead reckoning from compass, turn needle and clock
    needle_bias_dps: Quantity      # what the needle is believed to show in straight flight
    order_deg: Quantity            # the ordered heading, direction and kind, as last seen
    order_way: Quantity
    order_lateral: Quantity
    turning: Quantity              # 1 from a new order until nearly there
    way: Quantity                  # direction of that turn, -1 or 1
    long_way: Quantity             # 1 while the turn must keep its direction
    level_pitch_deg: Quantity      # the pitch on the horizon that is believed to hold level
    pressure_pull_deg: Quantity    # elevator learned from the altimeter's trend
    climb_power: Quantity          # throttle added for a climb
    cruise_power: Quantity         # throttle learned for the airspeed
    roll_dps: Quantity
    pull_deg: Quantity             # elevator, as angle of attack
    trim_deg: Quantity             # trim, as angle of attack
    throttle: Quantity


def turn_bank_deg(maths: Maths, turn_rate_dps: Quantity, airspeed_kt: Quantity, altitude_ft: Quantity) -> Quantity:
    """Return the bank (deg) used for an ordered rate of turn (deg/s), by airspeed and altimeter."""
    tas = airspeed_kt * (1.0 + 1.75e-5 * altitude_ft) * KNOT
    return maths.clip(standard_bank_rad(maths, turn_rate_dps * DEG, tas) * RAD, *TURN_BANK_DEG)


def _look(maths: Maths, left: Quantity, held: Quantity, shown: Quantity, error: Quantity,
          again: Quantity) -> tuple[Quantity, Quantity]:
    due = left <= 0.0
    return maths.where(due, shown + error, held), maths.where(due, again, left - STEP_S)


def fly(m: Maths, frame: Airframe, controls: Controls, shown: Shown, was: Hands, errors: tuple[Quantity, ...],
        scans: tuple[Quantity, ...]) -> Hands:
    """Return the hands one step later; `errors` are nine standard normal draws, `scans` three uniform ones."""
    none = 0.0 * was.roll_dps   # gives an order that all flights share the shape of a flight's own
    attention = m.clip(controls.attention, ATTENTION_LEAST, 1.0)
    least, most = LOOK_SPREAD
    slow = 1.0 / attention
    first = (least + (most - least) * scans[0]) * slow
    second = (least + (most - least) * scans[1]) * slow
    third = (least + (most - least) * scans[2]) * slow

    # Look.
    moved = (shown.altitude_ft - was.altimeter_was_ft) * (60.0 / STEP_S)
    moves = was.altimeter_moves_fpm + _TREND_LAG * (moved - was.altimeter_moves_fpm)
    bank, bank_in = _look(m, was.bank_in_s, was.bank_deg, shown.bank_deg, READ_BANK_DEG * errors[0],
                          LOOK_BANK_S * first)
    pitch, pitch_in = _look(m, was.pitch_in_s, was.pitch_deg, shown.pitch_deg, READ_PITCH_DEG * errors[1],
                            LOOK_PITCH_S * second)
    heading_due = was.heading_in_s <= 0.0
    heading_error = READ_HEADING_DEG * errors[2]
    heading = m.where(heading_due, shown.heading_deg + heading_error, was.heading_deg)
    track = m.where(heading_due, shown.track_deg + heading_error, was.track_deg)
    heading_again = m.where(was.turning > 0.5, LOOK_HEADING_TURN_S, LOOK_HEADING_S) * third
    heading_in = m.where(heading_due, heading_again, was.heading_in_s - STEP_S)
    turn, turn_in = _look(m, was.turn_in_s, was.turn_dps, shown.turn_dps, READ_TURN_DPS * errors[3],
                          LOOK_TURN_S * second)
    altitude, altitude_in = _look(m, was.altitude_in_s, was.altitude_ft, shown.altitude_ft,
                                  READ_ALTITUDE_FT * errors[4], LOOK_ALTITUDE_S * first)
    trend, trend_in = _look(m, was.trend_in_s, was.trend_fpm, moves, READ_TREND_FPM * errors[5], LOOK_TREND_S * third)
    airspeed, airspeed_in = _look(m, was.airspeed_in_s, was.airspeed_kt, shown.airspeed_kt,
                                  READ_AIRSPEED_KT * errors[6], LOOK_AIRSPEED_S * second)
    vertical, vertical_in = _look(m, was.vertical_speed_in_s, was.vertical_speed_fpm, shown.vertical_speed_fpm,
                                  READ_VSI_FPM * errors[7], LOOK_VSI_S * first)
    compass, compass_in = _look(m, was.compass_in_s, was.compass_deg, shown.compass_deg,
                                READ_COMPASS_DEG * errors[8], LOOK_COMPASS_S * third)

    # Reckon the heading: by needle and clock in a turn, by the compass when it is steady.
    turn_smooth = was.turn_smooth_dps + _TURN_LAG * (turn - was.turn_smooth_dps)
    near = turn_smooth - was.needle_bias_dps
    steady_s = m.where((near < STEADY_DPS) & (near > -STEADY_DPS), was.steady_s + STEP_S, 0.0)
    believed = m.where(steady_s >= STEADY_S, 1.0, 0.0)
    miss = wrap_deg(m, compass - was.reckoned_deg) * believed
    reckoned = compass_deg(m, was.reckoned_deg + STEP_S * (turn - was.needle_bias_dps + miss / RECKON_S))
    needle_bias = m.clip(was.needle_bias_dps - STEP_S * BIAS_PER_S * miss, -BIAS_MOST_DPS, BIAS_MOST_DPS)

    # Which way, how far.
    by_compass = controls.heading_by == BY_COMPASS
    by_heading = controls.heading_by == BY_HEADING_INDICATOR
    sense = m.where(by_compass, reckoned, m.where(by_heading, heading, track))
    shorter = wrap_deg(m, controls.heading_deg - sense)
    keeps = controls.lateral == KEEP_TURNING
    levels = (controls.lateral == WINGS_LEVEL) | (controls.lateral == RECOVER)
    ordered = ((controls.heading_deg != was.order_deg) | (controls.direction != was.order_way)
               | ((controls.lateral != was.order_lateral) & (controls.lateral == TURN_TO_HEADING)))
    side = m.where(shorter < 0.0, -1.0, 1.0)
    way = m.where(ordered, m.where(controls.direction == 0.0, side, controls.direction), was.way)
    to_go = compass_deg(m, way * (controls.heading_deg - sense))
    long_way = m.where(m.where(ordered, 1.0, was.long_way) * (to_go > LONG_WAY_DEG) > 0.5, 1.0, 0.0)
    error = m.where(long_way > 0.5, way * to_go, shorter)
    off = m.where(error < 0.0, -error, error)
    turning = m.where(m.where(ordered, 1.0, was.turning) * (off > TURN_ENDS_DEG) > 0.5, 1.0, 0.0)

    # Bank.
    turns = turning > 0.5
    turn_limit = turn_bank_deg(m, controls.turn_rate_dps, airspeed, altitude)
    bank_limit = m.where(turns, turn_limit, HOLD_BANK_DEG)
    gain = m.where(turns, BANK_PER_DEG, HOLD_BANK_PER_DEG)
    eager = error - m.where(turns, ROLL_OUT_EARLY_DEG * m.sign(error), 0.0)
    kept_way = m.where(controls.direction < 0.0, -1.0, 1.0)
    bank_order = m.where(levels, 0.0, m.where(keeps, kept_way * turn_limit,
                                              m.clip(gain * eager, -bank_limit, bank_limit)))
    recovers = controls.lateral == RECOVER
    by_attitude = controls.bank_by == BY_ATTITUDE
    hurry = m.where(recovers, 2.0, 1.0)
    most_roll = ROLL_BY_HORIZON_DPS * hurry
    roll_by_horizon = m.clip(ROLL_PER_BANK * wrap_deg(m, bank_order - bank), -most_roll, most_roll) - OVERBANKS * bank
    rate_limit = m.where(turns, controls.turn_rate_dps, HOLD_RATE_DPS)
    rate_gain = m.where(turns, RATE_PER_DEG, HOLD_RATE_PER_DEG)
    rate_order = m.where(levels, 0.0, m.where(keeps, kept_way * controls.turn_rate_dps,
                                              m.clip(rate_gain * error, -rate_limit, rate_limit))) + needle_bias
    felt_bank = DEGREES_PER_DPS * (turn - needle_bias)
    # The needle senses roll as well: out of a steep bank it comes to the middle long before the wings are level.
    needle = turn - m.where(recovers, 0.5 * TURN_CANT * was.roll_dps, 0.0)
    most_roll = ROLL_BY_NEEDLE_DPS * hurry
    roll_by_needle = m.clip(ROLL_PER_RATE * (rate_order - needle), -most_roll, most_roll) - OVERBANKS * felt_bank
    loose = m.least(attention / 0.5, 1.0)
    roll_order = m.where(by_attitude, roll_by_horizon, roll_by_needle) * loose
    roll = was.roll_dps + m.clip(_ROLL_LAG * (roll_order - was.roll_dps), -_ROLL_SLEW, _ROLL_SLEW)

    # Climb or descent wanted: airspeed comes first.
    by_horizon = controls.pitch_by == BY_HORIZON
    holds_pitch = controls.vertical == HOLD_PITCH
    tas_fpm = airspeed * (1.0 + 1.75e-5 * altitude) * KNOT / FPM
    below = controls.altitude_ft - altitude
    per_ft = m.where(by_horizon, CLIMB_PER_FT, CLIMB_PER_FT_PARTIAL)
    asked = m.clip(per_ft * below, -controls.climb_fpm, controls.climb_fpm)
    asked = m.where(holds_pitch, tas_fpm * controls.pitch_deg * DEG, asked)
    asked = m.where(recovers, 0.0, asked)
    ceiling = CLIMB_PER_KT * (airspeed - SAFE_SPEED * frame.stall_kt)
    floor = -DESCENT_PER_KT * m.most(frame.cruise_most_kt - airspeed, 0.0)
    climb = m.least(m.most(asked, floor), ceiling)

    # Pitch.
    learns = m.where(recovers | holds_pitch, 0.0, 1.0)
    learning = PITCH_LEARNS * (climb - vertical) - was.level_pitch_deg / PITCH_FORGETS_S
    level_pitch = m.clip(was.level_pitch_deg + STEP_S * learns * learning, -10.0, 10.0)
    level_pitch = m.where(by_horizon, level_pitch, pitch)
    pitch_order = m.where(holds_pitch, controls.pitch_deg, level_pitch + climb / tas_fpm * RAD)
    banked_fast = (airspeed > controls.airspeed_kt + RECOVER_BAND_KT) & m.where(
        by_attitude, (bank > 20.0) | (bank < -20.0), (turn > 2.0) | (turn < -2.0))
    pull_most = m.where(recovers & banked_fast, 0.0, PULL_DEG[1])
    pull_by_horizon = m.clip(PULL_PER_PITCH * (pitch_order - pitch), PULL_DEG[0], pull_most)
    wrong = climb - trend
    learned = m.clip(was.pressure_pull_deg + STEP_S * PULL_LEARNS * wrong * m.where(recovers, 0.0, 1.0), *PULL_DEG)
    learned = m.where(by_horizon, 0.0, learned)
    reach = m.where(recovers, PULL_IN_RECOVERY_DEG, PULL_BY_TREND_DEG)
    pull_by_trend = m.least(m.clip(PULL_PER_FPM * wrong, -reach, reach), pull_most) + learned
    pull_order = m.where(by_horizon, pull_by_horizon, pull_by_trend)
    pull = was.pull_deg + m.clip(_PULL_LAG * (pull_order - was.pull_deg), -_PULL_SLEW, _PULL_SLEW)
    # The hands trim off what they hold; by pressure only what they have learned, or it would be learned twice.
    trimmed = _TRIM * m.where(recovers, 0.0, m.where(by_horizon, pull, learned))
    # By pressure nothing shows pitch: as the airspeed falls they ease back, half as much as level flight will need.
    slowing = (was.airspeed_smooth_kt - airspeed) / (AIRSPEED_TREND_S * m.most(airspeed, 40.0))
    eased = STEP_S * was.trim_deg * slowing * m.where(by_horizon | recovers, 0.0, 1.0)
    trim = m.clip(was.trim_deg + trimmed + eased, *TRIM_DEG)
    learned = m.where(by_horizon, 0.0, learned - trimmed)

    # Power.
    airspeed_smooth = was.airspeed_smooth_kt + _AIRSPEED_LAG * (airspeed - was.airspeed_smooth_kt)
    airspeed_trend = (airspeed - airspeed_smooth) / AIRSPEED_TREND_S
    short = m.clip(controls.airspeed_kt - airspeed, -15.0, 15.0)
    far_off = (below > FAR_OFF_FT) | (below < -FAR_OFF_FT)
    for_climb = m.where(far_off & m.no(holds_pitch | recovers), POWER_PER_FPM * asked, 0.0)
    climb_power = was.climb_power + _POWER_LAG * (for_climb - was.climb_power)
    meant = was.cruise_power + climb_power + POWER_PER_KT * short
    sated = ((meant >= 1.0) & (short > 0.0)) | ((meant <= 0.0) & (short < 0.0))
    holds_airspeed = controls.power == HOLD_AIRSPEED
    tuning = holds_airspeed & m.no(sated | recovers)
    cruise_power = m.clip(was.cruise_power + m.where(tuning, STEP_S * POWER_LEARNS * short, 0.0), 0.1, 1.0)
    soon = airspeed + AIRSPEED_AHEAD_S * airspeed_trend
    rescue = m.where(soon > controls.airspeed_kt + RECOVER_BAND_KT, 0.0,
                     m.where(soon < controls.airspeed_kt - RECOVER_BAND_KT, 1.0, cruise_power))
    power = m.where(recovers, rescue, m.where(holds_airspeed, m.clip(meant, 0.0, 1.0), controls.throttle))
    throttle = was.throttle + m.clip(power - was.throttle, -_POWER_SLEW, _POWER_SLEW)

    return Hands(
        bank, bank_in, pitch, pitch_in, heading, track, heading_in, turn, turn_in, altitude, altitude_in, trend,
        trend_in, airspeed, airspeed_in, vertical, vertical_in, compass, compass_in, shown.altitude_ft, moves,
        turn_smooth, airspeed_smooth, steady_s, reckoned, needle_bias, none + controls.heading_deg,
        none + controls.direction, none + controls.lateral, turning, way, long_way, level_pitch, learned, climb_power,
        cruise_power, roll, pull, trim, throttle,
    )


def start(shown: Shown, trim_deg: Quantity, throttle: Quantity) -> Hands:
    """Return hands that have settled on what is shown, know its pitch and power, and hold the present heading."""
    none = 0.0 * shown.altitude_ft
    return Hands(
        bank_deg=shown.bank_deg, bank_in_s=none, pitch_deg=shown.pitch_deg, pitch_in_s=none,
        heading_deg=shown.heading_deg, track_deg=shown.track_deg, heading_in_s=none, turn_dps=shown.turn_dps,
        turn_in_s=none, altitude_ft=shown.altitude_ft, altitude_in_s=none, trend_fpm=none, trend_in_s=none,
        airspeed_kt=shown.airspeed_kt, airspeed_in_s=none, vertical_speed_fpm=none, vertical_speed_in_s=none,
        compass_deg=shown.compass_deg, compass_in_s=none, altimeter_was_ft=shown.altitude_ft,
        altimeter_moves_fpm=none, turn_smooth_dps=shown.turn_dps, airspeed_smooth_kt=shown.airspeed_kt,
        steady_s=none + STEADY_S, reckoned_deg=shown.compass_deg, needle_bias_dps=shown.turn_dps,
        order_deg=shown.heading_deg, order_way=none, order_lateral=none, turning=none, way=none + 1.0, long_way=none,
        level_pitch_deg=shown.pitch_deg, pressure_pull_deg=none, climb_power=none, cruise_power=none + throttle,
        roll_dps=none, pull_deg=none, trim_deg=none + trim_deg, throttle=none + throttle,
    )
