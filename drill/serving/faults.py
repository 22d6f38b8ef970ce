"""Faults of the server itself, for the one who runs it: a line, at most one a minute, and never a traceback."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Callable
from typing import Any

from drill.clean import clean_line

EVERY_S = 60.0
LONGEST_WORDS = 300


class Faults(logging.Handler):
    """Says what goes wrong in the event loop and in the pages; what comes within a minute is only counted."""

    def __init__(self, say: Callable[[str], None], now: Callable[[], float] = time.monotonic) -> None:
        super().__init__(logging.WARNING)
        self._tell = say
        self._now = now
        self._next_s: float | None = None
        self._unsaid = 0

    def heard(self, words: str) -> None:
        """Say `words` if nothing was said for a while."""
        if self._next_s is not None and self._now() < self._next_s:
            self._unsaid += 1
            return
        more = f" And {self._unsaid} more like it before." if self._unsaid else ""
        self._next_s, self._unsaid = self._now() + EVERY_S, 0
        self._tell(f"The server stumbled and goes on: {clean_line(words)[:LONGEST_WORDS]}.{more}")

    def in_loop(self, _loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
        """Take what the event loop complains of, as its exception handler."""
        error = context.get("exception")
        self.heard(f"{context.get('message', 'a fault')}{f' ({error})' if error is not None else ''}")

    def emit(self, record: logging.LogRecord) -> None:
        """Take what the library of the server complains of."""
        error = record.exc_info[1] if record.exc_info else None
        self.heard(f"{record.getMessage()}{f' ({error})' if error is not None else ''}")

    def logger(self) -> logging.Logger:
        """Return a logger that speaks here and nowhere else."""
        made = logging.Logger("drill.serving", logging.WARNING)
        made.addHandler(self)
        return made
