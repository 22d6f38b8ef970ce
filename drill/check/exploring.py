"""What exhaustive exploration proves of a scenario, as problems at their places: `findings(scenario)`.

Whatever is said here to be impossible is so in every flight (see `abstract`). Where the exploration had to stop before
the end nothing is said.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from functools import lru_cache

from drill.check.abstract import Way
from drill.check.abstract_building import CANNOT_HOLD, program_of
from drill.check.consequences import causes
from drill.check.explore import Explored, explore
from drill.check.explore_conditions import condition_findings, cue_findings
from drill.check.explore_endings import ending_findings
from drill.check.explore_items import item_findings
from drill.check.explore_rules import not_told
from drill.check.explore_words import named_at
from drill.scenario.model import LIMIT_ENDINGS, End, Fail, Go, Scenario
from drill.scenario.problems import Place, Problem, Subject
from drill.scenario.story import effects_of

UNREACHABLE = "what it asks for cannot be so in any flight that comes to the phase"


@lru_cache(maxsize=8)
def explored(scenario: Scenario) -> Explored:
    """Return everything that the story of a scenario can come to.

    What is found never to be taken narrows when a phase can begin and end, so it is looked at again until that helps
    no more.
    """
    dead: frozenset[tuple[str, int]] = frozenset()
    while True:
        seen = explore(program_of(scenario, dead))
        taken = {seen.program.ways[each] for each in seen.taken}
        never = frozenset((phase.name, number) for phase in scenario.phases for number in range(len(phase.branches))
                          if Way("branch", phase.name, number=number) not in taken)
        if not seen.complete or never <= dead:
            return seen
        dead |= never


def findings(scenario: Scenario, told: Collection[Problem] = ()) -> list[Problem]:
    """Return what no flight of the scenario can come to, and where none can get out again, in the author's order.

    `told`: what other passes have found already; what they say of a part is not said again. The kinds are those of
    `explore_rules.EXPLORED`, all of them warnings.
    """
    seen = explored(scenario)
    if not seen.complete:
        return [_too_large(scenario, seen)]
    found = [
        *_phases(seen), *_branches(seen), *_endings(seen), *_failures(seen), *cue_findings(seen),
        *condition_findings(seen), *ending_findings(seen), *item_findings(seen),
    ]
    return causes(scenario, not_told(scenario, sorted(set(found)), told), told)


def warning(place: Place, rule: str, wrong: str, allowed: str, remedy: str, *about: Subject) -> Problem:
    """Return a problem that does not keep a scenario from being flown."""
    return Problem(place, rule, wrong, allowed, remedy, "warning", frozenset(about))


def _too_large(scenario: Scenario, seen: Explored) -> Problem:
    return warning(scenario.phases[0].place, "story-too-large",
                   f"the story has more than {len(seen.came):,} states, and not all were looked at", "",
                   "ask for fewer acts and flags in its conditions; nothing is said about what is never reached")


def _graph(scenario: Scenario) -> frozenset[str]:
    """Return the phases that branches lead to, whatever their conditions; of others the loader has told."""
    reached, open_ = {scenario.start.phase}, [scenario.start.phase]
    while open_:
        for branch in scenario.phase(open_.pop()).branches:
            last = branch.effects[-1]
            if isinstance(last, Go) and last.phase not in reached:
                reached.add(last.phase)
                open_.append(last.phase)
    return frozenset(reached)


def reached_phases(seen: Explored) -> frozenset[str]:
    """Return the phases that some flight may come to."""
    return frozenset(seen.program.phase_of(state) for state in seen.came)


def _phases(seen: Explored) -> Iterator[Problem]:
    scenario = seen.program.scenario
    reached, led_to = reached_phases(seen), _graph(scenario)
    for phase in scenario.phases:
        if phase.name in led_to and phase.name not in reached:
            lines = [branch.place.line for each in scenario.phases for branch in each.branches
                     if branch.effects[-1] == Go(phase.name)]
            yield warning(named_at(scenario, phase.name, phase.place), "phase-out-of-reach",
                          f"no flight can come to phase `{phase.name}`",
                          f"{_lines(lines)} to it, and can never be taken",
                          "change the condition of a branch that leads to it, or delete the phase",
                          ("phase", phase.name))


def _lines(lines: list[int]) -> str:
    if len(lines) == 1:
        return f"the branch in line {lines[0]} leads"
    return f"the branches in lines {', '.join(map(str, lines[:-1]))} and {lines[-1]} lead"


def _branches(seen: Explored) -> Iterator[Problem]:
    program, reached = seen.program, reached_phases(seen)
    taken = {program.ways[each] for each in seen.taken}
    for phase in program.scenario.phases:
        if phase.name not in reached:
            continue
        for number, branch in enumerate(phase.branches):
            if Way("branch", phase.name, number=number) in taken:
                continue
            why = program.lost.get((phase.name, number), UNREACHABLE)
            last = branch.effects[-1]
            to = f"to phase `{last.phase}`" if isinstance(last, Go) else (
                f"to the ending `{last.ending}`" if isinstance(last, End) else "")
            remedy = ("correct its condition, or delete the branch" if why == CANNOT_HOLD else
                      "put it before the other, give it a shorter `for`, change its condition, or delete it")
            rule = "branch-never-wins" if why not in (CANNOT_HOLD, UNREACHABLE) else "branch-never-taken"
            yield warning(branch.place, rule, f"this branch {to} of phase `{phase.name}` is never taken", why, remedy)


def _endings(seen: Explored) -> Iterator[Problem]:
    scenario = seen.program.scenario
    used = {each.ending for each in effects_of(scenario) if isinstance(each, End)}
    for ending in scenario.endings:
        if ending.name in used and ending.name not in seen.ended and ending.name not in LIMIT_ENDINGS:
            yield warning(named_at(scenario, ending.name, ending.place), "ending-out-of-reach",
                          f"no flight can come to the ending `{ending.name}`",
                          "every branch that ends in it can never be taken",
                          "change the condition of such a branch, or delete the ending", ("ending", ending.name))


def _failures(seen: Explored) -> Iterator[Problem]:
    program, scenario = seen.program, seen.program.scenario
    by_story = {each.failure for each in effects_of(scenario) if isinstance(each, Fail)}
    states: Iterable[int] = (*seen.came, *seen.finals)
    for plan in scenario.failures:
        bit = program.bits[("begun", plan.name)]
        late = plan.at_s is not None and plan.at_s > scenario.time_limit_s and plan.name not in by_story
        unseeded = plan.name not in by_story and scenario.nothing_fails >= 1.0
        waits = plan.at_s is None and plan.name not in by_story
        if waits or late or unseeded or any(state & bit for state in states):
            continue          # what nothing begins, and what is due after the time limit, the loader has told
        why = ("what would begin it never happens" if plan.name in by_story else
               "the flight is always over before it is due")
        yield warning(named_at(scenario, plan.name, plan.place), "failure-out-of-reach",
                      f"failure `{plan.name}` begins in no flight", why,
                      "let it begin earlier, or change what keeps the story from it", ("failure", plan.name))
