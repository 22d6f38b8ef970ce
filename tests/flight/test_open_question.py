"""A question stays open until it is answered, withdrawn or replaced; plain words answer it."""

from __future__ import annotations

import pytest

from drill.clean import Clean
from drill.flight.understanding import answers
from drill.language import read
from drill.language.meaning import Transmit
from drill.scenario.model import Say
from flight.flights import begun, of
from flight.talk import CONTEXT, Talk
from flight.test_questions import REPORT, asked

TRAFFIC = Say(Clean("{callsign}, traffic two o'clock, six miles."))
RIDE = Say(Clean("{callsign}, how is the ride at five thousand?"), asks="yes")
ALL_RIGHT = Say(Clean("{callsign}, you appear to be wandering. Is everything all right?"), asks="yes")


def after(*words: str | Say) -> Talk:
    talk = Talk()
    for each in words:
        if isinstance(each, str):
            talk.say(each)
        else:
            talk.line(each)
            talk.wait(12)
    return talk


def is_sent(talk: Talk, line: str) -> bool:
    actions = read(line, CONTEXT)
    return any(isinstance(each, Transmit) for each in actions) or answers(talk.state, line, actions, CONTEXT)


@pytest.mark.parametrize(("before", "yes", "no"), [
    ((REPORT, TRAFFIC), "roger, emergency", "roger"),
    (("Larkspur 5304W, cancel IFR", TRAFFIC), "IFR cancellation received", "IFR clearance remains in effect"),
    (("Larkspur 5304W, heading indicator failed, request vectors to Wendle", TRAFFIC),
     "start and stop turns on my word", "fly heading zero eight zero"),
])
def test_a_line_without_a_question_closes_none(before: tuple[str | Say, ...], yes: str, no: str) -> None:
    assert yes in " ".join(after(*before).say("affirmative, 04W"))
    assert no in " ".join(after(*before).say("negative, 04W"))


def test_who_declines_an_emergency_after_another_line_has_declined_it() -> None:
    talk = after(REPORT, TRAFFIC)
    talk.say("negative, 04W")
    assert talk.state.declined


def test_another_question_takes_the_place_of_the_open_one() -> None:
    talk = after("Larkspur 5304W, cancel IFR", RIDE)
    talk.say("affirmative, 04W")
    assert not talk.state.ifr_cancelled


@pytest.mark.parametrize("words", ["yes sir, no other problems", "yes, we do not have an attitude indicator", "we are",
                                   "affirmative, IMC and no gyros", "affirm"])
def test_a_yes_with_news_behind_it_declares(words: str) -> None:
    talk = after(REPORT)
    talk.say(words)
    assert talk.state.told.urgency == "emergency"


@pytest.mark.parametrize("words", ["not yet", "no", "negative, 04W", "not at this time", "no problem, 04W",
                                   "we have it under control", "I would rather not"])
def test_not_yet_is_a_no(words: str) -> None:
    talk = after(REPORT)
    assert is_sent(talk, words)
    talk.say(words)
    assert (talk.state.told.urgency, talk.state.declined, talk.state.question) == ("none", True, "")


@pytest.mark.parametrize("words", ["smooth", "light chop", "bumpy", "fine, thanks", "no", "not bad"])
def test_plain_words_answer_a_question_of_the_scenario(words: str) -> None:
    talk = after(RIDE)
    assert is_sent(talk, words)
    assert talk.say(words)[-1].endswith("roger.")
    assert not talk.state.question


@pytest.mark.parametrize("words", ["turn left heading 240", "cover the attitude indicator",
                                   "what does the compass say?"])
def test_an_order_is_no_answer_to_a_question_of_the_scenario(words: str) -> None:
    assert not is_sent(after(RIDE), words)


@pytest.mark.parametrize("words", ["no", "not really", "negative", "we have an instrument problem",
                                   "we lost our vacuum"])
def test_a_no_to_whether_all_is_well_is_trouble(words: str) -> None:
    talk = after("Orrinfell Approach, Larkspur 5304W", ALL_RIGHT)
    assert is_sent(talk, words)
    said = " ".join(talk.say(words))
    assert talk.state.stage == "trouble"
    assert "Say" in said


@pytest.mark.parametrize("words", ["vacuum failure", "our vacuum pump has quit", "lost the gyros",
                                   "attitude indicator is dead"])
def test_what_failed_is_said_to_who_asks_for_the_nature(words: str) -> None:
    talk = after("Larkspur 5304W is declaring an emergency")
    assert talk.state.question == "nature"
    assert is_sent(talk, words)
    talk.say(words)
    assert talk.state.told.equipment


def test_what_is_decided_in_an_answer_is_done_as_well() -> None:
    flight, events = begun(1, [(45.0, "say Larkspur 5304W has lost the vacuum pump")])
    events += flight.advance(25.0)
    assert flight.atc.question == "intentions"
    events += flight.enter("diverting to Wendle")
    events += flight.advance(30.0)
    assert flight.atc.place == "Wendle"
    assert flight.state.cockpit.plan == "divert Wendle"
    assert of(type(events[0]), events)


@pytest.mark.parametrize(("words", "place"), [
    ("fly to wendle", "Wendle"), ("heading for wendle", "Wendle"), ("take us to wendle", "Wendle"),
    ("land as soon as possible", "Wendle"), ("continue to tallowby", "Tallowby"), ("somewhere clear", "Wendle"),
    ("anywhere with good weather", "Wendle"), ("Wendle, 04W", "Wendle"),
])
def test_intentions_are_said_in_many_ways(words: str, place: str) -> None:
    talk = after("Larkspur 5304W has lost the vacuum pump")
    assert is_sent(talk, words)
    talk.say(words)
    assert talk.state.place == place


def test_intentions_are_still_taken_when_the_next_thing_has_been_asked() -> None:
    talk = after("Larkspur 5304W, picking up moderate rime", "04W, we cannot hold altitude", "04W, still in ice")
    assert talk.state.question == "emergency" or talk.state.stage == "handled"
    assert is_sent(talk, "wendle")
    talk.say("wendle")
    assert talk.state.place == "Wendle"


@pytest.mark.parametrize("words", [
    "ready to copy", "ready", "thinking", "unknown", "undecided", "working on it", "still deciding", "give me a minute",
    "not Wendle", "anywhere but Wendle", "we will not be landing at Wendle", "should we divert to Wendle?",
    "not sure yet, standby",
])
def test_what_names_no_destination_clears_to_none(words: str) -> None:
    talk = after("Larkspur 5304W has lost the vacuum pump")
    said = " ".join(talk.say(words))
    assert "cleared" not in said
    assert not talk.state.place


@pytest.mark.parametrize("words", ["I'll level the wings", "we'll cover the AI", "I'm going to turn left heading 240",
                                   "I will descend to 3000"])
def test_an_order_that_is_announced_while_atc_waits_is_not_only_said(words: str) -> None:
    assert not is_sent(after("Larkspur 5304W has lost the vacuum pump"), words)


@pytest.mark.parametrize(("words", "control"), [
    ("I think so", "able"), ("more or less", "able"), ("heading yes, altitude no", "unable"),
    ("we can hold altitude but not heading", "unable"), ("heading yes, altitude yes", "able"), ("not really", "unable"),
])
def test_control_is_answered_in_ordinary_words(words: str, control: str) -> None:
    talk = asked("control")
    assert is_sent(talk, words)
    talk.say(words)
    assert (talk.state.control, talk.state.question) == (control, "")


def test_who_is_in_and_out_of_cloud_is_in_instrument_conditions() -> None:
    talk = asked("conditions")
    talk.say("in and out")
    assert talk.state.told.conditions == "imc"


@pytest.mark.parametrize("words", ["30 gallons", "full tanks", "plenty"])
def test_fuel_that_is_no_time_is_asked_for_in_time_once(words: str) -> None:
    # FAA JO 7110.65 10-2-1: fuel remaining in time, by memory
    talk = asked("fuel")
    assert is_sent(talk, words)
    assert "say fuel remaining in hours and minutes" in " ".join(talk.say(words)).lower()
    talk.say(words)
    assert talk.state.told.fuel


@pytest.mark.parametrize("words", ["me and my wife", "a couple", "pilot plus one"])
def test_people_are_counted_in_ordinary_words(words: str) -> None:
    talk = asked("people")
    assert is_sent(talk, words)
    talk.say(words)
    assert talk.state.told.souls


def test_who_asks_to_keep_ifr_keeps_it() -> None:
    talk = after("Larkspur 5304W, cancel IFR")
    assert "IFR clearance remains in effect" in " ".join(talk.say("disregard, keep us IFR"))


def test_stand_by_behind_a_report_is_respected() -> None:
    talk = Talk()
    said = talk.say("approach, 5304W, vacuum failure, stand by")
    assert said == ["Larkspur five three zero four whiskey, roger, copy vacuum system failure."]
    assert talk.wait(12) == []
    assert "say intentions" in " ".join(talk.wait(60)).lower()


def test_who_is_able_to_turn_again_is_led_on_after_another_line() -> None:
    talk = after("Larkspur 5304W, request vectors to Wendle", "unable, 04W", TRAFFIC)
    assert is_sent(talk, "able to turn now")
    assert "heading zero eight zero, vectors to Wendle" in " ".join(talk.say("able to turn now"))


def test_an_altitude_that_is_only_passed_is_not_the_one_that_is_wanted() -> None:
    talk = after("Larkspur 5304W, request higher")
    assert "maintain" not in " ".join(talk.say("passing 5200"))
    assert "climb and maintain seven thousand" in " ".join(talk.say("7000"))


@pytest.mark.parametrize("line", ["climb to 8000 and hold at 4000", "slow to 80 and speed up to 110"])
def test_an_order_that_can_be_taken_in_two_ways_is_no_answer(line: str) -> None:
    talk = after(REPORT)
    assert talk.state.question
    assert not is_sent(talk, line)
