"""Fuel that runs out before the flight is over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from drill.check.rules import warning
from drill.check.standing import value_at
from drill.scenario.conditions import AnyOf, Compare, Condition, compared_in
from drill.scenario.model import Effect, End, Go, Phase, Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem
from drill.scenario.story import every_condition
from drill.scenario.units import time_words


def check_endurance(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning where the longest flight of a story that never looks at its fuel takes more than is on board."""
    fuel_s, longest_s = scenario.start.fuel_min * 60.0, longest_flight_s(scenario)
    looked_at = any(each.quantity == "fuel" for condition in every_condition(scenario)
                    for each in compared_in(condition))
    if fuel_s >= longest_s or looked_at:
        return []
    return [warning(value_at(tree, "start", "fuel"), "fuel-runs-out",
                    f"there is fuel for {time_words(fuel_s)}, and a flight may last {time_words(longest_s)}",
                    "the engine stops on the longest way through the phases, and nothing in the story is about that",
                    "put more fuel on board, or let the flight be over sooner, by a lower `time limit`")]


def longest_flight_s(scenario: Scenario) -> float:
    """Return a time (s) by which every flight is over: by the time limit, or sooner by the times of its phases."""
    limit_s = min([scenario.time_limit_s, *(
        event.after_s + event.spread_s for event in scenario.events
        if event.when is None and event.unless is None and any(isinstance(each, End) for each in event.effects))])
    everywhere = list(_leads_to([each for event in scenario.events for each in event.effects]))
    entered_s = {scenario.start.phase: 0.0}           # at the latest
    for _ in range(len(scenario.phases) + 1):
        later = dict(entered_s)
        for phase in scenario.phases:
            if phase.name not in entered_s:
                continue
            left_s = min(limit_s, _left_s(phase, entered_s[phase.name]))
            effects = [*(each for cue in phase.cues for each in cue.effects),
                       *(each for branch in phase.branches for each in branch.effects)]
            for name in (*_leads_to(effects), *everywhere):
                later[name] = max(later.get(name, 0.0), left_s)
        if later == entered_s:
            return max(min(limit_s, _left_s(scenario.phase(name), at_s)) for name, at_s in entered_s.items())
        entered_s = later
    return limit_s                                    # the story may go round


def _leads_to(effects: Sequence[Effect]) -> Iterator[str]:
    return (each.phase for each in effects if isinstance(each, Go))


def _left_s(phase: Phase, entered_s: float) -> float:
    """Return the time of flight (s) by which a phase is left, whatever happens in it; infinite where that is open."""
    by_line = [entered_s + cue.after_s for cue in phase.cues if cue.when is None and cue.unless is None
               and any(isinstance(each, Go | End) for each in cue.effects)]
    by_branch = [_surely_s(branch.when, entered_s) + branch.for_s for branch in phase.branches]
    return min([*by_line, *by_branch], default=inf)


def _surely_s(when: Condition, entered_s: float) -> float:
    """Return the time of flight (s) from which a condition holds in a phase entered so late, whatever else is so."""
    match when:
        case Compare("time", ">" | ">=", seconds):
            return max(entered_s, seconds)
        case Compare("time in phase", ">" | ">=", seconds):
            return entered_s + seconds
        case AnyOf(parts):
            return min((_surely_s(part, entered_s) for part in parts), default=inf)
        case _:
            return inf
