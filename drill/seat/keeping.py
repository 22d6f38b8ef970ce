"""Where records are kept, and what the present flight's record is called."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

MOST_OF_A_DAY = 1_000


def flights_folder() -> Path:
    """Return the folder in the user's data folder where records go unless the pilot names a file."""
    import platformdirs  # for who names a folder, it is not needed

    return platformdirs.user_data_path("drill", appauthor=False) / "flights"


def new_record_path(name: str, seed: int, today: date, folder: Path) -> Path:
    """Return a free path `<date>-<name>-<seed>.jsonl` in `folder`, numbered if there is one already.

    Creates the folder. OSError if it cannot be made; FileExistsError if the same flight has been flown too often today.
    """
    folder.mkdir(parents=True, exist_ok=True)
    name = "".join(each for each in name if each.isalnum() or each in " -_.")[:80] or "flight"
    for number in range(1, MOST_OF_A_DAY):
        suffix = "" if number == 1 else f"-{number}"
        path = folder / f"{today.isoformat()}-{name}-{seed}{suffix}.jsonl"
        if not path.exists():
            return path
    raise FileExistsError(f"{folder} holds {MOST_OF_A_DAY} flights of {name} with seed {seed} from today")


def why_not_new(path: Path) -> str:
    """Return why no new file can be begun at `path`, in words, with what to do; nothing if one can."""
    try:
        if path.is_dir():
            return "this is a folder; name a new file in it"
        if path.exists() or path.is_symlink():
            return "the file exists already; name another one, or move it away"
        if not path.parent.is_dir():
            return f"there is no folder {path.parent}; make it, or name a file elsewhere"
        if not os.access(path.parent, os.W_OK | os.X_OK):
            return f"nothing can be written in the folder {path.parent}; name a file elsewhere"
    except (OSError, ValueError) as error:
        return f"{getattr(error, 'strerror', None) or error}; name another file"
    return ""
