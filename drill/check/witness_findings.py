"""What witness flights say about a scenario, and their scripts as files."""

from __future__ import annotations

import re
from pathlib import Path

from drill.check.explore_words import named_at
from drill.check.witness import FULL_SCORE, Shown, Witness
from drill.grading.scoring import CAP
from drill.scenario.model import Scenario
from drill.scenario.problems import Problem

LOST = ("loss of control", "hit the ground", "broke up", "below minimums")
"""Outcomes that no grade above the cap fits."""


def witness_findings(scenario: Scenario, shown: Shown) -> list[Problem]:
    """Return a problem for each witness flight that is graded above the cap though it was unsafe or ended badly."""
    found: list[Problem] = []
    for witness in shown.witnesses:
        debrief = witness.debrief
        if debrief is None or debrief.score is None or debrief.score <= CAP or witness.ending is None:
            continue
        ending = scenario.ending(witness.ending)
        why = ("an unsafe act: " + "; ".join(act.act for act in debrief.unsafe_acts) if debrief.unsafe_acts else
               f"the outcome {ending.outcome}" if ending.outcome in LOST else "")
        if why:
            found.append(Problem(
                named_at(scenario, ending.name, ending.place), "unsafe-but-well-graded",
                f"a flight of seed {witness.seed} that ends with `{ending.name}` scores {debrief.score:.0f}, "
                f"with {why}",
                f"a flight with an unsafe act scores at most {CAP:g}",
                "mark the item that forbids it `unsafe: yes`, or correct the ending's outcome", "warning"))
    return sorted(set(found))


def write_scripts(scenario: Scenario, shown: Shown, folder: Path) -> list[Path]:
    """Write each witness that shows something as a script into `folder`, which is made where it is not there.

    A file is named after the scenario and the last of what the flight shows. OSError if it cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    written: list[Path] = []
    for witness in shown.witnesses:
        if not witness.showings:
            continue
        stem = _stem(scenario, witness)
        path, number = folder / f"{stem}.txt", 2
        while path in written:     # two names that differ only in what a file name leaves out
            path, number = folder / f"{stem}-{number}.txt", number + 1
        path.write_text(witness.script(scenario), encoding="utf-8")
        written.append(path)
    return written


def _stem(scenario: Scenario, witness: Witness) -> str:
    named = [each for each in witness.shows if not each.startswith(("item ", FULL_SCORE))] or list(witness.shows)
    last = f"ending {witness.ending}" if f"ending {witness.ending}" in named else next(
        (each for each in reversed(named) if not each.startswith("branch ")), named[-1])
    words = re.sub(r"\d+$", lambda found: str(int(found.group()) + 1), last) if last.startswith("branch ") else last
    return re.sub(r"[^a-z0-9]+", "-", f"{scenario.name} {words}".lower()).strip("-")
