"""Reading a record, as a stranger's: nothing in it is believed, no text of it stays uncleaned."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields, replace
from functools import partial
from pathlib import Path
from typing import Any, get_args

from pydantic import ValidationError

from drill.airplane.controls import Controls
from drill.airplane.panel import Panel, Truths
from drill.clean import clean, clean_line
from drill.flight.earlier import completed
from drill.flight.events import Event, Trace
from drill.flight.labels import cleaned
from drill.flight.recorder import EDITION, EVENT, RecordError, event_data
from drill.flight.state import bounded
from drill.scenario import DocumentError, Scenario, load_text

MOST_BYTES = 128 * 1024 * 1024
MOST_EVENTS = 300_000
MOST_LINE_BYTES = 4 * 1024 * 1024   # of the header, which holds two documents, and of a state
MOST_EVENT_BYTES = 64 * 1024
MOST_WORDS = 20_000          # characters of one text in an event
_LONGEST_S = 1e6
_KINDS: dict[str, type[Any]] = {
    str(field.default): each for each in get_args(Event) for field in fields(each) if field.name == "kind"
}
_NUMBERS = {
    name: {each.name for each in fields(kind)}
    for name, kind in (("shown", Panel), ("true", Truths), ("controls", Controls))
}
_clean_words: Callable[[str], str] = partial(clean, limit=MOST_WORDS)


@dataclass(frozen=True, slots=True)
class KeptState:
    """A full state in a record: its JSON data, and how many events stand before it."""

    events: int
    data: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Recorded:
    """A record as read. `cut`: its last line was torn. `good_bytes`: length of the file up to the last whole line."""

    path: Path
    model: str
    seed: int
    by: str
    versions: str
    scenario: Scenario
    events: tuple[Event, ...]
    states: tuple[KeptState, ...]
    cut: bool
    good_bytes: int


def read_record(path: Path) -> Recorded:
    """Return the record in the file. RecordError for whatever is not one, OSError if it cannot be opened."""
    path = Path(path)
    data = _bytes_of(path)
    whole = data.rfind(b"\n") + 1
    lines = data[:whole].split(b"\n")[:-1]
    if not lines:
        raise RecordError(f"{path}:1: there is no whole line; this is no record of a flight, name another file")
    header = _json(path, 1, lines[0])
    scenario = _scenario(path, header)
    events: list[Event] = []
    states: list[KeptState] = []
    for number, line in enumerate(lines[1:], 2):
        data_here = _json(path, number, line)
        if data_here.get("kind") != "state" and (len(line) > MOST_EVENT_BYTES or len(events) >= MOST_EVENTS):
            much = f"more than {MOST_EVENTS:,} events" if len(events) >= MOST_EVENTS else (
                f"an event of more than {MOST_EVENT_BYTES // 1024} kB")
            raise RecordError(f"{path}:{number}: {much}; drill writes no such record, name another file")
        if data_here.get("kind") == "state":
            states.append(KeptState(len(events), _state(path, number, data_here)))
        else:
            events.append(_event(path, number, data_here))
    versions = ", ".join(
        clean_line(f"{name} {header.get(name, '?')}", limit=60) for name in ("drill", "python", "numpy"))
    return Recorded(path, clean_line(str(header["model"]), limit=80), header["seed"],
                    clean_line(str(header.get("pilot", "typed")), limit=40), versions, scenario, tuple(events),
                    tuple(states), cut=whole < len(data), good_bytes=whole)


def _bytes_of(path: Path) -> bytes:
    if path.exists() and not path.is_file() and not path.is_dir():    # to open a pipe could wait for ever
        raise RecordError(f"{path}: this is no regular file; copy what it gives to a file, and name that")
    with path.open("rb") as file:
        data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise RecordError(f"{path}: more than {MOST_BYTES // 2**20} MB; no flight is that long, name another file")
    return data


def _wrong(path: Path, number: int, what: str) -> RecordError:
    return RecordError(f"{path}:{number}: {what}; the file is damaged or is no record, fly anew or name another file")


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _json(path: Path, number: int, line: bytes) -> dict[str, Any]:
    if len(line) > MOST_LINE_BYTES:
        raise _wrong(path, number, "the line is longer than any that drill writes")
    try:
        data = json.loads(line.decode("utf-8"), parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise _wrong(path, number, "the line cannot be read as JSON") from None
    if not isinstance(data, dict):
        raise _wrong(path, number, "the line is no JSON object")
    return data


def _scenario(path: Path, header: dict[str, Any]) -> Scenario:
    if header.get("kind") != "header":
        raise _wrong(path, 1, "the first line is no header")
    if header.get("edition") != EDITION:
        edition = clean_line(str(header.get("edition")), limit=20)
        raise RecordError(f"{path}:1: the record is of edition {edition}, this drill reads edition {EDITION}; use the "
                          "drill that wrote it")
    seed = header.get("seed")
    if type(seed) is not int or not 0 <= seed < 2**63 or not isinstance(header.get("model"), str):
        raise _wrong(path, 1, "the header has no seed or no model")
    texts: dict[str, tuple[str, str]] = {}
    for part in ("scenario", "airplane"):
        given = header.get(part)
        if not isinstance(given, dict) or not all(isinstance(given.get(each), str) for each in ("name", "text")):
            raise _wrong(path, 1, f"the header has no {part}")
        name = "".join(each for each in given["name"] if each.isalnum() or each in " -_.")[:80]
        texts[part] = (name or part, given["text"])
    (name, text), (airplane, airplane_text) = texts["scenario"], texts["airplane"]
    others: list[str] = []

    def airplane_of(wanted: str) -> str | None:
        if wanted != airplane:
            others.append(wanted)
        return airplane_text if wanted == airplane else None

    try:
        return load_text(text, f"{name}.yaml", airplane_of)
    except DocumentError as error:
        if others:
            wanted = clean_line(others[0], limit=60)
            raise _wrong(path, 1, f"its scenario wants the airplane `{wanted}`, it holds `{airplane}`") from None
        first = clean_line(str(error.problems[0]), limit=300)
        raise _wrong(path, 1, f"its scenario cannot be used: {first}") from None


def _state(path: Path, number: int, data: dict[str, Any]) -> dict[str, Any]:
    state = data.get("state")
    if set(data) != {"kind", "t", "state"} or not isinstance(state, dict):
        raise _wrong(path, number, "the state is incomplete")
    return state


def _event(path: Path, number: int, data: dict[str, Any]) -> Event:
    kind = _KINDS.get(data["kind"]) if isinstance(data.get("kind"), str) else None
    if kind is None or not set(data) <= {each.name for each in fields(kind)}:
        raise _wrong(path, number, "no event is written like that")
    try:
        event: Event = cleaned(EVENT.validate_python(data), _clean_words)
        sound = bounded(event_data(event)) and 0.0 <= event.t < _LONGEST_S
    except (ValidationError, ValueError, RecursionError):
        raise _wrong(path, number, f"the {data['kind']} event is not whole") from None
    if not sound:
        raise _wrong(path, number, "a number is out of bounds")
    if isinstance(event, Trace):
        event = replace(event, shown=completed("shown", event.shown), true=completed("true", event.true),
                        controls=completed("controls", event.controls))
        for part, names in _NUMBERS.items():
            if getattr(event, part).keys() != names:
                raise _wrong(path, number, f"the trace does not have the numbers that `{part}` wants")
    return event


@contextmanager
def fitting(path: Path, purpose: str) -> Iterator[None]:
    """Turn whatever the parts of a record that do not fit together make go wrong meanwhile into a RecordError.

    Each line of a stranger's record can be sound and the whole still be no flight. `purpose`: what cannot be done.
    """
    try:
        yield
    except (ArithmeticError, LookupError, ValueError, TypeError) as error:
        why = clean_line(str(error) or type(error).__name__, limit=200)
        raise RecordError(f"{path}: the record does not fit together and cannot be {purpose} ({why}); "
                          "it has been changed or is damaged, use another copy of it or fly anew") from None
