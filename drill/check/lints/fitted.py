"""Failures of parts that the airplane does not have."""

from __future__ import annotations

from drill.check.rules import warning
from drill.check.standing import value_at
from drill.scenario.fitted import is_fitted
from drill.scenario.model import Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem


def check_fitted(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each failure that can be seen nowhere, its part not being there."""
    return [
        warning(value_at(tree, "failures", plan.name, "part"), "part-not-fitted",
                f"the {scenario.airplane.title} has no {plan.part}, so nobody will see it fail",
                "an airplane that has one, or a part that this one has", "choose another airplane, or another failure")
        for plan in scenario.failures if not is_fitted(plan.part, scenario.airplane.airframe)
    ]
