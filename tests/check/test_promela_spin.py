"""Spin, another hand's model checker, comes to the same phases and endings of the same stories."""

from __future__ import annotations

from pathlib import Path

import pytest
from scenario.documents import loaded

from check.explore_scenarios import scenario_of
from check.explore_stories import story
from check.promela_spin import run, skip_without_spin
from drill.check.exploring import explored, reached_phases
from drill.check.promela import model_of
from drill.scenario import Scenario, load
from drill.scenario.shelf import shipped


def agree(scenario: Scenario, folder: Path) -> None:
    seen = explored(scenario)
    model = model_of(seen.program)
    assert model.reached(run(model.text, folder)) == (reached_phases(seen), seen.ended)


@pytest.fixture(autouse=True)
def _spin() -> None:
    skip_without_spin()


@pytest.mark.long
def test_on_the_small_sound_scenario(tmp_path: Path) -> None:
    agree(loaded(), tmp_path)


@pytest.mark.long
def test_on_what_cannot_be_reached(tmp_path: Path) -> None:
    scenario = story("""
cruise:
  branches: [{when: did climb, go: second}, {when: time > 5 min, go: third}, {when: stalled, end: upset}]
second:
  branches: [{when: not did climb, go: third}, {when: {all: [not failed pump, time > 18 min]}, end: there}]
third:
  branches: [{when: {all: [did climb, time in phase > 3 min, time < 7 min]}, end: there}, {when: stalled, end: upset}]
""")
    seen = explored(scenario)
    assert reached_phases(seen) == {"cruise", "second", "third"}
    assert seen.ended == {"upset", "time up"}
    agree(scenario, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(shipped()))
def test_on_the_shipped_scenarios(name: str, tmp_path: Path) -> None:
    agree(load(shipped()[name]), tmp_path)


def test_a_phase_s_model_chooses_only_between_values_that_its_conditions_tell_apart() -> None:
    text = model_of(explored(story("""
cruise:
  branches: [{when: true altitude > 7000 ft, go: second}, {when: did climb, end: there}]
second:
  branches: [{when: true altitude > 5000 ft, end: there}, {when: true altitude > 9000 ft, end: upset}]
""")).program).text
    first, second = text.split(":: ph == ")[1:]
    assert first.count("q0 = ") == 2           # below or above 7000 ft, of the four values between three cuts
    assert second.count("q0 = ") == 2 * 3      # below, between or above 5000 and 9000 ft, where either is asked first
    assert "a0 = 1" in first                   # a climb is asked for there
    assert "a0 = 0" in first                   # and by no phase behind it


@pytest.mark.overnight
@pytest.mark.parametrize("part", range(20))
def test_on_two_hundred_random_stories(part: int, tmp_path: Path) -> None:
    for seed in range(part, 200, 20):
        agree(scenario_of(seed), tmp_path)
