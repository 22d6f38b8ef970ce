"""The shipped scenarios as a board shows them, read from the heads of their documents. Light: a first screen needs it.

A card is no check: of a document only the first keys are looked at, with the parser alone. What is wrong further down
is said when the scenario is loaded.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Any

import yaml

from drill.clean import clean_line
from drill.scenario.places import read_text
from drill.scenario.problems import DocumentError
from drill.scenario.shelf import procedures
from drill.scenario.units import PLAIN, UnitError, read_amount

USUAL_MINUTES = 20.0
"""About how long a flight takes whose document does not say."""

LONGEST_TITLE = 120
LONGEST_AIM = 2_000
LONGEST_CODE = 60
MOST_CODES = 100

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_BEFORE_KEYS = 3    # events: the stream begins, the document, and the mapping
_KEYS = frozenset({"board title", "title", "aim", "covers", "airplane", "minutes"})


@dataclass(frozen=True, slots=True)
class Card:
    """What a board knows of one scenario; all text is clean.

    `airplane` is the title of the airplane's document, `minutes` about how long the flight takes, `covers` the codes of
    the ACS tasks. `title` and `aim` are not for the pilot's eyes before the first debrief. `problem` says in words why
    the document cannot be read; then the rest is empty.
    """

    name: str
    path: Path
    board_title: str = ""
    airplane: str = ""
    minutes: float = 0.0
    title: str = ""
    aim: str = ""
    covers: tuple[str, ...] = ()
    problem: str = ""


def cards() -> list[Card]:
    """Return the cards of the shipped scenarios in the order of their names."""
    return cards_in(procedures())


def cards_in(folder: Path) -> list[Card]:
    """Return the cards of the scenarios in `folder`, whose folder `airplanes` has their airplanes."""
    airplanes = {path.stem: path for path in (folder / "airplanes").glob("*.yaml")}
    title_of = cache(lambda name: _airplane_title(name, airplanes))
    found = []
    for path in sorted(folder.glob("*.yaml")):
        shown = clean_line(path.stem)
        try:
            head = _head(path, _KEYS)
            found.append(Card(
                shown, path, board_title=_line(head, "board title"), airplane=title_of(_line(head, "airplane")),
                minutes=_minutes(head), title=_line(head, "title"), aim=_prose(head), covers=_codes(head),
            ))
        except DocumentError as error:
            found.append(Card(shown, path, problem=clean_line(str(error.problems[0]))))
        except (yaml.YAMLError, ValueError, RecursionError) as error:
            why = clean_line(str(error))
            found.append(Card(shown, path, problem=clean_line(f"{path}: this is no scenario; {why}")))
    return found


def _airplane_title(name: str, airplanes: Mapping[str, Path]) -> str:
    """Return the title of one of the `airplanes`; its name if there is none to be read, which loading will say."""
    try:
        return _line(_head(airplanes[name], frozenset({"title"})), "title")
    except (KeyError, DocumentError, yaml.YAMLError, ValueError, RecursionError):
        return name


def _head(path: Path, wanted: frozenset[str]) -> Mapping[str, str | list[str]]:
    """Return the `wanted` keys of a document with their words or lists of words; stops reading when it has them all."""
    events = yaml.parse(read_text(path), Loader=_LOADER)
    found: dict[str, str | list[str]] = {}
    keyed = any(isinstance(event, yaml.MappingStartEvent) for event in islice(events, _BEFORE_KEYS))
    for key in events if keyed else ():
        if not isinstance(key, yaml.ScalarEvent):
            break
        value = _value(events)
        if key.value in wanted and value is not None:
            found[key.value] = value
        if len(found) == len(wanted):
            break
    return found


def _value(events: Iterator[Any]) -> str | list[str] | None:
    """Take one value from `events`: words, or the words of a list; None for a mapping, whose inside is passed over."""
    first = next(events)
    if isinstance(first, yaml.ScalarEvent):
        return str(first.value)
    if isinstance(first, yaml.AliasEvent):
        return None
    words: list[str] = []
    depth = 1
    while depth:
        event = next(events)
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        elif depth == 1 and isinstance(event, yaml.ScalarEvent):
            words.append(event.value)
    return words if isinstance(first, yaml.SequenceStartEvent) else None


def _line(head: Mapping[str, str | list[str]], key: str) -> str:
    value = head.get(key)
    if not isinstance(value, str) or not clean_line(value):
        raise ValueError(f"`{key}` is missing, or is no line of words")
    return clean_line(value, limit=LONGEST_TITLE)


def _prose(head: Mapping[str, str | list[str]]) -> str:
    value = head.get("aim")
    return clean_line(value, limit=LONGEST_AIM) if isinstance(value, str) else ""


def _codes(head: Mapping[str, str | list[str]]) -> tuple[str, ...]:
    value = head.get("covers", [])
    codes = [value] if isinstance(value, str) else value
    return tuple(clean_line(code, limit=LONGEST_CODE) for code in codes[:MOST_CODES])


def _minutes(head: Mapping[str, str | list[str]]) -> float:
    value = head.get("minutes")
    if value is None:
        return USUAL_MINUTES
    try:
        return read_amount(clean_line(str(value)), PLAIN)
    except UnitError as error:
        raise ValueError(f"`minutes`: {error.wrong}") from error
