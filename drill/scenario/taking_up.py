"""A scenario taken up in one of its later phases, for an author who wants to see that phase and not wait for it.

What is flown is another document, the author's with the key `taken up` below it, so that a record holds the whole of
what was flown.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from drill.airplane.failures import CATALOGUE
from drill.scenario.conditions import All, AnyOf, Condition, Did, Fact
from drill.scenario.loading import load_text
from drill.scenario.model import Branch, Effect, Fail, FailurePlan, Go, Heal, Scenario
from drill.scenario.nearest import hint
from drill.scenario.problems import DocumentError


class CannotTakeUp(LookupError):  # noqa: N818 - an answer to the one who asked
    """A scenario cannot be taken up there; the message says why."""


@dataclass(frozen=True, slots=True)
class Way:
    """The shortest way to a phase: the phases that it leads through, and the failures that have begun on it."""

    phases: tuple[str, ...]
    failed: tuple[str, ...]


def taken_up(scenario: Scenario, phase: str) -> Scenario:
    """Return the scenario as it begins in `phase`, with the failures of the way there begun; raises CannotTakeUp."""
    way = way_to(scenario, phase)
    entry = f"taken up: {{phase: {json.dumps(phase)}, failed: {json.dumps(list(way.failed))}}}\n"
    text = f"{scenario.text.rstrip()}\n\n{entry}"
    try:
        return load_text(text, f"{scenario.name}.yaml", lambda _: scenario.airplane.text)
    except DocumentError as error:
        raise CannotTakeUp(f"{scenario.name}: `taken up` cannot be written below this document; its keys have to stand "
                           "in lines of their own, with nothing after them") from error


def way_to(scenario: Scenario, phase: str) -> Way:
    """Return the way by the fewest branches; of several the first in the author's order. CannotTakeUp for no phase."""
    names = [each.name for each in scenario.phases]
    if phase not in names:
        raise CannotTakeUp(f"there is no phase `{phase}` in {scenario.name}; {hint(phase, names)}")
    came: dict[str, tuple[str, Branch]] = {}
    open_ = [scenario.start.phase]
    seen = {scenario.start.phase}
    while open_ and phase not in seen:
        here = open_.pop(0)
        for branch in scenario.phase(here).branches:
            goes = branch.effects[-1]
            if isinstance(goes, Go) and goes.phase not in seen:
                seen.add(goes.phase)
                came[goes.phase] = here, branch
                open_.append(goes.phase)
    phases, branches = [phase], list[Branch]()
    while phases[0] in came:
        before, branch = came[phases[0]]
        phases.insert(0, before)
        branches.insert(0, branch)
    return Way(tuple(phases), _failed(scenario, phases[:-1], branches))


def _failed(scenario: Scenario, phases: list[str], branches: list[Branch]) -> tuple[str, ...]:
    """Return the failures that are there after these phases have been left by these branches, in the sheet's order."""
    failed = {plan.name for plan in scenario.failures if plan.at_s == 0.0 and not scenario.variations}
    for name, branch in zip(phases, branches, strict=True):
        phase = scenario.phase(name)
        for effects in (phase.enter, *(cue.effects for cue in phase.cues)):
            failed = _after(failed, effects)
        failed |= set(_meant(branch.when, scenario.failures))
        failed = _after(failed, branch.effects)
    return tuple(plan.name for plan in scenario.failures if plan.name in failed)


def _after(failed: set[str], effects: Iterable[Effect]) -> set[str]:
    for effect in effects:
        if isinstance(effect, Fail):
            failed = failed | {effect.failure}
        elif isinstance(effect, Heal):
            failed = failed - {effect.failure}
    return failed


def _meant(when: Condition, plans: tuple[FailurePlan, ...]) -> list[str]:
    """Return the failures that a branch is about: that have to be there, or that the pilot has named or acted on."""
    match when:
        case All(parts):
            return [name for part in parts for name in _meant(part, plans)]
        case AnyOf(parts):
            return next((names for part in parts if (names := _meant(part, plans))), [])
        case Fact("failed", name):
            return [name]
        case Fact("reported" | "covered", equipment):
            return _named(equipment, plans)
        case Did(since=name) if name:
            return [name]
        case Did(pattern) if pattern.verb in ("report", "diagnose", "cover"):
            return _named(pattern.object, plans)
        case _:
            return []


def _named(equipment: str, plans: tuple[FailurePlan, ...]) -> list[str]:
    """Return the first failure that is rightly called just so, or else the first of which it is a part of a name."""
    catalogued = [(plan.name, CATALOGUE[plan.part, plan.how]) for plan in plans]
    whole = [name for name, failure in catalogued if frozenset({equipment}) in failure.named_right_as]
    part = [name for name, failure in catalogued
            if any(equipment in each for each in (*failure.named_right_as, *failure.also_right))]
    return [*whole, *part][:1]
