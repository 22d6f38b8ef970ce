"""Figures that are given on the radio: altimeter settings that an item asks for, and codes that a clearance assigns."""

from __future__ import annotations

import pytest

from check.fragments import WHOLE, completed
from drill.check.checking import check_text
from drill.scenario.loading import airplanes_beside
from drill.scenario.problems import Problem

SETTING = """weather: {{cloud: {{base: 1200 ft, tops: 7200 ft}}, pressure: 29.50 inHg}}
events:
  setting: {{after: 60 s, says: "{{callsign}}, {said}."}}
grade sheet:
  - item: Set it
    part: aviate
    do: set altimeter to {wanted}
    example: set altimeter to {wanted}
    why: Each tenth of an inch is a hundred feet.
    source: 14 CFR 91.121
"""


def found(piece: str) -> tuple[Problem, ...]:
    return check_text(completed(piece)[0], "short-hop.yaml", airplanes_beside(WHOLE)).problems


@pytest.mark.parametrize("said", [
    "altimeter two niner niner two", "altimeter 2992", "altimeter 29.92", "altimeter two niner decimal niner two",
    "QNH one zero one three", "QNH 1013",
])
@pytest.mark.parametrize("wanted", ["29.92", "1013 hPa"])
def test_a_setting_is_given_in_inches_with_or_without_their_point_and_in_hectopascals(said: str, wanted: str) -> None:
    # 29.92 inHg is 1,013.2 hPa: ICAO standard atmosphere
    assert found(SETTING.format(said=said, wanted=wanted)) == ()


@pytest.mark.parametrize("said", [
    "altimeter 29.82", "altimeter three zero one two", "QNH 1003", "altimeter 26.92", "traffic at 10 o'clock, 5 miles",
])
def test_an_item_that_asks_for_another_setting_than_is_given_is_told(said: str) -> None:
    assert [each.rule for each in found(SETTING.format(said=said, wanted="29.92"))] == ["says-otherwise"]


@pytest.mark.parametrize(("code", "why"), [
    ("1200", "VFR"),
    ("7500", "the pilot sets it unasked"),
    ("7600", "the pilot sets it unasked"),
    ("7700", "the pilot sets it unasked"),
    ("7777", "a civil pilot never sets it"),
])
def test_a_code_with_a_meaning_of_its_own_is_assigned_to_nobody_and_told_why(code: str, why: str) -> None:
    # AIM 4-1-20, from memory
    (problem,) = found(f'clearance: {{facility: Orrinfell Approach, code: "{code}"}}\n')
    assert (problem.level, problem.rule) == ("error", "out-of-range")
    assert why in problem.allowed


def test_any_other_code_can_be_assigned() -> None:
    assert found('clearance: {facility: Orrinfell Approach, code: "1201"}\n') == ()
