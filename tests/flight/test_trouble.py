"""Something is wrong, and nobody says what; nothing is wrong any more; the scenario speaks for the controller."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.scenario.model import Say
from flight.talk import HERE, Talk
from flight.test_emergency import CONTACT


@pytest.mark.parametrize("words", ["we need help", "I think I have an instrument problem", "we've got a problem here",
                                   "something is not right here"])
def test_who_only_says_that_something_is_wrong_is_asked_once_what_it_is_and_then_what_he_wants(words: str) -> None:
    # FAA JO 7110.65 10-2-1, by memory: nature of the emergency and intentions
    talk = Talk()
    said = talk.say(f"Larkspur 5304W, {words}")
    assert said[0].endswith("roger. Say nature of the problem.")
    assert talk.state.stage == "trouble"
    said = talk.say("we are not sure yet, 04W") + talk.wait(100)
    assert "nature" not in " ".join(said)
    assert "say intentions" in " ".join(said).lower()


def test_what_is_then_named_is_known() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, we've got a problem here")
    talk.say("the vacuum pump, 04W")
    assert talk.state.told.equipment == {"vacuum_system"}


def test_minimum_fuel_is_acknowledged_and_no_emergency() -> None:
    # AIM 5-5-15, by memory: it advises of no undue delay, and is not an emergency
    talk = Talk()
    said = " ".join(talk.say("Larkspur 5304W, we are minimum fuel") + talk.wait(60))
    assert "roger, minimum fuel, no delay expected" in said
    assert "nature" not in said
    assert talk.state.stage == "routine"


def test_all_well_again_ends_it() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, we need help")
    talk.say("everything is fine, 04W")
    assert talk.state.stage == "routine"


def test_who_wants_no_help_is_left_alone() -> None:
    talk = Talk()
    said = " ".join(talk.say("Larkspur 5304W has lost the vacuum pump, everything else works, no assistance required"))
    assert "advise if you need assistance" in said.lower()
    said += " ".join(talk.wait(200))
    for each in ("intentions", "are you able", "weather", "fuel", "people", "declaring"):
        assert each not in said
    assert "Say intentions" in " ".join(talk.say("mayday, 04W, mayday"))


def test_after_the_emergency_is_cancelled_nothing_of_it_is_asked_for_again() -> None:
    talk = Talk()
    talk.say("mayday, Larkspur 5304W, vacuum failure")
    talk.say("04W, cancel the emergency, gyros are back")
    assert "?" not in " ".join(talk.wait(200))


def test_one_question_is_not_put_twice_within_seconds() -> None:
    talk = Talk()
    talk.radar = replace(HERE, code="7700")
    said = talk.say("mayday mayday mayday, Larkspur 5304W, vacuum failure, in cloud")
    assert sum("intentions" in each.lower() for each in said) == 1


def test_a_line_of_the_scenario_that_stands_for_handling_is_his_own_saying_so() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W has lost the attitude indicator")
    talk.line(Say(Clean("{callsign}, we treat this as an emergency, you have the sky to yourself."),
                  instead_of="handling"))
    said = talk.wait(20)
    talk.line(CONTACT)
    said += talk.wait(60)
    stages = [talk.state.stage]
    assert "contact" not in " ".join(said)
    assert "declaring" not in " ".join(said)
    assert "handling you" not in " ".join(said)
    talk.say("04W, cancel the emergency")
    assert [*stages, talk.state.stage] == ["handled", "trouble"]
