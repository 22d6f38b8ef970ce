"""Altitude assignments and vectors are read back with their figures (AIM 4-4-7(b), from memory)."""

from __future__ import annotations

import pytest

from drill.flight.events import Assigned, Event, Heard
from drill.grading import Finding, grade
from drill.grading.read_backs import ITEM
from drill.language import read_call
from drill.language.meaning import Transmit

from .builders import flown, scenario

TURN = Heard(200.0, "Orrinfell Approach", "Larkspur five three zero four whiskey, turn left heading two one zero, "
             "descend and maintain four thousand, traffic at six thousand.", wants="readback")
ASSIGNED = Assigned(200.0, 210.0, 4_000.0)


def findings(*calls: tuple[float, str], heard: Heard = TURN) -> list[Finding]:
    acts = [(t, Transmit(words, read_call(words, scenario().context))) for t, words in calls]
    events: list[Event] = sorted([*flown(*acts), ASSIGNED, heard], key=lambda event: event.t)
    return [finding for finding in grade(scenario(), events, 1).findings if finding.item == ITEM]


@pytest.mark.parametrize("words", [
    "left two one zero, down to four thousand, Larkspur 5304W",
    "left 210, leaving six thousand for 4,000, 04W",
    "unable two one zero, Larkspur 5304W",
    "say again, Larkspur 5304W",
    "left to 210 and 4000, 5304W",
])
def test_numbers_read_back_or_refused_are_not_spoken_of(words: str) -> None:
    assert findings((215.0, words)) == []


@pytest.mark.parametrize(("at", "words"), [
    (215.0, "roger, Larkspur 5304W"), (215.0, "wilco, Larkspur 5304W"),
    (215.0, "left two one zero, Larkspur 5304W"),
    (215.0, "right two one zero, four thousand, Larkspur 5304W"),
    (215.0, "squawk 2100, out of four thousand five hundred, Larkspur 5304W"),
    (215.0, "left two one zero, out of four thousand five hundred, Larkspur 5304W"),
    (215.0, "unable to accept an ILS, Larkspur 5304W"), (300.0, "left two one zero, four thousand, Larkspur 5304W"),
])
def test_numbers_not_read_back_in_full_within_a_minute_are_told_and_not_counted(at: float, words: str) -> None:
    (found,) = findings((at, words))
    assert (found.verdict, found.score) == ("remark", None)
    assert "turn left heading two one zero" in found.reason


def test_an_altitude_at_the_pilots_discretion_asks_for_no_read_back() -> None:
    free = Heard(200.0, "Orrinfell Approach", "Larkspur five three zero four whiskey, climb and maintain four thousand,"
                 " or as you need.", wants="readback")
    assert findings((215.0, "roger, Larkspur 5304W"), heard=free) == []


def test_a_heading_that_another_soon_replaces_is_not_asked_for() -> None:
    acts = [(225.0, "right two seven zero, four thousand, Larkspur 5304W")]
    again = Heard(210.0, "Orrinfell Approach", "Larkspur five three zero four whiskey, correction, turn right heading "
                  "two seven zero.", wants="readback")
    events: list[Event] = sorted(
        [*flown(*((t, Transmit(words, read_call(words, scenario().context))) for t, words in acts)), TURN, ASSIGNED,
         again, Assigned(210.0, 270.0, 4_000.0)], key=lambda event: event.t)
    assert not [each for each in grade(scenario(), events, 1).findings if each.item == ITEM]
