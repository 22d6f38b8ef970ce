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
    FlyBy,
    LevelWings,
    Look,
    Switch,
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


@pytest.mark.parametrize("line", [
    "when the amps drop away landing light off", "when below the freezing level turn the pitot heat off",
    "when the ice melts switch off the pitot heat", "if the oil gets hot divert to Tallowby",
    "once the suction falls below 3 partial panel", "as soon as the radio fails squawk 7600",
    "unless the suction recovers cover the AI", "if the AI topples cover the AI level the wings",
    "when the vacuum dies, cover the AI level the wings", "if you get ice descend to 3000",
    "if you are in cloud pitot heat on", "when the battery runs low strobes off",
])
def test_a_condition_without_a_comma_is_one_question_with_all_that_it_governs(line: str) -> None:
    (action,) = read(line, CONTEXT)
    assert isinstance(action, Unclear)
    assert line in action.ask


@pytest.mark.parametrize("line", [
    "as the suction drops cover the AI", "as it gets colder pitot heat on", "as ice builds up descend to 3000",
    "as we enter cloud pitot heat on", "as the heading comes up level the wings", "as we pass 3000 level off",
    "cover the AI as the suction falls", "partial panel as the gyro slows",
])
def test_what_is_ordered_as_something_comes_waits_for_it(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, CONTEXT))


@pytest.mark.parametrize(("line", "done"), [
    ("as the suction is gone cover the AI", Cover("attitude_indicator")),
    ("as it is getting colder pitot heat on", Switch("pitot_heat", "on")),
    ("as the vacuum has failed go partial panel", FlyBy("partial_panel")),
    ("as planned turn left 240", Turn("left", 240)), ("watch the AI as we turn", Look("attitude_indicator")),
    ("hold altitude as we turn", Altitude(None, "hold")), ("if you get a moment turn left 240", Turn("left", 240)),
    ("when you are ready turn left 240", Turn("left", 240)), ("once more turn left 240", Turn("left", 240)),
])
def test_a_reason_or_a_manner_puts_nothing_off(line: str, done: object) -> None:
    assert read(line, CONTEXT) == [done]


@pytest.mark.parametrize("line", [
    "next time it tumbles, cover the AI", "next time it rolls level the wings", "next time, cover the AI",
    "cover the AI next time it tumbles", "at 8 miles cancel IFR", "cancel IFR at 8 miles", "at 4 miles, flaps 20",
    "in 6 miles turn left", "divert to Wendle in 6 miles", "5 miles from Wendle slow to 90", "at 8 DME descend to 2000",
    "after the climb check the ammeter", "after the turn look at the compass", "after we turn cover the AI",
])
def test_another_time_or_a_distance_off_is_not_now(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, CONTEXT))


@pytest.mark.parametrize(("line", "done"), [
    ("this time turn left 240", Turn("left", 240)), ("we are at 10 miles, turn left", Turn("left")),
    ("do the after landing checks", Checklist("after landing")),
    ("one more time check the suction", Look("suction_gauge")),
])
def test_this_time_and_where_the_airplane_is_put_nothing_off(line: str, done: object) -> None:
    assert read(line, CONTEXT) == [done]
