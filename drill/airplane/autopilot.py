"""The autopilot: a servo on the ailerons, and on the elevator where it flies by the horizon.

One kind takes roll and pitch from the attitude indicator and follows it wherever it leans (FAA-H-8083-15B ch. 11). The
other takes roll from the electric turn coordinator alone; pitch, and so altitude, stays with the hands. Neither
touches the throttle. It is told what the hands are told. Once it has let go it stays off until it is switched off and
on again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from drill.airplane.arith import Quantity, wrap_deg
from drill.airplane.constants import (
    AUTOPILOT_BANK_DEG,
    AUTOPILOT_BANK_PER_DEG,
    AUTOPILOT_LAG_S,
    AUTOPILOT_LEARNS,
    AUTOPILOT_OFF_BANK_DEG,
    AUTOPILOT_OFF_PITCH_DEG,
    AUTOPILOT_PER_BANK,
    AUTOPILOT_PER_RATE,
    AUTOPILOT_PITCH_DEG,
    AUTOPILOT_PULL_DEG,
    AUTOPILOT_PULL_SLEW_DPS,
    AUTOPILOT_RATE_PER_DEG,
    AUTOPILOT_ROLL_DPS,
    AUTOPILOT_RUN_DPS,
    AUTOPILOT_SLEW_DPS2,
    AUTOPILOT_VOLTS,
    CLIMB_PER_FT,
    FPM,
    HOLD_RATE_DPS,
    PULL_PER_PITCH,
    RAD,
    STEP_S,
    TAS_MIN_MPS,
    TRIM_DEG,
    TRIM_S,
)
from drill.airplane.controls import (
    BY_COMPASS,
    BY_HEADING_INDICATOR,
    HOLD_PITCH,
    KEEP_TURNING,
    RECOVER,
    WINGS_LEVEL,
    Controls,
)
from drill.airplane.faults import Faults
from drill.airplane.looking import judged_tas_mps
from drill.airplane.memory import Hands, Shown
from drill.airplane.motion import Motion
from drill.airplane.steering import turn_bank_deg
from drill.airplane.world import World

_LAG = 1.0 - math.exp(-STEP_S / AUTOPILOT_LAG_S)
_SLEW = AUTOPILOT_SLEW_DPS2 * STEP_S
_TRIM = STEP_S / TRIM_S
_PULL_SLEW = AUTOPILOT_PULL_SLEW_DPS * STEP_S


@dataclass(frozen=True, slots=True)
class Autopilot:
    """Whether it flies, how its switch stood, and what its servos do; off, they stand where the hands have them."""

    on: Quantity
    switch: Quantity             # a step ago
    roll_dps: Quantity           # asked of the ailerons
    pull_deg: Quantity           # elevator, as angle of attack
    level_pitch_deg: Quantity    # the pitch on the horizon that it has found to hold level


def engaged(was: Autopilot) -> Autopilot:
    """Return an autopilot that flies already, for a flight that is taken up so."""
    return replace(was, on=0.0 * was.on + 1.0, switch=0.0 * was.on + 1.0)


def heading_by(world: World, was: Autopilot, controls: Controls) -> Quantity:
    """Return the heading reference that turns go by: the heading indicator while a horizon autopilot flies."""
    if world.airframe.autopilot != "horizon":
        return controls.heading_by
    return world.maths.where(was.on > 0.5, BY_HEADING_INDICATOR, controls.heading_by)


def _may_fly(world: World, controls: Controls, faults: Faults, shown: Shown, motion: Motion,
             volts: Quantity) -> Quantity:
    m = world.maths
    may = (faults.autopilot_holds > 0.5) & (volts >= AUTOPILOT_VOLTS) & (motion.parked < 0.5) & (motion.stall_s <= 0.0)
    if world.airframe.autopilot == "horizon":
        bank, pitch = m.most(shown.bank_deg, -shown.bank_deg), m.most(shown.pitch_deg, -shown.pitch_deg)
        return may & (bank <= AUTOPILOT_OFF_BANK_DEG) & (pitch <= AUTOPILOT_OFF_PITCH_DEG)
    # The turn coordinator shows neither bank nor pitch: what it loses is its supply.
    return may & (volts * controls.turn_breaker * faults.turn_power >= AUTOPILOT_VOLTS)


def _roll_order(world: World, controls: Controls, shown: Shown, turning: Quantity, error: Quantity) -> Quantity:
    m = world.maths
    levels = (controls.lateral == WINGS_LEVEL) | (controls.lateral == RECOVER)
    keeps = controls.lateral == KEEP_TURNING
    way = m.where(controls.direction < 0.0, -1.0, 1.0)
    if world.airframe.autopilot == "horizon":
        limit = turn_bank_deg(m, controls.turn_rate_dps, shown.airspeed_kt, shown.altitude_ft)
        limit = m.least(limit, AUTOPILOT_BANK_DEG)
        bank = m.clip(AUTOPILOT_BANK_PER_DEG * error, -limit, limit)
        bank = m.where(levels, 0.0, m.where(keeps, way * limit, bank))
        return AUTOPILOT_PER_BANK * wrap_deg(m, bank - shown.bank_deg)
    limit = m.where(turning > 0.5, controls.turn_rate_dps, HOLD_RATE_DPS)
    rate = m.clip(AUTOPILOT_RATE_PER_DEG * error, -limit, limit)
    rate = m.where(levels, 0.0, m.where(keeps, way * controls.turn_rate_dps, rate))
    return AUTOPILOT_PER_RATE * (rate - shown.turn_dps)


def advance(world: World, was: Autopilot, controls: Controls, faults: Faults, shown: Shown, motion: Motion,
            hands: Hands, error_deg: Quantity, volts: Quantity) -> Autopilot:
    """Return the autopilot one step later.

    `hands` and `error_deg`, the degrees that they have still to turn, carry the order; the autopilot reads the heading
    without their error, by the compass excepted, which it cannot read: there they turn its heading bug. Engaged in a
    bank or a climb it starts from the elevator as it is.
    """
    if world.airframe.autopilot == "none" or (
            world.airframe.autopilot == "turn coordinator" and not world.airframe.turn_coordinator_fitted):
        return was
    m = world.maths
    asked = controls.autopilot > 0.5
    engages = asked & (was.switch < 0.5)
    on = asked & (engages | (was.on > 0.5)) & _may_fly(world, controls, faults, shown, motion, volts)
    by = heading_by(world, was, controls)
    seen = m.where(by == BY_HEADING_INDICATOR, shown.heading_deg, shown.track_deg)
    error = m.where(by == BY_COMPASS, error_deg, error_deg + wrap_deg(m, hands.sense_deg - seen))
    order = m.clip(_roll_order(world, controls, shown, hands.turning, error), -AUTOPILOT_ROLL_DPS, AUTOPILOT_ROLL_DPS)
    runs = (faults.autopilot_runs > 0.5) | (faults.autopilot_runs < -0.5)
    order = m.where(runs, AUTOPILOT_RUN_DPS * faults.autopilot_runs, order)
    roll = was.roll_dps + m.clip(_LAG * (order - was.roll_dps), -_SLEW, _SLEW)

    tas = m.most(judged_tas_mps(shown.airspeed_kt, shown.altitude_ft), TAS_MIN_MPS)
    climb = m.clip(CLIMB_PER_FT * (controls.altitude_ft - shown.altitude_ft), -controls.climb_fpm, controls.climb_fpm)
    level = was.level_pitch_deg + STEP_S * AUTOPILOT_LEARNS * (climb - hands.altimeter_moves_fpm)
    level = m.clip(level, -AUTOPILOT_PITCH_DEG, AUTOPILOT_PITCH_DEG)
    pitch = m.where(controls.vertical == HOLD_PITCH, controls.pitch_deg, level + climb * FPM / tas * RAD)
    pitch = m.clip(pitch, -AUTOPILOT_PITCH_DEG, AUTOPILOT_PITCH_DEG)
    meant = m.clip(PULL_PER_PITCH * (pitch - shown.pitch_deg), *AUTOPILOT_PULL_DEG)
    pull = was.pull_deg + m.clip(_LAG * (meant - was.pull_deg), -_PULL_SLEW, _PULL_SLEW)
    return Autopilot(
        m.where(on, 1.0, 0.0), 0.0 * was.switch + m.where(asked, 1.0, 0.0), m.where(on, roll, hands.roll_dps),
        m.where(on, pull, hands.pull_deg), m.where(on, level, hands.level_pitch_deg),
    )


def through(world: World, autopilot: Autopilot, was: Hands, hands: Hands) -> Hands:
    """Return the hands with the controls where a flying autopilot holds them; it trims off what it holds, as they do.
    """
    kind = world.airframe.autopilot
    if kind == "none":
        return hands
    m, flies = world.maths, autopilot.on > 0.5
    roll = m.where(flies, autopilot.roll_dps, hands.roll_dps)
    if kind == "turn coordinator":
        return replace(hands, roll_dps=roll)
    trim = m.clip(was.trim_deg + _TRIM * autopilot.pull_deg, *TRIM_DEG)
    return replace(
        hands, roll_dps=roll, pull_deg=m.where(flies, autopilot.pull_deg, hands.pull_deg),
        trim_deg=m.where(flies, trim, hands.trim_deg),
        level_pitch_deg=m.where(flies, autopilot.level_pitch_deg, hands.level_pitch_deg),
        pressure_pull_deg=m.where(flies, was.pressure_pull_deg, hands.pressure_pull_deg),
    )


def start(hands: Hands) -> Autopilot:
    """Return an autopilot that is off, its servos where the hands are."""
    none = 0.0 * hands.roll_dps
    return Autopilot(none, none, none + hands.roll_dps, none + hands.pull_deg, none + hands.level_pitch_deg)
