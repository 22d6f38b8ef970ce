"""Which editions of regulations, handbooks and studies a debrief cites. Numbers of paragraphs move between editions.

Titles and years are from memory; the edition of the AIM is the one that its paragraphs were read in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from pydantic import ConfigDict

from drill.grading.debrief import AS_DATA, Debrief
from drill.scenario.model import Scenario

IN_FORCE = "What is in force now prevails over any edition named here."


@dataclass(frozen=True, slots=True)
class Edition:
    """One publication that is cited."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    code: str
    """How it is cited."""
    title: str
    """What it is called."""
    edition: str
    """Which edition is cited."""


_REGULATIONS = "consolidated text; sections are cited without a date"
_KNOWN: tuple[tuple[str, Edition], ...] = tuple((pattern, Edition(*edition)) for pattern, edition in (
    (r"14 CFR (?:part )?23\.", ("14 CFR part 23", "Airworthiness standards, normal category airplanes",
                                "text before the revision of 2017")),
    (r"14 CFR (?:part )?(?!23\.)\d", ("14 CFR parts 61, 91", "Certification of pilots; general operating and flight "
                                      "rules", _REGULATIONS)),
    (r"\bAIM\b", ("AIM", "Aeronautical Information Manual", "20 April 2023")),
    (r"FAA-H-8083-15B", ("FAA-H-8083-15B", "Instrument Flying Handbook", "2012")),
    (r"FAA-H-8083-15A", ("FAA-H-8083-15A", "Instrument Flying Handbook", "2008")),
    (r"FAA-H-8083-15(?![AB])", ("FAA-H-8083-15", "Instrument Flying Handbook", "1999")),
    (r"FAA-H-8083-9", ("FAA-H-8083-9", "Aviation Instructor's Handbook", "chapter on assessment, in copies of two "
                       "editions")),
    (r"FAA-H-8083-25", ("FAA-H-8083-25C", "Pilot's Handbook of Aeronautical Knowledge", "2023")),
    (r"FAA-S-ACS-8|\bIR\.[IVX]+\.", ("FAA-S-ACS-8C", "Instrument Rating, Airplane: Airman Certification Standards",
                                    "November 2023")),
    (r"FAA-P-8740-52", ("FAA-P-8740-52", "Safety pamphlet on the failure of the vacuum system", "undated")),
    (r"DOT/FAA/AM-02/19", ("DOT/FAA/AM-02/19", "Study of pilots who met a vacuum failure in flight", "2002, abstract")),
    (r"AC 91-75", ("AC 91-75", "Advisory circular on the attitude indicator", "2003")),
    (r"7110\.65", ("FAA JO 7110.65", "Air Traffic Control", "paragraphs are cited without a date")),
))


def editions_of(sources: Iterable[str]) -> tuple[Edition, ...]:
    """Return the publications that `sources` cite, each once, in the order of a fixed list."""
    cited = "\n".join(sources)
    return tuple(edition for pattern, edition in _KNOWN if re.search(pattern, cited))


def cited_in(debrief: Debrief, scenario: Scenario) -> tuple[Edition, ...]:
    """Return the publications that `debrief` or the sheet of its scenario cites, with those of the tolerances."""
    return editions_of((
        *(each.source for each in debrief.findings), *(each.source for each in debrief.unsafe_acts),
        *(item.source for item in scenario.grade_sheet), *scenario.covers, *(["IR.IV.A"] if debrief.deviations else []),
        *(["FAA-H-8083-9", "FAA-S-ACS-8C"] if debrief.score is not None else []),
    ))
