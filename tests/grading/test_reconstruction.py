"""The flight as it was: moments, lanes, shown against true, the panel at each finding; nothing lost or made up."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drill.flight.events import Event, Trace
from drill.grading import grade
from drill.grading.lanes import LANES
from drill.grading.moments import KINDS, moments
from drill.grading.reconstruction import Reconstruction, reconstruct
from drill.grading.series import Series, series, thinned
from drill.language.meaning import Cover, Look, Uncover

from .builders import call, flown, scenario


def of(events: list[Event]) -> Reconstruction:
    return reconstruct(grade(scenario(), events, 1), events)


def named(found: Reconstruction, name: str) -> Series:
    return next(each for each in found.series if each.name == name)


LATE = flown((300.0, Look("suction_gauge")), (310.0, Cover("attitude_indicator")), call(420.0, words="04W, vacuum"),
             (500.0, Uncover("attitude_indicator")), seconds=600, bank=lambda t, _: 50.0 if t > 520.0 else 0.0)


def test_what_is_shown_leaves_what_is_true_as_the_horizon_leans() -> None:
    bank = named(of(LATE), "bank")
    then = dict(zip(bank.t, zip(bank.shown.values, bank.true.values, strict=True), strict=True))
    assert then[100.0] == (0.0, 0.0)
    assert then[240.0] == (-6.0, 0.0)
    assert then[600.0] == (26.0, 50.0)
    assert (bank.shown.unit, bank.instrument) == ("deg", "attitude_indicator")


def test_the_series_are_those_of_the_five_quantities_and_suction_has_its_green_band() -> None:
    found = of(LATE)
    assert [each.name for each in found.series] == ["bank", "heading", "altitude", "airspeed", "suction"]
    assert named(found, "suction").band == (4.5, 5.5)
    assert [each.name for each in found.series if each.circular] == ["heading"]


def test_a_covered_instrument_is_known_to_have_been_covered_from_then_until_it_was_uncovered() -> None:
    found = of(LATE)
    assert named(found, "bank").covered == ((310.0, 500.0),)
    assert named(found, "heading").covered == ()


def test_a_tumbled_horizon_shows_no_bank() -> None:
    tumbled = of(flown(seconds=200, shown=lambda t: {"attitude_tumbled": float(t >= 150.0)}))
    bank = named(tumbled, "bank")
    assert {t for t, value in zip(bank.t, bank.shown.values, strict=True) if value is None} == set(
        map(float, range(150, 201)))


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(lines=st.integers(1, 120).flatmap(lambda length: st.lists(
    st.lists(st.none() | st.floats(-1e6, 1e6), min_size=length, max_size=length), min_size=1, max_size=2)),
    most=st.integers(6, 60))
def test_thinning_out_loses_no_extreme_no_end_and_no_gap(lines: list[list[float | None]], most: int) -> None:
    places = thinned(lines, most)
    assert places == sorted(set(places))
    assert places[0] == 0
    assert places[-1] == len(lines[0]) - 1
    for line in lines:
        kept, whole = [line[place] for place in places], [each for each in line if each is not None]
        values = [each for each in kept if each is not None]
        assert bool(values) == bool(whole)
        if whole:
            assert (min(values), max(values)) == (min(whole), max(whole))
        pairs = pairwise(places)
        assert all((line[one] is None) == (line[other] is None) or other == one + 1 for one, other in pairs)


@settings(deadline=None)
@given(seconds=st.integers(1, 4000), peak=st.integers(0, 3999))
def test_a_long_flight_is_thinned_to_a_bounded_number_of_points_with_its_steepest_bank(seconds: int, peak: int) -> None:
    peak %= seconds
    traces = [Trace(float(t), {"bank_deg": 0.0}, {"bank_deg": 77.0 if t == peak else 3.0}, {}, (), {}, (), "", "", "")
              for t in range(seconds)]
    bank = series(traces)[0]
    assert len(bank.t) <= 910
    assert bank.true.values[bank.t.index(float(peak))] == 77.0


def test_lanes_hold_what_happened_in_the_order_of_time() -> None:
    found = of(LATE)
    assert tuple(lane.name for lane in found.lanes) == LANES
    by_name = {lane.name: lane for lane in found.lanes}
    assert [(each.begin, each.end) for each in by_name["failure"].stretches] == [(120.0, 600.0)]
    assert [each.kind for each in by_name["failure"].marks] == ["failed"]
    assert {"act", "first act"} <= {each.kind for each in by_name["acts"].marks}
    assert [(each.begin, each.end, each.kind) for each in by_name["control"].stretches] == [
        (521.0, 600.0, "bank over 45")]
    assert {"poor", "ended"} <= {each.kind for each in by_name["grade sheet"].marks}
    for lane in found.lanes:
        assert [each.t for each in lane.marks] == sorted(each.t for each in lane.marks)


def test_moments_stand_in_the_order_of_time_and_what_never_happened_stands_last() -> None:
    times = [each.t for each in of(LATE).moments]
    timed = [t for t in times if t is not None]
    assert timed == sorted(timed)
    assert times[len(timed):] == [None] * (len(times) - len(timed))
    assert {each.kind for each in of(LATE).moments} <= set(KINDS)


def test_every_finding_with_a_time_has_its_panel_as_it_stood_and_each_panel_is_kept_once() -> None:
    found = of(LATE)
    kept = [each.t for each in found.panels]
    assert kept == sorted(set(kept))
    graded = [each for each in found.moments if each.kind in ("good", "poor", "unsafe") and each.t is not None]
    assert graded
    for moment in graded:
        panel = found.panel_at(moment.t)
        assert panel is not None
        assert 0.0 <= (moment.t or 0.0) - panel.t < 1.0
    covered = found.panel_at(420.0)
    assert covered is not None
    assert covered.covered == ("attitude_indicator",)


@pytest.mark.parametrize("events", [[], flown(seconds=0, fails_at=None, ending=None)])
def test_an_empty_flight_is_reconstructed_as_nothing(events: list[Event]) -> None:
    found = of(events)
    assert found.length_s == 0.0
    assert found.lanes[0].stretches == ()
    assert all(len(each.t) == 1 for each in found.series)


def test_the_same_record_gives_the_same_reconstruction() -> None:
    assert of(LATE) == of(list(reversed(LATE)))


def test_when_which_instrument_and_which_part_could_be_told_are_moments_of_their_own_where_they_came_later() -> None:
    debrief = grade(scenario(), LATE, 1)
    story = replace(debrief.failures[0], evidence_s=130.0, instrument_s=150.0, instrument="the needle stood",
                    system_s=180.0, system="the light was on")
    kinds = [(each.t, each.kind) for each in moments(replace(debrief, failures=(story,)))
             if each.kind.endswith("evident")]
    assert kinds == [(130.0, "evident"), (150.0, "instrument evident"), (180.0, "part evident")]
    same = replace(story, instrument_s=130.0, system_s=130.0)
    assert [each.t for each in moments(replace(debrief, failures=(same,))) if each.kind.endswith("evident")] == [130.0]
