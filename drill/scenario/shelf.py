"""The shipped documents: where they are, and how a scenario is found by its name. Light: a first screen needs it."""

from __future__ import annotations

from pathlib import Path

import drill


class ScenarioNotFound(LookupError):  # noqa: N818 - it is an answer, in the words of the one who asked
    """No file and no shipped scenario has this name; the message names the nearest."""


def procedures() -> Path:
    """Return the folder of the shipped documents: inside the installed package, or of a source checkout."""
    package = Path(drill.__file__).parent
    inside = package / "procedures"
    return inside if inside.is_dir() else package.parent / "procedures"


def shipped() -> dict[str, Path]:
    """Return the shipped scenarios by name."""
    return {path.stem: path for path in sorted(procedures().glob("*.yaml"))}


def find(scenario: str) -> Path:
    """Return the path of a scenario given as a path or as a shipped name; raises ScenarioNotFound."""
    known = shipped()
    if scenario in known:
        return known[scenario]
    try:
        path = Path(scenario)
        if path.is_file():
            return path
        if path.is_dir():
            raise ScenarioNotFound(f"{scenario}: this is a folder; give the path of a file in it, or a name from "
                                   "`drill list`")
        if path.exists():
            raise ScenarioNotFound(f"{scenario}: this is not a regular file; copy what it gives to a file, and give "
                                   "the path of that")
    except (OSError, ValueError):
        pass
    from drill.scenario.nearest import several_near  # who names a scenario rightly does without it

    near = several_near(scenario, known) or sorted(known)
    names = f"; the nearest names are {', '.join(near)}" if near else ""
    raise ScenarioNotFound(
        f"there is no scenario {scenario!r}{names}; `drill list` shows all, or give the path of a file"
    )
