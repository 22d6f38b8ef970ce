"""What is decided by how a flight begins: what cannot be kept, what is too late, a phase that is left at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from drill.check.explore_words import said
from drill.check.holding import holding
from drill.check.rules import warning
from drill.check.standing import value_at
from drill.flight.weather import in_cloud
from drill.scenario.conditions import Condition, Fact, acts_in, evaluate, facts_in
from drill.scenario.model import Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem
from drill.scenario.truth import Maybe, MayTruth, fact_key

WITHIN_FT = 500.0
"""An altimeter set to an old pressure, gusts and the first second: the true altitude is no further off than that."""
_NOT_YET = frozenset({"reported", "declared", "asked for", "told", "covered", "planned"})
"""Facts that only an act brings about."""


def check_start(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each condition that the first second of every flight decides for good."""
    if scenario.start.on_ground or scenario.taken_up is not None:
        return []
    return [*_items(scenario, tree), *_branches(scenario, tree)]


def _items(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    can = holding(scenario)
    for number, item in enumerate(scenario.grade_sheet):
        way = ("grade sheet", number)
        if item.keep is not None and item.when is None and can.can(item.keep) and (
                holds_at_start(item.keep, scenario) is False):
            yield warning(value_at(tree, *way, "keep"), "item-nobody-satisfies",
                          f"`{item.name}` can be kept in no flight: `{said(item.keep)}` does not hold when it begins",
                          "what holds at the start and may be lost", "correct the limit, or give the item a `when`")
        if item.before is not None and not can.always(item.before) and holds_at_start(item.before, scenario) is True:
            yield warning(value_at(tree, *way, "before"), "item-nobody-satisfies",
                          f"`{item.name}` is too late from the start on: `{said(item.before)}` holds when the flight "
                          "begins",
                          "what has not happened yet by then", "correct the condition")


def _branches(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    phase = scenario.phase(scenario.start.phase)
    for number, branch in enumerate(phase.branches):
        if not branch.for_s and holds_at_start(branch.when, scenario) is True:
            yield warning(value_at(tree, "phases", phase.name, "branches", number, "when"), "left-at-once",
                          f"`{said(branch.when)}` holds when the flight begins, so phase `{phase.name}` is left at "
                          "once",
                          "nobody sees that phase", "turn the comparison round, correct its limit, or begin elsewhere")
            return


def holds_at_start(condition: Condition, scenario: Scenario) -> bool | None:
    """Say whether a condition holds in the first second of every flight; None where that is not known."""
    acts: dict[str, Maybe] = {each.key: False for each in acts_in(condition)}
    facts = {fact_key(each.kind, each.of): _fact(each, scenario) for each in facts_in(condition)}
    truth = MayTruth(ranges=_ranges(scenario), facts=facts, acts=acts, acts_here=acts)
    found: Maybe = evaluate(condition, truth)
    return found


def _fact(fact: Fact, scenario: Scenario) -> Maybe:
    """Say whether a fact holds at the start, as far as the scenario tells."""
    if fact.kind in _NOT_YET:
        return False
    if fact.kind == "failed":
        at_s = next((plan.at_s for plan in scenario.failures if plan.name == fact.of), None)
        return False if at_s else None       # one without a time may begin with the first phase
    if fact.kind == "is" and fact.of == "in cloud":
        return _in_cloud(scenario)
    if fact.kind == "is" and fact.of == "autopilot on":
        return scenario.start.autopilot
    return False if fact.kind == "is" else None


def _in_cloud(scenario: Scenario) -> Maybe:
    height_ft = scenario.start.altitude_ft
    seen = {in_cloud(scenario, 0.0, 0.0, height_ft + off) for off in (-WITHIN_FT, 0.0, WITHIN_FT)}
    return seen.pop() if len(seen) == 1 else None


def _ranges(scenario: Scenario) -> Mapping[str, tuple[float, float]]:
    """Return what can be compared, from its lowest to its highest value in the first second of a flight."""
    start = scenario.start
    ground_ft = scenario.weather.air.ground_ft
    places = {f"distance to {field.name}": (field.distance_nm - 0.5, field.distance_nm + 0.5)
              for field in scenario.fields}
    return {
        "true bank": (0.0, 10.0), "time": (0.0, 1.0), "time in phase": (0.0, 1.0),
        "true altitude": (start.altitude_ft - WITHIN_FT, start.altitude_ft + WITHIN_FT),
        "height": (start.altitude_ft - WITHIN_FT - ground_ft, start.altitude_ft + WITHIN_FT - ground_ft),
        "true airspeed": (start.airspeed_kt - 10.0, start.airspeed_kt + 10.0),
        "fuel": (start.fuel_min - 1.0, start.fuel_min), **places,
    }
