"""Flights in which each failure happens once: when it could have been known, and by what name; and healthy hours."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from drill.airplane.airframe import Airframe
from drill.airplane.failure import HEALTHY, Failure
from drill.airplane.failures import CATALOGUE, Active, faults_at
from drill.airplane.faults import Faults
from drill.evidence.clock import Known, watch
from drill.evidence.flown import Orders, ordinary, panels, worlds
from drill.evidence.keeping import known
from drill.evidence.readings import read
from drill.evidence.rules import RULES
from drill.evidence.signatures import fitted, right_names, signature
from drill.evidence.statistics import Statistics

ONSET_S = 300
LASTS_S = 900
TURNS_S, CLIMBS_S = 60, 360          # after the onset: a turn and back, a climb and back
_FIRST_SEED = 9_000


DESIGN: Mapping[tuple[str, str], str] = {
    ("attitude indicator", "leans"): "92/113/133 (3 deg/min)",
    ("heading indicator", "drifts"): "375/426/479",
    ("turn coordinator", "rotor stops"): "66/69/71",
    ("pitot tube", "blocked with its drain open"): "1",
    ("pitot tube", "blocked with its drain"): "65/142/401 (46 of 60, level flight)",
    ("static ports", "close"): "19/36/102 (level flight)",
}
"""When something is wrong, as the clock's design reckoned it: 60 flights of a prototype, light air, seconds after the
failure, without gauges and flags. The prototype gave a turn less slack and had thresholds for seven hypotheses."""
HEALTHY_FLIGHTS, HEALTHY_S = 50, 1800     # flown at once: 25 hours, each time in another wind


@dataclass(frozen=True, slots=True)
class HealthyHours:
    """Healthy flights of half an hour: how many raised an alarm, how many gave a name, and the hours watched.

    `who` are (seed, hypothesis or rule) of the alarms.
    """

    alarms: int
    names: int
    hours: float
    who: tuple[tuple[int, str], ...]


def healthy_hours(frame: Airframe, air: str, hours: float, first_seed: int, statistics: Statistics) -> HealthyHours:
    """Fly at least so many hours with nothing wrong, on seeds from `first_seed` on, and count the false alarms."""
    who: list[tuple[int, str]] = []
    alarms = names = batches = 0
    for batch in range(max(1, math.ceil(hours * 3600.0 / (HEALTHY_FLIGHTS * HEALTHY_S)))):
        seeds = range(first_seed + 1000 * batch, first_seed + 1000 * batch + HEALTHY_FLIGHTS)
        chosen = worlds(frame, air)
        shown = panels(chosen[batch % len(chosen)], seeds, ordinary(frame, seeds, HEALTHY_S), HEALTHY_S)
        found = watch(read(shown, seeds), frame, statistics)
        said = np.concatenate([found.over.any(axis=0), found.direct.any(axis=0)], axis=1)
        says = [each.name for each in found.hypotheses] + [rule.name for rule in RULES]
        who += [(seeds[flight], says[place]) for flight, place in np.argwhere(said)]
        alarms += int(found.alarm().any(axis=0).sum())
        names += int(found.named.any(axis=(0, 2)).sum())
        batches += 1
    return HealthyHours(alarms, names, batches * HEALTHY_FLIGHTS * HEALTHY_S / 3600.0, tuple(who))


@dataclass(frozen=True, slots=True)
class Measured:
    """One failure in N flights, seconds after its onset: first alarm, first name and right name; NaN for never.

    `first` are the names that came first ("" for none), `false` whether there was an alarm before the onset.
    """

    failure: Failure
    alarm_s: Any
    name_s: Any
    right_s: Any
    first: tuple[str, ...]
    false: Any

    def right(self, frame: Airframe) -> tuple[int, int]:
        """Return how many flights came to a right name first, and how many to any."""
        good = right_names(self.failure, frame)
        named = [name for name in self.first if name]
        return sum(bool(set(name.split(" or ")) & good) for name in named), len(named)


def flight_orders(frame: Airframe, count: int) -> Orders:
    """Return orders for each failure's flights: level, a turn of 90 degrees and back, a climb of 1,000 ft and back."""
    t = np.arange(ONSET_S + LASTS_S)[:, None] - ONSET_S
    turn = (t >= TURNS_S) & (t < TURNS_S + 150)
    climb = (t >= CLIMBS_S) & (t < CLIMBS_S + 240)
    wide = np.ones((1, count))
    speed = 2.06 * frame.stall_kt
    return Orders({
        "heading_deg": np.where(turn, 90.0, 0.0) * wide, "altitude_ft": np.where(climb, 6000.0, 5000.0) * wide,
        "airspeed_kt": speed * np.ones_like(t) * wide, "autopilot": np.zeros_like(t) * wide,
    })


def _faults(failures: Sequence[Failure], each: int, second: int) -> Faults:
    t = float(second - ONSET_S)
    if t < 0.0:
        return Faults()
    single = [faults_at([Active(failure, t)]) for failure in failures]
    columns = {field.name: np.repeat([getattr(one, field.name) for one in single], each) for field in fields(Faults)
               if any(getattr(one, field.name) != HEALTHY[field.name] for one in single)}
    return Faults(**columns)


def measure(failures: Sequence[Failure], frame: Airframe, air: str, flights: int, statistics: Statistics,
            place: int = 1) -> list[Measured]:
    """Return what is known, and when, in so many flights of each failure; the hands fly on as if nothing had failed."""
    count = len(failures) * flights
    seeds = [_FIRST_SEED + k for _ in failures for k in range(flights)]
    orders = flight_orders(frame, count)
    autopilot = np.repeat([float(failure.part == "autopilot") for failure in failures], flights)
    orders = orders.with_(autopilot=orders.of["autopilot"] + autopilot)
    shown = panels(worlds(frame, air)[place], seeds, orders, ONSET_S + LASTS_S,
                   lambda second: _faults(failures, flights, second))
    readings = read(shown | {"autopilot": orders.of["autopilot"]}, seeds)
    found = watch(readings, frame, statistics)
    return [_of(failure, found, slice(k * flights, (k + 1) * flights), frame) for k, failure in enumerate(failures)]


def _of(failure: Failure, found: Known, mine: slice, frame: Airframe) -> Measured:
    alarm = found.alarm()[:, mine]
    names = np.concatenate([found.named[:, mine], found.direct[:, mine]], axis=2)
    says = [each.name for each in found.hypotheses] + [rule.of for rule in RULES]
    good = right_names(failure, frame)
    right = names[:, :, [name in good for name in says]].any(axis=2)
    first = []
    for flight in range(names.shape[1]):
        some = np.flatnonzero(names[ONSET_S:, flight].any(axis=1))
        at = np.flatnonzero(names[ONSET_S + some[0], flight]) if len(some) else some
        first.append(" or ".join(sorted({says[place] for place in at})))
    return Measured(failure, _first(alarm), _first(names.any(axis=2)), _first(right), tuple(first),
                    alarm[:ONSET_S].any(axis=0))


def _first(known_then: Any) -> Any:
    late = known_then[ONSET_S:]
    return np.where(late.any(axis=0), late.argmax(axis=0).astype(float), np.nan)


def quantiles(seconds: Any) -> str:
    """Return 10 %, median and 90 % of times, those of them that there are, with their count."""
    some = seconds[np.isfinite(seconds)]
    if not len(some):
        return "never"
    low, middle, high = np.quantile(some, (0.1, 0.5, 0.9))
    return f"{low:.0f}/{middle:.0f}/{high:.0f} ({len(some)} of {len(seconds)})"


def report(frame: Airframe, air: str, flights: int) -> str | None:
    """Return the table of all failures in Markdown; None without statistics of the airplane."""
    statistics = known(frame)
    if statistics is None:
        return None
    lines = ["| failure | something is wrong | in the design | first name | right name | first named rightly | "
             "named first |", "|---|---|---|---|---|---|---|"]
    every = [each for each in CATALOGUE.values() if fitted(each, frame)]
    for start in range(0, len(every), 8):
        for each in measure(every[start:start + 8], frame, air, flights, statistics):
            right, named = each.right(frame)
            counts = ", ".join(f"{name or '-'} {each.first.count(name)}" for name in sorted(set(each.first)))
            shows = "latent" if signature(each.failure, frame).latent else f"{right} of {named}"
            lines.append(f"| {each.failure.part} {each.failure.how} | {quantiles(each.alarm_s)} | "
                         f"{DESIGN.get(each.failure.key, '')} | "
                         f"{quantiles(each.name_s)} | {quantiles(each.right_s)} | {shows} | {counts} |")
    return "\n".join(lines) + "\n"
