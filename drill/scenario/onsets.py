"""When failures can begin, as far as a document's times say so."""

from __future__ import annotations

from drill.scenario.model import Fail, Scenario


def failing_between(scenario: Scenario) -> tuple[float | None, float | None]:
    """Return the earliest and the latest flight time (s) at which a failure can begin by its time; None: none does.

    What only the story brings, in a later phase or a branch, is not among them.
    """
    spans = [(plan.at_s, plan.at_s + plan.spread_s) for plan in scenario.failures if plan.at_s is not None]
    spans += [(event.after_s, event.after_s + event.spread_s) for event in scenario.events
              if any(isinstance(each, Fail) for each in event.effects)]
    if any(isinstance(each, Fail) for each in scenario.phase(scenario.start.phase).enter):
        spans.append((0.0, 0.0))
    return min((first for first, _ in spans), default=None), max((last for _, last in spans), default=None)
