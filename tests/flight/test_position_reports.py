"""What a pilot says of the altitude on the way to another, and what is a read-back of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight import controller
from drill.flight.approach import cleared
from drill.flight.controller_state import Radar
from drill.flight.no_gyro import Turns
from drill.flight.weather import field_position
from drill.scenario.model import Say
from flight.talk import HERE, Talk


@pytest.mark.parametrize("words", [
    "leaving five thousand for seven thousand, Larkspur 04W", "passing seven thousand, Larkspur 04W",
    "still in cloud passing 6000, Larkspur 04W", "out of five thousand, Larkspur 04W", "level 6,000, Larkspur 04W",
])
def test_where_the_airplane_is_on_its_way_is_no_wrong_read_back(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests climb to seven thousand")
    assert "negative" not in " ".join(talk.say(words))


def test_a_bare_wrong_altitude_is_still_corrected() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests climb to seven thousand")
    assert "negative, maintain seven thousand" in " ".join(talk.say("six thousand, Larkspur 04W"))


def test_an_altitude_and_a_heading_that_are_left_are_each_asked_about_in_their_time() -> None:
    talk = Talk()
    talk.radar = replace(HERE, altitude_ft=5400.0, track_deg=280.0)
    said = " ".join(talk.wait(110))
    assert "verify altitude" in said
    assert "verify heading" in said


def test_small_talk_of_a_scenario_is_dropped_once_something_is_known_to_be_wrong() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, we have lost the vacuum pump")
    talk.state = controller.say(talk.state, Say("{callsign}, how is the ride?", asks="yes"), talk.t)  # type: ignore[arg-type]
    assert "how is the ride" not in " ".join(talk.wait(30))
    talk.state = controller.say(
        talk.state, Say("{callsign}, maintain {altitude}.", asks="yes", altitude_ft=6000.0), talk.t)  # type: ignore[arg-type]
    assert "maintain six thousand" in " ".join(talk.wait(30))


def test_a_descent_is_not_given_during_a_turn_that_is_still_to_be_stopped() -> None:
    talk = Talk()
    field = replace(talk.scenario.fields[0], ceiling_ft=700.0)
    turning = replace(talk.state, place=field.name, turns=Turns(field.name, way=1, called_s=0.0, started=True))
    radar = Radar(field_position(field)[0] - 15.0, field_position(field)[1], 8000.0, 240.0)
    assert cleared(talk.scenario, turning, radar, 1.0).lines == ()
    straight = replace(turning, turns=Turns(field.name, started=True))
    assert "descend and maintain" in cleared(talk.scenario, straight, radar, 1.0).lines[0].words
