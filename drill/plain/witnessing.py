"""`drill check --witness DIR`: flies for witnesses of each scenario, and says how far it is while a person waits."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from drill.check.checking import Checked
from drill.check.report import Line
from drill.check.witness import Shown
from drill.check.witness_findings import witness_findings
from drill.check.witness_kept import as_object, keep
from drill.check.witness_report import witness_lines
from drill.check.witness_search import FLOWN_S, witnesses
from drill.clean import clean_line
from drill.plain.desk import Desk
from drill.scenario.loading import load
from drill.scenario.model import Scenario


@dataclass(frozen=True, slots=True)
class Flown:
    """What witness flights of one scenario have shown, and their scripts."""

    scenario: Scenario
    shown: Shown
    scripts: tuple[Path, ...]
    checked: Checked

    def lines(self) -> Iterator[Line]:
        """Yield what they show, for people."""
        return witness_lines(self.scenario, self.shown, self.scripts, self.checked.problems)

    def as_object(self) -> dict[str, object]:
        """Return what they show, for programs."""
        return as_object(self.scenario, self.shown, self.scripts)


def flown(
    checked: Sequence[Checked], folder: Path, desk: Desk, most_s: float = FLOWN_S,
) -> tuple[list[Checked], list[Flown]]:
    """Fly for witnesses of each sound scenario and write them into `folder`; what they find is told with the rest.

    `most_s`: seconds of flight that may be spent on one. OSError where they cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)      # before minutes are spent
    found: list[Checked] = []
    made: list[Flown] = []
    for each in checked:
        if each.kind != "scenario" or each.faults:
            found.append(each)
            continue
        scenario = load(each.file)
        told = _Told(scenario.name, desk)
        shown = witnesses(scenario, most_s, told.far if _waits() else None)
        told.over()
        problems = {*each.problems, *witness_findings(scenario, shown)}
        with_them = replace(each, problems=tuple(sorted(problems)))
        found.append(with_them)
        made.append(Flown(scenario, shown, tuple(keep(scenario, shown, folder)), with_them))
    return found, made


def _waits() -> bool:
    return sys.stderr is not None and sys.stderr.isatty()


class _Told:
    """A row on a terminal that says how far a search is."""

    def __init__(self, name: str, desk: Desk) -> None:
        self._name = clean_line(name, limit=30)
        self._err = desk.err
        self._columns = 0

    def far(self, flown_s: float, most_s: float, shown: int, of: int) -> None:
        """Say how much has been flown, of at most how much, and how much of what may be is shown."""
        self.over()
        row = (f"{self._name}: {flown_s / 60.0:.0f} of at most {most_s / 60.0:.0f} minutes flown, "
               f"{shown} of {of} shown")[:76]
        self._err.bare(row)
        self._columns = len(row)

    def over(self) -> None:
        """Wipe the row."""
        self._err.rub_out(self._columns)
        self._columns = 0
