"""Whether this process is a cockpit shown in somebody's browser; light, for whoever shows a path of the machine."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

SERVED = "DRILL_SERVED"
"""The environment variable that `drill serve` sets in the processes it starts."""

PILOT = "DRILL_PILOT"
"""The environment variable in which `drill serve` says whose cockpit a process is; it means nothing."""

UNKNOWN = "unknown"


def served() -> bool:
    """Return whether the one who looks may sit at another machine than the one this runs on."""
    return os.environ.get(SERVED) == "1"


def pilot() -> str:
    """Return whose flights these are: one name a browser, and nothing for the one who sits at this machine."""
    return (os.environ.get(PILOT, "") or UNKNOWN) if served() else ""


def without_folders(text: str) -> str:
    """Return `text` as it may be shown: in a browser, files of this machine without the folders they are in."""
    if not served():
        return text
    for folder in _folders():
        text = text.replace(folder, "")
    return text


@cache
def _folders() -> tuple[str, ...]:
    from drill.seat.keeping import flights_folder

    flights = flights_folder()
    known = {flights, *flights.parents, Path.home(), Path.cwd(), Path(__file__).parents[3]}
    return tuple(sorted((f"{folder}{os.sep}" for folder in known if len(folder.parts) > 1), key=len, reverse=True))


def shown_path(path: Path) -> str:
    """Return `path` as it may be shown: whole on the pilot's own terminal, the file's name alone in a browser."""
    return path.name if served() else str(path)


def unwritable_here(error: Exception) -> str:
    """Return why no record can be written as a visitor is told it, who can name no other file."""
    why = getattr(error.__cause__, "strerror", None) or "its file cannot be written"
    return f"the flight cannot be recorded ({why}); the one who runs this has to make room for it, or let it be written"
