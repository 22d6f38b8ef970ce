"""Seeing that a document has been saved: looked at a few times a second, which every file system can bear."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TypeAlias

EVERY_S = 0.2
GONE_S = 1.0
"""Many editors save by putting a new file in the place of the old one; so long a file may be gone meanwhile."""

Stamp: TypeAlias = tuple[int, int, int] | None


def stamp(path: Path) -> Stamp:
    """Return what changes when the file is saved (time, size, number); None if there is none."""
    try:
        seen = path.stat()
    except (OSError, ValueError):
        return None
    return seen.st_mtime_ns, seen.st_size, seen.st_ino


def saves(paths: Callable[[], Iterable[Path]], *, wait: Callable[[float], None] = time.sleep,
          every_s: float = EVERY_S) -> Iterator[None]:
    """Return an iterator that yields each time that one of `paths()` has changed, come or gone since now, for ever.

    What is gone counts as gone only after `GONE_S`; `wait` lets so many seconds pass.
    """
    def look() -> dict[Path, Stamp]:
        return {path: stamp(path) for path in paths()}

    return _changes(look, look(), wait, every_s)    # looked at now: what is saved before the first yield counts


def _changes(look: Callable[[], dict[Path, Stamp]], known: dict[Path, Stamp], wait: Callable[[float], None],
             every_s: float) -> Iterator[None]:
    missing_s = 0.0
    while True:
        wait(every_s)
        now = look()
        if now == known:
            missing_s = 0.0
            continue
        gone = any(now.get(path) is None for path, before in known.items() if before is not None)
        missing_s = missing_s + every_s if gone else 0.0
        if gone and missing_s < GONE_S:
            continue
        known, missing_s = now, 0.0
        yield
