"""An order that hangs on a condition is not carried out: it is asked for when its time comes."""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.meaning import Context, Cover, Look, Turn, TurnRate, Unclear

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
