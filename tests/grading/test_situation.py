"""What every part of the grader asks of a flight: when a failure was over, who is too soon to be called slow."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.events import Ended, Event, Failed, Healed, Trace
from drill.grading.evidence import Evidence
from drill.grading.situation import AFTER_S, MEAN_S, SOON_S, Situation
from drill.grading.timeline import timeline
from drill.language.meaning import Cover, Diagnose, Switch

from .builders import PUMP, flown, scenario

EVIDENT_S = 150.0


def situation(events: list[Event], evident_s: float | None = EVIDENT_S) -> Situation:
    line = timeline(sorted(events, key=lambda event: event.t))
    found = None if evident_s is None else Evidence(evident_s, "the gauge was low")
    return Situation(scenario(()), line, {onset.key: found for onset in line.onsets})


def of(*more: Event, evident_s: float | None = EVIDENT_S, **given: object) -> Situation:
    return situation([*flown(**given), *more], evident_s)  # type: ignore[arg-type]


@pytest.mark.parametrize(("healed", "over", "back", "soon"), [
    (None, 900.0, False, False), (209.9, 209.9, True, True), (210.0, 210.0, True, False), (900.0, 900.0, True, False),
    (901.0, 901.0, True, False),
])
def test_a_failure_that_is_over_within_a_minute_of_its_evidence_asks_for_nothing(
    healed: float | None, over: float, back: bool, soon: bool,
) -> None:
    given = of(*([Healed(healed, "pump")] if healed is not None else []))
    onset = given.onsets[0]
    assert (given.over_s(onset), given.came_back(onset), given.soon_over(onset)) == (over, back, soon)
    assert SOON_S == 60.0


def test_a_failure_that_was_over_before_it_showed_is_soon_over() -> None:
    assert of(Healed(800.0, "pump"), evident_s=None).soon_over(of().onsets[0]) is False
    never = of(Healed(800.0, "pump"), evident_s=None)
    assert never.soon_over(never.onsets[0])
    assert never.evident_s(never.onsets[0]) is None


@pytest.mark.parametrize(("ending", "waited", "soon"), [
    (None, MEAN_S, True), (None, MEAN_S + 1.0, False), ("safe", 180.0, True), ("safe", 181.0, False),
    ("loss of control", 10.0, False), ("hit the ground", 10.0, False), ("broke up", 10.0, False),
    ("unresolved", 10.0, True),
])
def test_a_record_that_ends_too_soon_calls_nobody_slow(ending: str | None, waited: float, soon: bool) -> None:
    assert of(ending=ending).too_soon(waited) is soon


def test_a_failure_that_comes_again_is_known_to_have_been_there() -> None:
    given = of(Healed(200.0, "pump"), Failed(300.0, *PUMP), Failed(310.0, "needle", "altimeter", "sticks and jumps"))
    assert [given.again(onset) for onset in given.onsets] == [False, True, False]


def test_an_instrument_is_bad_from_its_failure_until_it_is_over() -> None:
    given = of(Healed(300.0, "pump"), Failed(400.0, "needle", "altimeter", "sticks and jumps"))
    gyros = {"attitude_indicator", "heading_indicator"}
    assert [given.bad_at(t) for t in (119.9, 120.0, 299.9, 300.0, 400.0)] == [set(), gyros, gyros, set(), {"altimeter"}]


def test_what_failed_is_said_as_far_as_the_record_goes() -> None:
    assert of(fails_at=None).nothing_failed == "Nothing failed in this flight"
    assert of(fails_at=None, ending=None).nothing_failed == "Nothing had failed by then"


def test_an_airplane_that_was_parked_all_the_time_was_never_airborne() -> None:
    parked = [replace(event, true={**event.true, "parked": 1.0}) if isinstance(event, Trace) else event
              for event in flown()]
    assert not situation(parked).airborne
    assert situation([*parked, next(event for event in flown(seconds=1) if isinstance(event, Trace))]).airborne


@pytest.mark.parametrize(("t", "counts"), [(120.5, False), (121.0, True), (211.0, True), (211.5, False)])
def test_an_act_answers_a_failure_from_its_onset_until_just_after_it_is_over(t: float, counts: bool) -> None:
    # acts are begun a second before they are done
    assert AFTER_S == 10.0
    given = of(Healed(200.0, "pump"), *[event for event in flown((t, Diagnose(("vacuum_system",))), fails_at=None)
                                        if event.kind == "acted"])
    assert [words for _, words in given.responses(given.onsets[0])] == (["named it: vacuum system"] if counts else [])


@pytest.mark.parametrize(("covered_s", "answered"), [(330.0, True), (331.5, False)])
def test_taking_the_airplane_from_the_autopilot_answers_only_if_the_bad_horizon_is_left_within_half_a_minute(
    covered_s: float, answered: bool,
) -> None:
    given = situation(flown((300.0, Switch("autopilot", "off")), (covered_s, Cover("attitude_indicator"))))
    said = [words for deed, words in given.responses(given.onsets[0]) if isinstance(deed.action, Switch)]
    assert said == (["switched the autopilot off"] if answered else [])


def test_who_is_right_and_who_was_in_cloud() -> None:
    given = of()
    assert given.right(frozenset({"vacuum_system"}))
    assert not given.right(frozenset({"alternator"}))
    assert given.in_cloud(100.0, 100.0)
    assert not given.in_cloud(950.0, 960.0)
    assert not of(cloud=False).in_cloud(0.0, 900.0)


def test_a_finding_has_the_panel_of_its_moment_and_the_readings_that_it_is_about_once_each() -> None:
    given = of(bank=lambda t, follows: 0.0)
    found = given.finding("Item", "aviate", "late", 60.0, "Why.", "a source", weight="minor", better="so", score=0.4,
                          about=("suction_gauge", "suction_gauge", "altimeter"))
    assert (found.item, found.part, found.verdict, found.at_s, found.reason, found.source, found.weight, found.better,
            found.score, found.about) == ("Item", "aviate", "late", 60.0, "Why.", "a source", "minor", "so", 0.4,
                                          ("suction_gauge", "altimeter"))
    first, second = found.readings.rstrip(".").split(". ")
    assert first.startswith("Suction")
    assert second.startswith("Altimeter")
    assert "5000" in second or "5,000" in second
    assert "suction" in found.panel.lower()
    assert given.finding("Item", "aviate", "missed", None, "", "", about=("altimeter",)).readings == ""
    assert situation([Ended(10.0, "x", "safe", "")]).panel_at(5.0) == ""
