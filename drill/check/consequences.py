"""What follows from something that has been told: one mistake is one message, at its cause."""

from __future__ import annotations

from collections.abc import Collection

from drill.check.explore_endings import GOOD
from drill.scenario.conditions import All, Condition, Fact
from drill.scenario.model import End, Item, Scenario
from drill.scenario.problems import Problem

_NEVER_BEGINS = ("failure-never-begins", "failure-out-of-reach", "after-the-time-limit")


def causes(scenario: Scenario, found: Collection[Problem], told: Collection[Problem]) -> list[Problem]:
    """Return those of `found` that do not merely follow from another one of them or from one of `told`."""
    known = [*found, *told]
    idle = _idle(scenario, known)
    cut_off = {phase.name for phase in scenario.phases
               if any(each.rule == "phase-out-of-reach" and f"`{phase.name}`" in each.wrong for each in known)}
    unused = [each for each in known if each.rule in ("ending-out-of-reach", "ending-never-reached")]
    good = {each.name for each in scenario.endings if each.outcome in GOOD}
    follows = {
        *(each for each in found if each.rule == "item-never-applies" and _waits_for(scenario, each, idle)),
        *(each for each in found if each.rule == "ending-out-of-reach" and _only_from(scenario, each, cut_off)),
        *(each for each in found if each.rule == "no-good-ending"
          and any(f"`{name}`" in other.wrong for other in unused for name in good)),
    }
    return [each for each in found if each not in follows]


def _idle(scenario: Scenario, known: Collection[Problem]) -> set[str]:
    """Return the failures of which it is told that they never begin."""
    if any(each.rule == "failure-never-begins" and each.wrong.startswith("`nothing fails`") for each in known):
        return {plan.name for plan in scenario.failures}
    return {plan.name for plan in scenario.failures
            if any(each.rule in _NEVER_BEGINS and f"failure `{plan.name}`" in each.wrong for each in known)}


def _waits_for(scenario: Scenario, problem: Problem, idle: Collection[str]) -> bool:
    item = next((each for each in scenario.grade_sheet if f"`{each.name}`" in problem.wrong), None)
    return item is not None and (_needs(item.when, idle) or _counts_from(item, idle))


def _needs(when: Condition | None, idle: Collection[str]) -> bool:
    match when:
        case Fact("failed", name):
            return name in idle
        case All(parts):
            return any(_needs(part, idle) for part in parts)
        case _:
            return False


def _counts_from(item: Item, idle: Collection[str]) -> bool:
    return item.within is not None and item.within.of == "failure" and item.within.name in idle


def _only_from(scenario: Scenario, problem: Problem, cut_off: Collection[str]) -> bool:
    """Say whether all branches to an ending are in phases of which it is told that no flight comes to them."""
    ending = next((each.name for each in scenario.endings if f"`{each.name}`" in problem.wrong), None)
    phases = [phase.name for phase in scenario.phases for branch in phase.branches
              if branch.effects[-1] == End(ending or "")]
    return bool(phases) and all(name in cut_off for name in phases)
