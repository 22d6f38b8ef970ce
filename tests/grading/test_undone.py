"""What was done and undone again while it was needed does not stand as done."""

from __future__ import annotations

import pytest

from drill.grading import Debrief, Finding, debrief_lines, grade
from drill.language.meaning import Action, Cover, Diagnose, FlyBy, Look, Switch, Uncover
from drill.scenario.model import ActTree, Item

from .builders import FAILED, STOP, flown, item, one, scenario

COVER = item("Cover what has failed", when=FAILED, do=one("cover", "attitude_indicator"))
EVIDENT: tuple[float, Action] = (140.0, Look("suction_gauge"))


def graded(sheet: Item, *acts: tuple[float, Action], **given: object) -> Debrief:
    whole: dict[str, object] = {"bank": lambda t, follows: 0.0, **given}
    return grade(scenario((sheet,)), flown(EVIDENT, *acts, **whole), 1)  # type: ignore[arg-type]


def of(given: Debrief, sheet: Item) -> Finding:
    return next(finding for finding in given.findings if finding.item == sheet.name)


BACK: tuple[tuple[float, Action], ...] = (
    (170.0, Cover("attitude_indicator")), (174.0, Uncover("attitude_indicator")), (174.5, FlyBy("full_panel")))


@pytest.mark.parametrize("sheet", [STOP, COVER], ids=["leave", "cover"])
def test_uncovering_and_trusting_again_four_seconds_later_undoes_it(sheet: Item) -> None:
    given = graded(sheet, *BACK)
    found = of(given, sheet)
    assert (found.verdict, found.score) == ("broken", 0.0)
    assert "done, then undone at 2:5" in found.reason
    text = "\n".join(debrief_lines(given))
    assert sheet.name not in text.partition("WHAT WENT WELL")[2]
    assert sheet.name in text.partition("WHAT TO WORK ON")[2]


def test_going_back_is_told_once() -> None:
    given = graded(STOP, *BACK)
    assert not [finding for finding in given.findings if finding.item.startswith("Do not go back")]


def test_uncovering_without_trusting_does_not_undo_partial_panel() -> None:
    looked = ((170.0, Cover("attitude_indicator")), (300.0, Uncover("attitude_indicator")))
    assert of(graded(STOP, *looked), STOP).verdict == "done"
    assert of(graded(COVER, *looked), COVER).verdict == "broken"


def test_what_is_done_again_keeps_half() -> None:
    found = of(graded(COVER, *BACK, (200.0, Cover("attitude_indicator"))), COVER)
    assert (found.verdict, found.score) == ("broken", 0.5)
    assert "and done again at 3:20" in found.reason


def test_once_the_source_is_back_nothing_is_undone() -> None:
    given = graded(COVER, (170.0, Cover("attitude_indicator")), (300.0, Switch("standby_vacuum", "on")),
                   (500.0, Uncover("attitude_indicator")), (510.0, FlyBy("full_panel")),
                   shown=lambda t: {"suction_inhg": 4.9} if t > 310 else {})
    assert of(given, COVER).verdict == "done"


def test_a_look_that_was_taken_is_not_undone_by_looking_away() -> None:
    both = item("Look and cover", when=FAILED, do=ActTree("all", parts=(
        one("look", "suction_gauge"), one("cover", "attitude_indicator"))))
    assert of(graded(both, (170.0, Cover("attitude_indicator"))), both).verdict == "done"


NAMED = item("Name it", do=one("diagnose", "vacuum_system"), when=FAILED)


def named(*acts: tuple[float, Action]) -> Finding:
    events = flown((400.0, Diagnose(("vacuum_system",))), *acts)
    return next(each for each in grade(scenario((NAMED,)), events, 1).findings if each.item == NAMED.name)


@pytest.mark.parametrize(("act", "words"), [
    (FlyBy("attitude_indicator"), "flew by attitude indicator"), (Diagnose(()), "said that all was well"),
])
def test_a_right_judgment_that_is_taken_back_is_told_so(act: Action, words: str) -> None:
    found = named((440.0, act))
    assert f"At 7:20 that judgment was taken back: the pilot {words}, and it had been right." in found.reason


@pytest.mark.parametrize("acts", [
    (), ((440.0, FlyBy("partial_panel")),), ((440.0, Diagnose(())), (460.0, Diagnose(("vacuum_system",)))),
])
def test_a_judgment_that_stands_or_is_passed_anew_was_not_taken_back(acts: tuple[tuple[float, Action], ...]) -> None:
    assert "taken back" not in named(*acts).reason
