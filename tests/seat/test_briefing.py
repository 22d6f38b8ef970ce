"""The briefing says what a pilot would know before the flight, and nothing that gives the flight away."""

import pytest

from drill.flight.readings import setting_words
from drill.grading.debrief import CAUTIONS
from drill.scenario import Scenario, load, shipped
from drill.seat.briefing import briefing_lines, duration, feet, hands


@pytest.fixture(params=sorted(shipped()))
def scenario(request: pytest.FixtureRequest) -> Scenario:
    return load(shipped()[request.param])


def test_it_opens_with_the_cautions(scenario: Scenario) -> None:
    assert tuple(briefing_lines(scenario)[: len(CAUTIONS)]) == CAUTIONS


def test_it_names_the_board_title_the_airplane_the_fields_and_the_clearance(scenario: Scenario) -> None:
    said = "\n".join(briefing_lines(scenario))
    for wanted in (
        scenario.board_title, scenario.airplane.title, scenario.callsign, scenario.clearance.facility,
        f"altimeter set to {setting_words(scenario.start.altimeter_hpa)}",
        feet(scenario.minimum_altitude_ft), duration(scenario.start.fuel_min), *scenario.weather.coded,
        *(field.name for field in scenario.fields),
    ):
        assert wanted in said
    assert hands(scenario) in said


def test_the_hands_are_told_of_as_the_flight_begins() -> None:
    # on the ramp they steer by eye; beside an autopilot it flies; else they hold what is ordered
    told = {scenario.name: hands(scenario) for scenario in map(load, shipped().values())}
    assert "hold what you order, by the instruments you tell them to trust" in told["cruise-to-tallowby"]
    assert "steer by what is outside" in told["departure-from-averholt"]
    assert told["letters-for-marrowby"].startswith("The autopilot flies")


def test_it_keeps_title_aim_failures_and_grade_sheet_to_itself(scenario: Scenario) -> None:
    said = "\n".join(briefing_lines(scenario))
    for kept in (
        scenario.title, scenario.aim, *(failure.how for failure in scenario.failures),
        *(item.name for item in scenario.grade_sheet), *(ending.tell for ending in scenario.endings),
    ):
        assert kept not in said


@pytest.mark.parametrize(("minutes", "words"), [
    (190, "3 hours 10 minutes"), (60, "1 hour"), (45, "45 minutes"), (1, "1 minute"), (0, "0 minutes"),
    (121, "2 hours 1 minute"),
])
def test_fuel_is_said_in_hours_and_minutes(minutes: float, words: str) -> None:
    assert duration(minutes) == words
