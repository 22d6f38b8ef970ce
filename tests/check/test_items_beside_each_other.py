"""Items of the grade sheet beside one another: which ask for the same, and which can be done in their order."""

from __future__ import annotations

import pytest

from check.fragments import WHOLE, completed
from drill.check.checking import check_text
from drill.scenario.loading import airplanes_beside
from drill.scenario.problems import Problem

WHY = "why: It shows what holds and what not., source: AIM 4-2-3"
COVER = "when: failed pump, do: cover attitude indicator, example: cover the attitude indicator"
CALL = ("when: failed pump, do: report vacuum system, "
        'example: "tell approach Larkspur 5304W, the vacuum pump has failed, request vectors"')


def found(piece: str) -> tuple[Problem, ...]:
    return check_text(completed(piece)[0], "short-hop.yaml", airplanes_beside(WHOLE)).problems


def sheet(*items: str) -> str:
    return "grade sheet:\n" + "".join(
        f"  - {{item: {name}, part: aviate, {each}, {WHY}}}\n" for name, each in zip(("One", "Two", "Three"), items,
                                                                                 strict=False))


@pytest.mark.parametrize(("one", "two", "twice"), [
    (COVER, COVER, True),
    (f"{COVER}, weight: minor", f"{COVER}, weight: critical", True),
    (f"{COVER}, within: 1 min of failure pump", f"{COVER}, within: 1 min of failure pump", True),
    (f"{COVER}, within: 1 min of failure pump", f"{COVER}, within: 5 min of failure pump", False),
    (f"{COVER}, within: 1 min of failure pump", f"{COVER}, within: 1 min of evidence", False),
    (COVER, f"{COVER}, before: true bank > 30 deg", False),
    (f"{CALL}, needs: [callsign, equipment]", f"{CALL}, needs: [equipment, callsign]", True),
    (f"{CALL}, needs: [callsign]", f"{CALL}, needs: [assistance]", False),
])
def test_the_same_act_in_another_window_or_with_other_needs_is_not_graded_twice(
    one: str, two: str, twice: bool
) -> None:
    assert [each.rule for each in found(sheet(one, two))] == ["graded-twice"] * twice


TWO_FAILURES = """failures:
  pump: {{part: vacuum pump, how: shaft shears, at: 4 min, spread: 2 min}}
  needle: {{part: turn coordinator, how: rotor stops, at: {at} min}}
"""
NEEDLE = "when: failed needle, do: cover turn coordinator, example: cover the turn coordinator"


@pytest.mark.parametrize(("at", "within", "early"), [
    (12, "5 min of failure pump", True),         # open until 11 min after the start at the latest
    (12, "7 min of failure pump", False),
    (9, "5 min of failure pump", False),         # a flight may have both in order
    (12, "11 min of start", True),
    (12, "14 min of start", False),
    (12, "5 min of failure needle", False),
    (12, "5 min of evidence", False),
    (12, "5 min of item One", False),
])
def test_a_window_closes_after_what_has_to_come_first_can_have_been_asked_for(
    at: int, within: str, early: bool
) -> None:
    problems = found(TWO_FAILURES.format(at=at) + sheet(NEEDLE, f"{COVER}, after: One, within: {within}"))
    assert [each.rule for each in problems] == ["window-too-early"] * early
    assert all("`One`, which has to come first, is asked for 12 min" in each.wrong for each in problems)


def test_the_order_of_windows_is_looked_at_through_all_that_has_to_come_first() -> None:
    late = sheet(NEEDLE, "do: cover heading indicator, example: cover the heading indicator, after: One",
                 f"{COVER}, after: Two, within: 4 min of failure pump")
    (problem,) = found(TWO_FAILURES.format(at=12) + late)
    assert (problem.rule, "`Three` closes 10 min after the start at the latest" in problem.wrong) == (
        "window-too-early", True)


@pytest.mark.parametrize(("first", "early"), [
    (f"{COVER.replace('failed pump', '{all: [failed pump, time > 20 min]}')}", True),
    (f"{COVER.replace('failed pump', '{any: [failed pump, time > 20 min]}')}", False),
    (f"{COVER.replace('failed pump', 'time < 20 min')}", False),
])
def test_what_has_to_come_first_may_wait_for_a_time_of_flight(first: str, early: bool) -> None:
    failures = TWO_FAILURES.format(at=4)
    second = f"{NEEDLE}, after: One, within: 8 min of failure pump"
    assert [each.rule for each in found(failures + sheet(first, second))] == ["window-too-early"] * early


def test_of_a_failure_that_the_story_brings_nobody_knows_when_it_comes() -> None:
    story = "events:\n  early: {after: 60 s, fail: needle}\n"
    assert found(TWO_FAILURES.format(at=12) + story
                 + sheet(NEEDLE, f"{COVER}, after: One, within: 5 min of failure pump")) == ()


DRAWN = "variations:\n  a: {{fails: [pump]}}\n  b: {{fails: {b}}}\n"


def varied(b: str) -> str:
    return TWO_FAILURES.format(at=4) + DRAWN.format(b=b)


@pytest.mark.parametrize(("b", "key", "parted"), [
    ("[needle]", "after: One", True),
    ("[needle]", "within: 5 min of item One", True),
    ("[needle, pump]", "after: One", False),
    ("[]", "after: One", False),                 # the needle then fails in every flight
])
def test_an_item_does_not_wait_for_one_of_another_variation(b: str, key: str, parted: bool) -> None:
    problems = found(varied(b) + sheet(COVER, f"{NEEDLE}, {key}"))
    assert [each.rule for each in problems] == ["named-of-another-variation"] * parted


def test_an_item_may_wait_for_another_variations_failure_by_its_window_alone() -> None:
    report = CALL.replace("when: failed pump, ", "")
    variations = varied("[needle]")
    assert [each.rule for each in found(variations + sheet(
        f"{report}, within: 5 min of failure pump", f"{NEEDLE}, after: One"))] == ["named-of-another-variation"]


def test_what_the_story_brings_may_happen_in_any_variation() -> None:
    brought = "events:\n  early: {after: 60 s, fail: needle}\n"
    assert found(varied("[needle]") + brought + sheet(COVER, f"{NEEDLE}, after: One")) == ()


def test_a_window_cannot_count_from_a_failure_of_another_variation() -> None:
    problems = found(varied("[needle]") + sheet(f"{NEEDLE}, within: 5 min of failure pump"))
    assert [each.rule for each in problems] == ["item-nobody-satisfies"]
    assert "`pump`" in problems[0].wrong
    assert found(varied("[needle]") + sheet(f"{NEEDLE}, within: 5 min of failure needle")) == ()
