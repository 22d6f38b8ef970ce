"""The published studies of pilots who lost their horizon in cloud, flown by simulated pilots and held against them.

Sources: DOT/FAA/AM-02/19 (2002, abstract), 41 instrument-rated pilots in airplanes; and a paper of the FAA's Civil
Aerospace Medical Institute on the loss of attitude information in instrument conditions (abstract; human factors
proceedings, 2004 from memory), 12 pilots a configuration in simulators. Only the abstracts were read. They do not give
how many pilots were in each group of the flight study; the groups are taken as equal.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from drill.airplane import fleet
from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import ARRAYS
from drill.airplane.constants import STEP_S
from drill.airplane.controls import HOLD_HEADING, TURN_TO_HEADING, Controls
from drill.airplane.draws import Draws, draw_uniform
from drill.airplane.failures import CATALOGUE, Active, faults_at
from drill.airplane.model import Start, begin, read, truths
from drill.airplane.people import PEOPLE, THINKS_EVERY, Cockpit, People, flies_by, pilots, settled, think
from drill.airplane.world import World

STEADY_SINGLE = Airframe()
"""The Larkspur: a fixed-gear single, whose bank takes 25 s to double hands off."""

SLIPPERY_SINGLE = Airframe(
    mass_kg=1450.0, wing_area_m2=16.2, drag_zero_lift=0.020, power_kw=194.0, stall_landing_kt=54.0, stall_kt=60.0,
    flaps_most_kt=110.0, maneuvering_kt=117.0, cruise_most_kt=165.0, never_exceed_kt=197.0, dive_kt=219.0,
    rpm_static=2500.0, fuel_full_gph=22.0, spiral_doubles_s=13.0,
)
"""A retractable single of 260 hp, gear up: typical of the class, invented. [C] Two thirds of the fixed-gear drag."""

PUMP = ("vacuum pump", "shaft shears")
HORIZON = ("attitude indicator", "rotor stops")

# Control is lost beyond the bank and pitch that 14 CFR 91.307(c) bounds without parachutes, or beyond the never-exceed
# speed. The limits at which the studies' evaluators took over are not known. [C]
LOST_BANK_DEG = 60.0
LOST_PITCH_DEG = 30.0
FAILS_S = 60.0
FLIES_S = 20 * 60.0            # after the failure
ALTITUDE_FT = 6000.0
LEG_S = 120.0                  # a new heading each leg, a new altitude every third
_VARIES = frozenset({"faults.pump", "faults.attitude_stopped"} | {f"controls.{each}" for each in (
    "bank_by", "pitch_by", "heading_by", "lateral", "heading_deg", "altitude_ft", "airspeed_kt", "attention")})
_LEGS = int((FAILS_S + FLIES_S) // LEG_S) + 1


@dataclass(frozen=True, slots=True)
class Group:
    """Pilots who met the same failure in the same cockpit."""

    name: str
    cockpit: Cockpit
    fails: tuple[str, str]         # (part, how) of the catalogue
    airspeed_kt: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of N pilots; minutes since the failure, inf where it never happened. Arrays of shape (N,)."""

    lost_min: Any
    knew_min: Any                  # recognition; inf when control was lost first
    in_bank: Any                   # whether bank was the first limit that was passed; else pitch or speed

    @property
    def lost(self) -> float:
        """Share that lost control."""
        return float(np.isfinite(self.lost_min).mean())

    @property
    def recognized_min(self) -> float:
        """Mean time to recognize, of those who did."""
        return float(self.knew_min[np.isfinite(self.knew_min)].mean())


def _simulator(*, heading: bool = False, needle: bool = True, standby: bool = False) -> Cockpit:
    frame = replace(SLIPPERY_SINGLE, heading_drive="electric" if heading else "vacuum", turn_coordinator_fitted=needle,
                    standby_attitude_fitted=standby)
    return Cockpit(frame, heading_good=heading, moving=False)


GROUPS = {group.name: group for group in (
    Group("fixed gear", Cockpit(STEADY_SINGLE, heading_good=False, moving=True), PUMP, 110.0),
    Group("fixed gear, trained", Cockpit(STEADY_SINGLE, heading_good=False, moving=True, trained=True), PUMP, 110.0),
    Group("retractable, attitude only", Cockpit(SLIPPERY_SINGLE, heading_good=True, moving=True), HORIZON, 145.0),
    Group("retractable, attitude and heading", Cockpit(SLIPPERY_SINGLE, heading_good=False, moving=True), PUMP, 145.0),
    Group("simulator, no backup", _simulator(), PUMP, 145.0),
    Group("simulator, standby for turn coordinator", _simulator(needle=False, standby=True), PUMP, 145.0),
    Group("simulator, electric heading", _simulator(heading=True), PUMP, 145.0),
    Group("simulator, electric heading and standby", _simulator(heading=True, standby=True), PUMP, 145.0),
)}


def fly(group: Group, seeds: range, people: People = PEOPLE) -> Outcome:
    """Return what becomes of the pilots of these seeds: light turbulence, vectors and new altitudes, 20 minutes."""
    world = World(group.cockpit.frame, Air(turbulence="light"), ARRAYS)
    m, draws, who = world.maths, Draws(seeds), pilots(people, seeds)
    headings, altitudes = _clearances(seeds)
    state = begin(world, Start(altitude_ft=ALTITUDE_FT, airspeed_kt=group.airspeed_kt), draws)
    plain = Controls(airspeed_kt=group.airspeed_kt, altitude_ft=ALTITUDE_FT, attention=people.attention)
    controls, faults = plain, faults_at(())
    mind = settled(read(world, state, controls, faults, draws))
    lost_s, in_bank = np.full(len(seeds), np.inf), np.zeros(len(seeds), dtype=bool)
    for count in range(0, round((FAILS_S + FLIES_S) / STEP_S), THINKS_EVERY):
        since_s = count * STEP_S - FAILS_S
        faults = faults_at((Active(CATALOGUE[group.fails], since_s),))
        leg = int(count * STEP_S // LEG_S)
        orders = replace(plain, altitude_ft=altitudes[leg], heading_deg=headings[leg],
                         lateral=TURN_TO_HEADING if leg else HOLD_HEADING)
        panel, truth = read(world, state, controls, faults, draws), truths(world, state, controls)
        steep = abs(truth.bank_deg) > LOST_BANK_DEG
        gone = (steep | (abs(truth.pitch_deg) > LOST_PITCH_DEG) | (truth.beyond_never_exceed > 0.5)
                | (truth.broken > 0.5) | (truth.on_ground > 0.5)) & np.isinf(lost_s)
        lost_s, in_bank = np.where(gone, since_s, lost_s), np.where(gone, steep, in_bank)
        mind = think(m, people, group.cockpit, who, mind, panel, orders, truth.load_factor_g, since_s)
        controls = flies_by(m, people, group.cockpit, who, mind, orders)
        state = fleet.fly(world, state, controls, faults, draws, THINKS_EVERY, _VARIES)
    return Outcome(lost_s / 60.0, np.where(mind.knew_s < lost_s, mind.knew_s, np.inf) / 60.0, in_bank)


def _clearances(seeds: range) -> tuple[Any, Any]:
    """Return headings and altitudes, (legs, N) and (legs,): turns of 30 to 90 deg, a thousand feet up or down."""
    drawn = np.array([[draw_uniform(seed, "vectors", leg) for leg in range(1, _LEGS)] for seed in seeds]).T
    turns = np.where(drawn < 0.5, -1.0, 1.0) * (30.0 + 60.0 * (2.0 * drawn % 1.0))
    headings = np.vstack([np.zeros(len(seeds)), np.cumsum(turns, axis=0)]) % 360.0
    altitudes = ALTITUDE_FT + 1000.0 * (np.arange(_LEGS) // 3 % 2)
    return headings, altitudes


@dataclass(frozen=True, slots=True)
class Published:
    """A published count of those who lost control, and the groups that stand for it, each with its share."""

    name: str
    groups: tuple[tuple[str, float], ...]
    lost: int
    of: int
    source: str


FLIGHT_STUDY = "DOT/FAA/AM-02/19"
SIMULATOR_STUDY = "FAA/CAMI paper, 2004"

COUNTS = (
    Published("fixed gear, flight", (("fixed gear", 2.0 / 3.0), ("fixed gear, trained", 1.0 / 3.0)), 0, 25,
              FLIGHT_STUDY),
    Published("retractable, flight", (("retractable, attitude only", 0.5), ("retractable, attitude and heading", 0.5)),
              4, 16, FLIGHT_STUDY),
    Published("no backup", (("simulator, no backup", 1.0),), 10, 12, SIMULATOR_STUDY),
    Published("standby horizon for turn coordinator", (("simulator, standby for turn coordinator", 1.0),), 4, 12,
              SIMULATOR_STUDY),
    Published("electric heading", (("simulator, electric heading", 1.0),), 3, 12, SIMULATOR_STUDY),
    Published("electric heading and standby horizon", (("simulator, electric heading and standby", 1.0),), 1, 12,
              SIMULATOR_STUDY),
)

RECOGNIZED_MIN = {"fixed gear": 7.6, "fixed gear, trained": 4.9}
"""Mean time to recognize, minutes, by group (DOT/FAA/AM-02/19)."""


def share_lost(published: Published, outcomes: dict[str, Outcome]) -> float:
    """Return the simulated share for a published count."""
    return sum(share * outcomes[name].lost for name, share in published.groups)


def exact_interval(lost: int, of: int, outside: float = 0.05) -> tuple[float, float]:
    """Return the exact (Clopper-Pearson) interval of a share of which `lost` out of `of` were seen."""
    def at_most(k: int, p: float) -> float:
        return sum(math.comb(of, i) * p**i * (1.0 - p) ** (of - i) for i in range(k + 1))

    def where(falls: Any) -> float:
        low, high = 0.0, 1.0
        for _ in range(60):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if falls(middle) > 0.5 * outside else (low, middle)
        return 0.5 * (low + high)

    low = 0.0 if lost == 0 else 1.0 - where(lambda q: 1.0 - at_most(lost - 1, 1.0 - q))
    high = 1.0 if lost == of else where(lambda p: at_most(lost, p))
    return low, high


def misses(outcomes: dict[str, Outcome]) -> list[str]:
    """Return what is not as published, in words: a share outside its exact interval, an order, a time 20 % off."""
    wrong = []
    shares = [share_lost(each, outcomes) for each in COUNTS]
    for each, share in zip(COUNTS, shares, strict=True):
        low, high = exact_interval(each.lost, each.of)
        if not low <= share <= high:
            wrong.append(f"{each.name}: {share:.3f} lost, published {each.lost} of {each.of}, {low:.3f} to {high:.3f}")
    in_simulator = [(each.name, share) for each, share in zip(COUNTS, shares, strict=True)
                    if each.source is SIMULATOR_STUDY]
    for (worse, more), (better, less) in pairwise(in_simulator):
        if more <= less:
            wrong.append(f"{worse}: {more:.3f} lost, not more than {better}: {less:.3f}")
    for name, minutes in RECOGNIZED_MIN.items():
        if abs(outcomes[name].recognized_min - minutes) > 0.2 * minutes:
            wrong.append(f"{name}: recognized after {outcomes[name].recognized_min:.1f} min, published {minutes} min")
    return wrong


def table(outcomes: dict[str, Outcome]) -> str:
    """Return the published figures and the simulated pilots' beside them, as lines of text."""
    count = next(iter(outcomes.values())).lost_min.size
    lines = [f"Lost control, {count} simulated pilots a group",
             f"{'':38}{'published':>12}{'exact 95 %':>14}{'simulated':>11}  within"]
    for each in COUNTS:
        low, high = exact_interval(each.lost, each.of)
        got = share_lost(each, outcomes)
        lines.append(f"{each.name:38}{f'{each.lost} of {each.of}':>12}{f'{100 * low:.0f} to {100 * high:.0f} %':>14}"
                     f"{f'{100 * got:.0f} %':>11}  {'yes' if low <= got <= high else 'no'}")
    lines += ["", "Mean time to recognize, minutes",
              f"{'':38}{'published':>12}{'within 20 %':>14}{'simulated':>11}  within"]
    for name, minutes in RECOGNIZED_MIN.items():
        low, high = 0.8 * minutes, 1.2 * minutes
        got = outcomes[name].recognized_min
        lines.append(f"{name:38}{minutes:>12.1f}{f'{low:.1f} to {high:.1f}':>14}{got:>11.1f}  "
                     f"{'yes' if low <= got <= high else 'no'}")
    lines += ["", "By group: lost control, of these in bank and before recognizing; recognized after (10, 50, 90 %)"]
    for name, outcome in outcomes.items():
        lost, knew = np.isfinite(outcome.lost_min), np.isfinite(outcome.knew_min)
        early, middle, late = np.percentile(outcome.knew_min[knew], [10.0, 50.0, 90.0])
        lines.append(f"{name:44}{100 * lost.mean():>5.0f} %{100 * outcome.in_bank.mean():>5.0f} %"
                     f"{100 * (lost & ~knew).mean():>5.0f} %"
                     f"{early:>8.1f}{middle:>6.1f}{late:>6.1f} min")
    wrong = misses(outcomes)
    return "\n".join([*lines, "", *(["Not as published:", *wrong] if wrong else ["All as published, and in order."])])


def fly_all(count: int, names: Sequence[str] = (), people: People = PEOPLE, processes: int = 2) -> dict[str, Outcome]:
    """Return the outcome of each group, or of those named, with `count` pilots in each."""
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    asked = tuple(names) or tuple(GROUPS)
    seeds = range(count)
    if processes == 1:
        return {name: fly(GROUPS[name], seeds, people) for name in asked}
    # Spawned, for a forked process would inherit the threads of whoever asks.
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        flights = [(name, pool.submit(fly, GROUPS[name], seeds, people)) for name in asked]
        return {name: flight.result() for name, flight in flights}
