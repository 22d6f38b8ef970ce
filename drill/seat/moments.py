"""A moment of a flight, as it is typed. Light."""

from __future__ import annotations

import re

_MOMENT = re.compile(r"(?:([0-9]{1,4}):)?([0-9]{1,6})(?:\.([0-9]))?")


def moment_of(text: str) -> float:
    """Return a moment of a flight in seconds, given as `M:SS`, `M:SS.T` or seconds. ValueError if it is none."""
    found = _MOMENT.fullmatch(text.strip())
    if found is None or (found[1] is not None and (len(found[2]) != 2 or int(found[2]) > 59)):
        raise ValueError(f"'{text[:40]}' is no moment of a flight; write minutes and seconds, for example 4:10")
    minutes, seconds, tenth = found.groups()
    return int(minutes or 0) * 60 + int(seconds) + int(tenth or 0) / 10
