"""Recognizing is measured from the evidence, on a scale taken from people."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
import pytest
from hypothesis import given as given_that
from hypothesis import strategies as st

from drill.airplane.failures import CATALOGUE
from drill.airplane.people_studies import fly_all
from drill.flight.events import Acted, Failed, Heard, Seated
from drill.grading import Debrief, Finding, grade
from drill.grading.among_pilots import SHARES, SIMULATED_MIN, SIMULATED_TRAINED_MIN, share_sooner, standing
from drill.grading.recognize import by_people, is_late
from drill.grading.timeline import Onset
from drill.language.meaning import Action, Call, Checklist, Cover, Diagnose, FlyBy, Look, Switch

from .builders import call, flown, scenario


def recognized(given: Debrief) -> list[Finding]:
    return [finding for finding in given.findings if finding.item.startswith("Recognize")]


def after(*acts: tuple[float, Action], seconds: int = 900) -> Debrief:
    return grade(scenario(()), flown(*acts, seconds=seconds), 1)


def test_nothing_is_called_slow_that_pilots_without_the_training_would_not_be() -> None:
    # DOT/FAA/AM-02/19 (abstract): mean time to recognize in flight 7.6 min from the failure in the groups A and C,
    # without extra partial-panel training; 4.9 min in group B, trained beforehand
    evident = after().failures[0].evidence_s
    assert evident is not None
    for minutes in (1.0, 4.9, 7.5):
        found = recognized(after((evident + minutes * 60.0, FlyBy("partial_panel")), seconds=1200))[0]
        assert found.verdict == "done"
        assert "7.6 minutes, without extra partial-panel training, and 4.9 after half an hour of it" in found.reason
        assert "Counted from the failure itself" in found.reason
        assert "published no spread" in found.reason
        assert "regulations give no seconds" in found.reason
        assert (found.score or 0.0) >= 0.5
    late = recognized(after((evident + 10.0 * 60.0, FlyBy("partial_panel")), seconds=1200))[0]
    assert late.verdict == "late"
    assert "longer than the average" in late.reason


@pytest.mark.parametrize(("at_s", "evident_s", "late"), [
    (120.0 + 455.0, 120.0, False), (120.0 + 572.0, 120.0, True), (120.0 + 571.0, 120.0, False),
    (120.0 + 900.0, 120.0 + 450.0, False), (120.0 + 907.0, 120.0 + 450.0, True),
])
def test_late_is_later_than_the_mean_after_the_evidence_and_than_nine_in_ten_after_the_failure(
    at_s: float, evident_s: float, late: bool,
) -> None:
    assert is_late(Onset("pump", "vacuum pump", "shaft shears", 120.0, None), at_s, evident_s) is late


@pytest.mark.parametrize(("minutes", "beside", "of_all", "of_trained"), [
    (2.0, "sooner than", "hardly one", "hardly one"), (5.71, "sooner than", "2 in ten", "5 in ten"),
    (7.67, "about as long as", "5 in ten", "nearly all"), (9.52, "longer than", "9 in ten", "nearly all"),
    (15.0, "longer than", "nearly all", "nearly all"),
])
def test_where_a_delay_lies_among_pilots_is_told_with_the_study_and_its_limits(
    minutes: float, beside: str, of_all: str, of_trained: str,
) -> None:
    told = standing(Onset("pump", "vacuum pump", "shaft shears", 0.0, None), minutes * 60.0)
    assert f"{beside} the average" in told
    assert f"Of simulated pilots {of_all} had it by then, of those with the training {of_trained}." in told
    assert "25 pilots" in told
    assert "nobody has measured" not in told


def test_of_a_flight_with_two_failures_the_study_is_told_once() -> None:
    events = [*flown((400.0, Cover("attitude_indicator")), seconds=900),
              Failed(120.0, "line", "vacuum line", "leaks")]
    given = grade(scenario(()), sorted(events, key=lambda event: event.t), 1)
    reasons = [each.reason for each in recognized(given)]
    assert len(reasons) == 2
    assert sum("25 pilots" in each for each in reasons) == 1
    assert all("Counted from the failure itself" in each for each in reasons)


def test_of_a_failure_that_no_study_had_the_figures_are_said_to_be_of_another() -> None:
    told = standing(Onset("ports", "static ports", "freeze over", 0.0, None), 300.0)
    assert "whom a dead vacuum pump met" in told
    assert "How soon pilots recognize a failure of the static ports nobody has measured." in told


@given_that(st.floats(0.0, 30.0), st.floats(0.0, 30.0))
def test_who_needs_longer_is_never_said_to_be_sooner_than_more_pilots(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert 0.0 <= share_sooner(low) <= share_sooner(high) <= 1.0


@pytest.mark.overnight
def test_the_shares_of_simulated_pilots_are_those_that_they_give() -> None:
    outcomes = fly_all(400, ("fixed gear", "fixed gear, trained"), processes=1)
    for name, shipped in (("fixed gear", SIMULATED_MIN), ("fixed gear, trained", SIMULATED_TRAINED_MIN)):
        knew = outcomes[name].knew_min
        flown_by = np.percentile(knew[np.isfinite(knew)], [100.0 * share for share in SHARES])
        assert flown_by == pytest.approx(shipped, abs=0.25)


@pytest.mark.parametrize(("before", "words"), [
    ("panel", "The panel showed it from"), ("words", "A careful cross-check"),
])
def test_who_had_the_panel_in_view_is_told_since_when_it_showed(before: Literal["panel", "words"], words: str) -> None:
    events = [Seated(0.0, before), *flown((300.0, Cover("attitude_indicator")))]
    found = recognized(grade(scenario(()), events, 1))[0]
    assert found.reason.startswith(words)
    assert "The first act on it was at 4:59" in found.reason


def test_three_minutes_after_the_evidence_still_earn_full_marks_and_the_mean_earns_half() -> None:
    assert by_people(180.0) == 1.0
    assert by_people(7.6 * 60.0) == pytest.approx(0.5)   # DOT/FAA/AM-02/19
    assert by_people(300.0) > by_people(400.0) > by_people(600.0)


@pytest.mark.parametrize("act", [
    Cover("attitude_indicator"), FlyBy("partial_panel"), FlyBy("turn_coordinator"), Diagnose(("vacuum_system",)),
    Diagnose(("attitude_indicator", "heading_indicator")), Checklist("vacuum failure"),
])
def test_the_first_act_on_the_failure_is_what_counts(act: Action) -> None:
    given = after((200.0, act))
    assert given.failures[0].first_act_s == 199.0
    assert recognized(given)[0].verdict == "done"


@pytest.mark.parametrize("act", [
    Look("clock"), Cover("clock"), FlyBy("full_panel"), FlyBy("heading_indicator"),
    Diagnose(("alternator",)), Checklist("before takeoff"),
])
def test_acts_that_do_not_deal_with_the_failure_do_not_count(act: Action) -> None:
    assert recognized(after((200.0, act)))[0].verdict == "missed"


def test_an_act_that_the_cockpit_refused_was_not_done() -> None:
    events = [replace(event, refused=True) if isinstance(event, Acted) else event
              for event in flown((200.0, FlyBy("partial_panel")))]
    assert recognized(grade(scenario(()), events, 1))[0].verdict == "missed"


def test_a_report_is_an_act_on_the_failure_too() -> None:
    assert after(call(200.0)).failures[0].first_act == "told ATC"


def test_a_guess_before_the_evidence_is_told_as_a_guess() -> None:
    found = recognized(after((130.0, Cover("attitude_indicator"))))[0]
    assert found.verdict == "done"
    assert "guess" in found.reason
    assert 0.0 < (found.score or 0.0) < 1.0


def test_a_look_at_the_gauge_makes_it_no_guess() -> None:
    found = recognized(after((130.0, Look("suction_gauge")), (140.0, Cover("attitude_indicator"))))[0]
    assert "guess" not in found.reason
    assert found.score == 1.0


@pytest.mark.parametrize("at", ["panel", "suction_gauge", "vacuum_system"])
def test_a_right_name_in_the_very_second_of_the_look_that_showed_it_is_no_guess(at: str) -> None:
    events = flown((130.3, Look(at)), (131.3, Diagnose(("vacuum_system",))))   # begun at 130.3, as the look ends
    given = grade(scenario(()), events, 1)
    found = recognized(given)[0]
    assert "guess" not in found.reason
    assert found.score == 1.0
    assert given.failures[0].evidence_s == 130.3


def test_a_look_at_something_else_leaves_it_a_guess() -> None:
    found = recognized(after((130.0, Look("clock")), (132.0, Diagnose(("vacuum_system",)))))[0]
    assert "no look had found it" in found.reason


def test_no_act_at_all_recognizes_nothing() -> None:
    given = after()
    assert given.parts["recognize"] == 0.0
    assert given.failures[0].first_act_s is None


def test_the_debrief_never_says_you_should_have() -> None:
    words = " ".join(finding.reason for finding in after().findings)
    assert "should have" not in words
    assert "could have known" in words


def test_a_wrong_name_costs_little() -> None:
    right, wrong = after((200.0, Cover("attitude_indicator"))), after(
        (190.0, Diagnose(("alternator",))), (200.0, Cover("attitude_indicator")))
    assert right.parts["recognize"] == 100.0
    assert 85.0 < (wrong.parts["recognize"] or 0.0) < 100.0


def test_naming_the_instrument_that_lies_is_no_wrong_name() -> None:
    given = after((200.0, Diagnose(("heading_indicator",))))
    assert all(finding.verdict != "remark" for finding in given.findings)


def test_where_nothing_failed_the_debrief_says_so() -> None:
    given = grade(scenario(()), flown(fails_at=None), 1)
    assert given.failures == ()
    assert any(finding.item == "Nothing failed" for finding in given.findings)
    assert given.score == 100.0


def test_a_false_diagnosis_where_nothing_failed_costs_mildly() -> None:
    given = grade(scenario(()), flown((200.0, Diagnose(("vacuum_system",))), fails_at=None), 1)
    assert 50.0 < (given.parts["recognize"] or 0.0) < 100.0


def test_a_precautionary_report_never_costs() -> None:
    calls = call(200.0, Call(callsign="given", equipment=("vacuum_system",), urgency="pan-pan"))
    quiet, careful = (grade(scenario(()), flown(*acts, fails_at=None), 1) for acts in ((), (calls,)))
    assert quiet.score == careful.score


def test_a_record_that_ends_soon_after_the_evidence_is_not_judged_yet() -> None:
    given = grade(scenario(()), flown(seconds=200, ending=None), 1)
    assert recognized(given)[0].verdict == "not needed"
    assert given.parts["recognize"] is None


@pytest.mark.parametrize(("part", "how", "act", "answers"), [
    ("vacuum pump", "shaft shears", Switch("standby_vacuum", "on"), True),
    ("vacuum line", "leaks", Switch("standby_vacuum", "on"), True),
    ("alternator", "quits", Switch("alternator", "off"), True),
    ("low vacuum light", "does not light", Switch("standby_vacuum", "on"), False),
    ("attitude indicator", "leans", Switch("standby_vacuum", "on"), False),
    ("turn coordinator", "loses power", Switch("pitot_heat", "on"), False),
])
def test_a_switch_answers_a_failure_whose_source_it_restores(
    part: str, how: str, act: Action, *, answers: bool,
) -> None:
    assert part in {each for each, _ in CATALOGUE}
    events = [Failed(100.0, "it", part, how), *flown((200.0, act), fails_at=None)]
    assert (grade(scenario(()), events, 1).failures[0].first_act != "") == answers


def by_autopilot(*acts: tuple[float, Action]) -> Debrief:
    """Fly by an autopilot that takes its attitude from the dying horizon, until it is switched off."""
    off = next((t for t, act in acts if act == Switch("autopilot", "off")), 1000.0)
    events = flown(*acts, seconds=600, shown=lambda t: {"autopilot_on": float(t < off)})
    return grade(scenario(()), events, 1)


def test_taking_the_airplane_from_the_autopilot_is_an_answer_only_if_the_hands_leave_the_horizon_too() -> None:
    off = (300.0, Switch("autopilot", "off"))
    assert by_autopilot(off, (320.0, FlyBy("partial_panel"))).failures[0].first_act_s == 299.0
    assert by_autopilot(off, (450.0, FlyBy("partial_panel"))).failures[0].first_act_s == 449.0
    assert by_autopilot(off).failures[0].first_act_s is None


@pytest.mark.parametrize("words", [
    "verify heading, you are assigned two four zero.", "you appear to be wandering off your heading.",
    "radar shows you in a left turn, are you able to level the wings?",
])
def test_what_atc_saw_before_the_pilot_did_is_told_as_a_prompt(words: str) -> None:
    asked = Heard(400.0, "Orrinfell Approach", f"Larkspur zero four whiskey, {words}")
    events = sorted([*flown((420.0, FlyBy("partial_panel")), seconds=600), asked], key=lambda event: event.t)
    prompted = grade(scenario(()), events, 1)
    assert prompted.failures[0].prompted_s == 400.0
    assert "ATC had spoken of it at 6:40, before that." in recognized(prompted)[0].reason
    unasked = after((390.0, FlyBy("partial_panel")), seconds=600)
    assert unasked.failures[0].prompted_s is None


@pytest.mark.parametrize(("looked_at", "score"), [(250.0, 0.0), (100.0, 0.7), (None, 0.7)])
def test_calling_the_pump_failed_after_reading_a_good_gauge_is_worse_than_a_guess(
    looked_at: float | None, score: float,
) -> None:
    look = () if looked_at is None else ((looked_at, Look("suction_gauge")),)
    events = flown(*look, (300.0, Diagnose(("vacuum_system",))), fails_at=None, seconds=600)
    found = next(each for each in grade(scenario(()), events, 1).findings if each.item.startswith("Name what failed"))
    assert found.score == score
    assert ("stood in the green" in found.reason) is (score == 0.0)
