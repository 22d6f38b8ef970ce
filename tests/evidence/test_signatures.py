"""Which failures can be told apart follows from the table, and the table agrees with the model of the airplane."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import lru_cache

import numpy as np
import pytest

from drill.airplane.airframe import Airframe
from drill.airplane.failure import Failure
from drill.airplane.failure_flights import Seen, fly
from drill.airplane.failures import CATALOGUE
from drill.airplane.faults import Faults
from drill.evidence.clock import names
from drill.evidence.hypotheses import alike, hypotheses, within
from drill.evidence.residuals import NAMES, USES
from drill.evidence.rules import RULES
from drill.evidence.signatures import (
    fitted,
    latent,
    page,
    right_names,
    seen_residuals,
    signature,
    told_apart,
)

PLAIN = Airframe()
EVERYTHING = Airframe(low_vacuum_light_fitted=True, standby_vacuum_fitted=True, standby_attitude_fitted=True,
                      autopilot="turn coordinator")
FAILURES = tuple(CATALOGUE.values())


@lru_cache(maxsize=1)
def flights() -> dict[tuple[str, str], Seen]:
    return {failure.key: seen for failure, seen in zip(FAILURES, fly(FAILURES), strict=True)}


def test_every_condition_of_a_part_has_its_signature() -> None:
    touched = {effect.field for failure in FAILURES for effect in failure.effects}
    assert touched <= {each.name for each in fields(Faults)}
    for failure in FAILURES:
        signature(failure, EVERYTHING)


@pytest.mark.overnight
@pytest.mark.parametrize("failure", FAILURES, ids=lambda each: " ".join(each.key))
def test_what_is_called_latent_changes_nothing_on_the_panel(failure: Failure) -> None:
    assert signature(failure, EVERYTHING).latent is not bool(
        flights()[failure.key].differing() or failure.part in ("transmitter", "autopilot"))   # it is switched off


def test_latent_are_those_that_the_catalogue_says_show_nothing() -> None:
    for failure in latent(EVERYTHING):
        assert failure.seen.startswith("Nothing") or failure.part == "suction gauge", failure.key
    assert {failure.part for failure in latent(EVERYTHING)} == {
        "suction gauge", "low vacuum light", "standby vacuum", "battery", "low voltage light"}


def test_a_failure_is_in_one_set_or_latent_or_not_fitted() -> None:
    for frame in (PLAIN, EVERYTHING):
        told = [failure.key for each in told_apart(frame) for failure in each]
        hidden = [failure.key for failure in latent(frame)]
        assert len(set(told)) == len(told)
        assert not set(told) & set(hidden)
        assert {*told, *hidden} == {failure.key for failure in FAILURES if fitted(failure, frame)}


def test_names_that_are_right_are_of_the_catalogue() -> None:
    for frame in (PLAIN, EVERYTHING):
        for each in told_apart(frame):
            for failure in each:
                its_own = frozenset().union(*failure.named_right_as, *failure.also_right)
                assert right_names(failure, frame) & its_own or failure.part == "transmitter", failure.key


def test_all_sources_together_tell_every_hypothesis_from_every_other() -> None:
    for each, same in alike(EVERYTHING, seen_residuals(EVERYTHING)).items():
        assert same == {each}


def test_with_horizon_and_card_alone_nobody_knows_which_of_the_two_lies() -> None:
    same = alike(PLAIN, frozenset({"bank and card"}))
    assert {"attitude_indicator", "heading_indicator"} <= same["attitude_indicator"]


def test_without_gps_a_compass_that_is_off_looks_like_a_card_that_was_turned() -> None:
    blind = replace(PLAIN, gps_fitted=False)
    same = alike(blind, frozenset({"compass and card"}))
    assert "magnetic_compass" in same["heading_indicator"]
    for frame, looks_like in ((blind, True), (PLAIN, False)):
        spaces = {each.name: each.space(frame) for each in hypotheses(frame)}
        assert within(spaces["magnetic_compass"], spaces["heading_indicator"]) is looks_like
        assert not within(spaces["heading_indicator"], spaces["magnetic_compass"])


def test_an_altimeter_that_sticks_by_forty_feet_is_not_told_from_a_vertical_speed_indicator() -> None:
    sticks, off = (CATALOGUE[key] for key in (
        ("altimeter", "sticks and jumps"), ("vertical speed indicator", "is off zero")))
    assert right_names(sticks, PLAIN) == {"altimeter", "vertical_speed_indicator"}
    assert right_names(off, PLAIN) == {"vertical_speed_indicator"}   # it goes on, and pitch and power say level


def test_a_hypothesis_moves_what_compares_a_reading_that_it_falsifies_and_nothing_of_one_source() -> None:
    readings = {"attitude_indicator": {"bank_deg", "pitch_deg"}, "heading_indicator": {"heading_deg"},
                "turn_coordinator": {"turn_rate_dps"}, "magnetic_compass": {"compass_deg"},
                "vertical_speed_indicator": {"vertical_speed_fpm"}, "engine": {"throttle"},
                "standby_instrument": {"standby_bank_deg", "standby_pitch_deg"}}
    for each in hypotheses(EVERYTHING):
        moved = each.moves(EVERYTHING)
        if each.name in readings:
            for residual in moved:
                assert readings[each.name] & set(USES[residual]) or residual in ("bank and card", "standby and card")
    static = next(each for each in hypotheses(EVERYTHING) if each.name == "static_system")
    assert "vertical speed and altimeter" not in static.moves(EVERYTHING)
    vacuum = {each.name: each.moves(EVERYTHING) for each in hypotheses(EVERYTHING)}
    assert vacuum["vacuum_system"] == vacuum["attitude_indicator"] | vacuum["heading_indicator"]


def test_an_electric_heading_indicator_does_not_die_with_the_pump() -> None:
    electric = replace(PLAIN, heading_drive="electric")
    every = {each.name: each.moves(electric) for each in hypotheses(electric)}
    assert every["vacuum_system"] == every["attitude_indicator"]


def test_the_page_names_every_failure_that_the_airplane_can_have() -> None:
    text = page(EVERYTHING)
    for failure in FAILURES:
        assert f"{failure.part} {failure.how}" in text
    assert "autopilot" not in page(PLAIN)
    assert "- pitot or static_system" in text.splitlines()


def named(ratios: dict[str, float], threshold: float = 20.0, tells: bool = True, still: float = 0.0) -> set[str]:
    every = hypotheses(PLAIN)
    values = np.array([[ratios.get(each.name, 0.0) for each in every]])
    says = np.array([[still if each.must_still else 0.0 for each in every]])
    present = np.array([[name in seen_residuals(PLAIN) for name in NAMES]])
    stills = np.array([[one.must_still and other.leaves_alive == one.stills for other in every] for one in every])
    found = names(values, values > threshold, present, [each.space(PLAIN) for each in every],
                  np.full(values.shape, threshold), stills, says, np.array([tells]))
    return {each.name for each, yes in zip(every, found[0], strict=True) if yes}


def test_a_name_wants_a_lead_of_walds_bound_over_every_rival() -> None:
    assert named({"attitude_indicator": 30.0, "vacuum_system": 31.0, "altimeter": 20.0}) == {"attitude_indicator"}
    assert named({"attitude_indicator": 30.0, "vacuum_system": 31.0, "altimeter": 26.0}) == set()


def test_a_wider_hypothesis_takes_the_name_only_when_it_explains_much_more() -> None:
    assert named({"attitude_indicator": 30.0, "vacuum_system": 38.0}) == {"attitude_indicator"}
    assert named({"attitude_indicator": 30.0, "heading_indicator": 30.0, "vacuum_system": 60.0}) == {"vacuum_system"}


def test_in_air_that_moves_no_needle_pitot_and_static_are_named_together() -> None:
    assert named({"pitot": 30.0, "static_system": 31.0}) == set()
    assert named({"pitot": 30.0, "static_system": 22.0}, still=-5.0) == {"pitot"}
    assert named({"pitot": 30.0, "static_system": 37.0}, still=4.0) == {"static_system"}
    assert named({"pitot": 30.0, "static_system": 31.0}, tells=False) == {"pitot", "static_system"}
    assert named({"pitot": 19.0, "static_system": 22.0}, tells=False) == {"pitot", "static_system"}


def test_a_needle_of_the_static_line_that_moves_names_the_pitot_in_any_air() -> None:
    assert named({"pitot": 30.0, "static_system": 22.0}, tells=False, still=-8.0) == {"pitot"}


def test_a_large_fault_of_the_pitot_is_not_the_static_systems_because_a_wider_one_fits_it_better() -> None:
    assert named({"pitot": 3000.0, "static_system": 3300.0}, still=-4.0) == set()
    assert named({"pitot": 3000.0, "static_system": 3300.0}, tells=False, still=1.0) == {"pitot", "static_system"}


def test_every_rule_names_equipment_and_says_by_what() -> None:
    equipment = {name for failure in FAILURES for names in (*failure.named_right_as, *failure.also_right)
                 for name in names}
    assert len({rule.name for rule in RULES}) == len(RULES)
    for rule in RULES:
        assert rule.of in equipment
        assert rule.words
