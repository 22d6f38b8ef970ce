"""A question that is open is put again, a bounded number of times; then the silent pilot is searched for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.scenario.model import Say
from flight.talk import Talk
from flight.test_plans import over_orrinfell_country
from flight.test_silence import times


def missed(first: str, then: str) -> Talk:
    """A talk right after an approach at Tallowby has been missed, with `then` as the pilot's last words."""
    talk = over_orrinfell_country()
    talk.say(f"Larkspur 5304W, {first}")
    talk.state = replace(talk.state, approach="ILS 24", place="Tallowby", altitude_ft=None, heading_deg=None)
    assert "say intentions" in " ".join(talk.say("going missed, 04W")).lower()
    if then:
        talk.say(then)
    return talk


@pytest.mark.parametrize("first", ["vacuum failure, in cloud", "request the ILS at Tallowby"])
@pytest.mark.parametrize("then", ["", "climb and maintain three thousand, 04W", "04W, standby"])
def test_after_a_missed_approach_intentions_are_asked_for_again_within_90_seconds(first: str, then: str) -> None:
    talk = missed(first, then)
    assert times(talk, 90, "say intentions")


@pytest.mark.parametrize("then", ["", "climb and maintain three thousand, 04W"])
def test_who_never_answers_after_a_missed_approach_is_searched_for_and_not_asked_without_end(then: str) -> None:
    talk = missed("request the ILS at Tallowby", then)
    said = talk.wait(300)
    assert any("how do you hear me" in each for each in said)
    assert sum("say intentions" in each for each in said + talk.wait(1200)) <= 3


def test_an_answer_ends_the_asking() -> None:
    talk = missed("request the ILS at Tallowby", "")
    talk.say("request vectors to Wendle, 04W")
    assert not times(talk, 200, "say intentions")


@pytest.mark.parametrize(("first", "asks"), [
    ("Larkspur 5304W, request higher", "say altitude wanted"),
    ("Larkspur 5304W, heading indicator failed, request vectors to Wendle, in cloud", "do you want no-gyro vectors?"),
    ("Larkspur 5304W, what is the nearest airport", "do you want vectors there?"),
    ("Larkspur 5304W, cancel IFR", "verify you are in visual conditions"),
])
def test_a_question_that_is_left_open_is_put_once_more(first: str, asks: str) -> None:
    talk = Talk()
    assert asks in " ".join(talk.say(first)).lower()
    again = " ".join(talk.wait(120)).lower()
    assert again.count(asks) == 1
    assert asks not in " ".join(talk.wait(600)).lower(), "twice is enough"


def test_a_scenarios_question_is_put_again_in_its_own_words_and_not_in_trouble() -> None:
    line = Say(Clean("{callsign}, you are well east of your course. How is the ride at five thousand?"), asks="yes")
    talk = Talk()
    talk.say("Larkspur 5304W, radio check")
    talk.line(line)
    talk.wait(10)
    assert talk.wait(60)[0] == "Larkspur zero four whiskey, how is the ride at five thousand?"
    troubled = Talk()
    troubled.line(line)
    troubled.wait(5)
    troubled.say("mayday, Larkspur 5304W, vacuum failure")
    assert not times(troubled, 200, "how is the ride")


def test_who_asks_for_time_is_given_it() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request higher")
    talk.say("standby, 04W")
    assert not times(talk, 15, "altitude wanted")
    assert times(talk, 90, "altitude wanted")


def test_a_question_that_a_line_of_the_scenario_only_implies_is_put_again_in_his_own_words() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, level five thousand")
    talk.line(Say(Clean("{callsign}, roger the missed approach, climb and maintain six thousand."),
                  altitude_ft=6000.0, asks="intentions"))
    said = talk.wait(70)
    assert sum("missed approach" in each for each in said) == 1
    assert any(each.lower().endswith("say intentions.") for each in said)
