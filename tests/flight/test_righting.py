"""What is reported in the stead of what was reported before, and what was told is taken back (no source)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flight.talk import Talk
from flight.test_open_question import is_sent

VACUUM = "Larkspur 5304W, our vacuum pump has failed"


@pytest.mark.parametrize("words", [
    "it is the turn coordinator, not the vacuum", "correction, turn coordinator", "make that the turn coordinator",
    "I meant the turn coordinator", "sorry, it is only the turn coordinator",
    "actually it's the turn coordinator only, suction is normal", "disregard the vacuum, it's the turn coordinator",
    "we got it wrong, it is the turn coordinator", "04W, correction, it was the turn coordinator",
    "the vacuum pump is fine, our turn coordinator is out", "it turns out to be the turn coordinator",
])
def test_the_part_that_is_named_now_has_failed_and_the_other_has_not(words: str) -> None:
    talk = Talk()
    talk.say(VACUUM)
    assert "copy turn coordinator failed" in " ".join(talk.say(words))
    assert talk.state.told.equipment == {"turn_coordinator"}


@pytest.mark.parametrize("words", ["correction, turn coordinator", "make that the turn coordinator",
                                   "actually it is the turn coordinator only, the vacuum is fine"])
def test_a_correction_of_what_he_was_told_needs_no_address(words: str) -> None:
    talk = Talk()
    talk.say(VACUUM)
    talk.state = replace(talk.state, question="")
    assert is_sent(talk, words)
    assert not is_sent(Talk(), words), "and nothing was told before"


@pytest.mark.parametrize("words", [
    "we have lost the turn coordinator too", "and the turn coordinator as well has failed",
    "actually the turn coordinator is working", "sorry, say again", "correction, heading two four zero",
    "make that seven thousand", "should I have said the turn coordinator?", "sorry, the turn coordinator is fine",
])
def test_news_besides_and_other_corrections_take_nothing_back(words: str) -> None:
    talk = Talk()
    talk.say(VACUUM)
    talk.say(words)
    assert "vacuum_system" in talk.state.told.equipment


def test_of_several_failures_only_what_is_named_is_taken_back() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure and the alternator has failed")
    talk.say("correction, the turn coordinator")
    assert talk.state.told.equipment == {"vacuum_system", "alternator", "turn_coordinator"}
    talk.say("it is only the alternator, not the vacuum")
    assert "vacuum_system" not in talk.state.told.equipment


def test_an_emergency_that_rested_on_what_is_taken_back_is_not_announced_any_more() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, IMC, continue to Tallowby")
    talk.say("negative")
    while talk.state.stage != "handled":
        talk.hear("04W")
        talk.wait(1)
        assert talk.t < 120.0
    talk.say("04W, correction, the vacuum is fine, it is the transponder")
    assert "handling you as an emergency" not in " ".join(talk.wait(60))


def test_who_has_his_gyro_again_is_asked_whether_he_can_fly_headings() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, IMC, request no-gyro vectors to Wendle")
    said = " ".join(talk.say("the vacuum is fine, it is only the turn coordinator"))
    assert "are you able to fly headings?" in said.lower()
    assert "no-gyro vectors end, fly heading zero" in " ".join(talk.say("affirm"))
    assert talk.state.turns is None


def test_and_is_turned_on_his_word_as_before_if_not() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, IMC, request no-gyro vectors to Wendle")
    talk.say("the vacuum is fine, it is only the turn coordinator")
    assert "no-gyro vectors continue" in " ".join(talk.say("negative"))
    assert talk.state.turns is not None
