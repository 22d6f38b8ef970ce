"""A wrong instruction is to be questioned (14 CFR 91.123(a), from memory); a callsign stays whole until ATC shortens it
(AIM 4-2-4, from memory)."""

from __future__ import annotations

import pytest

from drill.flight.events import Event, Heard
from drill.grading import Finding, grade
from drill.grading.radio_care import QUESTION, WHOLE
from drill.language import read_call
from drill.language.meaning import Transmit

from .builders import flown, scenario

WRONG = Heard(200.0, "Orrinfell Approach", "Larkspur five three zero four whiskey, maintain seven thousand.",
              mistake="altitude")
PUT_RIGHT = Heard(230.0, "Orrinfell Approach", "Larkspur zero four whiskey, correction, maintain six thousand.")


def findings(item: str, *heard: Heard, calls: tuple[tuple[float, str], ...] = ()) -> list[Finding]:
    acts = [(t, Transmit(words, read_call(words, scenario().context))) for t, words in calls]
    events: list[Event] = sorted([*flown(*acts), *heard], key=lambda event: event.t)
    return [finding for finding in grade(scenario(), events, 1).findings if finding.item == item]


def test_a_mistake_of_atc_that_was_questioned_is_done() -> None:
    assert [each.verdict for each in findings(QUESTION, WRONG, PUT_RIGHT)] == ["done"]


def test_a_mistake_of_atc_that_nobody_questioned_is_missed_and_shown() -> None:
    found = findings(QUESTION, WRONG)
    assert [each.verdict for each in found] == ["missed"]
    assert "maintain seven thousand" in found[0].reason


def test_without_a_mistake_there_is_nothing_to_question() -> None:
    assert findings(QUESTION, PUT_RIGHT) == []


@pytest.mark.parametrize(("at", "words", "told"), [
    (210.0, "approach, 04W, good morning", True),
    (240.0, "approach, 04W, good morning", False),
    (210.0, "approach, Larkspur 5304W, good morning", False),
])
def test_a_callsign_shortened_before_atc_has_done_so_is_remarked_and_not_counted(
    at: float, words: str, told: bool,
) -> None:
    found = findings(WHOLE, PUT_RIGHT, calls=((at, words),))
    assert [(each.verdict, each.score) for each in found] == ([("remark", None)] if told else [])
