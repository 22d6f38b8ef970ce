"""Published check values, and flights of many seeds flown once for several tests."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass, field, fields
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from drill.airplane import (
    ARRAYS,
    FLOATS,
    STEP_S,
    Air,
    Airframe,
    Controls,
    Draws,
    Faults,
    Panel,
    Start,
    State,
    Truths,
    World,
    begin,
    read,
    step,
    truths,
)
from drill.airplane.straight import Steps

DATA = Path(__file__).parents[1] / "data"


@dataclass(frozen=True)
class Check:
    """One row of the published values; its source stands in the file beside it."""

    given: dict[str, float]
    expected: float
    tolerance: float

    def holds(self, value: float) -> bool:
        return abs(value - self.expected) <= self.tolerance


def _given(text: str) -> dict[str, float]:
    pairs = (part.split("=") for part in text.split(";") if "=" in part)
    return {name.strip(): float(value) for name, value in pairs if value.strip().lstrip("-").replace(".", "").isdigit()}


def _checks() -> dict[str, Check]:
    with (DATA / "physics_checks.csv").open(newline="") as file:
        return {
            row["id"]: Check(_given(row["inputs"]), float(row["expected"]), float(row["tolerance"]))
            for row in csv.DictReader(file)
        }


CHECKS = _checks()


def wrapped(angle: Any) -> Any:
    return (np.asarray(angle) + 180.0) % 360.0 - 180.0


class Flown:
    """Truth and panel of N flights at each sampled time, as arrays of shape (times, N)."""

    def __init__(self, t: list[float], flights: list[list[tuple[Truths, Panel]]]) -> None:
        self.t = np.array(t)
        self._flights = flights   # each a run in arrays or one flight in floats

    def _all(self, place: int, name: str) -> Any:
        runs = [np.array([getattr(row[place], name) for row in rows]) for rows in self._flights]
        return np.column_stack(runs)

    def true(self, name: str) -> Any:
        return self._all(0, name)

    def shown(self, name: str) -> Any:
        return self._all(1, name)

    @property
    def lost(self) -> Any:
        return (self.true("broken") + self.true("on_ground")) > 0.0

    def first(self, truth: Any) -> Any:
        """Time at which `truth` (times, N) first holds in each flight; inf where it never does."""
        return np.where(truth.any(axis=0), self.t[truth.argmax(axis=0)], np.inf)


Orders = Callable[[float], Controls]
Broken = Callable[[float], Faults]
FEW = 6   # flights; up to here one at a time in floats is faster than arrays


def flown(seconds: float, *, seeds: int, orders: Orders | None = None, faults: Broken | None = None,
          airframe: Airframe | None = None, air: Air | None = None, start: Start | None = None,
          every_s: float = 1.0) -> Flown:
    """Fly the seeds from 0 up; orders and faults are functions of the time."""
    few = seeds <= FEW
    world = World(airframe or Airframe(), air or Air(turbulence="light"), FLOATS if few else ARRAYS)
    by = Steps(world) if few else None   # the same to the last bit, and sooner done
    healthy, plain = Faults(), Controls()
    stride = round(every_s / STEP_S)
    times: list[float] = []
    flights = []
    for seed in range(seeds) if few else [list(range(seeds))]:
        draws = Draws(seed)
        state = begin(world, start or Start(), draws)
        rows, times = [], []
        for count in range(round(seconds / STEP_S)):
            t = count * STEP_S
            controls = orders(t) if orders else plain
            now = faults(t) if faults else healthy
            state = (step(world, state, controls, now, draws) if by is None
                     else by.fly(state, controls, now, draws, 1, limits=False))
            if (count + 1) % stride == 0:
                times.append((count + 1) * STEP_S)
                rows.append((truths(world, state, controls), read(world, state, controls, now, draws)))
        flights.append(rows)
    return Flown(times, flights)


@lru_cache(maxsize=1)
def healthy() -> Flown:
    """Full panel in light turbulence with nothing wrong, 40 flights of ten minutes."""
    return flown(600.0, seeds=40)


def leaves(part: Any, name: str = "") -> dict[str, Any]:
    """Every number in a state, by its dotted name."""
    found: dict[str, Any] = {}
    for each in fields(part):
        value = getattr(part, each.name)
        dotted = f"{name}{each.name}"
        found |= leaves(value, dotted + ".") if hasattr(value, "__dataclass_fields__") else {dotted: value}
    return found


@dataclass
class Single:
    """One flight in floats, stepped by the test."""

    world: World
    draws: Draws
    state: State
    controls: Controls
    faults: Faults
    by: Steps = field(init=False)

    def __post_init__(self) -> None:
        self.by = Steps(self.world)

    def fly(self, seconds: float) -> Single:
        self.state = self.by.fly(self.state, self.controls, self.faults, self.draws, round(seconds / STEP_S),
                                 limits=False)
        return self

    @property
    def panel(self) -> Panel:
        return read(self.world, self.state, self.controls, self.faults, self.draws)

    @property
    def truth(self) -> Truths:
        return truths(self.world, self.state, self.controls)


def single(*, seed: int = 1, air: Air | None = None, airframe: Airframe | None = None, start: Start | None = None,
           controls: Controls | None = None, faults: Faults | None = None) -> Single:
    world = World(airframe or Airframe(), air or Air(), FLOATS)
    draws = Draws(seed)
    return Single(world, draws, begin(world, start or Start(), draws), controls or Controls(), faults or Faults())
