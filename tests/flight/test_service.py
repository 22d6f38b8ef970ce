"""Questions get answers, requests around weather are approved, and the ground is answered as the ground."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight import controller
from drill.flight.controller_state import Radar
from drill.flight.reports import field_altimeter, reported
from drill.language import read_call
from drill.scenario.model import Scenario
from flight.flights import short
from flight.talk import HERE, Talk
from flight.test_final import cruise
from flight.test_on_the_ground import averholt


def over(scenario: Scenario, mood: str = "helpful", *, parked: bool = False) -> Talk:
    talk = Talk()
    talk.scenario = replace(scenario, clearance=replace(scenario.clearance, mood=mood))  # type: ignore[arg-type]
    talk.state = controller.begin(talk.scenario)
    talk.radar = Radar(0.0, 0.0, 560.0, 120.0, on_ground=True) if parked else replace(HERE, altitude_ft=6000.0)
    return talk


def heard(talk: Talk, words: str) -> str:
    context = talk.scenario.context
    call = controller.understood(talk.state, read_call(f"{context.callsign}, {words}", context), context)
    talk.state = controller.hear(talk.state, call)
    return " ".join(talk.wait(25))


@pytest.mark.parametrize("words", ["where's the nearest VFR", "what are the tops and where's it clear",
                                   "do you have anything VFR nearby"])
def test_who_asks_where_visual_conditions_are_is_told_and_then_asked_what_he_wants(words: str) -> None:
    talk = over(cruise())
    said = heard(talk, words)
    assert "Wendle is heading zero seven eight, two four miles. Wendle weather: Sky clear, ten miles" in said
    assert said.lower().count("tops are reported at seven thousand two hundred") == 1
    assert said.endswith("Do you want vectors there?")
    assert (talk.state.place, talk.state.heading_deg) == ("", 240.0)
    assert "vectors to Wendle" in heard(talk, "affirmative")


@pytest.mark.parametrize("words", ["request vectors to VMC", "get me to VFR", "request vectors to visual conditions"])
def test_who_requests_it_is_led_there(words: str) -> None:
    assert "fly heading zero eight zero, vectors to Wendle" in heard(over(cruise()), words)


@pytest.mark.parametrize(("words", "answer"), [
    ("how's the ride up at nine", "light turbulence reported at eight thousand"),
    ("how far to Orrinfell", "Orrinfell is heading two zero five, one six miles"),
    ("what's our heading", "radar shows your track two four zero"),
    ("say our heading", "radar shows your track two four zero"),
    ("can you watch my heading", "wilco"),
    ("is anyone reporting icing", "no reports of icing"),
    ("any icing reports", "no reports of icing"),
    ("what's the wind at Wendle", "Wendle wind two seven zero at one one"),
    ("wind at Orrinfell", "Orrinfell wind two seven zero at niner"),
    ("what are you vectoring us for", "heading two four zero is your assigned heading"),
])
def test_a_complete_question_gets_its_answer_and_changes_nothing(words: str, answer: str) -> None:
    talk = over(cruise())
    assert answer in heard(talk, words)
    assert (talk.state.place, talk.state.heading_deg, talk.state.altitude_ft) == ("", 240.0, 6000.0)


def test_groundspeed_and_time_come_from_the_radar() -> None:
    talk = over(cruise())
    for _ in range(30):
        talk.radar = replace(talk.radar, east_nm=talk.radar.east_nm + 90.0 / 3600.0, track_deg=90.0)
        talk.wait(1)
    talk.state = controller.hear(talk.state, read_call("Larkspur 5304W, say our groundspeed", talk.scenario.context))
    said = ""
    for _ in range(10):
        talk.radar = replace(talk.radar, east_nm=talk.radar.east_nm + 90.0 / 3600.0)
        said += " ".join(talk.wait(1))
    assert "groundspeed niner zero" in said
    talk.state = controller.hear(talk.state, read_call("04W, how long to Wendle?", talk.scenario.context))
    for _ in range(10):
        talk.radar = replace(talk.radar, east_nm=talk.radar.east_nm + 90.0 / 3600.0)
        said += " ".join(talk.wait(1))
    assert "about one five minutes" in said


def test_what_vectors_are_for_is_the_plan() -> None:
    talk = over(cruise())
    heard(talk, "request vectors to Orrinfell")
    assert "vectors to the final approach course, runway two seven at Orrinfell" in heard(
        talk, "what are you vectoring us for?")


@pytest.mark.parametrize("words", ["picking up ice, request lower", "the ride is smooth", "we are in icing",
                                   "light turbulence at six thousand", "wind is on the nose"])
def test_what_is_only_stated_is_not_answered_as_a_question(words: str) -> None:
    assert "report" not in heard(over(cruise()), words)


def test_the_altimeter_setting_that_is_given_is_the_one_of_the_fields_own_report() -> None:
    settings = {str(each.name): field_altimeter(cruise(), each) for each in cruise().fields}
    assert settings == {"Tallowby": "2986", "Orrinfell": "2990", "Wendle": "2994"}
    assert field_altimeter(short(), short().fields[0]) == "2992"
    assert "Orrinfell altimeter two niner niner zero" in heard(over(cruise()), "say altimeter at Orrinfell")


def test_a_pilots_report_is_read_for_ride_and_icing() -> None:
    coded = "UA /OV ORRINFELL /TM 1741 /FL070 /TP LARKSPUR 180 /TB MOD /IC LGT RIME"
    weather = replace(cruise().weather, coded=(coded,))  # type: ignore[arg-type]
    scenario = replace(cruise(), weather=weather)
    assert "moderate turbulence reported at seven thousand" in reported(scenario, "ride")
    assert "light icing reported at seven thousand" in reported(scenario, "icing")


@pytest.mark.parametrize(("words", "answer"), [
    ("request five degrees left for weather", "deviation five degrees left approved"),
    ("request 20 degrees right for weather", "deviation two zero degrees right approved"),
    ("request deviation left for build-ups", "deviation left approved"),
    ("going off frequency for a minute to get the weather", "approved, report back on this frequency"),
    ("vectors around this rain", "around the weather, report clear"),
])
def test_around_weather_is_no_question_about_weather(words: str, answer: str) -> None:
    # AIM 7-1-12 and FAA JO 7110.65 2-6-4, by memory
    talk = over(cruise())
    said = heard(talk, words)
    assert answer in said
    assert "overcast" not in said
    assert "vectors to" not in said


def test_who_is_clear_of_the_weather_is_led_on() -> None:
    talk = over(cruise())
    heard(talk, "request vectors to Wendle")
    heard(talk, "request 10 degrees right for weather")
    assert talk.state.heading_deg is None
    assert "heading zero eight zero, vectors to Wendle" in heard(talk, "clear of weather")


@pytest.mark.parametrize(("words", "answer"), [
    ("what's the freezing level", "freezing level eight thousand five hundred"),
    ("is Wendle clear?", "Wendle weather: Sky clear"),
    ("what altitude do you show me at?", "radar shows you at six thousand"),
    ("say heading", "radar shows your track two four zero"),
])
def test_more_questions_are_answered_by_what_is_known(words: str, answer: str) -> None:
    assert answer in heard(over(cruise()), words)


def test_the_weather_there_is_that_of_the_place_that_is_headed_for() -> None:
    talk = over(cruise())
    heard(talk, "request vectors to Wendle")
    said = heard(talk, "how's the weather there?")
    assert "Wendle weather" in said
    assert "Tallowby" not in said


def test_who_asks_for_the_weather_still_gets_it() -> None:
    assert "Wendle weather: Sky clear" in heard(over(cruise()), "request the weather at Wendle")


@pytest.mark.parametrize(("words", "answer"), [
    ("request VFR departure to the east", "VFR departure to the east approved, advise ready to taxi"),
    ("would like no gyro vectors", "unable on the ground"),
    ("request vectors to Stennor", "unable on the ground"),
    ("cancel IFR", "IFR clearance cancelled"),
    ("request taxi", "taxi to runway two seven, hold short"),
    ("ready to taxi", "taxi to runway two seven, hold short"),
    ("request taxi back to the ramp", "taxi to the ramp"),
])
def test_ground_answers_as_ground(words: str, answer: str) -> None:
    said = heard(over(averholt(), parked=True), words)
    assert answer in said
    for each in ("fly heading", "standard rate", "visual conditions"):
        assert each not in said


def test_a_busy_controller_answers_whether_a_line_was_for_us_at_once() -> None:
    talk = over(cruise(), "busy")
    said = heard(talk, "was that for 04W?")
    assert "stand by" not in said
    assert "negative, that was not for you" in said
