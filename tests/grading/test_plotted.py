"""How a plot lies: everything within its scale, marks that can be read, directions that cross no end needlessly."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.grading.plotted import MOST_TICKS, plotted
from drill.grading.series import Line, Series
from drill.grading.series_words import reading, series_words, widest

VALUES = st.lists(st.none() | st.floats(-200.0, 20_000.0), min_size=1, max_size=50)


def of(name: str, shown: list[float | None], true: list[float | None], *, circular: bool = False) -> Series:
    t = tuple(float(place) for place in range(len(shown)))
    unit = {"bank": "deg", "heading": "deg", "altitude": "ft", "airspeed": "kt", "suction": "inHg"}[name]
    return Series(name, "altimeter", t, Line("shown", unit, tuple(shown)),
                  Line("true", "%" if name == "suction" else unit, tuple(true)), (),
                  (4.5, 5.5) if name == "suction" else None, circular)


@settings(deadline=None)
@given(VALUES, st.sampled_from(["bank", "altitude", "airspeed", "suction"]))
def test_every_value_lies_within_its_scale_and_the_marks_do_too(values: list[float | None], name: str) -> None:
    lies = plotted(of(name, values, list(reversed(values))))
    low, high = lies.scale
    assert all(low <= value <= high for value in lies.shown if value is not None)
    assert all(low - 1e-6 <= value <= high + 1e-6 for value, _ in lies.ticks)
    assert 1 <= len(lies.ticks) <= MOST_TICKS + 1


@settings(deadline=None)
@given(st.lists(st.floats(0.0, 359.9), min_size=1, max_size=50))
def test_directions_are_turned_by_whole_circles_only(values: list[float | None]) -> None:
    lies = plotted(of("heading", values, values, circular=True))
    for was, now in zip(values, lies.true, strict=True):
        assert ((now or 0.0) - (was or 0.0)) % 360.0 == pytest.approx(0.0, abs=1e-6) or (
            (now or 0.0) - (was or 0.0)) % 360.0 == pytest.approx(360.0, abs=1e-6)
    low, high = lies.scale
    assert high - low <= 360.0 * 1.12 + 1e-6


def test_a_flight_to_the_north_is_one_line_and_not_two_at_the_ends_of_the_scale() -> None:
    lies = plotted(of("heading", [355.0, 358.0, 1.0, 4.0], [356.0, 359.0, 2.0, 5.0], circular=True))
    steps = [abs((after or 0.0) - (before or 0.0)) for before, after in itertools.pairwise(lies.shown)]
    assert max(steps) == 3.0
    assert "360°" in [says for _, says in lies.ticks]


def test_the_plot_says_in_words_where_shown_and_true_were_farthest_apart() -> None:
    series = of("bank", [0.0, -5.0, 3.0, 2.0], [0.0, 5.0, 40.0, 12.0])
    most = widest(series)
    assert most is not None
    assert (most.t, most.apart) == (2.0, -37.0)
    assert series_words(series) == (
        "Farthest apart at 0:02: shown 3° right, true 40° right. At least 10° apart for about 2 s, first from 0:01 on.")


def test_across_north_the_short_way_round_counts() -> None:
    series = of("heading", [358.0, 359.0], [1.0, 2.0], circular=True)
    assert series_words(series) == "Shown and true stay together; the most apart is 3°, at 0:00."


def test_suction_is_read_against_its_green_band_and_beside_the_gyro_that_it_drives() -> None:
    series = of("suction", [5.0, 5.0, 0.4, 0.0], [100.0, 99.0, 95.0, 91.0])
    assert series_words(series) == "The gauge: least 0.0 inHg, below the green from 0:02 on. True: least 91 %, at 0:03."
    assert plotted(series).true_scale == (0.0, 120.0)


@pytest.mark.parametrize(("name", "value", "words"), [
    ("bank", None, "no reading"), ("bank", 0.4, "level"), ("bank", -12.0, "12° left"), ("bank", 7.0, "7° right"),
    ("heading", 5.0, "005°"), ("suction", -0.4, "0.4 inHg"), ("altitude", 12_345.0, "12,345 ft"),
    ("airspeed", 99.6, "100 kt"),
])
def test_a_value_is_read_with_its_unit_or_its_side(name: str, value: float | None, words: str) -> None:
    series = of(name, [value], [value], circular=name == "heading")
    assert reading(series, series.shown, value) == words


def test_a_gauge_that_never_fell_is_told_so() -> None:
    assert series_words(of("suction", [5.0, 4.5], [100.0, 100.0])) == (
        "The gauge: least 4.5 inHg, never below the green. True: least 100 %, at 0:00.")


def test_where_there_is_nothing_it_is_said() -> None:
    assert series_words(of("bank", [None], [None])) == "There is nothing to compare."
    assert series_words(of("suction", [None], [None])) == "There is nothing to read."
