"""Writing a debrief to a file. Nothing that is there already is written over."""

from __future__ import annotations

from pathlib import Path


def write_new(path: Path, text: str) -> bool:
    """Write `text` to the new file `path`; return whether the file holds it now.

    False: something else is there already, which is left as it is. A file that holds the very same text is as good as a
    new one. OSError where nothing can be written.
    """
    data = text.encode("utf-8")
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        return path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data
    return True
