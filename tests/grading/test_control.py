"""Flying: what was commanded, and how far the airplane strayed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from drill.airplane.controls import KEEP_TURNING, TURN_TO_HEADING, WINGS_LEVEL
from drill.flight.events import Heard, Trace
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


def only(given: Debrief, item: str) -> list[Finding]:
    return [finding for finding in given.findings if finding.item == item]


def creeping(t: float) -> dict[str, float]:
    """A heading indicator that leaves the compass from 400 s on, 12 degrees a minute."""
    return {"heading_deg": 240.0 + max(0.0, t - 400.0) * 0.2}


COVERED = (200.0, Cover("attitude_indicator"))
HI = "Stop flying by the heading indicator"
AI = "Stop flying by the attitude indicator"


def test_bank_by_the_turn_coordinator_and_heading_by_a_heading_indicator_that_agrees_is_a_good_answer() -> None:
    given = graded(COVERED, bank=lambda t, follows: 0.0)
    assert only(given, AI)[0].verdict == "done"
    assert only(given, HI) == []


def test_the_heading_indicator_counts_once_it_has_itself_left_the_compass() -> None:
    given = graded(COVERED, bank=lambda t, follows: 0.0, shown=creeping)
    found = only(given, HI)[0]
    assert found.verdict == "missed"
    assert found.at_s is not None
    assert 450.0 < found.at_s < 520.0
    assert "for the " in found.reason
    assert only(given, AI)[0].score == 1.0


def test_a_heading_indicator_that_was_left_in_time_costs_nothing() -> None:
    given = graded(COVERED, (300.0, FlyBy("partial_panel")), bank=lambda t, follows: 0.0, shown=creeping)
    assert [finding.verdict for finding in only(given, HI)] == ["done"]


def test_the_hands_are_said_to_have_gone_on_by_an_instrument_only_where_they_did() -> None:
    # The horizon was left after ten minutes and more: late, but no instrument was flown by to the end.
    given = graded((800.0, FlyBy("partial_panel")), bank=lambda t, follows: 0.0, seconds=1200)
    found = only(given, AI)[0]
    assert found.verdict == "late"
    assert all("went on flying" not in finding.reason for finding in given.findings)


def test_going_back_to_the_bad_horizon_is_found_even_without_a_cover() -> None:
    given = graded((200.0, FlyBy("partial_panel")), (500.0, FlyBy("full_panel")), bank=lambda t, follows: 0.0)
    found = only(given, "Do not go back to the attitude indicator")[0]
    assert (found.verdict, found.at_s) == ("broken", 500.0)
    assert (found.score or 0.0) <= 0.5
    assert only(given, AI)[0].verdict == "done"


def test_going_back_once_the_suction_is_back_is_no_fault() -> None:
    given = graded((200.0, FlyBy("partial_panel")), (500.0, FlyBy("full_panel")), bank=lambda t, follows: 0.0,
                   shown=lambda t: {"suction_inhg": 4.9} if t > 350 else {})
    assert only(given, "Do not go back to the attitude indicator") == []


def test_suction_that_came_back_is_not_told_as_leaving_the_instrument() -> None:
    given = graded(bank=lambda t, follows: 0.0, shown=lambda t: {"suction_inhg": 4.9} if t > 250 else {})
    assert "its source was back" in only(given, AI)[0].reason


def test_a_flight_that_ends_within_three_minutes_of_the_evidence_calls_nobody_slow_unless_control_was_lost() -> None:
    # evidence at about 2:32; full marks reach three minutes further
    short = graded(seconds=250)
    assert only(short, AI) == []
    assert only(short, "Recognize: vacuum pump")[0].verdict == "not needed"
    lost = graded(seconds=250, ending="loss of control")
    assert only(lost, AI)[0].verdict == "missed"
    assert only(lost, "Recognize: vacuum pump")[0].verdict == "missed"


def test_flying_by_the_failed_horizon_to_the_end_earns_nothing() -> None:
    found = only(graded(), AI)[0]
    assert (found.verdict, found.score) == ("missed", 0.0)


@pytest.mark.parametrize(("bank", "score"), [
    (20.0, 1.0), (30.0, 1.0), (30.1, 0.6), (35.0, 0.6), (-45.0, 0.6), (45.1, 0.3), (50.0, 0.3), (60.0, 0.3),
    (-60.1, 0.0), (65.0, 0.0),
])
def test_the_steeper_the_bank_the_less_it_earns(bank: float, score: float) -> None:
    # 60 degrees: 14 CFR 91.307(c); the other two are the trainer's
    found = of(graded((200.0, FlyBy("partial_panel")), bank=lambda t, follows: bank if 300 <= t < 310 else 0.0),
               "Keep the bank")
    assert found.score == score
    assert found.verdict == ("kept" if score == 1.0 else "broken")
    assert found.weight == ("critical" if score < 0.5 else "major")
    assert found.at_s == (None if score == 1.0 else 300.0)


def steepest(bank: dict[int, float]) -> str:
    return of(graded(bank=lambda t, follows: bank.get(int(t), 0.0), fails_at=None), "Keep the bank").reason


def test_the_most_bank_is_told_with_its_moment_and_the_limit_that_it_is_beyond() -> None:
    assert steepest({300: -35.0, 310: 50.0}) == (
        "The airplane banked beyond 30 degrees at 5:00; the most was 50 at 5:10, beyond 45. In cloud a steep bank "
        "becomes a spiral.")
    assert "the most was 62 at 5:00, beyond 60." in steepest({300: 62.0})
    assert "the most was 31 at 5:00, beyond 30." in steepest({300: 31.0})
    assert steepest({300: -12.0}) == "The airplane never banked beyond 30 degrees; the most was 12."


def test_speed_beyond_the_green_arc_costs_and_beyond_the_red_line_is_unsafe() -> None:
    def fast(knots: float) -> Debrief:
        return graded((200.0, FlyBy("partial_panel")),
                      true=lambda t: {"airspeed_kt": knots, "beyond_never_exceed": float(knots > 158.0)})
    assert of(fast(120.0), "Keep the speed").verdict == "kept"
    green = scenario(()).airplane.airframe.cruise_most_kt
    assert of(fast(green), "Keep the speed").reason == f"The most was {green:.0f} knots, inside the green arc."
    assert of(fast(158.0), "Keep the speed").reason == (
        f"158 knots at 0:00, beyond the green arc ({green:.0f}); that is for smooth air only.")
    assert [of(fast(knots), "Keep the speed").weight for knots in (120.0, 140.0, 165.0)] == [
        "minor", "minor", "critical"]
    assert of(fast(140.0), "Keep the speed").score == 0.5
    assert of(fast(165.0), "Keep the speed").score == 0.0
    assert [act.act for act in fast(165.0).unsafe_acts] == ["Beyond never-exceed speed"]


def test_a_turn_and_a_descent_ordered_together_on_partial_panel_are_two_things_at_once() -> None:
    together = graded((200.0, FlyBy("partial_panel")), (300.0, Turn("left", 90)), (303.0, Altitude(3000, "descend")))
    apart = graded((200.0, FlyBy("partial_panel")), (300.0, Turn("left", 90)), (360.0, Altitude(3000, "descend")))
    assert of(together, "One thing").verdict == "broken"
    assert of(together, "One thing").reason == (
        "At 5:03 a change of altitude was ordered on top of a turn. On partial panel each takes the whole scan.")
    assert of(apart, "One thing").verdict == "kept"
    assert (of(together, "One thing").score, of(apart, "One thing").score) == (0.5, 1.0)


@pytest.mark.parametrize(("seconds", "expected"), [(5.0, "broken"), (5.5, "kept")])
def test_orders_within_five_seconds_are_given_together(seconds: float, expected: str) -> None:
    # 5 s: the author's choice
    given = graded((200.0, FlyBy("partial_panel")), (300.0, Turn("left", 90)),
                   (300.0 + seconds, Altitude(3000, "descend")))
    assert of(given, "One thing").verdict == expected


def test_two_such_orders_earn_nothing() -> None:
    given = graded((200.0, FlyBy("partial_panel")), *((t, Turn("left", 90)) for t in (300.0, 500.0)),
                   *((t, Altitude(3000, "descend")) for t in (302.0, 502.0)))
    assert of(given, "One thing").score == 0.0


def test_holding_the_altitude_is_no_change_of_it() -> None:
    given = graded((200.0, FlyBy("partial_panel")), (300.0, Turn("left", 90)), (302.0, Altitude(5000, "hold")))
    assert of(given, "One thing").verdict == "kept"


def ordered_meanwhile(order: Action, controls: dict[str, float], shown: dict[str, float]) -> str:
    """The verdict on an order of the other kind at 5:30, with `controls` and `shown` from 4:10 to 6:40."""
    events = [replace(event, controls={**event.controls, **controls}, shown={**event.shown, **shown})
              if isinstance(event, Trace) and 250.0 < event.t < 400.0 else event
              for event in flown((200.0, FlyBy("partial_panel")), (330.0, order))]
    return of(grade(scenario(()), events, 1), "One thing").verdict


@pytest.mark.parametrize(("to_go_ft", "expected"), [(151.0, "broken"), (-151.0, "broken"), (150.0, "kept")])
def test_a_change_of_altitude_is_under_way_while_more_than_150_feet_are_to_go(to_go_ft: float, expected: str) -> None:
    controls = {"vertical": 0.0, "altitude_ft": 6000.0}
    assert ordered_meanwhile(Turn("left", 90), controls, {"altitude_ft": 6000.0 - to_go_ft}) == expected
    assert ordered_meanwhile(Turn("left", 90), {**controls, "vertical": 1.0}, {"altitude_ft": 5000.0}) == "kept"


@pytest.mark.parametrize(("lateral", "rate", "expected"), [
    (TURN_TO_HEADING, 1.6, "broken"), (KEEP_TURNING, -1.6, "broken"), (TURN_TO_HEADING, 1.5, "kept"),
    (WINGS_LEVEL, 3.0, "kept"),
])
def test_a_turn_is_under_way_while_the_needle_shows_it(lateral: float, rate: float, expected: str) -> None:
    assert ordered_meanwhile(Altitude(3000, "descend"), {"lateral": lateral}, {"turn_rate_dps": rate}) == expected


def test_a_turn_ordered_while_the_climb_is_still_under_way_is_two_things_at_once() -> None:
    events = [
        replace(event, controls={**event.controls, "vertical": 0.0, "altitude_ft": 8000.0},
                shown={**event.shown, "altitude_ft": 6000.0})
        if isinstance(event, Trace) and 250.0 < event.t < 400.0 else event
        for event in flown((200.0, FlyBy("partial_panel")), (250.0, Altitude(8000, "climb")), (330.0, Turn("left", 90)))
    ]
    assert of(grade(scenario(()), events, 1), "One thing").verdict == "broken"


@pytest.mark.parametrize(("words", "expected"), [
    ("Larkspur zero four whiskey, turn left", "kept"), ("stop turn", "kept"),
    ("climb and maintain five thousand, fly heading one eight zero", "kept"),
    ("Larkspur zero four whiskey, roger", "broken"), ("descend to three thousand", "broken"),
])
def test_a_turn_that_atc_called_for_in_a_descent_is_no_second_thing_of_the_pilot_s(words: str, expected: str) -> None:
    events = [
        replace(event, controls={**event.controls, "vertical": 0.0, "altitude_ft": 3000.0})
        if isinstance(event, Trace) and 250.0 < event.t < 400.0 else event
        for event in flown((200.0, FlyBy("partial_panel")), (250.0, Altitude(3000, "descend")),
                           (330.0, Turn("left", 90)))
    ]
    heard = Heard(310.0, "Orrinfell Approach", words)
    assert of(grade(scenario(()), [*events, heard], 1), "One thing").verdict == expected
    long_ago = replace(heard, t=290.0)
    assert of(grade(scenario(()), [*events, long_ago], 1), "One thing").verdict == "broken"


def test_a_descent_that_atc_called_for_in_a_turn_is_none_either() -> None:
    events = flown((200.0, FlyBy("partial_panel")), (300.0, Turn("left", 90)), (303.0, Altitude(3000, "descend")))
    asked = Heard(295.0, "Orrinfell Approach", "Larkspur zero four whiskey, descend and maintain three thousand")
    assert of(grade(scenario(()), [*events, asked], 1), "One thing").verdict == "kept"


def test_a_heading_indicator_that_was_covered_before_it_drifted_is_said_to_have_been() -> None:
    given = graded((200.0, FlyBy("partial_panel")), (312.0, Cover("heading_indicator")))
    finding = of(given, "Stop flying by the heading indicator")
    assert finding.verdict == "done"
    assert "Covered at 5:12, before it went wrong." in finding.reason
    assert "could have known" not in finding.reason


def test_on_a_full_panel_two_things_at_once_are_allowed() -> None:
    given = graded((50.0, Turn("left", 90)), (52.0, Altitude(3000, "descend")), (200.0, FlyBy("partial_panel")))
    assert all(not finding.item.startswith("One thing") for finding in given.findings)


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


def spiralling(knots: float, since: float) -> list[Trace]:
    """3,000 feet are ordered, reached at 2:00, and left again in a dive from `since` on at `knots`."""
    return [
        replace(trace, controls={**trace.controls, "altitude_ft": 3000.0},
                true={**trace.true, "airspeed_kt": knots if trace.t >= since else 110.0,
                      "altitude_ft": max(3000.0, 5000.0 - 20.0 * trace.t) if trace.t < since else 2000.0})
        for trace in straying("bank_deg", 0.0)
    ]


def test_speed_far_off_the_ordered_altitude_is_told_once_it_has_been_reached() -> None:
    assert {each.what: each.worst for each in deviations(spiralling(165.0, 150.0))}["airspeed"] == 55.0


def test_speed_beyond_the_green_arc_is_told_in_a_descent_too_and_less_is_not() -> None:
    fast = {each.what: each for each in deviations(spiralling(165.0, 50.0), cruise_most_kt=129.0)}["airspeed"]
    assert fast.worst == 55.0
    slow = {each.what: each for each in deviations(spiralling(125.0, 50.0), cruise_most_kt=129.0)}
    assert "airspeed" not in slow or slow["airspeed"].worst == 0.0


def test_deviations_are_no_part_of_the_score() -> None:
    wandering = graded((200.0, FlyBy("partial_panel")), altitude=lambda t: 5000.0 + (150.0 if t > 400 else 0.0))
    steady = graded((200.0, FlyBy("partial_panel")))
    assert wandering.score == steady.score
    assert any(each.beyond_s > 0.0 for each in wandering.deviations)


def wings_level(turns_deg: float, seconds: float) -> list[Trace]:
    """Wings ordered level for five minutes, and a turn by so much within so long meanwhile."""
    traces = [each for each in flown(fails_at=None, seconds=300) if isinstance(each, Trace)]
    return [replace(each, controls={**each.controls, "lateral": WINGS_LEVEL}, true={
        **each.true, "heading_deg": 240.0 + turns_deg * min(1.0, max(0.0, (each.t - 100.0) / seconds))})
        for each in traces]


@pytest.mark.parametrize(("turns_deg", "seconds", "off"), [(90.0, 30.0, 90.0), (-45.0, 15.0, 45.0), (25.0, 180.0, 8.3)])
def test_a_turn_with_the_wings_ordered_level_is_no_straight_flight_and_slow_drift_is(
    turns_deg: float, seconds: float, off: float,
) -> None:
    straight = {each.what: each for each in deviations(wings_level(turns_deg, seconds))}["heading, wings ordered level"]
    assert straight.worst == pytest.approx(off, abs=0.1)
    assert (straight.beyond_s > 0.0) is (off > 10.0)
