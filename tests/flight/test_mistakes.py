"""Mistakes that an author has the controller make: once each, corrected when the pilot doubts, and in the record."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.flight.events import Heard
from drill.flight.flight import Flight
from drill.language.meaning import Transmit
from drill.scenario.model import Mistake, Say
from flight.flights import of, short
from flight.talk import Talk

CLIMB, VECTORS = "Larkspur 5304W, request climb to seven thousand", "Larkspur 5304W, request vectors to Wendle"


@pytest.mark.parametrize(("mistake", "call", "wrong", "doubt", "right"), [
    ("altitude", CLIMB, "climb and maintain eight thousand", "negative, 04W, requested seven thousand",
     "correction, maintain seven thousand"),
    ("altitude", CLIMB, "maintain eight thousand", "maintain seven thousand, 04W",
     "correction, maintain seven thousand"),
    ("altitude", CLIMB, "maintain eight thousand", "confirm altitude, 04W", "correction, maintain seven thousand"),
    ("heading", VECTORS, "fly heading one eight zero", "confirm heading, 04W",
     "correction, fly heading zero eight zero"),
    ("heading", VECTORS, "fly heading one eight zero", "heading zero eight zero, 04W",
     "correction, fly heading zero eight zero"),
    ("callsign", CLIMB, "Larkspur five three zero four kilo, climb", "was that for Larkspur 5304W?",
     "correction, that was for you, climb and maintain seven thousand"),
])
def test_a_mistake_is_made_in_the_first_line_that_has_room_and_corrected_for_who_notices(
    mistake: Mistake, call: str, wrong: str, doubt: str, right: str,
) -> None:
    talk = Talk(mistakes=(mistake,))
    assert wrong in talk.say(call)[0]
    assert talk.mistaken == [mistake]
    assert right in talk.say(doubt)[0]
    assert (talk.state.slip, talk.state.mistakes) == (None, ())
    again = talk.say("Larkspur 5304W, request climb to six thousand, vectors to Tallowby")
    assert "six thousand" in " ".join(again), "once"


def test_who_does_not_notice_is_left_with_what_he_was_told() -> None:
    talk = Talk(mistakes=("altitude",))
    talk.say(CLIMB)
    assert talk.say("climb and maintain eight thousand, 04W") == []
    assert talk.state.altitude_ft == 8000.0
    talk.radar = replace(talk.radar, altitude_ft=8000.0)
    assert "verify" not in " ".join(talk.wait(200))


@pytest.mark.parametrize(("seconds", "call"), [(0.0, "what is the weather at Wendle?"), (200.0, "confirm, 04W")])
def test_a_question_about_something_else_or_long_after_is_no_doubt(seconds: float, call: str) -> None:
    talk = Talk(mistakes=("altitude",))
    talk.say(CLIMB)
    talk.wait(seconds)
    assert "correction" not in " ".join(talk.say(call))


def test_but_a_doubt_that_names_the_wrong_figure_is_one_at_any_time() -> None:
    talk = Talk(mistakes=("heading",))
    talk.line(Say(Clean("{callsign}, turn right heading {heading}."), heading_deg=260.0, asks="readback"))
    talk.wait(5)
    talk.say("right heading three six zero, 04W")
    talk.radar = replace(talk.radar, track_deg=360.0)
    talk.wait(200)
    said = talk.say("are you sure about heading 360? We are going to Tallowby")
    assert [each.partition(", ")[2] for each in said] == ["correction, fly heading two six zero."], "and that alone"


@pytest.mark.parametrize(("mistake", "call", "doubt", "right"), [
    ("altitude", CLIMB, "04W, confirm eight thousand?", "correction, maintain seven thousand."),
    ("heading", VECTORS, "confirm heading, 04W", "correction, fly heading zero eight zero."),
])
def test_a_figure_is_corrected_once_and_not_confirmed_besides(
    mistake: Mistake, call: str, doubt: str, right: str,
) -> None:
    talk = Talk(mistakes=(mistake,))
    talk.say(call)
    assert [each.partition(", ")[2] for each in talk.say(doubt)] == [right]


def test_a_turn_to_a_heading_by_the_wrong_side_is_corrected_by_the_controller_who_sees_it() -> None:
    talk = Talk(mistakes=("side",))
    talk.line(Say(Clean("{callsign}, turn right heading {heading}."), heading_deg=290.0, asks="readback"))
    assert "turn left heading two niner zero" in talk.wait(5)[0]
    talk.say("left heading two niner zero, 04W")
    said = " ".join(talk.fly(15, turning_dps=-3.0))
    assert "correction, turn right heading two niner zero" in said
    assert "correction" not in " ".join(talk.fly(60, turning_dps=3.0))


@pytest.mark.parametrize(("mistake", "call", "other"), [
    ("altitude", "Larkspur 5304W, request climb to seven thousand", "confirm heading, 04W"),
    ("heading", "Larkspur 5304W, request vectors to Wendle", "confirm altitude, 04W"),
    ("heading", "Larkspur 5304W, request vectors to Wendle", "negative, unable six thousand, 04W"),
])
def test_a_doubt_about_an_altitude_corrects_no_heading_nor_the_other_way_round(
    mistake: Mistake, call: str, other: str,
) -> None:
    talk = Talk(mistakes=(mistake,))
    talk.say(call)
    assert "correction" not in " ".join(talk.say(other))


@pytest.mark.parametrize("words", ["right turn? 04W", "which way?", "left or right?"])
def test_a_side_that_is_asked_about_is_said(words: str) -> None:
    talk = Talk()
    talk.say(VECTORS)
    talk.say("heading zero eight zero, 04W")
    assert "turn left heading zero eight zero" in " ".join(talk.say(words))


def test_which_way_is_answered_with_the_side() -> None:
    talk = Talk(mistakes=("side",))
    talk.say("Larkspur 5304W has lost the vacuum pump, requests no-gyro vectors to Wendle")
    talk.wait(15)
    talk.say("confirm left turn, 04W")
    assert "turn left now" in " ".join(talk.say("which way?"))


def test_a_no_to_a_question_is_no_doubt() -> None:
    talk = Talk(mistakes=("altitude",))
    talk.say("Larkspur 5304W has lost the vacuum pump, diverting to Wendle")
    talk.say("04W, request climb to seven thousand")
    assert talk.state.altitude_ft == 8000.0
    talk.state = replace(talk.state, question="emergency")
    talk.say("negative, 04W")
    assert talk.state.altitude_ft == 8000.0


def test_a_no_gyro_turn_to_the_wrong_side_is_corrected_for_who_notices() -> None:
    talk = Talk(mistakes=("side",))
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    assert talk.wait(10)[-1].endswith("turn right.")
    assert "correction, turn left" in talk.say("confirm left turn, 04W")[0]


def test_and_by_the_controller_who_sees_it_on_the_track() -> None:
    talk = Talk(mistakes=("side",))
    talk.radar = replace(talk.radar, track_deg=180.0)
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    talk.wait(10)
    assert any(each.endswith("correction, turn left.") for each in talk.fly(30, turning_dps=3.0))


def test_a_mistake_is_made_in_a_line_of_the_scenario_too() -> None:
    talk = Talk(mistakes=("altitude",))
    talk.line(Say(Clean("{callsign}, climb and maintain {altitude}."), altitude_ft=6000.0))
    assert "maintain seven thousand" in talk.wait(5)[0]


def test_mistakes_are_made_one_a_line_in_the_authors_order() -> None:
    talk = Talk(mistakes=("heading", "altitude"))
    talk.say("Larkspur 5304W, request climb to seven thousand and vectors to Wendle")
    talk.say("04W, request climb to six thousand")
    assert talk.mistaken == ["heading", "altitude"]


def test_an_approach_to_the_right_figures_of_a_careful_controller_has_no_mistake() -> None:
    talk = Talk()
    talk.say(CLIMB)
    talk.say(VECTORS)
    assert talk.mistaken == []


def test_in_flight_the_mistake_is_on_the_line_in_the_record() -> None:
    clearance = replace(short().clearance, mistakes=("altitude",))
    flight, _ = Flight.start(replace(short(), clearance=clearance), 1)
    flight.act(Transmit(f"Orrinfell Approach, {CLIMB}"))
    heard = of(Heard, flight.advance(30.0))
    assert [each.mistake for each in heard if "climb and maintain eight thousand" in each.words] == ["altitude"]
