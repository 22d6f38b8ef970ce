"""Flights that part at a moment, side by side."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.flight.events import Acted, Event
from drill.grading.beside import Beside, Way, beside
from drill.grading.beside_words import bank_words, side_by_side_json, side_by_side_lines, table
from drill.language.meaning import Action, Cover, Diagnose, Look, Wait

from .builders import call, flown, scenario

AT_S = 250.0
NAMES = ("The flight", "Flown again")


def them(*flights: list[Event], names: tuple[str, ...] = NAMES, at_s: float = AT_S, air: str = "") -> Beside:
    return beside(scenario(), 1, [Way(name, tuple(events)) for name, events in zip(names, flights, strict=True)], at_s,
                  air)


def one(*acts: tuple[float, Action], **of_flight: object) -> list[Event]:
    return flown((130.0, Look("suction_gauge")), *acts, **of_flight)  # type: ignore[arg-type]


WORSE = one((600.0, Diagnose(("vacuum_system",))), seconds=700, ending="loss of control",
            bank=lambda t, follows: min(70.0, max(0.0, t - 550.0)))
BETTER = one((300.0, Cover("attitude_indicator")), (310.0, Diagnose(("vacuum_system",))), call(330.0), seconds=900)


def row(of: Beside, what: str) -> tuple[str, ...]:
    return next(each.values for each in of.rows if each.what == what)


def test_what_came_of_it_is_told_for_each() -> None:
    told = them(WORSE, BETTER)
    assert told.endings == ("loss of control at 11:40", "safe at 15:00")
    assert row(told, "Ending") == told.endings
    worse, better = (float(each.split(" ")[0]) for each in row(told, "Score"))
    assert worse < better
    assert row(told, "Unsafe acts")[1] == "none"
    assert "Lost control" in row(told, "Unsafe acts")[0]
    assert row(told, "First act: vacuum pump") == (
        "9:59 named it: vacuum system", "4:59 covered the attitude indicator")
    assert row(told, "Named: vacuum pump") == ("10:00", "5:10")
    assert row(told, "Most bank")[0] == "70 deg at 10:20"
    assert row(told, "Banked over 30") == ("2 min", "0 s")
    assert row(told, "Most airspeed") == ("110 kt at 4:10", "110 kt at 4:10")
    assert row(told, "Lowest") == ("5,000 ft at 4:10", "5,000 ft at 4:10")
    assert row(told, "Fastest descent") == ("0 ft/min at 4:10", "0 ft/min at 4:10")
    assert {"Aviate", "Decide", "Communicate", "Recognize", "Manage"} <= {each.what for each in told.rows}


def test_only_what_came_after_they_parted_is_compared() -> None:
    steep = flown(seconds=700, bank=lambda t, follows: 50.0 if t < 200.0 else 0.0)
    assert row(them(steep, BETTER), "Most bank")[0] == "0 deg at 4:10"
    assert [each.words for each in them(WORSE, BETTER).acts] == [
        "covered the attitude indicator", "named it: vacuum system", "called: “”", "named it: vacuum system"]
    assert [each.way for each in them(WORSE, BETTER).acts] == [1, 1, 1, 0]


def test_a_flight_that_did_not_end_and_one_in_which_nothing_failed_are_told_so() -> None:
    told = them(one(seconds=400, ending=None), flown(seconds=400, fails_at=None))
    assert told.endings[0] == "no ending yet at 6:40"
    assert row(told, "First act: vacuum pump") == ("none", "did not fail")
    assert row(told, "Named: vacuum pump") == ("never", "-")


def test_how_each_flew_is_told_at_times_that_are_round_and_few() -> None:
    told = them(WORSE, BETTER)
    assert [each.t for each in told.times] == [250.0, 370.0, 490.0, 610.0, 730.0, 850.0]
    first, last = told.times[0].flown, told.times[-1].flown
    assert first[0] is not None
    assert (first[0].heading_deg, first[0].altitude_ft, first[0].airspeed_kt) == (240.0, 5000.0, 110.0)
    assert told.times[3].flown[0] is not None
    assert told.times[3].flown[0].bank_deg == 60.0
    assert last[0] is None    # it was over


@pytest.mark.parametrize(("last", "step"), [(260, 10.0), (340, 10.0), (351, 15.0), (550, 30.0), (849, 60.0)])
def test_the_times_come_closer_in_a_short_flight(last: int, step: float) -> None:
    told = them(flown(seconds=last), flown(seconds=last))
    assert told.times[1].t - told.times[0].t == step
    assert len(told.times) <= 11


def test_of_a_flight_that_lasted_a_day_there_are_no_more_moments() -> None:
    day = [replace(event, t=90_000.0) if event.t == 1.0 else event for event in flown(seconds=1)]
    assert [each.t for each in them(day, day, at_s=0.0).times] == [3600.0 * hour for hour in range(11)]


def test_a_call_that_nobody_heard_is_told_so() -> None:
    unheard = [replace(event, heard=False) if isinstance(event, Acted) else event for event in flown(call(300.0))]
    assert [each.words for each in them(unheard, flown()).acts] == ["called: “” (heard by nobody)"]


def test_in_words_what_differs_is_told_for_each_and_what_does_not_once() -> None:
    lines = side_by_side_lines(them(WORSE, BETTER))
    text = " ".join(line.strip() for line in lines)
    assert lines[0] == "SIDE BY SIDE, FROM 4:10 ON"
    assert lines[1] == "The flight and Flown again, in the same air."
    assert "Ending. The flight: loss of control at 11:40. Flown again: safe at 15:00." in text
    assert "The same in all: " in text
    assert "4:59 Flown again: covered the attitude indicator." in lines
    assert lines[lines.index("HOW IT REALLY FLEW") - 1] == ""
    assert "10:10 The flight: 60 degrees right, heading 240, 5000 feet, 110 knots." in text
    assert "Flown again: wings level" in text
    assert "The flight: over." in text
    assert all(len(line) <= 80 for line in lines)


def test_where_nothing_was_done_after_they_parted_that_is_said() -> None:
    lines = side_by_side_lines(them(flown(), flown((300.0, Wait(10.0)))))
    assert lines[lines.index("WHAT WAS DONE") + 1] == "Nothing."
    assert ("  nothing", ("", "")) in list(table(them(flown(), flown())))


def test_what_is_to_be_known_of_the_air_is_told_first() -> None:
    assert beside(scenario(), 1, [Way("The flight", ()), Way("Flown again", ())], 0.0).air == ""
    assert side_by_side_lines(them(WORSE, BETTER, air="The air may differ."))[1] == "The air may differ."


def test_the_table_marks_what_differs_and_has_a_cell_for_each() -> None:
    rows = list(table(them(WORSE, BETTER, BETTER, names=(*NAMES, "The sheet's way"))))
    assert rows[0] == ("SIDE BY SIDE, FROM 4:10 ON", ())
    assert rows[1] == ("", (*NAMES, "The sheet's way"))
    assert all(len(cells) in (0, 3) for _, cells in rows)
    assert ("* Ending", ("loss of control at 11:40", "safe at 15:00", "safe at 15:00")) in rows
    assert any(label == "  Fastest descent" for label, _ in rows)
    assert ("BANK, HEADING, FEET, KNOTS, AS IT REALLY FLEW", ()) in rows
    assert ("  4:59", ("", "covered the attitude indicator", "")) in rows
    assert ("  10:10", (" 60R 240  5000 110", "  0  240  5000 110", "  0  240  5000 110")) in rows
    assert ("  14:10", ("over", "  0  240  5000 110", "  0  240  5000 110")) in rows


@pytest.mark.parametrize(("bank", "words"), [
    (0.4, "wings level"), (1.0, "1 degree right"), (-1.2, "1 degree left"), (-20.0, "20 degrees left"),
])
def test_a_bank_is_told_to_the_degree(bank: float, words: str) -> None:
    assert bank_words(bank) == words


def test_for_programs_every_field_stands_under_its_own_name() -> None:
    data = json.loads(side_by_side_json(them(WORSE, BETTER)))
    assert set(data) == {"at_s", "air", "names", "endings", "rows", "acts", "times"}
    assert data["rows"][0] == {"what": "Ending", "values": ["loss of control at 11:40", "safe at 15:00"]}
    assert data["times"][-1]["flown"][0] is None


@settings(max_examples=20, deadline=None)
@given(st.floats(0.0, 2000.0), st.integers(1, 400))
def test_any_moment_of_any_two_flights_can_be_compared(at_s: float, seconds: int) -> None:
    told = them(flown(seconds=seconds), [], at_s=at_s)
    assert len(told.times) <= 11
    assert all(len(line) <= 80 for line in side_by_side_lines(told))
