"""Altitudes that lead into the ground: below the minimum altitude in cloud, or a minimum altitude that is none."""

from __future__ import annotations

from collections.abc import Iterator

from drill.check.rules import warning
from drill.check.standing import Way, below, value_at
from drill.scenario.model import Cue, Say, Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem

CLEAR_OF_GROUND_FT = 1_000.0
"""What a minimum altitude leaves above the highest obstacle near; 14 CFR 91.177(a)(2)(ii)."""


def check_heights(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each altitude that is flown, assigned or called safe and is too near the ground."""
    return [*_minimum(scenario, tree), *_flown(scenario, tree), *_said(scenario, tree)]


def _minimum(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    least, ground_ft = scenario.minimum_altitude_ft, scenario.weather.air.ground_ft
    if least < ground_ft + CLEAR_OF_GROUND_FT:
        yield warning(value_at(tree, "minimum altitude"), "too-low",
                      f"`minimum altitude`: {least:,.0f} ft is {least - ground_ft:,.0f} ft above the ground",
                      f"the ground is at {ground_ft:,.0f} ft, and whoever is in cloud wants "
                      f"{CLEAR_OF_GROUND_FT:,.0f} ft above what stands there", "raise it, or correct `ground`")
    for field in scenario.fields:
        if field.elevation_ft >= least and least >= ground_ft + CLEAR_OF_GROUND_FT:
            yield warning(value_at(tree, "fields", field.name, "elevation"), "too-low",
                          f"{field.name} lies at {field.elevation_ft:,.0f} ft, above the minimum altitude",
                          f"`minimum altitude` is {least:,.0f} ft, and the ground there is no lower than the field",
                          "correct the elevation, or raise the `minimum altitude`")


def _flown(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    least, start, cleared_ft = scenario.minimum_altitude_ft, scenario.start, scenario.clearance.altitude_ft
    below_least = f"in cloud nothing is safe below the `minimum altitude` of {least:,.0f} ft"
    if not start.on_ground and start.altitude_ft < least and _in_cloud(start.altitude_ft, scenario):
        yield warning(value_at(tree, "start", "altitude"), "too-low",
                      f"the flight begins in cloud at {start.altitude_ft:,.0f} ft", below_least,
                      "begin higher, or correct the `minimum altitude`")
    if cleared_ft < least and below(tree, "clearance", "altitude") is not None:
        inside = _in_cloud(cleared_ft, scenario)
        yield warning(value_at(tree, "clearance", "altitude"), "too-low",
                      f"the flight is cleared to {cleared_ft:,.0f} ft{', in cloud' if inside else ''}",
                      below_least if inside else _nobody_sent(least),
                      "assign a higher one, or correct the `minimum altitude`")


def _in_cloud(altitude_ft: float, scenario: Scenario) -> bool:
    cloud = scenario.weather.cloud
    return cloud is not None and cloud.base_ft <= altitude_ft <= cloud.tops_ft


def _nobody_sent(least_ft: float) -> str:
    return f"below the `minimum altitude` of {least_ft:,.0f} ft nobody is sent but on an approach"


def _said(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    least = scenario.minimum_altitude_ft
    for say, way in said_lines(scenario):
        if say.altitude_ft is not None and say.altitude_ft < least and say.cleared_approach is None:
            yield warning(value_at(tree, *way, "altitude"), "too-low",
                          f"ATC assigns {say.altitude_ft:,.0f} ft",
                          _nobody_sent(least),
                          "assign a higher one, or clear for the approach with `cleared`")


def said_lines(scenario: Scenario) -> Iterator[tuple[Say, Way]]:
    """Yield each line on the radio that an author has written, with the way to the keys beside it."""
    for event in scenario.events:
        yield from _of_cue(event, ("events", event.key.removeprefix("event/")))
    for phase in scenario.phases:
        for cue in phase.cues:
            _, kind, number = cue.key.rsplit("/", 2)
            yield from _of_cue(cue, ("phases", phase.name, {"cue": "cues"}.get(kind, kind), int(number)))


def _of_cue(cue: Cue, way: Way) -> Iterator[tuple[Say, Way]]:
    says = [each for each in cue.effects if isinstance(each, Say)]
    if len(says) == 1:
        yield says[0], way
