"""Where the hands look, when, and what they make of it."""

from __future__ import annotations

import math
from typing import NamedTuple

from drill.airplane.arith import Maths, Quantity, Truth
from drill.airplane.constants import (
    BANK_TO_TURN_MOST_DEG,
    DEG,
    KNOT,
    LEVEL_FPM,
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
    RAD,
    READ_AIRSPEED_KT,
    READ_ALTITUDE_FT,
    READ_BANK_DEG,
    READ_COMPASS_DEG,
    READ_HEADING_DEG,
    READ_PITCH_DEG,
    READ_TREND_FPM,
    READ_TURN_DPS,
    READ_VSI_FPM,
    ROLL_FELT_S,
    STANDBY_DARK_S,
    STEP_S,
    STILL_FPM,
    TAS_MIN_MPS,
    TAS_PER_FT,
    TREND_MEAN_S,
    TURN_CANT,
    G,
)
from drill.airplane.controls import BY_ATTITUDE, BY_HORIZON, BY_STANDBY, BY_STANDBY_HORIZON, Controls
from drill.airplane.memory import Hands, Shown

_TREND_LAG = 1.0 - math.exp(-STEP_S / TREND_MEAN_S)
_FELT_LAG = 1.0 - math.exp(-STEP_S / ROLL_FELT_S)


class Looks(NamedTuple):
    """The readings that the hands hold, each as in `Hands`."""

    bank_deg: Quantity
    bank_in_s: Quantity
    pitch_deg: Quantity
    pitch_in_s: Quantity
    heading_deg: Quantity
    track_deg: Quantity
    heading_in_s: Quantity
    turn_dps: Quantity
    turn_in_s: Quantity
    yaw_dps: Quantity
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
    altimeter_was_ft: Quantity
    altimeter_moves_fpm: Quantity
    roll_felt_dps: Quantity
    standby_dark_s: Quantity


class References(NamedTuple):
    """By what bank and pitch go now, each true or false."""

    bank_by_standby: Truth
    bank_by_attitude: Truth        # by a horizon: the standby's or the attitude indicator
    pitch_by_standby: Truth
    pitch_by_horizon: Truth        # the same
    needle_in_sight: Quantity
    standby_dark_s: Quantity


def refer(m: Maths, controls: Controls, shown: Shown, was: Hands) -> References:
    """Return the references that the orders leave, given what there is to be seen.

    A standby display that stops showing attitude leaves its last reading for a few seconds; then the hands go by turn
    coordinator, altimeter and airspeed. With the turn coordinator out of sight, too, or none fitted, the wings go by
    the attitude indicator, whatever the bank reference says, for nothing else shows bank.
    """
    in_sight = controls.turn_coordinator_in_sight * shown.needle_fitted
    bank, pitch = controls.bank_by == BY_STANDBY, controls.pitch_by == BY_STANDBY_HORIZON
    dark = (bank | pitch) & (shown.standby_flag > 0.5)
    dark_s = m.where(dark, was.standby_dark_s + STEP_S, 0.0)
    seen = dark_s < STANDBY_DARK_S
    bank, pitch = bank & seen, pitch & seen
    by_attitude = (controls.bank_by == BY_ATTITUDE) | bank | (in_sight < 0.5)
    return References(bank, by_attitude, pitch, (controls.pitch_by == BY_HORIZON) | pitch, in_sight, dark_s)


def judged_tas_mps(airspeed_kt: Quantity, altitude_ft: Quantity) -> Quantity:
    """Return the true airspeed (m/s) that a pilot reckons from airspeed indicator and altimeter."""
    return airspeed_kt * (1.0 + TAS_PER_FT * altitude_ft) * KNOT


def stands_still(looks: Looks) -> Truth:
    """Say whether altimeter and vertical speed stand dead still, as they never do for long in the air."""
    moves, rate = looks.altimeter_moves_fpm, looks.vertical_speed_fpm
    return (moves < STILL_FPM) & (moves > -STILL_FPM) & (rate < LEVEL_FPM) & (rate > -LEVEL_FPM)


def _look(maths: Maths, left: Quantity, held: Quantity, shown: Quantity, error: Quantity,
          again: Quantity) -> tuple[Quantity, Quantity]:
    due = left <= 0.0
    return maths.where(due, shown + error, held), maths.where(due, again, left - STEP_S)


def look(m: Maths, attention: Quantity, by: References, shown: Shown, was: Hands,
         errors: tuple[Quantity, ...], scans: tuple[Quantity, ...]) -> tuple[Looks, Quantity]:
    """Return what the hands hold after this step's looks, and the true airspeed (m/s) that they reckon from it.

    With the turn coordinator out of sight the turn is the one that goes with the bank held. Of a standby display that
    shows no attitude the last reading is held.
    """
    least, most = LOOK_SPREAD
    slow = 1.0 / attention
    first = (least + (most - least) * scans[0]) * slow
    second = (least + (most - least) * scans[1]) * slow
    third = (least + (most - least) * scans[2]) * slow

    moved = (shown.altitude_ft - was.altimeter_was_ft) * (60.0 / STEP_S)
    moves = was.altimeter_moves_fpm + _TREND_LAG * (moved - was.altimeter_moves_fpm)
    dark = by.standby_dark_s > 0.0
    horizon = m.where(by.bank_by_standby, m.where(dark, was.bank_deg, shown.standby_bank_deg), shown.bank_deg)
    nose = m.where(by.pitch_by_standby, m.where(dark, was.pitch_deg, shown.standby_pitch_deg), shown.pitch_deg)
    bank, bank_in = _look(m, was.bank_in_s, was.bank_deg, horizon, READ_BANK_DEG * errors[0],
                          LOOK_BANK_S * first)
    pitch, pitch_in = _look(m, was.pitch_in_s, was.pitch_deg, nose, READ_PITCH_DEG * errors[1],
                            LOOK_PITCH_S * second)
    heading_due = was.heading_in_s <= 0.0
    heading_error = READ_HEADING_DEG * errors[2]
    heading = m.where(heading_due, shown.heading_deg + heading_error, was.heading_deg)
    track = m.where(heading_due, shown.track_deg + heading_error, was.track_deg)
    heading_again = m.where(was.turning > 0.5, LOOK_HEADING_TURN_S, LOOK_HEADING_S) * third
    heading_in = m.where(heading_due, heading_again, was.heading_in_s - STEP_S)
    turn_due = was.turn_in_s <= 0.0
    turn_read = shown.turn_dps + READ_TURN_DPS * errors[3]
    felt = was.roll_felt_dps + _FELT_LAG * (was.roll_dps - was.roll_felt_dps)
    turn_in = m.where(turn_due, LOOK_TURN_S * second, was.turn_in_s - STEP_S)
    altitude, altitude_in = _look(m, was.altitude_in_s, was.altitude_ft, shown.altitude_ft,
                                  READ_ALTITUDE_FT * errors[4], LOOK_ALTITUDE_S * first)
    trend, trend_in = _look(m, was.trend_in_s, was.trend_fpm, moves, READ_TREND_FPM * errors[5], LOOK_TREND_S * third)
    airspeed, airspeed_in = _look(m, was.airspeed_in_s, was.airspeed_kt, shown.airspeed_kt,
                                  READ_AIRSPEED_KT * errors[6], LOOK_AIRSPEED_S * second)
    vertical, vertical_in = _look(m, was.vertical_speed_in_s, was.vertical_speed_fpm, shown.vertical_speed_fpm,
                                  READ_VSI_FPM * errors[7], LOOK_VSI_S * first)
    compass, compass_in = _look(m, was.compass_in_s, was.compass_deg, shown.compass_deg,
                                READ_COMPASS_DEG * errors[8], LOOK_COMPASS_S * third)

    tas = judged_tas_mps(airspeed, altitude)
    banked = m.clip(bank, -BANK_TO_TURN_MOST_DEG, BANK_TO_TURN_MOST_DEG) * DEG
    by_bank = G * RAD * m.tan(banked) / m.most(tas, TAS_MIN_MPS)
    sees = by.needle_in_sight > 0.5
    turn = m.where(sees, m.where(turn_due, turn_read, was.turn_dps), by_bank)
    yaw = m.where(sees, m.where(turn_due, turn_read - TURN_CANT * felt, was.yaw_dps), by_bank)
    looks = Looks(
        bank, bank_in, pitch, pitch_in, heading, track, heading_in, turn, turn_in, yaw, altitude, altitude_in, trend,
        trend_in, airspeed, airspeed_in, vertical, vertical_in, compass, compass_in, shown.altitude_ft, moves, felt,
        by.standby_dark_s,
    )
    return looks, tas
