"""Fuel on board lasts as long as the longest flight of a story."""

from __future__ import annotations

import pytest

from check.fragments import WHOLE, completed
from drill.check.checking import check_text
from drill.check.lints.endurance import longest_flight_s
from drill.scenario.loading import airplanes_beside, read_scenario
from drill.scenario.problems import Problem

BESIDE = airplanes_beside(WHOLE)
START = "start: {{phase: cruise, altitude: 5000 ft, heading: 240, airspeed: 110 kt, on board: 2, fuel: {fuel}}}\n"
STORY = """phases:
  cruise:
    branches:
      - {{when: {first}, go: helped}}
      - {{when: true bank > 60 deg, for: 2 s, end: upset}}
  helped:
    branches:
      - {{when: {second}, end: there}}
      - {{when: true bank > 60 deg, for: 2 s, {last}}}
"""


def found(piece: str) -> tuple[Problem, ...]:
    return check_text(completed(piece)[0], "short-hop.yaml", BESIDE).problems


def longest_min(piece: str) -> float:
    scenario, problems = read_scenario(completed(piece)[0], "short-hop.yaml", BESIDE)
    assert scenario is not None, problems
    return longest_flight_s(scenario) / 60.0


@pytest.mark.parametrize(("fuel", "out"), [("39 min", True), ("40 min", False), ("3 h", False)])
def test_fuel_lasts_until_the_time_limit_where_nothing_ends_the_flight_sooner(fuel: str, out: bool) -> None:
    # 14 CFR 91.167: to the destination, to the alternate, and 45 minutes
    problems = found("time limit: 40 min\n" + START.format(fuel=fuel))
    assert [each.rule for each in problems] == ["fuel-runs-out"] * out
    assert all("fuel for 39 min, and a flight may last 40 min" in each.wrong for each in problems)


def test_a_story_that_looks_at_its_fuel_may_let_it_run_out() -> None:
    story = STORY.format(first="fuel < 10 min", second="distance to Wendle < 3 nm", last="end: upset")
    assert found(START.format(fuel="30 min") + story) == ()


@pytest.mark.parametrize(("first", "second", "last", "minutes"), [
    ("time > 10 min", "time > 20 min", "end: upset", 20.0),
    ("time in phase > 10 min", "time in phase > 12 min", "end: upset", 22.0),
    ("{any: [stalled, time in phase > 10 min]}", "time > 5 min", "end: upset", 10.0),
    ("{all: [stalled, time in phase > 10 min]}", "time > 5 min", "end: upset", 45.0),     # as long as nothing is set
    ("time > 10 min", "distance to Wendle < 3 nm", "end: upset", 45.0),
    ("time in phase > 10 min", "time in phase > 12 min", "go: cruise", 45.0),             # it may go round
])
def test_the_longest_flight_takes_the_longest_way_through_the_times_of_the_phases(
    first: str, second: str, last: str, minutes: float
) -> None:
    assert longest_min(STORY.format(first=first, second=second, last=last)) == minutes


def test_fuel_for_the_longest_way_is_enough_whatever_the_time_limit() -> None:
    story = STORY.format(first="time in phase > 10 min", second="time in phase > 12 min", last="end: upset")
    assert [each.rule for each in found(story + START.format(fuel="25 min"))] == []
    assert [each.rule for each in found(story + START.format(fuel="20 min"))] == ["fuel-runs-out"]
