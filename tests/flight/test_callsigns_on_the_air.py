"""Who shortens the callsign first (AIM 4-2-4: the pilot only after the facility has done so)."""

from __future__ import annotations

from drill.flight.phraseology import shortens
from flight.talk import Talk

FULL, SHORT = "Larkspur five three zero four whiskey", "Larkspur zero four whiskey"


def test_the_first_line_in_contact_has_the_full_callsign_and_the_second_the_short_one() -> None:
    talk = Talk()
    assert talk.say("Orrinfell Approach, Larkspur 5304W")[0].startswith(FULL)
    assert talk.say("Larkspur 5304W, request climb to seven thousand")[0].startswith(SHORT)


def test_who_shortens_at_once_is_answered_in_full_without_a_word_about_it() -> None:
    talk = Talk()
    assert talk.say("04W, request climb to seven thousand") == [f"{FULL}, climb and maintain seven thousand."]
    assert talk.state.shortened_first


def test_who_shortens_after_the_controller_has_done_nothing_wrong() -> None:
    talk = Talk()
    talk.say("Orrinfell Approach, Larkspur 5304W")
    talk.say("Larkspur 5304W, request climb to seven thousand")
    talk.say("seven thousand, 04W")
    assert not talk.state.shortened_first


def test_who_shortens_after_one_full_answer_is_still_too_early() -> None:
    talk = Talk()
    talk.say("Orrinfell Approach, Larkspur 5304W")
    talk.say("request climb to seven thousand, 04W")
    assert talk.state.shortened_first


def test_from_the_words_heard_it_can_be_told_who_shortened() -> None:
    assert shortens(f"{SHORT}, go ahead.", "Larkspur 5304W")
    assert not shortens(f"{FULL}, go ahead.", "Larkspur 5304W")
    assert not shortens("Thistle niner victor romeo, good day.", "Larkspur 5304W")


def test_callsigns_without_a_shorter_form_are_never_shortened() -> None:
    assert not shortens("Larkspur four whiskey, go ahead.", "Larkspur 4W")
