"""The hands: they fly by what is shown, never by what is true.

Each instrument is looked at now and then and its reading, with an honest error, is held until the next look; that is
all the reaction time there is. Full panel is bank and pitch by the attitude indicator and heading by the heading
indicator; partial panel is bank by the turn coordinator, heading by compass and clock, pitch by altimeter and
airspeed. Any mixture of references is allowed.
"""

from __future__ import annotations

from drill.airplane.airframe import Airframe
from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import ATTENTION_LEAST
from drill.airplane.controls import BY_ATTITUDE, Controls
from drill.airplane.looking import look
from drill.airplane.memory import Hands, Shown, start
from drill.airplane.pitching import asked_fpm, raise_nose
from drill.airplane.power import set_power
from drill.airplane.steering import aim, reckon, roll_dps, turn_bank_deg

__all__ = ["Hands", "Shown", "fly", "start", "turn_bank_deg"]


def fly(m: Maths, frame: Airframe, controls: Controls, shown: Shown, was: Hands, errors: tuple[Quantity, ...],
        scans: tuple[Quantity, ...]) -> Hands:
    """Return the hands one step later; `errors` are nine standard normal draws, `scans` three uniform ones.

    With the turn coordinator out of sight nothing comes from it: the wings go by the attitude indicator, whatever the
    bank reference says, for nothing else shows bank.
    """
    attention = m.clip(controls.attention, ATTENTION_LEAST, 1.0)
    in_sight = controls.turn_coordinator_in_sight
    by_attitude = (controls.bank_by == BY_ATTITUDE) | (in_sight < 0.5)
    looks, tas = look(m, attention, in_sight, shown, was, errors, scans)
    reckoning = reckon(m, in_sight, looks, was)
    turn, error = aim(m, controls, looks, reckoning.reckoned_deg, was)
    roll = roll_dps(m, controls, by_attitude, attention, looks, tas, reckoning.needle_bias_dps, turn.turning, error,
                    was)
    asked = asked_fpm(m, controls, looks, tas)
    elevator = raise_nose(m, frame, controls, by_attitude, looks, tas, asked, was)
    power = set_power(m, controls, looks, asked, was)
    return Hands(*looks, *reckoning, *turn, roll, *elevator, *power)
