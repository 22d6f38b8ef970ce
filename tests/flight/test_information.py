"""What a pilot only wants to know is answered from the scenario's data and from radar, and grants nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.information import altimeter_digits
from flight.talk import Talk


@pytest.mark.parametrize(("call", "answer"), [
    ("what airports are near us", "Wendle is heading zero eight zero, two five miles. Tallowby is heading two five"),
    ("what is the nearest airport with an ILS?", "Tallowby is heading two five zero, three zero miles, ILS runway two"),
    ("which airport has better weather?", "Wendle is heading zero eight zero, two five miles. Wendle weather: sky"),
    ("what is the nearest airport?", "Wendle is heading zero eight zero"),
    ("say weather at Tallowby", "Tallowby weather: ceiling seven hundred, visibility two"),
    ("what are the bases?", "bases are reported at one thousand five hundred"),
    ("say tops", "tops are reported at seven thousand two hundred"),
    ("what's the altimeter at Tallowby?", "Tallowby altimeter two niner niner two"),
    ("altimeter", "Wendle altimeter two niner niner two"),
    ("say my distance from Tallowby", "Tallowby is heading two five zero, three zero miles"),
    ("how far is Wendle?", "two five miles"),
    ("where am I?", "radar shows you at five thousand, track two four zero, Wendle is heading zero eight zero"),
    ("say our position", "radar shows you at five thousand"),
    ("say minimum altitude", "minimum altitude three thousand"),
])
def test_a_question_is_answered_and_changes_neither_place_nor_assignment(call: str, answer: str) -> None:
    talk = Talk()
    assert answer in " ".join(talk.say(f"Larkspur 5304W, {call}"))
    assert (talk.state.place, talk.state.heading_deg, talk.state.altitude_ft) == ("", 240.0, 5000.0)


@pytest.mark.parametrize("call", ["say weather at Tallowby", "how far is Wendle?", "where am I?"])
def test_a_question_back_is_no_answer_to_say_intentions(call: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W has lost the vacuum pump")
    assert talk.state.question == "intentions"
    talk.say(f"04W, {call}")
    assert talk.state.place == ""


def test_a_wish_to_go_to_the_nearest_field_with_an_ils_is_led_to_that_one() -> None:
    assert "vectors to Tallowby" in " ".join(Talk().say("Larkspur 5304W, request the nearest airport with an ILS"))


@pytest.mark.parametrize("call", [
    "altimeter two niner eight six", "altimeter 29.86", "the altimeter has failed", "tops were at seven thousand",
])
def test_who_states_it_is_not_asking(call: str) -> None:
    said = " ".join(Talk().say(f"Larkspur 5304W, {call}"))
    assert "niner niner two" not in said
    assert "are reported" not in said


def test_over_a_clear_field_no_tops_are_reported() -> None:
    assert "no tops reported at Wendle" in " ".join(Talk().say("Larkspur 5304W, say the tops at Wendle"))


def test_without_fields_there_is_still_an_answer() -> None:
    talk = Talk()
    talk.scenario = replace(talk.scenario, fields=(), course=None)
    for call in ("what airports are near us", "where am I?", "how far is the field?", "say weather", "say altimeter"):
        assert talk.say(f"Larkspur 5304W, {call}")


def test_an_altimeter_setting_is_cut_off_to_hundredths_of_an_inch() -> None:
    assert [altimeter_digits(hpa) for hpa in (1013.25, 1011.0, 1016.0, 990.0)] == ["2992", "2985", "3000", "2923"]


@pytest.mark.parametrize("call", [
    "whats the temperature at 9000", "what is the temperature up at niner thousand?", "say temperature aloft at 9000",
    "how cold is it at nine thousand?", "request temperature at nine thousand",
    "is the temperature above freezing at 9000?",
])
def test_a_temperature_aloft_is_told_by_the_freezing_level_and_clears_nothing(call: str) -> None:
    talk = Talk()
    words = f"Larkspur 5304W, {call}"
    assert talk.say(words) == ["Larkspur five three zero four whiskey, no temperature reported at niner thousand."]
    talk.scenario = replace(talk.scenario, weather=replace(talk.scenario.weather, freezing_level_ft=7700.0))
    assert talk.say(words) == ["Larkspur zero four whiskey, freezing level seven thousand seven hundred, that makes it "
                               "about minus three degrees Celsius at niner thousand."]
    assert talk.state.altitude_ft == 5000.0


def test_beside_a_wish_the_temperature_there_is_told_and_a_drop_of_it_is_no_question() -> None:
    said = " ".join(Talk().say("Larkspur 5304W, request climb to 8000 and whats the temperature there"))
    assert "climb and maintain eight thousand. No temperature reported at eight thousand" in said
    assert "temperature" not in " ".join(Talk().say("Larkspur 5304W, request 8000, the temperature is dropping"))


@pytest.mark.parametrize("call", ["what is the freezing level up at 9000", "what's the freezing level at 9000"])
def test_a_question_about_the_freezing_level_clears_nothing(call: str) -> None:
    talk = Talk()
    assert talk.say(f"Larkspur 5304W, {call}") == [
        "Larkspur five three zero four whiskey, freezing level not reported."]
    assert talk.state.altitude_ft == 5000.0
