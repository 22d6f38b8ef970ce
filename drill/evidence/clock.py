"""The evidence clock: second by second, what a tireless cross-check knows is wrong, and by what.

Something is wrong as soon as one hypothesis is more likely than a healthy airplane by its threshold, or a direct rule
says so. It has a name when one of those hypotheses is, besides, more likely than each rival by Wald's bound, and what
contains it is not more likely by more than its added freedom explains. This is a lower bound: nobody reads everything
once a second, and knows by heart what goes with what.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from drill.airplane.airframe import Airframe
from drill.evidence import rules
from drill.evidence.filters import held_for
from drill.evidence.hypotheses import Hypothesis, hypotheses, leans, within
from drill.evidence.readings import Readings
from drill.evidence.residuals import NAMES, SAYS, STILL, asked, residuals, smooth, unrest
from drill.evidence.statistics import SCALES_S, SETTLES_S, Statistics, judged, limits, standing_still, taken_for
from drill.evidence.wald import BOUND

NAMED_S = 3                # readings in a row that give the same name
STANDS_OUT = 3.0           # spreads: a comparison that counts by itself
STILL_TELLS = 2.5          # spreads between a live needle and a dead one
WIDER = 0.6                # of a wider hypothesis' threshold, before it takes the name from a narrower one
CHANCE = (0.0, 7.568, 9.210, 10.554, 11.756, 12.872, 13.928, 14.939)
"""What k more free sizes explain of a log likelihood ratio by chance once in 10,000 times: half a chi-square of k."""


@dataclass(frozen=True, slots=True)
class Known:
    """What is known each second of T, in N flights.

    `over`: which hypotheses are past their thresholds; `named`: which of them have their name; `direct`: which rules
    have spoken. `ratios` are the log likelihood ratios, `smoothed` the residuals at each scale and `air` its class.
    """

    hypotheses: tuple[Hypothesis, ...]
    ratios: Any                # (T, N, H)
    over: Any                  # (T, N, H)
    named: Any                 # (T, N, H)
    direct: Any                # (T, N, rules)
    smoothed: tuple[Any, ...]  # of (T, N, R)
    air: Any                   # (T, N)

    def alarm(self) -> Any:
        """Return whether something is known to be wrong, (T, N)."""
        return self.over.any(axis=-1) | self.direct.any(axis=-1)


def watch(readings: Readings, frame: Airframe, statistics: Statistics) -> Known:
    """Return what a tireless cross-check knows of these readings, by the statistics of healthy flight."""
    every = hypotheses(frame)
    found, lively, strays = residuals(readings, frame)
    smoothed = asked([smooth(found, tau) for tau in SCALES_S])
    leant = [smooth(strays, tau).reshape(-1, strays.shape[-1]) for tau in SCALES_S]
    seconds, flights = readings.shape
    felt = unrest(readings).reshape(seconds * flights, -1)
    air, calmest = taken_for(felt, statistics.edges, np.repeat(np.arange(seconds), flights))
    flat = [each.reshape(-1, len(NAMES)) for each in smoothed]
    ratios = judged(flat, leant, lively.reshape(-1, lively.shape[-1]), (air, calmest), statistics, every, frame)
    ratios[:SETTLES_S * flights] = 0.0
    least = limits(statistics, flat, air)
    over = (ratios > least) & _borne_out(flat, leant, air, statistics, every, frame)
    present = np.any([np.isfinite(each) for each in flat], axis=0)
    still = standing_still(lively.reshape(len(flat[0]), -1), calmest, statistics)
    says = np.stack([still[:, STILL.index(each.stills)] if each.must_still else 0.0 * still[:, 0] for each in every],
                    axis=1)
    fresh = names(ratios, over, present, [each.space(frame) for each in every], least,
                  _by_stillness(every), says, _stillness_tells(statistics)[calmest])
    shape = (seconds, flights, len(every))
    named = held_for(fresh.reshape(shape), NAMED_S)
    return Known(every, ratios.reshape(shape), over.reshape(shape), named, rules.seen(readings, frame),
                 smoothed, air.reshape(seconds, flights))


def _borne_out(smoothed: Sequence[Any], leant: Sequence[Any], air: Any, statistics: Statistics,
               every: Sequence[Hypothesis], frame: Airframe) -> Any:
    """Say whether a comparison that a hypothesis moves stands out by itself, (M, H), not only beside the others."""
    far = np.zeros(smoothed[0].shape)
    for scale, (z, strays) in enumerate(zip(smoothed, leant, strict=True)):
        upright = np.diagonal(statistics.covariance[:, scale], axis1=1, axis2=2)[air]
        spread = np.sqrt(upright + strays ** 2 @ leans(frame).T ** 2)
        far = np.fmax(far, np.abs(z - statistics.mean[air, scale]) / spread)
    moved = [[name in each.moves(frame) for name in NAMES] for each in every]
    return np.stack([far[:, each].max(axis=1) > STANDS_OUT for each in np.array(moved)], axis=1)


def _stillness_tells(statistics: Statistics) -> Any:
    """Say for each class of air whether a dead needle of the static line looks otherwise than a live one."""
    return (statistics.lively[:, 0] - statistics.dead[0]) / statistics.lively_spread[:, 0] > STILL_TELLS


def _by_stillness(every: Sequence[Hypothesis]) -> Any:
    """Return which pairs of hypotheses, (H, H), are told apart by whether a needle stands still."""
    stills = [each.stills if each.must_still else "" for each in every]
    lives = [each.leaves_alive for each in every]
    return np.array([[bool(one and one == other) for other in lives] for one in stills])


def names(ratios: Any, over: Any, present: Any, spaces: Sequence[Any], thresholds: Any, by_stillness: Any,
          says: Any, tells: Any) -> Any:
    """Return which hypotheses have their name, (M, H), of M seconds with their ratios and the residuals present (M, R).

    Those that cannot be told apart get it together: by the residuals present, or for want of air that moves a needle
    (`tells` (M,) says whether it does) those that are told apart `by_stillness` (H, H), until one of the two is ahead
    by what a wider one needs, or by Wald's bound. What stillness `says` of each (M, H) is in its ratio; what else one
    of such two explains counts no more than that bound: where a fault is large, no direction is quite its own.
    `thresholds` (M, H) are those of an alarm.
    """
    either = by_stillness | by_stillness.T
    out = np.zeros_like(over)
    some = np.flatnonzero(over.any(axis=1))
    codes = present[some] @ (1 << np.arange(present.shape[1]))
    for code in np.unique(codes):
        rows = some[codes == code]
        margins = _margins([space[present[rows[0]]] for space in spaces])
        wider = margins < -BOUND
        # What freedom explains by chance, and healthy flight's own tails: a share of the wider one's threshold.
        least = np.where(wider, -WIDER * thresholds[rows][:, None, :], np.where(
            wider.T, WIDER * thresholds[rows][:, :, None], -np.inf))
        needs = np.where(wider, np.minimum(margins, least), np.maximum(margins, least))
        sure = tells[rows, None, None]
        needs = np.where(either, np.where(sure, BOUND, np.maximum(needs, BOUND)), needs)
        lead, by_needle = (each[rows][:, :, None] - each[rows][:, None, :] for each in (ratios, says))
        lead = np.where(either, by_needle + np.clip(lead - by_needle, -BOUND, BOUND), lead)
        ahead = lead >= needs
        alike = either & ~sure & ~ahead & ~ahead.transpose(0, 2, 1)
        found = over[rows] & (ahead | alike).all(axis=2)
        out[rows] = found | (found[:, :, None] & alike).any(axis=1)
    return out


def _margins(spaces: Sequence[Any]) -> Any:
    """Return by how much (H, H) the first must be more likely than the second to be named before it."""
    count = len(spaces)
    ranks = [int(np.linalg.matrix_rank(space)) if space.size else 0 for space in spaces]
    margins = np.full((count, count), BOUND)
    for one in range(count):
        for other in range(count):
            inner, outer = within(spaces[one], spaces[other]), within(spaces[other], spaces[one])
            if one == other or (inner and outer):
                margins[one, other] = 0.0 if one == other else -1e-6
            elif inner:
                margins[one, other] = -CHANCE[ranks[other] - ranks[one]]
            elif outer:
                margins[one, other] = max(BOUND, CHANCE[ranks[one] - ranks[other]])
    return margins


def words_of(known: Known, second: int, flight: int, which: int, statistics: Statistics, frame: Airframe) -> str:
    """Say in words by which comparison a hypothesis (its place `which`) shows itself at a second.

    It is that of its residuals which stands farthest from what healthy flight has, in spreads of the scale.
    """
    kind, moved = known.air[second, flight], known.hypotheses[which].moves(frame)
    far: list[tuple[float, str]] = []
    for scale, each in enumerate(known.smoothed):
        z = each[second, flight] - statistics.mean[kind, scale]
        spread = np.sqrt(np.diagonal(statistics.covariance[kind, scale]))
        far += [(abs(float(z[place] / spread[place])), name) for place, name in enumerate(NAMES)
                if np.isfinite(z[place]) and name in moved]
    return SAYS[max(far)[1]] + " did not agree" if far else ""
