"""A document looked at as a whole: every fault that the loader finds, and for a sound scenario what the passes find."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeAlias

from drill.check.exploring import findings
from drill.check.partial import still_found
from drill.check.passes import PASSES
from drill.check.reading_on import by_themselves, read_on
from drill.scenario.airplane_document import AIRPLANE
from drill.scenario.document import SCENARIO
from drill.scenario.loading import Airplanes, airplanes_beside, load_airplane, read_scenario, read_tree
from drill.scenario.places import Mapping as Keyed
from drill.scenario.places import Node, nodes_read, read_text
from drill.scenario.problems import DocumentError, Problem
from drill.scenario.shelf import ScenarioNotFound, find, procedures, shipped

Kind: TypeAlias = Literal["scenario", "airplane"]

MOST_SLIPS = 4
"""Past more lines that are no YAML nobody reads on."""
ENDINGS = (".yaml", ".yml")
AIRPLANES = "airplanes"

_SCENARIO_KEYS = {key.name for key in SCENARIO.keys}
_AIRPLANE_KEYS = {key.name for key in AIRPLANE.keys}


class NothingToCheck(LookupError):  # noqa: N818 - an answer to the one who asked
    """A path that was named holds no document; the message says what to name instead."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found in one document: all its problems in the author's order, and the texts that they point into."""

    file: str
    kind: Kind
    problems: tuple[Problem, ...]
    texts: Mapping[str, str]            # by the name of the file, as in the problems' places

    @property
    def faults(self) -> int:
        """How many problems keep the document from being used."""
        return sum(each.level == "error" for each in self.problems)

    @property
    def warnings(self) -> int:
        """How many are warnings."""
        return len(self.problems) - self.faults


def documents(paths: Iterable[str]) -> list[Path]:
    """Return the documents that `paths` name: files, folders with all below them, names of shipped scenarios.

    Without any, all that ship. NothingToCheck for a path that names no document.
    """
    named = list(paths)
    if not named:
        return [*shipped().values(), *sorted((procedures() / AIRPLANES).glob("*.yaml"))]
    found = dict.fromkeys(document for each in named for document in _below(each))
    return list(found)


def _below(named: str) -> list[Path]:
    try:
        path = Path(named)
        if path.is_dir():
            inside = sorted(each for each in path.rglob("*") if each.suffix in ENDINGS and each.is_file())
            if not inside:
                raise NothingToCheck(f"{named}: there is no document (.yaml) in this folder")
            return inside
        return [find(named)]
    except ScenarioNotFound as error:
        raise NothingToCheck(str(error)) from error
    except (OSError, ValueError) as error:
        raise NothingToCheck(f"{named}: {getattr(error, 'strerror', None) or error}") from error


def check(path: Path) -> Checked:
    """Return everything that is wrong with the document at `path`. Never raises for what stands in it."""
    file = str(path)
    try:
        text = read_text(path)
    except DocumentError as error:
        return Checked(file, "scenario", error.problems, {})
    return check_text(text, file, airplanes_beside(path))


def check_text(
    text: str, file: str, airplanes: Airplanes, slips: int = MOST_SLIPS,
) -> Checked:
    """Return everything that is wrong with the document `text`, which is called `file`.

    It is read on past so many lines that are no YAML.
    """
    try:
        tree, doubled = nodes_read(text, file)
    except DocumentError as error:
        further = _beyond(text, file, airplanes, error.problems, slips)
        return Checked(file, "scenario", tuple(sorted({*error.problems, *further})), {file: text})
    if _kind(tree, file) == "airplane":
        return Checked(file, "airplane", _airplane_problems(text, file), {file: text})
    texts = {file: text}

    def noted(name: str) -> str | None:
        found = airplanes(name)
        if found is not None:
            texts[f"{name}.yaml"] = found
        return found

    try:
        scenario, problems = read_tree(tree, text, file, noted)
    except DocumentError as error:
        return Checked(file, "scenario", error.problems, texts)
    if doubled:
        lines = {each.place.line for each in doubled}
        problems = [*doubled, *(each for each in by_themselves(problems) if each.place.line not in lines)]
        scenario = None
    if scenario is not None:
        problems = [*problems, *(problem for each in PASSES for problem in each(scenario, tree))]
        problems += _not_twice(findings(scenario, problems), problems)
    else:
        problems = [*problems, *still_found(tree, text, file, airplanes, problems)]
    return Checked(file, "scenario", tuple(sorted(set(problems))), texts)


def _beyond(
    text: str, file: str, airplanes: Airplanes, problems: Sequence[Problem], slips: int,
) -> list[Problem]:
    """Return what is wrong in the rest of a document of which one line is no YAML."""
    if len(problems) != 1 or not slips:
        return []

    def faults(mended: str) -> list[Problem]:
        return [each for each in read_scenario(mended, file, airplanes)[1] if each.level == "error"]

    on = read_on(text, problems[0], faults)
    return [] if on is None else on.still_told(check_text(on.text, file, airplanes, slips - 1).problems)


def _not_twice(found: Iterable[Problem], told: Iterable[Problem]) -> list[Problem]:
    """Return those of `found` but for contradictions of items that `told` has at the other one of the two."""
    known = frozenset(subject for each in told if each.rule == "items-contradict" for subject in each.about)
    return [each for each in found if each.rule != "items-contradict" or not each.about & known]


def _airplane_problems(text: str, file: str) -> tuple[Problem, ...]:
    try:
        load_airplane(text, file)
    except DocumentError as error:
        return error.problems
    return ()


def _kind(tree: Node, file: str) -> Kind:
    """Return what a document is meant to be, by its keys; where they do not tell, by its folder."""
    keys = {name.value for name, _ in tree.entries} if isinstance(tree, Keyed) else set[str]()
    own, others = keys & (_AIRPLANE_KEYS - _SCENARIO_KEYS), keys & (_SCENARIO_KEYS - _AIRPLANE_KEYS)
    if len(own) == len(others):
        return "airplane" if Path(file).parent.name == AIRPLANES else "scenario"
    return "airplane" if len(own) > len(others) else "scenario"
