"""Thousands of simulated pilots on all cores: the same flights whatever the count, the blocks or the processes.

Pilots come in turns of one of each skill, and each turn has a seed of its own: the skills meet the same failures at the
same moments in the same air, and flight i is the same in every run with the same first seed.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import replace
from multiprocessing import get_context

from drill.airplane import kernel
from drill.check.pilots.evident import Evident, evident, of_seed
from drill.check.pilots.flown import Crowd
from drill.check.pilots.graded import Who, edges, line_of, marked, outcome
from drill.check.pilots.phrases import Phrases
from drill.check.pilots.pilot import SimulatedPilot
from drill.check.pilots.results import FlightOutcome, Result, Setup, joined
from drill.check.pilots.skills import SKILLS, Skill
from drill.scenario.model import Scenario

BLOCK = 1_000
"""Flights side by side in one process: enough that an airplane costs little, few enough for the memory."""
_LEAST = 40                    # fewer are flown sooner than another process is there
MOST = 1_000_000
Told = Callable[[int, int], None]
"""Is told how many flights have been flown, and of how many."""


def processors() -> int:
    """Return how many processes can run at once."""
    try:
        return max(1, len(os.sched_getaffinity(0)))
    except AttributeError:
        return max(1, os.cpu_count() or 1)


def setup_of(scenario: Scenario, count: int, first_seed: int = 1, skills: Sequence[Skill] = SKILLS) -> Setup:
    """Return what is flown by `count` pilots."""
    return Setup(
        scenario=scenario.name, pilots=count, first_seed=first_seed, skills=tuple(each.name for each in skills),
        items=tuple(item.name for item in scenario.grade_sheet),
        endings=tuple(ending.name for ending in scenario.endings), edges=tuple(edges(scenario).values()),
    )


def simulate(scenario: Scenario, count: int, *, first_seed: int = 1, processes: int | None = None,
             block: int = BLOCK, skills: Sequence[Skill] = SKILLS, told: Told | None = None,
             times: Evident | None = None) -> Result:
    """Return what `count` simulated pilots make of `scenario`; ValueError for less than one of each skill.

    `times`: when the failures can be known, as of `evident`, which is asked where it is not given.
    """
    if not len(skills) <= count <= MOST:
        raise ValueError(f"there must be {len(skills)} pilots at least, one of each skill, and {MOST:,} at most")
    began = time.perf_counter()
    setup = setup_of(scenario, count, first_seed, skills)
    times = evident(scenario) if times is None else times
    workers = processors() if processes is None else max(1, processes)
    parts = _parts(count, min(block, max(_LEAST, -(-count // (2 * workers)))))
    found: list[Result] = []
    if workers == 1 or len(parts) == 1:
        for part in parts:
            found.append(fly_block(scenario, setup, part, times, skills))
            _tell(told, found, count)
    else:
        # Spawned, for a forked process would inherit the threads of whoever asks.
        with ProcessPoolExecutor(min(workers, len(parts)), mp_context=get_context("spawn")) as pool:
            for done in as_completed([pool.submit(fly_block, scenario, setup, part, times, skills) for part in parts]):
                found.append(done.result())
                _tell(told, found, count)
    return replace(joined(found), took_s=time.perf_counter() - began, processes=min(workers, len(parts)))


def _parts(count: int, size: int) -> list[range]:
    return [range(start, min(count, start + size)) for start in range(0, count, size)]


def _tell(told: Told | None, found: Sequence[Result], count: int) -> None:
    if told is not None:
        told(sum(len(each.flights) for each in found), count)


def fly_block(scenario: Scenario, setup: Setup, numbers: range, times: Evident,
              skills: Sequence[Skill] = SKILLS) -> Result:
    """Return what the pilots of these numbers make of `scenario`."""
    flies = marked(scenario)
    phrases = Phrases(flies)
    seeds = [setup.first_seed + number // len(skills) for number in numbers]
    pilots = [SimulatedPilot(phrases, skills[number % len(skills)], seed, of_seed(times, seed))
              for number, seed in zip(numbers, seeds, strict=True)]
    crowd = Crowd(flies, seeds, pilots)
    crowd.fly()
    return Result(setup, tuple(_outcomes(flies, crowd, numbers, times)), compiled=kernel.available())


def _outcomes(scenario: Scenario, crowd: Crowd, numbers: range, times: Evident) -> Iterator[FlightOutcome]:
    for place, (truths, shown) in enumerate(crowd.sheet.columns()):
        pilot, kept, seed = crowd.pilots[place], crowd.kept[place], crowd.seeds[place]
        who = Who(numbers[place], seed, pilot.skill.name, min(pilot.known.values(), default=None))
        yield outcome(scenario, kept, line_of(scenario, kept, truths, shown), who, of_seed(times, seed))
