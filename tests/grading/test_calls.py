"""What ATC was told: the regulation's four contents, urgency in any plain way, flying before talking."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from drill.flight.events import Event
from drill.grading import Debrief, Finding, grade
from drill.language.meaning import Action, Call, Cover, Decide, FlyBy, Look

from .builders import FULL_CALL, GAUGE, NO_AGAIN, SHEET, STOP, call, flown, scenario

PLAIN = replace(FULL_CALL, urgency="none")
CONTROL: tuple[tuple[float, Action], ...] = (
    (160.0, Look("suction_gauge")), (170.0, Cover("attitude_indicator")), (180.0, FlyBy("partial_panel")),
)


def debrief(*acts: tuple[float, Action], sheet: Sequence[object] = (STOP, GAUGE, NO_AGAIN)) -> Debrief:
    events: list[Event] = flown(*CONTROL, *acts, (400.0, Decide("divert", "Wendle")))
    return grade(scenario(sheet), events, 1)  # type: ignore[arg-type]


def told(given: Debrief, item: str = "Tell ATC about the vacuum pump") -> Finding:
    return next(finding for finding in given.findings if finding.item == item)


def test_a_full_report_is_done_and_costs_nothing() -> None:
    found = told(debrief(call(240.0)))
    assert found.verdict == "done"
    assert found.cost == 0.0


@pytest.mark.parametrize(("dropped", "words"), [
    # 14 CFR 91.187(b)(1)-(4): identification, equipment, degree of impairment, nature and extent of assistance
    ({"callsign": "absent"}, "who was calling"),
    ({"impairment": False}, "how far that limited the flight"),
    ({"assistance": (), "intentions": False}, "what was wanted"),
])
def test_dropping_one_of_the_four_contents_names_the_missing_one(dropped: dict[str, object], words: str) -> None:
    found = told(debrief(call(240.0, replace(FULL_CALL, **dropped))))  # type: ignore[arg-type]
    assert found.verdict == "incomplete"
    assert words in found.reason
    assert 0.0 < (found.score or 0.0) < 1.0
    assert "91.187" in found.source


def test_a_call_that_does_not_say_what_failed_is_no_report_of_it() -> None:
    # 14 CFR 91.187(b)(2)
    found = told(debrief(call(240.0, replace(FULL_CALL, equipment=()))))
    assert found.verdict == "missed"


def test_calls_add_up() -> None:
    first = Call(callsign="given", equipment=("vacuum_system",), urgency="pan-pan")
    second = Call(callsign="given", impairment=True, assistance=("vectors",))
    assert told(debrief(call(240.0, first), call(280.0, second))).verdict == "done"


@pytest.mark.parametrize("equipment", [
    ("vacuum_system",), ("attitude_indicator", "heading_indicator"), ("attitude_indicator",),
])
def test_a_report_of_what_the_pump_drives_is_a_good_report_of_a_dead_pump(equipment: tuple[str, ...]) -> None:
    assert told(debrief(call(240.0, replace(FULL_CALL, equipment=equipment)))).verdict == "done"


def test_a_full_call_that_names_the_wrong_part_counts_for_all_but_the_part() -> None:
    # 14 CFR 91.187(b): the equipment is one of four contents
    given = debrief(call(240.0, replace(FULL_CALL, equipment=("turn_coordinator",))))
    found = told(given)
    assert (found.verdict, found.at_s, found.score) == ("incomplete", 240.0, 0.8)
    assert "ATC was told at 4:00 that the turn coordinator had failed; it was the vacuum pump" in found.reason
    assert told(given, "Say that it is urgent").verdict == "done"
    assert told(given, "Fly first, then talk").verdict == "done"


def test_of_a_report_of_the_wrong_part_what_else_was_never_told_is_told_too() -> None:
    wrong = replace(FULL_CALL, equipment=("turn_coordinator",), assistance=(), intentions=False)
    found = told(debrief(call(240.0, wrong)))
    assert found.score == pytest.approx(0.6)
    assert found.reason.endswith("It was never told what was wanted.")


def test_a_wrong_part_with_no_more_to_it_is_no_report() -> None:
    assert told(debrief(call(240.0, Call(callsign="given", equipment=("turn_coordinator",))))).verdict == "missed"


def test_a_wrong_part_that_is_put_right_later_is_a_report_of_the_right_one() -> None:
    wrong = replace(FULL_CALL, equipment=("turn_coordinator",))
    found = told(debrief(call(240.0, wrong), call(400.0, Call(callsign="given", equipment=("vacuum_system",)))))
    assert (found.verdict, found.at_s) == ("done", 400.0)


def test_the_sheets_item_counts_a_wrong_part_so_too_and_says_what_else_was_missing() -> None:
    wrong = replace(FULL_CALL, equipment=("turn_coordinator",), impairment=False)
    found = told(debrief(call(240.0, wrong), sheet=SHEET), "Tell ATC")
    assert found.verdict == "incomplete"
    assert found.score == pytest.approx(0.6)
    assert "it was the vacuum pump" in found.reason
    assert "never told how far that limited the flight." in found.reason


@pytest.mark.parametrize("urgency", ["mayday", "pan-pan", "emergency"])
def test_every_plain_way_of_saying_that_it_is_urgent_counts_alike(urgency: str) -> None:
    # AIM 6-3-1 a: plain words are enough
    given = debrief(call(240.0, replace(FULL_CALL, urgency=urgency)))  # type: ignore[arg-type]
    assert told(given, "Say that it is urgent").verdict == "done"
    assert given.score == debrief(call(240.0)).score


def test_a_complete_plain_report_without_the_word_costs_one_small_remark() -> None:
    # AIM 6-1-2 a with FAA-P-8740-52: a lost gyro source in cloud is at least urgency; AIM 6-3-1 a: plain words do
    plain, declared = debrief(call(240.0, PLAIN)), debrief(call(240.0))
    remarks = [finding for finding in plain.findings if finding.verdict == "remark"]
    assert [finding.item for finding in remarks] == ["Say that it is urgent"]
    assert plain.score is not None
    assert declared.score is not None
    assert 0.0 < declared.score - plain.score < 3.0


def test_declaring_early_never_costs() -> None:
    # AIM 6-1-2: urgency is asked for early; waiting is the mistake
    early = Call(callsign="given", urgency="mayday")
    quick, usual = debrief(call(50.0, early), call(240.0)), debrief(call(240.0))
    assert quick.score == usual.score
    assert quick.unsafe_acts == ()


def test_out_of_cloud_no_word_of_urgency_is_asked_for() -> None:
    given = grade(scenario((STOP,)), flown(*CONTROL, call(240.0, PLAIN), cloud=False), 1)
    assert all(finding.item != "Say that it is urgent" for finding in given.findings)


def test_a_report_while_the_hands_still_fly_by_the_failed_horizon_is_out_of_order() -> None:
    given = grade(scenario((STOP,)), flown(call(200.0), (260.0, FlyBy("partial_panel"))), 1)
    found = told(given, "Fly first, then talk")
    assert found.verdict == "out of order"
    assert found.score == 0.0
    assert found.part == "communicate"


def test_a_report_with_the_heading_still_by_the_heading_indicator_is_in_order() -> None:
    given = grade(scenario(()), flown((170.0, Cover("attitude_indicator")), call(240.0)), 1)
    assert told(given, "Fly first, then talk").verdict == "done"


def test_a_report_before_anything_showed_the_failure_is_not_out_of_order() -> None:
    given = grade(scenario((STOP,)), flown(call(125.0), (260.0, FlyBy("partial_panel"))), 1)
    assert all(finding.verdict != "out of order" for finding in given.findings)


def test_a_call_that_nobody_heard_tells_nothing() -> None:
    events = [replace(event, heard=False) if event.kind == "acted" and event.act["action"] == "transmit" else event
              for event in flown(*CONTROL, call(240.0))]
    assert told(grade(scenario((STOP,)), events, 1)).verdict == "missed"


def test_what_the_flight_wrote_down_as_told_counts_too() -> None:
    # ATC asks "are you declaring an emergency?" and hears "affirmative": the word is the controller's.
    events = [replace(event, told={"calls": 1, "callsign": True, "urgency": "emergency", "equipment": ["vacuum_system"],
                                   "impairment": True, "assistance": ["vectors"]})
              if event.kind == "acted" and event.act["action"] == "transmit" else event
              for event in flown(*CONTROL, call(240.0, Call()))]
    given = grade(scenario((STOP,)), events, 1)
    assert told(given).verdict == "done"
    assert told(given, "Say that it is urgent").verdict == "done"
