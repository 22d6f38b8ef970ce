"""A busy controller: what he lets wait, and what does not wait (common practice, no source)."""

from __future__ import annotations

from flight.talk import Talk
from flight.test_plans import over_orrinfell_country

DIRECT = "Larkspur 5304W, request direct Tallowby"


def test_an_emergency_is_answered_before_what_stood_by() -> None:
    talk = Talk("busy")
    talk.say("Larkspur 5304W, request climb to seven thousand")
    said = [*talk.say("04W, mayday, vacuum failure"), *talk.wait(30)]
    assert "roger mayday" in said[0]
    assert any("climb and maintain seven thousand" in each for each in said[1:])


def test_a_way_that_stood_by_is_not_given_to_who_has_declared_an_emergency_since() -> None:
    talk = Talk("busy")
    assert "stand by" in talk.say(DIRECT)[0]
    said = [*talk.say("04W, mayday, mayday, mayday, we have a fire"), *talk.wait(30)]
    assert "roger mayday" in said[0]
    assert "Tallowby, three zero miles" not in " ".join(said)
    assert "straight to Wendle" in " ".join(talk.say("landing Wendle, 04W"))


def test_say_again_never_brings_back_a_heading_that_has_been_replaced() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors to Tallowby")
    talk.hear("04W, request vectors to Wendle")
    talk.wait(1)
    talk.hear("say again")
    said = talk.wait(20)
    assert "vectors to Wendle" in said[0]
    assert not any("Tallowby" in each for each in said)
