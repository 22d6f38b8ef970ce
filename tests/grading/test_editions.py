"""Which editions a debrief cites: each publication once, and every citation of ours is one of them or none."""

from __future__ import annotations

import pytest

from drill.flight.events import Event
from drill.grading import grade, sources
from drill.grading.editions import cited_in, editions_of
from drill.scenario import find, load, shipped

from .builders import flown, scenario


@pytest.mark.parametrize(("source", "codes"), [
    ("FAA-H-8083-15B ch. 11; 14 CFR 91.3", ["14 CFR parts 61, 91", "FAA-H-8083-15B"]),
    ("FAA-H-8083-15 (1999), instrument check; FAA-H-8083-15A p. 3-37", ["FAA-H-8083-15A", "FAA-H-8083-15"]),
    ("AIM 6-1-2 a; FAA-P-8740-52", ["AIM", "FAA-P-8740-52"]),
    ("14 CFR 23.1545", ["14 CFR part 23"]),
    ("IR.IV.A.S1", ["FAA-S-ACS-8C"]),
    ("common practice, no source", []),
    ("the claim of aims", []),
])
def test_a_source_cites_its_publications(source: str, codes: list[str]) -> None:
    assert [each.code for each in editions_of([source, source])] == codes


def test_every_source_of_grader_and_shipped_sheets_is_a_known_publication_or_says_that_it_is_none() -> None:
    said = [value for name, value in vars(sources).items() if name.isupper() and isinstance(value, str)]
    said += [item.source for name in shipped() for item in load(find(name)).grade_sheet]
    unknown = [each for each in said if not editions_of([each]) and "common practice" not in each
               and "airplane's handbook" not in each]
    assert unknown == []


@pytest.mark.parametrize(("events", "cited"), [
    (flown(fails_at=None), {"FAA-H-8083-9", "FAA-S-ACS-8C"}), ([], set()),
])
def test_a_debrief_with_a_score_cites_the_documents_of_the_published_scales(
    events: list[Event], cited: set[str],
) -> None:
    codes = {each.code for each in cited_in(grade(scenario(()), events, 1), scenario(()))}
    assert codes & {"FAA-H-8083-9", "FAA-S-ACS-8C"} == cited
