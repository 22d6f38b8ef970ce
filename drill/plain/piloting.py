"""`drill check --pilots N`: simulated pilots fly each sound scenario, and a row says how far they are."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from drill.check.checking import Checked
from drill.check.pilots.many import MOST, simulate
from drill.check.pilots.results import Result
from drill.check.pilots.skills import SKILLS
from drill.check.pilots.told import as_object, told
from drill.check.report import Line
from drill.clean import clean_line
from drill.plain.desk import Desk, Mistake
from drill.scenario.loading import load
from drill.scenario.model import Scenario

_BAR = 30


@dataclass(frozen=True, slots=True)
class Piloted:
    """What simulated pilots made of one scenario."""

    scenario: Scenario
    result: Result

    def lines(self) -> Iterator[Line]:
        """Yield it for people."""
        yield []
        yield from told(self.scenario, self.result)

    def as_object(self) -> dict[str, object]:
        """Return it for programs."""
        return as_object(self.scenario, self.result)


def piloted(checked: Sequence[Checked], count: int, first_seed: int, desk: Desk) -> list[Piloted]:
    """Let `count` simulated pilots fly each sound scenario; Mistake for too few or too many."""
    if not len(SKILLS) <= count <= MOST:
        raise Mistake(f"drill check: --pilots takes a number from {len(SKILLS)}, one of each skill, to {MOST:,}")
    made: list[Piloted] = []
    for each in checked:
        if each.kind == "scenario" and not each.faults:
            scenario = load(each.file)
            row = _Row(scenario.name, desk)
            try:
                row.far(0, count)
                made.append(Piloted(scenario, simulate(scenario, count, first_seed=first_seed, told=row.far)))
            finally:
                row.over()
    return made


class _Row:
    """A row on a terminal that says how many have flown; none where nobody waits before one."""

    def __init__(self, name: str, desk: Desk) -> None:
        self._name = clean_line(name, limit=24)
        self._err = desk.err if sys.stderr is not None and sys.stderr.isatty() else None
        self._columns = 0

    def far(self, flown: int, of: int) -> None:
        """Say how many of how many have flown."""
        self.over()
        if self._err is not None:
            full = _BAR * flown // max(1, of)
            row = f"{self._name} [{'#' * full}{'.' * (_BAR - full)}] {flown:,} of {of:,}"[:78]
            self._err.bare(row)
            self._columns = len(row)

    def over(self) -> None:
        """Wipe the row."""
        if self._err is not None and self._columns:
            self._err.rub_out(self._columns)
            self._columns = 0
