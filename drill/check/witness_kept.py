"""What witness flights have shown, kept beside their scripts for the map: written by a check, read again with care.

It counts only for the very scenario, airplane and model that flew: of another one nothing is known.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from drill.check.witness import Shown, Witness, clock, score_of
from drill.check.witness_findings import write_scripts
from drill.clean import clean_line
from drill.flight.recorder import MODEL_EDITION
from drill.scenario.model import Scenario

ENDING = ".witnesses.json"
MOST_BYTES = 4 * 1024 * 1024


class NoWitnesses(ValueError):  # noqa: N818 - an answer to the one who asked
    """There are no witnesses of this scenario; the message says why, and what to do."""


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _Showing(_Part):
    what: str
    at_s: float = Field(ge=0.0, allow_inf_nan=False)


class _Flight(_Part):
    script: str
    seed: int
    ending: str | None
    score: float | None = Field(allow_inf_nan=False)
    shows: tuple[_Showing, ...]


class _File(_Part):
    edition: Literal[1]
    scenario: str
    of: str
    flown_s: float = Field(ge=0.0, allow_inf_nan=False)
    flights: tuple[_Flight, ...]
    not_shown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """What was kept: where each thing is shown, in words, and how much was flown for it."""

    flights: tuple[str, ...]
    flown_s: float
    where: Mapping[str, str]
    not_shown: tuple[str, ...]

    def of(self, what: str) -> str:
        """Return where a flight shows `what`; "" where none does."""
        return self.where.get(what, "")

    @property
    def words(self) -> str:
        """How much was flown."""
        return f"{len(self.flights)} flights, {self.flown_s / 60.0:.0f} minutes flown in search of them"


def keep(scenario: Scenario, shown: Shown, folder: Path) -> list[Path]:
    """Write the scripts of the witnesses and what they show into `folder`; return the scripts.

    OSError where they cannot be written.
    """
    scripts = write_scripts(scenario, shown, folder)
    told = [each for each in shown.witnesses if each.showings]
    made = _File(
        edition=1, scenario=scenario.name, of=_of(scenario), flown_s=shown.flown_s, not_shown=shown.not_flown,
        flights=tuple(_Flight(
            script=path.name, seed=witness.seed, ending=witness.ending,
            score=None if witness.debrief is None else score_of(witness),
            shows=tuple(_Showing(what=each.what, at_s=each.at_s) for each in witness.showings))
            for witness, path in zip(told, scripts, strict=True)))
    (folder / f"{scenario.name}{ENDING}").write_text(
        json.dumps(made.model_dump(mode="json"), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return scripts


def kept(scenario: Scenario, folder: Path) -> Kept:
    """Return what witnesses in `folder` have shown of this scenario; NoWitnesses where there are none of it."""
    path = folder / f"{scenario.name}{ENDING}"
    again = f"make them with `drill check --witness {clean_line(str(folder))} SCENARIO`"
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise NoWitnesses(f"{clean_line(str(path))}: {error.strerror or error}; {again}") from error
    try:
        found = _File.model_validate_json(data[:MOST_BYTES])
    except ValidationError as error:
        raise NoWitnesses(f"{clean_line(str(path))}: this is no account of witness flights; {again}") from error
    if found.of != _of(scenario):
        raise NoWitnesses(f"{clean_line(str(path))}: it tells of flights of another edition of this scenario, of its "
                          f"airplane or of the model; {again}")
    where: dict[str, str] = {}
    for number, flight in enumerate(found.flights, 1):
        for each in flight.shows:
            where.setdefault(clean_line(each.what), f"flight {number} at {clock(each.at_s)}")
    return Kept(tuple(map(_flight_words, found.flights)), found.flown_s, where, tuple(map(clean_line, found.not_shown)))


def _flight_words(flight: _Flight) -> str:
    score = "" if flight.score is None else f", scores {flight.score:.0f}"
    end = f"ends with “{clean_line(flight.ending)}”{score}" if flight.ending else "not flown to an ending"
    return f"seed {flight.seed}, {end}: {clean_line(flight.script)}"


def _of(scenario: Scenario) -> str:
    """Return a fingerprint of what flies."""
    text = "\0".join((scenario.text, scenario.airplane.text, str(MODEL_EDITION)))
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def as_object(scenario: Scenario, shown: Shown, scripts: Sequence[Path]) -> dict[str, Any]:
    """Return what witnesses have shown, for programs."""
    told = [each for each in shown.witnesses if each.showings]
    return {"scenario": scenario.name, "flown_s": shown.flown_s, "flights": [
        {"script": clean_line(str(path)), "seed": each.seed, "ending": each.ending, "score": _score(each),
         "shows": [{"what": one.what, "at_s": one.at_s} for one in each.showings]}
        for each, path in zip(told, scripts, strict=True)], "unknown": list(shown.not_flown)}


def _score(witness: Witness) -> float | None:
    return None if witness.debrief is None else witness.debrief.score
