"""Times before an order, slips of the keyboard, and words said twice (our own lines)."""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.meaning import (
    Altitude,
    ChecklistItem,
    Context,
    Decide,
    StopTurn,
    Switch,
    Transmit,
    Turn,
    Wait,
)

HERE = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle", "Ashby"))


@pytest.mark.parametrize(("line", "done"), [
    ("for 1 minute turn left", [Turn("left", None, 180)]), ("for one minute, turn left", [Turn("left", None, 180)]),
    ("in 30 seconds turn left", [Wait(30.0), Turn("left")]), ("for 30 seconds", [Wait(30.0)]),
    ("after 1 minute stop the turn", [Wait(60.0), StopTurn()]),
    ("in 2 minutes descend to 3000", [Wait(120.0), Altitude(3000, "descend")]),
    ("after 2 minutes turn right 090", [Wait(120.0), Turn("right", 90)]),
])
def test_a_time_before_an_order_is_its_length_or_what_comes_before_it(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize(("line", "done"), [
    ("AP on hdg 270", [Switch("autopilot", "on"), Turn("shortest", 270)]),
    ("stdby vac on", [Switch("standby_vacuum", "on")]), ("alt hold", [Altitude(None)]),
    ("clb 5.5", [Altitude(5500, "climb")]), ("trn left", [Turn("left")]), ("AHHH level off", [Altitude(None)]),
    ("stop of turn now", [StopTurn()]), ("read me the next item", [ChecklistItem()]),
    ("we return to Wendle", [Decide("divert", "Wendle")]),
    ("let's head over to Wendle I guess", [Decide("divert", "Wendle")]),
])
def test_short_and_clumsy_words(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize(("line", "said"), [
    ("tel approach we lsot the AI", "we lsot the AI"), ("tell them tell them we lost the vacuum", "we lost the vacuum"),
    ("make call mayday", "make call mayday"), ("sir we are request descend", "request descend"),
    ("say that again please", "say that again please"), ("say it again", "say it again"),
])
def test_what_goes_out(line: str, said: str) -> None:
    (action,) = read(line, HERE)
    assert isinstance(action, Transmit)
    assert action.call == said


@pytest.mark.parametrize(("words", "urgency"), [
    ("declare pan pan not mayday", "pan-pan"), ("declaring a pan", "pan-pan"), ("declaring an emergency", "emergency"),
    ("declare an emergency, pan pan", "emergency"),
])
def test_who_declares_a_pan_declares_no_emergency(words: str, urgency: str) -> None:
    assert read_call(words, HERE).urgency == urgency


@pytest.mark.parametrize("words", ["say that again", "say it again please", "04W, say that again"])
def test_that_again_asks_for_it_to_be_said_again(words: str) -> None:
    assert "say_again" in [reply.kind for reply in read_call(words, HERE).replies]
