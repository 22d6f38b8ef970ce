"""A question gets the fact or "unable", and asks for nothing to be done."""

from __future__ import annotations

import pytest

from flight.test_plans import over_orrinfell_country


@pytest.mark.parametrize(("words", "answer"), [
    ("what approaches are there at orrinfell", "approaches at Orrinfell: surveillance runway two seven"),
    ("which heading to wendle", "Wendle is heading zero seven eight"),
    ("is there an ILS nearby", "Tallowby is heading two three six, four two miles, ILS runway two four"),
    ("is tallowby above minimums?", "minimums six hundred ten"),
    ("what is the minimum altitude here", "minimum altitude two thousand six hundred"),
    ("what is the minimum vectoring altitude here", "minimum altitude two thousand six hundred"),
    ("how long is the runway at wendle", "unable, runway data for Wendle not on hand"),
    ("which runway at wendle", "runway two seven at Wendle"),
    ("can you see us on radar", "radar contact, one six miles from Orrinfell, altitude six thousand"),
    ("any traffic", "no traffic observed"), ("what time is it", "unable"),
    ("any pireps?", "light turbulence reported at eight thousand"),
    ("what is below us, any terrain?", "minimum altitude in your area is two thousand six hundred"),
    ("nearest airport please", "Orrinfell is heading two zero five, one six miles"),
])
def test_a_question_is_answered_and_moves_nothing(words: str, answer: str) -> None:
    talk = over_orrinfell_country()
    before = (talk.state.heading_deg, talk.state.altitude_ft, talk.state.place)
    said = " ".join(talk.say(f"Larkspur 5304W, {words}"))
    assert answer in said
    assert (talk.state.heading_deg, talk.state.altitude_ft, talk.state.place) == before
    assert "cleared" not in said
    assert "fly heading" not in said


def test_the_nearest_airport_is_offered() -> None:
    talk = over_orrinfell_country()
    assert "Do you want vectors there?" in " ".join(talk.say("Larkspur 5304W, nearest airport please"))
    assert "Orrinfell weather" in " ".join(talk.say("what is the ceiling there"))
    assert "vectors to Orrinfell" in " ".join(talk.say("affirmative, 04W"))
