"""What may have failed, and which way each failure pushes the residuals: the table from which all else is derived.

A hypothesis has ways in which it falsifies readings: by a step, or by so much more each second. What a way does to the
residuals is found by doing it to the readings of a steady flight, so that nothing is said twice. The size of what is
wrong is left open; only the direction counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Any, TypeAlias

import numpy as np

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import FLOATS
from drill.airplane.controls import Controls
from drill.airplane.draws import Draws
from drill.airplane.faults import Faults
from drill.airplane.model import Start, begin, read
from drill.airplane.world import World
from drill.evidence.readings import FLAGS, SETTINGS, SIGMA, Readings
from drill.evidence.residuals import NAMES, STILL, residuals

Way: TypeAlias = tuple[tuple[str, float, float], ...]
"""What is added to readings, by their names: a step, and so much a second; feet, degrees, knots and so on."""

_FROM_S, _LOOKS_S, _SECONDS = 120, 12, 160
_RATES: Mapping[str, frozenset[str]] = {   # the residuals that see how fast a reading changes
    "heading_deg": frozenset({"card and needle", "bank and card", "standby and card"}),
    "airspeed_kt": frozenset({"power and airspeed"}),
    "altitude_ft": frozenset({"pitch and altimeter", "vertical speed and altimeter", "power and airspeed"}),
}
_USUAL = np.array([0.15, 0.15, 1.7, 0.6, 0.4, 0.06, 0.08, 8.0, 0.9, 1.2, 1.2, 1.1, 0.15, 0.15])   # a sigma of each
_LEAST_PUSH = 0.1         # of the greatest, in those sigmas: less is no push


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One thing that may have failed, by its name among the equipment that can be reported.

    `long_since` are ways that were so before anything that is remembered. `stills` is a needle of `STILL` that may
    stand dead still under it and, with `must_still`, does; `leaves_alive` one that goes on moving.
    """

    name: str
    ways: tuple[Way, ...]
    long_since: tuple[Way, ...] = ()
    stills: str = ""
    must_still: bool = False
    leaves_alive: str = ""

    def space(self, frame: Airframe) -> Any:
        """Return the directions (R, k) in which it pushes the residuals, in the order of `residuals.NAMES`."""
        columns = [_push(frame, way) for way in self.ways] + [_push(frame, way, 0) for way in self.long_since]
        return np.stack(columns, axis=1)

    def moves(self, frame: Airframe) -> frozenset[str]:
        """Return the residuals that it moves."""
        return frozenset(np.array(NAMES)[np.abs(self.space(frame)).max(axis=1) > 0.0].tolist())


_BANK = (("bank_deg", 5.0, 0.0),)
_PITCH = (("pitch_deg", 3.0, 0.0),)
_CARD = (("heading_deg", 3.0, 0.0),)
_OFF = (("compass_deg", 10.0, 0.0),)
_CARD_CREEPS = (("heading_deg", 0.0, 1.0),)
_FAST = (("airspeed_kt", 5.0, 0.0),)
_FASTER = (("airspeed_kt", 0.0, 0.5),)
_CLIMBS = (("altitude_ft", 0.0, 5.0),)
_BOTH_CLIMB = (("altitude_ft", 0.0, 5.0), ("vertical_speed_fpm", 300.0, 0.0))


def hypotheses(frame: Airframe) -> tuple[Hypothesis, ...]:
    """Return what can be wrong with the flight instruments of an airplane, by the instruments that it has."""
    driven = (_CARD, _CARD_CREEPS) if frame.heading_drive == "vacuum" else ()
    vertical, airspeed, bar = STILL
    found = [
        Hypothesis("attitude_indicator", (_BANK, _PITCH), stills=bar),
        Hypothesis("heading_indicator", (_CARD, _CARD_CREEPS), long_since=(_CARD,)),
        Hypothesis("magnetic_compass", (_OFF,), long_since=(_OFF,)),
        Hypothesis("vacuum_system", (_BANK, _PITCH, *driven), long_since=driven[:1]),
        Hypothesis("pitot", (_FAST, _FASTER), stills=airspeed, leaves_alive=vertical),
        Hypothesis("static_system", (_FAST, _FASTER, _BOTH_CLIMB), stills=vertical, must_still=True),
        Hypothesis("altimeter", (_CLIMBS,)),
        Hypothesis("vertical_speed_indicator", ((("vertical_speed_fpm", 300.0, 0.0),),)),
        Hypothesis("engine", ((("throttle", 0.1, 0.0),),)),
    ]
    if frame.turn_coordinator_fitted:
        found.append(Hypothesis("turn_coordinator", ((("turn_rate_dps", 1.0, 0.0),),)))
    if frame.standby_attitude_fitted:
        found.append(Hypothesis("standby_instrument", (
            (("standby_bank_deg", 5.0, 0.0),), (("standby_pitch_deg", 3.0, 0.0),))))
    return tuple(found)


def leans(frame: Airframe) -> Any:
    """Return what a degree of bank and of pitch that a horizon shows too much adds to the residuals, (R, 2)."""
    return np.stack([_push(frame, way) / way[0][1] for way in (_BANK, _PITCH)], axis=1)


def with_everything(frame: Airframe) -> Airframe:
    """Return the airplane with every instrument that there is: what is left out of it only hides residuals."""
    return replace(frame, turn_coordinator_fitted=True, standby_attitude_fitted=True, gps_fitted=True,
                   heading_drive="vacuum")


@lru_cache(maxsize=16)
def _steady(frame: Airframe) -> Mapping[str, float]:
    """Return what the panel shows in steady flight."""
    world, draws = World(frame, Air(), FLOATS), Draws(0)
    state = begin(world, Start(airspeed_kt=2.06 * frame.stall_kt), draws)
    panel = read(world, state, Controls(), Faults(), draws)
    shown = {name: float(getattr(panel, name)) for name in (*SIGMA, *FLAGS) if hasattr(panel, name)}
    shown["turn_rate_dps"] = shown["bank_deg"] = 0.0    # this airplane's own small errors are none of the direction
    return MappingProxyType(shown | dict(SETTINGS) | {"throttle": float(state.motion.throttle)})


@lru_cache(maxsize=256)
def _push(frame: Airframe, way: Way, from_s: int = _FROM_S) -> Any:
    """Return what a way adds to the residuals (R,) some time after it began; in their units, of no matter what size."""
    shown = {name: np.full((_SECONDS, 1), value) for name, value in _steady(frame).items()}
    after = np.maximum(np.arange(_SECONDS) - from_s + (from_s == 0), 0.0)[:, None]
    wrong = dict(shown)
    for name, step, each_second in way:
        wrong[name] = shown[name] + np.where(after > 0.0, step, 0.0) + each_second * after
    seconds = slice(_FROM_S + _LOOKS_S, None)
    with np.errstate(divide="ignore"):
        found, usual = (residuals(_fitted(frame, each), frame)[0][seconds, 0] for each in (wrong, shown))
    push = np.nan_to_num((found - usual).mean(axis=0))
    rates = frozenset().union(*(_RATES[name] for name, step, each_second in way if each_second and not step))
    if rates:   # how far it has crept by then is another way's
        push = np.where([name in rates for name in NAMES], push, 0.0)
    size = np.abs(push) / _USUAL
    return np.where(size > _LEAST_PUSH * size.max(), push, 0.0)


def _fitted(frame: Airframe, shown: Mapping[str, Any]) -> Readings:
    nothing = np.full((_SECONDS, 1), np.nan)
    without = set()
    if not frame.turn_coordinator_fitted:
        without.add("turn_rate_dps")
    if not frame.standby_attitude_fitted:
        without |= {"standby_bank_deg", "standby_pitch_deg"}
    if not frame.gps_fitted:
        without |= {"track_deg", "groundspeed_kt"}
    return Readings({name: nothing if name in without else values for name, values in shown.items()})


def moved(frame: Airframe, way: Way) -> frozenset[str]:
    """Return the residuals that a way of being wrong moves lastingly."""
    return frozenset(np.array(NAMES)[_push(frame, way) != 0.0].tolist())


def within(one: Any, other: Any) -> bool:
    """Say whether every push along `one` (R, j) is a push along `other` (R, k) as well."""
    one = one[:, np.abs(one).max(axis=0, initial=0.0) > 0.0]
    if not one.shape[1]:
        return True
    scale = np.abs(np.hstack([one, other])).max(axis=1)
    keep = scale > 0.0
    both = np.hstack([one, other])[keep] / scale[keep, None]
    both = both / np.maximum(np.abs(both).max(axis=0), 1e-12)
    alone = both[:, one.shape[1]:]
    return bool(np.linalg.matrix_rank(both, tol=1e-3) == np.linalg.matrix_rank(alone, tol=1e-3))


def alike(frame: Airframe, residuals_seen: frozenset[str]) -> Mapping[str, frozenset[str]]:
    """Return for each hypothesis the names of those that these residuals cannot tell from it, itself among them."""
    every = hypotheses(frame)
    rows = [NAMES.index(name) for name in NAMES if name in residuals_seen]
    spaces = {each.name: each.space(frame)[rows] for each in every}
    return {one.name: frozenset(
        other.name for other in every
        if (one.must_still, one.must_still and one.stills) == (other.must_still, other.must_still and other.stills)
        and within(spaces[one.name], spaces[other.name]) and within(spaces[other.name], spaces[one.name]))
        for one in every}
