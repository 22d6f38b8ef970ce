"""The journal of flights: which scenarios were flown, how they ended, what they scored. Light: a first screen reads it.

Append-only JSON lines, each about one record. A line that is damaged, or not ours, is skipped; of several about the
same record the last word wins. What is read is cleaned. That it cannot be written is never a reason not to fly.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from drill.clean import clean_line

FILE = "flights.jsonl"

MOST_LINES = 5_000
MOST_BYTES = 4_000_000
"""No more of the end of the journal is read, in lines and in bytes."""

LONGEST_PATH = 4_096
LONGEST_WORDS = 120
LONGEST_PILOT = 128
MOST_SEED = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Attempt:
    """One flight as the journal knows it: its `record` (absolute), when it `began`, its ending and score.

    `began` is an ISO day, with `THH:MM` of the clock on the wall after it where that is known. `pilot` tells apart the
    people who fly here from elsewhere; it is empty for whoever sits at this machine. `outcome` is empty until the
    flight has ended. `score` is 0 to 100; None if there was nothing to grade, or nobody has been told yet. A `rewound`
    flight goes on from a moment of one that was debriefed: its score is no measure of a pilot.
    """

    scenario: str
    board_title: str
    record: Path
    seed: int
    began: str
    ended: bool = False
    outcome: str = ""
    score: float | None = None
    pilot: str = ""
    rewound: bool = False


def attempts(folder: Path, pilot: str | None = None) -> list[Attempt]:
    """Return the flights in the journal of `folder` whose records are still there, oldest first, one a record.

    Those of `pilot` only, where one is given; an empty one is whoever sits at this machine. None: everybody's. A
    journal that cannot be read has none; `why_not_kept` says why.
    """
    known: dict[str, Attempt] = {}
    for line in _last_lines(folder / FILE):
        _take(line, known)
    return [each for each in known.values() if pilot in (None, each.pilot) and _is_there(each.record)]


def why_not_kept(folder: Path) -> str:
    """Return why the journal of `folder` cannot be read, or not written, in words; nothing if it can be both."""
    path = folder / FILE
    try:
        if path.is_file():
            with path.open("rb") as file:
                file.read(1)
        elif path.exists():
            return f"The list of flights cannot be read: {path} is no regular file; move it away."
        there = next((each for each in (path, *path.parents) if each.exists()), path)
        if there != path and not there.is_dir():
            return f"The list of flights cannot be written: {there} is no folder; move it away."
        if not os.access(there, os.W_OK):
            return f"The list of flights cannot be written: {there} is write-protected."
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        return f"The list of flights cannot be read: {path} ({why}); check who may read it."
    return ""


def begun(
    folder: Path, record: Path, scenario: str, board_title: str, seed: int, began: str, pilot: str = "",
    *, rewound: bool = False,
) -> bool:
    """Note that a flight of `pilot` has begun at `began` (as `Attempt.began`). Say whether it could be written."""
    said: dict[str, object] = {
        "kind": "begun", "scenario": scenario, "board_title": board_title, "seed": seed, "began": began}
    if rewound:
        said["rewound"] = True
    return _append(folder, record, {**said, "pilot": pilot} if pilot else said)


def finished(folder: Path, record: Path, outcome: str) -> bool:
    """Note that the flight of `record` has ended. Returns whether that could be written."""
    return _append(folder, record, {"kind": "finished", "outcome": outcome})


def graded(folder: Path, record: Path, score: float | None) -> bool:
    """Note the score (0 to 100, None: nothing to grade) of the flight of `record`; say whether it could be written."""
    return _append(folder, record, {"kind": "graded", "score": score})


def _append(folder: Path, record: Path, said: Mapping[str, object]) -> bool:
    try:
        line = json.dumps({**said, "record": str(record.absolute())}) + "\n"
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / FILE
        if path.exists() and not path.is_file():    # to open a pipe could wait for ever
            return False
        with path.open("a+b") as file:
            if file.tell():
                file.seek(-1, 2)
                if file.read(1) != b"\n":           # a line that was cut off must not spoil this one
                    line = "\n" + line
            file.write(line.encode("ascii"))
    except (OSError, ValueError):
        return False
    return True


def _last_lines(path: Path) -> list[bytes]:
    try:
        if not path.is_file():
            return []
        with path.open("rb") as file:
            start = max(0, file.seek(0, 2) - MOST_BYTES)
            file.seek(start)
            lines = file.read(MOST_BYTES).split(b"\n")
    except (OSError, ValueError):
        return []
    return lines[1 if start else 0 :][-MOST_LINES - 1 :]    # what follows the last line break is a line of its own


def _take(line: bytes, known: dict[str, Attempt]) -> None:
    """Let one line of the journal change what is `known` by record."""
    try:
        said = json.loads(line)
    except (ValueError, RecursionError):    # not UTF-8, not JSON, or nested without end
        return
    if not isinstance(said, dict):
        return
    record = said.get("record")
    if not isinstance(record, str) or len(record) > LONGEST_PATH or not Path(record).is_absolute():
        return
    match said.get("kind"):
        case "begun":
            attempt = _begun(said, Path(record))
            if attempt is not None:
                known.pop(record, None)     # a new flight in a file of that name
                known[record] = attempt
        case "finished" if record in known and isinstance(said.get("outcome"), str):
            known[record] = replace(known[record], ended=True, outcome=_words(said["outcome"]))
        case "graded" if record in known and _is_score(said.get("score")):
            score = said.get("score")
            known[record] = replace(known[record], score=None if score is None else float(score))
        case _:
            return


def _begun(said: Mapping[str, Any], record: Path) -> Attempt | None:
    scenario, title, seed, began = (said.get(key) for key in ("scenario", "board_title", "seed", "began"))
    if not (isinstance(scenario, str) and isinstance(title, str) and isinstance(began, str)):
        return None
    if type(seed) is not int or not 0 <= seed <= MOST_SEED:
        return None
    pilot = said.get("pilot", "")
    if not isinstance(pilot, str) or len(pilot) > LONGEST_PILOT:
        return None
    try:
        then = datetime.fromisoformat(began)
    except ValueError:
        return None
    when = then.isoformat(timespec="minutes") if "T" in began else then.date().isoformat()
    return Attempt(_words(scenario), _words(title), record, seed, when, pilot=pilot,
                   rewound=said.get("rewound") is True)


def _words(text: str) -> str:
    return clean_line(text, limit=LONGEST_WORDS)


def _is_score(score: object) -> bool:
    if isinstance(score, bool) or not isinstance(score, int | float | None):
        return False
    return score is None or 0 <= score <= 100


def _is_there(record: Path) -> bool:
    try:
        return record.is_file()
    except (OSError, ValueError):
        return False
