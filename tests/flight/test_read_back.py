"""Read-backs: each assignment is read back, a wrong one is corrected, a right one is left in peace.

AIM 4-4-7(b): headings and altitudes are read back; FAA JO 7110.65 2-4-3: the controller makes sure that it is right.
Both from memory.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.flight.weather import field_position
from drill.scenario.model import Say
from flight.talk import HERE, Talk
from flight.test_plans import over_orrinfell_country


def on_vectors() -> tuple[Talk, str]:
    """On vectors for an approach, and a heading that he gives by himself."""
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors for the surveillance approach at Orrinfell")
    talk.say(f"heading {talk.state.heading_deg:.0f}, 04W")
    for _ in range(900):
        talk.radar = replace(talk.radar, track_deg=talk.state.heading_deg or 0.0,
                             north_nm=talk.radar.north_nm + 0.02, east_nm=talk.radar.east_nm + 0.01)
        if any(words for words in talk.wait(1.0) if "turn" in words and "heading" in words):
            return talk, talk.state.last_words
    raise AssertionError("no further heading was given")


def test_a_right_read_back_of_a_heading_that_he_gives_by_himself_is_left_in_peace() -> None:
    talk, _ = on_vectors()
    said = " ".join(talk.say(f"heading {talk.state.heading_deg:03.0f}, 04W"))
    assert "roger" not in said
    assert "negative" not in said


def test_a_wrong_read_back_of_such_a_heading_is_corrected() -> None:
    talk, _ = on_vectors()
    wrong = ((talk.state.heading_deg or 0.0) + 100.0) % 360.0
    assert "negative, heading" in " ".join(talk.say(f"heading {wrong:03.0f}, 04W"))


@pytest.mark.parametrize("words", ["climbing niner thousand, 04W", "climb to niner thousand", "leaving five for nine "
                                   "thousand, 04W"])
def test_another_altitude_that_a_pilot_says_he_climbs_to_is_a_wrong_read_back(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request eight thousand")
    assert "negative, maintain eight thousand" in " ".join(talk.say(words))


@pytest.mark.parametrize("words", ["climbing eight thousand, 04W", "leaving five thousand for eight thousand, 04W"])
def test_who_says_that_he_climbs_to_the_altitude_given_has_read_it_back(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request eight thousand")
    assert talk.say(words) == []


@pytest.mark.parametrize(("words", "wrong"), [("two niner six eight, 04W", True), ("2968, 04W", True),
                                              ("two niner eight six, 04W", False), ("3000 feet, 04W", False)])
def test_a_setting_is_read_back_by_its_digits_alone(words: str, wrong: bool) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, level five thousand")
    talk.line(Say(Clean("{callsign}, Tallowby altimeter two niner eight six."), asks="yes"))
    talk.wait(10.0)
    assert ("negative, altimeter two niner eight six" in " ".join(talk.say(words))) is wrong


def test_missed_approach_instructions_are_rightly_read_back_though_another_heading_is_flown() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors for the surveillance approach at Orrinfell")
    north, east = field_position(next(each for each in talk.scenario.fields if each.name == "Orrinfell"))
    talk.radar = replace(HERE, north_nm=north + 8.0, east_nm=east + 9.0, altitude_ft=3000.0,
                         track_deg=talk.state.heading_deg or 0.0)
    said: list[str] = []
    while not any("if missed approach" in each for each in said):
        said = talk.wait(1.0)
    assert "negative" not in " ".join(talk.say("climb to three thousand, heading two seven zero, 04W"))
