"""Where a story ends, and where it does not: dead ends, loops without exit, endings that nobody can avoid."""

from __future__ import annotations

from collections.abc import Iterator

from drill.check.explore import Explored
from drill.check.explore_words import named_at
from drill.scenario.model import LIMIT_ENDINGS, Go, Scenario
from drill.scenario.problems import Problem

GOOD = ("safe", "landed", "stayed on the ground")
"""Outcomes that a flight can be content with."""


def ending_findings(seen: Explored) -> Iterator[Problem]:
    """Yield phases that no ending but a limit can be reached from, and endings that leave no choice."""
    scenario = seen.program.scenario
    stuck = stuck_phases(seen)
    for phase in scenario.phases:
        if phase.name not in stuck:
            continue
        place = named_at(scenario, phase.name, phase.place)
        loop = _loop(scenario, phase.name, stuck)
        rest = "only the time limit, break-up or the ground ends the flight"
        if loop:
            yield Problem(place, "loop-without-exit",
                          f"from phase `{phase.name}` no ending can be reached: the story goes round through {loop}",
                          rest, "add a branch out of the loop that can be taken", "warning")
        else:
            yield Problem(place, "dead-end", f"from phase `{phase.name}` no ending can be reached", rest,
                          "add a branch that can be taken and leads to an ending", "warning")
    if not stuck & {scenario.start.phase}:
        yield from _no_choice(seen)


def _no_choice(seen: Explored) -> Iterator[Problem]:
    scenario = seen.program.scenario
    own = [each.name for each in scenario.endings
           if each.name in seen.ended and each.name not in ("break-up", "ground")]
    good = [name for name in own if _outcome(scenario, name) in GOOD]
    if len(own) == 1 and own[0] not in LIMIT_ENDINGS:
        ending = scenario.ending(own[0])
        yield Problem(named_at(scenario, ending.name, ending.place), "ending-nobody-avoids",
                      f"every flight that stays whole ends with `{ending.name}`, whatever the pilot does",
                      "no other ending can be reached, and the time limit neither",
                      "let another ending be reached by what the pilot does or leaves undone", "warning")
    elif not good and own:
        first = scenario.phase(scenario.start.phase)
        yield Problem(named_at(scenario, first.name, first.place), "no-good-ending",
                      "no flight can end well", f"all that can be reached are {', '.join(f'`{name}`' for name in own)}",
                      "let an ending with the outcome safe, landed or stayed on the ground be reached", "warning")


def _outcome(scenario: Scenario, ending: str) -> str:
    return next((each.outcome for each in scenario.endings if each.name == ending), "")


def stuck_phases(seen: Explored) -> frozenset[str]:
    """Return the phases that can be come to, but no ending of the author's from any of their states."""
    program = seen.program
    before: dict[int, list[int]] = {}
    open_: list[int] = []
    ends = [[move for move in each if move.end is not None and move.end != "time up"] for each in program.moves]
    moves = [[(move.mask, move.want, ~move.clear, move.put) for move in each if move.end is None]
             for each in program.moves]
    for state in seen.came:
        number = state >> program.shift
        if any(state & move.mask == move.want for move in ends[number]):
            open_.append(state)
        for mask, want, keep, put in moves[number]:
            if state & mask == want and state & keep | put != state:
                before.setdefault(state & keep | put, []).append(state)
    free = set(open_)
    while open_:
        for state in before.get(open_.pop(), ()):
            if state not in free:
                free.add(state)
                open_.append(state)
    return (frozenset(program.phase_of(state) for state in seen.came)
            - frozenset(program.phase_of(state) for state in free))


def _loop(scenario: Scenario, name: str, within: frozenset[str]) -> str:
    """Return the phases of a loop that leads back to `name` inside `within`, in words; "" where there is none."""
    ways: dict[str, list[str]] = {name: []}
    open_ = [name]
    while open_:
        here = open_.pop(0)
        for branch in scenario.phase(here).branches:
            last = branch.effects[-1]
            if isinstance(last, Go) and last.phase in within:
                if last.phase == name:
                    return " and ".join(f"`{each}`" for each in [*ways[here], here])
                if last.phase not in ways:
                    ways[last.phase] = [*ways[here], here]
                    open_.append(last.phase)
    return ""
