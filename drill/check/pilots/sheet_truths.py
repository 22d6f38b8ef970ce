"""When the conditions of the grade sheet held in N flights: kept second by second, for the grader to ask for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from drill.airplane.panel import Panel
from drill.check.pilots.waking import part_of
from drill.scenario.conditions import Condition, evaluate
from drill.scenario.model import Scenario
from drill.scenario.truth import ArrayTruth

SHOWN = ("suction_inhg", "rpm", "heading_deg", "compass_deg", "turn_rate_dps")
"""What the grader reads off the panel to tell how long an instrument was not to be believed."""


class SheetTruths:
    """The truths of the sheet's conditions and some readings of N flights, a row a second. Flights leave (`keep`)."""

    def __init__(self, scenario: Scenario, count: int) -> None:
        sheet = scenario.grade_sheet
        self.conditions: tuple[Condition, ...] = tuple(dict.fromkeys(
            condition for item in sheet for condition in (item.when, item.before, item.keep) if condition is not None))
        self._whens = [(place, item.when) for place, item in enumerate(sheet) if item.when is not None]
        self._closed = np.ones((len(self._whens), count), dtype=bool)
        self.who = np.arange(count)                          # the flights that are still in it, by their first places
        self._rows: list[tuple[Any, Any, Any]] = []

    def note(self, truth: ArrayTruth, panel: Panel) -> None:
        """Keep one more second, the next one."""
        held = np.stack([evaluate(each, truth) for each in self.conditions]) if self.conditions else np.zeros(
            (0, truth.n), dtype=bool)
        shown = np.stack([np.broadcast_to(getattr(panel, name), (truth.n,)) for name in SHOWN])
        self._rows.append((self.who, held, shown.astype(np.float32)))

    def opened(self, truth: ArrayTruth, live: Any) -> dict[int, list[int]]:
        """Return by flight the items whose `when` holds for the first time; `truth` is what the pilots believe."""
        found: dict[int, list[int]] = {}
        for row, (place, when) in enumerate(self._whens):
            where = np.flatnonzero(self._closed[row] & live)
            if len(where):
                new = where[evaluate(when, part_of(truth, where))]
                self._closed[row, new] = False
                for which in new:
                    found.setdefault(int(which), []).append(place)
        return found

    def keep(self, where: Any) -> None:
        """Go on with the flights at the places `where` alone."""
        self.who, self._closed = self.who[where], self._closed[:, where]

    def columns(self) -> list[tuple[Mapping[Condition, Any], Any]]:
        """Return for each flight the truths by condition, each (T,), and the readings `SHOWN`, (readings, T)."""
        count = len(self._rows[0][0]) if self._rows else 0
        lasted = np.zeros(count, dtype=int)
        for who, _, _ in self._rows:
            lasted[who] += 1
        held = np.zeros((count, len(self.conditions), len(self._rows)), dtype=bool)
        shown = np.zeros((count, len(SHOWN), len(self._rows)), dtype=np.float32)
        for second, (who, truths, readings) in enumerate(self._rows):
            held[who, :, second], shown[who, :, second] = truths.T, readings.T
        return [({condition: held[which, row, :seconds] for row, condition in enumerate(self.conditions)},
                 shown[which, :, :seconds]) for which, seconds in enumerate(lasted)]
