"""The magnetic compass: a card that hangs level with apparent gravity in a field that dips, and swings."""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane.arith import FLOATS, Maths, Quantity, compass_deg
from drill.airplane.constants import (
    COMPASS_BANK_RAD,
    COMPASS_DAMPING,
    COMPASS_PERIOD_S,
    COMPASS_SWIRL,
    DEVIATION_DEG,
    DEVIATION_LOAD_DEG,
    RAD,
    STEP_S,
    G,
)
from drill.airplane.controls import Controls
from drill.airplane.faults import Faults
from drill.airplane.motion import Motion
from drill.airplane.world import World

_TURN = 2.0 * math.pi
_NATURAL = _TURN / COMPASS_PERIOD_S


@dataclass(frozen=True, slots=True)
class Compass:
    """The card: its reading without deviation (rad, 0 <= x < 2 pi) and how fast that changes (rad/s)."""

    card_rad: Quantity
    card_radps: Quantity


def steady_rad(maths: Maths, heading_rad: Quantity, bank_rad: Quantity, accel_mps2: Quantity,
               tan_dip: Quantity) -> tuple[Quantity, Quantity]:
    """Return the reading (rad) at which the card would settle, and the strength of the field across it (1: level).

    `bank_rad` of a coordinated turn, right positive; `accel_mps2` along the path; northern hemisphere with a
    positive `tan_dip`. Closed form: the card lies level with apparent gravity.
    """
    lean = maths.atan(accel_mps2 / G)
    across = maths.sin(heading_rad) * maths.cos(bank_rad) - tan_dip * maths.sin(bank_rad)
    ahead = maths.cos(heading_rad) * maths.cos(lean) + tan_dip * maths.sin(lean)
    return maths.atan2(across, ahead), maths.hypot(across, ahead)


def advance(world: World, was: Compass, motion: Motion, faults: Faults) -> Compass:
    """Return the card one step later."""
    m = world.maths
    bank = m.clip(motion.bank_rad, -COMPASS_BANK_RAD, COMPASS_BANK_RAD)
    settles, field = steady_rad(m, motion.heading_rad, bank, motion.accel_mps2, world.tan_dip)
    pull = _NATURAL * _NATURAL * field * m.sin(settles - was.card_rad)
    drag = 2.0 * COMPASS_DAMPING * _NATURAL * (COMPASS_SWIRL * motion.turn_radps - was.card_radps)
    free = 1.0 - faults.compass_stuck
    rate = (was.card_radps + STEP_S * (pull + drag)) * free
    card = was.card_rad + STEP_S * rate
    return Compass(card - _TURN * m.floor(card / _TURN), rate)


def deviation_deg(world: World, card_rad: Quantity, controls: Controls) -> Quantity:
    """Return the deviation (deg) to be added to the card, more of it with a heavy electric load near the compass."""
    m = world.maths
    a, b, c, d, e = DEVIATION_DEG
    loaded = DEVIATION_LOAD_DEG * m.most(controls.landing_light, controls.pitot_heat)
    return (a + b * m.sin(card_rad) + c * m.cos(card_rad) + d * m.sin(2.0 * card_rad) + e * m.cos(2.0 * card_rad)
            + loaded)


def shown_deg(world: World, compass: Compass, controls: Controls, faults: Faults) -> Quantity:
    """Return what the lubber line shows (deg), 0 <= x < 360."""
    shown = compass.card_rad * RAD + deviation_deg(world, compass.card_rad, controls)
    shown = shown + faults.compass_deviation_deg   # what lies by the compass
    return compass_deg(world.maths, shown)


def turn_lead_deg(turn_to_deg: float, bank_deg: float, latitude_deg: float, right: bool) -> float:
    """Return the compass reading (deg) at which to start rolling out of a compass turn, by the handbook's rule.

    Undershoot north by the latitude plus the lead, overshoot south by the latitude less the lead, in proportion to
    the cosine between; the lead is half the bank (FAA-H-8083-15, compass turns).
    """
    before = bank_deg / 2.0 + latitude_deg * math.cos(math.radians(turn_to_deg))
    return float(compass_deg(FLOATS, turn_to_deg - before if right else turn_to_deg + before))


def start(heading_rad: Quantity) -> Compass:
    """Return a card at rest on a heading (rad)."""
    return Compass(heading_rad, 0.0 * heading_rad)
