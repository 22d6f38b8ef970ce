"""One document, several ways in which the flight can go wrong; and a failure that comes and goes."""

from __future__ import annotations

from collections import Counter

import pytest

from drill.flight import seeds
from drill.scenario import story
from drill.scenario.model import Fail, Heal, Scenario
from drill.scenario.moment import Observation, StoryState

from .documents import changed, loaded, problems

TWO = """failures:
  other: {part: turn coordinator, how: rotor stops, at: 1 min}
  always: {part: suction gauge, how: sticks, at: 1 min}
"""
VARIED = TWO + """variations:
  suction: {share: 2, fails: [pump]}
  needle: {fails: other}
  neither: {fails: []}
"""


def varied() -> Scenario:
    head, tail = VARIED.split("failures:\n")[1].split("variations:")
    return loaded(changed(("failures:\n", f"failures:\n{head}"), ("phases:\n", f"variations:{tail}phases:\n")))


def due(scenario: Scenario, seed: int) -> set[str]:
    names = {each.name for each in scenario.failures}
    return {name for name, at in seeds.times(scenario, seed).items() if at is not None and name in names}


def test_a_seed_draws_one_variation_and_only_its_failures_happen() -> None:
    scenario = varied()
    wanted = {"suction": {"pump", "always"}, "needle": {"other", "always"}, "neither": {"always"}}
    for seed in range(60):
        assert due(scenario, seed) == wanted[seeds.variation(scenario, seed)]


def test_variations_come_as_often_as_their_shares() -> None:
    scenario = varied()
    drawn = Counter(seeds.variation(scenario, seed) for seed in range(2000))
    assert drawn["suction"] == pytest.approx(1000, abs=100)   # 4.5 sigma of the binomial
    assert drawn["needle"] == pytest.approx(500, abs=90)


def test_without_variations_every_failure_is_due() -> None:
    scenario = loaded()
    assert seeds.variation(scenario, 3) == ""
    assert due(scenario, 3) == {each.name for each in scenario.failures}


def test_a_variation_with_a_failure_that_nobody_wrote_is_told_at_its_place() -> None:
    wrong = changed(("phases:\n", "variations:\n  suction: {fails: [pomp]}\nphases:\n"))
    [problem] = problems(wrong)
    assert (problem.rule, "pump" in problem.allowed) == ("unknown-failure", True)
    assert wrong.split("\n")[problem.place.line - 1][problem.place.column - 1:].startswith("pomp")


def come_and_gone(scenario: Scenario, seconds: int) -> list[tuple[int, str]]:
    """What the clock alone does to the failure `pump`, by the second."""
    state, effects = story.begin(scenario, {"pump": 60.0})
    seen: list[tuple[int, str]] = []
    for second in range(1, seconds + 1):
        state, effects = story.step(scenario, state, Observation(
            float(second), VALUES, frozenset(), (), broken=False, on_ground=False))
        seen += [(second, type(each).__name__) for each in effects if isinstance(each, Fail | Heal)]
    assert isinstance(state, StoryState)
    return seen


VALUES = dict.fromkeys(("true bank", "true altitude", "true airspeed", "true vertical speed"), 0.0)


def test_a_failure_that_comes_and_goes_comes_back_every_so_often() -> None:
    scenario = loaded(changed(("spread: 12 min", "lasts: 20 s, every: 90 s")))
    assert come_and_gone(scenario, 260) == [
        (60, "Fail"), (80, "Heal"), (150, "Fail"), (170, "Heal"), (240, "Fail"), (260, "Heal")]


def test_a_failure_cannot_come_back_before_it_has_gone() -> None:
    [problem] = problems(changed(("spread: 12 min", "lasts: 90 s, every: 80 s")))
    assert problem.rule == "at-odds"
    assert "before it has gone" in problem.wrong


def test_every_means_nothing_without_lasts() -> None:
    [problem] = problems(changed(("spread: 12 min", "every: 80 s")))
    assert "lasts" in f"{problem.wrong} {problem.allowed} {problem.remedy}"
