"""What `drill check --pilots N --format json` has said (`pilots.told.as_object`), read again for a scenario's map."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from drill.check.story_map import Flown
from drill.clean import clean_line
from drill.scenario.model import Scenario

MOST_BYTES = 64 * 1024 * 1024
Share = Annotated[float, Field(ge=0.0, le=1.0, allow_inf_nan=False)]


class NoPilots(ValueError):  # noqa: N818 - an answer to the one who asked
    """The file does not tell of simulated pilots of this scenario; the message says why."""


class _Part(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True)


class _Branch(_Part):
    phase: str
    branch: int                               # its place in the author's order, from 0
    shares: Mapping[str, Share]


class _Result(_Part):
    scenario: str
    pilots: int
    skills: tuple[str, ...]
    branches: tuple[_Branch, ...]
    phases: Mapping[str, Mapping[str, Share]]
    endings: Mapping[str, Mapping[str, Share]]


class _Said(_Part):
    pilots: tuple[_Result, ...]


def flown_by_pilots(scenario: Scenario, path: Path) -> Flown:
    """Return what simulated pilots made of this scenario, by the file; NoPilots if it does not tell.

    The file holds one result or what a check has said of several scenarios.
    """
    named = clean_line(str(path))
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise NoPilots(f"{named}: {error.strerror or error}") from error
    results = _results(data[:MOST_BYTES])
    if results is None:
        raise NoPilots(f"{named}: this is not what `drill check --pilots N --format json` says")
    found = next((each for each in results if each.scenario == scenario.name), None)
    if found is None:
        raise NoPilots(f"{named}: it tells of no pilots of {clean_line(scenario.name)}")
    known = {(phase.name, number) for phase in scenario.phases for number in range(len(phase.branches))}
    if {(each.phase, each.branch) for each in found.branches} != known:
        raise NoPilots(f"{named}: its branches are not those of {clean_line(scenario.name)} as it is now; let the "
                       "pilots fly again")
    skills = tuple(clean_line(each) for each in found.skills)
    return Flown(f"{found.pilots:,}, of the skills {', '.join(skills)}", skills,
                 {(each.phase, each.branch): each.shares for each in found.branches}, found.phases, found.endings)


def _results(data: bytes) -> Sequence[_Result] | None:
    for shape in (_Said, _Result):
        try:
            read = shape.model_validate_json(data)
        except ValidationError:
            continue
        return read.pilots if isinstance(read, _Said) else [read]
    return None
