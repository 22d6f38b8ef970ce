"""What the seed decides before the flight: whether anything fails, when, and to which side."""

from __future__ import annotations

from drill.airplane.draws import draw_uniform
from drill.scenario.model import Scenario


def nothing_fails(scenario: Scenario, seed: int) -> bool:
    """Say whether this seed is one of those in which every part keeps working."""
    return draw_uniform(seed, "does anything fail") < scenario.nothing_fails


def variation(scenario: Scenario, seed: int) -> str:
    """Return the name of the variation that this seed draws, each as often as its share; "" where there are none."""
    left = draw_uniform(seed, "variation") * sum(each.share for each in scenario.variations)
    for each in scenario.variations:
        left -= each.share
        if left < 0.0:
            return each.name
    return ""


def _other_variations(scenario: Scenario, seed: int) -> frozenset[str]:
    """Return the failures that belong to variations only, and not to the one that is drawn."""
    drawn = variation(scenario, seed)
    mine = {failure for each in scenario.variations if each.name == drawn for failure in each.fails}
    return frozenset(failure for each in scenario.variations for failure in each.fails if failure not in mine)


def times(scenario: Scenario, seed: int) -> dict[str, float | None]:
    """Return when each failure and event of the scenario is due, in seconds of flight; None: not by the clock.

    Each time is uniform in [at, at + spread]. Keys are the names of failures and the keys of events. A failure that
    waits for the story has None, and so has one of another variation, and every failure of a seed in which nothing
    fails.
    """
    quiet = nothing_fails(scenario, seed)
    others = _other_variations(scenario, seed)
    due: dict[str, float | None] = {}
    for failure in scenario.failures:
        if quiet or failure.at_s is None or failure.name in others:
            due[failure.name] = None
        else:
            due[failure.name] = failure.at_s + failure.spread_s * draw_uniform(seed, f"failure {failure.name}")
    for event in scenario.events:
        due[event.key] = event.after_s + event.spread_s * draw_uniform(seed, f"event {event.key}")
    return due


def side(failure: str, seed: int) -> float:
    """Return to which side a failure leans or drifts: -1.0 left, 1.0 right."""
    return -1.0 if draw_uniform(seed, f"side {failure}") < 0.5 else 1.0
