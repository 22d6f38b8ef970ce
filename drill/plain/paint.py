"""Colour for words that a terminal shows: put around text that has been cleaned, and never out of it."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from typing import TextIO

from drill.check.report import Line, Look
from drill.clean import clean
from drill.plain.out import Out

_CODES: Mapping[Look, str] = {
    "place": "1", "fault": "1;31", "warning": "1;33", "mark": "1;31", "label": "2", "good": "1;32",
}
"""Select Graphic Rendition, ECMA-48 8.3.117: 1 bold, 2 faint, 31 red, 32 green, 33 yellow."""


def wants_colour(stream: TextIO | None) -> bool:
    """Say whether `stream` is a terminal that shows colours, and nobody has said NO_COLOR (https://no-color.org)."""
    if os.environ.get("NO_COLOR") or os.environ.get("TERM", "") in ("", "dumb"):
        return False
    return stream is not None and stream.isatty()


def write(lines: Iterable[Line], out: Out, *, colour: bool) -> None:
    """Write each line of runs, in colour if `colour`."""
    for line in lines:
        out.coloured([(clean(run.text).replace("\n", " "), _CODES.get(run.look, "") if colour else "")
                      for run in line])
