"""What goes on paper: the debrief, the flight as it was, and the editions of everything that had a hand in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from pydantic import ConfigDict

import drill
from drill.airplane.airframe import Airframe
from drill.cautions import NOTHING_LOGGED
from drill.flight.events import Branched
from drill.flight.readings import clock_words as clock
from drill.flight.recorded import Recorded
from drill.flight.recorder import EDITION as RECORD_EDITION
from drill.grading import grade
from drill.grading.debrief import AS_DATA, Debrief
from drill.grading.editions import IN_FORCE, Edition, cited_in
from drill.grading.grade import GRADER
from drill.grading.published_words import PublishedScale, on_published_scales
from drill.grading.reconstruction import Reconstruction, reconstruct

FORM = 1
"""Edition of the form of a debrief's JSON: it changes when a key goes or means something else."""


@dataclass(frozen=True, slots=True)
class Editions:
    """Which editions recorded, flew and graded the flight, and which publications are cited."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    record: int
    """Edition of the record's format."""
    model: str
    """Edition of the airplane's model that flew, and a fingerprint of its code."""
    scenario_format: int
    """Edition of the scenario's format."""
    grader: int
    """Edition of the grader."""
    flown_with: str
    """The versions of the programs that recorded the flight."""
    debriefed_with: str
    """The version of the program that debriefed it."""
    cited: tuple[Edition, ...]
    """The publications that the debrief or the grade sheet cites."""
    in_force: str
    """What prevails over them."""


@dataclass(frozen=True, slots=True)
class Document:
    """The debrief of one flight, whole. Times are seconds of flight; every text is plain words, never markup."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    form: int
    """Edition of this form."""
    nothing_logged: str
    """What it does not count for; to be shown with the cautions wherever the debrief is shown."""
    debrief: Debrief
    """What is told of the flight."""
    reconstruction: Reconstruction
    """The flight as it was."""
    flown_again: str
    """From which moment of which other flight this one was flown again, and by whom; empty if it is no such flight."""
    told_by: Editions
    """The editions of what told it."""
    published_scales: tuple[PublishedScale, ...] = ()
    """The flight on the scales of the published documents, as a rule of this trainer's puts it there."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A document with the airplane whose panel is drawn in it."""

    document: Document
    airframe: Airframe


def paper_of(recorded: Recorded) -> Paper:
    """Return the paper about the flight that is `recorded`.

    What does not fit together in a stranger's record makes something go wrong; `flight.recorded.fitting` is for that.
    """
    debrief = grade(recorded.scenario, recorded.events, recorded.seed)
    return Paper(document(debrief, recorded), recorded.scenario.airplane.airframe)


def document(debrief: Debrief, recorded: Recorded) -> Document:
    """Return `debrief` with the flight that is `recorded`."""
    editions = Editions(
        record=RECORD_EDITION, model=recorded.model, scenario_format=recorded.scenario.edition, grader=GRADER,
        flown_with=recorded.versions, debriefed_with=f"drill {drill.__version__}",
        cited=cited_in(debrief, recorded.scenario), in_force=IN_FORCE)
    return Document(FORM, NOTHING_LOGGED, debrief, reconstruct(debrief, recorded.events), _again(recorded), editions,
                    on_published_scales(debrief))


def _again(recorded: Recorded) -> str:
    last = next((event for event in reversed(recorded.events) if isinstance(event, Branched)), None)
    if last is None:
        return ""
    who = "the grade sheet" if last.by == "exemplar" else "the pilot"
    return f"Flown again by {who} from {clock(last.t)} of {last.record}. {last.words}".strip()
