"""Small parts of the grader by their tables: what ATC knows from two calls, parts and costs, reports in words."""

from __future__ import annotations

from dataclasses import fields

import pytest

from drill.grading.acts import action_of, told_both, told_of
from drill.grading.advice import check, fly_on, report
from drill.grading.affected import leaves, listed, looked_at, says, spoken
from drill.grading.debrief import Finding, UnsafeAct
from drill.grading.scoring import CAP, PART_WEIGHTS, costs, part_scores, total
from drill.grading.timeline import Onset, lasting, number, timeline
from drill.language.meaning import Compare, Cover, Look, Told, Transmit

PUMP = Onset("pump", "vacuum pump", "shaft shears", 0.0, None)


# --- what ATC knows ----------------------------------------------------------------------------------


YES = Told(calls=2, callsign=True, facility=True, urgency="mayday", equipment=frozenset({"gps"}), impairment=True,
           assistance=frozenset({"vmc"}), conditions="imc", altitude=True, heading=True, position=True, souls=True,
           fuel=True, intentions=True, places=frozenset({"Wendle"}))


@pytest.mark.parametrize("name", [each.name for each in fields(Told) if each.name not in ("urgency", "equipment")])
def test_what_one_call_has_told_is_known_after_both(name: str) -> None:
    for both in (told_both(YES, Told()), told_both(Told(), YES)):
        assert getattr(both, name) == getattr(YES, name)
    assert getattr(told_both(Told(), Told()), name) == getattr(Told(), name)


def test_urgency_and_what_failed_are_what_the_later_call_left() -> None:
    assert (told_both(YES, Told()).urgency, told_both(YES, Told()).equipment) == ("none", frozenset())
    assert (told_both(Told(), YES).urgency, told_both(Told(), YES).equipment) == ("mayday", frozenset({"gps"}))


def test_what_two_calls_ask_for_adds_up_and_the_later_weather_counts() -> None:
    first = Told(assistance=frozenset({"vectors"}), places=frozenset({"Tallowby"}), conditions="vmc")
    both = told_both(first, YES)
    assert both.assistance == {"vectors", "vmc"}
    assert both.places == {"Tallowby", "Wendle"}
    assert both.conditions == "imc"


@pytest.mark.parametrize("labels", [
    {}, {"action": "nothing"}, {"action": "look", "at": 3}, {"action": "look", "no": 1},
])
def test_an_act_that_this_edition_does_not_know_is_none(labels: dict[str, object]) -> None:
    assert action_of(labels) is None


def test_a_call_takes_its_meaning_from_beside_its_words() -> None:
    action = action_of({"action": "transmit", "call": "help"}, {"trouble": True})
    assert isinstance(action, Transmit)
    assert action.meaning.trouble
    kept = action_of({"action": "transmit", "call": "help", "meaning": {"trouble": False}}, {"trouble": True})
    assert isinstance(kept, Transmit)
    assert not kept.meaning.trouble
    assert action_of({"action": "look", "at": "panel"}, {"trouble": True}) == Look("panel")
    assert told_of({"calls": "many"}) is None


# --- words -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("names", "words"), [
    ((), "nothing"), (("suction_gauge",), "suction gauge"), (("b", "a"), "b and a"), (("c", "b", "a"), "c, b and a"),
    (frozenset({"b_x", "a_x"}), "a x and b x"),
])
def test_names_are_listed_in_words(names: tuple[str, ...] | frozenset[str], words: str) -> None:
    assert listed(names) == words


def test_a_name_is_spoken_without_its_lines() -> None:
    assert spoken("vertical_speed_indicator") == "vertical speed indicator"


@pytest.mark.parametrize(("bad", "limits"), [
    (frozenset({"attitude_indicator", "heading_indicator"}), "partial panel"),
    (frozenset({"heading_indicator"}), "unable to hold headings"),
    (frozenset({"turn_coordinator"}), "unable to make timed turns"),
    (frozenset(), "limited panel without the vacuum pump"),
])
def test_a_report_says_how_far_it_limits(bad: frozenset[str], limits: str) -> None:
    assert report(PUMP, bad, facility="Approach", callsign="04W", cloud=False) == (
        f"Approach, 04W, lost our vacuum pump, {limits}, request vectors to better weather")
    assert f"{limits} in cloud, request" in report(PUMP, bad, facility="Approach", callsign="04W", cloud=True)


def test_a_report_of_the_alternator_says_how_long() -> None:
    dead = Onset("a", "alternator", "quits", 0.0, None)
    assert "lost our alternator, able to continue while the battery lasts, request" in report(
        dead, (), facility="Approach", callsign="04W", cloud=False)


@pytest.mark.parametrize(("instrument", "bad", "words"), [
    ("heading_indicator", (), "heading by the compass in steady flight, turns timed"),
    ("heading_indicator", ("magnetic_compass",), "heading by the GPS track, turns timed"),
    ("attitude_indicator", ("heading_indicator",),
     "fly partial panel: turn coordinator, magnetic compass, altimeter and airspeed indicator"),
    ("attitude_indicator", (),
     "fly partial panel: turn coordinator, heading indicator, altimeter and airspeed indicator"),
    ("attitude_indicator", ("heading_indicator", "magnetic_compass"),
     "fly partial panel: turn coordinator, navigation, altimeter and airspeed indicator"),
    ("turn_coordinator", (), "fly full panel: bank by the attitude indicator, heading by the heading indicator"),
    ("turn_coordinator", ("attitude_indicator",),
     "wings level by the heading indicator: it stands still when they are"),
    ("attitude_indicator", ("turn_coordinator", "heading_indicator"),
     "wings level by the magnetic compass: it stands still when they are"),
])
def test_what_to_fly_by_instead_is_what_still_works(instrument: str, bad: tuple[str, ...], words: str) -> None:
    assert fly_on(instrument, bad) == words


def test_the_look_that_shows_a_failure_uses_what_can_still_be_believed() -> None:
    assert check(PUMP, frozenset({"attitude_indicator", "heading_indicator"})) == (
        "look at the suction gauge; compare the attitude indicator with the turn coordinator; compare the heading "
        "indicator with the magnetic compass")
    assert check(Onset("x", "flux capacitor", "leaks", 0.0, None), ()) == ""


def test_what_a_part_did_is_not_for_good_once_it_has_come_back() -> None:
    assert "from then on" in says(PUMP)
    assert "for a time" in says(PUMP, came_back=True)
    assert says(Onset("x", "flux capacitor", "leaks", 0.0, None)) == "flux capacitor: leaks"


@pytest.mark.parametrize(("action", "seen"), [
    (Look("suction_gauge"), {"suction_gauge"}), (Look("vacuum_system"), {"suction_gauge"}),
    (Look("alternator"), {"ammeter", "voltmeter"}), (Look("engine"), {"tachometer"}),
    (Compare(("altimeter", "vacuum_system")), {"altimeter", "suction_gauge"}), (Cover("altimeter"), set()),
])
def test_a_look_at_a_system_is_one_at_its_gauges(action: Look | Compare | Cover, seen: set[str]) -> None:
    assert looked_at(action) == seen
    assert {"attitude_indicator", "turn_coordinator", "suction_gauge"} <= looked_at(Look("panel"))


@pytest.mark.parametrize(("reference", "bad", "left"), [
    ("partial_panel", {"attitude_indicator"}, True), ("turn_coordinator", {"attitude_indicator"}, True),
    ("full_panel", {"attitude_indicator"}, False), ("full_panel", {"turn_coordinator"}, True),
    ("magnetic_compass", {"heading_indicator"}, True), ("magnetic_compass", {"attitude_indicator"}, False),
    ("partial_panel", {"standby_instrument"}, True), ("partial_panel", {"altimeter"}, False),
    ("partial_panel", set(), False),
])
def test_another_reference_leaves_a_bad_instrument_or_does_not(reference: str, bad: set[str], left: bool) -> None:
    assert leaves(reference, frozenset(bad)) is left


@pytest.mark.parametrize(("seconds", "words"), [
    (-3.0, "0 s"), (0.4, "0 s"), (59.4, "59 s"), (60.0, "1 min"), (61.0, "1 min 1 s"), (600.0, "10 min"),
])
def test_a_length_of_time_is_told_in_minutes_and_seconds(seconds: float, words: str) -> None:
    assert lasting(seconds) == words


def test_a_number_that_is_none_stands_for_what_is_absent() -> None:
    values = {"a": 1.0, "b": float("nan"), "c": float("inf")}
    assert [number(values, name, 7.0) for name in ("a", "b", "c", "d")] == [1.0, 7.0, 7.0, 7.0]
    assert number({}, "x") == 0.0


def test_an_empty_record_is_a_timeline_without_a_moment() -> None:
    line = timeline(())
    assert (line.at(5.0), list(line.between(0.0)), line.told_at(5.0), line.flown_s) == (None, [], Told(), 0.0)


# --- scores ------------------------------------------------------------------------------------------


def finding(part: str, weight: str, score: float | None) -> Finding:
    return Finding(item="x", part=part, verdict="done", at_s=None, reason="", source="", weight=weight, score=score)


def unsafe(part: str) -> UnsafeAct:
    return UnsafeAct(act="x", at_s=0.0, reason="", source="", part=part)


def test_a_part_is_the_weighted_mean_of_what_counts_in_it() -> None:
    found = [finding("aviate", "critical", 1.0), finding("aviate", "major", 0.5), finding("aviate", "minor", 0.0),
             finding("aviate", "critical", None), finding("decide", "minor", None)]
    scores = part_scores(found, ())
    assert scores["aviate"] == pytest.approx(66.7)    # (3 x 1 + 2 x 0.5 + 1 x 0) / 6
    assert scores["decide"] is None


@pytest.mark.parametrize(("score", "capped"), [(1.0, CAP), (0.2, 20.0)])
def test_an_unsafe_act_holds_its_part_down_and_no_other(score: float, capped: float) -> None:
    found = [finding("aviate", "major", score), finding("manage", "major", 1.0)]
    scores = part_scores(found, [unsafe("aviate"), unsafe("decide")])
    assert (scores["aviate"], scores["decide"], scores["manage"]) == (capped, CAP, 100.0)


def test_the_whole_is_the_weighted_mean_of_the_parts_that_were_graded() -> None:
    assert total({"aviate": 100.0, "decide": 0.0, "communicate": None}, unsafe=False) == 60.0    # 3 : 2
    assert total({"aviate": 100.0, "decide": 0.0}, unsafe=True) == CAP
    assert total({"aviate": 10.0}, unsafe=True) == 10.0
    assert total({"aviate": None}, unsafe=False) is None


def test_costs_add_up_to_what_is_missing_from_a_hundred() -> None:
    found = costs([finding("aviate", "critical", 0.0), finding("aviate", "major", 0.5),
                   finding("manage", "minor", 0.25), finding("manage", "major", None)])
    assert [each.cost for each in found] == [45.0, 15.0, 18.8, 0.0]    # shares of 75 and of 25 points
    parts = part_scores(found, ())
    missing = 100.0 - (total(parts, unsafe=False) or 0.0)
    assert sum(each.cost for each in found) == pytest.approx(missing, abs=0.2)
    assert sum(PART_WEIGHTS.values()) == 9.0
