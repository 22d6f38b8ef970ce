"""Weighted kappa of two graders on an ordered scale, with its interval, by statsmodels and scipy.

Cohen (1968), weights by the distance of two grades or its square; the analytic interval is that of Fleiss, Cohen and
Everitt (1969), the other a bootstrap over flights. Thirty flights leave both wide.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Weights = Literal["linear", "quadratic"]
RESAMPLES = 1000


@dataclass(frozen=True, slots=True)
class Agreement:
    """Kappa, its analytic 95 % interval and its bootstrap one, of `pairs` flights that both have graded."""

    kappa: float
    low: float
    high: float
    resampled_low: float
    resampled_high: float
    pairs: int


def table(given: Sequence[str], ruled: Sequence[str], steps: Sequence[str]) -> NDArray[np.int64]:
    """Return how often each grade (row) was given where the rule has each (column); both must be on the scale."""
    counts = np.zeros((len(steps), len(steps)), dtype=np.int64)
    for mine, its in zip(given, ruled, strict=True):
        counts[steps.index(mine), steps.index(its)] += 1
    return counts


def agreement(given: Sequence[str], ruled: Sequence[str], steps: Sequence[str], weights: Weights) -> Agreement:
    """Return the weighted kappa of the grades `given` and `ruled` on the scale of `steps`, lowest first."""
    from scipy.stats import DegenerateDataWarning, bootstrap
    from statsmodels.stats.inter_rater import cohens_kappa

    result = cohens_kappa(table(given, ruled, steps), wt=weights)

    def kappa(flights: NDArray[np.int64]) -> float:
        chosen = [int(each) for each in flights]
        counts = table([given[each] for each in chosen], [ruled[each] for each in chosen], steps)
        return float(cohens_kappa(counts, wt=weights, return_results=False))

    with np.errstate(invalid="ignore", divide="ignore"), warnings.catch_warnings():
        warnings.simplefilter("ignore", DegenerateDataWarning)   # of few flights some resamples have one grade alone
        drawn = bootstrap((np.arange(len(given)),), kappa, n_resamples=RESAMPLES, method="percentile",
                          vectorized=False, rng=np.random.default_rng(8083)).bootstrap_distribution
    low, high = np.nanpercentile(drawn, (2.5, 97.5))
    return Agreement(float(result.kappa), float(result.kappa_low), float(result.kappa_upp), float(low), float(high),
                     len(given))
