"""One mistake is one message: what only follows from another one is known by the parts they are about, not by words."""

from __future__ import annotations

import pytest

from check.fragments import WHOLE, completed
from drill.check.checking import check_text
from drill.check.consequences import causes
from drill.scenario.loading import airplanes_beside, read_scenario
from drill.scenario.model import Scenario
from drill.scenario.problems import Place, Problem, Subject

BESIDE = airplanes_beside(WHOLE)
STORY = """phases:
  cruise:
    branches:
      - {{when: {first}, go: helped}}
      - {{when: true bank > 60 deg, for: 2 s, end: upset}}
  helped:
    branches:
      - {{when: distance to Wendle < 3 nm, end: there}}
      - {{when: true bank > 60 deg, for: 2 s, end: upset}}
"""


def whole(piece: str = "") -> Scenario:
    scenario, _ = read_scenario(completed(piece)[0], "short-hop.yaml", BESIDE)
    assert scenario is not None
    return scenario


def told(rule: str, *about: Subject) -> Problem:
    return Problem(Place("short-hop.yaml", 1, 1), rule, "in any words", "", "", "warning", frozenset(about))


@pytest.mark.parametrize("rule", ["failure-never-begins", "failure-out-of-reach", "after-the-time-limit"])
def test_an_item_that_waits_for_a_failure_follows_from_what_keeps_that_failure_away(rule: str) -> None:
    follows = told("item-never-applies", ("item", "Tell ATC"))
    assert causes(whole(), [follows], [told(rule, ("failure", "pump"))]) == []
    assert causes(whole(), [follows], [told(rule, ("failure", "alternator"))]) == [follows]
    assert causes(whole(), [follows], [told(rule)]) == [follows]       # of an event, say


def test_an_ending_follows_from_the_phases_that_alone_lead_to_it_and_no_good_ending_from_that() -> None:
    cut_off = told("phase-out-of-reach", ("phase", "helped"))
    there, upset = (told("ending-out-of-reach", ("ending", name)) for name in ("there", "upset"))
    assert causes(whole(), [cut_off, there], []) == [cut_off]
    assert causes(whole(), [cut_off, upset], []) == [cut_off, upset]      # another phase leads to it
    none_good = told("no-good-ending")
    assert causes(whole(), [none_good], [told("ending-never-reached", ("ending", "there"))]) == []
    assert causes(whole(), [none_good], [told("ending-never-reached", ("ending", "upset"))]) == [none_good]


@pytest.mark.parametrize(("piece", "rule", "about"), [
    ("nothing fails: 1 in 1\n", "failure-never-begins", ("failure", "pump")),
    ("failures:\n  pump: {part: vacuum pump, how: shaft shears}\n", "failure-never-begins", ("failure", "pump")),
    ("failures:\n  pump: {part: vacuum pump, how: shaft shears, at: 50 min}\n", "after-the-time-limit",
     ("failure", "pump")),
    (STORY.format(first="{all: [in cloud, not in cloud]}"), "phase-out-of-reach", ("phase", "helped")),
    ("endings:\n  upset: {outcome: loss of control, tell: Lost.}\n  there: {outcome: safe, tell: Out.}\n"
     "  gone: {outcome: safe, tell: Gone.}\n", "ending-never-reached", ("ending", "gone")),
])
def test_what_is_told_of_a_part_says_which_and_nothing_that_follows_is_told(
    piece: str, rule: str, about: Subject
) -> None:
    problems = check_text(completed(piece)[0], "short-hop.yaml", BESIDE).problems
    assert [each.about for each in problems if each.rule == rule] == [frozenset({about})]
    assert {each.rule for each in problems} <= {rule, "never-holds"}


def test_that_a_failure_may_come_too_late_keeps_no_item_from_asking() -> None:
    late = "failures:\n  pump: {part: vacuum pump, how: shaft shears, at: 4 min, spread: 60 min}\n"
    problems = check_text(completed(late)[0], "short-hop.yaml", BESIDE).problems
    assert [(each.rule, each.about) for each in problems] == [("after-the-time-limit", frozenset())]
