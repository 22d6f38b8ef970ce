"""Help without a horizon, and for who sinks: what radar shows, one thing to do, how low he may."""

from __future__ import annotations

import pytest

from flight.talk import Talk
from flight.test_plans import over_orrinfell_country


@pytest.mark.parametrize("words", [
    "which way do I turn?", "help me please", "I don't know which way is up", "in a spiral",
    "what should I do now", "I am disoriented",
])
def test_who_has_lost_the_horizon_is_told_to_level_the_wings_and_offered_turns(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, in cloud")
    talk.fly(10.0, turning_dps=4.0)
    said = " ".join(talk.say(words))
    assert "level" in said
    assert "by the turn coordinator" in said
    assert "do you want no-gyro vectors?" in said.lower()
    assert "say again" not in said
    assert "say people" not in said


def test_in_a_turn_he_hears_to_which_side_it_goes() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, in cloud")
    talk.fly(12.0, turning_dps=-4.0)
    assert "radar shows you in a left turn, level the wings" in " ".join(talk.say("which way do I turn?")).lower()


def test_a_failed_turn_coordinator_is_not_what_he_is_told_to_fly_by() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, turn coordinator failed, in cloud")
    assert "by the attitude indicator" in " ".join(talk.say("I have vertigo, help me"))


@pytest.mark.parametrize("words", ["icing is getting worse, unable to hold six thousand", "losing altitude in ice",
                                   "we cannot maintain altitude, icing"])
def test_who_cannot_hold_his_altitude_gets_those_down_to_the_minimum(words: str) -> None:
    talk = over_orrinfell_country()
    said = " ".join(talk.say(f"Larkspur 5304W, {words}") + talk.wait(10)).lower()
    assert "minimum altitude in your area is two thousand six hundred" in said
    assert talk.state.altitude_ft is None


def test_once_the_ice_is_gone_nobody_asks_whether_it_is_an_emergency() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, picking up ice, request lower")
    talk.say("ice is gone, all normal, 04W")
    assert talk.state.stage == "routine"
    assert "emergency" not in " ".join(talk.wait(200))


def test_who_will_land_in_a_field_is_not_asked_to_turn() -> None:
    talk = over_orrinfell_country()
    talk.say("mayday, Larkspur 5304W, engine failure, request vectors to Orrinfell")
    said = " ".join(talk.say("unable Orrinfell, we will land in a field"))
    assert "rescue services" in said
    assert "able to turn" not in said


def test_flight_following_after_cancelling_ifr_is_no_clearance() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, cancel IFR, we are in VMC")
    said = " ".join(talk.say("request flight following to Wendle"))
    assert "maintain VFR" in said
    assert "cleared" not in said


def test_a_ride_is_not_reported_for_another_altitude_than_was_asked_for() -> None:
    said = " ".join(over_orrinfell_country().say("Larkspur 5304W, how is the ride at six thousand?"))
    assert "no reports at six thousand" in said
