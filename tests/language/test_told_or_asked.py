"""What a checklist says, what is only asked, and what is told beside a look are no orders (our own lines)."""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.meaning import (
    Altitude,
    Breaker,
    Checklist,
    ChecklistItem,
    Context,
    Cover,
    Decide,
    Diagnose,
    FlyBy,
    Look,
    Squawk,
    Switch,
    Transmit,
    Turn,
    Unclear,
)

HERE = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle", "Ashby"))


@pytest.mark.parametrize("line", [
    "the checklist says turn the alternator off", "checklist says alternator off",
    "the checklist says, turn the alternator off", "the checklist says: alternator off",
    "the book says alternate static open", "the POH says to pull the breaker", "the manual wants the pitot heat on",
    "my instructor says turn left", "the emergency checklist calls for the alternate static open",
])
def test_what_a_book_or_somebody_says_is_told_and_not_done(line: str) -> None:
    assert not any(isinstance(action, Switch | Breaker | Turn | Checklist) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "done"), [
    ("the checklist says turn the alternator off so turn it off", [Switch("alternator", "off")]),
    ("the book says descend, so descend to 3000", [Altitude(3000, "descend")]),
    ("checklist says alternator off. alternator off", [Switch("alternator", "off")]),
    ("run the checklist, pitot heat on", [Checklist(None), Switch("pitot_heat", "on")]),
])
def test_what_is_ordered_beside_it_is_done(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize("line", [
    "can we climb to 6000?", "can we climb to 6000", "could we descend to 3000?", "may I climb?", "can I descend?",
    "can we please climb to 7000",
])
def test_to_ask_whether_one_may_climb_asks_atc(line: str) -> None:
    (action,) = read(line, HERE)
    assert isinstance(action, Transmit)
    assert action.meaning.assistance == ("altitude_change",)


@pytest.mark.parametrize("line", [
    "shall we climb?", "may I turn left?", "can we turn the alternator off?", "can we switch the pitot heat on?",
    "can I cover the AI?", "should we turn left?", "will we descend to 3000?",
])
def test_a_question_does_nothing(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "done"), [
    ("can you climb to 6000", [Altitude(6000, "climb")]), ("could you turn left 20 degrees?", [Turn("left", None, 20)]),
    ("could we go left to 180 please", [Turn("left", 180)]),
])
def test_a_polite_order_is_done(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize(("line", "done"), [
    ("scan the panel, the AI is dead", [Look("panel"), Diagnose(("attitude_indicator",))]),
    ("scan the panel. the AI is dead", [Look("panel"), Diagnose(("attitude_indicator",))]),
    ("scan the panel and the AI is dead", [Look("panel"), Diagnose(("attitude_indicator",))]),
    ("check the panel, the vacuum is out", [Look("panel"), Diagnose(("vacuum_system",))]),
    ("scan the instruments, AI has tumbled, cover it",
     [Look("panel"), Diagnose(("attitude_indicator",)), Cover("attitude_indicator")]),
    ("scan the panel, altimeter, airspeed", [Look("panel"), Look("altimeter"), Look("airspeed_indicator")]),
    ("check the AI, it is dead", [Look("attitude_indicator")]),
])
def test_what_is_told_after_a_look_is_a_diagnosis(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize(("line", "done"), [
    ("instead of turning left turn right to 100", [Turn("right", 100)]),
    ("instead of turning left, turn right to 100", [Turn("right", 100)]),
    ("instead of a left turn make a right turn to 090", [Turn("right", 90)]),
    ("instead of climbing descend to 3000", [Altitude(3000, "descend")]),
    ("rather than the AI use the turn coordinator", [FlyBy("turn_coordinator")]),
    ("instead of Wendle go to Ashby", [Decide("divert", "Ashby")]),
    ("squawk 7600 not 7700", [Squawk("7600")]), ("7600 on the transponder, not 7700", [Squawk("7600")]),
    ("not 7700, squawk 7600", [Squawk("7600")]),
])
def test_what_is_wanted_in_the_stead_of_another_thing_is_done(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize("line", ["next item", "next item please", "ok, next step", "next", "item checked"])
def test_the_next_item_ticks_the_present_one(line: str) -> None:
    assert read(line, HERE) == [ChecklistItem()]


def test_next_before_an_order_ticks_nothing() -> None:
    assert read("next, turn left 270", HERE) == [Turn("left", 270)]


@pytest.mark.parametrize("line", ["when can we expect further clearance?", "when will we be cleared for the approach?"])
def test_when_something_will_be_is_a_question_and_no_condition(line: str) -> None:
    for typed in (line, f"say {line}"):
        assert not any(isinstance(each, Unclear) and "the time comes" in each.ask for each in read(typed, HERE))


@pytest.mark.parametrize("line", ["what are the lost comm instructions?", "say again the lost communications procedure",
                                  "what is our lost comm route"])
def test_what_is_planned_for_a_lost_radio_reports_none_lost(line: str) -> None:
    assert read_call(line, HERE).equipment == ()
    assert read_call("we have lost comm two and the radio", HERE).equipment != ()


@pytest.mark.parametrize("line", [
    "I should turn right to 180", "I ought to turn right to 180", "I should be on heading 180", "I should be at 4000",
    "I ought to be heading one eight zero", "I really should descend to 3000", "I am supposed to be on 180",
    "I should slow to 90", "now I should squawk 7700",
])
def test_what_one_ought_to_do_is_said_to_oneself(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "done"), [
    ("I should like to turn left to 090", [Turn("left", 90)]), ("we should turn left 240", [Turn("left", 240)]),
    ("I need to turn left 240", [Turn("left", 240)]), ("I'd better turn left 240", [Turn("left", 240)]),
    ("I should check the suction", [Look("suction_gauge")]),
])
def test_what_is_wanted_or_needed_is_done(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize(("line", "done"), [
    ("vacuum pump failed? check the suction gauge", [Look("suction_gauge")]),
    ("the alternator quit? check the ammeter", [Look("ammeter")]),
    ("pitot blocked? pitot heat on", [Switch("pitot_heat", "on")]),
    ("the DG tumbled? cover it", [Cover("heading_indicator")]),
    ("vacuum pump failed. check the suction gauge", [Diagnose(("vacuum_system",)), Look("suction_gauge")]),
])
def test_a_failure_that_is_asked_about_before_an_order_is_not_diagnosed(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done


@pytest.mark.parametrize("line", [
    "let the copilot turn right 180", "let my wife descend to 3000", "have the student turn left 240",
    "get the instructor to cover the AI", "the copilot should turn left 240", "my student will squawk 7700",
])
def test_what_another_aboard_is_to_do_is_not_done(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "done"), [
    ("let the airplane climb to 5000", [Altitude(5000, "climb")]), ("let us turn left 240", [Turn("left", 240)]),
    ("let her climb to 5000", [Altitude(5000, "climb")]), ("have a look at the suction", [Look("suction_gauge")]),
])
def test_what_the_airplane_or_the_pilot_is_let_do_is_done(line: str, done: list[object]) -> None:
    assert read(line, HERE) == done
