"""Where a delay in recognizing lies among pilots who were measured, and among simulated ones that were fitted to them.

DOT/FAA/AM-02/19 (2002, abstract): 41 instrument-rated pilots lost their vacuum unannounced in real airplanes in
simulated cloud. The mean time to recognize it was 7.6 minutes from the failure (two of the groups of the fixed-gear
single), and 4.9 in the group that had practiced partial panel for half an hour before. No spread is published; how the
single pilots lay about the mean is that of the trainer's simulated pilots (`drill.airplane.people`), and said to be so.
No study of other failures is known to the authors: for those the same figures stand as the nearest that there are.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from drill.grading.timeline import Onset, lasting

MEAN_MIN = 7.6           # groups A and C, without the practice
TRAINED_MIN = 4.9        # group B, with it
NEAR_MIN = 0.5           # so near the mean is "about"; our choice

SHARES = (0.05, 0.10, 0.20, 0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.90, 0.95)
SIMULATED_MIN = (5.04, 5.38, 5.88, 6.30, 7.07, 7.67, 8.03, 8.47, 8.82, 9.52, 9.95)
"""By when (minutes from the failure) these shares of 400 simulated pilots, fixed-gear single, had recognized it."""

SIMULATED_TRAINED_MIN = (4.45, 4.84, 5.12, 5.35, 5.54, 5.71, 5.83, 5.98, 6.13, 6.44, 6.74)
"""The same after the practice."""

SLOW_S = SIMULATED_MIN[SHARES.index(0.90)] * 60.0
"""From the failure, s: nine in ten of them were sooner. Nothing sooner than this is called late."""

STUDIED = frozenset({"vacuum pump", "vacuum line", "vacuum filter", "vacuum regulator"})
"""Parts whose failure is what the study's pilots met, or comes to the same."""


STUDY = "The study had 25 pilots in that airplane"


def share_sooner(minutes: float, by: Sequence[float] = SIMULATED_MIN) -> float:
    """Return the share (0 to 1) of the simulated pilots who had recognized it `minutes` after the failure.

    Between the shares that are known it is linear; beyond them it is 0 and 1.
    """
    place = bisect_right(by, minutes)
    if place == 0:
        return 0.0
    if place == len(by):
        return 1.0
    low, high = by[place - 1], by[place]
    return SHARES[place - 1] + (SHARES[place] - SHARES[place - 1]) * (minutes - low) / (high - low)


def standing(onset: Onset, since_failure_s: float, *, told: bool = False) -> str:
    """Return in words where an act so long (s) after the failure lies among pilots: the numbers, the study, its limits.

    `told`: the study has been told with another failure of the same flight, and is only named.
    """
    minutes = since_failure_s / 60.0
    beside = "about as long as" if abs(minutes - MEAN_MIN) <= NEAR_MIN else (
        "sooner than" if minutes < MEAN_MIN else "longer than")
    whom = "whom it met" if onset.part in STUDIED else "whom a dead vacuum pump met"
    unmeasured = f" How soon pilots recognize a failure of the {onset.part} nobody has measured."
    other = "" if onset.part in STUDIED else unmeasured
    if told:
        return (f"Counted from the failure itself that is {lasting(since_failure_s)}, {beside} the 7.6 minutes of the "
                f"vacuum pump's study.{other}")
    return (
        f"Counted from the failure itself that is {lasting(since_failure_s)}, {beside} the average of instrument-rated "
        f"pilots {whom} unannounced in flight: 7.6 minutes, without extra partial-panel training, and 4.9 after half "
        f"an hour of it. {_simulated(minutes)} {STUDY} and published no spread; the "
        f"simulated pilots are this trainer's, fitted to its mean.{other}")


def _simulated(minutes: float) -> str:
    return (f"Of simulated pilots {_in_ten(share_sooner(minutes))} had it by then, of those with the training "
            f"{_in_ten(share_sooner(minutes, SIMULATED_TRAINED_MIN))}.")


def _in_ten(share: float) -> str:
    tenths = round(10.0 * share)
    return "hardly one" if tenths == 0 else "nearly all" if tenths == 10 else f"{tenths} in ten"
