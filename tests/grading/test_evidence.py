"""The evidence clock sees the panel and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from drill.airplane.failures import CATALOGUE
from drill.flight.events import Acted, Event, Failed, Trace
from drill.grading.evidence import PARTS, Evidence, evidence, implied_bank_deg
from drill.grading.timeline import timeline
from drill.language.meaning import Action, Call, Compare, Cover, Look, Transmit

from .builders import flown


def seen(events: list[Event]) -> Evidence | None:
    line = timeline(events)
    return evidence(line, line.onsets[0])


def failing(part: str, how: str, shown: Callable[[float], dict[str, float]], at: float = 100.0) -> list[Event]:
    """A level flight in which `part` fails at `at` and the panel shows `shown`."""
    return [Failed(at, "it", part, how),
            *flown(fails_at=None, seconds=700, bank=lambda t, follows: 0.0, shown=shown)]


@pytest.mark.parametrize(("knots", "bank"), [
    (90, 13.9), (100, 15.4), (110, 16.8), (120, 18.2), (140, 21.0), (150, 22.4),
])
def test_the_bank_of_a_standard_rate_turn_is_that_of_the_formula(knots: float, bank: float) -> None:
    # tan(bank) = rate x V / g with g 9.80665 m/s2 and 1 kt = 0.514444 m/s, at sea level
    assert implied_bank_deg(3.0, knots, 0.0) == pytest.approx(bank, abs=0.06)


def test_a_dead_gauge_is_evidence_once_a_cross_check_has_come_round_to_it() -> None:
    found = seen(flown(fails_at=120.0))
    assert found is not None
    assert 120.0 + 25.0 < found.t < 120.0 + 45.0
    assert "suction gauge" in found.words


def test_a_look_at_the_dead_gauge_is_evidence_at_once() -> None:
    found = seen(flown((130.0, Look("suction_gauge")), fails_at=120.0))
    assert found is not None
    assert found.t <= 131.0


def test_suction_inside_the_green_arc_is_no_evidence() -> None:
    # 4.5 to 5.5 inHg, FAA-H-8083-15B (the range from memory)
    healthy = failing("vacuum pump", "weakens", lambda t: {"suction_inhg": 4.6})
    assert seen(healthy) is None


def test_a_low_vacuum_light_is_evidence_before_the_gauge_is() -> None:
    lit = failing("vacuum pump", "shaft shears",
                  lambda t: {"suction_inhg": 0.0 if t > 100 else 5.0, "low_vacuum_light": float(t > 100)})
    found = seen(lit)
    assert found is not None
    assert "low-vacuum light" in found.words
    assert found.t < 110.0


def test_a_horizon_that_leans_away_from_the_turn_coordinator_is_evidence() -> None:
    leaning = failing("attitude indicator", "leans", lambda t: {"bank_deg": max(0.0, t - 100.0) * 0.05})
    found = seen(leaning)
    assert found is not None
    assert "attitude indicator" in found.words
    # 3 degrees a minute: six degrees apart after two minutes
    assert 100.0 + 120.0 <= found.t <= 100.0 + 140.0


def test_a_covered_horizon_can_no_longer_tell() -> None:
    leaning = [Failed(100.0, "it", "attitude indicator", "leans"),
               *flown((90.0, Cover("attitude_indicator")), fails_at=None, bank=lambda t, follows: 0.0,
                      shown=lambda t: {"bank_deg": max(0.0, t - 100.0) * 0.05})]
    assert seen(leaning) is None


def test_a_heading_indicator_more_than_ten_degrees_off_the_compass_in_steady_flight_is_evidence() -> None:
    drifting = failing("heading indicator", "drifts", lambda t: {"heading_deg": 240.0 + max(0.0, t - 100.0) * 0.1})
    found = seen(drifting)
    assert found is not None
    assert 200.0 <= found.t <= 240.0


def test_the_compass_is_not_asked_in_a_turn() -> None:
    turning = failing("heading indicator", "drifts",
                      lambda t: {"heading_deg": 200.0, "turn_rate_dps": 3.0, "bank_deg": 18.0})
    assert seen(turning) is None


def test_ten_degrees_are_counted_through_north() -> None:
    north = failing("heading indicator", "drifts", lambda t: {"heading_deg": 358.0, "compass_deg": 3.0})
    assert seen(north) is None


def test_a_flag_is_evidence_and_says_which() -> None:
    flagged = failing("turn coordinator", "loses power", lambda t: {"turn_flag": float(t >= 150.0)})
    found = seen(flagged)
    assert found is not None
    assert 150.0 < found.t <= 161.0
    assert "flag" in found.words


def test_the_low_voltage_light_is_evidence_of_a_dead_alternator() -> None:
    lit = failing("alternator", "quits", lambda t: {"low_voltage_light": float(t >= 200.0)})
    found = seen(lit)
    assert found is not None
    assert "low-voltage light" in found.words


def test_a_dead_turn_coordinator_without_a_flag_shows_nothing_in_straight_flight() -> None:
    silent = failing("turn coordinator", "rotor stops", lambda t: {"turn_rate_dps": 0.0})
    assert seen(silent) is None


def test_a_healthy_turn_entry_is_no_evidence() -> None:
    # The turn coordinator follows the horizon by a few seconds.
    def turn(t: float) -> dict[str, float]:
        in_turn, needle = 200.0 <= t <= 260.0, 204.0 <= t <= 264.0
        return {"bank_deg": 18.0 * in_turn, "turn_rate_dps": 3.0 * needle}
    assert seen(failing("attitude indicator", "leans", turn)) is None


LEANING = {"bank_deg": 12.0}


def leaning_at_104(*acts: tuple[float, Action]) -> list[Event]:
    return [Failed(100.0, "it", "attitude indicator", "leans"),
            *flown(*acts, fails_at=None, seconds=112, ending=None, bank=lambda t, follows: 0.0,
                   shown=lambda t: LEANING if t > 104.0 else {})]


def test_a_look_at_one_of_two_instruments_that_differ_is_no_evidence_by_itself() -> None:
    assert seen(leaning_at_104((110.0, Look("attitude_indicator")))) is None


def test_looks_at_both_soon_after_each_other_are_a_comparison() -> None:
    # 15 seconds: the author's choice
    both = (Look("turn_coordinator"), Look("attitude_indicator"))
    found = seen(leaning_at_104((101.0, both[0]), (110.0, both[1])))
    assert found is not None
    assert found.t == 110.0
    assert seen(leaning_at_104((90.0, both[0]), (110.0, both[1]))) is None


def test_a_look_at_the_whole_panel_brings_every_instrument_on_it() -> None:
    assert seen(leaning_at_104((110.0, Look("panel")))) is not None


@pytest.mark.parametrize("covered", ["attitude_indicator", "turn_coordinator"])
def test_instruments_that_differ_tell_nothing_while_one_of_them_is_covered(covered: str) -> None:
    events = [Failed(100.0, "it", "attitude indicator", "leans"),
              *flown((90.0, Cover(covered)), (110.0, Look("panel")), fails_at=None, bank=lambda t, follows: 0.0,
                     shown=lambda t: LEANING if t > 104.0 else {})]
    events = [replace(each, covered=(covered,)) if isinstance(each, Trace) and each.t >= 90.0 else each
              for each in events]
    assert seen(events) is None


def test_the_compass_can_show_no_drift_while_it_is_covered() -> None:
    drifting = failing("heading indicator", "drifts", lambda t: {"heading_deg": 240.0 + max(0.0, t - 100.0) * 0.1})
    hidden = [replace(each, covered=("magnetic_compass",)) if isinstance(each, Trace) else each for each in drifting]
    assert seen(hidden) is None


def test_a_light_is_not_seen_on_a_covered_gauge() -> None:
    # The low-vacuum light is read with the suction gauge: FIELDS_OF
    lit = [replace(each, covered=("suction_gauge",)) if isinstance(each, Trace) else each
           for each in failing("vacuum pump", "shaft shears", lambda t: {"low_vacuum_light": float(t > 100)})]
    assert seen(lit) is None


def test_a_deliberate_look_sees_suction_below_the_green_that_a_passing_glance_might_not() -> None:
    # green is 4.5 to 5.5 inHg: drill.airplane.dials
    def low(*acts: tuple[float, Action]) -> list[Event]:
        return [Failed(100.0, "it", "vacuum line", "leaks"),
                *flown(*acts, fails_at=None, bank=lambda t, follows: 0.0, shown=lambda t: {"suction_inhg": 4.3})]
    assert seen(low()) is None
    found = seen(low((150.0, Look("vacuum_system"))))
    assert found is not None
    assert found.t == 150.0


def test_the_clock_knows_the_signs_of_every_failure_that_there_is() -> None:
    assert {part for part, _ in CATALOGUE} <= PARTS


def test_a_part_that_the_clock_does_not_know_gives_no_sign() -> None:
    assert seen(failing("wing", "falls off", lambda t: {"suction_inhg": 0.0, "low_voltage_light": 1.0})) is None


def test_comparing_two_instruments_that_differ_is_evidence_at_once() -> None:
    events = [Failed(100.0, "it", "attitude indicator", "leans"),
              *flown((110.0, Compare(("attitude_indicator", "turn_coordinator"))), fails_at=None,
                     bank=lambda t, follows: 0.0, shown=lambda t: {"bank_deg": 12.0 if t > 104.0 else 0.0})]
    found = seen(events)
    assert found is not None
    assert found.t <= 111.0


def after_100(**broken: float) -> Callable[[float], dict[str, float]]:
    sound = {"airspeed_kt": 110.0, "vertical_speed_fpm": 30.0, "rpm": 2400.0, "volts": 28.0}
    return lambda t: sound | (broken if t > 100.0 else {})


@pytest.mark.parametrize(("part", "how", "broken", "words", "within_s"), [
    ("pitot tube", "blocked with its drain open", {"airspeed_kt": 0.0}, "less than an airplane flies at", 10.0),
    ("airspeed indicator", "sticks", {"airspeed_kt": 150.0}, "goes with the pitch", 30.0),
    ("static ports", "close", {"vertical_speed_fpm": 0.0}, "dead still", 40.0),
    ("vertical speed indicator", "is off zero", {"vertical_speed_fpm": 180.0}, "same climb", 80.0),
    ("altimeter", "sticks and jumps", {"vertical_speed_fpm": 500.0}, "altimeter stood still", 15.0),
    ("voltage regulator", "sticks high", {"volts": 32.0}, "30 volts", 40.0),
    ("standby attitude", "flags itself", {"standby_flag": 1.0}, "crossed out", 15.0),
    ("engine", "quits", {"rpm": 900.0}, "tachometer", 15.0),
    ("vacuum regulator", "sets too high", {"suction_inhg": 6.5}, "above its green arc", 40.0),
])
def test_each_kind_of_failure_has_its_sign_on_the_panel(part: str, how: str, broken: dict[str, float], words: str,
                                                        within_s: float) -> None:
    found = seen(failing(part, how, after_100(**broken)))
    assert found is not None
    assert words in found.words
    assert 100.0 < found.t <= 100.0 + within_s
    assert seen(failing(part, how, after_100())) is None


@pytest.mark.parametrize(("began", "t"), [(100.0, 125.0), (99.0, None)])
def test_a_dead_transmitter_is_known_by_a_call_that_was_begun_after_it_died_and_that_nobody_answers(
    began: float, t: float | None,
) -> None:
    said = Acted(110.0, Transmit("04W", Call()).as_labels(), began, heard=False)
    found = seen([Failed(100.0, "it", "transmitter", "goes dead"), *flown(fails_at=None, seconds=300), said])
    assert found == (None if t is None else Evidence(t, "a call was not answered"))
