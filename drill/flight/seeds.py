"""What the seed decides before the flight: whether anything fails, when, and to which side."""

from __future__ import annotations

from drill.airplane.draws import draw_uniform
from drill.scenario.model import Scenario


def nothing_fails(scenario: Scenario, seed: int) -> bool:
    """Say whether this seed is one of those in which every part keeps working."""
    return draw_uniform(seed, "does anything fail") < scenario.nothing_fails


def times(scenario: Scenario, seed: int) -> dict[str, float | None]:
    """Return when each failure and event of the scenario is due, in seconds of flight; None: not by the clock.

    Each time is uniform in [at, at + spread]. Keys are the names of failures and the keys of events. A failure that
    waits for the story has None, and so has every failure of a seed in which nothing fails.
    """
    quiet = nothing_fails(scenario, seed)
    due: dict[str, float | None] = {}
    for failure in scenario.failures:
        if quiet or failure.at_s is None:
            due[failure.name] = None
        else:
            due[failure.name] = failure.at_s + failure.spread_s * draw_uniform(seed, f"failure {failure.name}")
    for event in scenario.events:
        due[event.key] = event.after_s + event.spread_s * draw_uniform(seed, f"event {event.key}")
    return due


def side(failure: str, seed: int) -> float:
    """Return to which side a failure leans or drifts: -1.0 left, 1.0 right."""
    return -1.0 if draw_uniform(seed, f"side {failure}") < 0.5 else 1.0
