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
