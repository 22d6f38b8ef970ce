"""One deed is graded once: where the sheet grades it, the built-in check stands back."""

from __future__ import annotations

import pytest

from drill.grading import Debrief, debrief_lines, grade
from drill.grading.subjects import subjects_of
from drill.language.meaning import Action, Call, Decide, FlyBy
from drill.scenario.conditions import Compare, Fact
from drill.scenario.model import ActTree, Item, Within

from .builders import GAUGE, STOP, TELL, call, flown, item, one, scenario

CLEARANCE = item("Do not give up the clearance", part="decide", never=one("cancel IFR"), unsafe=True)
WINGS = item("Keep the wings under control", part="aviate", keep=Compare("true bank", "<", 45.0), unsafe=True)
GREEN = item("Stay in the green", part="aviate", keep=Compare("true airspeed", "<", 126.0))
ACTED: tuple[tuple[float, Action], ...] = ((200.0, FlyBy("partial_panel")), call(240.0))


def graded(sheet: tuple[Item, ...], *acts: tuple[float, Action], **given: object) -> Debrief:
    return grade(scenario(sheet), flown(*ACTED, *acts, **given), 1)  # type: ignore[arg-type]


def items(given: Debrief) -> list[str]:
    return [finding.item for finding in given.findings]


@pytest.mark.parametrize(("on_sheet", "built_in"), [
    (STOP, "Stop flying by the attitude indicator"),
    (WINGS, "Keep the bank small"),
    (TELL, "Tell ATC about the vacuum pump"),
])
def test_a_built_in_check_is_left_out_where_the_sheet_has_an_item_on_the_same(on_sheet: Item, built_in: str) -> None:
    assert built_in in items(graded((GAUGE,)))
    assert built_in not in items(graded((on_sheet,)))


def test_speed_is_graded_once() -> None:
    # no observed speed in these records: the item is broken, and still the only finding on it
    assert "Keep the speed in the green" in items(graded(()))
    assert "Keep the speed in the green" not in items(graded((GREEN,)))


def test_the_order_of_control_and_call_is_graded_once() -> None:
    assert "Fly first, then talk" in items(graded((STOP,)))
    assert "Fly first, then talk" not in items(graded((STOP, TELL)))


def test_an_item_that_did_not_come_up_takes_no_check_s_place() -> None:
    elsewhere = item("Stop following", part="aviate", do=one("fly by", "partial_panel"), when=Fact("failed", "other"))
    given = graded((elsewhere,))
    assert {finding.verdict for finding in given.findings if finding.item == "Stop following"} == {"not needed"}
    assert "Stop flying by the attitude indicator" in items(given)


@pytest.mark.parametrize("act", [Decide("cancel_ifr"), None])
def test_cancelling_in_cloud_is_one_unsafe_act(act: Action | None) -> None:
    cancels = (500.0, act) if act is not None else call(500.0, Call(cancels_ifr=True))
    both = graded((CLEARANCE,), cancels)
    assert [each.act for each in both.unsafe_acts] == ["Do not give up the clearance"]
    assert [each.act for each in graded((), cancels).unsafe_acts] == ["Cancelled IFR in cloud"]
    text = " ".join(" ".join(debrief_lines(both)).split())
    assert text.count("Do not give up the clearance") == 1
    assert "Do not give up the clearance: broken (Decide, cost" in text


def test_an_item_that_is_not_unsafe_does_not_take_the_cap_away() -> None:
    mild = item("Keep the clearance", part="decide", never=one("cancel IFR"))
    given = graded((mild,), (500.0, Decide("cancel_ifr")))
    assert [each.act for each in given.unsafe_acts] == ["Cancelled IFR in cloud"]
    assert given.capped


def test_two_unsafe_deeds_at_different_moments_stay_two() -> None:
    given = graded((WINGS,), bank=lambda t, follows: 75.0 if t > 700 else 50.0 if t > 600 else 0.0)
    assert [each.act for each in given.unsafe_acts] == ["Keep the wings under control", "Lost control of the airplane"]


def test_one_loss_of_control_is_one_unsafe_act() -> None:
    given = graded((WINGS,), bank=lambda t, follows: 75.0 if t > 700 else 0.0)
    assert [each.act for each in given.unsafe_acts] == ["Keep the wings under control"]


def test_a_never_in_the_decisions_leaves_the_plan_to_the_built_in_check() -> None:
    assert "Make a plan" in items(graded((CLEARANCE,)))
    chosen = item("Divert", part="decide", do=one("divert", "Wendle"))
    assert "Make a plan" not in items(graded((chosen,), (300.0, Decide("divert", "Wendle"))))


def test_what_an_item_grades() -> None:
    assert subjects_of(STOP) == {"leave attitude_indicator"}
    assert "leave heading_indicator" in subjects_of(
        item("x", part="aviate", do=one("fly by", "partial_panel"), within=Within(60.0, "failure", "pump")))
    half = ActTree("any", parts=(one("cover", "attitude_indicator"), one("look", "clock")))
    assert subjects_of(item("x", part="aviate", do=half)) == frozenset()
    assert subjects_of(item("x", part="manage", do=one("cover", "attitude_indicator"))) == frozenset()
    assert subjects_of(TELL, (STOP, TELL)) == {"report", "control before the call"}
