"""IFR again after it was cancelled: a proper clearance above the minimum altitude, none in cloud below it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flight.talk import Talk


def visual(altitude_ft: float = 5000.0) -> Talk:
    """Return a conversation in which IFR has been cancelled, with the airplane at that altitude."""
    talk = Talk()
    talk.say("Larkspur 5304W is in visual conditions, cancel IFR")
    talk.radar = replace(talk.radar, altitude_ft=altitude_ft)
    return talk


@pytest.mark.parametrize(("words", "to", "altitude"), [
    ("request IFR clearance to Tallowby", "Tallowby", "maintain five thousand"),
    ("04W, request pop-up IFR to Wendle at 4000", "Wendle", "descend and maintain four thousand"),
    ("04W would like to pick up IFR again", "Tallowby", "maintain five thousand"),
    ("can we get an instrument clearance to Wendle, seven thousand", "Wendle", "climb and maintain seven thousand"),
    ("we need to go back to IFR to Wendle", "Wendle", "maintain five thousand"),
    ("request IFR to Wendle, present altitude 5000", "Wendle", "maintain five thousand"),
])
def test_the_clearance_has_limit_route_altitude_and_code(words: str, to: str, altitude: str) -> None:
    talk = visual()
    said = " ".join(talk.say(words) + talk.wait(10))
    assert f"cleared to {to} via direct, {altitude}, squawk four five two one" in said
    assert said.count("maintain") == 1
    assert "VFR" not in said
    assert "verify" not in said.lower()
    assert not talk.state.ifr_cancelled
    assert talk.state.altitude_ft is not None


def test_no_altitude_below_the_minimum_is_cleared() -> None:
    said = " ".join(visual().say("request IFR to Wendle at 2000"))
    assert "unable two thousand" in said
    assert "maintain five thousand" in said


def test_with_vectors_the_clearance_goes_by_them() -> None:
    talk = visual()
    said = " ".join(talk.say("request IFR clearance with vectors to Wendle") + talk.wait(15))
    assert "cleared to Wendle via radar vectors, maintain five thousand" in said
    assert "fly heading" in said.lower()


def test_below_the_minimum_who_sees_the_ground_is_asked_whether_he_keeps_clear_of_it() -> None:
    talk = visual(2500.0)
    assert "own terrain and obstruction clearance until reaching three thousand" in " ".join(
        talk.say("request IFR clearance to Wendle"))
    assert talk.state.ifr_cancelled
    assert "cleared to Wendle via direct, climb and maintain three thousand" in " ".join(talk.say("affirmative"))


def test_who_does_not_keep_clear_of_it_gets_no_clearance_below_the_minimum() -> None:
    talk = visual(2500.0)
    talk.say("request IFR clearance to Wendle")
    said = " ".join(talk.say("negative"))
    assert "unable IFR clearance below three thousand, maintain VFR" in said
    talk.radar = replace(talk.radar, altitude_ft=3000.0)
    assert "cleared to Wendle via direct, maintain three thousand" in " ".join(talk.say("level three thousand, 04W"))


def test_in_cloud_below_the_minimum_the_climb_comes_first_and_the_clearance_at_the_top_of_it() -> None:
    talk = visual(2400.0)
    said = " ".join(talk.say("we are in cloud at 2400, need an IFR clearance to Wendle now"))
    assert "unable IFR clearance below three thousand, climb immediately to three thousand" in said
    assert "cleared to" not in said
    assert "cleared to" not in " ".join(talk.say("climbing, 04W"))
    talk.radar = replace(talk.radar, altitude_ft=3000.0)
    assert "cleared to Wendle via direct, maintain three thousand" in " ".join(talk.say("reaching three thousand, 04W"))


def test_in_cloud_without_a_clearance_one_is_offered() -> None:
    talk = visual()
    assert "do you want an IFR clearance?" in " ".join(talk.say("04W, we are in cloud now"))
    assert "cleared to Tallowby via direct, maintain five thousand" in " ".join(talk.say("affirmative"))


def test_in_cloud_and_low_without_a_clearance_he_is_alerted() -> None:
    talk = visual(2400.0)
    talk.say("04W, we are in cloud now")
    talk.say("negative")
    assert "low altitude alert" in " ".join(talk.wait(60)).lower()


@pytest.mark.parametrize("words", ["we are in cloud at 5000, need an IFR clearance now", "we want to stay IFR",
                                   "actually we are in cloud"])
def test_before_it_is_cancelled_the_old_clearance_remains(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, cancel IFR")
    said = " ".join(talk.say(words))
    assert "IFR clearance remains in effect, maintain five thousand" in said
    assert not talk.state.ifr_cancelled


@pytest.mark.parametrize("words", ["we do not need IFR, thanks", "there is IFR weather ahead, any reports?"])
def test_what_asks_for_no_clearance_gets_none(words: str) -> None:
    talk = visual()
    assert "cleared to" not in " ".join(talk.say(words))
    assert talk.state.ifr_cancelled
