"""Windows that close before a failure has shown anything: of those that come on little by little, whatever is flown."""

from __future__ import annotations

from collections.abc import Mapping

from drill.check.rules import warning
from drill.check.standing import value_at
from drill.scenario.model import Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem

UNSEEN_S: Mapping[tuple[str, str], float] = {
    ("vacuum filter", "clogs"): 60.0,
    ("vacuum line", "leaks"): 120.0,
    ("attitude indicator", "bearing wears out"): 300.0,
    ("attitude indicator", "rotor stops"): 120.0,
    ("heading indicator", "drifts"): 120.0,
    ("heading indicator", "rotor stops"): 300.0,
    ("standby attitude", "shows a bank that is not there"): 60.0,
}
"""For so many seconds nothing on the panel differs from a healthy airplane's by more than a pilot can read.

At full severity, from the flights of `airplane.failure_flights`; a test flies them again. Failures that a change of
power, speed or height would show at once are not among them.
"""


def check_first_signs(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each window that counts from a failure and closes before it can have shown itself."""
    plans = {plan.name: plan for plan in scenario.failures}
    found = []
    for number, item in enumerate(scenario.grade_sheet):
        within = item.within
        plan = plans.get(within.name) if within is not None and within.of == "failure" and within.name else None
        unseen_s = 0.0 if plan is None else UNSEEN_S.get((plan.part, plan.how), 0.0)
        if within is not None and plan is not None and within.seconds <= unseen_s:
            found.append(warning(
                value_at(tree, "grade sheet", number, "within"), "window-before-evidence",
                f"the window of `{item.name}` closes before the {plan.part} can have shown anything",
                f"one that {plan.how} shows nothing for the first {unseen_s / 60.0:g} min",
                "count from what can be known, `of evidence`, or let the window close much later"))
    return found
