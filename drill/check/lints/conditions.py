"""Conditions that always hold or never can, and branches that never win."""

from __future__ import annotations

from collections.abc import Iterator

from drill.check.holding import Holding, holding
from drill.check.rules import warning
from drill.check.standing import Way, value_at
from drill.scenario.conditions import Condition
from drill.scenario.model import Phase, Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem


def check_conditions(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each condition that is no condition, and each branch that another one forestalls."""
    can = holding(scenario)
    found = []
    for way, condition in conditions_of(scenario):
        place, key = value_at(tree, *way), way[-1]
        if not can.can(condition):
            found.append(warning(place, "never-holds", f"`{key}` can never hold", _why_never(str(key)),
                                 "correct a limit or a name in it, or delete what hangs on it"))
        elif can.always(condition):
            found.append(warning(place, "always-holds", f"`{key}` always holds", _why_always(str(key)),
                                 "correct a limit in it, or write what is really waited for"))
    for phase in scenario.phases:
        found += _forestalled(phase, can, tree)
    return found


def _why_never(key: str) -> str:
    return {"unless": "nothing is ever kept back by it"}.get(key, "what hangs on it never happens")


def _why_always(key: str) -> str:
    return {"unless": "what hangs on it never happens"}.get(key, "what hangs on it happens at the first moment")


def conditions_of(scenario: Scenario) -> Iterator[tuple[Way, Condition]]:
    """Yield each condition of the story, and when an item of the sheet applies, with the way to it."""
    for phase in scenario.phases:
        for number, branch in enumerate(phase.branches):
            yield ("phases", phase.name, "branches", number, "when"), branch.when
        for cue in phase.cues:
            _, kind, count = cue.key.rsplit("/", 2)
            way: Way = ("phases", phase.name, {"cue": "cues"}.get(kind, kind), int(count))
            yield from (((*way, key), each) for key, each in (("when", cue.when), ("unless", cue.unless))
                        if each is not None)
    for event in scenario.events:
        name = event.key.removeprefix("event/")
        yield from ((("events", name, key), each) for key, each in (("when", event.when), ("unless", event.unless))
                    if each is not None)
    for number, item in enumerate(scenario.grade_sheet):
        if item.when is not None:
            yield ("grade sheet", number, "when"), item.when
    for number, poll in enumerate(scenario.polls):
        if poll.when is not None:
            yield ("polls", number, "when"), poll.when


def _forestalled(phase: Phase, can: Holding, tree: Node) -> Iterator[Problem]:
    for number, branch in enumerate(phase.branches):
        if not can.can(branch.when):
            continue
        for earlier, other in enumerate(phase.branches[:number]):
            if other.for_s <= branch.for_s and can.follows(branch.when, other.when):
                first = value_at(tree, "phases", phase.name, "branches", earlier, "when")
                yield warning(
                    value_at(tree, "phases", phase.name, "branches", number, "when"), "branch-never-wins",
                    "whenever this holds, an earlier branch of the phase has been taken already",
                    f"the one in line {first.line}; the first branch that holds wins",
                    "put the narrower condition first, or delete this branch")
                break
