"""The whole debrief of each described flight, in words, as it was read and found right.

After a change on purpose: `DRILL_SNAPSHOTS=write python -m pytest tests/grading/test_debriefs_in_words.py`, then read
what has changed.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from drill.grading import debrief_lines, grade
from drill.grading.scoring import PART_WEIGHTS

from .builders import scenario
from .described import FLIGHTS, Described

GOLDEN = Path(__file__).parent.parent / "golden" / "debriefs"


def in_words(flight: Described) -> str:
    """Return the debrief as it is printed, and below it what no face prints: each finding's weight and score.

    What stands at the head and the foot of each is kept of the first flight only.
    """
    debrief = grade(scenario(flight.sheet), flight.events(), 1)
    lines = [line.rstrip() for line in debrief_lines(debrief)]
    if flight is not FLIGHTS[0]:
        lines = lines[next(place for place, line in enumerate(lines) if line.startswith("Aim:")) + 1 :]
        lines = lines[: lines.index("TO TALK ABOUT")]
    lines += ["", "--- the findings as data"]
    for each in debrief.findings:
        score = "not counted" if each.score is None else f"{each.score:.3f}"
        lines.append(f"{each.part}, {each.weight}, {score}, about {', '.join(each.about) or 'nothing'}: {each.item}")
    lines += [f"parts: {', '.join(f'{part} {debrief.parts[part]}' for part in PART_WEIGHTS)}; {debrief.score}"]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("flight", FLIGHTS, ids=lambda flight: flight.name)
def test_the_debrief_of_a_described_flight_is_as_it_was_read(flight: Described) -> None:
    path = GOLDEN / f"{flight.name.replace(' ', '-').replace(',', '')}.txt"
    said = in_words(flight)
    if os.environ.get("DRILL_SNAPSHOTS") == "write":
        path.write_text(said, encoding="utf-8")
    assert said == path.read_text(encoding="utf-8")


def test_every_debrief_that_is_kept_is_of_a_flight_that_is_described() -> None:
    assert {path.stem for path in GOLDEN.glob("*.txt")} == {
        flight.name.replace(" ", "-").replace(",", "") for flight in FLIGHTS}
