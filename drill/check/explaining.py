"""What is told of a kind of fault: why it is one, an example that has it and one that has not.

The examples are data, in `explanations/`; a test puts each of them into a sound scenario and looks what is found.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from drill.check.report import WIDTH, Line, Look, Run
from drill.check.rules import ALL, BEYOND
from drill.scenario.nearest import hint

HERE = "  # here"
"""Ends the line of a bad example at which the fault is found."""


class UnknownKind(LookupError):  # noqa: N818 - an answer to the one who asked
    """There is no kind of this name; the message names the nearest."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """Of one kind: why it matters, and two pieces of a scenario, the first with the fault in the line ending in HERE.

    `whole`: the examples are whole documents and not pieces of one. `times`: so often the line that ends in `# again`
    stands there, where an example would be too long to show. `escaped`: what is no text is written as in Python.
    `also`: kinds found with it, as its cause or what comes of it.
    """

    why: str
    bad: str
    good: str
    whole: bool = False
    escaped: bool = False
    times: int = 1
    also: tuple[str, ...] = ()


@cache
def explanations() -> Mapping[str, Explanation]:
    """Return every explanation by its kind."""
    found: dict[str, Explanation] = {}
    for path in sorted((files("drill.check") / "explanations").iterdir(), key=lambda each: each.name):
        if path.name.endswith(".yaml"):
            given: dict[str, dict[str, Any]] = yaml.safe_load(path.read_text(encoding="utf-8"))
            for name, each in given.items():
                found[name] = Explanation(**{**each, "also": tuple(each.get("also", ()))})
    return found


def explained(kind: str) -> Iterator[Line]:
    """Yield what is told of `kind`; UnknownKind if there is none of that name."""
    name = "-".join(kind.lower().split())
    if name not in ALL:
        raise UnknownKind(f"there is no kind `{kind}`; {hint(name, ALL)}; `drill check --explain all` lists them")
    return _explained(name)


def _explained(name: str) -> Iterator[Line]:
    level = "warning" if name in BEYOND or "(a warning)" in ALL[name] else "fault"
    yield [Run(name, "place"), Run("  "), Run(level, "warning" if level == "warning" else "fault")]
    what = ALL[name].removesuffix(" (a warning)")
    yield from _wrapped(f"{what[:1].upper()}{what[1:]}.")
    told = explanations().get(name)
    if told is None:
        return
    yield []
    yield from _wrapped(told.why)
    looks: tuple[tuple[str, str, Look], ...] = (("Not so:", told.bad, "mark"), ("But so:", told.good, "good"))
    for title, text, look in looks:
        yield []
        yield [Run(title, "label")]
        for line in text.rstrip("\n").split("\n"):
            shown = line.removesuffix(HERE).replace("\t", "<tab>")
            yield [Run(f"    {shown}", "source"), *([Run(HERE, look)] if line.endswith(HERE) else [])]


def kinds() -> Iterator[Line]:
    """Yield every kind with what it is."""
    for name, what in ALL.items():
        rows = textwrap.wrap(what, WIDTH - 4, break_on_hyphens=False)
        yield [Run(name, "place")]
        yield from ([Run(f"    {row}")] for row in rows)


def _wrapped(text: str) -> Iterator[Line]:
    for paragraph in text.strip().split("\n\n"):
        yield from ([Run(row)] for row in textwrap.wrap(" ".join(paragraph.split()), WIDTH, break_on_hyphens=False))
