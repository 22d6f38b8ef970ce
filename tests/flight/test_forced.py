"""An airplane whose engine is out, or that burns: straight to a field, its altitude its own."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from drill.flight.controller_state import must_land
from flight.talk import Talk
from flight.test_plans import over_orrinfell_country

DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "niner")


def heading_in(said: str) -> int:
    """The last heading that is given."""
    digits = re.findall(r"heading (\w+) (\w+) (\w+)", said)[-1]
    return int("".join(str(DIGITS.index(each)) for each in digits))


def glide(talk: Talk, seconds: float, track_deg: float, speed_kt: float = 80.0, down_fpm: float = 600.0) -> list[str]:
    """What is said while the airplane glides along a track."""
    said: list[str] = []
    for _ in range(round(seconds)):
        way = speed_kt / 3600.0
        talk.radar = replace(
            talk.radar, track_deg=track_deg, altitude_ft=max(460.0, talk.radar.altitude_ft - down_fpm / 60.0),
            north_nm=talk.radar.north_nm + way * math.cos(math.radians(track_deg)),
            east_nm=talk.radar.east_nm + way * math.sin(math.radians(track_deg)))
        said += talk.wait(1.0)
    return said


@pytest.mark.parametrize("words", [
    "mayday mayday mayday, Larkspur 5304W, engine failure, in cloud, request vectors to Orrinfell",
    "Larkspur 5304W, our engine has quit, request vectors to the nearest airport",
    "mayday, Larkspur 5304W, engine fire, request the nearest airport",
    "mayday, Larkspur 5304W, fire in the cockpit, request vectors to the nearest airport",
    "Larkspur 5304W, engine is rough and losing power, request vectors to Orrinfell",
    "mayday, Larkspur 5304W, engine out, request a radar approach at Orrinfell",
])
def test_who_has_to_come_down_is_led_straight_to_the_field(words: str) -> None:
    # Orrinfell bears 205, 16 miles; the pattern to its runway 27 would begin 45 degrees to the left
    talk = over_orrinfell_country()
    said = " ".join(talk.say(words) + talk.wait(10))
    assert abs(heading_in(said) - 205) <= 5, said
    assert "one six miles" in said
    assert "altitude at your discretion" in said.lower()
    assert "maintain" not in said
    said += " ".join(glide(talk, 480.0, 205.0))
    assert not re.search(r"(?:descend|climb) and maintain|base leg|downwind|final|verify|negative", said), said


def test_who_says_that_he_flies_there_by_himself_gets_heading_and_distance_as_well() -> None:
    said = " ".join(over_orrinfell_country().say("mayday, Larkspur 5304W, engine failure, diverting to Orrinfell"))
    assert "heading two zero five, straight to Orrinfell, one six miles" in said


def test_the_way_there_is_corrected_by_the_track_that_radar_shows() -> None:
    talk = over_orrinfell_country()
    talk.say("mayday, Larkspur 5304W, engine failure, request vectors to Orrinfell")
    said = " ".join(glide(talk, 120.0, 190.0))
    assert "turn right heading two" in said
    assert "Orrinfell one" in said, "with how far it is"
    assert heading_in(said) > 205


def test_an_engine_that_quits_on_vectors_ends_the_pattern() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors for the surveillance approach at Orrinfell")
    assert abs(heading_in(talk.state.last_words + " heading one six zero") - 205) > 20, "to the pattern"
    said = " ".join(talk.say("mayday, 5304W, engine failure"))
    assert "straight to Orrinfell" in said
    assert abs(heading_in(said) - 205) <= 5
    assert "altitude at your discretion" in said.lower()
    assert talk.state.altitude_ft is None


def test_an_engine_that_quits_on_an_approach_ends_it_and_is_not_sent_up() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors for the surveillance approach at Orrinfell")
    talk.state = replace(talk.state, approach="surveillance 27", altitude_ft=2600.0)
    said = " ".join(talk.say("mayday, 5304W, the engine has quit"))
    assert "approach clearance cancelled" in said.lower()
    assert "straight to Orrinfell" in said
    assert "climb" not in " ".join(glide(talk, 300.0, 205.0))


def test_a_gliding_airplane_is_not_told_off_for_being_low_nor_sent_up_over_its_field() -> None:
    talk = over_orrinfell_country()
    talk.say("mayday, Larkspur 5304W, engine failure, request vectors to Orrinfell")
    talk.radar = replace(talk.radar, altitude_ft=2000.0)
    said = " ".join(glide(talk, 60.0, 205.0) + glide(talk, 1200.0, 205.0, down_fpm=60.0))
    assert "alert" not in said
    assert "climb" not in said


def test_an_engine_that_runs_again_is_led_as_any_other_airplane() -> None:
    talk = over_orrinfell_country()
    talk.say("mayday, Larkspur 5304W, engine failure")
    assert must_land(talk.state)
    talk.say("5304W, the engine is running again")
    assert not must_land(talk.state)
    said = " ".join(talk.say("5304W, request vectors for the surveillance approach at Orrinfell"))
    assert "straight" not in said
    talk.say("5304W, the engine is running rough again")
    assert must_land(talk.state), "rough is not running"


def test_a_fire_that_is_out_is_over_and_one_who_burns_may_still_ask_for_an_approach() -> None:
    talk = over_orrinfell_country()
    talk.say("mayday, Larkspur 5304W, fire in the cabin")
    assert must_land(talk.state)
    talk.say("5304W, the fire is out")
    assert not must_land(talk.state)
    burns = over_orrinfell_country()
    burns.say("mayday, Larkspur 5304W, fire in the cabin, request a radar approach at Orrinfell")
    assert not must_land(burns.state)
    assert burns.state.radar_approach


def test_without_engine_and_gyros_the_turns_are_called_straight_to_the_field() -> None:
    talk = over_orrinfell_country()
    said = " ".join(talk.say("mayday, Larkspur 5304W, engine failure and heading indicator failed, in cloud, "
                             "request no-gyro vectors to Orrinfell"))
    assert "no-gyro" in said
    said += " ".join(glide(talk, 20.0, 240.0))
    assert "turn left" in said, "from 240 to 205"
    said = " ".join(glide(talk, 5.0, 206.0))
    assert "stop turn" in said
    assert "maintain" not in " ".join(glide(talk, 400.0, 205.0))
