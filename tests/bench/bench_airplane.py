"""How fast the airplane flies: `python tests/bench/bench_airplane.py [--flights N] [--minutes M]`.

In one run, on one core and in seconds of its work: one flight; N flights, compiled and as arrays, in calm air, and in
turbulence with orders and failures of their own; the flight-dynamics library jsbsim stepping its own light single for
the same time; the operations of a step, by kind, as bare calls of numpy; and what the model takes of a core while
somebody flies. The figures belong to the machine, ratios less so. The exit code is 0 whatever comes out.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from drill.airplane import (
    ARRAYS,
    STEP_S,
    Air,
    Controls,
    Draws,
    Faults,
    Start,
    State,
    World,
    begin,
    kernel,
    read,
    step,
    truths,
)
from drill.airplane.fleet import fly
from drill.airplane.programs import traced
from drill.airplane.straight import PLAIN_STEPS, Steps
from drill.airplane.tracing import Graph, operations

ONE, MANY, SHARE = "one flight", "many flights", "share of a core in the cockpit, %"
LIMITS = {ONE: 270.0, MANY: 500_000.0, SHARE: 2.0}
"""What is wanted: flight-seconds a second at least, or a share at most."""

THEIR_STEPS_A_SECOND = 120
PIECE = 600   # steps flown at once


def spent(work: Callable[[], object]) -> float:
    """Return the seconds of processor time that `work` takes."""
    start = time.process_time()
    work()
    return time.process_time() - start


def say(name: str, value: float, unit: str, note: str = "") -> None:
    """Print one figure, and whether it is what is wanted."""
    wanted = ""
    if name in LIMITS:
        good = value <= LIMITS[name] if name == SHARE else value >= LIMITS[name]
        wanted = f"  wanted {'at most' if name == SHARE else 'at least'} {LIMITS[name]:,.0f}: {'yes' if good else 'NO'}"
    sys.stdout.write(f"{name:<58} {value:>14,.2f} {unit}{wanted}{note}\n")
    sys.stdout.flush()


def one_flight(minutes: float) -> float:
    """Return flight-seconds a second of a single flight, stepped one by one."""
    world, draws, controls, faults = World(), Draws(1), Controls(), Faults()
    state = begin(world, Start(), draws)
    steps = round(minutes * 60.0 / STEP_S)

    def work() -> None:
        nonlocal state
        for _ in range(steps):
            state = step(world, state, controls, faults, draws)

    return steps * STEP_S / spent(work)


def one_flight_straight(minutes: float) -> float:
    """Return the same of a flight flown on ten steps at a time, as flights are."""
    world, draws, controls, faults = World(), Draws(1), Controls(), Faults()
    steps = Steps(world)
    state = steps.fly(begin(world, Start(), draws), controls, faults, draws, 2 * PLAIN_STEPS, limits=True)
    seconds = round(minutes * 60.0)

    def work() -> None:
        nonlocal state
        for _ in range(seconds):
            state = steps.fly(state, controls, faults, draws, round(1.0 / STEP_S), limits=True)

    return seconds / spent(work)


def cockpit_share(seconds: float = 60.0) -> float:
    """Return the share of a core (%) that a flight takes: ten steps a second, each with panel and truths."""
    world, draws, controls, faults = World(air=Air(turbulence="light")), Draws(1), Controls(), Faults()
    state = begin(world, Start(), draws)

    def work() -> None:
        nonlocal state
        for _ in range(round(seconds / STEP_S)):
            state = step(world, state, controls, faults, draws)
            read(world, state, controls, faults, draws)
            truths(world, state, controls)

    return spent(work) / seconds * 100.0


def own(count: int) -> tuple[Controls, Faults]:
    """Return orders and failures of which each flight has its own: headings, references, pump, blocked static ports."""
    which = np.arange(count)
    by_needle = np.where(which % 3 == 0, 1.0, 0.0)
    return (
        Controls(heading_deg=which % 360.0, bank_by=by_needle, heading_by=by_needle, pitch_by=by_needle,
                 attention=0.5 + 0.5 * (which % 7) / 7.0),
        Faults(pump=np.where(which % 2 == 0, 0.0, 1.0), static_block=np.where(which % 5 == 0, 1.0, 0.0)),
    )


def quiet(_count: int) -> tuple[Controls, Faults]:
    """Return the same order for all, and nothing broken."""
    return Controls(), Faults()


def many_flights(count: int, minutes: float, turbulence: str, orders: Callable[[int], tuple[Controls, Faults]],
                 compiled: bool) -> tuple[float, float]:
    """Return flight-seconds a second of many flights, all draws included, and the seconds until a few had begun."""
    world = World(air=Air(turbulence=turbulence), maths=ARRAYS)
    steps = round(minutes * 60.0 / STEP_S)

    def begun(several: int) -> tuple[State, Controls, Faults, Draws]:
        draws, asked = Draws(range(several)), orders(several)
        return begin(world, Start(heading_deg=asked[0].heading_deg), draws), *asked, draws

    few = begun(8)
    ready = spent(lambda: fly(world, *few, 2, compiled=compiled))
    state, controls, faults, draws = begun(count)

    def work() -> None:
        nonlocal state
        for done in range(0, steps, PIECE):
            state = fly(world, state, controls, faults, draws, min(PIECE, steps - done), compiled=compiled)

    return count * steps * STEP_S / spent(work), ready


def their_stepping(minutes: float) -> float | None:
    """Return flight-seconds a second of jsbsim with its own light single; None where it is not installed."""
    try:
        import jsbsim
    except ModuleNotFoundError:
        return None
    run: Any = jsbsim.FGFDMExec(None)
    run.set_debug_level(0)
    run.load_model("c172p")
    run.set_dt(1.0 / THEIR_STEPS_A_SECOND)
    for name, value in (("h-sl-ft", 5000.0), ("vc-kts", 100.0), ("gamma-deg", 0.0)):
        run[f"ic/{name}"] = value
    run.run_ic()
    run["propulsion/set-running"] = -1
    run["simulation/do_simple_trim"] = 1

    def work() -> None:
        for _ in range(round(minutes * 60.0 * THEIR_STEPS_A_SECOND)):
            run.run()

    return minutes * 60.0 / spent(work)


def bare_calls(count: int, kinds: dict[str, int], rounds: int = 20) -> float:
    """Return flight-seconds a second if a step were these operations on arrays of `count`, and nothing around them."""
    rng = np.random.default_rng(1)
    x, y = rng.uniform(0.1, 0.9, count), rng.uniform(0.1, 0.9, count)
    yes, other, out, truth = x > 0.5, y > 0.5, np.empty(count), np.empty(count, dtype=bool)
    compares = {"lt": np.less, "le": np.less_equal, "gt": np.greater, "ge": np.greater_equal, "eq": np.equal,
                "ne": np.not_equal}
    singles = {"sin": np.sin, "cos": np.cos, "tan": np.tan, "asin": np.arcsin, "atan": np.arctan, "exp": np.exp,
               "log": np.log, "sqrt": np.sqrt, "floor": np.floor, "sign": np.sign}
    pairs = {"add": np.add, "sub": np.subtract, "mul": np.multiply, "div": np.divide, "least": np.minimum,
             "most": np.maximum, "atan2": np.arctan2, "hypot": np.hypot}
    calls: dict[str, Callable[[], object]] = {
        **{name: lambda f=f: f(x, y, out=truth) for name, f in compares.items()},
        **{name: lambda f=f: f(x, out=out) for name, f in singles.items()},
        **{name: lambda f=f: f(x, y, out=out) for name, f in pairs.items()},
        "and": lambda: np.logical_and(yes, other, out=truth), "or": lambda: np.logical_or(yes, other, out=truth),
        "not": lambda: np.logical_not(yes, out=truth), "where": lambda: np.where(yes, x, y),
        "pow": lambda: np.power(x, 2.0 / 7.0, out=out),
    }

    def work() -> None:
        for kind, times in kinds.items():
            for _ in range(times * rounds):
                calls[kind]()

    return count * STEP_S * rounds / spent(work)


def main() -> None:
    """Measure everything and print it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--flights", type=int, default=10_000)
    parser.add_argument("--minutes", type=float, default=10.0)
    asked = parser.parse_args()
    count, minutes, unit = asked.flights, asked.minutes, "flight-s/s"

    one = one_flight(minutes)
    say(ONE, one, unit)
    straight = one_flight_straight(minutes)
    say("the same, written out straight", straight, unit, f"  ({straight / one:.1f} times)")
    say(SHARE, cockpit_share(), "%")
    arrays, _ = many_flights(count, min(minutes, 1.0), "calm", quiet, compiled=False)
    best = arrays
    say(f"{count:,} flights as arrays, calm", arrays, unit)
    if kernel.available():
        best, ready = many_flights(count, minutes, "calm", quiet, compiled=True)
        say(MANY, best, unit, f"  ({count:,}, compiled, calm; ready after {ready:.2f} s)")
        rough, ready = many_flights(count, min(minutes, 4.0), "light", quiet, compiled=True)
        say("the same in light turbulence", rough, unit, f"  (ready after {ready:.2f} s)")
        varied, ready = many_flights(count, min(minutes, 4.0), "light", own, compiled=True)
        say("the same, orders and failures of their own", varied, unit, f"  (ready after {ready:.2f} s)")
    else:
        say(MANY, best, unit, f"  ({count:,}, arrays: llvmlite is not installed)")
    theirs = their_stepping(minutes)
    if theirs:
        say(f"jsbsim, {minutes:g} minutes at {THEIR_STEPS_A_SECOND} Hz", theirs, unit)
        say("one flight / jsbsim", one / theirs, "times")
        say("many flights / jsbsim", best / theirs, "times")
    kinds = operations(traced(World(maths=ARRAYS), (), Graph()).symbols())
    bare = bare_calls(count, kinds)
    say(f"the {sum(kinds.values()):,} operations of a step as bare calls of numpy", bare, unit)
    say("many flights / bare calls", best / bare, "times")
    sys.stdout.write("operations of a step: " + ", ".join(f"{name} {times}" for name, times in kinds.items()) + "\n")


if __name__ == "__main__":
    main()
