"""The rule from a debrief to the published scales, on debriefs made for one thing each."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.grading import Debrief, Finding
from drill.grading.debrief import CallHeard, Deviation, EndingReached, FailureStory, Piece, UnsafeAct
from drill.grading.published_scales import LOST, PublishedGrades, published_grades

FAILED = FailureStory(name="pump", part="vacuum pump", how="shaft shears", began_s=100.0, evidence_s=110.0,
                      evidence="", first_act_s=120.0, first_act="", named_s=130.0, says="")
REPORTED = CallHeard(at_s=140.0, words="vacuum failure", not_heard=(), unread=(),
                     heard=(Piece("what failed", "vacuum system", "vacuum failure"),))
WELL = Debrief(
    scenario="s", board_title="b", title="t", aim="a", seed=1, airplane="p", flown_s=600.0, complete=True,
    ending=EndingReached("on top", "safe"), score=95.0, capped=False,
    parts={"aviate": 95.0, "decide": 95.0, "communicate": 95.0, "recognize": 95.0, "manage": 95.0},
    unsafe_acts=(), findings=(), failures=(FAILED,), deviations=(), questions=(), answers=(), discuss="", editions="",
    calls=(REPORTED,),
)
BEST = PublishedGrades("perform", "manage-decide", "manage-decide", "manage-decide", "satisfactory", "perform")
UNNAMED = replace(FAILED, named_s=None)


def scored(debrief: Debrief = WELL, /, **parts: float | None) -> Debrief:
    return replace(debrief, parts={**debrief.parts, **parts})


def found(part: str, verdict: str, score: float | None, weight: str = "major") -> Finding:
    return Finding(item="i", part=part, verdict=verdict, at_s=1.0, reason="", source="",  # type: ignore[arg-type]
                   weight=weight, score=score)


def strayed(what: str, beyond_s: float) -> Deviation:
    return Deviation(what=what, worst=30.0, unit="deg", tolerance=10.0, beyond_s=beyond_s)


def test_a_flight_well_flown_is_on_the_highest_step_of_every_scale() -> None:
    assert published_grades(WELL) == BEST


@pytest.mark.parametrize(("score", "grade"), [(80.0, "manage-decide"), (79.9, "practice"), (45.0, "practice"),
                                              (44.9, "explain"), (None, "not observed")])
def test_a_skill_is_on_the_step_that_its_score_reaches(score: float | None, grade: str) -> None:
    assert published_grades(scored(recognize=score)).recognition == grade
    assert published_grades(scored(communicate=score)).communication == grade
    assert published_grades(scored(decide=score)).decision == grade


@pytest.mark.parametrize(("score", "grade"), [(80.0, "perform"), (79.9, "practice"), (45.0, "practice"),
                                              (44.9, "explain")])
def test_a_maneuver_is_on_the_step_that_its_score_reaches(score: float, grade: str) -> None:
    assert published_grades(scored(aviate=score)).maneuver == grade


@pytest.mark.parametrize(("score", "grade"), [(75.0, "perform"), (74.9, "practice"), (25.0, "practice"),
                                              (24.9, "explain")])
def test_on_the_ramp_the_procedure_is_the_maneuver_and_its_few_things_weigh_less_each(score: float, grade: str) -> None:
    assert published_grades(scored(aviate=None, manage=score)).maneuver == grade


def test_in_the_air_a_procedure_left_out_is_no_error_of_handling() -> None:
    held = replace(scored(aviate=None, manage=0.0), findings=(found("aviate", "kept", None),))
    assert published_grades(held).maneuver == "perform"
    off = replace(held, deviations=(strayed("heading", 61.0),))
    assert published_grades(off).maneuver == "practice"


def test_a_healthy_airplane_that_only_had_to_go_on_asks_for_no_decision() -> None:
    healthy = replace(WELL, failures=(), findings=(found("aviate", "kept", None), found("decide", "kept", 1.0)))
    assert published_grades(healthy).decision == "not observed"
    gone = replace(healthy, findings=(*healthy.findings, found("decide", "done", 1.0)))
    assert published_grades(gone).decision == "manage-decide"


def test_a_maneuver_that_nothing_was_asked_of_is_not_observed() -> None:
    assert published_grades(scored(aviate=None, manage=None)).maneuver == "not observed"


@pytest.mark.parametrize("outcome", sorted(LOST))
def test_control_lost_is_never_above_explain_and_below_it_for_a_pilot_who_never_knew(outcome: str) -> None:
    lost = replace(WELL, ending=EndingReached("x", outcome))
    assert published_grades(lost) == replace(BEST, maneuver="explain", recognition="practice", acs="unsatisfactory",
                                             overall="explain")
    unknowing = published_grades(replace(lost, failures=(FAILED, UNNAMED)))
    assert (unknowing.maneuver, unknowing.overall) == ("describe", "describe")
    assert published_grades(replace(lost, failures=())).maneuver == "describe"


@pytest.mark.parametrize("what", ["altitude", "heading"])
def test_a_track_out_of_tolerance_for_more_than_a_minute_is_unsatisfactory(what: str) -> None:
    off = published_grades(replace(WELL, deviations=(strayed(what, 61.0),)))
    assert off == replace(BEST, maneuver="practice", acs="unsatisfactory", overall="practice")
    assert published_grades(replace(WELL, deviations=(strayed(what, 60.0),))) == BEST


@pytest.mark.parametrize("what", ["altitude assigned by ATC", "heading assigned by ATC"])
def test_what_was_held_well_and_not_assigned_is_unsatisfactory_but_no_error_of_handling(what: str) -> None:
    left = replace(strayed(what, 61.0), worst=1_000.0)
    off = published_grades(replace(WELL, deviations=(left,)))
    assert off == replace(BEST, acs="unsatisfactory", overall="practice")
    assert published_grades(replace(WELL, deviations=(replace(left, beyond_s=60.0),))) == BEST


@pytest.mark.parametrize(("part", "grade"), [("decide", "explain"), ("manage", "explain"), ("aviate", "manage-decide")])
def test_an_unsafe_use_of_equipment_is_one_of_deciding(part: str, grade: str) -> None:
    assert published_grades(replace(WELL, unsafe_acts=(UnsafeAct("a", 1.0, "", "", part),))).decision == grade


def test_airspeed_in_a_climb_and_bank_in_gusts_are_left_to_the_score() -> None:
    assert published_grades(replace(WELL, deviations=(strayed("airspeed", 300.0), strayed("bank", 300.0)))) == BEST


def test_nothing_failed_and_nothing_claimed_leaves_recognition_unobserved_and_a_false_claim_does_not() -> None:
    healthy = replace(WELL, failures=())
    assert published_grades(healthy).recognition == "not observed"
    kept = replace(healthy, findings=(found("recognize", "kept", 1.0), found("decide", "missed", 0.0),
                                      found("recognize", "remark", None)))
    assert published_grades(kept).recognition == "not observed"
    claimed = replace(scored(healthy, recognize=0.0), findings=(found("recognize", "broken", 0.0),))
    assert published_grades(claimed).recognition == "explain"


@pytest.mark.parametrize("debrief", [
    replace(WELL, unsafe_acts=(UnsafeAct("a", 1.0, "", ""),)),
    replace(WELL, findings=(found("decide", "missed", 0.0, "critical"),)),
    replace(WELL, findings=(found("decide", "broken", 0.0, "critical"),)),
    scored(aviate=20.0), scored(recognize=20.0), scored(communicate=20.0), scored(decide=20.0),
])
def test_an_unsafe_act_an_essential_element_undone_or_a_lowest_step_is_unsatisfactory(debrief: Debrief) -> None:
    assert published_grades(debrief).acs == "unsatisfactory"


def test_a_minor_omission_is_satisfactory() -> None:
    assert published_grades(replace(WELL, findings=(found("decide", "missed", 0.0), found("decide", "late", 0.5,
                                                                                          "critical")))) == BEST


@pytest.mark.parametrize(("debrief", "grade"), [
    (replace(WELL, score=80.0), "perform"),
    (replace(WELL, score=79.0), "practice"),
    (replace(WELL, score=None), "practice"),
    (scored(recognize=20.0, decide=20.0), "practice"),
    (scored(recognize=20.0, decide=20.0, communicate=20.0), "explain"),
    (scored(recognize=20.0, decide=20.0, communicate=20.0, aviate=20.0), "explain"),
    (scored(replace(WELL, failures=(UNNAMED,)), recognize=20.0, decide=20.0, communicate=20.0, aviate=20.0),
     "describe"),
])
def test_the_whole_is_practice_while_half_of_the_scales_are(debrief: Debrief, grade: str) -> None:
    assert published_grades(debrief).overall == grade


def test_who_was_told_by_atc_first_had_a_prompt_and_is_not_above_practice_in_recognition() -> None:
    prompted = replace(WELL, failures=(replace(FAILED, prompted_s=115.0),))
    assert published_grades(prompted).recognition == "practice"
    assert published_grades(scored(prompted, recognize=30.0)).recognition == "explain"


@pytest.mark.parametrize("what", ["glide path", "heading, wings ordered level"])
def test_a_path_or_straight_flight_not_kept_for_more_than_a_minute_is_practice(what: str) -> None:
    assert published_grades(replace(WELL, deviations=(strayed(what, 61.0),))).maneuver == "practice"
    assert published_grades(replace(WELL, deviations=(strayed(what, 60.0),))).maneuver == "perform"


def test_who_neither_did_nor_named_anything_has_recognized_nothing_however_much_was_looked_at() -> None:
    unseen = replace(FAILED, first_act_s=None, named_s=None)
    assert published_grades(replace(WELL, failures=(unseen,))).recognition == "explain"
    assert published_grades(replace(WELL, failures=(unseen, FAILED))).recognition == "manage-decide"
    latent = replace(unseen, evidence_s=None)
    assert published_grades(replace(WELL, failures=(latent,))).recognition == "manage-decide"


def test_a_look_left_out_in_a_healthy_flight_claims_nothing() -> None:
    healthy = replace(scored(recognize=50.0), failures=(), findings=(found("recognize", "missed", 0.0, "minor"),))
    assert published_grades(healthy).recognition == "not observed"


def test_who_names_a_good_part_has_decided_on_that_belief() -> None:
    believed = replace(WELL, findings=(found("recognize", "remark", 0.7),))
    assert published_grades(believed) == replace(BEST, recognition="practice", decision="practice", overall="practice")


@pytest.mark.parametrize("verdict", ["missed", "incomplete"])
def test_a_question_of_atc_left_open_wants_coaching(verdict: str) -> None:
    asked = replace(found("communicate", verdict, 0.7), item="Answer what ATC asks")
    assert published_grades(replace(WELL, findings=(asked,))) == replace(BEST, communication="practice")


def told(*findings: Finding) -> Debrief:
    return replace(scored(communicate=0.0), findings=findings)


def test_a_report_made_before_flying_was_made_in_full() -> None:
    early = replace(found("communicate", "out of order", 0.5, "critical"), item="Tell ATC")
    first = replace(found("communicate", "out of order", 0.0), item="Fly first, then talk")
    assert published_grades(told(early, first)).communication == "manage-decide"
    assert published_grades(told(replace(early, score=0.2))).communication == "explain"   # nor was all of it told


def test_a_failure_named_to_oneself_of_which_atc_hears_nothing_wants_coaching() -> None:
    assert published_grades(replace(WELL, calls=())).communication == "practice"
    trouble = replace(REPORTED, heard=(Piece("that something is wrong", "", "we have a problem"),))
    assert published_grades(replace(WELL, calls=(trouble,))).communication == "manage-decide"
    assert published_grades(replace(WELL, calls=(), failures=(UNNAMED,))).communication == "manage-decide"


def test_a_report_three_minutes_after_the_first_act_wants_coaching() -> None:
    assert published_grades(replace(WELL, calls=(replace(REPORTED, at_s=301.0),))).communication == "practice"
    assert published_grades(replace(WELL, calls=(replace(REPORTED, at_s=300.0),))).communication == "manage-decide"


def test_straying_from_the_assigned_wants_coaching_and_leaving_it_is_a_decision() -> None:
    strays = Deviation(what="altitude assigned by ATC", worst=250.0, unit="ft", tolerance=100.0, beyond_s=31.0)
    assert published_grades(replace(WELL, deviations=(strays,))).maneuver == "practice"
    assert published_grades(replace(WELL, deviations=(replace(strays, beyond_s=30.0),))).maneuver == "perform"
    climbed = replace(strays, worst=2_000.0, beyond_s=600.0)
    assert published_grades(replace(WELL, deviations=(climbed,))).maneuver == "perform"
    turned = Deviation(what="heading assigned by ATC", worst=25.0, unit="deg", tolerance=10.0, beyond_s=50.0)
    assert published_grades(replace(WELL, deviations=(climbed, turned))).maneuver == "perform"


def test_open_questions_alone_do_not_bring_communicating_to_the_lowest_step() -> None:
    asked = replace(found("communicate", "missed", 0.0), item="Answer what ATC asks")
    routine = replace(found("communicate", "done", 1.0, "minor"), item="Answer the controller")
    assert published_grades(told(routine, asked)).communication == "practice"
    assert published_grades(told(asked)).communication == "explain"
    silent = replace(found("communicate", "missed", 0.0, "critical"), item="Tell ATC")
    assert published_grades(told(routine, asked, silent)).communication == "explain"


@pytest.mark.parametrize(("parts", "whole"), [
    ({"recognize": 70.0}, "perform"), ({"communicate": 70.0}, "perform"), ({"decide": 70.0}, "practice"),
    ({"recognize": 70.0, "communicate": 70.0}, "practice"),
])
def test_a_flight_with_one_lapse_is_in_no_doubt_and_one_with_two_or_in_deciding_is(
    parts: dict[str, float], whole: str,
) -> None:
    assert published_grades(scored(WELL, **parts)).overall == whole
