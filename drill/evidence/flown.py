"""Many flights flown at once, and what their panels show each second: healthy ones, or each with its failure.

The orders are those of an ordinary instrument flight: a turn, a change of level or of speed every few minutes, an
attention that comes and goes, now and then a stretch by the turn coordinator and the compass. They are drawn for each
flight by its seed, from a stream of their own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import ARRAYS
from drill.airplane.constants import STEP_S
from drill.airplane.controls import BY_COMPASS, BY_PRESSURE, BY_STANDBY, BY_TURN, Controls
from drill.airplane.draws import Draws
from drill.airplane.faults import Faults
from drill.airplane.fleet import fly
from drill.airplane.model import Start, begin, read
from drill.airplane.world import World
from drill.evidence.readings import FLAGS, GAUGE_SIGMA, SIGMA

_STREAM = 62
_STEPS = round(1.0 / STEP_S)
_SHOWN = (*(name for name in SIGMA if name != "throttle"), *GAUGE_SIGMA, *FLAGS)
_LOW_FT, _HIGH_FT = 3000.0, 9000.0
_EVERY_S = (180.0, 600.0)            # a turn, a climb or another speed comes so often
_SHIFTS_S = (20.0, 90.0)             # and another share of attention
_ATTENTION = (1.0, 1.0, 1.0, 0.7, 0.5, 0.35)
_PARTIAL = 0.15                      # share of stretches flown by turn coordinator, compass and altimeter
_AUTOPILOT = 0.4                     # and by the autopilot, where there is one


@dataclass(frozen=True, slots=True)
class Orders:
    """Orders of N flights second by second, arrays (T, N) by the name of the field of `Controls`."""

    of: dict[str, Any]

    def at(self, second: int) -> Controls:
        """Return the controls of that second, arrays of shape (N,)."""
        return Controls(**{name: values[second] for name, values in self.of.items()})

    def with_(self, **changed: Any) -> Orders:
        """Return these orders with other columns (T, N) in the place of some."""
        return Orders(self.of | changed)


def ordinary(frame: Airframe, seeds: Sequence[int], seconds: int, begins: tuple[float, float] = _EVERY_S) -> Orders:
    """Return the orders of ordinary flights; `begins` are the least and most seconds between two changes."""
    columns = {name: np.empty((seconds, len(seeds))) for name in (
        "heading_deg", "altitude_ft", "airspeed_kt", "turn_rate_dps", "climb_fpm", "attention", "bank_by", "heading_by",
        "pitch_by", "autopilot")}
    for place, seed in enumerate(seeds):
        rng = np.random.default_rng([seed, _STREAM, 0])
        now = {"heading_deg": 0.0, "altitude_ft": 5000.0, "airspeed_kt": 2.06 * frame.stall_kt, "turn_rate_dps": 3.0,
               "climb_fpm": 500.0, "attention": 1.0, "bank_by": 0.0, "heading_by": 0.0, "pitch_by": 0.0,
               "autopilot": 0.0}
        t = shift = 0.0
        until = rng.uniform(*begins)
        while t < seconds:
            if t >= until:
                _change(frame, rng, now)
                until = t + rng.uniform(*begins)
            if t >= shift:
                now["attention"] = float(rng.choice(_ATTENTION))
                shift = t + rng.uniform(*_SHIFTS_S)
            end = min(until, shift, float(seconds))
            span = slice(int(np.ceil(t)), int(np.ceil(end)))
            for name, value in now.items():
                columns[name][span, place] = value
            t = end
    return Orders(columns)


def _change(frame: Airframe, rng: np.random.Generator, now: dict[str, float]) -> None:
    kind = rng.random()
    if kind < 0.75:
        now["heading_deg"] = (now["heading_deg"] + rng.choice((-1, 1)) * rng.uniform(10.0, 179.0)) % 360.0
        now["turn_rate_dps"] = 3.0 if rng.random() < 0.8 else 1.5
    if kind > 0.5:
        to = now["altitude_ft"] + rng.choice((-1, 1)) * rng.uniform(300.0, 2000.0)
        now["altitude_ft"] = min(max(to, _LOW_FT), _HIGH_FT)
        now["climb_fpm"] = 500.0 if rng.random() < 0.7 else 700.0
    if rng.random() < 0.3:
        now["airspeed_kt"] = rng.uniform(1.5 * frame.stall_kt, 0.95 * frame.cruise_most_kt)
    partial = rng.random() < _PARTIAL
    needle = BY_TURN if frame.turn_coordinator_fitted else BY_STANDBY
    now["bank_by"] = needle if partial and (frame.turn_coordinator_fitted or frame.standby_attitude_fitted) else 0.0
    now["pitch_by"] = BY_PRESSURE if partial and now["bank_by"] == BY_TURN else 0.0
    now["heading_by"] = BY_COMPASS if partial and rng.random() < 0.5 else 0.0
    now["autopilot"] = float(frame.autopilot != "none" and not partial and rng.random() < _AUTOPILOT)


def panels(world: World, seeds: Sequence[int], orders: Orders, seconds: int,
           faults: Callable[[int], Faults] | None = None) -> dict[str, Any]:
    """Return what the panels show, and where the throttles stand, arrays (T, N) by name; flown by `fleet`.

    `faults(second)` gives the condition of the parts of all N flights. After a flight has ended its rows are NaN.
    """
    draws = Draws(list(seeds))
    first = orders.at(0)
    state = begin(world, Start(altitude_ft=first.altitude_ft, heading_deg=first.heading_deg,
                               airspeed_kt=first.airspeed_kt), draws)
    out = {name: np.empty((seconds, len(seeds)), dtype=np.float32) for name in (*_SHOWN, "throttle")}
    healthy = Faults()
    varies = {f"controls.{name}" for name in orders.of}
    for second in range(seconds):
        controls, wrong = orders.at(second), healthy if faults is None else faults(second)
        varies |= {f"faults.{each.name}" for each in fields(wrong) if np.ndim(getattr(wrong, each.name))}
        state = fly(world, state, controls, wrong, draws, _STEPS, varies)
        panel = read(world, state, controls, wrong, draws)
        for name in _SHOWN:
            out[name][second] = getattr(panel, name)
        out["throttle"][second] = state.motion.throttle
        over = (state.motion.broken > 0.5) | (state.motion.on_ground > 0.5)
        if over.any():
            for values in out.values():
                values[second][over] = np.nan
    return out | {"warmer_c": np.full((seconds, len(seeds)), world.air.temperature_deviation_c)}


def worlds(frame: Airframe, turbulence: str) -> tuple[World, ...]:
    """Return airs of one roughness to fly in: winds, latitudes and temperatures as they are met."""
    chosen = ((0.0, 0.0, 40.0, 0.0), (240.0, 25.0, 35.0, 10.0), (30.0, 40.0, 48.0, -12.0), (120.0, 12.0, 30.0, 18.0))
    return tuple(World(frame, Air(wind_from_deg=wind, wind_kt=speed, latitude_deg=latitude, turbulence=turbulence,
                                  temperature_deviation_c=warmer), ARRAYS)
                 for wind, speed, latitude, warmer in chosen)
