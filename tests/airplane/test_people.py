"""Simulated pilots who lose their horizon, against the published studies of pilots who did."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from drill.airplane import FLOATS, Controls, Panel
from drill.airplane.__main__ import main
from drill.airplane.airframe import Airframe
from drill.airplane.arith import ARRAYS
from drill.airplane.controls import BY_ATTITUDE, BY_COMPASS, BY_HEADING_INDICATOR, BY_STANDBY, BY_TURN
from drill.airplane.people import (
    PEOPLE,
    Cockpit,
    Conflicts,
    Impressions,
    Mind,
    Pilots,
    conflicts,
    differences,
    doubt,
    flies_by,
    pilots,
    settled,
    think,
)
from drill.airplane.people_studies import (
    COUNTS,
    GROUPS,
    RECOGNIZED_MIN,
    Outcome,
    exact_interval,
    fly,
    fly_all,
    misses,
    table,
)
from drill.scenario import load_airplane
from drill.scenario.shelf import procedures

NEEDLE = Airframe()
STANDBY = Airframe(turn_coordinator_fitted=False, standby_attitude_fitted=True)
BOTH = Airframe(standby_attitude_fitted=True)
QUIET = Conflicts(*(0.0 for _ in Conflicts._fields))


def panel(**shown: Any) -> Panel:
    """Straight and level at 5,000 ft and 110 kt, no standby horizon, but for what is `shown`."""
    level: dict[str, Any] = {field.name: 0.0 for field in fields(Panel)}
    return Panel(**(level | {"airspeed_kt": 110.0, "altitude_ft": 5000.0, "standby_flag": 1.0} | shown))


def felt(frame: Airframe = NEEDLE, card_dps: float = 0.0, load_g: float = 1.0, **shown: Any) -> Conflicts:
    return conflicts(differences(FLOATS, frame, panel(**shown), Controls(), card_dps, load_g))


def test_nothing_contradicts_a_horizon_in_level_flight() -> None:
    assert max(felt()) == 0.0


def test_a_standard_rate_turn_at_its_own_bank_contradicts_nothing() -> None:
    # 110 KIAS at 5,000 ft is 119.6 KTAS by the pilots' rule; tan(bank) = omega V / g gives 18.2 deg at 120 KTAS.
    assert max(felt(bank_deg=18.2, turn_rate_dps=3.0, card_dps=3.0, load_g=1.05)) < 0.01


def test_a_leaning_horizon_is_contradicted_by_a_needle_and_a_card_that_show_straight_flight() -> None:
    # The handbook pits gyro air, electric and static sources against each other: FAA-H-8083-15B ch. 11.
    seen = felt(bank_deg=15.0)
    assert seen.needle > 0.8
    assert seen.card > 0.8
    assert seen.altitude == seen.airspeed == seen.standby == 0.0


def test_half_a_standard_rate_within_tolerance_is_hardly_noted() -> None:
    assert felt(turn_rate_dps=0.75, card_dps=0.75).needle == pytest.approx(1.0 / 17.0)
    assert felt(turn_rate_dps=1.5).needle == pytest.approx(0.5)


def test_what_is_not_fitted_or_shows_its_flag_contradicts_nothing() -> None:
    assert felt(turn_rate_dps=6.0, turn_flag=1.0).needle == 0.0
    assert felt(STANDBY, turn_rate_dps=6.0).needle == 0.0
    assert felt(BOTH, standby_bank_deg=40.0, standby_flag=1.0).standby == 0.0
    assert felt(NEEDLE, standby_bank_deg=40.0, standby_flag=0.0).standby == 0.0
    assert felt(BOTH, standby_bank_deg=40.0, standby_flag=0.0).standby > 0.99


def test_climbing_towards_the_cleared_altitude_contradicts_nothing_and_leaving_it_does() -> None:
    assert felt(altitude_ft=4000.0, vertical_speed_fpm=900.0).altitude == 0.0
    assert felt(altitude_ft=4800.0, vertical_speed_fpm=-900.0).altitude > 0.9


@given(st.builds(Conflicts, *(st.floats(0.0, 1.0) for _ in Conflicts._fields)), st.sampled_from(Conflicts._fields),
       st.booleans(), st.sampled_from([NEEDLE, STANDBY, BOTH]))
@settings(max_examples=60)
def test_more_contradiction_never_means_less_doubt(seen: Conflicts, more: str, moving: bool, frame: Airframe) -> None:
    least, most = doubt(FLOATS, frame, seen, moving), doubt(FLOATS, frame, seen._replace(**{more: 1.0}), moving)
    assert 0.0 <= least <= most + 1e-12 <= 1.0


def test_each_independent_source_makes_the_horizon_more_doubtful() -> None:
    needle = doubt(FLOATS, NEEDLE, QUIET._replace(needle=1.0), moving=False)
    heading = doubt(FLOATS, NEEDLE, QUIET._replace(needle=1.0, card=1.0), moving=False)
    every = doubt(FLOATS, BOTH, QUIET._replace(needle=1.0, card=1.0, standby=1.0), moving=False)
    assert 0.0 < needle < heading < every


def test_the_seat_tells_nothing_in_a_simulator_that_stands_still() -> None:
    seen = QUIET._replace(seat=1.0)
    assert doubt(FLOATS, NEEDLE, seen, moving=False) == 0.0 < doubt(FLOATS, NEEDLE, seen, moving=True)


def test_a_pilot_is_the_same_whoever_else_flies() -> None:
    alone, among = pilots(PEOPLE, range(5, 6)), pilots(PEOPLE, range(8))
    for field in fields(Pilots):
        assert np.array_equal(getattr(alone, field.name)[0], getattr(among, field.name)[5])


CERTAIN = Pilots(np.full(2, 5.0), np.full(2, 0.5), np.full((2, 64), 0.2), np.array([[0.1] * 64, [0.9] * 64]))


def thought(cockpit: Cockpit, seconds: float, **shown: Any) -> Mind:
    """Two pilots who look for so long at what is shown; the first readily believes that an instrument has failed."""
    seen = panel(**{name: np.full(2, value) for name, value in (
        {"airspeed_kt": 110.0, "altitude_ft": 5000.0, "bank_deg": 0.0, "heading_deg": 0.0} | shown).items()})
    mind = settled(seen)
    for count in range(round(seconds / 0.5)):
        mind = think(ARRAYS, PEOPLE, cockpit, CERTAIN, mind, seen, Controls(), np.full(2, 1.0), 0.5 * count)
    return mind


FLYING = Cockpit(NEEDLE, heading_good=False, moving=True)


def test_a_good_horizon_is_never_taken_for_a_failed_one() -> None:
    mind = thought(FLYING, 600.0)
    assert mind.by_horizon.all()
    assert not mind.knows.any()


def test_training_turns_every_doubt_into_recognition() -> None:   # its only effect: DOT/FAA/AM-02/19, abstract
    plain, trained = thought(FLYING, 20.0, bank_deg=25.0), thought(replace(FLYING, trained=True), 20.0, bank_deg=25.0)
    assert plain.knows.tolist() == [1.0, 0.0]
    assert trained.knows.tolist() == [1.0, 1.0]
    assert plain.changes.tolist() == trained.changes.tolist()


def test_a_horizon_that_lies_on_its_stops_is_known_to_have_failed() -> None:
    assert thought(FLYING, 0.5, attitude_tumbled=1.0).knows.all()


def test_without_the_horizon_it_is_flown_by_what_the_panel_has() -> None:
    for cockpit, bank, heading in (
        (FLYING, BY_TURN, BY_COMPASS),
        (replace(FLYING, heading_good=True), BY_TURN, BY_HEADING_INDICATOR),
        (Cockpit(BOTH, heading_good=True, moving=False), BY_STANDBY, BY_HEADING_INDICATOR),
    ):
        mind = replace(thought(cockpit, 0.5), by_horizon=np.array([1.0, 0.0]), knows=np.ones(2))
        orders = flies_by(ARRAYS, PEOPLE, cockpit, CERTAIN, mind, Controls())
        assert orders.bank_by.tolist() == [BY_ATTITUDE, bank]
        assert orders.heading_by.tolist() == [BY_HEADING_INDICATOR, heading]
        assert orders.attention[0] > orders.attention[1]


def test_impressions_and_conflicts_name_the_same_sources() -> None:
    assert [name.split("_")[0] for name in Impressions._fields if "leaving" not in name and "load" not in name] == [
        name for name in Conflicts._fields if name not in ("altitude", "seat")]


@pytest.mark.parametrize("count", COUNTS, ids=lambda count: count.name)
def test_the_interval_of_a_published_count_is_the_exact_one(count: Any) -> None:
    exact = binomtest(count.lost, count.of).proportion_ci(0.95, method="exact")   # Clopper and Pearson
    assert exact_interval(count.lost, count.of) == pytest.approx((exact.low, exact.high), abs=1e-9)


def test_the_published_counts_are_those_of_the_abstracts() -> None:
    # DOT/FAA/AM-02/19: all of 25 and three quarters of 16 kept control. FAA/CAMI: 83, 33, 25, 8 per cent of 12 each.
    assert [(each.lost, each.of) for each in COUNTS[:2]] == [(0, 25), (4, 16)]
    assert [round(100 * each.lost / each.of) for each in COUNTS[2:]] == [83, 33, 25, 8]
    assert RECOGNIZED_MIN == {"fixed gear": 7.6, "fixed gear, trained": 4.9}
    for each in COUNTS:
        assert sum(share for _, share in each.groups) == pytest.approx(1.0)


@pytest.mark.parametrize(("document", "group"), [
    ("larkspur-180", "fixed gear"),
    ("wexley-260", "simulator, no backup"),
    ("wexley-260-standby", "simulator, standby for turn coordinator"),
    ("wexley-260-electric-heading", "simulator, electric heading"),
    ("wexley-260-electric-standby", "simulator, electric heading and standby"),
])
def test_the_airplanes_of_the_studies_can_be_flown(document: str, group: str) -> None:
    text = (procedures() / "airplanes" / f"{document}.yaml").read_text(encoding="utf-8")
    airplane = load_airplane(text, f"{document}.yaml")
    assert airplane.airframe == GROUPS[group].cockpit.frame
    assert "invented" in text


def test_a_group_has_at_least_one_pilot(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        main(["people", "--pilots", "0"])
    assert "whole numbers from 1 up" in capsys.readouterr().err


@pytest.mark.long
def test_a_flight_is_the_same_whoever_else_flies() -> None:
    group = GROUPS["simulator, no backup"]
    alone, among = fly(group, range(3, 5)), fly(group, range(6))
    for field in fields(Outcome):
        assert np.array_equal(getattr(alone, field.name), getattr(among, field.name)[3:5])


@pytest.mark.long
def test_simulated_pilots_do_as_the_published_ones_did() -> None:
    """Shares in the exact 95 % intervals, the order of the four panels, recognition within 20 %."""
    outcomes = fly_all(400)
    assert misses(outcomes) == [], table(outcomes)
