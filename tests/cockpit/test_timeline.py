"""The line of time: everything that counted stands on it, in order, told apart by shape."""

from __future__ import annotations

import json

import pytest
from grading.builders import call, flown, scenario

from drill.cockpit.debrief.pieces import Told, as_data, from_data
from drill.cockpit.debrief.timeline import LABEL_CELLS, Lane, Moment, column, drawn, lane_cells, nearest, time_at
from drill.cockpit.debrief.words import told
from drill.flight.events import Heard
from drill.grading import debrief_lines, grade
from drill.grading.lanes import LANES
from drill.language.meaning import Cover, Diagnose, FlyBy, Look


@pytest.fixture(scope="module")
def late() -> Told:
    """Ten minutes with a pump that dies at 2:00, met at 5:00, named at 6:00, told at 7:00."""
    events = [
        *flown((300.0, Look("suction_gauge")), (310.0, Cover("attitude_indicator")), (320.0, FlyBy("partial_panel")),
               (360.0, Diagnose(("vacuum_system",))), call(420.0, words="Larkspur 5304W, vacuum failure"), seconds=600),
        Heard(430.0, "Orrinfell Approach", "Larkspur 04W, roger."),
    ]
    return told(grade(scenario(), events, 1), events)


def at(pieces: Told, mark: str) -> Moment:
    return next(moment for moment in pieces.moments if moment.mark == mark)


def test_moments_stand_in_the_order_of_time_and_what_never_happened_comes_last(late: Told) -> None:
    times = [moment.t for moment in late.moments]
    known = [t for t in times if t is not None]
    assert known == sorted(known)
    assert times[len(known):] == [None] * (len(times) - len(known))


def test_a_failure_its_evidence_the_first_act_the_name_the_call_and_the_end_are_moments(late: Told) -> None:
    marks = [moment.mark for moment in late.moments]
    places = [marks.index(mark) for mark in "Xe1n>]"]
    assert places == sorted(places)
    assert at(late, "X").t == 120.0
    assert at(late, "n").t == 360.0


def test_each_moment_has_the_panel_that_was_shown_then(late: Told) -> None:
    assert at(late, "X").shown["suction_inhg"] > at(late, "1").shown["suction_inhg"] == 0.0
    assert at(late, ">").covered == ("attitude_indicator",)
    assert "Attitude indicator: covered" in dict(at(late, ">").details)["The whole panel then"]


def test_a_call_stands_beside_what_was_heard_after_it(late: Told) -> None:
    assert ("Heard after, 7:10", "Orrinfell Approach: Larkspur 04W, roger.") in at(late, ">").details


def test_a_finding_has_its_reason_its_source_and_its_cost() -> None:
    poor = at(told(grade(scenario(), flown(), 1)), "-")
    labels = [label for label, words in poor.details if words]
    assert labels[0] == "What happened, and why it matters"
    assert {"What it cost", "Source"} <= set(labels)


def test_what_another_process_worked_out_arrives_as_it_was(late: Told) -> None:
    assert from_data(json.loads(json.dumps(as_data(late)))) == late


def test_lanes_run_from_the_beginning_to_the_end_and_point_at_the_selected_moment(late: Told) -> None:
    rows = [row.plain for row in drawn(late.lanes, late.length_s, 70, selected=120.0)]
    assert [row[:LABEL_CELLS].strip() for row in rows] == [*LANES, "time"]
    assert {len(row.rstrip()) for row in rows[:-1]} == {70}
    failed = rows[0].index("X")
    assert rows[-1][failed:].startswith("^ 2:00")
    assert rows[0][failed + 1:] == "=" * (69 - failed)
    assert rows[-1].endswith("10:00")


@pytest.mark.parametrize("width", [1, 11, 24, 300])
def test_lanes_fit_any_width(late: Told, width: int) -> None:
    for selected in (None, 0.0, late.length_s):
        assert all(len(row.plain) <= width for row in drawn(late.lanes, late.length_s, width, selected))


def test_an_unsafe_act_is_never_hidden_behind_another_mark() -> None:
    lane = Lane("findings", ((10.0, "!"), (10.0, "+"), (10.2, "-")))
    assert lane_cells(lane, 100.0, 11)[1] == "!"


def test_a_steep_bank_shows_in_the_lane_of_control() -> None:
    events = flown(seconds=300, bank=lambda t, _: 50.0 if 100.0 <= t <= 200.0 else 30.0 if t > 200.0 else 0.0)
    lanes = {lane.name: lane for lane in told(grade(scenario(), events, 1), events).lanes}
    cells = lane_cells(lanes["control"], 300.0, 31)
    assert (cells[5], cells[15], cells[25]) == ("·", "#", "~")


def test_a_cell_that_is_pointed_at_means_the_time_that_is_drawn_there() -> None:
    assert [column(time_at(cell, 600.0, 60), 600.0, 60) for cell in range(60)] == list(range(60))


def test_the_nearest_moment_is_one_that_has_a_time() -> None:
    moments = (Moment(10.0, "+", "a"), Moment(50.0, "-", "b"), Moment(None, "-", "c"))
    assert nearest(moments, 45.0) == 1
    assert nearest(moments[2:], 45.0) is None


def test_the_screen_tells_in_the_same_sentences_as_the_debrief_in_words() -> None:
    events = flown(call(420.0, words="Larkspur 5304W, vacuum failure"), seconds=600,
                   bank=lambda t, _: 50.0 if t > 500.0 else 0.0)
    for debrief in (grade(scenario(), events, 1), grade(scenario(), events[:300], 1), grade(scenario(), [], 1)):
        pieces = told(debrief)
        entries = [*pieces.unsafe, *pieces.failed, *pieces.work, *pieces.well, *pieces.not_needed]
        sentences = [pieces.flight, pieces.ending, pieces.score_words, pieces.nothing_failed, *pieces.strayed,
                     *(each.words for each in entries)]
        in_words = " ".join(" ".join(debrief_lines(debrief)).split())
        assert [each for each in sentences if " ".join(each.split()) not in in_words] == []


def test_an_empty_record_has_no_moment_and_still_lanes() -> None:
    pieces = told(grade(scenario(), [], 1))
    assert [moment for moment in pieces.moments if moment.t is not None] == []
    assert len(drawn(pieces.lanes, pieces.length_s, 80)) == len(LANES) + 1
