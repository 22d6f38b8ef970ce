"""What the controller asks for, in which order, and the few words that answer it (FAA JO 7110.65 10-2-1, by memory)."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from drill.clean import Clean
from drill.flight.understanding import answers
from drill.language import read
from drill.scenario.model import Say
from flight.talk import CONTEXT, Talk

REPORT = "Larkspur 5304W has lost the vacuum pump, request vectors to Wendle"


def asked(what: str) -> Talk:
    """A talk in which this has just been asked for as the next thing."""
    order = ("control", "conditions", "fuel", "people")
    talk = Talk(when_able=(what,))  # type: ignore[arg-type]
    assert what in order
    talk.say(REPORT)
    talk.say("negative, 04W")
    assert talk.wait(40)
    assert talk.state.question == what
    return talk


@pytest.mark.parametrize("words", ["affirm", "affirmative, 04W", "yes", "we are able"])
def test_a_yes_says_that_control_is_kept_and_so_how_far_the_flight_is_limited(words: str) -> None:
    talk = asked("control")
    talk.say(words)
    assert talk.state.told.impairment or words == "we are able"
    assert talk.state.stage == "trouble"


@pytest.mark.parametrize("words", ["negative", "no, 04W", "barely", "unable", "not really"])
def test_a_no_says_that_it_is_not(words: str) -> None:
    talk = asked("control")
    talk.say(words)
    assert (talk.state.control, talk.state.stage, talk.state.told.impairment) == ("unable", "handled", True)


@pytest.mark.parametrize(("words", "conditions"), [
    ("IMC", "imc"), ("IMC, 04W", "imc"), ("in cloud", "imc"), ("VMC", "vmc"), ("VMC, 04W", "vmc"),
])
def test_a_bare_word_says_what_weather_the_airplane_is_in(words: str, conditions: str) -> None:
    talk = asked("conditions")
    talk.say(words)
    assert talk.state.told.conditions == conditions


@pytest.mark.parametrize("words", ["four hours", "an hour and ten", "90 minutes", "2+30", "about three hours, 04W"])
def test_a_bare_time_is_the_fuel(words: str) -> None:
    talk = asked("fuel")
    talk.say(words)
    assert talk.state.told.fuel
    assert "fuel" not in " ".join(talk.wait(100))


def test_fuel_that_is_told_when_the_next_thing_has_been_asked_for_is_still_the_fuel() -> None:
    talk = Talk(when_able=("fuel", "people"))
    talk.say(REPORT)
    talk.say("negative, 04W")
    said = " ".join(talk.wait(100))
    assert said.index("fuel remaining in time") < said.index("people on board")
    talk.say("three hours, 04W")
    assert talk.state.told.fuel


@pytest.mark.parametrize("words", ["two", "two, 04W", "two souls", "just me"])
def test_a_bare_number_is_the_people(words: str) -> None:
    talk = asked("people")
    talk.say(words)
    assert talk.state.told.souls


def test_a_bare_number_that_nobody_asked_for_tells_nothing() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W")
    talk.say("two, 04W")
    assert not talk.state.told.souls


def test_who_has_told_it_all_is_asked_for_nothing_more() -> None:
    talk = Talk()
    talk.say("mayday, Larkspur 5304W, vacuum failure, partial panel in cloud, request vectors to Wendle, two on board, "
             "three hours of fuel")
    talk.wait(10)
    talk.say("negative, 04W")             # to no-gyro vectors
    assert not any("?" in each or "say" in each for each in talk.wait(200))


def test_an_author_can_leave_out_what_is_asked_for_when_able() -> None:
    talk = Talk(when_able=())
    talk.say(REPORT)
    talk.say("negative, 04W")
    assert talk.wait(200) == []


def test_an_authors_own_question_is_not_put_again() -> None:
    talk = Talk()
    talk.say("mayday, Larkspur 5304W, vacuum failure, partial panel in cloud, request vectors to Wendle")
    talk.wait(10)
    talk.say("negative, 04W")             # to no-gyro vectors
    talk.line(Say(Clean("{callsign}, how much fuel, and how many are you?"), asks="more"))
    talk.wait(10)
    talk.say("two and a half hours, two souls")
    assert (talk.state.told.fuel, talk.state.told.souls) == (True, True)
    assert talk.wait(200) == []


def test_later_questions_come_one_at_a_time_and_not_into_an_answer() -> None:
    talk = Talk()
    talk.say(REPORT)
    talk.say("negative, 04W")
    times = [talk.t for _ in range(240) if talk.wait(1)]
    assert len(times) == 4
    assert min(later - earlier for earlier, later in pairwise(times)) >= 40.0


@pytest.mark.parametrize(("instruction", "offer"), [
    ("request vectors to Wendle", "fly present heading. Say when able to turn"),
    ("request climb to seven thousand", "maintain five thousand. Say altitude you are able to maintain"),
    ("lost the vacuum pump, request climb to seven thousand",
     "any altitude above three thousand. Say altitude you are able to maintain"),
])
def test_unable_is_answered_with_something_else_to_do(instruction: str, offer: str) -> None:
    talk = Talk()
    talk.say(f"Larkspur 5304W, {instruction}")
    assert offer in " ".join(talk.say("unable, 04W"))


def test_unable_to_turn_without_gyros_is_answered_with_no_gyro_vectors() -> None:
    # AIM 5-4-11: for a pilot whose heading indicator is out
    talk = Talk()
    talk.say(REPORT)
    assert "do you want no-gyro vectors?" in " ".join(talk.say("unable to turn, 04W"))
    assert "start and stop turns on my word" in " ".join(talk.say("affirmative, 04W"))


def test_unable_during_no_gyro_vectors_is_answered_with_gentler_turns() -> None:
    # AIM 5-4-11: half standard rate
    talk = Talk()
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    talk.wait(20)
    assert "half standard rate turns are approved" in " ".join(talk.say("unable, 04W"))
    assert talk.state.turns is not None
    assert (talk.state.turns.suspended, talk.state.turns.half_rate) == (True, True)


def test_an_altitude_that_can_be_kept_is_assigned() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request climb to seven thousand")
    talk.say("unable, 04W")
    assert "maintain six thousand" in " ".join(talk.say("six thousand, 04W"))


def test_a_turn_that_is_called_three_times_and_not_flown_is_asked_about_and_waited_for() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    said = talk.wait(400)
    assert sum(each.endswith("turn left.") for each in said) == 3
    assert sum("radar shows no turn, are you able to turn?" in each for each in said) == 1
    assert any(each.endswith("turn left.") for each in talk.say("affirmative, 04W") + talk.wait(10))


@pytest.mark.parametrize("call", ["request hold at present position", "request heading three zero zero"])
def test_no_turn_is_called_after_the_pilot_has_been_given_something_else_to_do(call: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    talk.wait(20)
    talk.say(f"04W, {call}")
    assert "turn" not in " ".join(talk.wait(200))


def test_a_bare_wish_for_another_altitude_is_asked_about_twice_and_then_waits_for_the_number() -> None:
    talk = Talk()
    said = [talk.say("Larkspur 5304W, request lower") for _ in range(4)]
    assert sum("altitude wanted" in " ".join(each).lower() for each in said) == 2
    assert "maintain four thousand" in " ".join(talk.say("four thousand, 04W"))


@pytest.mark.parametrize("words", ["pitot heat on", "transponder is on", "flying by the compass",
                                   "looking at the suction",
                                   "stand by, checking the vacuum", "the altimeter is fine", "trying the other radio"])
def test_what_only_speaks_of_a_part_does_not_name_the_trouble(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W is declaring an emergency")
    assert talk.state.question == "nature"
    talk.say(words)
    assert not talk.state.told.equipment


@pytest.mark.parametrize("words", ["vacuum pump", "the vacuum pump", "it is the vacuum system, 04W"])
def test_a_bare_name_names_the_trouble(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W is declaring an emergency")
    talk.say(words)
    assert talk.state.told.equipment == {"vacuum_system"}


@pytest.mark.parametrize("words", ["yes, but not now", "yes, if it gets worse", "yes we got the question, stand by",
                                   "affirm, reading you five", "yes and no"])
def test_a_hedged_yes_declares_no_emergency(words: str) -> None:
    talk = Talk()
    talk.say(REPORT)
    assert talk.state.question == "emergency"
    talk.say(words)
    assert talk.state.stage == "trouble"


@pytest.mark.parametrize("words", ["stand by one", "heading 240", "five thousand", "give me two minutes", "one moment"])
def test_a_figure_that_is_no_time_is_no_fuel(words: str) -> None:
    talk = asked("fuel")
    talk.say(words)
    assert not talk.state.told.fuel


@pytest.mark.parametrize("words", ["stand by one", "wait one", "one moment", "two hours fuel", "give me 2 minutes"])
def test_a_figure_that_counts_no_people_is_no_answer(words: str) -> None:
    talk = asked("people")
    talk.say(words)
    assert not talk.state.told.souls


@pytest.mark.parametrize(("question", "line"), [
    ("intentions", "Wendle"), ("intentions", "we'd like to climb to on top and then go over to Wendle, two on board"),
    ("emergency", "no"), ("conditions", "IMC"), ("people", "two"),
])
def test_a_bare_answer_is_sent_though_no_word_sends_it(question: str, line: str) -> None:
    talk = Talk()
    state = replace(talk.state, question=question)
    assert answers(state, line, read(line, CONTEXT), CONTEXT)


@pytest.mark.parametrize(("question", "line"), [
    ("emergency", "turn left heading 240"), ("conditions", "check the suction gauge"), ("", "IMC"), ("people",
                                                                                                     "frobnicate"),
    ("fuel", "cover the attitude indicator"),
])
def test_an_order_or_a_line_that_answers_nothing_is_not_sent(question: str, line: str) -> None:
    state = replace(Talk().state, question=question)
    assert not answers(state, line, read(line, CONTEXT), CONTEXT)


def test_fuel_in_hours_and_minutes_counts_no_people() -> None:
    talk = asked("people")
    talk.state = replace(talk.state, asked=("fuel", "people"), told=replace(talk.state.told, fuel=False))
    talk.say("three plus thirty")
    assert (talk.state.told.fuel, talk.state.told.souls) == (True, False)


def test_a_wish_is_said_while_a_question_is_open_though_another_line_came_between() -> None:
    state = replace(Talk().state, question="", asked=("intentions", "emergency"))
    line = "we'd like to climb to on top and then go over to Wendle"
    assert answers(state, line, read(line, CONTEXT), CONTEXT)
