"""Loss of communications: an ident for a yes, what is said to who is heard again, and what is done without a radio.

FAA JO 7110.65 10-4-4, AIM 6-4-1 and 6-4-2, 14 CFR 91.185, all from memory; that a code is given back, and that the last
words are said again to who hears badly, is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.flight.controller_state import Line
from drill.scenario.model import Say
from flight.talk import HERE, Talk

RIDE = Say(Clean("{callsign}, how is the ride?"), asks="yes")


def ident(talk: Talk, then_s: float = 15.0) -> list[str]:
    """The pilot presses ident; what is said to it."""
    talk.radar = replace(talk.radar, ident=True)
    said = talk.wait(1)
    talk.radar = replace(talk.radar, ident=False)
    return [*said, *talk.wait(then_s)]


def silent() -> Talk:
    """A pilot who has not answered, and has been asked whether he hears."""
    talk = Talk()
    talk.line(RIDE)
    said = talk.wait(1)
    while not any("hear me" in each for each in said):
        said = talk.wait(1)
        assert talk.t < 200.0
    talk.wait(10)
    return talk


def by_ident() -> Talk:
    """A pilot who hears and answers by ident alone, and has been told so."""
    talk = silent()
    ident(talk, 40)
    return talk


def test_an_ident_answers_how_do_you_hear_me_before_it_is_asked_for() -> None:
    assert "ident observed. Acknowledge with ident" in ident(silent())[0]


def test_a_pilot_without_words_is_offered_vectors_for_an_ident_and_led_by_headings_after_it() -> None:
    talk = silent()
    assert "if you want vectors to Wendle, ident." in " ".join(ident(talk, 40))
    said = ident(talk)
    assert "ident observed" in said[0]
    assert "fly heading zero eight zero, vectors to Wendle" in said[1]


def test_no_ident_leaves_him_on_his_way() -> None:
    talk = by_ident()
    talk.wait(300)
    assert (talk.state.place, talk.state.heading_deg) == ("", 240.0)


def test_a_yes_or_no_is_asked_by_ident_of_who_has_no_words_and_in_words_once_he_has_them_again() -> None:
    talk = by_ident()
    question = Line(talk.t, "do you want no-gyro vectors?", question="no_gyro")
    talk.state = replace(talk.state, lines=(question,))
    assert talk.wait(5) == ["Larkspur five three zero four whiskey, if you want no-gyro vectors, ident."]
    talk.say("Larkspur 5304W, how do you hear me?")
    assert [each for each in talk.wait(60) if "no-gyro" in each] == [
        "Larkspur zero four whiskey, do you want no-gyro vectors?"]


def test_who_has_no_words_is_told_his_altitude_and_not_asked_to_verify_it() -> None:
    talk = by_ident()
    talk.radar = replace(talk.radar, altitude_ft=5500.0)
    said = " ".join(talk.wait(100))
    assert "you are assigned five thousand, acknowledge with ident" in said
    assert "verify" not in said
    assert ident(talk) == ["Larkspur five three zero four whiskey, ident observed."], "a yes to nothing else"


@pytest.mark.parametrize("words", ["Larkspur 5304W is back with you, we had a radio failure",
                                   "Larkspur 5304W on radio two, how do you hear?",
                                   "Larkspur 5304W, our radio works again"])
def test_who_is_heard_again_on_7600_is_told_so_and_given_his_own_code(words: str) -> None:
    talk = Talk()
    talk.radar = replace(HERE, code="7600")
    assert "if you read, ident" in " ".join(talk.wait(30))
    assert "loud and clear, squawk four five two one" in talk.say(words)[0]
    talk.radar = replace(talk.radar, code="4521")
    assert "squawk" not in " ".join(talk.say("04W, radio check"))


@pytest.mark.parametrize("words", ["are you there?", "do you hear us", "can you read us?", "radio check",
                                   "anybody on this frequency?"])
def test_who_asks_whether_he_is_heard_is_told_so(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, in cloud")
    assert "loud and clear" in talk.say(words)[0]


@pytest.mark.parametrize("words", ["you are weak and broken", "you're unreadable, 04W", "you were stepped on",
                                   "we could not read that", "04W, didn't hear you"])
def test_who_hears_badly_gets_the_last_words_once_more(words: str) -> None:
    talk = Talk()
    first = talk.say("Larkspur 5304W, request climb to seven thousand")
    assert talk.say(words)[0].endswith(first[0].partition(", ")[2])


def test_and_where_nothing_was_said_yet_is_asked_how_he_hears_now() -> None:
    assert "how do you hear me?" in Talk().say("Larkspur 5304W, you are very weak and broken")[0]


@pytest.mark.parametrize("words", [
    "if we lose the radio, what do you want us to do?", "we expect to lose the radio, 04W", "what if the radio quits?",
    "what are the lost comm instructions?", "what is the lost communications procedure here?",
    "04W, if you can't hear us what should we do"])
def test_what_to_do_without_a_radio_is_said_to_who_asks_or_expects_it(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, alternator failed")
    said = " ".join(talk.say(words))
    assert "squawk seven six zero zero" in said
    assert "In visual conditions remain VFR and land. Otherwise proceed to Tallowby at five thousand" in said
    assert "radio" not in talk.state.told.equipment, "it works, or this were not heard"


def test_who_has_lost_one_of_two_radios_is_not_asked_whether_he_can_hold_his_heading() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, our number one radio is dead, on number two now, continuing to Tallowby")
    said = " ".join(talk.wait(400))
    assert "fuel remaining" in said
    assert "maintain your heading" not in said


def test_what_was_not_read_back_is_said_again_to_who_is_heard_at_last() -> None:
    talk = Talk()
    talk.line(Say(Clean("{callsign}, climb and maintain {altitude}."), altitude_ft=6000.0, asks="readback"))
    while not any("hear me" in each for each in talk.wait(1)):
        assert talk.t < 200.0
    assert "maintain six thousand" in talk.say("loud and clear, Larkspur 5304W")[0]
    assert talk.say("six thousand, 04W") == []
