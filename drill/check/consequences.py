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
    idle = _about(known, "failure", *_NEVER_BEGINS)
    cut_off = _about(known, "phase", "phase-out-of-reach")
    unused = _about(known, "ending", "ending-out-of-reach", "ending-never-reached")
    asks_nothing = {("item", item.name) for item in scenario.grade_sheet
                    if _needs(item.when, idle) or _counts_from(item, idle)}
    only_from = {("ending", ending.name) for ending in scenario.endings if _only_from(scenario, ending.name, cut_off)}
    no_good = any(each.name in unused for each in scenario.endings if each.outcome in GOOD)
    return [each for each in found if not (
        (each.rule == "item-never-applies" and each.about & asks_nothing)
        or (each.rule == "ending-out-of-reach" and each.about & only_from)
        or (each.rule == "no-good-ending" and no_good))]


def _about(known: Collection[Problem], kind: str, *rules: str) -> frozenset[str]:
    """Return the names of the parts of one kind of which something is told by one of the rules."""
    return frozenset(name for each in known if each.rule in rules for of, name in each.about if of == kind)


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


def _only_from(scenario: Scenario, ending: str, cut_off: Collection[str]) -> bool:
    """Say whether all branches to an ending are in phases of which it is told that no flight comes to them."""
    phases = [phase.name for phase in scenario.phases for branch in phase.branches if branch.effects[-1] == End(ending)]
    return bool(phases) and all(name in cut_off for name in phases)
