"""Writing the record of a flight: JSON Lines, as the flight goes on.

The first line is the header (edition of the format, edition of the model, versions, seed, the whole text of scenario,
airplane and lexicon); then one line an event; every ten seconds of flight one line with the full state. Each line is
one write, so a flight that is cut off loses at most the line that was being written.
"""

from __future__ import annotations

import fcntl
import hashlib
import json
import os
import platform
import shlex
import time
from collections.abc import Sequence
from functools import cache
from importlib import resources
from pathlib import Path
from types import TracebackType
from typing import Any

import numpy as np
from pydantic import TypeAdapter

import drill
from drill.flight.events import AnyEvent, Event
from drill.flight.flight import Flight
from drill.flight.readings import clock_words
from drill.flight.state import STEPS_A_SECOND, FlightState, state_data

EDITION = 1
MODEL_EDITION = 2
STATE_EVERY_S = 10.0
_HOLD_TRIES = 3
_HOLD_AGAIN_S = 0.02
_ROOMS = ("airplane", "language", "scenario", "flight")
EVENT: TypeAdapter[Any] = TypeAdapter(AnyEvent)


class RecordError(Exception):
    """A record cannot be written, read or flown on; the message says where, what, and what to do."""


class BeingFlown(RecordError):  # noqa: N818 - it is an answer
    """Somebody is flying the flight of this record now; nobody else can before it is left."""


class CannotFlyOn(RecordError):  # noqa: N818 - it is an answer
    """A record that is sound and of which nothing is left to fly: it can be debriefed. `outcome`: how it ended."""

    def __init__(self, message: str, outcome: str = "") -> None:
        super().__init__(message)
        self.outcome = outcome


@cache
def model() -> str:
    """Return the edition of the model that flies here, with a fingerprint of the code that decides a flight.

    `MODEL_EDITION` goes up with every change that makes flights differ on purpose.
    """
    digest = hashlib.sha256()
    for room in _ROOMS:
        files = sorted(resources.files(drill).joinpath(room).iterdir(), key=lambda found: found.name)
        for each in files:
            if not each.name.endswith((".py", ".yaml")):
                continue
            digest.update(each.name.encode() + b"\0" + each.read_bytes() + b"\0")
    return f"{MODEL_EDITION}-{digest.hexdigest()[:12]}"


def event_data(event: Event) -> dict[str, Any]:
    """Return `event` as JSON data."""
    data: dict[str, Any] = EVENT.dump_python(event, mode="json")
    return data


def hold(descriptor: int, path: Path) -> None:
    """Keep the open record for this process alone until it is closed. RecordError if another one flies it.

    A file system that knows no locks lets everybody have it.
    """
    for left in reversed(range(_HOLD_TRIES)):    # who only looks whether it is flown holds it for a moment, too
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if not left:
                raise BeingFlown(f"{path}: somebody is flying this flight now; leave it there first") from None
            time.sleep(_HOLD_AGAIN_S)
        except OSError:
            return
        else:
            return


def _header(flight: Flight) -> dict[str, Any]:
    scenario = flight.scenario
    lexicon = resources.files(drill).joinpath("language", "lexicon.yaml")
    return {
        "kind": "header", "edition": EDITION, "model": model(), "drill": drill.__version__,
        "python": platform.python_version(), "numpy": np.__version__, "seed": flight.seed, "pilot": flight.by,
        "scenario": {"name": scenario.name, "text": scenario.text},
        "airplane": {"name": scenario.airplane.name, "text": scenario.airplane.text},
        "lexicon": lexicon.read_text(encoding="utf-8") if lexicon.is_file() else "",
    }


class Recorder:
    """Writes a record; a context manager that closes it. Make one with `create` or `resume`."""

    def __init__(self, path: Path, descriptor: int, state_at_s: float, kept_s: float | None = None) -> None:
        self.path = path
        self._descriptor: int | None = descriptor
        self._state_at_s = state_at_s
        self._kept_s = kept_s    # flight time of the last whole event in the file

    @classmethod
    def create(
        cls, path: Path, flight: Flight, events: Sequence[Event] = (), states: Sequence[tuple[int, FlightState]] = (),
    ) -> Recorder:
        """Begin the record of `flight` in a new file, with the `events` so far. RecordError if the file exists.

        `states` are earlier ones of the flight, each with how many of the events stand before it, in their order.
        """
        try:
            descriptor = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_EXCL, 0o644)
        except FileExistsError:
            raise RecordError(f"{path}: the file exists already; name another one, or move it away") from None
        except OSError as error:
            raise RecordError(f"{path}: {error.strerror or error}; name a file that can be written") from error
        recorder = cls(path, descriptor, STATE_EVERY_S)
        try:
            hold(descriptor, path)
            recorder._line(_header(flight))
            written = 0
            for before, state in states:
                recorder._events(events[written:before])
                recorder._state(state)
                written = before
            recorder.write(events[written:], flight)
        except BaseException:   # a file without its whole header is no record, and would stand in the way of one
            recorder.close()
            path.unlink(missing_ok=True)
            raise
        return recorder

    def write(self, events: Sequence[Event], flight: Flight) -> None:
        """Append `events`, which `flight` has just given; every ten seconds, and at the end, its state as well."""
        self._events(events)
        if events and (flight.t_s >= self._state_at_s or flight.ended is not None):
            self._state(flight.state)

    def _events(self, events: Sequence[Event]) -> None:
        for event in events:
            self._line(event_data(event))
            self._kept_s = event.t

    def _state(self, state: FlightState) -> None:
        t = state.steps / STEPS_A_SECOND
        self._state_at_s = t + STATE_EVERY_S
        self._line({"kind": "state", "t": t, "state": state_data(state)}, sure=True)

    def _line(self, data: dict[str, Any], *, sure: bool = False) -> None:
        if self._descriptor is None:
            raise RecordError(f"{self.path}: the record is closed")
        line = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode() + b"\n"
        try:
            written = os.write(self._descriptor, line)
            while written < len(line):   # only a full disk or a signal leaves a rest
                written += os.write(self._descriptor, line[written:])
            if sure:
                os.fsync(self._descriptor)
        except OSError as error:
            raise self._full(error) from error

    def _full(self, error: OSError) -> RecordError:
        """Return what to say when the file takes no more; a torn last line does no harm to the lines before it."""
        self.close()
        why = f"{self.path}: the record cannot be written ({error.strerror or error})"
        if self._kept_s is None:
            return RecordError(f"{why}; make room there, or name a file elsewhere with --record")
        return RecordError(f"{why}; the flight is kept up to {clock_words(self._kept_s)}: make room, "
                           f"then fly on with: drill resume {shlex.quote(str(self.path))}")

    def close(self) -> None:
        """Close the file; a second time does nothing."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None

    def __enter__(self) -> Recorder:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        self.close()
