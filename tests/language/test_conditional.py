"""An order that hangs on a condition is not carried out: it is asked for when its time comes."""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.meaning import (
    Altitude,
    Checklist,
    Context,
    Cover,
    Flaps,
    LevelWings,
    Look,
    Turn,
    TurnRate,
    Unclear,
    Wait,
)

CONTEXT = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle"))


@pytest.mark.parametrize("line", [
    "if the suction is low cover the AI", "cover the AI if suction is zero", "when we are on top uncover the AI",
    "once level turn left 240", "unless the AI agrees, cover it",
])
def test_a_conditional_order_is_asked_for_in_time_and_not_done(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, CONTEXT))


def test_what_stands_beside_a_conditional_order_is_done() -> None:
    actions = read("check suction then if it is zero cover the AI", CONTEXT)
    assert Look("suction_gauge") in actions
    assert not any(isinstance(action, Cover) for action in actions)


@pytest.mark.parametrize("line", [
    "turn left heading 220, blorp, and descend to 5500", "check suction and frobnicate", "climb to 6000 and florb",
])
def test_a_piece_of_one_unknown_word_is_named_and_not_dropped(line: str) -> None:
    assert any(isinstance(action, Unclear) for action in read(line, CONTEXT))
    assert not all(isinstance(action, Unclear) for action in read(line, CONTEXT))


def test_a_rate_may_follow_at() -> None:
    actions = read("turn left at half standard rate", CONTEXT)
    assert TurnRate("half") in actions
    assert any(isinstance(action, Turn) and action.direction == "left" for action in actions)


@pytest.mark.parametrize("words", ["standby to cancel IFR, 04W", "can we cancel IFR?", "ready to cancel IFR shortly"])
def test_to_be_ready_to_cancel_or_to_ask_about_it_cancels_nothing(words: str) -> None:
    assert not read_call(words, CONTEXT).cancels_ifr


@pytest.mark.parametrize("line", [
    "wait until level then turn left", "wait till we are level, then descend to 3000", "before landing, flaps 20",
    "before we land put the flaps down", "prior to landing lower the flaps", "flaps 20 before landing",
    "when established descend to 2000", "after the turn climb", "after the turn, climb to 5000",
    "following the turn descend to 3000", "after landing turn off the strobes", "turn left after the descent",
    "during the descent slow to 80", "on final, flaps 30", "flaps 30 on final", "approaching 3000 slow to 90",
    "passing 3000 flaps 10", "after takeoff flaps up", "in the flare power idle",
    "hang on until we are level, then climb to 4000",
])
def test_what_is_ordered_for_a_part_of_the_flight_still_to_come_is_not_done_now(line: str) -> None:
    actions = read(line, CONTEXT)
    assert len(actions) == 1
    assert isinstance(actions[0], Unclear)
    assert actions[0].ask.startswith("Say it when the time comes: ")


@pytest.mark.parametrize(("line", "now"), [
    ("hold heading until established then descend to 2000", LevelWings()),
    ("hold heading until established and descend to 2000", LevelWings()),
    ("wait until ATC calls then turn left", Wait(60.0, until_called=True)),
    ("check the suction then hold heading until level, then climb to 6000", LevelWings()),
])
def test_what_follows_an_order_that_lasts_until_something_waits_for_it(line: str, now: object) -> None:
    actions = read(line, CONTEXT)
    assert now in actions
    assert not any(isinstance(action, Turn | Altitude) for action in actions)


@pytest.mark.parametrize("line", [
    "wait for the wings to be level then turn right", "wait for the needle to center then turn left",
    "let the compass settle then align the DG", "hold until established then descend to 2000",
])
def test_what_is_to_follow_a_wait_for_something_is_not_done_at_once(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, CONTEXT))


@pytest.mark.parametrize("line", [
    "once level tell approach we lost the vacuum", "before final tell approach we lost the vacuum",
])
def test_a_call_for_later_is_neither_sent_nor_taken_for_a_thought(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, CONTEXT))


@pytest.mark.parametrize(("line", "done"), [
    ("before anything else level the wings", LevelWings()), ("first of all, level the wings", LevelWings()),
    ("before it gets worse, turn left 270", Turn("left", 270)), ("we are on final, flaps 30", Flaps(30)),
    ("turn left when able", Turn("left")), ("read the after takeoff checklist", Checklist("after takeoff")),
    ("run the before landing checklist", Checklist("before landing")),
    ("hold heading until told", LevelWings()),
])
def test_words_that_only_press_or_name_a_checklist_put_nothing_off(line: str, done: object) -> None:
    assert read(line, CONTEXT) == [done]
