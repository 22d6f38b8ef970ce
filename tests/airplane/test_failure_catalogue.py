"""The failures that can be asked for: what they are called, what they do, and that each can be seen somewhere."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane import CATALOGUE, Active, Airframe, Controls, Failure, Faults, faults_at
from drill.airplane.constants import CLOG_S, CLOG_SHARE
from drill.airplane.controls import BY_COMPASS, BY_PRESSURE, BY_TURN, HOLD_THROTTLE
from drill.airplane.failure_flights import fly
from drill.airplane.failures import Effect
from drill.language.meaning import EQUIPMENT, IN_SIGHT

from .flights import single, wrapped

KEYS = sorted(CATALOGUE)
ASKED_FOR = {
    ("vacuum pump", "shaft shears"), ("vacuum pump", "weakens"), ("vacuum filter", "clogs"), ("vacuum line", "leaks"),
    ("attitude indicator", "leans"), ("attitude indicator", "bearing wears out"), ("heading indicator", "drifts"),
    ("heading indicator", "seizes"), ("turn coordinator", "loses power"), ("turn coordinator", "rotor stops"),
    ("turn coordinator", "shows a turn that is not there"), ("suction gauge", "sticks"), ("magnetic compass", "sticks"),
    ("alternator", "quits"), ("attitude indicator", "rotor stops"), ("heading indicator", "rotor stops"),
    ("low vacuum light", "does not light"), ("standby vacuum", "does not work"),
    ("vacuum regulator", "sets too low"), ("vacuum regulator", "sets too high"),
}


def test_every_condition_of_a_part_belongs_to_a_failure_that_can_be_asked_for() -> None:
    touched = {effect.field for failure in CATALOGUE.values() for effect in failure.effects}
    assert touched == {field.name for field in fields(Faults)}


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


def made(field: str, worst: float, *, sided: bool = False) -> Failure:
    """A failure of a part that acts on any field."""
    return replace(CATALOGUE["vacuum pump", "weakens"], effects=(Effect(field, worst, sided=sided, graded=True),))


@pytest.mark.parametrize("field", [field.name for field in fields(Faults)])
@pytest.mark.parametrize("away", [-0.5, 0.5])
def test_two_failures_of_one_part_leave_the_worse_whatever_the_part(field: str, away: float) -> None:
    healthy = getattr(Faults(), field)
    bad, worse = made(field, healthy + away / 2.0), made(field, healthy + away)
    for both in ([bad, worse], [worse, bad]):
        assert getattr(faults_at([Active(each, 1.0) for each in both]), field) == pytest.approx(healthy + away)


@pytest.mark.parametrize("field", [field.name for field in fields(Faults)])
def test_failures_with_a_side_add_up_or_cancel(field: str) -> None:
    healthy, one = getattr(Faults(), field), made(field, getattr(Faults(), field) + 0.25, sided=True)
    for sides, total in (((1.0, 1.0), 0.5), ((-1.0, -1.0), -0.5), ((1.0, -1.0), 0.0)):
        found = getattr(faults_at([Active(one, 1.0, side) for side in sides]), field)
        assert found == pytest.approx(healthy + total)


@given(st.lists(st.tuples(st.sampled_from(KEYS), st.floats(0.0, 7200.0), st.sampled_from([-1.0, 1.0]),
                          st.floats(0.0, 1.0)), max_size=6))
def test_any_combination_gives_faults_within_their_range(
    chosen: list[tuple[tuple[str, str], float, float, float]],
) -> None:
    faults = faults_at([(CATALOGUE[key], seconds, side, severity) for key, seconds, side, severity in chosen])
    effects = [effect for key, _, _, _ in chosen for effect in CATALOGUE[key].effects]
    for field in fields(Faults):
        value, healthy = getattr(faults, field.name), float(field.default)  # type: ignore[arg-type]
        mine = [each for each in effects if each.field == field.name]
        sides = sum(abs(each.worst - healthy) for each in mine if each.sided)
        reached = [healthy, *(each.worst for each in mine if not each.sided)]
        assert min(reached) - sides <= value <= max(reached) + sides


def test_a_severity_or_side_that_makes_no_sense_is_refused_with_the_failures_name() -> None:
    lean = CATALOGUE["attitude indicator", "leans"]
    with pytest.raises(ValueError, match="attitude indicator 'leans' is 3"):
        faults_at([Active(lean, 1.0, 1.0, 3.0)])
    with pytest.raises(ValueError, match="-1 for left, 1 for right"):
        faults_at([Active(lean, 1.0, 0.0, 1.0)])


EVIDENCE = {
    ("vacuum pump", "shaft shears"): ("cruise suction", -4.0), ("vacuum pump", "weakens"): ("suction", -0.8),
    ("vacuum filter", "clogs"): ("suction", -2.0), ("vacuum line", "leaks"): ("suction", -1.5),
    ("attitude indicator", "leans"): ("lean", 5.0), ("attitude indicator", "bearing wears out"): ("lean", 5.0),
    ("heading indicator", "drifts"): ("heading", 4.0), ("heading indicator", "seizes"): ("heading", 20.0),
    ("turn coordinator", "loses power"): ("turn", 1.5), ("turn coordinator", "rotor stops"): ("turn", 1.5),
    ("turn coordinator", "shows a turn that is not there"): ("turn", 0.4),
    ("magnetic compass", "sticks"): ("compass", 10.0), ("alternator", "quits"): ("amps", -10.0),
    ("attitude indicator", "rotor stops"): ("lean", 5.0), ("heading indicator", "rotor stops"): ("heading", 10.0),
    ("vacuum regulator", "sets too low"): ("cruise suction", -1.2),
    ("vacuum regulator", "sets too high"): ("high suction", 1.0),
}
SLOW = {("attitude indicator", "rotor stops"), ("heading indicator", "rotor stops")}
LATENT = {("suction gauge", "sticks"), ("low vacuum light", "does not light"), ("standby vacuum", "does not work")}
WAITING = {"suction_gauge", "low_vacuum_light", "standby_vacuum", "battery_capacity", "low_voltage_light",
           "transmitter", "autopilot_runs"}
"""Conditions that no reading shows before another failure, before somebody is called, or once it is switched off."""


@pytest.mark.long
def test_every_failure_is_to_be_seen_by_itself_or_waits_for_another() -> None:
    failures = [CATALOGUE[key] for key in KEYS]
    for failure, seen in zip(failures, fly(failures), strict=True):
        waits = {effect.field for effect in failure.effects} <= WAITING
        assert bool(seen.differing()) is not waits, failure.key


@cache
def readings(key: tuple[str, str] | None) -> dict[str, float]:
    """Extremes over minutes with a turn and less power at the end; the failure is long past its onset."""
    old = 900.0
    minutes = 5 if key not in SLOW else 11
    flight = single(seed=4)
    worst = {"suction": 9.0, "cruise suction": 9.0, "high suction": 0.0, "lean": 0.0, "heading": 0.0, "turn": 0.0,
             "compass": 0.0, "amps": 99.0}
    for second in range(60 * minutes):
        turns = second > 60 * minutes - 100
        flight.controls = Controls(bank_by=BY_TURN if turns else 0.0, heading_deg=90.0 if turns else 0.0,
                                   power=HOLD_THROTTLE if turns else 0.0, throttle=0.15)
        flight.faults = faults_at([] if key is None else [Active(CATALOGUE[key], old + second)])
        shown, true = flight.fly(1.0).panel, flight.truth
        worst["suction"] = min(worst["suction"], shown.suction_inhg)
        worst["cruise suction"] = worst["cruise suction"] if turns else shown.suction_inhg
        worst["high suction"] = max(worst["high suction"], shown.suction_inhg)
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


@pytest.mark.parametrize("key", sorted(LATENT), ids=" ".join)
def test_a_latent_failure_changes_nothing_until_the_suction_goes(key: tuple[str, str]) -> None:
    frame = Airframe(low_vacuum_light_fitted=True, standby_vacuum_fitted=True)
    latent, sheared = Active(CATALOGUE[key], 60.0), Active(CATALOGUE["vacuum pump", "shaft shears"], 0.0)

    def shown(*active: Active, standby: float = 0.0) -> tuple[float, float]:
        flight = single(airframe=frame, faults=faults_at(active), controls=Controls(standby_vacuum=standby)).fly(20.0)
        return flight.panel.suction_inhg, flight.panel.low_vacuum_light

    assert shown(latent) == shown()
    assert any(shown(sheared, standby=pump) != shown(sheared, latent, standby=pump) for pump in (0.0, 1.0))


def test_a_dead_standby_pump_does_not_bring_the_suction_back_and_a_dead_bulb_stays_dark() -> None:
    frame = Airframe(low_vacuum_light_fitted=True, standby_vacuum_fitted=True)
    sheared = Active(CATALOGUE["vacuum pump", "shaft shears"], 0.0)
    for key, suction, light in ((None, 4.5, 0.0), (("standby vacuum", "does not work"), 0.0, 1.0)):
        faults = faults_at([sheared, *([Active(CATALOGUE[key], 0.0)] if key else [])])
        shown = single(airframe=frame, faults=faults, controls=Controls(standby_vacuum=1.0)).fly(30.0).panel
        assert shown.suction_inhg == pytest.approx(suction, abs=0.1)
        assert shown.low_vacuum_light == light
    dark = faults_at([sheared, Active(CATALOGUE["low vacuum light", "does not light"], 0.0)])
    assert single(airframe=frame, faults=dark).fly(30.0).panel.low_vacuum_light == 0.0


def test_a_horizon_whose_rotor_stops_leans_with_good_suction_and_a_good_heading_indicator() -> None:
    faults = faults_at([Active(CATALOGUE["attitude indicator", "rotor stops"], 0.0)])
    orders = Controls(bank_by=BY_TURN, heading_by=BY_COMPASS, pitch_by=BY_PRESSURE)
    flight = single(seed=2, faults=faults, controls=orders).fly(480.0)
    assert flight.panel.suction_inhg == pytest.approx(5.0)
    assert abs(float(wrapped(flight.panel.bank_deg - flight.truth.bank_deg))) > 15.0
    assert abs(float(wrapped(flight.panel.heading_deg - flight.truth.heading_deg))) < 5.0
