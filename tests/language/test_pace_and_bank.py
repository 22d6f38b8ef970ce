"""Slower, faster and gentler are understood without a figure (our own lines)."""

from __future__ import annotations

import pytest

from drill.language import read
from drill.language.abreast import ASK_RATE
from drill.language.meaning import Airspeed, Altitude, Context, LevelWings, Power, Turn, TurnRate, Unclear

HERE = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle"))


@pytest.mark.parametrize("line", [
    "slow down", "slow down a bit", "slow down please", "slow it down a little", "slower", "go a little slower",
    "reduce speed", "reduce airspeed", "lose some speed", "decelerate", "less speed",
])
def test_slower_without_a_figure_is_less_power(line: str) -> None:
    assert read(line, HERE) == [Power(change="less")]


@pytest.mark.parametrize("line", [
    "speed up", "speed up a little", "faster", "go faster", "accelerate", "gain some speed", "pick up speed",
    "increase the speed a bit", "get some speed",
])
def test_faster_without_a_figure_is_more_power(line: str) -> None:
    assert read(line, HERE) == [Power(change="more")]


@pytest.mark.parametrize("line", [
    "easy on the bank", "easy on the turn", "gently with the bank", "go easy on the bank please", "less bank",
    "shallower", "shallower turn", "reduce the bank", "ease the turn", "keep the turns shallow", "slow the turn",
    "gentle turns only", "turn more gently",
])
def test_easy_on_the_bank_is_half_of_standard_rate(line: str) -> None:
    assert read(line, HERE) == [TurnRate("half")]


@pytest.mark.parametrize(("line", "done"), [
    ("slow down to 90", [Airspeed(90)]), ("slow down, 90 knots", [Airspeed(90)]),
    ("turn left 270 and slow down", [Turn("left", 270), Power(change="less")]),
    ("turn left 270, easy on the bank", [Turn("left", 270), TurnRate("half")]),
    ("slow down and level the wings", [Power(change="less"), LevelWings()]),
    ("slow the descent", [Unclear(ASK_RATE)]),
])
def test_pace_beside_other_orders(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize("line", [
    "don't slow down", "no faster than 100 knots", "speed up and slow down", "speed up the scan", "go easy",
    "why are we slow", "are we slower?", "we are going slower",
])
def test_what_only_speaks_of_the_pace_changes_nothing(line: str) -> None:
    assert not any(isinstance(action, Power | Airspeed | Altitude | TurnRate) for action in read(line, HERE))


def test_slower_beside_a_turn_may_be_said_of_the_turn_and_touches_no_power() -> None:
    assert not any(isinstance(action, Power) for action in read("turn left, slower", HERE))
