"""Fields that can be come to in their weather, altitudes that clear the ground, and words that are no field's name."""

from __future__ import annotations

import pytest

from check.fragments import WHOLE, completed
from drill.check.checking import check_text
from drill.flight.served import is_radar
from drill.scenario.loading import airplanes_beside
from drill.scenario.problems import Problem

WENDLE = "  Wendle: {bearing: 080, distance: 38 nm, ceiling: clear}\n"
ON_THE_RAMP = "start: {phase: cruise, on ground: yes, heading: 240, on board: 2, fuel: 3 h}\n"


def found(piece: str) -> tuple[Problem, ...]:
    return check_text(completed(piece)[0], "short-hop.yaml", airplanes_beside(WHOLE)).problems


def field(weather: str, approaches: str, name: str = "Tallowby") -> str:
    return (f"fields:\n  {name}: {{bearing: 250, distance: 14 nm, {weather}, "
            f"approaches: [{approaches}]}}\n{WENDLE}")


@pytest.mark.parametrize(("weather", "approaches", "wants"), [
    ("ceiling: 700 ft, visibility: 1 sm", "contact", ""),
    ("ceiling: 700 ft, visibility: 1 sm", "visual, contact", ""),
    ("ceiling: 1000 ft, visibility: 3 sm", "visual", ""),
    ("ceiling: clear, visibility: 0.75 sm", "contact", "to be clear of cloud and 1 sm"),
    ("ceiling: 900 ft, visibility: 5 sm", "visual", "1,000 ft and 3 sm"),
    ("ceiling: clear, visibility: 2 sm", "visual", "1,000 ft and 3 sm"),
    ("ceiling: clear, visibility: 2 sm", "", "1,000 ft and 3 sm"),
])
def test_a_visual_approach_wants_1000_ft_and_3_miles_a_contact_one_a_mile_clear_of_cloud(
    weather: str, approaches: str, wants: str
) -> None:
    # AIM 5-4-23 and 5-4-25, from memory
    problems = found(field(weather, approaches))
    assert [each.rule for each in problems] == ["no-way-down"] * bool(wants)
    assert all(wants in each.allowed for each in problems)


@pytest.mark.parametrize("approach", ["ASR 27", "SRA 27", "surveillance 27"])
def test_a_surveillance_approach_is_called_by_either_of_its_abbreviations(approach: str) -> None:
    # ASR in the United States, SRA elsewhere: from memory
    assert found(field("ceiling: 700 ft", approach)) == ()
    assert is_radar(approach)


def test_a_departure_is_not_cleared_below_the_minimum_altitude() -> None:
    # 14 CFR 91.177(a): IFR altitudes
    heights = "minimum altitude: 2400 ft\nclearance: {facility: Orrinfell Approach, altitude: %s}\n"
    (problem,) = [each for each in found(ON_THE_RAMP + heights % "1000 ft") if each.rule == "too-low"]
    assert "cleared to 1,000 ft" in problem.wrong
    assert [each for each in found(ON_THE_RAMP + heights % "2400 ft") if each.rule == "too-low"] == []


def test_a_departure_that_waits_for_its_altitude_has_none_that_is_too_low() -> None:
    assert [each for each in found(ON_THE_RAMP) if each.rule == "too-low"] == []


@pytest.mark.parametrize(("cloud", "inside"), [
    ("{base: 1200 ft, tops: 1500 ft}", False),
    ("{base: 2100 ft, tops: 7200 ft}", False),
    ("{base: 1200 ft, tops: 2000 ft}", True),
    ("{base: 2000 ft, tops: 7200 ft}", True),
])
def test_cleared_below_the_minimum_altitude_it_is_said_to_be_in_cloud_between_its_base_and_tops(
    cloud: str, inside: bool
) -> None:
    (problem,) = found(f"weather: {{cloud: {cloud}}}\nminimum altitude: 2400 ft\n"
                       "clearance: {facility: Orrinfell Approach, altitude: 2000 ft}\n")
    assert (problem.rule, "in cloud" in problem.wrong) == ("too-low", inside)


@pytest.mark.parametrize(("name", "words"), [
    ("Heather", "Weather is on its way. Weather it is."),
    ("Marsh", "You fly. Harsh winds blow."),
    ("Marsh", 'Your friend says: "Harsh, is it not?"'),
    ("Marsh", "It was a cold day in March."),
    ("Fright", "The wing Bright and its lights: bright ones."),
    ("Heather", "A Climb in Weather"),
])
def test_an_ordinary_word_that_is_nearly_a_name_is_no_misspelt_field(name: str, words: str) -> None:
    assert found(field("ceiling: 700 ft", "ILS 24", name) + f"briefing: '{words}'\n") == ()


@pytest.mark.parametrize(("name", "words"), [
    ("Heather", "You are on the way to Heathar."),
    ("Marsh", "The lights of Marhs are on."),
    ("Tallowby", "Talowby is near."),
    ("Tallowby", "You rest. Tallwoby is near."),
])
def test_a_misspelt_field_is_told_and_at_the_head_of_a_sentence_if_its_letters_are_swapped_or_doubled(
    name: str, words: str
) -> None:
    assert [each.rule for each in found(field("ceiling: 700 ft", "ILS 24", name) + f"briefing: {words}\n")] == [
        "nearly-named"]


def test_in_a_title_any_word_may_have_a_capital() -> None:
    at_heather = field("ceiling: 700 ft", "ILS 24", "Heather")
    assert found(at_heather + "board title: The Leather Case\n") == ()
    assert [each.rule for each in found(at_heather + "board title: Over to Haether\n")] == ["nearly-named"]
