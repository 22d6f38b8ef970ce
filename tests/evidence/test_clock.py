"""The evidence clock flown: what it names, how soon, and that healthy flight never alarms it."""

from __future__ import annotations

import time
from functools import lru_cache
from typing import Any

import numpy as np
import pytest

from drill.airplane.airframe import Airframe
from drill.airplane.failures import CATALOGUE
from drill.evidence.clock import watch
from drill.evidence.flown import ordinary, panels, worlds
from drill.evidence.keeping import known
from drill.evidence.measuring import DESIGN, Measured, healthy_hours, measure
from drill.evidence.readings import read
from drill.evidence.rules import RULES, seen
from drill.evidence.signatures import fitted, latent, right_names, told_apart
from drill.evidence.statistics import Statistics

LARKSPUR = Airframe()
SEEN = tuple(each[0].key for each in told_apart(LARKSPUR))   # one of each set that nothing tells apart


def statistics() -> Statistics:
    found = known(LARKSPUR)
    assert found is not None
    return found


@lru_cache(maxsize=2)
def flown(keys: tuple[tuple[str, str], ...], flights: int, air: str = "light") -> tuple[Measured, ...]:
    failures = [CATALOGUE[key] for key in keys]
    return tuple(each for start in range(0, len(failures), 8)
                 for each in measure(failures[start:start + 8], LARKSPUR, air, flights, statistics()))


PITOT_AND_STATIC = tuple(key for key in CATALOGUE if key[0] in (
    "pitot tube", "static ports", "static line", "airspeed indicator"))
QUICK = (("vacuum pump", "shaft shears"), ("attitude indicator", "leans"), ("heading indicator", "seizes"),
         ("magnetic compass", "is off"), ("pitot tube", "blocked with its drain open"),
         ("alternator", "quits"), ("engine", "loses power"), ("turn coordinator", "shows a turn that is not there"))


def quick(key: tuple[str, str]) -> Measured:
    return flown(QUICK, 6)[QUICK.index(key)]


@pytest.mark.long
@pytest.mark.parametrize("key", QUICK)
def test_what_fails_is_noticed_and_rightly_named(key: tuple[str, str]) -> None:
    found = quick(key)
    right, named = found.right(LARKSPUR)
    assert not found.false.any()
    assert np.isfinite(found.alarm_s).all()
    assert named >= 5
    assert right == named


@pytest.mark.overnight
@pytest.mark.parametrize(("air", "first_seed"), [
    ("calm", 71_000_000), ("light", 72_000_000), ("moderate", 73_000_000)])
def test_three_hundred_healthy_hours_raise_no_alarm(air: str, first_seed: int) -> None:
    """`python -m drill.evidence healthy procedures/airplanes/larkspur-180.yaml` prints the count, on any seeds."""
    found = healthy_hours(LARKSPUR, air, 300.0, first_seed, statistics())
    assert found.hours == 300.0
    assert (found.alarms, found.names, found.who) == (0, 0, ())


@pytest.mark.overnight
@pytest.mark.parametrize("key", [*SEEN, ("attitude indicator", "pitch bar sticks")])
def test_what_can_be_told_apart_is_named_rightly_in_ninety_five_of_a_hundred_flights(key: tuple[str, str]) -> None:
    """An altimeter that sticks and jumps is noticed each time and hardly ever named: what it moves for more than a
    moment is the vertical speed indicator's comparison too, and either name is right."""
    found = measure([CATALOGUE[key]], LARKSPUR, "light", 60, statistics())[0]
    right, named = found.right(LARKSPUR)
    assert right >= 0.95 * named


@pytest.mark.overnight
@pytest.mark.parametrize("air", ["calm", "light"])
@pytest.mark.parametrize("key", PITOT_AND_STATIC)
def test_pitot_and_static_are_not_taken_for_each_other_in_two_hundred_flights(key: tuple[str, str], air: str) -> None:
    """In calm air, level, nothing parts them, and both are named; in a climb, or in rough air, one of them is."""
    found = measure([CATALOGUE[key]], LARKSPUR, air, 200, statistics())[0]
    right, named = found.right(LARKSPUR)
    assert named >= 20
    assert right >= 0.95 * named


@pytest.mark.overnight
@pytest.mark.parametrize("key", [each.key for each in latent(LARKSPUR)])
def test_a_latent_failure_gives_no_evidence(key: tuple[str, str]) -> None:
    assert np.isnan(measure([CATALOGUE[key]], LARKSPUR, "light", 30, statistics())[0].alarm_s).all()


def test_the_names_that_are_right_are_the_catalogues() -> None:
    for failure in CATALOGUE.values():
        if not fitted(failure, LARKSPUR):
            continue
        known_as = right_names(failure, LARKSPUR)
        its_own = frozenset().union(*failure.named_right_as, *failure.also_right)
        assert not known_as or known_as & its_own, failure.key


def test_an_engine_near_idle_proves_nothing_of_pump_and_alternator() -> None:
    seconds = 400
    level = {name: values[-1:].repeat(seconds, axis=0) for name, values in panels(
        worlds(LARKSPUR, "calm")[0], [3], ordinary(LARKSPUR, [3], 70), 70).items()}
    idle = {name: np.full_like(level[name], value) for name, value in (
        ("rpm", 1000.0), ("amps", -20.0), ("suction_inhg", 3.3))}
    found = seen(read(level | idle, [3]), LARKSPUR)
    assert not found.any()
    works = read(level | idle | {"rpm": np.full_like(level["rpm"], 2200.0)}, [3])
    spoke = {RULES[place].name for place in np.flatnonzero(seen(works, LARKSPUR).any(axis=(0, 1)))}
    assert spoke == {"discharge", "suction low"}


@pytest.mark.parametrize(("climbs_ft", "spoke"), [(0.0, True), (60.0, True), (500.0, False)])
def test_an_airspeed_that_nothing_flies_at_is_a_pitots_unless_the_speed_has_gone_into_height(
    climbs_ft: float, spoke: bool,
) -> None:
    # 110 to 35 knots is some 450 feet of height
    seconds = 200
    level = {name: values[-1:].repeat(seconds, axis=0) for name, values in panels(
        worlds(LARKSPUR, "calm")[0], [3], ordinary(LARKSPUR, [3], 70), 70).items()}
    share = np.clip((np.arange(seconds) - 150.0) / 15.0, 0.0, 1.0)[:, None]
    zoom = level | {"airspeed_kt": 110.0 - 75.0 * share, "altitude_ft": 5000.0 + climbs_ft * share,
                    "pitch_deg": 0.0 * share, "rpm": 2200.0 + 0.0 * share, "vertical_speed_fpm": 0.0 * share}
    found = seen(read(zoom, [3]), LARKSPUR)
    assert found[:, 0, [rule.name for rule in RULES].index("no airspeed")].any() == spoke


def one_record(seconds: int) -> Any:
    seeds = [1]
    return read(panels(worlds(LARKSPUR, "light")[1], seeds, ordinary(LARKSPUR, seeds, seconds), seconds), seeds)


@pytest.mark.long
def test_half_an_hour_is_watched_in_a_part_of_a_second() -> None:
    readings, table = one_record(1800), statistics()
    watch(readings, LARKSPUR, table)
    began = time.process_time()
    watch(readings, LARKSPUR, table)
    assert time.process_time() - began < 0.5


def test_a_record_that_was_cut_off_was_read_the_same_way_up_to_there() -> None:
    readings, table = one_record(900), statistics()
    whole, part = watch(readings, LARKSPUR, table), watch(readings.part(0, 700), LARKSPUR, table)
    assert whole.ratios[:700] == pytest.approx(part.ratios, abs=1e-6)


def test_covered_instruments_tell_nothing() -> None:
    readings = one_record(400)
    shown = {name: values.copy() for name, values in readings.of.items()}
    hidden = read(shown, [1], {"attitude_indicator": np.ones((400, 1), dtype=bool)})
    assert np.isnan(hidden["bank_deg"]).all()
    assert (watch(hidden, LARKSPUR, statistics()).ratios[:, 0, 0] == 0.0).all()


def test_the_times_of_the_design_are_of_failures_that_there_are() -> None:
    assert set(DESIGN) <= set(CATALOGUE)


@pytest.mark.overnight
@pytest.mark.parametrize("key", DESIGN)
def test_what_fails_is_known_no_later_than_a_quarter_after_what_the_design_reckoned(key: tuple[str, str]) -> None:
    found = measure([CATALOGUE[key]], LARKSPUR, "light", 60, statistics())[0]
    times = [float(each) for each in DESIGN[key].split(" ")[0].split("/")]
    assert np.isfinite(found.alarm_s).all()
    assert np.median(found.alarm_s) <= 1.25 * times[len(times) // 2]
