"""The kinds of what exploration finds, and which of them say the same as a lint has said at the same part."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterable, Mapping

from drill.scenario.model import Branch, Cue, Ending, FailurePlan, Item, Phase, Scenario
from drill.scenario.problems import Problem

EXPLORED: Mapping[str, str] = {
    "always-holds": "a condition that holds at every moment",
    "branch-never-taken": "a branch that no flight can take: what it asks for cannot be so in its phase",
    "branch-never-wins": "a branch that an earlier one of the same phase always forestalls",
    "cue-never-due": "a cue or an event that comes in no flight",
    "dead-end": "a phase from which no ending but a limit can be reached",
    "ending-nobody-avoids": "the one ending that is left, whatever the pilot does",
    "ending-out-of-reach": "an ending that branches lead to, none of which can be taken",
    "failure-out-of-reach": "a failure that begins in no flight",
    "item-never-applies": "an item of the grade sheet that asks for nothing in any flight",
    "item-nobody-fails": "an item of the grade sheet that every flight meets",
    "item-nobody-satisfies": "an item of the grade sheet that no flight can meet",
    "items-contradict": "two items of the grade sheet that no flight can meet together",
    "loop-without-exit": "phases that lead to one another and to no ending",
    "never-holds": "a condition that can never hold",
    "no-good-ending": "a story that can only end badly",
    "phase-out-of-reach": "a phase that branches lead to, none of which can be taken",
    "story-too-large": "more states than can be looked at",
    "unsafe-but-well-graded": "a flight with an unsafe act that is graded better than the cap allows",
}
"""Every kind that exploration and its witness flights find, and what it is; all are warnings."""

_SAME: tuple[frozenset[str], ...] = (
    frozenset({"never-holds", "branch-never-taken", "branch-never-wins", "always-holds"}),
    frozenset({"item-nobody-satisfies", "item-never-applies", "items-contradict", "window-too-early"}),
    frozenset({"item-nobody-fails"}),
    frozenset({"cue-never-due", "asks-what-is-known"}),
)


def not_told(scenario: Scenario, found: Iterable[Problem], told: Collection[Problem]) -> list[Problem]:
    """Return those of `found` that `told` does not say already, in other words or at another key of the same part."""
    lines = sorted({part.place.line for part in _parts(scenario)})
    known = {(_part(lines, each), group) for each in told for group in _groups(each.rule)}
    return [each for each in found if not any((_part(lines, each), group) in known for group in _groups(each.rule))]


def _parts(scenario: Scenario) -> Iterable[Phase | Cue | Branch | Ending | FailurePlan | Item]:
    for phase in scenario.phases:
        yield phase
        yield from phase.cues
        yield from phase.branches
    yield from scenario.events
    yield from scenario.endings
    yield from scenario.failures
    yield from scenario.grade_sheet


def _part(lines: list[int], problem: Problem) -> int:
    """Return the line at which the part of the document begins in which a problem stands."""
    return lines[max(bisect_right(lines, problem.place.line) - 1, 0)]


def _groups(rule: str) -> tuple[frozenset[str], ...]:
    return tuple(each for each in _SAME if rule in each)
