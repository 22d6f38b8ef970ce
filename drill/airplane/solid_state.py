"""The standby attitude display: rate sensors and accelerometers without a spinning part, on a battery of its own.

Roll and pitch are integrated from rates and drawn to the vertical that the accelerometers show, corrected for the turn
by the airspeed: without one, or with a wrong one, a turn looks like level flight to it and the display levels itself in
the turn. What it finds wrong with itself it says by crossing itself out; an accelerometer that creeps it cannot find.
"""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.arith import Quantity, wrap_deg
from drill.airplane.constants import (
    KNOT,
    RAD,
    STANDBY_AIDED_S,
    STANDBY_AIRSPEED_KT,
    STANDBY_BATTERY_S,
    STANDBY_BIAS_DPS,
    STANDBY_CHARGES_S,
    STANDBY_RATE_DPS,
    STANDBY_RESIDUAL_DEG,
    STANDBY_RESIDUAL_S,
    STANDBY_TEST_MOVING_S,
    STANDBY_TEST_STANDING_S,
    STANDBY_UNAIDED_S,
    STANDBY_VOLTS,
    STEP_S,
    TAS_MIN_MPS,
    TAS_PER_FT,
    G,
)
from drill.airplane.controls import Controls
from drill.airplane.draws import Instruments
from drill.airplane.faults import Faults
from drill.airplane.motion import Motion
from drill.airplane.world import World


@dataclass(frozen=True, slots=True)
class Standby:
    """Display errors in degrees, and what the unit knows of itself."""

    roll_error_deg: Quantity     # shown bank less true bank
    pitch_error_deg: Quantity
    lean_deg: Quantity           # how far its level reference has crept
    powered: Quantity            # 1: by the bus or by its own battery
    battery: Quantity            # 0 to 1, its own
    test_s: Quantity             # of the self-test still to go; attitude hidden
    apart_s: Quantity            # how long rates and accelerometers have differed
    failed: Quantity             # crossed out until it is switched off


def advance(world: World, was: Standby, motion: Motion, airspeed_kt: Quantity, altitude_ft: Quantity,
            controls: Controls, faults: Faults, mine: Instruments, volts: Quantity) -> Standby:
    """Return the display one step later; airspeed (kt) and altitude (ft) as the panel shows them."""
    if not world.airframe.standby_attitude_fitted:
        return was
    m = world.maths
    fed = volts >= STANDBY_VOLTS
    switched = controls.standby_instrument > 0.5
    least, most = STANDBY_BATTERY_S
    lasts = least + (most - least) * mine.standby_battery_u
    used = m.where(fed, 1.0 / STANDBY_CHARGES_S, m.where(switched, -1.0 / lasts, 0.0))
    battery = m.clip(was.battery + STEP_S * used, 0.0, 1.0)
    powered = switched & (fed | (battery > 0.0))
    wakes = powered & (was.powered < 0.5)
    test_s = m.where(wakes, m.where((motion.parked > 0.5) & (motion.ground_mps < 0.1), STANDBY_TEST_STANDING_S,
                                    STANDBY_TEST_MOVING_S), m.most(was.test_s - STEP_S, 0.0))

    # In body axes the accelerometers feel load; the airspeed times the rates takes the turn and the pull out of it.
    aided = airspeed_kt > STANDBY_AIRSPEED_KT
    reckoned = airspeed_kt * (1.0 + TAS_PER_FT * altitude_ft) * KNOT / m.most(motion.tas_mps, TAS_MIN_MPS)
    share = m.where(aided, reckoned, 0.0)
    upright = m.cos(motion.path_rad)
    across = share * upright * m.sin(motion.bank_rad)
    down = motion.load_g - share * (motion.load_g - upright * m.cos(motion.bank_rad))
    swung = m.atan(motion.parked * motion.ground_mps * motion.turn_radps / G)
    lean = m.where(wakes, 0.0, was.lean_deg + STEP_S * faults.standby_drift_dpm / 60.0)
    lean = m.clip(lean, -180.0, 180.0)
    felt_roll = wrap_deg(m, (m.atan2(across, down) - swung - motion.bank_rad) * RAD) + lean
    felt_pitch = m.where(aided, 0.0, m.atan(motion.accel_mps2 / G) * RAD)
    apart = wrap_deg(m, felt_roll - was.roll_error_deg)
    wide = (apart > STANDBY_RESIDUAL_DEG) | (apart < -STANDBY_RESIDUAL_DEG)
    lag = m.where(aided, STEP_S / STANDBY_AIDED_S, STEP_S / STANDBY_UNAIDED_S)
    roll = wrap_deg(m, was.roll_error_deg + STEP_S * STANDBY_BIAS_DPS * mine.standby_roll_z + lag * apart)
    pitch = was.pitch_error_deg + STEP_S * STANDBY_BIAS_DPS * mine.standby_pitch_z + lag * (
        felt_pitch - was.pitch_error_deg)
    testing = test_s > 0.0   # at its end the display starts from what the accelerometers feel
    roll, pitch = m.where(testing, felt_roll, roll), m.where(testing, felt_pitch, pitch)
    apart_s = m.where(wide & aided & m.no(testing), was.apart_s + STEP_S, 0.0)
    rolls = motion.bank_rate_radps * RAD
    broke = (apart_s >= STANDBY_RESIDUAL_S) | (rolls > STANDBY_RATE_DPS) | (rolls < -STANDBY_RATE_DPS)
    failed = m.where(powered & m.no(wakes) & (broke | (was.failed > 0.5)), 1.0, 0.0)
    return Standby(roll, pitch, lean, m.where(powered, 1.0, 0.0), battery, test_s, apart_s, failed)


def start(like: Quantity, mine: Instruments, running: Quantity) -> Standby:
    """Return a display that has settled (`running` 1.0), or one that has just been switched on (0.0), as `like`."""
    none = 0.0 * like
    settled = STANDBY_BIAS_DPS * STANDBY_AIDED_S * running
    return Standby(none + settled * mine.standby_roll_z, none + settled * mine.standby_pitch_z, none, none + 1.0,
                   none + 1.0, none + STANDBY_TEST_STANDING_S * (1.0 - running), none, none)


def testing(world: World, standby: Standby) -> Quantity:
    """Return 1.0 during the self-test, when no attitude is shown."""
    if not world.airframe.standby_attitude_fitted:
        return 0.0 * standby.powered
    return world.maths.where((standby.powered > 0.5) & (standby.test_s > 0.0), 1.0, 0.0)


def flag(world: World, standby: Standby, faults: Faults) -> Quantity:
    """Return 1.0 when there is no attitude to be read: crossed out, in its self-test, dark, or none fitted."""
    if not world.airframe.standby_attitude_fitted:
        return 0.0 * standby.powered + 1.0
    out = (standby.powered < 0.5) | (standby.test_s > 0.0) | (standby.failed > 0.5) | (faults.standby_attitude < 0.5)
    return world.maths.where(out, 1.0, 0.0)


def shown_deg(world: World, standby: Standby, motion: Motion, pitch_deg: Quantity,
              flagged: Quantity) -> tuple[Quantity, Quantity]:
    """Return bank and pitch as shown; nothing, as zeros, behind the flag."""
    if not world.airframe.standby_attitude_fitted:
        return 0.0 * pitch_deg, 0.0 * pitch_deg
    m = world.maths
    seen = flagged < 0.5
    bank = wrap_deg(m, motion.bank_rad * RAD + standby.roll_error_deg)
    return m.where(seen, bank, 0.0), m.where(seen, pitch_deg + standby.pitch_error_deg, 0.0)
