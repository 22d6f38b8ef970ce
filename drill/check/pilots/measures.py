"""Shares with their intervals, quartiles, and how well an item tells good flights from poor ones."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import NormalDist, quantiles

from drill.check.pilots.items import of_failure
from drill.check.pilots.results import DONE, GOOD, FlightOutcome, Result
from drill.scenario.model import Scenario

_CONFIDENCE = 0.95
LEAST_FLIGHTS = 30             # with fewer nothing is said of how an item tells flights apart


@dataclass(frozen=True, slots=True)
class Share:
    """A share of flights, and the interval within which it lies with 95 % confidence."""

    count: int
    of: int
    low: float
    high: float

    @property
    def value(self) -> float:
        """The share itself, 0 to 1; 0 of no flights."""
        return self.count / self.of if self.of else 0.0


def share(count: int, of: int) -> Share:
    """Return `count` of `of` as a share with its score interval (E. B. Wilson, JASA 22, 1927; memory)."""
    if not of:
        return Share(0, 0, 0.0, 1.0)
    z = NormalDist().inv_cdf(0.5 + _CONFIDENCE / 2.0)
    p, square = count / of, z * z
    middle = (p + square / (2.0 * of)) / (1.0 + square / of)
    half = z / (1.0 + square / of) * math.sqrt(p * (1.0 - p) / of + square / (4.0 * of * of))
    return Share(count, of, max(0.0, middle - half) if count else 0.0, min(1.0, middle + half) if count < of else 1.0)


def quartiles(values: Iterable[float]) -> tuple[float, float, float] | None:
    """Return the lower quartile, the median and the upper one; None of nothing."""
    known = sorted(values)
    if len(known) < 2:
        return (known[0],) * 3 if known else None
    low, middle, high = quantiles(known, n=4, method="inclusive")
    return low, middle, high


def told_apart(flights: Sequence[FlightOutcome], place: int) -> float | None:
    """Return how well an item tells good flights from poor ones, -1 to 1: its corrected item-total correlation.

    That is the correlation of the item's score with the mean score of the flight's other items, which leaves the item
    itself out of the total (for an item that is met or missed: the point-biserial one; S. Henrysson, Psychometrika 28,
    1963; memory). None where there are too few flights, or all came out alike.
    """
    pairs = []
    for flight in flights:
        mine = flight.items[place].score
        others = [item.score for number, item in enumerate(flight.items) if number != place and item.score is not None]
        if mine is not None and others:
            pairs.append((mine, sum(others) / len(others)))
    if len(pairs) < LEAST_FLIGHTS:
        return None
    mean = [sum(column) / len(pairs) for column in zip(*pairs, strict=True)]
    one = sum((a - mean[0]) ** 2 for a, _ in pairs)
    other = sum((b - mean[1]) ** 2 for _, b in pairs)
    if one <= 1e-12 or other <= 1e-12:
        return None
    return float(sum((a - mean[0]) * (b - mean[1]) for a, b in pairs) / math.sqrt(one * other))


@dataclass(frozen=True, slots=True)
class ItemOfSkill:
    """What the flights of one skill made of an item, of those in which it came up."""

    met: Share                             # wholly: done, or kept
    partly: Share                          # done at least somehow: late, out of order, incomplete
    times_s: tuple[float, float, float] | None   # quartiles of when, since the failure or the start


@dataclass(frozen=True, slots=True)
class ItemMeasured:
    """An item of the grade sheet as simulated pilots met it."""

    name: str
    asked: int                             # flights in which it came up
    skills: dict[str, ItemOfSkill]
    apart: float | None
    since: str                             # what its times count from


def items_measured(scenario: Scenario, result: Result) -> list[ItemMeasured]:
    """Return every item of the sheet as it was met."""
    found = []
    for place, item in enumerate(scenario.grade_sheet):
        asked = [flight for flight in result.flights if flight.items[place].score is not None]
        skills = {}
        for skill in result.setup.skills:
            mine = [flight.items[place] for flight in asked if flight.skill == skill]
            skills[skill] = ItemOfSkill(
                share(sum(each.verdict in GOOD for each in mine), len(mine)),
                share(sum(each.verdict in DONE for each in mine), len(mine)),
                quartiles(each.after_s for each in mine if each.after_s is not None and item.do is not None))
        found.append(ItemMeasured(item.name, len(asked), skills, told_apart(result.flights, place),
                                  "the failure" if of_failure(item) else "the start"))
    return found
