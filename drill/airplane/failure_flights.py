"""Flights in which each failure of the catalogue happens once, and what the instruments show in them.

Every failure is flown by the same seeds, beside a twin with the same orders in which nothing fails (but that it does
not glide where the engine does). The hands use what the failure leaves good.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import ARRAYS, Quantity
from drill.airplane.constants import STEP_S
from drill.airplane.controls import (
    BY_COMPASS,
    BY_PRESSURE,
    BY_TURN,
    HOLD_PITCH,
    HOLD_THROTTLE,
    Controls,
)
from drill.airplane.draws import Draws
from drill.airplane.failure import HEALTHY, Failure
from drill.airplane.failures import Active, faults_at
from drill.airplane.faults import Faults
from drill.airplane.model import Start, begin, read, step, truths
from drill.airplane.panel import Panel, Truths
from drill.airplane.world import World

SEEDS = 8
ONSET_S = 60.0
TIMES_S = (30.0, 60.0, 120.0, 300.0, 600.0)
"""After the onset: straight and level twice, in a standard-rate turn, climbing, descending at low power."""
TURNING = TIMES_S.index(120.0)

_TURN_FROM_S, _CLIMB_FROM_S, _DESCENT_FROM_S = 100.0, 270.0, 560.0
_LET_RUN_S = 3.0           # a runaway autopilot is switched off after this
_FROM_FT = 9_000.0
_GLIDE_DEG = -2.0          # from the pitch of level flight, where the engine fails
_AIRFRAME = Airframe(low_vacuum_light_fitted=True, standby_vacuum_fitted=True, standby_attitude_fitted=True,
                     autopilot="turn coordinator")
_FAIR = Air(turbulence="light")
_ICING = Air(turbulence="light", icing="light", cloud_tops_ft=20_000.0, freezing_level_ft=0.0)
_VACUUM = {"pump", "clog", "leak", "regulator_inhg"}


@dataclass(frozen=True, slots=True)
class Sight:
    """Something to be read: which instrument, how far off it is (or what it reads), and what counts as a change."""

    instrument: str          # as in `Failure.revealed_by`
    says: str
    unit: str
    rounded_to: float
    tolerance: float
    value: Callable[[Panel, Truths], Quantity]
    angle: bool = False
    visible: Callable[[Panel], Quantity] | None = None
    told_by_turning: bool = True   # False: off in every turn, so that a turn tells nothing


def _off(instrument: str, says: str, unit: str, rounded_to: float, tolerance: float, name: str, *,
         true: str | None = None, angle: bool = False, visible: Callable[[Panel], Quantity] | None = None,
         told_by_turning: bool = True) -> Sight:
    """Shown less true."""
    def value(panel: Panel, truth: Truths) -> Quantity:
        away = getattr(panel, name) - getattr(truth, true or name)
        return (away + 180.0) % 360.0 - 180.0 if angle else away

    return Sight(instrument, says, unit, rounded_to, tolerance, value, angle, visible, told_by_turning)


def _reads(instrument: str, says: str, unit: str, rounded_to: float, tolerance: float, name: str) -> Sight:
    return Sight(instrument, says, unit, rounded_to, tolerance, lambda panel, _: getattr(panel, name))


OFF = (
    _off("attitude_indicator", "bank", "deg", 1.0, 3.0, "bank_deg", angle=True),
    _off("attitude_indicator", "pitch", "deg", 1.0, 2.0, "pitch_deg"),
    _off("heading_indicator", "heading", "deg", 1.0, 4.0, "heading_deg", angle=True),
    _off("turn_coordinator", "rate of turn", "deg/s", 0.1, 0.6, "turn_rate_dps"),
    _off("magnetic_compass", "heading", "deg", 1.0, 12.0, "compass_deg", true="heading_deg", angle=True,
         told_by_turning=False),
    _off("airspeed_indicator", "airspeed", "kt", 1.0, 2.5, "airspeed_kt"),
    _off("altimeter", "altitude", "ft", 10.0, 12.0, "altitude_ft"),
    _off("vertical_speed_indicator", "vertical speed", "ft/min", 50.0, 120.0, "vertical_speed_fpm"),
    _off("navigation", "GPS track", "deg", 1.0, 8.0, "track_deg", angle=True, visible=lambda panel: panel.gps_on),
    _off("standby_instrument", "standby bank", "deg", 1.0, 3.0, "standby_bank_deg", true="bank_deg", angle=True,
         visible=lambda panel: 1.0 - panel.standby_flag),
)
"""What has a truth: shown less true."""

READ = (
    _reads("suction_gauge", "suction", "inHg", 0.1, 0.35, "suction_inhg"),
    _reads("ammeter", "current", "A", 1.0, 3.0, "amps"),
    _reads("voltmeter", "bus", "V", 0.1, 0.7, "volts"),
    _reads("tachometer", "engine speed", "rpm", 10.0, 150.0, "rpm"),
)
"""What is read by itself."""

LIT = (
    ("attitude_indicator", "bar spins or has fallen", "attitude_tumbled"),
    ("turn_coordinator", "flag", "turn_flag"),
    ("suction_gauge", "low-vacuum light", "low_vacuum_light"),
    ("voltmeter", "low-voltage light", "low_voltage_light"),
    ("standby_instrument", "standby attitude crossed out", "standby_flag"),
    ("autopilot", "autopilot flies", "autopilot_on"),
    ("radio", "radio has power", "radio_on"),
    ("transponder", "transponder answers", "transponder_on"),
    ("navigation", "GPS has power and signal", "gps_on"),
)
"""Lights, flags and what is on or off."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One failure's flights: by each sight, arrays (times, seeds) of the failing flights and of their twins."""

    failing: dict[Sight | str, Any]
    twins: dict[Sight | str, Any]
    ended: Any               # (times,) share of the failing flights that had ended

    def differing(self) -> list[Sight | str]:
        """Return the sights, and the names of lights and flags, that show what the twins do not at any of the times."""
        return [*(sight for sight in (*OFF, *READ) if self._differs(sight)),
                *(name for _, _, name in LIT if self._lit_otherwise(name))]

    def _differs(self, sight: Sight) -> bool:
        mine, theirs = self.failing[sight], self.twins[sight]
        away = np.abs(median(mine) - median(theirs))
        wider = median(np.abs(mine)) - median(np.abs(theirs))
        if not sight.told_by_turning and len(away) > TURNING:
            away[TURNING] = wider[TURNING] = 0.0
        dark = np.isnan(mine).sum(axis=1) - np.isnan(theirs).sum(axis=1) > mine.shape[1] / 2
        found = (away > sight.tolerance) | (wider > sight.tolerance) | (dark & (sight.visible is not None))
        return bool(found.any())

    def _lit_otherwise(self, name: str) -> bool:
        return bool((np.abs(median(self.failing[name]) - median(self.twins[name])) > 0.5).any())


def _touched(failure: Failure) -> set[str]:
    return {effect.field for effect in failure.effects}


def _air(failure: Failure) -> Air:
    """What shows the failure: a dead pitot heat wants ice."""
    return _ICING if "pitot_heat" in _touched(failure) else _FAIR


def _by_pitch_and_power(failure: Failure) -> bool:
    return any(name.startswith(("pitot_", "static_", "airspeed_", "altimeter_")) for name in _touched(failure))


def _orders(failures: Sequence[Failure], t: float, level_deg: Quantity, cruise: Quantity) -> Controls:
    """Orders of all flights at a time after the onset: of each failure its seeds, then its twins."""
    def each(chosen: Callable[[Failure], float]) -> Quantity:
        return np.repeat([chosen(failure) for failure in failures], 2 * SEEDS)

    def starts(failure: Failure, *names: str) -> bool:
        return any(field.startswith(names) for field in _touched(failure))

    attitude = each(lambda f: float(bool(_VACUUM & _touched(f)) or starts(f, "attitude_")))
    heading = each(lambda f: float(bool(_VACUUM & _touched(f)) or starts(f, "heading_")))
    glides = each(lambda f: float("engine" in _touched(f))) * (t >= 0.0)
    glides = glides * np.tile(np.repeat([1.0, 0.0], SEEDS), len(failures))   # a twin has its engine and stays up
    known = np.maximum(each(lambda f: float(_by_pitch_and_power(f))), glides)
    climbs, descends = _CLIMB_FROM_S <= t < _DESCENT_FROM_S - 120.0, t >= _DESCENT_FROM_S
    throttle = np.where(known > 0.5, cruise, 0.25)
    if climbs or descends:
        throttle = np.minimum(cruise + 0.25, 1.0) if climbs else 0.0 * cruise + 0.25
    return Controls(
        bank_by=attitude * BY_TURN, pitch_by=attitude * BY_PRESSURE, heading_by=heading * BY_COMPASS,
        heading_deg=90.0 if t >= _TURN_FROM_S else 0.0,
        vertical=known * HOLD_PITCH,
        pitch_deg=level_deg + np.where(glides > 0.5, _GLIDE_DEG, 3.0 if climbs else -3.0 if descends else 0.0),
        altitude_ft=_FROM_FT + (0.0 if t < _CLIMB_FROM_S else -1000.0 if descends else 1000.0),
        power=np.where((known > 0.5) | descends, HOLD_THROTTLE, 0.0), throttle=throttle,
        autopilot=each(lambda f: float(starts(f, "autopilot_holds")
                                       or (starts(f, "autopilot_runs") and t < _LET_RUN_S))),
        pitot_heat=each(lambda f: float("pitot_heat" in _touched(f))),
    )


def _faults(failures: Sequence[Failure], t: float) -> Faults:
    """Condition of all flights: each failure's seeds at `t` seconds after its onset, its twins healthy."""
    if t < 0.0:
        return Faults()
    single = [faults_at([Active(failure, t)]) for failure in failures]
    columns = {}
    for field in fields(Faults):
        values = [getattr(one, field.name) for one in single]
        if any(value != HEALTHY[field.name] for value in values):
            pairs = np.array([[value, HEALTHY[field.name]] for value in values], dtype=float)
            columns[field.name] = np.repeat(pairs.ravel(), SEEDS)
    return Faults(**columns)


def _fly(failures: Sequence[Failure], air: Air, last_s: float) -> list[tuple[Panel, Truths]]:
    world = World(_AIRFRAME, air, ARRAYS)
    draws = Draws(list(range(SEEDS)) * 2 * len(failures))
    state = begin(world, Start(altitude_ft=_FROM_FT), draws)
    first = truths(world, state, Controls())
    found: list[tuple[Panel, Truths]] = []
    faults, orders = Faults(), Controls()
    for count in range(round((ONSET_S + last_s) / STEP_S)):
        t = count * STEP_S - ONSET_S
        if count % 10 == 0:   # orders and wear change each second
            orders = _orders(failures, t, first.pitch_deg, first.throttle)
            faults = _faults(failures, t)
        state = step(world, state, orders, faults, draws)
        after = (count + 1) * STEP_S - ONSET_S
        if any(abs(after - at) < STEP_S / 2.0 for at in TIMES_S):
            found.append((read(world, state, orders, faults, draws), truths(world, state, orders)))
    return found


def fly(failures: Sequence[Failure], last_s: float = TIMES_S[-1]) -> list[Seen]:
    """Return what is seen of each failure, in their order; some seconds of computing for all of them."""
    by_air: dict[Air, list[int]] = {}
    for place, failure in enumerate(failures):
        by_air.setdefault(_air(failure), []).append(place)
    seen: dict[int, Seen] = {}
    for air, places in by_air.items():
        flown = _fly([failures[place] for place in places], air, last_s)
        shape = (len(flown), len(places), 2, SEEDS)
        columns: dict[Sight | str, Any] = {}
        ended = np.array([truth.broken + truth.on_ground for _, truth in flown]).reshape(shape) > 0.0
        for sight in (*OFF, *READ):
            rows = [np.where(sight.visible(panel) > 0.5, sight.value(panel, truth), np.nan) if sight.visible
                    else sight.value(panel, truth) for panel, truth in flown]
            columns[sight] = np.where(ended, np.nan, np.array(rows).reshape(shape))
        for _, _, name in LIT:
            columns[name] = np.where(ended, np.nan,
                                     np.array([getattr(panel, name) for panel, _ in flown]).reshape(shape))
        for among, place in enumerate(places):
            seen[place] = Seen({key: value[:, among, 0] for key, value in columns.items()},
                               {key: value[:, among, 1] for key, value in columns.items()},
                               ended[:, among, 0].mean(axis=1))
    return [seen[place] for place in range(len(failures))]


def median(values: Any) -> Any:
    """Return the median over the seeds of an array (times, seeds), NaN where no flight has a value."""
    return np.array([np.median(row[~np.isnan(row)]) if (~np.isnan(row)).any() else np.nan for row in values])
