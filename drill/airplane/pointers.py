"""Where the pointers of the faces stand at a reading, in degrees clockwise from the top; for screens and for paper.

How a scale lies on its dial is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from drill.airplane.constants import VSI_MOST_FPM
from drill.airplane.dials import STANDARD_RATE_DPS

# --- airspeed --------------------------------------------------------------------------------------

LOW_KT = 40
"""The lowest mark of the airspeed indicator. The needle rests on its stop a little below."""

STOP_KT = 34
FIGURE_EACH_KT = 20
_FIRST_DEG = 32.0
_LAST_DEG = 328.0
_BEYOND_KT = 15       # what the scale shows above the highest arc
_LEAST_HIGH_KT = 160


def airspeed_high_kt(highest_kt: float) -> int:
    """Return the highest mark of an airspeed indicator whose arcs end at `highest_kt`, the never-exceed speed."""
    return max(_LEAST_HIGH_KT, ceil((highest_kt + _BEYOND_KT) / FIGURE_EACH_KT) * FIGURE_EACH_KT)


def airspeed_deg(knots: float, high_kt: float) -> float:
    """Return where the airspeed needle points on a scale up to `high_kt`; it stays between its stops."""
    within = min(max(knots, STOP_KT), high_kt + LOW_KT - STOP_KT)
    return _FIRST_DEG + (within - LOW_KT) / (high_kt - LOW_KT) * (_LAST_DEG - _FIRST_DEG)


# --- altimeter -------------------------------------------------------------------------------------


def hundreds_deg(feet: float) -> float:
    """Return where the altimeter's long needle points: once around in 1,000 ft."""
    return feet % 1000 * 0.36


def thousands_deg(feet: float) -> float:
    """Return where the altimeter's short pointer points: once around in 10,000 ft."""
    return feet % 10_000 * 0.036


# --- vertical speed --------------------------------------------------------------------------------

FULL_SCALE_FPM = int(VSI_MOST_FPM)
_ZERO_DEG = 270.0
_FULL_DEG = 170.0


def vertical_speed_deg(fpm: float) -> float:
    """Return where the needle of vertical speed points (may exceed 360): zero at nine o'clock; it has stops."""
    within = min(max(fpm, -FULL_SCALE_FPM), FULL_SCALE_FPM)
    return _ZERO_DEG + within / FULL_SCALE_FPM * _FULL_DEG


# --- turn ------------------------------------------------------------------------------------------

STANDARD_RATE_TILT_DEG = 20.0
"""How far the turn coordinator's little airplane leans at standard rate."""

TURN_STOP_DPS = 6.0
"""Here it leans on its stop."""


def turn_tilt_deg(rate_dps: float, standard_rate_dps: float = STANDARD_RATE_DPS) -> float:
    """Return how far the little airplane leans, right wing down positive."""
    return min(max(rate_dps, -TURN_STOP_DPS), TURN_STOP_DPS) / standard_rate_dps * STANDARD_RATE_TILT_DEG


# --- heading ---------------------------------------------------------------------------------------

CARD_FIGURES = ("N", "3", "6", "E", "12", "15", "S", "21", "24", "W", "30", "33")
"""What is printed on the cards of heading indicator and compass, each thirty degrees from north."""


def on_the_case_deg(bearing_deg: float, heading_deg: float) -> float:
    """Return where on the case a bearing of the card stands, degrees clockwise from the lubber line, 0 <= x < 360."""
    return (bearing_deg - heading_deg) % 360


# --- small gauges ----------------------------------------------------------------------------------

SWEEP_DEG = 66.0
"""From the top of a small gauge to either end of its scale."""


@dataclass(frozen=True, slots=True)
class GaugeScale:
    """What is printed on a small gauge, in its own unit."""

    low: float
    high: float
    mark_each: float
    figure_each: float
    per_figure: float = 1.0      # what a figure of 1 stands for

    @property
    def marks(self) -> tuple[float, ...]:
        """The values that have a mark."""
        return _steps(self.low, self.high, self.mark_each)

    @property
    def figures(self) -> tuple[tuple[float, str], ...]:
        """The values that have a figure, each with it."""
        return tuple((value, f"{value / self.per_figure:.0f}")
                     for value in _steps(self.low, self.high, self.figure_each))

    def angle(self, value: float) -> float:
        """Return where the needle points; off the scale it rests at the stop."""
        share = min(max((value - self.low) / (self.high - self.low), 0.0), 1.0)
        return SWEEP_DEG * (2 * share - 1)


def _steps(low: float, high: float, each: float) -> tuple[float, ...]:
    return tuple(low + number * each for number in range(round((high - low) / each) + 1))


SUCTION_INHG = GaugeScale(0.0, 8.0, 1.0, 2.0)
AMPERES = GaugeScale(-60.0, 60.0, 10.0, 30.0)
VOLTS = GaugeScale(16.0, 32.0, 2.0, 4.0)
"""The voltmeter's scale, of a 28-volt system."""

RPM = GaugeScale(0.0, 3500.0, 100.0, 500.0, per_figure=100.0)
