"""An instruction to hold short is read back (AIM 4-3-18 a 9, FAA JO 7110.65 3-7-2; from memory)."""

from __future__ import annotations

import pytest

from drill.flight.events import Event, Heard
from drill.grading import Finding, grade
from drill.grading.hold_short import ITEM
from drill.language import read_call
from drill.language.meaning import Transmit

from .builders import flown, scenario

TAXI = Heard(200.0, "Averholt Ground", "Larkspur five three zero four whiskey, taxi to runway two seven via Alpha, "
             "hold short.", wants="reply")


def findings(*calls: tuple[float, str], heard: Heard = TAXI) -> list[Finding]:
    acts = [(t, Transmit(words, read_call(words, scenario().context))) for t, words in calls]
    events: list[Event] = sorted([*flown(*acts), heard], key=lambda event: event.t)
    return [finding for finding in grade(scenario(), events, 1).findings if finding.item == ITEM]


@pytest.mark.parametrize("words", [
    "runway two seven via Alpha, hold short, Larkspur 5304W", "will hold short of 27, 04W",
    "holding short two seven, Larkspur 5304W", "unable, Larkspur 5304W", "say again, Larkspur 5304W",
])
def test_hold_short_read_back_or_refused_is_not_spoken_of(words: str) -> None:
    assert findings((215.0, words)) == []


@pytest.mark.parametrize(("at", "words"), [
    (215.0, "roger, Larkspur 5304W"), (215.0, "runway two seven via Alpha, Larkspur 5304W"),
    (300.0, "hold short, Larkspur 5304W"),
])
def test_hold_short_not_read_back_within_a_minute_costs(at: float, words: str) -> None:
    (found,) = findings((at, words))
    assert (found.verdict, found.score, found.part) == ("missed", 0.0, "communicate")
    assert "hold short" in found.reason


def test_a_taxi_clearance_without_hold_short_asks_for_none() -> None:
    free = Heard(200.0, "Averholt Ground", "Larkspur five three zero four whiskey, taxi to the ramp.", wants="reply")
    assert findings((215.0, "roger, Larkspur 5304W"), heard=free) == []


def test_hold_short_said_to_another_airplane_asks_for_nothing() -> None:
    other = Heard(200.0, "Averholt Ground", "Tansy three one eight, hold short of runway two seven.", to_us=False)
    assert findings(heard=other) == []
