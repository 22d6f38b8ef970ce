"""A glance at a record: how far its flight has come, and whether somebody flies it now. Light: reads the end only."""

from __future__ import annotations

import fcntl
import json
import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

TAIL_BYTES = 16_384
"""So much of the end is read; a full state is shorter, and what was told stands around it."""
LONGEST_S = 1e6


@dataclass(frozen=True, slots=True)
class Glance:
    """`reached_s`: flight time (s) of the last whole line that tells one, else None; `flown_now`: somebody keeps it for
    himself and it has not ended, as one whose debrief is open has."""

    reached_s: float | None = None
    flown_now: bool = False


def glance(record: Path) -> Glance:
    """Return what the end of `record` and its lock say; nothing of a file that cannot be read."""
    try:
        descriptor = os.open(record, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)    # a pipe would be waited for
    except (OSError, ValueError):
        return Glance()
    try:
        about = os.fstat(descriptor)
        if not stat.S_ISREG(about.st_mode):
            return Glance()
        tail = os.pread(descriptor, TAIL_BYTES, max(0, about.st_size - TAIL_BYTES))
        return Glance(_reached(tail), _is_held(descriptor) and not _has_ended(tail))
    except OSError:
        return Glance()
    finally:
        os.close(descriptor)


def is_flown_now(record: Path) -> bool:
    """Say whether somebody is flying the flight of `record`."""
    return glance(record).flown_now


def _has_ended(tail: bytes) -> bool:
    return any(said.get("kind") == "ended" for said in _lines(tail))


def _lines(tail: bytes) -> Iterator[dict[str, object]]:
    """Yield the whole lines of the end of a record, the last first."""
    for line in reversed(tail.split(b"\n")[:-1]):    # after the last line break: a line that is torn
        try:
            said = json.loads(line)
        except (ValueError, RecursionError):
            continue
        if isinstance(said, dict):
            yield said


def _reached(tail: bytes) -> float | None:
    for said in _lines(tail):
        t = said.get("t")
        if isinstance(t, int | float) and not isinstance(t, bool) and 0.0 <= t < LONGEST_S:
            return float(t)
    return None


def _is_held(descriptor: int) -> bool:
    """Say whether another one keeps the record for himself; our own hold is a shared one and gone at once."""
    try:
        fcntl.flock(descriptor, fcntl.LOCK_SH | fcntl.LOCK_NB)
        fcntl.flock(descriptor, fcntl.LOCK_UN)
    except BlockingIOError:
        return True
    except OSError:    # a file system that knows no locks
        return False
    return False
