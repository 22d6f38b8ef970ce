"""Weather in code follows the notation of the METAR: FMH-1 chapter 12, AIM 7-1-15, and their published examples."""

from dataclasses import replace

import pytest

from drill.cockpit.briefing.coded_weather import (
    BY_THE_AUTHOR,
    MADE_BY_DRILL,
    altimeter_group,
    coded_lines,
    sky_group,
    station,
    visibility_group,
    wind_group,
)
from drill.scenario import load, shipped

HPA_PER_INHG = 33.86389


@pytest.mark.parametrize(("from_deg", "knots", "group"), [
    (130, 8, "13008KT"), (0, 0, "00000KT"), (210, 103, "210103KT"),      # AIM, wind examples of the key to METAR
    (90, 12, "09012KT"),                                                 # from 90 degrees is written 090
    (360, 15, "36015KT"), (0, 15, "36015KT"), (357, 9, "36009KT"),       # north is 360; 000 is calm alone
    (274, 9, "27009KT"), (275, 9, "28009KT"), (180, 0.4, "00000KT"),
])
def test_wind_is_three_figures_of_direction_and_two_or_more_of_speed(from_deg: float, knots: float, group: str) -> None:
    assert wind_group(from_deg, knots) == group


@pytest.mark.parametrize(("miles", "group"), [
    (7, "7SM"), (15, "15SM"), (0.5, "1/2SM"),                            # AIM, visibility examples of the key to METAR
    (1.5, "1 1/2SM"), (10, "10SM"), (0.875, "7/8SM"), (1.125, "1 1/8SM"), (0.0625, "1/16SM"), (0, "0SM"),
    (2.25, "2 1/4SM"), (1.75, "1 3/4SM"),
])
def test_visibility_is_in_statute_miles_with_a_space_before_a_fraction(miles: float, group: str) -> None:
    assert visibility_group(miles) == group


@pytest.mark.parametrize(("miles", "group"), [(0.9, "7/8SM"), (2.4, "2 1/4SM"), (3.9, "3SM"), (17, "15SM")])
def test_between_two_reportable_visibilities_the_lower_is_reported(miles: float, group: str) -> None:
    assert visibility_group(miles) == group


@pytest.mark.parametrize(("feet", "group"), [
    (700, "OVC007"), (12_000, "OVC120"), (17_000, "OVC170"), (0, "OVC000"), (1_040, "OVC010"),
    (5_300, "OVC055"), (9_700, "OVC095"), (10_400, "OVC100"), (None, "SKC"),
])
def test_a_ceiling_is_in_hundreds_of_feet_and_coarser_above_five_and_ten_thousand(
    feet: float | None, group: str,
) -> None:
    assert sky_group(feet) == group


@pytest.mark.parametrize("inches", [29.86, 29.92, 29.99, 30.13, 28.5, 31.0])
def test_an_altimeter_setting_is_four_figures_of_hundredths(inches: float) -> None:
    assert altimeter_group(inches * HPA_PER_INHG) == f"A{inches * 100:04.0f}"


def test_an_altimeter_setting_is_cut_off_not_rounded() -> None:
    assert altimeter_group(29.868 * HPA_PER_INHG) == "A2986"


def test_a_field_s_name_stands_for_its_identifier() -> None:
    assert station("Sankt Märgen 2") == "SANKTMARGEN2"
    assert station("山") == "STATION"


def test_the_author_s_lines_are_shown_as_they_are() -> None:
    scenario = load(shipped()["cruise-to-tallowby"])
    lines, whose = coded_lines(scenario)
    assert tuple(lines) == scenario.weather.coded
    assert whose == BY_THE_AUTHOR


def test_without_lines_of_the_author_s_each_field_is_coded_and_said_to_be_ours() -> None:
    scenario = load(shipped()["cruise-to-tallowby"])
    lines, whose = coded_lines(replace(scenario, weather=replace(scenario.weather, coded=())))
    assert lines == [
        "TALLOWBY 27020KT 2SM OVC007 A2986", "ORRINFELL 27020KT 4SM OVC011 A2986", "WENDLE 27020KT 10SM SKC A2986",
    ]
    assert whose == MADE_BY_DRILL
    assert "invented" in whose
