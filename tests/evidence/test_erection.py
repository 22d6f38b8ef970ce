"""What a healthy horizon is allowed for in and after a turn, by the handbook's figure and in flight."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from drill.airplane.airframe import Airframe
from drill.evidence.erection import turn_errors
from drill.evidence.flown import Orders, ordinary, panels, worlds
from drill.evidence.hypotheses import leans
from drill.evidence.readings import read
from drill.evidence.residuals import NAMES, residuals, smooth

FRAME = Airframe(standby_attitude_fitted=True)
TURNS_AT = 120


def turned(rate_dps: float, heading_deg: float) -> dict[str, Any]:
    """Return what the panel shows of a calm flight that turns at a rate from north to a heading, by the needle."""
    t = np.arange(420)[:, None]
    orders = Orders({"heading_deg": np.where(t < TURNS_AT, 0.0, heading_deg), "altitude_ft": 5000.0 + 0.0 * t,
                     "airspeed_kt": 110.0 + 0.0 * t, "turn_rate_dps": rate_dps + 0.0 * t, "bank_by": 1.0 + 0.0 * t})
    return panels(worlds(FRAME, "calm")[0], [7], orders, len(t))


def spread(name: str, rate_dps: float) -> float:
    """Return how far a comparison goes from zero, in the mean of a quarter of a minute, from the turn on."""
    found = smooth(residuals(read(turned(rate_dps, 170.0), [7]), FRAME)[0], 15.0)
    return float(np.nanmax(np.abs(found[TURNS_AT:, 0, NAMES.index(name)])))


def test_straight_flight_leans_no_horizon() -> None:
    level = np.zeros((300, 1))
    assert all(each == pytest.approx(0.0) for each in turn_errors(level, level, level))


def test_half_a_turn_of_standard_rate_leans_a_horizon_by_three_to_five_degrees() -> None:
    # the figure: FAA-H-8083-15, attitude indicator errors; from memory, and so half a degree is left to it
    bank, rate = np.full((60, 1), 18.0), np.full((60, 1), 3.0)
    roll, pitch, _ = turn_errors(bank, rate, 0.0 * bank)
    assert 2.5 < np.hypot(roll[-1, 0], pitch[-1, 0]) < 5.5
    assert roll[-1, 0] < 0.0 < pitch[-1, 0]      # less bank is shown than flown, and the nose too high


def test_a_lean_is_forgotten_within_two_minutes_of_straight_flight() -> None:
    turning = (np.arange(240) < 60)[:, None]
    roll, pitch, strays = turn_errors(18.0 * turning, 3.0 * turning, 0.0 * turning)
    assert np.hypot(roll[-1, 0], pitch[-1, 0]) < 0.2
    assert strays[-1, 0].max() < 0.1


def test_a_long_turn_at_half_rate_makes_the_bars_pitch_the_least_sure() -> None:
    # what is not known of the lean is carried round by the turn, to be the pitch's
    slow, fast = ((np.arange(180) < seconds)[:, None] for seconds in (120, 60))
    half, standard = (turn_errors(bank * turning, rate * turning, 0.0 * turning)[2][:, 0]
                      for turning, bank, rate in ((slow, 3.0, 1.5), (fast, 18.0, 3.0)))
    assert (np.diff(half[:120, 1]) >= 0.0).all()
    assert half[119, 1] > standard[59, 1] > 0.5


def test_speed_gained_raises_the_nose_of_a_horizon_and_no_farther_than_the_apparent_vertical() -> None:
    level = np.zeros((120, 1))
    _, pitch, _ = turn_errors(level, level, level + 0.5)
    assert pitch[-1, 0] == pytest.approx(np.degrees(np.arctan(0.5 / 9.80665)), abs=0.05)


@pytest.mark.parametrize("rate_dps", [1.5, 3.0])
def test_a_turn_hardly_parts_horizon_needle_and_card(rate_dps: float) -> None:
    # the roll that the canted needle feels as well, and what the vanes take from the bar, are allowed for
    assert spread("bank and needle", rate_dps) < 0.6
    assert spread("card and needle", rate_dps) < 0.6


@pytest.mark.parametrize("air", ["calm", "light", "moderate"])
def test_a_healthy_bars_pitch_is_within_four_sigmas_of_what_is_reckoned_after_any_turn(air: str) -> None:
    seeds, count = range(8_300_000, 8_300_012), 1800
    shown = panels(worlds(FRAME, air)[1], seeds, ordinary(FRAME, seeds, count), count)
    found, _, strays = residuals(read(shown, seeds), FRAME)
    place = NAMES.index("pitch and altimeter")
    after, off = (smooth(each, 15.0)[60:] for each in (strays, found))
    degree = leans(FRAME)[place, 1]
    straight = float(np.nanstd(off[..., place][after[..., 1] < 0.1]))
    far = np.abs(off[..., place]) / np.hypot(straight, degree * after[..., 1])
    turned_lately = after[..., 1] > 0.15
    assert np.isfinite(far[turned_lately]).sum() > 1000
    assert np.nanmax(far[turned_lately]) < 4.0


def test_who_flies_by_a_horizon_that_has_leant_is_still_seen_to_turn() -> None:
    shown = turned(1.5, 170.0)
    rolled_out = shown["bank_deg"][TURNS_AT + 100, 0]
    assert abs(rolled_out) < 4.0                 # eight degrees are flown
    assert shown["turn_rate_dps"][TURNS_AT + 100, 0] > 1.0
