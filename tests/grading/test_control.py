"""Flying: what was commanded, and how far the airplane strayed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from drill.flight.events import Trace
from drill.grading import Debrief, Finding, grade
from drill.grading.deviations import deviations
from drill.language.meaning import Action, Altitude, Cover, FlyBy, Turn

from .builders import flown, scenario


def graded(*acts: tuple[float, Action], **given: object) -> Debrief:
    return grade(scenario(()), flown(*acts, **given), 1)  # type: ignore[arg-type]


def of(given: Debrief, start: str) -> Finding:
    return next(finding for finding in given.findings if finding.item.startswith(start))


def test_leaving_the_failed_horizon_soon_earns_full_marks() -> None:
    found = of(graded((200.0, FlyBy("partial_panel"))), "Stop flying by")
    assert (found.verdict, found.score) == ("done", 1.0)


def test_covering_the_horizon_alone_leaves_the_heading_indicator_trusted() -> None:
    found = of(graded((200.0, Cover("attitude_indicator")), bank=lambda t, follows: 0.0), "Stop flying by")
    assert found.verdict == "missed"
    assert "heading indicator" in found.reason


def test_flying_by_the_failed_horizon_to_the_end_earns_nothing() -> None:
    assert of(graded(), "Stop flying by").score == 0.0


@pytest.mark.parametrize(("bank", "score"), [(20.0, 1.0), (35.0, 0.6), (50.0, 0.3), (65.0, 0.0)])
def test_the_steeper_the_bank_the_less_it_earns(bank: float, score: float) -> None:
    # 60 degrees: 14 CFR 91.307(c); the other two are the trainer's
    found = of(graded((200.0, FlyBy("partial_panel")), bank=lambda t, follows: bank if 300 <= t < 310 else 0.0),
               "Keep the bank")
    assert found.score == score
    assert found.verdict == ("kept" if score == 1.0 else "broken")


def test_speed_beyond_the_green_arc_costs_and_beyond_the_red_line_is_unsafe() -> None:
    def fast(knots: float) -> Debrief:
        return graded((200.0, FlyBy("partial_panel")),
                      true=lambda t: {"airspeed_kt": knots, "beyond_never_exceed": float(knots > 158.0)})
    assert of(fast(120.0), "Keep the speed").verdict == "kept"
    assert of(fast(140.0), "Keep the speed").score == 0.5
    assert of(fast(165.0), "Keep the speed").score == 0.0
    assert [act.act for act in fast(165.0).unsafe_acts] == ["Beyond never-exceed speed"]


def test_a_turn_and_a_descent_ordered_together_on_partial_panel_are_two_things_at_once() -> None:
    together = graded((200.0, FlyBy("partial_panel")), (300.0, Turn("left", 90)), (303.0, Altitude(3000, "descend")))
    apart = graded((200.0, FlyBy("partial_panel")), (300.0, Turn("left", 90)), (360.0, Altitude(3000, "descend")))
    assert of(together, "One thing").verdict == "broken"
    assert of(apart, "One thing").verdict == "kept"


def test_a_turn_ordered_while_the_climb_is_still_under_way_is_two_things_at_once() -> None:
    events = [
        replace(event, controls={**event.controls, "vertical": 0.0, "altitude_ft": 8000.0},
                shown={**event.shown, "altitude_ft": 6000.0})
        if isinstance(event, Trace) and 250.0 < event.t < 400.0 else event
        for event in flown((200.0, FlyBy("partial_panel")), (250.0, Altitude(8000, "climb")), (330.0, Turn("left", 90)))
    ]
    assert of(grade(scenario(()), events, 1), "One thing").verdict == "broken"


def test_on_a_full_panel_two_things_at_once_are_allowed() -> None:
    given = graded((50.0, Turn("left", 90)), (52.0, Altitude(3000, "descend")), (200.0, FlyBy("partial_panel")))
    assert all(not finding.item.startswith("One thing") for finding in given.findings)


def test_more_than_standard_rate_on_partial_panel_costs() -> None:
    # Standard rate is 3 degrees a second: AC 91-75 sec. 4
    events = [
        replace(event, controls={**event.controls, "turn_rate_dps": 6.0})
        if isinstance(event, Trace) and event.t > 300 else event
        for event in flown((200.0, FlyBy("partial_panel")))
    ]
    assert of(grade(scenario(()), events, 1), "Standard rate").verdict == "broken"
    assert of(graded((200.0, FlyBy("partial_panel"))), "Standard rate").verdict == "kept"


def straying(name: str, value: float, controls: Callable[[float], dict[str, float]] = lambda t: {}) -> list[Trace]:
    base = {"altitude_ft": 5000.0, "heading_deg": 240.0, "airspeed_kt": 110.0, "bank_deg": 0.0}
    ordered = {"altitude_ft": 5000.0, "heading_deg": 240.0, "airspeed_kt": 110.0}
    return [
        replace(event, true={**event.true, **base, **({name: value} if 100.0 <= event.t < 130.0 else {})},
                controls={**event.controls, **ordered, **controls(event.t)})
        for event in flown(seconds=300, fails_at=None) if isinstance(event, Trace)
    ]


@pytest.mark.parametrize(("what", "name", "inside", "outside"), [
    # IR.IV.A.S1 (FAA-S-ACS-8C): +-100 ft, +-10 degrees, +-10 kt
    ("altitude", "altitude_ft", 5099.0, 4890.0),
    ("heading", "heading_deg", 231.0, 251.0),
    ("airspeed", "airspeed_kt", 119.0, 98.0),
])
def test_a_value_beyond_its_tolerance_is_told_with_how_far_and_how_long(
    what: str, name: str, inside: float, outside: float,
) -> None:
    within = {each.what: each for each in deviations(straying(name, inside))}[what]
    beyond = {each.what: each for each in deviations(straying(name, outside))}[what]
    assert within.beyond_s == 0.0
    assert 0.0 < within.worst < within.tolerance
    assert beyond.beyond_s == 30.0
    assert beyond.worst > beyond.tolerance


def test_bank_in_a_turn_is_held_against_standard_rate_within_five_degrees() -> None:
    # IR.IV.A.S1: +-5 degrees in turns; 110 kt at 5,000 ft: standard rate takes 18 degrees
    def turning(t: float) -> dict[str, float]:
        return {"lateral": 2.0, "turn_rate_dps": 3.0}
    steady = [replace(trace, true={**trace.true, "bank_deg": 25.5 if 100.0 <= trace.t < 130.0 else 18.0})
              for trace in straying("bank_deg", 25.5, turning)]
    bank = {each.what: each for each in deviations(steady)}["bank"]
    assert bank.tolerance == 5.0
    assert bank.beyond_s == 30.0


def test_an_ordered_change_is_no_deviation() -> None:
    climbing = [
        replace(trace, true={**trace.true, "altitude_ft": 5000.0 + max(0.0, min(1000.0, (trace.t - 100.0) * 8.0))},
                controls={**trace.controls, "altitude_ft": 6000.0 if trace.t >= 100.0 else 5000.0})
        for trace in straying("bank_deg", 0.0)
    ]
    altitude = {each.what: each for each in deviations(climbing)}["altitude"]
    assert altitude.beyond_s == 0.0


def test_deviations_are_no_part_of_the_score() -> None:
    wandering = graded((200.0, FlyBy("partial_panel")), altitude=lambda t: 5000.0 + (150.0 if t > 400 else 0.0))
    steady = graded((200.0, FlyBy("partial_panel")))
    assert wandering.score == steady.score
    assert any(each.beyond_s > 0.0 for each in wandering.deviations)
