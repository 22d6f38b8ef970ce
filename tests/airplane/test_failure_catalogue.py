"""The failures that can be asked for: what they are called, what they do, and that each can be seen somewhere."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane import CATALOGUE, Active, Controls, Faults, faults_at
from drill.airplane.constants import CLOG_S, CLOG_SHARE
from drill.airplane.controls import BY_TURN, HOLD_THROTTLE
from drill.language.meaning import EQUIPMENT, IN_SIGHT

from .flights import single, wrapped

KEYS = sorted(CATALOGUE)
ASKED_FOR = {
    ("vacuum pump", "shaft shears"), ("vacuum pump", "weakens"), ("vacuum filter", "clogs"), ("vacuum line", "leaks"),
    ("attitude indicator", "leans"), ("attitude indicator", "bearing wears out"), ("heading indicator", "drifts"),
    ("heading indicator", "seizes"), ("turn coordinator", "loses power"), ("turn coordinator", "rotor stops"),
    ("turn coordinator", "shows a turn that is not there"), ("suction gauge", "sticks"), ("magnetic compass", "sticks"),
    ("alternator", "quits"),
}


def test_the_catalogue_has_the_failures_of_gyros_vacuum_compass_and_alternator() -> None:
    assert set(CATALOGUE) >= ASKED_FOR


@pytest.mark.parametrize("key", KEYS, ids=" ".join)
def test_names_are_those_that_can_be_said_and_looked_at(key: tuple[str, str]) -> None:
    failure = CATALOGUE[key]
    assert failure.key == key
    for names in (*failure.named_right_as, *failure.also_right):
        assert names
        assert names <= set(EQUIPMENT)
    assert failure.revealed_by
    assert set(failure.revealed_by) <= set(IN_SIGHT)
    assert failure.says.endswith(".")
    assert failure.seen.endswith(".")


def test_losing_both_vacuum_gyros_is_a_right_name_for_a_dead_pump_and_the_horizon_alone_a_good_report() -> None:
    pump = CATALOGUE["vacuum pump", "shaft shears"]
    assert frozenset({"vacuum_system"}) in pump.named_right_as
    assert frozenset({"attitude_indicator", "heading_indicator"}) in pump.named_right_as
    assert frozenset({"attitude_indicator"}) in pump.also_right


@pytest.mark.parametrize("key", KEYS, ids=" ".join)
def test_nothing_is_broken_before_the_onset_or_once_healed(key: tuple[str, str]) -> None:
    assert faults_at([Active(CATALOGUE[key], None), (CATALOGUE[key], -3.0, -1.0, 0.5)]) == Faults()
    assert faults_at([Active(CATALOGUE[key], 3600.0)]) != Faults()


def test_a_filter_clogs_little_by_little_and_as_far_as_its_severity_says() -> None:
    filter_ = CATALOGUE["vacuum filter", "clogs"]
    assert faults_at([Active(filter_, CLOG_S / 2)]).clog == pytest.approx(CLOG_SHARE / 2)
    assert faults_at([Active(filter_, 2 * CLOG_S, severity=0.5)]).clog == pytest.approx(CLOG_SHARE / 2)


def test_sides_turn_drifts_round() -> None:
    lean = CATALOGUE["attitude indicator", "leans"]
    right, left = faults_at([Active(lean, 5.0, 1.0)]), faults_at([Active(lean, 5.0, -1.0)])
    assert right.attitude_drift_dpm == -left.attitude_drift_dpm > 0.0


def test_two_failures_of_one_pump_leave_the_worse() -> None:
    weak, sheared = CATALOGUE["vacuum pump", "weakens"], CATALOGUE["vacuum pump", "shaft shears"]
    assert faults_at([Active(weak, 9.0), Active(sheared, 1.0)]).pump == 0.0
    assert faults_at([Active(sheared, 1.0), Active(weak, 9.0)]).pump == 0.0


@given(st.lists(st.tuples(st.sampled_from(KEYS), st.floats(0.0, 7200.0), st.sampled_from([-1.0, 1.0]),
                          st.floats(0.0, 1.0)), max_size=6))
def test_any_combination_gives_faults_within_their_range(
    chosen: list[tuple[tuple[str, str], float, float, float]],
) -> None:
    faults = faults_at([(CATALOGUE[key], seconds, side, severity) for key, seconds, side, severity in chosen])
    for field in fields(Faults):
        value = getattr(faults, field.name)
        assert np.isfinite(value)
        if field.name not in ("attitude_drift_dpm", "heading_drift_dph", "turn_bias_dps", "attitude_friction"):
            assert 0.0 <= value <= 1.0


def test_a_severity_or_side_that_makes_no_sense_is_refused_with_the_failures_name() -> None:
    lean = CATALOGUE["attitude indicator", "leans"]
    with pytest.raises(ValueError, match="attitude indicator 'leans' is 3"):
        faults_at([Active(lean, 1.0, 1.0, 3.0)])
    with pytest.raises(ValueError, match="-1 for left, 1 for right"):
        faults_at([Active(lean, 1.0, 0.0, 1.0)])


EVIDENCE = {
    ("vacuum pump", "shaft shears"): ("suction", -4.0), ("vacuum pump", "weakens"): ("suction", -0.8),
    ("vacuum filter", "clogs"): ("suction", -2.0), ("vacuum line", "leaks"): ("suction", -1.5),
    ("attitude indicator", "leans"): ("lean", 5.0), ("attitude indicator", "bearing wears out"): ("lean", 5.0),
    ("heading indicator", "drifts"): ("heading", 4.0), ("heading indicator", "seizes"): ("heading", 20.0),
    ("turn coordinator", "loses power"): ("turn", 1.5), ("turn coordinator", "rotor stops"): ("turn", 1.5),
    ("turn coordinator", "shows a turn that is not there"): ("turn", 0.4),
    ("magnetic compass", "sticks"): ("compass", 10.0), ("alternator", "quits"): ("amps", -10.0),
}


def readings(key: tuple[str, str] | None) -> dict[str, float]:
    """Extremes over five minutes with a turn and less power at the end, well after the onset of a failure."""
    old = 900.0
    flight = single(seed=4)
    worst = {"suction": 9.0, "lean": 0.0, "heading": 0.0, "turn": 0.0, "compass": 0.0, "amps": 99.0}
    for second in range(300):
        turns = second > 200
        flight.controls = Controls(bank_by=BY_TURN if turns else 0.0, heading_deg=90.0 if turns else 0.0,
                                   power=HOLD_THROTTLE if turns else 0.0, throttle=0.15)
        flight.faults = faults_at([] if key is None else [Active(CATALOGUE[key], old + second)])
        shown, true = flight.fly(1.0).panel, flight.truth
        worst["suction"] = min(worst["suction"], shown.suction_inhg)
        worst["amps"] = min(worst["amps"], shown.amps)
        for name, error in (("lean", shown.bank_deg - true.bank_deg), ("heading", shown.heading_deg - true.heading_deg),
                            ("turn", shown.turn_rate_dps - true.turn_rate_dps),
                            ("compass", shown.compass_deg - true.heading_deg)):
            worst[name] = max(worst[name], abs(float(wrapped(error))))
    return worst


@pytest.mark.parametrize("key", sorted(EVIDENCE), ids=" ".join)
def test_each_failure_moves_a_reading_away_from_what_a_healthy_airplane_shows(key: tuple[str, str]) -> None:
    reading, change = EVIDENCE[key]
    moved = readings(key)[reading] - readings(None)[reading]
    assert moved * np.sign(change) > abs(change)
