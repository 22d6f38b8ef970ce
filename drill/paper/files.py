"""Writing a debrief to a file. Nothing that is there already is written over."""

from __future__ import annotations

import os
from pathlib import Path


def write_new(path: Path, text: str, *, private: bool = False) -> bool:
    """Write `text` to the new file `path`; return whether the file holds it now. `private`: for its owner alone (0600).

    False: something else is there already, which is left as it is. A file that holds the very same text is as good as a
    new one. OSError where nothing can be written.
    """
    data = text.encode("utf-8")
    try:
        with open(path, "xb", opener=_for_its_owner if private else None) as file:
            file.write(data)
    except FileExistsError:
        return path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data
    return True


def _for_its_owner(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)
