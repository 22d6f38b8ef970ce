"""How an order ends, what is left out of it, and what is told before it in alarm (our own lines)."""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.meaning import (
    Airspeed,
    Altitude,
    Context,
    Cover,
    Ident,
    LevelWings,
    Look,
    Pitch,
    Power,
    Squawk,
    StopTurn,
    Switch,
    Timer,
    Transmit,
    Turn,
    Unclear,
)
from drill.language.together import ASK_HOW_FAR

HERE = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle", "Ashby"))
AI = "attitude_indicator"


@pytest.mark.parametrize(("line", "done"), [
    ("turn until 180 and stop", [Turn("shortest", 180)]),
    ("turn left to 180 then level the wings", [Turn("left", 180)]),
    ("start the timer turn left for 30 seconds then stop", [Timer("start"), Turn("left", None, 90)]),
    ("climb to 6000 then level off", [Altitude(6000, "climb")]),
    ("descend to 3000 and level off", [Altitude(3000, "descend")]),
    ("level the wings then turn left to 180", [LevelWings(), Turn("left", 180)]),
    ("turn left 240. stop the turn", [Turn("left", 240), StopTurn()]),
    ("turn left then stop", [Unclear(ASK_HOW_FAR)]), ("turn right then level the wings", [Unclear(ASK_HOW_FAR)]),
    ("we're turning left level the wings", [LevelWings()]),
])
def test_what_tells_how_a_turn_or_climb_ends_does_not_break_it_off(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize(("line", "done"), [
    ("cover the AI but leave the DG", [Cover(AI)]), ("cover the AI and leave the DG uncovered", [Cover(AI)]),
    ("turn the alternator off and leave the battery on", [Switch("alternator", "off")]),
    ("check everything but the AI", [Look("panel")]),
])
def test_what_is_to_be_left_is_not_touched(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize("line", [
    "turn everything off but the transponder", "kill everything electrical except the radio",
    "switch off everything except the battery", "uncover the AI no leave it", "cover the AI, no, leave it alone",
    "forget what I said about the climb", "climb to 5000, forget what I said about the climb",
    "ignore everything I said about descending",
])
def test_all_but_one_and_what_is_taken_back_do_nothing(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "done"), [
    ("im in a spiral reduce power level wings", [Power(change="less"), LevelWings()]),
    ("oh god we're spinning power off", [Power(change="idle")]), ("we are in a dive level the wings", [LevelWings()]),
    ("nose is dropping reduce power", [Power(change="less")]), ("spiral level the wings", [LevelWings()]),
    ("pull up pull up", [Pitch("up")]),
])
def test_what_is_told_in_alarm_before_an_order_does_not_hide_it(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize(("line", "done"), [
    ("hold heading and altitude", [LevelWings(), Altitude(None)]),
    ("maintain present heading and altitude", [LevelWings(), Altitude(None)]),
    ("hold altitude and heading", [LevelWings(), Altitude(None)]), ("roll out heading north", [Turn("shortest", 360)]),
    ("7700 ident", [Squawk("7700"), Ident()]), ("pitch up five", [Pitch("up", 5)]), ("trim for 90", [Airspeed(90)]),
    ("come left about thirty", [Turn("left", None, 30)]), ("dn 3000", [Altitude(3000, "descend")]),
    ("covr the AI", [Cover(AI)]),
])
def test_other_short_ways_to_order_it(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


def test_reporting_to_nobody_else_is_said_to_atc() -> None:
    (action,) = read("reporting vacuum failure", HERE)
    assert isinstance(action, Transmit)
    assert action.meaning.equipment == ("vacuum_system",)


@pytest.mark.parametrize(("words", "asked"), [
    ("request descending three thousand feet", ("altitude_change",)),
    ("ask to approach the vectors for Wendle", ("named_airport", "vectors")),
])
def test_what_is_asked_in_a_foreign_order_of_words(words: str, asked: tuple[str, ...]) -> None:
    assert read_call(words, HERE).assistance == asked


@pytest.mark.parametrize(("line", "done"), [
    ("check all but the AI", [Look("panel")]), ("keep straight", [LevelWings()]), ("straight ahead", [LevelWings()]),
    ("fly straight", [LevelWings()]), ("alternator master off", [Switch("alternator", "off")]),
])
def test_all_but_one_is_looked_at_and_straight_is_wings_level(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize("line", ["avionics off except radio 1", "I'll call approach once I'm stable"])
def test_what_cannot_be_done_so_or_is_for_later_is_asked_back(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))
