"""The published scales stand in every debrief: grade, what it rests on, source, and that nobody else has graded."""

from __future__ import annotations

from dataclasses import replace

from drill.grading.debrief import EndingReached, UnsafeAct
from drill.grading.published_scales import published_grades
from drill.grading.published_words import NOTE, on_published_scales, published_lines
from drill.grading.text import debrief_lines

from .test_published_scales import FAILED, WELL, found, scored, strayed

LOST = replace(WELL, ending=EndingReached("spiral", "loss of control"), score=30.0, unsafe_acts=(
    UnsafeAct(act="Lost control of the airplane", at_s=500.0, reason="", source=""),))


def rests(debrief: object, scale: str) -> str:
    return next(each.rests_on for each in on_published_scales(debrief) if each.scale == scale)   # type: ignore[arg-type]


def test_each_scale_is_told_with_its_steps_and_where_it_stands() -> None:
    grades = published_grades(WELL)
    told = on_published_scales(WELL)
    assert [each.grade for each in told] == [grades.maneuver, grades.recognition, grades.communication,
                                             grades.decision, grades.acs, grades.overall]
    assert all(each.grade in each.steps for each in told)
    assert {each.source.split(",")[0] for each in told} == {"FAA-H-8083-9", "FAA-S-ACS-8C"}


def test_a_grade_says_what_it_rests_on() -> None:
    assert rests(WELL, "the maneuver") == "Aviate 95 of 100"
    assert rests(LOST, "the maneuver").startswith("control was lost; Aviate")
    assert rests(replace(WELL, deviations=(strayed("heading", 75.0),)), "the maneuver") == (
        "Aviate 95 of 100; heading beyond its tolerance for 1 min 15 s")
    assert rests(scored(aviate=None), "the maneuver") == "Manage 95 of 100"
    prompted = replace(WELL, failures=(replace(FAILED, prompted_s=115.0),))
    assert rests(prompted, "recognizing").endswith("ATC had spoken of it before the pilot's first act")
    assert rests(replace(WELL, failures=()), "recognizing") == "nothing failed, and nothing was taken for a failure"


def test_the_practical_test_names_what_failed_it() -> None:
    assert rests(WELL, "the practical test").startswith("no tolerance exceeded")
    undone = replace(WELL, findings=(found("communicate", "missed", 0.0, "critical"),))
    assert rests(undone, "the practical test") == "not done: i; communicating on the lowest step"
    assert rests(LOST, "the practical test").startswith("unsafe: lost control of the airplane")
    assert rests(scored(decide=30.0), "the practical test") == "deciding on the lowest step"
    assert rests(scored(aviate=30.0), "the practical test") == "the maneuver was not done without help"


def test_the_debrief_in_words_shows_them_with_what_they_are_not() -> None:
    text = " ".join(" ".join(debrief_lines(WELL)).split())
    assert "ON THE PUBLISHED SCALES" in text
    assert NOTE in text
    assert all(" ".join(each.split()) in text for each in published_lines(WELL))


def test_a_flight_with_nothing_to_grade_is_on_no_scale() -> None:
    nothing = replace(WELL, score=None)
    assert published_lines(nothing) == ()
    assert "PUBLISHED SCALES" not in " ".join(debrief_lines(nothing))
