"""Where records are kept, and what the present flight's record is called."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import platformdirs

MOST_OF_A_DAY = 1_000


def flights_folder() -> Path:
    """Return the folder in the user's data folder where records go unless the pilot names a file."""
    return platformdirs.user_data_path("drill", appauthor=False) / "flights"


def new_record_path(name: str, seed: int, today: date, folder: Path) -> Path:
    """Return a free path `<date>-<name>-<seed>.jsonl` in `folder`, numbered if there is one already.

    Creates the folder. OSError if it cannot be made; FileExistsError if the same flight has been flown too often today.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(1, MOST_OF_A_DAY):
        suffix = "" if number == 1 else f"-{number}"
        path = folder / f"{today.isoformat()}-{name}-{seed}{suffix}.jsonl"
        if not path.exists():
            return path
    raise FileExistsError(f"{folder} holds {MOST_OF_A_DAY} flights of {name} with seed {seed} from today")
