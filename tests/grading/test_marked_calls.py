"""The calls of trouble in a debrief, marked up by element: 14 CFR 91.187(b)(1) to (4)."""

from __future__ import annotations

from drill.cockpit.debrief.words import told as on_screen
from drill.grading import Debrief, grade
from drill.grading.telling import call_words
from drill.grading.text import debrief_lines
from drill.language import read_call
from drill.language.meaning import Action, Transmit

from .builders import flown, scenario

FIRST = "approach, 04W, we lost the vacuum pump, the thingummy hums"
SECOND = "04W, partial panel, request no-gyro vectors to Wendle"


def said(t: float, words: str) -> tuple[float, Action]:
    return t, Transmit(words, read_call(words, scenario().context))


def debrief(*words: str) -> Debrief:
    return grade(scenario(), flown(*(said(240.0 + 60.0 * at, each) for at, each in enumerate(words))), 1)


def test_a_call_shows_what_was_heard_by_which_words_and_what_was_not() -> None:
    call = debrief(FIRST).calls[0]
    assert call_words(call) == (
        "Heard: whom you called (“approach”); who you are (“04W”); what failed: vacuum system "
        "(“lost the vacuum pump”). Not heard by then: how far that limits you, what you want. "
        "Not understood: “the thingummy hums”.")


def test_calls_add_up_so_that_a_later_one_lacks_only_what_none_has_told() -> None:
    assert [call.not_heard for call in debrief(FIRST, SECOND).calls] == [
        ("how far that limits you", "what you want"), ()]


def test_talk_before_any_trouble_is_not_marked_up() -> None:
    assert debrief("approach, Larkspur 5304W, descend to three thousand").calls == ()


def test_a_call_with_nothing_new_in_it_is_not_marked_up_again() -> None:
    assert len(debrief(FIRST, FIRST, FIRST).calls) == 1


def test_the_words_and_the_screen_tell_the_same_of_a_call() -> None:
    given = debrief(FIRST)
    printed = " ".join(" ".join(debrief_lines(given)).split())
    assert call_words(given.calls[0]) in printed
    events = flown(said(240.0, FIRST))
    details = [dict(moment.details) for moment in on_screen(given, events).moments]
    assert any(each.get("What ATC made of it") == call_words(given.calls[0]) for each in details)
