"""The filters of the evidence clock are those of the textbook, worked out another way."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import signal

from drill.evidence.filters import carried_on, change, held_for, lately, lowpass, mean_of_late, turned


@pytest.mark.parametrize("tau", [1.5, 5.0, 45.0, 600.0])
@pytest.mark.parametrize("seconds", [1, 63, 64, 65, 500])
def test_the_low_pass_is_that_of_scipy(tau: float, seconds: int) -> None:
    x = np.random.default_rng(1).normal(size=(seconds, 3, 2))
    kept = math.exp(-1.0 / tau)
    assert lowpass(x, tau) == pytest.approx(signal.lfilter([1.0 - kept], [1.0, -kept], x, axis=0))


def test_the_mean_of_what_was_read_leaves_out_what_was_not() -> None:
    x = np.array([1.0, np.nan, 3.0, np.nan, 5.0])
    kept = math.exp(-1.0 / 4.0)
    weights = np.array([kept**4, kept**2, 1.0])
    assert mean_of_late(x, 4.0, 0.0)[-1] == pytest.approx((weights * [1.0, 3.0, 5.0]).sum() / weights.sum())


def test_too_little_read_is_nothing_known() -> None:
    x = np.ones(100)
    x[40:70] = np.nan
    known = np.isfinite(mean_of_late(x, 5.0, 0.6))
    assert not known[:4].any()
    assert known[10:42].all()
    assert not known[50:70].any()
    assert known[80:].all()


def test_a_turn_through_north_is_a_small_one() -> None:
    assert turned(np.array([358.0, 1.0, 359.0]))[1:] == pytest.approx([3.0, -2.0])
    assert np.isnan(change(np.array([1.0, 2.0]))[0])


@given(st.lists(st.booleans(), min_size=1, max_size=60), st.integers(1, 12))
@settings(max_examples=60, deadline=None)
def test_held_for_is_an_unbroken_run(holds: list[bool], seconds: int) -> None:
    run, wanted = 0, []
    for each in holds:
        run = run + 1 if each else 0
        wanted.append(run >= seconds)
    assert held_for(np.array(holds), seconds).tolist() == wanted


@given(st.lists(st.floats(-9, 9), min_size=1, max_size=40), st.integers(1, 9))
@settings(max_examples=60, deadline=None)
def test_lately_is_the_greatest_of_the_last_seconds(values: list[float], seconds: int) -> None:
    found = lately(np.array(values), seconds)
    assert found.tolist() == [max(values[max(0, k - seconds + 1):k + 1]) for k in range(len(values))]


def test_what_is_missing_stays_as_it_was() -> None:
    x = np.array([[np.nan, 1.0], [2.0, np.nan], [np.nan, np.nan]])
    assert carried_on(x)[1:].tolist() == [[2.0, 1.0], [2.0, 1.0]]
