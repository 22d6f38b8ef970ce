"""Reading documents: a path or a text to a Scenario or an Airplane, or to every problem that is in it.

The passes are syntax (`places`), shape, values and words (`document`), names, flow and examples (`checks`), and what
the values come to together (`sense`).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeAlias

from drill.clean import clean_line
from drill.scenario.airplane_document import AIRPLANE
from drill.scenario.build import build_airplane, build_scenario
from drill.scenario.checks import check_examples, check_flow, check_items, check_references
from drill.scenario.document import EDITION, SCENARIO
from drill.scenario.misplaced import sections_of
from drill.scenario.model import Airplane, Scenario
from drill.scenario.nearest import nearest, several_near
from drill.scenario.places import Mapping as Keyed
from drill.scenario.places import Node, Text, nodes, read_text
from drill.scenario.poll_keys import check_does, check_polls
from drill.scenario.problems import DocumentError, Problem
from drill.scenario.reading import Entry, Reading
from drill.scenario.sense import check_sense, check_unused
from drill.scenario.shelf import procedures
from drill.scenario.units import FEET, UnitError, read_amount

Airplanes: TypeAlias = Callable[[str], str | None]
"""The text of an airplane document by its name; None if there is none."""

_AIRPLANE_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,63}")


def load(path: Path | str) -> Scenario:
    """Return the scenario in the file; raises DocumentError with every problem in it."""
    path = Path(path)
    return load_text(read_text(path), str(path), airplanes_beside(path))


def load_with_warnings(path: Path | str) -> tuple[Scenario, list[Problem]]:
    """Return the scenario in the file, and its warnings in the author's order; raises DocumentError as `load` does."""
    path = Path(path)
    scenario, problems = read_scenario(read_text(path), str(path), airplanes_beside(path))
    if scenario is None:
        raise DocumentError(problems)
    return scenario, sorted(problems)


def load_text(text: str, file_name: str, airplanes: Airplanes) -> Scenario:
    """Return the scenario in `text`, with its airplane from `airplanes`; raises DocumentError."""
    scenario, problems = read_scenario(text, file_name, airplanes)
    if scenario is None:
        raise DocumentError(problems)
    return scenario


def load_airplane(text: str, file_name: str) -> Airplane:
    """Return the airplane in `text`; raises DocumentError."""
    to = Reading()
    entry = AIRPLANE.read(nodes(text, file_name), "", to)
    if isinstance(entry, Entry):
        _check_edition(entry, to)
    if to.problems:
        raise DocumentError(to.problems)
    return build_airplane(Path(file_name).stem, entry, text)


def problems_in(path: Path | str) -> list[Problem]:
    """Return every problem of the scenario in the file, warnings too, in the author's order."""
    path = Path(path)
    try:
        _, problems = read_scenario(read_text(path), str(path), airplanes_beside(path))
    except DocumentError as error:
        return list(error.problems)
    return sorted(problems)


def airplanes_beside(path: Path) -> Airplanes:
    """Return airplanes from the folder `airplanes` beside a scenario, then from the shipped ones."""
    folders = (path.parent / "airplanes", procedures() / "airplanes")

    def text_of(name: str) -> str | None:
        if _AIRPLANE_NAME.fullmatch(name) is None:  # a name, never a path
            return None
        for folder in folders:
            if (folder / f"{name}.yaml").is_file():
                return read_text(folder / f"{name}.yaml")
        return None

    return text_of


def read_scenario(text: str, file_name: str, airplanes: Airplanes) -> tuple[Scenario | None, list[Problem]]:
    """Return the scenario and its warnings, or None and its problems."""
    return read_tree(nodes(text, file_name), text, file_name, airplanes)


def read_tree(
    tree: Node, text: str, file_name: str, airplanes: Airplanes,
) -> tuple[Scenario | None, list[Problem]]:
    """Return what `read_scenario` does, of a document of which there is a `tree`; `text` is the whole document."""
    to = Reading(named=_named_values(tree), elsewhere=lambda key: sections_of(key, SCENARIO))
    root = SCENARIO.read(tree, "", to)
    if not isinstance(root, Entry):
        return None, to.problems
    _check_edition(root, to)
    airplane = _airplane(root, airplanes, to)
    check_references(root, tree, airplane, to)
    check_items(root, to)
    check_polls(root, to)
    check_flow(root, to)
    if airplane is None or any(problem.level == "error" for problem in to.problems):
        return None, to.problems
    name = clean_line(Path(file_name).stem) or "scenario"    # a file name can hold what is no text
    scenario = build_scenario(name, root, airplane, text)
    to.problems += [*check_sense(scenario, root), *check_examples(scenario, root), *check_does(scenario)]
    failed = any(problem.level == "error" for problem in to.problems)
    if not failed:
        to.problems += check_unused(scenario, root)
    return None if failed else scenario, to.problems


def _check_edition(root: Entry, to: Reading) -> None:
    edition = root.get("drill", EDITION)
    if edition != EDITION:
        to.wrong(
            root.at("drill"),
            "unknown-edition",
            f"this document is of edition {edition:g}",
            f"this drill reads edition {EDITION}",
            "use a newer drill, or write `drill: 1`",
        )


def _airplane(root: Entry, airplanes: Airplanes, to: Reading) -> Airplane | None:
    name = root.get("airplane")
    if name is None:
        return None
    place = next((each.place for each in to.references if each.kind == "airplane"), root.at("airplane"))
    text = airplanes(name)
    if text is None:
        known = sorted(path.stem for path in (procedures() / "airplanes").glob("*.yaml"))
        near = several_near(name, known, 1) or known
        to.wrong(
            place,
            "unknown-airplane",
            f"there is no airplane `{name[:60]}`",
            f"the nearest known is `{near[0]}`" if near else "",
            "correct the name, or add its document to the folder airplanes beside this file",
        )
        return None
    try:
        return load_airplane(text, f"{name}.yaml")
    except DocumentError as error:
        to.problems += error.problems
        return None


def _named_values(tree: Node) -> Mapping[str, float | None]:
    """Return the values that conditions may name; None where one is given but unreadable."""
    found: dict[str, float | None] = {}
    for section, key in ((None, "minimum altitude"), ("weather", "freezing level")):
        node = tree if section is None else _below(tree, section)
        value = None if node is None else _below(node, key)
        if value is None and isinstance(node, Keyed) and nearest(key, [name.value for name, _ in node.entries]):
            found[key] = None       # it is there, misspelt
        if isinstance(value, Text):
            try:
                found[key] = read_amount(value.value, FEET)
            except UnitError:
                found[key] = None
    return found


def _below(node: Node, key: str) -> Node | None:
    if not isinstance(node, Keyed):
        return None
    return next((value for name, value in node.entries if name.value == key), None)


__all__ = [
    "Airplanes",
    "airplanes_beside",
    "load",
    "load_airplane",
    "load_text",
    "load_with_warnings",
    "problems_in",
]
