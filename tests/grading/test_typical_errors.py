"""Typical errors with a failed instrument, found in what was done; and what is no such error."""

from __future__ import annotations

from typing import Literal

import pytest

from drill.airplane.airframe import Airframe
from drill.clean import Clean
from drill.flight.events import Acted, Event, Failed, Seated
from drill.grading import Finding, grade
from drill.language.meaning import (
    Action,
    Call,
    Compare,
    Cover,
    Diagnose,
    FlyBy,
    LevelWings,
    Look,
    StopTurn,
    Transmit,
    Turn,
)
from drill.scenario.model import Airplane

from .builders import call, flown, scenario

PAIR = "Trust no pair that shares its source"
CHASED = "Do not chase the failed gyro"
TALKED = "Fly first, then talk: nothing running away"
OPERATING = Call(words="roger", callsign="given")


def findings(events: list[Event], **of_scenario: object) -> list[Finding]:
    return list(grade(scenario((), **of_scenario), events, 1).findings)


def of(item: str, *acts: tuple[float, Action], seconds: int = 900, **of_flight: object) -> Finding | None:
    events = flown(*acts, seconds=seconds, **of_flight)  # type: ignore[arg-type]
    return next((each for each in findings(events) if each.item == item), None)


def leaning(t: float, follows: bool) -> float:
    """The true bank: 20 degrees right from 8:00 on, whatever is flown by."""
    return 20.0 if t >= 480.0 else 0.0


# --- two instruments on one source -------------------------------------------------------------------


def test_two_gyros_on_one_pump_that_are_compared_and_flown_by_are_a_pair_believed() -> None:
    found = of(PAIR, (300.0, Compare(("attitude_indicator", "heading_indicator"))))
    assert found is not None
    assert (found.verdict, found.at_s, found.score, found.part) == ("remark", 300.0, None, "recognize")
    assert "compared the attitude indicator and the heading indicator, and flew on by them" in found.reason
    assert "both run on the vacuum pump" in found.reason
    assert "failed at 2:00" in found.reason
    assert "compare the attitude indicator with the turn coordinator" in found.better
    assert found.cost == 0.0


@pytest.mark.parametrize(("act", "words"), [
    (Diagnose(("turn_coordinator",)), "took the turn coordinator for the one that had failed"),
    (Diagnose(("magnetic_compass",)), "took the magnetic compass for the one that had failed"),
    (Cover("turn_coordinator"), "covered the turn coordinator, which was right"),
])
def test_calling_the_one_that_disagrees_failed_is_believing_the_pair(act: Action, words: str) -> None:
    found = of(PAIR, (300.0, act))
    assert found is not None
    assert words in found.reason


@pytest.mark.parametrize("act", [
    Compare(("attitude_indicator", "turn_coordinator")),
    Compare(("attitude_indicator", "heading_indicator", "turn_coordinator")),
    Compare(("attitude_indicator",)), Look("attitude_indicator"), Diagnose(("vacuum_system",)),
    Diagnose(("attitude_indicator", "turn_coordinator")), Diagnose(("alternator",)), Cover("attitude_indicator"),
])
def test_what_sets_sources_against_each_other_or_names_what_failed_is_no_such_error(act: Action) -> None:
    assert of(PAIR, (300.0, act)) is None


def test_a_pair_that_is_left_at_once_was_not_believed() -> None:
    assert of(PAIR, (300.0, Compare(("attitude_indicator", "heading_indicator"))),
              (310.0, FlyBy("partial_panel"))) is None


def test_before_anything_showed_a_pair_may_be_compared() -> None:
    assert of(PAIR, (120.0, Compare(("attitude_indicator", "heading_indicator")))) is None
    assert of(PAIR, (300.0, Compare(("attitude_indicator", "heading_indicator"))), fails_at=None) is None


def test_where_the_heading_indicator_is_electric_the_two_are_no_pair_on_one_source() -> None:
    airplane = Airplane("electric", Clean("Electric"), Airframe(heading_drive="electric"), (), "")
    events = flown((300.0, Compare(("attitude_indicator", "heading_indicator"))))
    assert all(each.item != PAIR for each in findings(events, airplane=airplane))


# --- steering by the instrument that failed ----------------------------------------------------------


@pytest.mark.parametrize("act", [LevelWings(), StopTurn(), Turn("left", heading_deg=240)])
def test_ordering_the_bank_by_a_horizon_that_is_off_is_chasing_it(act: Action) -> None:
    found = of(CHASED, (500.0, act), (520.0, act), bank=leaning)
    assert found is not None
    assert (found.verdict, found.at_s, found.score) == ("remark", 499.0, None)
    assert "At 8:19, 8:39 the bank was ordered" in found.reason
    assert "the airplane had 20 degrees of right bank" in found.reason
    assert found.better.startswith("fly partial panel")


@pytest.mark.parametrize(("on", "who"), [(0.0, "the hands"), (1.0, "the autopilot")])
def test_whoever_flew_by_the_horizon_that_was_off_is_named(on: float, who: str) -> None:
    found = of(CHASED, (500.0, Turn("left", heading_deg=240)), bank=leaning, shown=lambda t: {"autopilot_on": on})
    assert found is not None
    assert f"while {who} flew by the attitude indicator" in found.reason


def test_on_partial_panel_an_order_is_no_chase() -> None:
    assert of(CHASED, (400.0, FlyBy("partial_panel")), (500.0, LevelWings()), bank=leaning) is None


def test_while_the_horizon_is_still_right_an_order_by_it_is_no_chase() -> None:
    assert of(CHASED, (200.0, LevelWings()), bank=lambda t, follows: 0.0) is None


def test_orders_that_are_many_are_told_in_short() -> None:
    found = of(CHASED, *((500.0 + 10.0 * place, LevelWings()) for place in range(8)), bank=leaning)
    assert found is not None
    assert "At 8:19, 8:29, 8:39, 8:49, 8:59, 9:09 and later" in found.reason


# --- talking before flying ---------------------------------------------------------------------------


def talk(began: float, ended: float, **of_flight: object) -> Finding | None:
    events = flown(**of_flight)  # type: ignore[arg-type]
    said = Acted(ended, Transmit("roger", OPERATING).as_labels(), began)
    found = findings(sorted([*events, said], key=lambda event: event.t))
    return next((each for each in found if each.item == TALKED), None)


def rolling(t: float, follows: bool) -> float:
    """The true bank: a degree more each second from 5:00 on."""
    return max(0.0, t - 300.0)


def test_a_call_begun_while_the_bank_grows_is_talking_before_flying() -> None:
    found = talk(330.0, 340.0, bank=rolling)
    assert found is not None
    assert (found.verdict, found.at_s, found.score, found.part) == ("remark", 330.0, None, "communicate")
    assert "took 10 s" in found.reason
    assert "the bank grew from 30 to 40 degrees" in found.reason
    assert found.better.startswith("level wings")


@pytest.mark.parametrize(("began", "ended"), [(310.0, 322.0), (325.0, 336.0), (330.0, 334.0), (200.0, 210.0)])
def test_a_call_in_a_small_bank_or_one_that_hardly_grows_is_none(began: float, ended: float) -> None:
    assert talk(began, ended, bank=rolling) is None


def sinking(t: float) -> float:
    """The altitude: 20 ft less each second from 5:00 on."""
    return 5000.0 - 20.0 * max(0.0, t - 300.0)


@pytest.mark.parametrize(("began", "ended", "words"), [
    (311.0, 316.0, "from 220 to 320 feet off its altitude"), (320.0, 330.0, "from 400 to 600 feet off its altitude"),
    (310.0, 320.0, ""), (312.0, 316.0, ""),
])
def test_a_call_begun_while_the_altitude_runs_away_is_talking_before_flying(
    began: float, ended: float, words: str,
) -> None:
    found = talk(began, ended, altitude=sinking)
    assert (words in found.reason) if found is not None else words == ""


def test_only_the_first_such_call_is_told() -> None:
    events = flown(call(420.0), call(440.0), bank=rolling)
    assert sum(each.item == TALKED for each in findings(events)) <= 1


# --- the cross-check in words ------------------------------------------------------------------------


def looked(*looks: tuple[float, str], before: Literal["panel", "words"] | None = "words",
           act_s: float | None = 600.0) -> Finding | None:
    acts: list[tuple[float, Action]] = [(t, Look(at)) for t, at in looks]
    if act_s is not None:
        acts.append((act_s, Cover("attitude_indicator")))
    events = [*([Seated(0.0, before)] if before is not None else []), *flown(*acts)]
    return next((each for each in findings(events) if each.item in ("Fixation", "Omission", "Emphasis")), None)


def test_what_only_a_look_shows_and_nobody_looked_at_is_omission() -> None:
    found = looked((300.0, "altimeter"), (350.0, "turn_coordinator"))
    assert found is not None
    assert (found.item, found.verdict, found.score) == ("Omission", "remark", None)
    assert "suction gauge" in found.reason
    assert "never looked at" in found.reason
    assert "8 min" in found.reason or "7 min" in found.reason
    assert "ch. 6" in found.source


STARES = [(310.0 + 25.0 * place, "attitude_indicator") for place in range(4)]


def test_looks_at_one_instrument_and_no_other_are_fixation() -> None:
    found = looked((124.0, "magnetic_compass"), *STARES)
    assert found is not None
    assert (found.item, found.at_s) == ("Fixation", 310.0)
    assert "From 5:10 to 6:25 the attitude indicator was looked at 4 times, and nothing else." in found.reason


def test_a_look_between_is_no_fixation() -> None:
    assert looked(*sorted([(124.0, "magnetic_compass"), *STARES[:3], (340.0, "altimeter")])) is None


def test_most_looks_on_one_instrument_are_emphasis() -> None:
    looks = sorted([*STARES, (320.0, "altimeter"), (124.0, "magnetic_compass")])
    found = looked(*looks)
    assert found is not None
    assert found.item == "Emphasis"
    assert "Of 6 looks 4 went to the attitude indicator alone" in found.reason


@pytest.mark.parametrize("before", ["panel", None])
def test_before_a_drawn_panel_nobody_knows_where_the_eyes_were(before: Literal["panel"] | None) -> None:
    assert looked((300.0, "altimeter"), before=before) is None
    assert looked((124.0, "magnetic_compass"), *STARES, before=before) is None


def test_a_flight_that_changed_from_words_to_a_panel_is_not_judged_by_its_looks() -> None:
    events = [Seated(0.0, "words"), Seated(400.0, "panel"), *flown((600.0, Cover("attitude_indicator")))]
    assert all(each.item != "Omission" for each in findings(events))
    events = [Seated(0.0, "panel"), Seated(100.0, "words"), *flown((600.0, Cover("attitude_indicator")))]
    assert any(each.item == "Omission" for each in findings(events))


def test_who_acted_within_three_minutes_omitted_nothing() -> None:
    assert looked(act_s=250.0) is None


def test_an_act_that_never_came_is_told_so() -> None:
    found = looked((300.0, "altimeter"), act_s=None)
    assert found is not None
    assert "the first act on it never came" in found.reason


def test_typical_errors_cost_nothing_by_themselves() -> None:
    acts = ((300.0, Compare(("attitude_indicator", "heading_indicator"))), (500.0, LevelWings()))
    events = flown(*acts, bank=leaning)
    graded = grade(scenario(()), events, 1)
    assert {each.item for each in graded.findings} >= {PAIR, CHASED}
    assert all(each.cost == 0.0 and each.score is None for each in graded.findings if each.item in (PAIR, CHASED))


def test_a_failure_of_another_part_has_no_pair() -> None:
    events = [each if not isinstance(each, Failed) else Failed(each.t, "needle", "turn coordinator", "loses power")
              for each in flown((300.0, Compare(("attitude_indicator", "heading_indicator"))))]
    assert all(each.item != PAIR for each in findings(events))
