"""How long simulated pilots take: seconds of flight a second, and what thousands of them would take on two cores.

    python tests/bench/bench_pilots.py [--pilots 200] [--scenario cruise-to-tallowby] [--processes 2]

Processor time, so that other work on the machine does not count; the same flights one by one through `drill.flight`
beside it. Wanted: ten thousand pilots of a shipped scenario in a few minutes on two cores.
"""

from __future__ import annotations

import argparse
import os
import time

from drill.check.pilots.evident import evident
from drill.check.pilots.flown import Crowd
from drill.check.pilots.graded import marked
from drill.check.pilots.many import simulate
from drill.check.pilots.phrases import Phrases
from drill.check.pilots.pilot import SimulatedPilot
from drill.check.pilots.skills import SKILLS
from drill.flight.flight import Flight
from drill.scenario import load
from drill.scenario.shelf import shipped

ALONE = 2                # flights flown again by themselves, for comparison
WANTED = 10_000


def used_s() -> float:
    """Processor time so far, that of ended children as well."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def alone(name: str) -> float:
    """Seconds of flight that a second of one core flies one by one, the same orders given again."""
    scenario = marked(load(shipped()[name]))
    phrases = Phrases(scenario)
    times: dict[str, float | None] = {plan.name: 40.0 for plan in scenario.failures}
    crowd = Crowd(scenario, [1] * ALONE, [SimulatedPilot(phrases, skill, 1, times) for skill in SKILLS[1:1 + ALONE]])
    crowd.fly()
    began, seconds = time.process_time(), 0.0
    for kept in crowd.kept:
        flight, _ = Flight.start(scenario, 1, by="simulated")
        orders = dict(kept.orders)
        while flight.ended is None:
            for action in orders.get(flight.t_s, ()):
                flight.act(action)
            flight.advance(1.0)
        seconds += flight.t_s
    return seconds / (time.process_time() - began)


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--pilots", type=int, default=200)
    asked.add_argument("--scenario", default="")
    asked.add_argument("--processes", type=int, default=2)
    given = asked.parse_args()
    for name in [given.scenario] if given.scenario else shipped():
        scenario = load(shipped()[name])
        began = used_s()
        times = evident(scenario)
        known_s, began, clock = used_s() - began, used_s(), time.perf_counter()
        result = simulate(scenario, given.pilots, processes=given.processes, times=times)
        took_s, wall_s = used_s() - began, time.perf_counter() - clock
        each_s = took_s / given.pilots
        print(f"{name}: {given.pilots} pilots, {result.flown_s:,.0f} s of flight in {took_s:.1f} s of processor time "
              f"({wall_s:.1f} s by the clock, {given.processes} processes)")
        print(f"  {result.flown_s / took_s:,.0f} s of flight a second and core; one by one {alone(name):,.0f}")
        print(f"  {WANTED:,} pilots: {(known_s + WANTED * each_s) / 120.0:.1f} min on two cores that do nothing else "
              f"({known_s:.1f} s of it to learn when the failures can be known)")


if __name__ == "__main__":
    main()
