"""What a failure reaches, what it may be called, who flies by what, and which acts answer it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from drill.airplane.controls import (
    BY_ATTITUDE,
    BY_COMPASS,
    BY_HEADING_INDICATOR,
    BY_HORIZON,
    BY_PRESSURE,
    BY_STANDBY,
    BY_STANDBY_HORIZON,
    BY_TURN,
)
from drill.flight.events import Trace
from drill.flight.readings import WHOLE_PANEL
from drill.grading.affected import (
    catalogued,
    flown_by,
    leaves,
    listed,
    looked_at,
    responds,
    right_names,
    rightly_names,
    says,
    spoiled,
    trusted,
)
from drill.grading.timeline import Onset
from drill.language.meaning import (
    Action,
    Call,
    Checklist,
    Compare,
    Cover,
    Diagnose,
    FlyBy,
    Look,
    Squawk,
    Switch,
    Told,
    Transmit,
)

from .builders import flown

AI, HI, TC, STANDBY = "attitude_indicator", "heading_indicator", "turn_coordinator", "standby_instrument"
PUMP, LEANS = ("vacuum pump", "shaft shears"), ("attitude indicator", "leans")
DRIFTS, FLAG = ("heading indicator", "drifts"), ("turn coordinator", "loses power")
AFTER = next(event for event in flown(seconds=1) if isinstance(event, Trace))


def onset(of: tuple[str, str]) -> Onset:
    return Onset("it", *of, 120.0, None)


def trace(by: Mapping[str, float], reference: str = "full_panel", *, autopilot: float = 0.0) -> Trace:
    return replace(AFTER, shown={**AFTER.shown, "autopilot_on": autopilot}, reference=reference,
                   controls={**AFTER.controls, "bank_by": BY_TURN, "pitch_by": BY_PRESSURE, "heading_by": BY_COMPASS,
                             **by})


@pytest.mark.parametrize(("of", "instruments"), [
    (PUMP, {AI, HI}), (("vacuum filter", "clogs"), {AI, HI}), (("vacuum regulator", "sets too low"), {AI, HI}),
    (LEANS, {AI}), (DRIFTS, {HI}), (FLAG, {TC}), (("standby attitude", "flags itself"), {STANDBY}),
    (("pitot tube", "blocked with its drain"), {"airspeed_indicator"}),
    (("pitot heat", "does not heat"), {"airspeed_indicator"}),
    (("airspeed indicator", "sticks"), {"airspeed_indicator"}),
    (("static ports", "close"), {"altimeter", "vertical_speed_indicator", "airspeed_indicator"}),
    (("static line", "breaks in the cabin"), {"altimeter", "vertical_speed_indicator", "airspeed_indicator"}),
    (("altimeter", "sticks and jumps"), {"altimeter"}),
    (("vertical speed indicator", "is off zero"), {"vertical_speed_indicator"}),
    (("alternator", "quits"), set()), (("engine", "stops"), set()), (("suction gauge", "sticks"), set()),
])
def test_a_failure_spoils_the_instruments_that_live_on_the_part(of: tuple[str, str], instruments: set[str]) -> None:
    assert spoiled(onset(of)) == instruments


def test_both_instruments_of_a_source_name_it_as_well_as_its_own_name_and_one_that_it_drives_is_also_right() -> None:
    assert rightly_names(onset(PUMP), frozenset({"vacuum_system"}))
    assert rightly_names(onset(PUMP), frozenset({AI, HI}))
    assert rightly_names(onset(PUMP), frozenset({AI, "radio"}))
    assert not rightly_names(onset(PUMP), frozenset({HI}))
    assert not rightly_names(onset(PUMP), frozenset())


def test_a_part_that_this_version_does_not_know_is_named_and_told_by_its_own_words() -> None:
    strange = onset(("flux valve", "drifts off"))
    assert catalogued(strange) is None
    assert right_names(strange) == (frozenset({"flux_valve"}),)
    assert says(strange) == "flux valve: drifts off"
    assert spoiled(strange) == frozenset()


def test_what_came_back_is_not_told_to_have_been_for_good() -> None:
    assert says(onset(PUMP)).endswith("there is no suction from then on.")
    assert says(onset(PUMP), came_back=True).endswith("there is no suction for a time.")


@pytest.mark.parametrize(("by", "instruments"), [
    ({"bank_by": BY_ATTITUDE}, {AI}), ({"pitch_by": BY_HORIZON}, {AI, TC}), ({}, {TC}),
    ({"bank_by": BY_STANDBY}, {STANDBY}), ({"pitch_by": BY_STANDBY_HORIZON}, {STANDBY, TC}),
    ({"heading_by": BY_HEADING_INDICATOR}, {TC, HI}),
    ({"bank_by": BY_ATTITUDE, "pitch_by": BY_HORIZON, "heading_by": BY_HEADING_INDICATOR}, {AI, HI}),
])
def test_the_hands_trust_what_they_were_told_to_fly_by(by: dict[str, float], instruments: set[str]) -> None:
    assert trusted(trace(by).controls) == instruments
    assert flown_by(trace(by)) == instruments


@pytest.mark.parametrize(("reference", "instruments"), [
    ("attitude_indicator", {AI, HI}), ("attitude_indicator+heading_indicator", {AI, HI}), ("turn_coordinator", {TC}),
    ("turn_coordinator+heading_indicator", {TC}),
])
def test_an_autopilot_flies_by_its_own_reference_whatever_the_hands_were_told(
    reference: str, instruments: set[str],
) -> None:
    assert flown_by(trace({"bank_by": BY_STANDBY}, reference, autopilot=1.0)) == instruments
    assert flown_by(trace({"bank_by": BY_STANDBY}, reference)) == {STANDBY}


TOLD = Told(equipment=frozenset({"vacuum_system"}))
REPORT = Transmit("…", Call(equipment=("vacuum_system",)))


@pytest.mark.parametrize(("of", "action", "told", "words"), [
    (PUMP, Cover(AI), Told(), "covered the attitude indicator"),
    (PUMP, Cover(HI), Told(), "covered the heading indicator"),
    (PUMP, Cover(TC), Told(), ""),
    (PUMP, FlyBy("partial_panel"), Told(), "flew by partial panel"),
    (PUMP, FlyBy("magnetic_compass"), Told(), "flew by magnetic compass"),
    (PUMP, FlyBy("full_panel"), Told(), ""),
    (FLAG, FlyBy("full_panel"), Told(), "flew by full panel"),
    (FLAG, FlyBy("partial_panel"), Told(), ""),
    (DRIFTS, FlyBy("navigation"), Told(), "flew by navigation"),
    (DRIFTS, FlyBy("turn_coordinator"), Told(), ""),
    (PUMP, REPORT, TOLD, "told ATC"),
    (PUMP, REPORT, Told(equipment=frozenset({TC})), ""),
    (PUMP, Transmit("…", Call(urgency="mayday")), TOLD, ""),
    (PUMP, Diagnose(("vacuum_system",)), Told(), "named it: vacuum system"),
    (PUMP, Diagnose((AI, HI)), Told(), "named it: attitude indicator and heading indicator"),
    (PUMP, Diagnose((TC,)), Told(), ""),
    (PUMP, Switch("autopilot", "off"), Told(), "switched the autopilot off"),
    (PUMP, Switch("autopilot", "on"), Told(), ""),
    (FLAG, Switch("autopilot", "off"), Told(), ""),
    (PUMP, Switch("standby_vacuum", "on"), Told(), "switched standby vacuum"),
    (("vacuum filter", "clogs"), Switch("standby_vacuum", "on"), Told(), "switched standby vacuum"),
    (("vacuum line", "leaks"), Switch("standby_vacuum", "on"), Told(), "switched standby vacuum"),
    (("vacuum regulator", "sets too low"), Switch("standby_vacuum", "on"), Told(), "switched standby vacuum"),
    (LEANS, Switch("standby_vacuum", "on"), Told(), ""),
    (("alternator", "quits"), Switch("alternator", "on"), Told(), "switched alternator"),
    (("static ports", "close"), Switch("alternate_static", "on"), Told(), "switched alternate static"),
    (("pitot tube", "blocked with its drain"), Switch("pitot_heat", "on"), Told(), "switched pitot heat"),
    (("pitot heat", "does not heat"), Switch("pitot_heat", "on"), Told(), "switched pitot heat"),
    (PUMP, Switch("pitot_heat", "on"), Told(), ""),
    (PUMP, Checklist("Vacuum failure"), Told(), "read the checklist Vacuum failure"),
    (PUMP, Checklist("Alternator failure"), Told(), ""),
    (("suction gauge", "sticks"), Checklist("Suction gauge"), Told(), ""),
    (PUMP, Checklist(None), Told(), ""), (PUMP, Look("suction_gauge"), Told(), ""), (PUMP, Squawk("7700"), Told(), ""),
])
def test_an_act_answers_a_failure_where_it_deals_with_it(
    of: tuple[str, str], action: Action, told: Told, words: str,
) -> None:
    assert responds(onset(of), action, told) == words


@pytest.mark.parametrize(("reference", "bad", "away"), [
    ("turn_coordinator", {AI}, True), ("altimeter", {AI}, True), ("airspeed_indicator", {AI}, True),
    ("vertical_speed_indicator", {AI}, True), (STANDBY, {AI}, True), ("partial_panel", {HI}, True),
    ("magnetic_compass", {HI}, True), ("turn_coordinator", {HI}, False), ("attitude_indicator", {TC}, True),
    ("full_panel", {STANDBY}, True), ("partial_panel", {STANDBY}, True), ("attitude_indicator", {STANDBY}, True),
    ("turn_coordinator", {STANDBY}, True), ("magnetic_compass", {STANDBY}, False), ("partial_panel", set(), False),
    ("partial_panel", {"altimeter"}, False),
])
def test_flying_by_something_else_leaves_the_bad_instrument(reference: str, bad: set[str], away: bool) -> None:
    assert leaves(reference, frozenset(bad)) is away


@pytest.mark.parametrize(("action", "seen"), [
    (Look("altimeter"), {"altimeter"}), (Look("vacuum_system"), {"suction_gauge"}),
    (Look("alternator"), {"ammeter", "voltmeter"}), (Look("engine"), {"tachometer"}),
    (Look("panel"), set(WHOLE_PANEL)), (Compare((AI, TC)), {AI, TC}), (Compare(("vacuum_system", AI)),
                                                                      {"suction_gauge", AI}),
    (Cover(AI), set()), (Diagnose((AI,)), set()),
])
def test_a_look_brings_an_instrument_before_the_eyes_and_a_system_its_gauges(action: Action, seen: set[str]) -> None:
    assert looked_at(action) == seen


@pytest.mark.parametrize(("names", "words"), [
    ((), "nothing"), ((TC,), "turn coordinator"), ((TC, AI), "turn coordinator and attitude indicator"),
    (frozenset({TC, AI, HI}), "attitude indicator, heading indicator and turn coordinator"),
])
def test_names_are_listed_as_they_are_said(names: tuple[str, ...] | frozenset[str], words: str) -> None:
    assert listed(names) == words
