"""What a pilot has chosen about the cockpit itself, kept from one start to the next."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any

from drill.cockpit.serve.mode import served
from drill.seat.pace import PACES, Pace

THEME_NAMES = ("night", "day", "contrast", "mono")
MOST_BYTES = 100_000


@dataclass(frozen=True, slots=True)
class Settings:
    """A pilot's choices. None of them changes what a flight is or how it is graded."""

    theme: str = "night"
    pace: Pace = "held"              # how time runs
    suggestions: bool = False        # offer the fixed list of actions
    reduced_motion: bool = False     # the panel at most once a second, and nothing that moves by itself
    plain_faces: bool = False        # instrument faces of ASCII characters


_ALLOWED: dict[str, tuple[Any, ...]] = {"theme": THEME_NAMES, "pace": PACES}


def settings_path() -> Path:
    """Return the file that settings are kept in."""
    import platformdirs  # not needed by whoever names a file

    return platformdirs.user_config_path("drill", appauthor=False) / "cockpit.json"


def load(path: Path | None = None) -> Settings:
    """Return the settings kept in `path`; whatever is missing, damaged or unknown there has its default."""
    try:
        path = path or settings_path()
        if not path.is_file():    # to open a pipe could wait for ever
            return Settings()
        with path.open("rb") as file:
            data = json.loads(file.read(MOST_BYTES))
    except (OSError, ValueError, RecursionError):
        return Settings()
    if not isinstance(data, dict):
        return Settings()
    return replace(Settings(), **{each.name: data[each.name] for each in fields(Settings)
                                  if each.name in data and _sound(each.name, data[each.name])})


def save(settings: Settings, path: Path | None = None) -> bool:
    """Write `settings` to `path` and say whether that worked; a full disk must not end a flight."""
    with suppress(OSError):
        if path is None and served():    # one pilot's choice is not the next one's
            return False
        path = path or settings_path()
        path.parent.mkdir(parents=True, exist_ok=True)
        whole = path.with_suffix(".new")
        whole.write_text(json.dumps(asdict(settings), indent=1) + "\n", encoding="utf-8")
        whole.replace(path)
        return True
    return False


def _sound(name: str, value: Any) -> bool:
    if name in _ALLOWED:
        return isinstance(value, str) and value in _ALLOWED[name]
    return isinstance(value, bool)
