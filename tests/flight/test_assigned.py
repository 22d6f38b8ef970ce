"""What is assigned, against what a pilot says (FAA JO 7110.65 5-2-17; 14 CFR 91.123)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flight.talk import HERE, Talk


@pytest.mark.parametrize(("words", "held"), [
    ("we are climbing to 7000", "maintain five thousand, say reason"),
    ("leaving five thousand for seven thousand", "maintain five thousand, say reason"),
    ("we are turning left to 090", "fly heading two four zero, say reason"),
])
def test_who_leaves_his_assignment_is_held_to_it_and_asked_why(words: str, held: str) -> None:
    talk = Talk()
    assert held in " ".join(talk.say(f"Larkspur 5304W, {words}"))
    assert (talk.state.heading_deg, talk.state.altitude_ft) == (240.0, 5000.0)


def test_in_an_emergency_nobody_is_held_to_anything() -> None:
    talk = Talk()
    talk.say("mayday mayday mayday, Larkspur 5304W, vacuum failure in cloud, diverting to Wendle")
    assert "say reason" not in " ".join(talk.say("04W, we are climbing to 7000"))


def test_who_descends_out_of_ice_is_told_how_low() -> None:
    said = " ".join(Talk().say("Larkspur 5304W, descending due to ice"))
    assert "minimum altitude in your area is three thousand" in said


@pytest.mark.parametrize(("shown_ft", "words"), [(6350.0, "level 5000"), (2904.0, "we are at 2000 feet"),
                                                 (5300.0, "level at five thousand")])
def test_an_altitude_three_hundred_feet_from_what_radar_shows_is_to_be_verified(shown_ft: float, words: str) -> None:
    talk = Talk()
    talk.radar = replace(HERE, altitude_ft=shown_ft)
    assert "verify altitude, radar shows" in " ".join(talk.say(f"Larkspur 5304W, {words}"))
    talk = Talk()
    talk.radar = replace(HERE, altitude_ft=shown_ft)
    talk.radar = replace(HERE, altitude_ft=5250.0 if "2000" not in words else 2250.0)
    assert "verify altitude, radar shows" not in " ".join(talk.say(f"Larkspur 5304W, {words}"))


@pytest.mark.parametrize(("words", "answer"), [
    ("confirm heading 270?", "negative, heading two four zero"),
    ("confirm heading 240", "affirmative, heading two four zero"),
    ("say again my heading?", "heading two four zero"), ("confirm six thousand?", "affirmative, maintain six thousand"),
    ("verify we are cleared to seven thousand", "negative, maintain six thousand"),
    ("what is our assigned altitude", "maintain six thousand"), ("which altitude was that", "maintain six thousand"),
    ("confirm we are cleared to Tallowby", "cleared as filed"),
])
def test_who_wants_it_confirmed_hears_what_is_assigned(words: str, answer: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request climb six thousand")
    assert answer in " ".join(talk.say(f"04W, {words}"))


def test_who_cannot_climb_keeps_the_altitude_that_he_names() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request climb seven thousand")
    said = talk.say("unable 7000, maintaining 5000")
    assert said == ["Larkspur zero four whiskey, roger, maintain five thousand."]
    assert (talk.state.altitude_ft, talk.state.own_altitude) == (5000.0, False)


@pytest.mark.parametrize(("shown_ft", "to"), [(5880.0, "six thousand"), (3900.0, "four thousand"),
                                              (2700.0, "three thousand")])
def test_after_an_emergency_a_whole_thousand_above_the_minimum_is_assigned(shown_ft: float, to: str) -> None:
    talk = Talk()
    talk.radar = replace(HERE, altitude_ft=shown_ft)
    talk.state = replace(talk.state, altitude_ft=None)
    talk.say("mayday mayday mayday, Larkspur 5304W, vacuum failure in cloud, diverting to Wendle")
    assert f"emergency cancelled, maintain {to}." in " ".join(talk.say("04W, cancel the emergency") + talk.wait(15))


@pytest.mark.parametrize(("words", "answer"), [
    ("can we get nine thousand", "climb and maintain niner thousand"),
    ("request climb two thousand feet", "say altitude wanted"),
    ("request a 360", "left or right three sixty approved"),
    ("request a left turn to 180", "left turn heading one eight zero approved"),
    ("request hold over Tallowby", "hold over Tallowby approved"),
    ("request ILS at Tallowby", "cleared direct Tallowby, expect ILS runway two four approach"),
    ("request ILS at Wendle", "unable ILS at Wendle"),
    ("request VFR on top", "climb to and report reaching VFR on top"),
])
def test_a_request_is_answered_as_the_request_that_it_is(words: str, answer: str) -> None:
    assert answer in " ".join(Talk().say(f"Larkspur 5304W, {words}"))


def test_nothing_is_led_while_a_block_or_a_hold_is_flown() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request vectors to Tallowby")
    talk.say("04W, request block 5 to 7 thousand")
    assert "approach" not in " ".join(talk.say("04W, request holding") + talk.wait(200))
