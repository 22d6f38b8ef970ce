"""Wald's sequential test, for faults of known size: what a gauge, a flag or a light says.

A. Wald, Sequential Tests of Statistical Hypotheses (1945): add up the log likelihood ratio of failed against healthy,
reading by reading, and decide for failed at the upper bound, ln((1 - b) / a), for healthy at the lower, ln(b / (1 -
a)), to be wrong with probabilities of a and b at most about. With 1 % each way the bounds are plus and minus 4.6.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

WRONG = 0.01
BOUND = math.log((1.0 - WRONG) / WRONG)


def bounds(false_alarm: float = WRONG, miss: float = WRONG) -> tuple[float, float]:
    """Return the lower and the upper bound for these probabilities of being wrong, each between 0 and 1."""
    return math.log(miss / (1.0 - false_alarm)), math.log((1.0 - miss) / false_alarm)


def decided(increments: Any, lower: float = -BOUND, upper: float = BOUND) -> tuple[Any, Any]:
    """Return the decision (N,), 1 failed, -1 healthy, 0 none, and after how many readings, of increments (T, N)."""
    total = np.cumsum(np.nan_to_num(increments), axis=0)
    out = (total >= upper) | (total <= lower)
    ever = out.any(axis=0)
    first = np.where(ever, out.argmax(axis=0), len(total) - 1)
    at = np.take_along_axis(total, first[None], axis=0)[0]
    return np.where(ever, np.where(at >= upper, 1, -1), 0), first + 1


def failed(increments: Any, lower: float = -BOUND, upper: float = BOUND) -> Any:
    """Return, reading by reading, whether the last decision was for failed, of increments (T, ...).

    The test begins anew after every decision, for as long as the flight lasts; what was decided holds until it is
    decided otherwise. NaN: nothing was read, and nothing is added.
    """
    steps = np.nan_to_num(increments)
    out = np.zeros(np.shape(steps), dtype=bool)
    total = np.zeros(np.shape(steps)[1:])
    says = np.zeros(np.shape(total), dtype=bool)
    for second, step in enumerate(steps):
        total = total + step
        high, low = total >= upper, total <= lower
        says = (says | high) & ~low
        total = np.where(high | low, 0.0, total)
        out[second] = says
    return out


def normal(reading: Any, healthy: float, wrong: float, sigma: float) -> Any:
    """Return the log likelihood ratio of readings about `wrong` against readings about `healthy`, both with `sigma`."""
    return (wrong - healthy) / sigma ** 2 * (reading - 0.5 * (healthy + wrong))


def seen(on: Any) -> Any:
    """Return the log likelihood ratio of a light or flag that is seen (1), or not (0): misread once in a hundred."""
    return np.where(np.isfinite(on), np.where(on > 0.5, BOUND, -BOUND), np.nan)
