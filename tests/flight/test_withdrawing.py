"""What a pilot gives up is not done any more, and what he names instead is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.understanding import answers
from drill.language import read
from flight.talk import CONTEXT, Talk
from flight.test_plans import over_orrinfell_country

NO_GYRO = "Larkspur 5304W, request no-gyro vectors to Wendle"
VECTORS = "Larkspur 5304W, request vectors to Wendle"


def after(*lines: str) -> Talk:
    talk = Talk()
    for each in lines:
        talk.say(each)
    return talk


@pytest.mark.parametrize("words", ["cancel no-gyro vectors", "request normal vectors",
                                   "we no longer need no-gyro vectors", "stop the no-gyro vectors, 04W"])
def test_no_gyro_vectors_that_are_not_needed_give_way_to_headings(words: str) -> None:
    talk = after(NO_GYRO)
    assert "fly heading zero eight zero, vectors to Wendle" in " ".join(talk.say(words))
    assert talk.state.turns is None
    assert "turn left." not in " ".join(talk.wait(90))


@pytest.mark.parametrize("words", ["cancel vectors, own navigation", "request own navigation",
                                   "cancel the vectors, we'll navigate on our own", "no more vectors please"])
def test_who_ends_vectors_is_on_his_own_navigation(words: str) -> None:
    talk = after(VECTORS)
    assert "resume own navigation, maintain five thousand" in " ".join(talk.say(words))
    assert (talk.state.place, talk.state.heading_deg, talk.state.vectored) == ("", None, False)


def test_a_bare_never_mind_while_led_is_asked_about() -> None:
    talk = after(VECTORS)
    assert "do you want to end vectors to Wendle?" in " ".join(talk.say("04W, never mind"))
    assert "resume own navigation" in " ".join(talk.say("affirmative, 04W"))
    talk = after(VECTORS, "04W, never mind")
    assert "vectors continue" in " ".join(talk.say("negative, 04W"))
    assert talk.state.place == "Wendle"


def test_a_request_that_waits_for_its_figure_can_be_withdrawn() -> None:
    talk = after("Larkspur 5304W, request higher", "disregard")
    assert not talk.state.wants_altitude
    assert "altitude" not in " ".join(talk.say("04W, seven thousand") + talk.wait(60))


def test_another_field_takes_the_place_of_the_first() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors to Tallowby")
    talk.say("scratch that, Wendle")
    assert talk.state.place == "Wendle"


@pytest.mark.parametrize(("words", "place"), [
    ("actually Tallowby, scratch Wendle", "Tallowby"), ("we cannot make Wendle, going to Tallowby instead", "Tallowby"),
    ("Wendle is too far, diverting to Tallowby", "Tallowby"),
    ("we would like to land at Wendle, not Tallowby", "Wendle"),
])
def test_of_two_fields_the_one_that_is_gone_to_is_meant(words: str, place: str) -> None:
    talk = after("Larkspur 5304W, lost the vacuum pump, diverting to Wendle", f"04W, {words}")
    assert talk.state.place == place


def test_an_altitude_is_mended_and_taken_back() -> None:
    talk = after("Larkspur 5304W, request lower", "4000")
    assert "maintain three thousand five hundred" in " ".join(talk.say("04W, make that 3500"))
    assert "roger, maintain five thousand" in " ".join(talk.say("04W, disregard, staying at 5000"))
    assert talk.state.altitude_ft == 5000.0


def test_a_clearance_direct_is_taken_back() -> None:
    talk = after("Larkspur 5304W, request direct Wendle")
    assert "direct Wendle cancelled. Say intentions" in " ".join(talk.say("04W, on second thought, cancel that"))
    assert not talk.state.place


def test_who_goes_there_goes_to_the_field_that_was_last_named() -> None:
    talk = after("Larkspur 5304W, what is the weather at Wendle", "04W, ok we will go there")
    assert talk.state.place == "Wendle"


def test_a_bare_cancel_of_an_emergency_is_asked_about() -> None:
    talk = after("Larkspur 5304W is declaring an emergency")
    assert "do you want to cancel the emergency?" in " ".join(talk.say("nothing, all good, cancel that"))
    assert "emergency cancelled" in " ".join(talk.say("affirmative, 04W"))


def test_who_tries_again_is_led_to_what_he_has_missed() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors and a surveillance approach at Orrinfell")
    talk.state = replace(talk.state, approach="surveillance 27")
    said = " ".join(talk.say("going around, runway not in sight"))
    assert "stay at or above three thousand, fly heading two seven zero" in said
    assert "vectors to Orrinfell, expect a radar approach" in " ".join(talk.say("we would like to try again"))


@pytest.mark.parametrize("line", ["cancel no-gyro vectors", "we no longer need no-gyro vectors"])
def test_what_gives_up_a_service_is_sent_while_it_is_given(line: str) -> None:
    assert answers(after(NO_GYRO).state, line, read(line, CONTEXT), CONTEXT)
    assert not answers(Talk().state, line, read(line, CONTEXT), CONTEXT)
