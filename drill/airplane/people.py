"""Simulated pilots: how long the horizon is believed, what makes them doubt it, and how they fly without it.

A pilot sees what the panel shows and nothing else; in an airplane, not in a simulator that stands still, the seat tells
something too. From the failure on each pilot goes back and forth between two ways of flying:

- **by the horizon**, as always. What other instruments show may contradict it. Each look that meets a contradiction may
  turn the pilot away from it, the sooner the more of the looks meet one, and the more instruments of bank stand against
  the one horizon.
- **by the others**: needle or standby horizon, compass or an independent heading indicator, altimeter and airspeed.
  Until the failure is understood, habit brings the pilot back; and afterwards too, but more seldom. It does not bring
  anybody back to a horizon that the others contradict plainly.

Turning away is not yet understanding: only now and then is it concluded that the horizon has failed. That is the time
of recognition.

Flying without the main horizon takes skill, which differs between people: it is the share of attention that is left to
fly with, and the compass and the clock take some of that. All equations of flight are those of the model; nothing here
moves the airplane but `Controls`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import Any, NamedTuple

import numpy as np

from drill.airplane.airframe import Airframe
from drill.airplane.arith import Maths, Quantity, wrap_deg
from drill.airplane.constants import BANK_TO_TURN_MOST_DEG, DEG, RAD, STEP_S, TAS_MIN_MPS, G
from drill.airplane.controls import (
    BY_ATTITUDE,
    BY_COMPASS,
    BY_HEADING_INDICATOR,
    BY_HORIZON,
    BY_PRESSURE,
    BY_STANDBY,
    BY_STANDBY_HORIZON,
    BY_TURN,
    Controls,
)
from drill.airplane.draws import draw_uniform
from drill.airplane.looking import judged_tas_mps
from drill.airplane.panel import Panel

THINKS_EVERY = 5               # steps from one thought to the next
_THOUGHT_S = THINKS_EVERY * STEP_S
_CHANGES = 64                  # changes of mind that are drawn for a pilot; a flight has far fewer


@dataclass(frozen=True, slots=True)
class People:
    """What pilots are like. Two numbers are fitted [X], the others chosen [C] with the published figures in sight."""

    concludes: float = 0.25          # fitted to 7.6 min: chance that turning away ends in "it has failed"
    simulator: float = 0.70          # fitted to 10 of 12: skill in a simulator, as a share of that in flight
    notices_s: float = 5.0           # median time to turn away if every look met a contradiction
    notices_spread: float = 0.5      # sigma of its logarithm, from one pilot to the next
    returns_s: float = 15.0          # mean time by the other instruments before habit wins, not yet understood
    relapses_s: float = 60.0         # the same once it is understood
    attention: float = 0.7           # share of the pilot that flies, full panel: alone, with radio and charts
    skill: float = 0.36              # the same without the main horizon, median
    skill_spread: float = 0.3        # sigma of its logarithm
    reckoning: float = 0.42          # share of that left when heading is by compass and clock
    impression_s: float = 8.0        # an impression of what an instrument shows forms over this time
    concludes_trained: float = 1.0   # after practice: every time. Nothing else changes (DOT/FAA/AM-02/19)


PEOPLE = People()

# What is noticed. The practical test's tolerances for altitude, heading and airspeed are 100 ft, 10 deg, 10 kt
# (instrument rating ACS, IR.IV.A.S1); half a standard rate for what turns. [C] where no tolerance is named.
_TURN_NOTED_DPS = 1.5
_BANK_NOTED_DEG = 10.0
_AIRSPEED_NOTED_KT = 10.0
_ALTITUDE_NOTED_FT = 100.0
_LEAVING_NOTED_FPM = 500.0
_LOAD_NOTED_G = 0.25           # felt in the seat, more than the bank shown accounts for


class Conflicts(NamedTuple):
    """How far each source contradicts the attitude indicator, 0 to 1: a half at what is just noted."""

    needle: Quantity
    card: Quantity
    standby: Quantity
    altitude: Quantity
    airspeed: Quantity
    seat: Quantity


class Impressions(NamedTuple):
    """Differences between what the horizon implies and what each source says, as they sink in; in their units."""

    needle_dps: Quantity
    card_dps: Quantity
    standby_deg: Quantity
    leaving_fpm: Quantity
    airspeed_kt: Quantity
    load_g: Quantity


def differences(m: Maths, frame: Airframe, panel: Panel, orders: Controls, card_dps: Quantity,
                load_g: Quantity) -> Impressions:
    """Return what does not go with the horizon shown, at this moment.

    `card_dps` is how fast the heading indicator's card turns, `load_g` what is felt in the seat. A source that the
    airplane has not, or that shows its flag, contradicts nothing.
    """
    banked = m.clip(panel.bank_deg, -BANK_TO_TURN_MOST_DEG, BANK_TO_TURN_MOST_DEG) * DEG
    tas = m.most(judged_tas_mps(panel.airspeed_kt, panel.altitude_ft), TAS_MIN_MPS)
    implied = G * m.tan(banked) / tas * RAD
    none = 0.0 * implied
    off = panel.altitude_ft - orders.altitude_ft
    far = (off > _ALTITUDE_NOTED_FT) | (off < -_ALTITUDE_NOTED_FT)
    leaving = m.where(far, m.most(panel.vertical_speed_fpm * m.sign(off), 0.0), 0.0)
    needle = m.where(panel.turn_flag > 0.5, 0.0, implied - panel.turn_rate_dps)
    apart = m.where(panel.standby_flag > 0.5, 0.0, wrap_deg(m, panel.bank_deg - panel.standby_bank_deg))
    return Impressions(
        needle if frame.turn_coordinator_fitted else none,
        implied - card_dps,
        apart if frame.standby_attitude_fitted else none,
        leaving,
        panel.airspeed_kt - orders.airspeed_kt,
        load_g - 1.0 / m.cos(banked),
    )


def conflicts(felt: Impressions) -> Conflicts:
    """Return how far each source contradicts the horizon; within tolerance hardly, at twice that nearly wholly."""
    def against(x: Quantity, noted: float) -> Quantity:
        square = x / noted * (x / noted)
        return square * square / (1.0 + square * square)

    return Conflicts(
        against(felt.needle_dps, _TURN_NOTED_DPS), against(felt.card_dps, _TURN_NOTED_DPS),
        against(felt.standby_deg, _BANK_NOTED_DEG), against(felt.leaving_fpm, _LEAVING_NOTED_FPM),
        against(felt.airspeed_kt, _AIRSPEED_NOTED_KT), against(felt.load_g, _LOAD_NOTED_G),
    )


def doubt(m: Maths, frame: Airframe, seen: Conflicts, moving: bool) -> Quantity:
    """Return how strongly the horizon is doubted, 0 to 1, by one who flies by it.

    The share of looks that meet a contradiction (what is felt is there without a look), times the vote: instruments of
    bank that stand against it, against its own one.
    """
    of_bank = seen.needle + seen.card + seen.standby
    seat = seen.seat if moving else 0.0
    in_scan = 3.0 + frame.turn_coordinator_fitted + frame.standby_attitude_fitted
    share = m.least((of_bank + seen.altitude + seen.airspeed) / in_scan + seat, 1.0)
    return share * (of_bank + seat) / (1.0 + of_bank + seat)


@dataclass(frozen=True, slots=True)
class Pilots:
    """N pilots, as drawn; arrays of shape (N,), thresholds and beliefs (N, changes of mind)."""

    notices_s: Quantity
    skill: Quantity
    patience: Any                  # unit exponential: how much doubt or habit it takes to change, each time
    belief: Any                    # uniform: below `concludes` it is understood, each time


def pilots(people: People, seeds: range) -> Pilots:
    """Return the pilots of these seeds."""
    def drawn(stream: str, count: int) -> Any:
        return np.array([[draw_uniform(seed, stream, each) for each in range(count)] for seed in seeds])

    def spread(stream: str, sigma: float) -> Any:
        normal = NormalDist()
        return np.exp(sigma * np.array([normal.inv_cdf(min(max(u, 1e-9), 1.0 - 1e-9))
                                        for u in drawn(stream, 1)[:, 0]]))

    return Pilots(
        notices_s=people.notices_s * spread("pilot notices", people.notices_spread),
        skill=people.skill * spread("pilot skill", people.skill_spread),
        patience=-np.log(1.0 - drawn("pilot patience", _CHANGES)),
        belief=drawn("pilot belief", _CHANGES),
    )


@dataclass(frozen=True, slots=True)
class Mind:
    """What N pilots think at one moment; arrays of shape (N,)."""

    by_horizon: Quantity           # 1: flies by the attitude indicator
    knows: Quantity                # 1: has understood that it has failed
    knew_s: Quantity               # when; inf before
    swayed: Quantity               # doubt or habit gathered since the last change of mind
    changes: Any                   # how many there have been; whole numbers
    card_deg: Quantity             # heading indicator a thought ago
    impressions: Impressions


def settled(panel: Panel) -> Mind:
    """Return pilots who fly by a horizon that nothing contradicts."""
    none = 0.0 * panel.bank_deg
    return Mind(none + 1.0, none, none + np.inf, none, np.zeros(none.shape, dtype=np.intp), panel.heading_deg,
                Impressions(*(none for _ in Impressions._fields)))


@dataclass(frozen=True, slots=True)
class Cockpit:
    """Where the pilots sit, and what they have been taught."""

    frame: Airframe
    heading_good: bool             # the heading indicator does not share the failure
    moving: bool                   # an airplane, not a simulator that stands still
    trained: bool = False


def think(m: Maths, people: People, cockpit: Cockpit, who: Pilots, was: Mind, panel: Panel, orders: Controls,
          load_g: Quantity, since_s: float) -> Mind:
    """Return what the pilots think one thought later; `since_s` is the time since the failure, negative before it."""
    turned = wrap_deg(m, panel.heading_deg - was.card_deg) / _THOUGHT_S
    lag = 1.0 - math.exp(-_THOUGHT_S / people.impression_s)
    now = differences(m, cockpit.frame, panel, orders, turned, load_g)
    felt = Impressions(*(held + lag * (new - held) for held, new in zip(was.impressions, now, strict=True)))
    if since_s < 0.0:
        return replace(was, card_deg=panel.heading_deg, impressions=felt)
    seen = conflicts(felt)
    fallen = panel.attitude_tumbled > 0.5   # lies on its stops, for all to see
    doubts = m.where(fallen, 1.0, doubt(m, cockpit.frame, seen, cockpit.moving))
    plainly = m.most(m.most(seen.needle, seen.card), m.most(seen.standby, m.most(seen.altitude, seen.airspeed)))
    habit = (1.0 - plainly) / m.where(was.knows > 0.5, people.relapses_s, people.returns_s)
    horizon = was.by_horizon > 0.5
    swayed = was.swayed + _THOUGHT_S * m.where(horizon, doubts / who.notices_s, m.where(fallen, 0.0, habit))
    row, which = np.arange(who.skill.size), np.minimum(was.changes, _CHANGES - 1)
    changes = swayed >= who.patience[row, which]
    concludes = people.concludes_trained if cockpit.trained else people.concludes
    concluded = (changes & horizon & (who.belief[row, which] < concludes)) | fallen
    understands = concluded & (was.knows < 0.5)
    return Mind(
        by_horizon=m.where(changes, 1.0 - was.by_horizon, was.by_horizon),
        knows=m.where(understands, 1.0, was.knows),
        knew_s=m.where(understands, since_s, was.knew_s),
        swayed=m.where(changes, 0.0, swayed),
        changes=was.changes + changes,
        card_deg=panel.heading_deg,
        impressions=felt,
    )


def flies_by(m: Maths, people: People, cockpit: Cockpit, who: Pilots, mind: Mind, orders: Controls) -> Controls:
    """Return the orders with the references that the pilots fly by now, and the attention they have for it."""
    horizon = mind.by_horizon > 0.5
    standby = cockpit.frame.standby_attitude_fitted
    reckons = m.where(horizon, 0.0, 0.0 if cockpit.heading_good else mind.knows) > 0.5   # who knows, distrusts the card
    left = who.skill * (1.0 if cockpit.moving else people.simulator) * m.where(reckons, people.reckoning, 1.0)
    return replace(
        orders,
        bank_by=m.where(horizon, BY_ATTITUDE, BY_STANDBY if standby else BY_TURN),
        pitch_by=m.where(horizon, BY_HORIZON, BY_STANDBY_HORIZON if standby else BY_PRESSURE),
        heading_by=m.where(reckons, BY_COMPASS, BY_HEADING_INDICATOR),
        attention=m.where(horizon, people.attention, m.clip(left, 0.1, 1.0)),
    )
