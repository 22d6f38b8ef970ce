"""The lines that a scenario gives ATC: when they are said, when they are not, and what answers them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.flight import controller
from drill.language import read_call
from drill.scenario.model import Asks, Say
from flight.talk import CONTEXT, HERE, Talk
from flight.test_plans import over_orrinfell_country


def test_an_acknowledgement_of_what_wanted_one_is_left_in_peace() -> None:
    talk = Talk()
    talk.state = controller.say(talk.state, Say("{callsign}, expect the ILS.", asks="yes"), talk.t)  # type: ignore[arg-type]
    talk.wait(10)
    assert talk.say("expect the ILS, Larkspur 5304W") == []


def test_the_scenarios_words_are_filled_in_and_stand_in_for_a_bare_answer() -> None:
    talk = Talk()
    call = read_call("Larkspur 5304W, we are partial panel", CONTEXT)
    talk.state = controller.hear(talk.state, call)
    talk.state = controller.say(talk.state, Say("{callsign}, roger. Say intentions. Maintain {altitude}."), talk.t)  # type: ignore[arg-type]
    assert talk.wait(15) == ["Larkspur five three zero four whiskey, roger. Say intentions. Maintain five thousand."]


def test_an_unanswered_question_is_followed_by_a_call_at_most_twice() -> None:
    talk = Talk()
    talk.state = controller.say(talk.state, Say("{callsign}, how is the ride?", asks="yes"), talk.t)  # type: ignore[arg-type]
    assert len([words for words in talk.wait(300) if "how do you hear me" in words]) == 2


@pytest.mark.parametrize(("call", "asks"), [
    ("Larkspur 5304W has lost the vacuum pump", "nature"),
    ("Larkspur 5304W is diverting to Wendle", "intentions"),
    ("Larkspur 5304W requests vectors to Wendle", "intentions"),
    ("mayday mayday mayday, Larkspur 5304W", "emergency"),
    ("Larkspur 5304W, two on board, fuel three hours", "more"),
])
def test_a_scenarios_line_that_only_asks_for_what_has_been_told_stays_unsaid(call: str, asks: Asks) -> None:
    line = Say("{callsign}, tell me that.", asks=asks)  # type: ignore[arg-type]
    asked, told = Talk(), Talk()
    asked.state = controller.say(asked.state, line, asked.t)
    assert any("tell me that" in words for words in asked.wait(15))
    told.say(call)
    told.state = controller.say(told.state, line, told.t)
    assert not any("tell me that" in words for words in told.wait(15))
    told.state = controller.say(told.state, replace(line, altitude_ft=7000.0), told.t)
    assert any("tell me that" in words for words in told.wait(15)), "it carries an assignment"


def test_a_call_heard_with_the_line_that_asks_for_it_is_answered_and_not_asked() -> None:
    talk = Talk()
    call = read_call("Larkspur 5304W, we have lost the vacuum pump, diverting to Wendle", CONTEXT)
    talk.state = controller.hear(talk.state, call)
    talk.state = controller.say(talk.state, Say("{callsign}, say intentions.", asks="intentions"), talk.t)  # type: ignore[arg-type]
    said = " ".join(talk.wait(30)).lower()
    assert "cleared direct wendle" in said
    assert "say intentions" not in said


def test_what_a_scenarios_line_asks_is_not_guessed_from_its_words() -> None:
    talk = Talk()
    talk.state = controller.say(talk.state, Say("{callsign}, is this an emergency?", asks="yes"), talk.t)  # type: ignore[arg-type]
    talk.wait(10)
    talk.say("affirmative, Larkspur 5304W")
    assert talk.state.told.urgency == "none"
    talk.state = controller.say(talk.state, Say("{callsign}, shall we roll?", asks="emergency"), talk.t)  # type: ignore[arg-type]
    talk.wait(10)
    talk.say("affirmative, Larkspur 5304W")
    assert talk.state.told.urgency == "emergency"


def test_once_a_diversion_is_approved_what_is_missing_is_asked_for_once_each_in_its_order() -> None:
    # FAA JO 7110.65 10-2-1 (by memory): the least first; then as needed, among others, weather, fuel in time, people
    talk = Talk()
    said = talk.say("Orrinfell Approach, Larkspur 5304W, we have lost the vacuum pump, diverting to Wendle")
    said += talk.wait(40) + talk.say("negative, 04W") + talk.say("turning to Wendle, 04W") + talk.wait(200)
    questions = [words for words in said if "say " in words.lower() or "?" in words]
    asked = ("declaring an emergency?", "maintain your heading and altitude?", "IMC or VMC?", "fuel remaining in time",
             "people on board")
    assert [next(each for each in asked if each in words) for words in questions] == list(asked)


def test_a_call_answers_what_atc_has_asked_assigned_or_just_said() -> None:
    talk = Talk()
    assert not controller.awaits(talk.state, talk.t)
    talk.state = controller.say(talk.state, Say("{callsign}, good day."), talk.t)  # type: ignore[arg-type]
    talk.wait(5)
    assert controller.awaits(talk.state, talk.t)
    talk.wait(75)
    assert not controller.awaits(talk.state, talk.t)
    talk.state = controller.say(talk.state, Say("Thistle 9VR, traffic.", voice="Another"), talk.t)  # type: ignore[arg-type]
    talk.wait(5)
    assert not controller.awaits(talk.state, talk.t), "that was for somebody else"
    talk.state = controller.say(talk.state, Say("{callsign}, how is the ride?", asks="yes"), talk.t)  # type: ignore[arg-type]
    talk.wait(200)
    assert controller.awaits(talk.state, talk.t)
    talk.say("smooth, Larkspur 5304W")
    talk.wait(90)
    assert not controller.awaits(talk.state, talk.t)


def test_a_heading_for_spacing_is_not_given_to_who_is_led_to_an_approach() -> None:
    line = Say(Clean("{callsign}, turn right heading three four zero, vectors for spacing."), heading_deg=340.0)
    talk = over_orrinfell_country()
    talk.line(line)
    assert "three four zero" in " ".join(talk.wait(10))
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors for the surveillance approach at Orrinfell")
    heading = talk.state.heading_deg
    talk.line(line)
    assert "three four zero" not in " ".join(talk.wait(10))
    assert talk.state.heading_deg == heading


def test_a_heading_with_an_altitude_for_spacing_is_not_given_to_an_emergency_that_he_leads() -> None:
    line = Say(Clean("{callsign}, climb and maintain {altitude}, turn right heading {heading} for spacing."),
               heading_deg=340.0, altitude_ft=8000.0, asks="readback")
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, mayday, engine failure, request vectors to Orrinfell")
    talk.line(line)
    assert "spacing" not in " ".join(talk.wait(30))
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors to Wendle")
    talk.line(line)
    assert "spacing" in " ".join(talk.wait(30)), "others take what they are given"


@pytest.mark.parametrize(("words", "altitude_ft", "said"), [
    ("{callsign}, how is the ride at six thousand?", 6100.0, True),
    ("{callsign}, how is the ride at six thousand?", 7400.0, False),
    ("{callsign}, you have company. How is the ride at six thousand five hundred?", 6500.0, True),
    ("{callsign}, are you still in the ice at niner thousand?", 6000.0, False),
    ("{callsign}, how is the ride?", 7400.0, True),
    ("{callsign}, six thousand is yours. Are you still in the ice?", 7400.0, True),
    ("{callsign}, can you take eight thousand?", 6000.0, True),
    ("{callsign}, rain reported at six thousand. Do you want lower?", 7400.0, True),
])
def test_what_it_is_like_at_a_level_is_asked_only_of_who_radar_shows_there(
    words: str, altitude_ft: float, *, said: bool,
) -> None:
    """Three hundred feet are the same altitude: FAA JO 7110.65 5-2-17, from memory."""
    talk = Talk()
    talk.radar = replace(HERE, altitude_ft=altitude_ft)
    talk.state = replace(talk.state, altitude_ft=None)
    talk.say("Larkspur 5304W, radio check")
    talk.line(Say(Clean(words), asks="yes"))
    assert any(each.endswith("?") for each in talk.wait(20)) is said


def test_nor_is_it_asked_again_of_who_has_left_that_level_since() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, radio check")
    talk.line(Say(Clean("{callsign}, how is the ride at five thousand?"), asks="yes"))
    assert "how is the ride" in " ".join(talk.wait(10))
    assert "how is the ride" not in " ".join([*talk.fly(60, climb_fpm=1500.0), *talk.wait(60)])


def test_a_line_instead_of_the_answer_is_all_that_is_said_to_the_call() -> None:
    talk = Talk()
    talk.state = controller.hear(talk.state, read_call("Larkspur 5304W, request vectors to Wendle", CONTEXT))
    talk.line(Say("{callsign}, unable vectors, radar is out.", instead_of="answer"))  # type: ignore[arg-type]
    assert talk.wait(30) == ["Larkspur five three zero four whiskey, unable vectors, radar is out."]
    assert talk.state.place == ""


def test_a_line_instead_of_the_handling_says_it_in_the_authors_words() -> None:
    talk = Talk()
    talk.state = controller.hear(talk.state, read_call("Larkspur 5304W, I am losing control", CONTEXT))
    talk.line(Say("{callsign}, you have my whole attention.", instead_of="handling"))  # type: ignore[arg-type]
    said = " ".join(talk.wait(60))
    assert "whole attention" in said
    assert "handling you" not in said
    assert talk.state.stage == "handled"


def test_a_line_instead_of_the_missed_approach_ends_it() -> None:
    talk = Talk()
    talk.line(Say("{callsign}, cleared ILS 24 approach.", cleared_approach="ILS 24"))  # type: ignore[arg-type]
    talk.wait(5)
    talk.line(Say("{callsign}, roger, up you go.", asks="intentions", instead_of="missed approach"))  # type: ignore[arg-type]
    assert "up you go" in talk.wait(10)[0]
    assert talk.state.approach is None


def test_transmissions_do_not_overlap() -> None:
    talk = Talk()
    for words in ("one two three four five six seven eight nine ten", "eleven twelve"):
        talk.state = controller.say(talk.state, Say(words), talk.t)  # type: ignore[arg-type]
    assert len(talk.wait(1)) == 1
    assert talk.wait(2) == []
    assert len(talk.wait(5)) == 1


def test_nothing_is_said_while_the_pilot_talks() -> None:
    talk = Talk()
    talk.state = controller.say(talk.state, Say("{callsign}, hello"), 0.0)  # type: ignore[arg-type]
    state, spoken = controller.step(talk.scenario, talk.state, HERE, 1.0, pilot_talks=True, seed=1)
    assert spoken == []
    assert state.lines


def test_turns_at_discretion_are_not_said_to_an_airplane_on_vectors() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request vectors to Wendle")
    talk.line(Say(Clean("{callsign}, climb and maintain eight thousand, or as you need. Turns at your discretion."),
                  altitude_ft=8000.0, at_discretion=True))
    said = " ".join(talk.wait(15))
    assert "eight thousand" in said
    assert "discretion" not in said


def test_a_descent_that_is_left_to_the_pilot_is_not_ordered_at_once() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors and a surveillance approach at Orrinfell")
    talk.line(Say(Clean("{callsign}, descend at your discretion, {altitude} until I clear you."), altitude_ft=2600.0,
                  at_discretion=True))
    assert "descend and maintain" not in " ".join(talk.wait(60))
    assert "descend and maintain two thousand six hundred" in " ".join(talk.wait(120)), "who stays up is told"


FREE = (
    Say(Clean("{callsign}, when you can, say intentions. Any altitude, any heading."), asks="intentions"),
    Say(Clean("{callsign}, climb and maintain eight thousand, as you need. You are alone, turns at your discretion."),
        altitude_ft=8000.0, at_discretion=True),
    Say(Clean("{callsign}, any heading, good luck.")),
    Say(Clean("{callsign}, headings at your own discretion. You are doing well.")),
)


@pytest.mark.parametrize("line", FREE)
@pytest.mark.parametrize("asked", ["request no-gyro vectors to Wendle", "request vectors to Wendle"])
def test_turns_are_not_left_to_an_airplane_that_is_being_turned(line: Say, asked: str) -> None:
    talk = Talk()
    talk.say(f"Larkspur 5304W, {asked}")
    before = talk.state
    talk.line(line)
    said = " ".join(talk.wait(15))
    assert "any heading" not in said.lower()
    assert "discretion" not in said
    assert (talk.state.vectored, talk.state.turns is None) == (before.vectored, before.turns is None)
    assert " ." not in said
    assert ".." not in said


def test_a_line_that_only_leaves_the_turns_to_a_steered_airplane_is_not_said_at_all() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request vectors to Wendle")
    talk.line(Say(Clean("{callsign}, any heading.")))
    assert talk.wait(15) == []


@pytest.mark.parametrize("line", [*FREE, Say(
    Clean("{callsign}, I will keep it simple. Descend at your discretion, two thousand six hundred until I clear you."),
    at_discretion=True)])
def test_into_a_missed_approach_fall_neither_free_turns_nor_a_descent(line: Say) -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request the ILS at Tallowby")
    talk.state = replace(talk.state, approach="ILS 24", altitude_ft=None)
    talk.radar = replace(HERE, altitude_ft=1200.0)
    talk.state = controller.hear(talk.state, read_call("going missed, 04W", CONTEXT))
    talk.wait(6)
    talk.line(line)
    said = " ".join(talk.wait(15)).lower()
    assert "any heading" not in said
    assert "turns at your" not in said
    assert "descend" not in said


def test_the_authors_own_missed_approach_is_said_as_it_stands() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request the ILS at Tallowby")
    talk.state = replace(talk.state, approach="ILS 24", altitude_ft=None)
    line = Say(Clean("{callsign}, roger, climb and maintain three thousand, any heading."), altitude_ft=3000.0,
               instead_of="missed approach")
    talk.line(line)
    assert "any heading" in " ".join(talk.wait(15))


def test_turns_are_left_to_an_airplane_that_nobody_steers() -> None:
    talk = Talk()
    talk.line(FREE[2])
    assert "any heading" in " ".join(talk.wait(15))
    assert talk.state.heading_deg is None


@pytest.mark.parametrize(("wanted", "words", "to_ft", "said"), [
    ("climb to 9000", "{callsign}, climb and maintain eight thousand, traffic below.", 8000.0, False),
    ("climb to 7000", "{callsign}, climb and maintain eight thousand, traffic below.", 8000.0, True),
    ("descent to 4000", "{callsign}, descend and maintain four thousand five hundred.", 4500.0, False),
    ("climb to 9000", "{callsign}, descend and maintain four thousand.", 4000.0, True),
])
def test_a_climb_or_descent_of_which_more_has_been_assigned_meanwhile_stays_unsaid(
        wanted: str, words: str, to_ft: float, said: bool) -> None:
    talk = Talk()
    talk.say(f"Larkspur 5304W, request {wanted}")
    assigned = talk.state.altitude_ft
    talk.line(Say(Clean(words), altitude_ft=to_ft, asks="yes"))
    heard = talk.wait(20)
    assert any(words.split(", ")[1].rstrip(".") in each for each in heard) == said
    assert talk.state.altitude_ft == (to_ft if said else assigned)
