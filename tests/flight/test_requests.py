"""What ATC makes of requests, cancellations, statements and silence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight import controller
from drill.scenario.model import Say
from flight.talk import HERE, Talk

LOST_GYROS = "Larkspur 5304W has lost the attitude indicator and the heading indicator, request vectors to Wendle"


@pytest.mark.parametrize("wish", [
    "request climb on top and vectors to Wendle", "request climb to VFR conditions on top and vectors to Wendle",
    "request climb to visual conditions on top, then diverting to Wendle",
])
def test_a_climb_on_top_and_a_place_are_both_granted(wish: str) -> None:
    talk = Talk()
    said = " ".join(talk.say(f"Orrinfell Approach, Larkspur 5304W, {wish}"))
    assert "climb and maintain eight thousand" in said.lower()
    assert "Wendle" in said
    assert (talk.state.altitude_ft, talk.state.place) == (8000.0, "Wendle")


def test_a_field_once_named_answers_for_good_what_is_intended() -> None:
    talk = Talk()
    said = talk.say("Larkspur 5304W is diverting to Wendle")
    said += talk.say("04W has lost the vacuum pump")
    said += talk.wait(400)
    assert "intentions" not in " ".join(said)


def test_a_place_alone_answers_the_question_for_intentions() -> None:
    talk = Talk()
    assert "Say intentions." in " ".join(talk.say("Larkspur 5304W has lost the vacuum pump"))
    assert "cleared direct Wendle" in " ".join(talk.say("Wendle, 04W"))


def test_without_gyros_no_gyro_vectors_are_offered_before_any_heading() -> None:
    talk = Talk()
    said = talk.say(LOST_GYROS)
    assert said[0].endswith("Do you want no-gyro vectors?")
    assert "fly heading" not in said[0]
    assert talk.state.heading_deg is None
    assert "start and stop turns on my word" in " ".join(talk.say("affirmative, 04W"))
    assert talk.state.turns is not None


def test_who_wants_no_gyro_vectors_not_gets_a_heading() -> None:
    talk = Talk()
    talk.say(LOST_GYROS)
    assert "fly heading zero eight zero, vectors to Wendle" in " ".join(talk.say("negative, 04W"))
    assert talk.state.turns is None
    assert "no-gyro" not in " ".join(talk.say("04W requests vectors to Wendle")), "it is offered once"


@pytest.mark.parametrize("word", ["unable", "standby"])
def test_called_turns_wait_for_a_pilot_who_cannot_follow(word: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    talk.wait(30)
    talk.say(f"{word}, 04W")
    assert "turn left" not in " ".join(talk.wait(100))
    assert "turn left" in " ".join(talk.say("ready again, Larkspur 04W") + talk.wait(60))


def test_in_an_emergency_altitudes_stay_the_pilots_whatever_is_assigned_until_it_ends() -> None:
    talk = Talk()
    talk.say("mayday mayday mayday, Larkspur 5304W, vacuum failure, request vectors to Wendle")
    talk.say("04W requests climb to eight thousand")
    line = Say("{callsign}, maintain {altitude}.", altitude_ft=7000.0)  # type: ignore[arg-type]
    talk.state = controller.say(talk.state, line, talk.t)
    assert "verify altitude" not in " ".join(talk.wait(300))
    said = talk.say("cancel the emergency, 04W")
    assert said == ["Larkspur zero four whiskey, roger, emergency cancelled, maintain five thousand."]
    talk.radar = replace(HERE, altitude_ft=5800.0)
    said = talk.wait(200)
    assert "verify altitude" in " ".join(said)
    assert "declaring" not in " ".join(said)


def test_ifr_is_cancelled_only_in_visual_conditions_which_radar_asks_about_once() -> None:
    talk = Talk()
    assert talk.say("Larkspur 5304W, cancel IFR") == [
        "Larkspur five three zero four whiskey, verify you are in visual conditions."]
    assert "IFR cancellation received, squawk VFR" in " ".join(talk.say("affirmative, 04W"))
    assert (talk.state.heading_deg, talk.state.altitude_ft) == (None, None)


def test_who_is_in_cloud_keeps_the_clearance() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, cancel IFR")
    assert "IFR clearance remains in effect" in " ".join(talk.say("negative, 04W"))
    assert talk.state.altitude_ft == 5000.0
    insists = talk.say("04W, cancel IFR")
    assert "verify" not in " ".join(insists), "asked once"


def test_who_reports_visual_conditions_is_not_asked_about_them() -> None:
    said = " ".join(Talk().say("Larkspur 5304W is in visual conditions, cancel IFR"))
    assert "IFR cancellation received" in said
    assert "verify" not in said


def test_a_statement_gets_roger_and_a_radio_check_its_answer() -> None:
    talk = Talk()
    talk.say("Orrinfell Approach, Larkspur 5304W")
    assert talk.say("smooth ride so far, Larkspur 04W") == ["Larkspur zero four whiskey, roger."]
    assert talk.say("Larkspur 04W, radio check") == ["Larkspur zero four whiskey, loud and clear."]
    assert talk.say("Orrinfell Approach, Larkspur zero four whiskey") == ["Larkspur zero four whiskey, go ahead."]


@pytest.mark.parametrize("words", ["what are the tops?", "say tops", "request the tops report"])
def test_tops_are_read_to_who_asks_for_them(words: str) -> None:
    said = " ".join(Talk().say(f"Larkspur 5304W, {words}"))
    assert "tops are reported at seven thousand two hundred" in said
    assert "weather" not in said


@pytest.mark.parametrize("call", [
    "Larkspur 5304W, mayday, we have lost the pump, unable, request lower", LOST_GYROS + ", request lower",
    "Larkspur 5304W, unable, cancel IFR, request higher", "Larkspur 5304W, mayday, request lower, unable",
])
def test_a_transmission_asks_one_thing(call: str) -> None:
    for words in Talk().say(call):
        lower = words.lower()
        assert sum(lower.count(each) for each in ("say intentions", "say altitude", "?", "verify", "say nature")) <= 1


def test_after_say_again_a_right_read_back_closes_it() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests climb to seven thousand")
    again = talk.say("say again, 04W")
    assert "seven thousand" in again[0]
    assert talk.say("seven thousand, 04W") == []
    assert talk.state.unanswered_since_s is None
    assert not talk.state.unread


def test_what_was_read_back_wrong_is_read_back_again() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests climb to seven thousand")
    assert "negative, maintain seven thousand" in talk.say("maintain eight thousand, 04W")[0]
    assert talk.state.unread == ("altitude",)
    assert talk.say("seven thousand, 04W") == []


def test_a_wrong_altimeter_setting_is_corrected() -> None:
    talk = Talk()
    line = Say("{callsign}, the Tallowby altimeter is two niner eight six.", asks="yes")  # type: ignore[arg-type]
    talk.state = controller.say(talk.state, line, talk.t)
    talk.wait(10)
    assert "negative, altimeter two niner eight six" in talk.say("altimeter two niner six eight, Larkspur 5304W")[0]
    assert talk.say("altimeter 29.86, Larkspur 5304W") == []


def test_the_emergency_code_is_observed_once_and_declares_nothing() -> None:
    talk = Talk()
    talk.radar = replace(HERE, code="7700")
    said = talk.wait(60)
    assert said[0] == ("Larkspur five three zero four whiskey, observed your emergency squawk. Say nature of the "
                       "problem.")
    assert sum("squawk" in each for each in said) == 1
    assert talk.state.told.urgency == "none"


def test_into_a_long_silence_in_trouble_intentions_are_asked_for_twice_and_then_only_for_a_word() -> None:
    talk = Talk()
    said = talk.say("Larkspur 5304W, we are partial panel") + talk.say("standby, 04W") + talk.wait(3600)
    assert sum("say intentions" in each.lower() for each in said) == 2
    assert 1 <= sum("how do you hear me" in each for each in said) <= 5
    led = Talk()
    led.say("Larkspur 5304W has lost the vacuum pump, request vectors to Wendle")
    assert "intentions" not in " ".join(led.wait(3600))
