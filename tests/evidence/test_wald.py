"""Wald's sequential test against his own formulas, and the likelihood ratio against scipy's chi-square."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from drill.evidence import wald
from drill.evidence.clock import CHANCE
from drill.evidence.likelihood import log_ratios, stillness

TESTS = 20_000
MEANS = 0.0, 1.0     # healthy and failed, with a sigma of 1


def readings(mean: float, seed: int, count: int = TESTS) -> Any:
    return wald.normal(np.random.default_rng(seed).normal(mean, 1.0, size=(200, count)), *MEANS, 1.0)


@pytest.mark.parametrize(("false_alarm", "miss"), [(0.01, 0.01), (0.05, 0.01), (0.001, 0.05)])
def test_the_bounds_keep_both_errors_below_what_was_asked_for(false_alarm: float, miss: float) -> None:
    # Wald 1945: with these bounds the errors are at most a / (1 - b) and b / (1 - a)
    lower, upper = wald.bounds(false_alarm, miss)
    healthy, _ = wald.decided(readings(MEANS[0], 1), lower, upper)
    failed, _ = wald.decided(readings(MEANS[1], 2), lower, upper)
    assert np.mean(healthy == 1) <= false_alarm / (1.0 - miss) * 1.1
    assert np.mean(failed == -1) <= miss / (1.0 - false_alarm) * 1.1
    assert (healthy != 0).all()
    assert (failed != 0).all()


def test_one_per_cent_each_way_is_a_bound_of_4_6() -> None:
    assert wald.bounds(0.01, 0.01) == pytest.approx((-4.595, 4.595), abs=1e-3)
    assert pytest.approx(4.595, abs=1e-3) == wald.BOUND


@pytest.mark.parametrize("mean", MEANS)
def test_the_average_sample_number_is_walds_with_the_overshoot_that_he_neglects(mean: float) -> None:
    # E(n) = ((1 - b) upper + b lower) / E(step) under failed, the other way round under healthy; overshooting the bound
    # by some 0.583 steps' sigma adds to it (D. Siegmund, Sequential Analysis, 1985, ch. 10; from memory)
    _, count = wald.decided(readings(mean, 3))
    step = 0.5 if mean == MEANS[1] else -0.5
    least = (0.99 * wald.BOUND - 0.01 * wald.BOUND) / abs(step)
    overshoot = 0.583 * 1.0 / abs(step)
    assert count.mean() > least
    assert count.mean() == pytest.approx(least + overshoot, rel=0.05)


def test_the_test_goes_on_after_each_decision() -> None:
    on = np.array([0.0] * 20 + [1.0] * 20 + [0.0] * 20)[:, None]
    said = wald.failed(wald.seen(on))[:, 0]
    assert not said[:20].any()
    assert said[20:40].all()
    assert not said[40:].any()


def test_what_cannot_be_read_decides_nothing() -> None:
    assert not wald.failed(np.full((50, 1), np.nan)).any()
    assert np.isnan(wald.seen(np.array([np.nan])))[0]


@pytest.mark.parametrize("freedom", range(1, len(CHANCE)))
def test_what_freedom_explains_by_chance_is_half_a_chi_square(freedom: int) -> None:
    assert pytest.approx(stats.chi2.isf(1e-4, freedom) / 2.0, abs=2e-3) == CHANCE[freedom]


COVARIANCE = np.array([[1.0, 0.6, 0.1], [0.6, 2.0, -0.3], [0.1, -0.3, 0.5]])
SPACES = [np.array([[1.0], [0.0], [0.0]]), np.array([[1.0], [1.0], [0.0]]), np.eye(3)[:, 1:], np.eye(3)]


def test_twice_the_log_ratio_is_a_chi_square_of_the_spaces_dimension_when_nothing_is_wrong() -> None:
    # S. S. Wilks 1938; exact here, for the residuals are normal
    z = np.random.default_rng(4).multivariate_normal(np.array([3.0, -1.0, 2.0]), COVARIANCE, size=50_000)
    ratios = log_ratios(z, np.array([3.0, -1.0, 2.0]), COVARIANCE, SPACES)
    for place, freedom in enumerate((1, 1, 2, 3)):
        assert stats.kstest(2.0 * ratios[:, place], stats.chi2(freedom).cdf).pvalue > 0.001


def test_with_a_fault_it_is_a_noncentral_chi_square() -> None:
    fault = np.array([1.5, 1.5, 0.0])
    z = np.random.default_rng(5).multivariate_normal(fault, COVARIANCE, size=50_000)
    off = float(fault @ np.linalg.solve(COVARIANCE, fault))
    ratios = log_ratios(z, np.zeros(3), COVARIANCE, SPACES)
    assert stats.kstest(2.0 * ratios[:, 1], stats.ncx2(1, off).cdf).pvalue > 0.001


def test_the_log_ratio_is_that_of_the_two_densities_at_the_best_fitting_size() -> None:
    z = np.array([2.0, 1.0, -0.5])
    healthy = stats.multivariate_normal(np.zeros(3), COVARIANCE)
    sizes = np.linspace(-5.0, 5.0, 20_001)
    best = max(stats.multivariate_normal(np.zeros(3), COVARIANCE).logpdf(z - size * SPACES[1][:, 0]) for size in
               sizes[::20])
    assert log_ratios(z[None], np.zeros(3), COVARIANCE, SPACES)[0, 1] == pytest.approx(best - healthy.logpdf(z),
                                                                                      abs=1e-3)


STRAYS = np.array([[1.0, 0.0], [0.5, 0.0], [0.0, 2.0]])


@pytest.mark.parametrize("sizes", [(0.0, 0.0), (0.7, 0.0), (1.5, 0.4)])
def test_what_healthy_flight_strays_by_besides_is_the_covariance_of_that_second(sizes: tuple[float, float]) -> None:
    z = np.random.default_rng(6).normal(size=(20, 3)) * 3.0
    size = np.tile(np.array(sizes), (len(z), 1))
    wider = COVARIANCE + (STRAYS * np.array(sizes)) @ (STRAYS * np.array(sizes)).T
    found = log_ratios(z, np.zeros(3), COVARIANCE, SPACES, STRAYS, size)
    assert found == pytest.approx(log_ratios(z, np.zeros(3), wider, SPACES))


def test_what_was_not_read_is_left_out() -> None:
    z = np.array([[2.0, np.nan, -0.5], [np.nan, np.nan, np.nan]])
    ratios = log_ratios(z, np.zeros(3), COVARIANCE, SPACES)
    kept = np.array([0, 2])
    alone = log_ratios(z[:1, kept], np.zeros(2), COVARIANCE[np.ix_(kept, kept)], [space[kept] for space in SPACES])
    assert ratios[0] == pytest.approx(alone[0])
    assert (ratios[1] == 0.0).all()


def test_two_ways_that_say_the_same_are_one() -> None:
    twice = np.array([[1.0, 2.0], [0.0, 0.0], [0.0, 0.0]])
    z = np.array([[2.0, 1.0, -0.5]])
    once = log_ratios(z, np.zeros(3), COVARIANCE, SPACES[:1])
    assert log_ratios(z, np.zeros(3), COVARIANCE, [twice]) == pytest.approx(once)


def test_a_dead_needle_speaks_by_the_densities_of_known_size() -> None:
    lively = np.linspace(-1.0, 3.0, 7)
    ratio = stats.norm(-1.0, 0.8).logpdf(lively) - stats.norm(1.0, 0.8).logpdf(lively)
    said = stillness(lively, np.array(1.0), np.array(-1.0), np.array(0.8))
    assert said == pytest.approx(np.clip(ratio, -15.0, 15.0))
    assert stillness(-3.0, np.array(1.0), np.array(-1.0), np.array(0.8)) == said[0]   # none is stiller than a dead one
    assert math.isclose(stillness(np.nan, np.array(1.0), np.array(-1.0), np.array(0.8)), 0.0)
