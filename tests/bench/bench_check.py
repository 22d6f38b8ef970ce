"""How long it takes to explore stories, beside networkx and spin on the same ones, in one run.

    python tests/bench/bench_check.py [--states 20] [--witnesses]

Three shares: the shipped scenarios (what `drill check` proves of each), the same graph of moves walked by networkx, and
a story of two to the power of `--states` states, explored, walked and given to spin. Seconds are of processor time, so
that other work on the machine does not count; ratios are to our own.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import networkx

sys.path.insert(0, str(Path(__file__).parents[1]))

from check.explore_stories import story
from check.promela_spin import build, run_built

from drill.check.abstract import Program
from drill.check.abstract_building import program_of
from drill.check.explore import Explored, explore
from drill.check.exploring import explored, findings
from drill.check.promela import model_of
from drill.check.witness import Shown
from drill.check.witness_search import witnesses
from drill.scenario import Scenario, load
from drill.scenario.shelf import shipped

SPIN_STATES = 10         # a power of two: spin reads the conditions anew at every step, and is not given more


def flags_story(flags: int) -> Scenario:
    """A phase in which each of so many flags can be raised, in any order, before and after a failure."""
    lines = ["cruise:", "  branches:"]
    lines += [f"    - {{when: {{all: [true altitude > {29_000 - 1_000 * place} ft, not noted f{place}]}}, "
              f"note: f{place}, go: cruise}}" for place in range(flags)]
    every = ", ".join(f"noted f{place}" for place in range(flags))
    lines.append(f"    - {{when: {{all: [{every}, stalled]}}, end: there}}")
    lines.append("    - {when: in cloud, for: 5 s, end: upset}")
    return story("\n".join(lines), failures="pump: {part: vacuum pump, how: shaft shears, at: 4 min}")


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Seconds of processor time that some work takes, that of programs it runs as well, and its result."""
    began, children = time.process_time(), os.times()
    result = work()
    ended = os.times()
    return (time.process_time() - began + ended.children_user - children.children_user
            + ended.children_system - children.children_system), result


def walked(program: Program) -> int:
    """The states that networkx comes to, over the very same moves."""
    moves = [[(move.mask, move.want, ~move.clear, move.put) for move in each if move.end is None]
             for each in program.moves]
    graph = networkx.DiGraph()
    graph.add_nodes_from(program.starts)
    open_ = list(program.starts)
    while open_:          # it wants the graph made before it can walk it
        state = open_.pop()
        for mask, want, keep, put in moves[state >> program.shift]:
            if state & mask == want:
                after = state & keep | put
                if after not in graph:
                    open_.append(after)
                graph.add_edge(state, after)
    return len(set().union(*(networkx.descendants(graph, start) | {start} for start in program.starts)))


def spun(program: Program) -> tuple[float, float, int]:
    """Seconds that spin takes to make its program and to run it, and the states that it stores."""
    with tempfile.TemporaryDirectory() as folder:
        made_s, _ = timed(lambda: build(model_of(program).text, Path(folder), optimized=True))
        run_s, output = timed(lambda: run_built(Path(folder)))
    stored = next(line for line in output.split("\n") if "states, stored" in line)
    return made_s, run_s, int(stored.split()[0])


def checked(name: str) -> tuple[str, float, int]:
    scenario = load(shipped()[name])
    seconds, _ = timed(lambda: findings(scenario))
    return name, seconds, len(explored(scenario).came)


def flown(name: str) -> tuple[str, float, Shown]:
    scenario = load(shipped()[name])
    seconds, shown = timed(lambda: witnesses(scenario))
    return name, seconds, shown


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--states", type=int, default=20, help="a power of two, at least 1")
    asked.add_argument("--witnesses", action="store_true", help="fly the library's witnesses too, on two cores")
    given = asked.parse_args()

    print("shipped scenarios: explored and all findings (wanted: under 1 s each)")
    for name in shipped():
        _, seconds, states = checked(name)
        program = explored(load(shipped()[name])).program
        own_s, _ = timed(lambda program=program: explore(program))
        graph_s, count = timed(lambda program=program: walked(program))
        assert count == states
        print(f"  {name}: {seconds:.2f} s, {states} states; the walk alone {own_s * 1e3:.1f} ms, "
              f"networkx {graph_s / own_s:.1f} times that")

    print("the command `drill check`, from its start to its end")
    for what, wanted in ((["cruise-to-tallowby"], "an ordinary scenario, wanted 1 s"),
                         (list[str](), "the library, wanted 20 s")):
        began = time.perf_counter()
        seconds, _ = timed(lambda what=what: subprocess.run(
            [sys.executable, "-m", "drill", "check", *what], check=True, capture_output=True))
        print(f"  {wanted}: {seconds:.2f} s, {time.perf_counter() - began:.1f} s by the clock")

    if given.witnesses:
        print("the library with witnesses, on two cores (wanted: 20 s)")
        began = time.perf_counter()
        with ProcessPoolExecutor(2) as pool:
            for name, seconds, shown in pool.map(flown, shipped()):
                print(f"  {name}: {seconds:.1f} s, {shown.flown_s:.0f} s of flight, {len(shown.shown)} shown, "
                      f"{len(shown.not_flown)} possible by the story and not flown")
        print(f"  in all {time.perf_counter() - began:.1f} s")

    print(f"a story of {2 ** given.states:,} states (wanted: a million in 10 s)")
    scenario = flags_story(given.states - 1)      # and whether its failure has come
    made_s, program = timed(lambda: program_of(scenario))
    own_s, seen = timed(lambda: explore(program))
    _report(seen, made_s, own_s)
    if shutil.which("spin") and shutil.which("gcc"):
        few = min(given.states, SPIN_STATES)
        few_s, program_few = timed(lambda: program_of(flags_story(few - 1)))
        walk_s, _ = timed(lambda: explore(program_few))
        compiled_s, run_s, stored = spun(program_few)
        print(f"  spin, on {2 ** few:,} states: {run_s:.1f} s and {compiled_s:.1f} s to compile, {stored:,} stored: "
              f"{run_s / (few_s + walk_s):.1f} and {(run_s + compiled_s) / (few_s + walk_s):.1f} times ours")
    else:
        print("  spin is not installed")
    graph_s, count = timed(lambda: walked(program))
    assert count == len(seen.came)
    print(f"  networkx: {graph_s:.1f} s, {graph_s / (made_s + own_s):.1f} times ours")


def _report(seen: Explored, made_s: float, own_s: float) -> None:
    print(f"  ours: {made_s:.2f} s to make the moves, {own_s:.2f} s to explore, {len(seen.came):,} states, "
          f"{'complete' if seen.complete else 'not complete'}")


if __name__ == "__main__":
    main()
