"""The hands: they fly by what is shown, never by what is true.

Each instrument is looked at now and then and its reading, with an honest error, is held until the next look; that is
all the reaction time there is. Full panel is bank and pitch by the attitude indicator and heading by the heading
indicator; partial panel is bank by the turn coordinator, heading by compass and clock, pitch by altimeter and
airspeed. A standby attitude display serves as the attitude indicator does. Any mixture of references is allowed.
"""

from __future__ import annotations

from drill.airplane.airframe import Airframe
from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import ATTENTION_LEAST, DOUBTED_SPEED, TAS_MIN_MPS
from drill.airplane.controls import RECOVER, Controls
from drill.airplane.looking import judged_tas_mps, look, refer, stands_still
from drill.airplane.memory import Hands, Shown, start
from drill.airplane.pitching import asked_fpm, raise_nose
from drill.airplane.power import set_power
from drill.airplane.steering import aim, reckon, roll_dps, turn_bank_deg

__all__ = ["Hands", "Shown", "fly", "start", "turn_bank_deg"]


def fly(m: Maths, frame: Airframe, controls: Controls, heading_by: Quantity, shown: Shown, was: Hands,
        errors: tuple[Quantity, ...], scans: tuple[Quantity, ...]) -> tuple[Hands, Quantity]:
    """Return the hands one step later, and the degrees that they have still to turn, right positive.

    `heading_by` is the heading reference, the orders' own unless an autopilot has another; `errors` are nine standard
    normal draws, `scans` three uniform ones.
    """
    attention = m.clip(controls.attention, ATTENTION_LEAST, 1.0)
    by = refer(m, controls, shown, was)
    looks, tas = look(m, attention, by, shown, was, errors, scans)
    reckoning = reckon(m, by.needle_in_sight, looks, was)
    turn, error = aim(m, controls, heading_by, looks, reckoning.reckoned_deg, was)
    roll = roll_dps(m, controls, by.bank_by_attitude, attention, looks, tas, reckoning.needle_bias_dps, turn.turning,
                    error, was)
    # With needles dead still, or an airspeed that nothing flies at, real pilots hold known pitch and power.
    still = stands_still(looks)
    recovers = controls.lateral == RECOVER
    doubted = (still | (looks.airspeed_kt < DOUBTED_SPEED * frame.stall_kt)) & m.no(recovers)
    believed = looks._replace(airspeed_kt=m.where(doubted, controls.airspeed_kt, looks.airspeed_kt))
    tas = m.where(doubted, m.most(judged_tas_mps(believed.airspeed_kt, looks.altitude_ft), TAS_MIN_MPS), tas)
    asked = asked_fpm(m, controls, by.pitch_by_horizon, still, believed, tas)
    elevator = raise_nose(m, frame, controls, by.bank_by_attitude, by.pitch_by_horizon, still, believed, tas, asked,
                          was)
    power = set_power(m, controls, shown.rpm, believed, asked, was)
    return Hands(*looks, *reckoning, *turn, roll, *elevator, *power), error
