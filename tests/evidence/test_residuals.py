"""Residuals spread alike wherever in a flight they are taken: rough air at idle and in slow flight."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from drill.airplane import atmosphere
from drill.airplane.airframe import Airframe
from drill.airplane.arith import ARRAYS
from drill.airplane.constants import KNOT
from drill.airplane.motion import engine_rpm, full_power_w
from drill.evidence.readings import Readings
from drill.evidence.residuals import NAMES, residuals

FRAME = Airframe()
SECONDS = 300
GUSTS_KT = 5.0


def flown(throttle: float, knots: float, *, pitch_deg: float = 3.0, gusts: bool = True, lost: float = 0.0) -> Any:
    """Return the residuals (T, R) of steady flight at 5,000 ft whose airspeed needle, and nothing else, feels gusts.

    `lost` is the share of full power that the engine makes less than its throttle says.
    """
    rng = np.random.default_rng(11)
    steady = np.ones((SECONDS, 1))
    density = atmosphere.density(atmosphere.pressure_pa(1524.0), atmosphere.temperature_k(1524.0, 0.0))
    impact = 0.5 * 1.225 * (knots * KNOT) ** 2
    tas = float(np.sqrt(2.0 * impact / density))
    rpm = float(engine_rpm(ARRAYS, FRAME, np.array(throttle - lost) * full_power_w(FRAME, density), np.array(tas)))
    of = {name: np.full((SECONDS, 1), np.nan) for name in (
        "standby_bank_deg", "standby_pitch_deg", "track_deg", "groundspeed_kt")}
    of |= {"bank_deg": 0.0 * steady, "pitch_deg": pitch_deg * steady, "heading_deg": 90.0 * steady,
           "turn_rate_dps": 0.0 * steady, "compass_deg": 90.0 * steady,
           "airspeed_kt": knots + (GUSTS_KT * rng.standard_normal((SECONDS, 1)) if gusts else 0.0 * steady),
           "altitude_ft": 5000.0 * steady, "vertical_speed_fpm": 0.0 * steady, "rpm": rpm * steady,
           "throttle": throttle * steady, "altimeter_setting_hpa": 1013.25 * steady, "flaps_deg": 0.0 * steady,
           "carburettor_heat": 0.0 * steady, "on_ground": 0.0 * steady, "warmer_c": 0.0 * steady,
           "pitot_heat": 0.0 * steady, "landing_light": 0.0 * steady}
    return residuals(Readings(of), FRAME)[0][60:, 0]


def spread(name: str, throttle: float, knots: float, pitch_deg: float = 3.0) -> float:
    return float(np.nanstd(flown(throttle, knots, pitch_deg=pitch_deg)[:, NAMES.index(name)]))


def test_gusts_move_the_engines_comparison_no_more_at_idle_than_in_cruise() -> None:
    idle, cruise = (spread("throttle and tachometer", throttle, 105.0) for throttle in (0.0, 0.7))
    assert idle == pytest.approx(cruise, rel=0.15)


def test_the_engines_comparison_is_zero_where_throttle_and_tachometer_agree() -> None:
    for throttle in (0.0, 0.3, 0.7, 1.0):
        found = flown(throttle, 105.0, gusts=False)[:, NAMES.index("throttle and tachometer")]
        assert np.abs(found).max() < 10.0            # of the airspeed's compressibility, that is left out here


def test_a_tenth_of_the_power_lost_shows_as_much_at_any_throttle() -> None:
    place = NAMES.index("throttle and tachometer")
    low, high = (float(np.nanmean(flown(throttle, 105.0, gusts=False, lost=0.1)[:, place]
                                  - flown(throttle, 105.0, gusts=False)[:, place])) for throttle in (0.4, 0.9))
    assert low == pytest.approx(high, abs=1.0)
    assert low < -50.0


def test_in_slow_flight_the_polar_is_given_slack_where_pitch_and_airspeed_both_say_slow() -> None:
    place = NAMES.index("power and airspeed")
    slow, only_the_needle = (np.abs(np.nanmean(flown(1.0, 72.0, pitch_deg=pitch, gusts=False)[:, place]))
                             for pitch in (12.0, 0.0))
    assert slow < 0.5 * only_the_needle
