"""What the residuals do in healthy flight: mean and covariance for each scale and roughness of the air, and thresholds.

`build` makes it for any airplane by flying it for hundreds of hours, in a minute or two. It is never called to grade a
flight: `keeping` has what was made.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from drill.airplane.airframe import Airframe
from drill.evidence.flown import ordinary, panels, worlds
from drill.evidence.hypotheses import Hypothesis, hypotheses, leans, with_everything
from drill.evidence.likelihood import log_ratios, stillness, with_stillness
from drill.evidence.readings import SIGMA, Readings, read
from drill.evidence.residuals import (
    NAMES,
    STILL,
    UNREST_S,
    asked,
    liveliness,
    needle_read,
    residuals,
    smooth,
    unrest,
)

SCALES_S = (5.0, 15.0, 45.0)
AIRS = ("calm", "light", "moderate", "severe")
SETTLES_S = 60             # no statistics, and no clock, before the filters have seen so much
_FLIGHTS = 96              # in each of the winds of each air
_SEVERE_WINDS = 2          # nobody cross-checks much there
_SECONDS = 1800
_BLOCK_S = 300             # largest values are taken of stretches so long
_WITHOUT_NEEDLE = 4        # one flight in so many is judged once more without a turn coordinator
_TAIL, _TAIL_LEAST = 0.02, 40   # the share of them that the tail is fitted to, and how many there must be
_ERRORS = 1.645            # standard errors by which the tail may fall off more slowly: one-sided 95 %
ALARMS_PER_H = 1e-5        # for each hypothesis, by that tail
_FEELS_S = 240             # before that nobody takes the air for calm
_DOUBT = 0.4               # of the way from one kind of air to the next; in doubt the rougher counts
_SURELY_CALM = 0.3         # as the logarithm of `residuals.unrest`: a lull in light air is not taken for calm,
_MAY_BE_CALM = 0.1         # and calm air that is felt to be rougher not for light, by what stands still in it
_UPRIGHT_DEG = 0.1         # a horizon that may lean by so little tells how the others spread
_NORMAL_995 = 2.807        # two-sided 99.5 % of a normal distribution
_FIRST_SEED = 7_100_000    # clear of the seeds that people fly


@dataclass(frozen=True, slots=True)
class Statistics:
    """Healthy flight, for each class of air A (`AIRS`), scale S (`SCALES_S`), residual R and hypothesis H.

    `edges` (A - 1, 2) are the values of `residuals.unrest` between one class and the next.
    """

    edges: Any
    mean: Any                  # (A, S, R)
    covariance: Any            # (A, S, R, R)
    lively: Any                # (A, needles)
    lively_spread: Any         # (A, needles)
    dead: Any                  # (needles,) how lively a needle looks that stands still, by reading errors alone
    thresholds: Any            # (2, A, H): with a turn coordinator to be read, and without


@dataclass(slots=True)
class _Healthy:
    """Healthy seconds of one world, flattened: M of them, in blocks."""

    smoothed: Any              # (S, M, R)
    strays: Any                # (S, M, 2)
    lively: Any                # (M, needles)
    unrest: Any                # (M, 2)
    block: Any                 # (M,)
    second: Any                # (M,)


def classes(rough: Any, edges: Any, seconds: Any) -> Any:
    """Return the class of air (index in `AIRS`) of what is felt and seen, (..., 2), so many seconds after the start.

    The rougher of the two counts; of one that is not seen nobody knows that it is smoother than a class more. How rough
    it is is felt as a mean of two minutes (`residuals.UNREST_S`): nobody takes the air for less than moderate before
    that, nor for calm before twice that.
    """
    found = (np.nan_to_num(rough, nan=-np.inf)[..., None, :] > edges).sum(axis=-2).max(axis=-1)
    found = np.minimum(found + np.isnan(rough).any(axis=-1), len(edges))
    since = np.asarray(seconds)
    return np.maximum(found, np.where(since < UNREST_S, 2, np.where(since < _FEELS_S, 1, 0)))


def taken_for(rough: Any, edges: Any, seconds: Any) -> tuple[Any, Any]:
    """Return two `classes` of air: by which comparisons are judged, and by which the needles' stillness is.

    In doubt the air is rougher for the one, and calmer for the other, that it has to be felt for: a needle that stands
    still in calm air is none that is dead.
    """
    first = np.eye(len(edges), 1)
    calmest = classes(rough, edges + _MAY_BE_CALM * first, seconds)
    return (classes(rough, edges - _SURELY_CALM * first, seconds),
            np.where(np.asarray(seconds) < _FEELS_S, 0, calmest))


def limits(statistics: Statistics, smoothed: Sequence[Any], air: Any) -> Any:
    """Return the thresholds (M, H) of M seconds: by their class of air, and whether a turn needle was read."""
    return statistics.thresholds[np.where(needle_read(smoothed), 0, 1), air]


def judged(smoothed: Sequence[Any], strays: Sequence[Any], lively: Any, air: tuple[Any, Any], statistics: Statistics,
           every: Sequence[Hypothesis], frame: Airframe) -> Any:
    """Return the log likelihood ratios (M, H) of M seconds, the greatest of the scales.

    `smoothed` are the residuals (M, R) at each scale, `strays` how much a horizon may have leant besides (M, 2),
    `lively` the needles' (M, needles), `air` its classes as by `taken_for`, (M,) each.
    """
    leaning = leans(frame)
    spaces = [each.space(frame) for each in every]
    rougher, calmer = air
    out = np.zeros((len(rougher), len(every)))
    for kind in np.unique(rougher):
        rows = np.flatnonzero(rougher == kind)
        out[rows] = np.max([
            log_ratios(each[rows], statistics.mean[kind, scale], statistics.covariance[kind, scale], spaces, leaning,
                       stray[rows])
            for scale, (each, stray) in enumerate(zip(smoothed, strays, strict=True))], axis=0)
    return with_stillness(out, standing_still(lively, calmer, statistics), every, STILL)


def standing_still(lively: Any, calmer: Any, statistics: Statistics) -> Any:
    """Return what its stillness says for each needle's being dead, (M, needles), in air of a class (M,)."""
    return stillness(lively, statistics.lively[calmer], statistics.dead, statistics.lively_spread[calmer])


def build(frame: Airframe, flights: int = _FLIGHTS, seconds: int = _SECONDS) -> Statistics:
    """Return the statistics of an airplane: `flights` of so many seconds in each of several winds and kinds of air.

    It is flown with every instrument that there is; `thresholds` are those of the hypotheses of that airplane
    (`with_everything`). The same numbers come out each time, on one machine; from one to the next they differ by
    rounding.
    """
    frame = with_everything(frame)
    healthy = {air: [_flown(frame, air, place, flights, seconds) for place in range(
        _SEVERE_WINDS if air == "severe" else len(worlds(frame, air)))] for air in AIRS}
    whole = {air: _together([_healthy(each, each, frame) for each in parts]) for air, parts in healthy.items()}
    medians = np.array([np.nanmedian(each.unrest, axis=0) for each in whole.values()])
    edges = medians[:-1] + _DOUBT * (medians[1:] - medians[:-1])
    every = _together(list(whole.values()))
    air = classes(every.unrest, edges, every.second)
    shape = (len(AIRS), len(SCALES_S), len(NAMES))
    mean, covariance = np.zeros(shape), np.zeros((*shape, shape[-1]))
    alive, spread = np.zeros((len(AIRS), len(STILL))), np.ones((len(AIRS), len(STILL)))
    for kind in range(len(AIRS)):
        rows = air == kind
        for scale in range(len(SCALES_S)):
            mean[kind, scale], covariance[kind, scale] = _spread(
                _upright(every.smoothed[scale][rows], every.strays[scale][rows], frame))
        alive[kind], spread[kind] = np.nanmean(every.lively[rows], axis=0), np.nanstd(every.lively[rows], axis=0)
    known = Statistics(edges, mean, covariance, alive, spread, _dead(), np.zeros((2, len(AIRS), 0)))
    some = [_first(each, max(1, flights // _WITHOUT_NEEDLE)) for parts in healthy.values() for each in parts]
    without = _together([_healthy(_without_needle(each), each, frame) for each in some])
    return replace(known, thresholds=np.stack([_thresholds(each, known, frame) for each in (every, without)]))


def _thresholds(flown: _Healthy, known: Statistics, frame: Airframe) -> Any:
    every = hypotheses(frame)
    air = taken_for(flown.unrest, known.edges, flown.second)
    ratios = judged(asked(flown.smoothed), flown.strays, flown.lively, air, known, every, frame)
    return np.array([[_threshold(ratios[air[0] == kind, place], flown.block[air[0] == kind])
                      for place in range(len(every))]
                     for kind in range(len(AIRS))])


def _flown(frame: Airframe, air: str, place: int, flights: int, seconds: int) -> Readings:
    first = _FIRST_SEED + 1000 * (AIRS.index(air) * 10 + place)
    seeds = range(first, first + flights)
    return read(panels(worlds(frame, air)[place], seeds, ordinary(frame, seeds, seconds), seconds), seeds)


def _first(readings: Readings, flights: int) -> Readings:
    return Readings({name: values[:, :flights] for name, values in readings.of.items()})


def _without_needle(readings: Readings) -> Readings:
    return Readings({**readings.of, "turn_rate_dps": np.full(readings.shape, np.nan)})


def _healthy(readings: Readings, felt: Readings, frame: Airframe) -> _Healthy:
    """Return the seconds of flights by what is read, the air as rough as it was felt."""
    found, lively, strays = residuals(readings, frame)
    late = slice(SETTLES_S, None)
    smoothed, stray = (np.stack([smooth(each, tau)[late] for tau in SCALES_S]) for each in (found, strays))
    seconds, flights = readings.shape
    count = seconds - SETTLES_S
    block = (np.arange(count) // _BLOCK_S)[:, None] * flights + np.arange(flights)
    return _Healthy(smoothed.reshape(len(SCALES_S), -1, len(NAMES)).astype(np.float32),
                    stray.reshape(len(SCALES_S), -1, strays.shape[-1]).astype(np.float32),
                    lively[late].reshape(-1, len(STILL)), unrest(felt)[late].reshape(-1, 2), block.ravel(),
                    np.repeat(np.arange(SETTLES_S, seconds), flights))


def _together(parts: Sequence[_Healthy]) -> _Healthy:
    """Return all their seconds as those of one, no block that of another."""
    ends = np.cumsum([0, *(each.block.max() + 1 for each in parts)])
    return _Healthy(np.concatenate([each.smoothed for each in parts], axis=1),
                    np.concatenate([each.strays for each in parts], axis=1),
                    np.concatenate([each.lively for each in parts]),
                    np.concatenate([each.unrest for each in parts]),
                    np.concatenate([each.block + end for each, end in zip(parts, ends, strict=False)]),
                    np.concatenate([each.second for each in parts]))


def _upright(z: Any, strays: Any, frame: Airframe) -> Any:
    """Return residuals (M, R) without those that a horizon may have moved by leaning otherwise than is reckoned."""
    out = z.copy()
    for moved, sizes in zip(leans(frame).T, strays.T, strict=True):
        out[np.ix_(sizes > _UPRIGHT_DEG, moved != 0.0)] = np.nan
    return out


def _spread(z: Any) -> tuple[Any, Any]:
    """Return mean (R,) and covariance (R, R), its spreads widened to the 99.5 % quantile; of what is not read, 0 and 1.
    """
    count = z.shape[1]
    seen = np.isfinite(z)
    often = seen.sum(axis=0) > 1000
    mean = np.array([np.mean(z[seen[:, k], k], dtype=float) if often[k] else 0.0 for k in range(count)])
    centred = np.where(seen, z - mean, 0.0).astype(float)
    pairs = np.maximum(seen.T.astype(float) @ seen.astype(float), 1.0)
    covariance = centred.T @ centred / pairs
    deviation = np.sqrt(np.diag(covariance))
    wide = np.array([
        max(np.quantile(np.abs(centred[seen[:, k], k]), 0.995) / _NORMAL_995, deviation[k]) if often[k] else 1.0
        for k in range(count)])
    correlation = covariance / np.outer(np.where(often, deviation, 1.0), np.where(often, deviation, 1.0))
    correlation[~often] = correlation[:, ~often] = 0.0
    np.fill_diagonal(correlation, 1.0)
    values, vectors = np.linalg.eigh(correlation)   # of pairs that were not read together it may be no covariance
    correlation = (vectors * np.maximum(values, 1e-3)) @ vectors.T
    return mean, correlation * np.outer(wide, wide)


def _dead() -> Any:
    """Return how lively a needle of `STILL` looks that stands dead still and is read with errors."""
    seeds = range(_FIRST_SEED, _FIRST_SEED + 20)
    still = Readings({name: values for name, values in
                      read({name: np.zeros((600, len(seeds))) for name in SIGMA}, seeds).of.items() if name in STILL})
    return np.array([np.nanmean(liveliness(still[name])[SETTLES_S:]) for name in STILL])


def _threshold(ratios: Any, block: Any) -> float:
    """Return the value that healthy flight passes once in 1 / `ALARMS_PER_H` hours, by the tail of its largest values.

    Above a high level the largest values of stretches of flight fall off exponentially (Pickands, 1975; shape 0). How
    fast is a mean of few, whose own error is added.
    """
    order = np.argsort(block, kind="stable")
    starts = np.flatnonzero(np.diff(block[order], prepend=-1))
    if not len(starts):
        return float("inf")
    largest = np.maximum.reduceat(ratios[order], starts)
    level = float(np.quantile(largest, 1.0 - max(_TAIL, min(_TAIL_LEAST / len(largest), 0.1))))
    beyond = largest[largest > level] - level
    falls = float(beyond.mean()) * (1.0 + _ERRORS / np.sqrt(len(beyond))) if len(beyond) else 1.0
    hours = len(ratios) / 3600.0
    return float(level + max(falls, 0.5) * np.log(max(len(beyond), 1) / hours / ALARMS_PER_H))


