"""What goes on paper of flights side by side: the comparison, their courses, and whose flights they are."""

from __future__ import annotations

from dataclasses import dataclass

import drill
from drill.cautions import CAUTIONS, NOTHING_LOGGED
from drill.flight.readings import clock_words as clock
from drill.grading.beside import Beside, Parted, beside_of
from drill.grading.courses import BEFORE_S, Course, courses
from drill.grading.grade import GRADER


@dataclass(frozen=True, slots=True)
class BesidePaper:
    """Flights side by side, to be written down. Every text is plain words, never markup."""

    title: str
    flight: str                  # which flight this was, and where the others leave it
    them: Beside
    courses: tuple[Course, ...]
    from_s: float                # when the courses begin, and when the last of them ends
    until_s: float
    told_by: str
    cautions: tuple[str, ...] = (*CAUTIONS, NOTHING_LOGGED)


def beside_paper(parted: Parted) -> BesidePaper:
    """Return the paper about flights that part."""
    them, scenario = beside_of(parted), parted.scenario
    until = max((event.t for way in parted.ways for event in way.events), default=parted.at_s)
    return BesidePaper(
        title=scenario.title, flight=f"{scenario.board_title}. Seed {parted.seed}. From {clock(parted.at_s)} on.",
        them=them, courses=courses(parted.ways, parted.at_s), from_s=max(0.0, parted.at_s - BEFORE_S), until_s=until,
        told_by=f"Model {parted.model}, scenario format {scenario.edition}, grader {GRADER}. Told by drill "
                f"{drill.__version__}.")
