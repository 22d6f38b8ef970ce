"""Ailerons: which way and how far to turn, by which heading, and the roll that does it."""

from __future__ import annotations

import math
from typing import NamedTuple

from drill.airplane.arith import Maths, Quantity, compass_deg, wrap_deg
from drill.airplane.constants import (
    ALREADY_THERE_DEG,
    BANK_PER_DEG,
    BIAS_MOST_DPS,
    BIAS_PER_S,
    DEG,
    DEGREES_PER_DPS,
    HOLD_BANK_DEG,
    HOLD_BANK_PER_DEG,
    HOLD_RATE_DPS,
    HOLD_RATE_PER_DEG,
    HURRY,
    LONG_WAY_DEG,
    LOOSE_ATTENTION,
    OVERBANKS,
    RAD,
    RATE_PER_DEG,
    RECKON_S,
    RECOVER_ROLL_DPS,
    RECOVER_ROLL_PER_RATE,
    ROLL_BY_HORIZON_DPS,
    ROLL_BY_NEEDLE_DPS,
    ROLL_LAG_S,
    ROLL_OUT_EARLY_DEG,
    ROLL_PER_BANK,
    ROLL_PER_RATE,
    ROLL_SLEW_DPS2,
    STEADY_DPS,
    STEADY_S,
    STEP_S,
    TURN_BANK_DEG,
    TURN_ENDS_DEG,
    TURN_MEAN_S,
    UNSURE_DEG,
)
from drill.airplane.controls import (
    BY_COMPASS,
    BY_HEADING_INDICATOR,
    KEEP_TURNING,
    RECOVER,
    TURN_TO_HEADING,
    WINGS_LEVEL,
    Controls,
)
from drill.airplane.looking import Looks, judged_tas_mps
from drill.airplane.memory import Hands
from drill.airplane.motion import standard_bank_rad

_ROLL_LAG = 1.0 - math.exp(-STEP_S / ROLL_LAG_S)
_ROLL_SLEW = ROLL_SLEW_DPS2 * STEP_S
_TURN_LAG = 1.0 - math.exp(-STEP_S / TURN_MEAN_S)


class Reckoning(NamedTuple):
    """The heading kept by compass, turn and clock, each as in `Hands`."""

    turn_smooth_dps: Quantity
    steady_s: Quantity
    reckoned_deg: Quantity
    needle_bias_dps: Quantity


class Turning(NamedTuple):
    """The lateral order as last seen and how far it is carried out, each as in `Hands`."""

    order_deg: Quantity
    order_way: Quantity
    order_by_deg: Quantity
    order_lateral: Quantity
    sense_deg: Quantity
    sense_by: Quantity
    to_go_deg: Quantity
    turning: Quantity
    way: Quantity
    long_way: Quantity


def turn_bank_deg(maths: Maths, turn_rate_dps: Quantity, airspeed_kt: Quantity, altitude_ft: Quantity) -> Quantity:
    """Return the bank (deg) used for an ordered rate of turn (deg/s), by airspeed and altimeter."""
    return _turn_bank_deg(maths, turn_rate_dps, judged_tas_mps(airspeed_kt, altitude_ft))


def _turn_bank_deg(maths: Maths, turn_rate_dps: Quantity, tas_mps: Quantity) -> Quantity:
    return maths.clip(standard_bank_rad(maths, turn_rate_dps * DEG, tas_mps) * RAD, *TURN_BANK_DEG)


def reckon(m: Maths, needle_in_sight: Quantity, looks: Looks, was: Hands) -> Reckoning:
    """Return the heading by dead reckoning: by turn and clock in a turn, by the compass when it is steady.

    Only a needle in sight has a bias that can be learned.
    """
    sees = needle_in_sight > 0.5
    bias = m.where(sees, was.needle_bias_dps, 0.0)
    turn_smooth = was.turn_smooth_dps + _TURN_LAG * (looks.turn_dps - was.turn_smooth_dps)
    near = turn_smooth - bias
    steady_s = m.where((near < STEADY_DPS) & (near > -STEADY_DPS), was.steady_s + STEP_S, 0.0)
    believed = m.where(steady_s >= STEADY_S, 1.0, 0.0)
    miss = wrap_deg(m, looks.compass_deg - was.reckoned_deg) * believed
    reckoned = compass_deg(m, was.reckoned_deg + STEP_S * (looks.turn_dps - bias + miss / RECKON_S))
    learned = m.clip(was.needle_bias_dps - STEP_S * BIAS_PER_S * miss, -BIAS_MOST_DPS, BIAS_MOST_DPS)
    return Reckoning(turn_smooth, steady_s, reckoned, m.where(sees, learned, was.needle_bias_dps))


def aim(m: Maths, controls: Controls, heading_by: Quantity, looks: Looks, reckoned_deg: Quantity,
        was: Hands) -> tuple[Turning, Quantity]:
    """Return the turn and the degrees still to be turned, right positive, by a heading reference."""
    lateral, direction = controls.lateral, controls.direction
    by_compass = heading_by == BY_COMPASS
    by_heading = heading_by == BY_HEADING_INDICATOR
    sense = m.where(by_compass, reckoned_deg, m.where(by_heading, looks.heading_deg, looks.track_deg))
    shorter = wrap_deg(m, controls.heading_deg - sense)
    turns = lateral == TURN_TO_HEADING
    ordered = ((controls.heading_deg != was.order_deg) | (direction != was.order_way)
               | (((lateral != was.order_lateral) | (controls.turn_by_deg != was.order_by_deg)) & turns))
    counts = turns & (controls.turn_by_deg > 0.0)
    side = m.where((shorter < 0.0) & m.no(counts), -1.0, 1.0)
    # "Left to 238" on a heading of 236 is two degrees to the right, and not the whole way round.
    there = (compass_deg(m, direction * (controls.heading_deg - sense)) > 360.0 - ALREADY_THERE_DEG) & m.no(counts)
    way = m.where(ordered, m.where((direction == 0.0) | there, side, direction), was.way)
    begun = m.where(ordered, 1.0, was.turning)

    # Another reference reads another heading: that is no turn.
    turned = m.where(heading_by == was.sense_by, wrap_deg(m, sense - was.sense_deg), 0.0)
    left = m.where(counts, m.where(ordered, controls.turn_by_deg, was.to_go_deg - way * turned), 0.0)
    to_go = compass_deg(m, way * (controls.heading_deg - sense))
    long_way = m.where(m.where(ordered, 1.0, was.long_way) * (to_go > LONG_WAY_DEG) > 0.5, 1.0, 0.0)
    counted = way * m.where(begun > 0.5, left, wrap_deg(m, left))
    error = m.where(counts, counted, m.where(long_way > 0.5, way * to_go, shorter))
    off = m.where(error < 0.0, -error, error)
    turning = m.where(begun * (off > TURN_ENDS_DEG) > 0.5, 1.0, 0.0)

    none = 0.0 * sense   # gives an order that all flights share the shape of a flight's own
    return Turning(none + controls.heading_deg, none + direction, none + controls.turn_by_deg, none + lateral, sense,
                   none + heading_by, left, turning, way, long_way), error


def roll_dps(m: Maths, controls: Controls, by_attitude: Quantity, attention: Quantity, looks: Looks,
             tas_mps: Quantity, needle_bias: Quantity, turning: Quantity, error: Quantity,
             was: Hands) -> Quantity:
    """Return the roll rate (deg/s) asked of the ailerons, for `error` degrees to turn."""
    recovers = controls.lateral == RECOVER
    levels = (controls.lateral == WINGS_LEVEL) | recovers
    keeps = controls.lateral == KEEP_TURNING
    turns = turning > 0.5
    kept_way = m.where(controls.direction < 0.0, -1.0, 1.0)

    turn_limit = _turn_bank_deg(m, controls.turn_rate_dps, tas_mps)
    bank_limit = m.where(turns, turn_limit, HOLD_BANK_DEG)
    gain = m.where(turns, BANK_PER_DEG, HOLD_BANK_PER_DEG)
    eager = error - m.where(turns, ROLL_OUT_EARLY_DEG * m.sign(error), 0.0)
    # Held heading behind the tail: no way back is the nearer one, and nobody jerks from one bank to the other.
    off = m.where(error < 0.0, -error, error)
    sure = m.where(turns, 1.0, m.clip((180.0 - off) / UNSURE_DEG, 0.0, 1.0))
    bank_order = m.where(levels, 0.0, m.where(keeps, kept_way * turn_limit,
                                              sure * m.clip(gain * eager, -bank_limit, bank_limit)))
    most = ROLL_BY_HORIZON_DPS * m.where(recovers, HURRY, 1.0)
    by_horizon = m.clip(ROLL_PER_BANK * wrap_deg(m, bank_order - looks.bank_deg), -most, most)
    by_horizon = by_horizon - OVERBANKS * looks.bank_deg

    rate_limit = m.where(turns, controls.turn_rate_dps, HOLD_RATE_DPS)
    rate_gain = m.where(turns, RATE_PER_DEG, HOLD_RATE_PER_DEG)
    rate_order = m.where(levels, 0.0, m.where(keeps, kept_way * controls.turn_rate_dps,
                                              sure * m.clip(rate_gain * error, -rate_limit, rate_limit))) + needle_bias
    by_needle = m.clip(ROLL_PER_RATE * (rate_order - looks.turn_dps), -ROLL_BY_NEEDLE_DPS, ROLL_BY_NEEDLE_DPS)
    # The needle feels roll as well: out of a steep bank it comes to the middle long before the wings are level.
    firmly = m.clip(RECOVER_ROLL_PER_RATE * (needle_bias - looks.yaw_dps), -RECOVER_ROLL_DPS, RECOVER_ROLL_DPS)
    by_needle = m.where(recovers, firmly, by_needle) - OVERBANKS * DEGREES_PER_DPS * (looks.turn_dps - needle_bias)

    loose = m.least(attention / LOOSE_ATTENTION, 1.0)
    order = m.where(by_attitude, by_horizon, by_needle) * loose
    return was.roll_dps + m.clip(_ROLL_LAG * (order - was.roll_dps), -_ROLL_SLEW, _ROLL_SLEW)
