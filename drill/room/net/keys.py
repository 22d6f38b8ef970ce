"""The key that an evening's tokens are signed with: in a file of its own beside the record, for its owner alone.

It is kept so that phones and wall come back by themselves when the program is started again.
"""

from __future__ import annotations

import os
import secrets
from pathlib import Path

KEY_BYTES = 32
FEWEST_LETTERS = 40
MOST_BYTES = 400


class KeyMissing(Exception):  # noqa: N818 - an answer in words
    """The key cannot be read or written; the message says why and what to do."""


def key_path(record: Path) -> Path:
    """Return where the key of the evening recorded at `record` is kept."""
    return record.with_name(f"{record.stem}.key")


def key_beside(record: Path) -> str:
    """Return the key of the evening recorded at `record`; it is made if there is none. KeyMissing if that cannot be."""
    path = key_path(record)
    try:
        return _made(path)
    except FileExistsError:
        pass
    except OSError as error:
        raise KeyMissing(f"{path}: {error.strerror or error}; name a file that can be written") from error
    try:
        descriptor = os.open(path, os.O_RDONLY | os.O_NOFOLLOW)
        with os.fdopen(descriptor, "rb") as file:
            os.fchmod(descriptor, 0o600)
            key = file.read(MOST_BYTES).decode("ascii").strip()
    except (OSError, UnicodeError) as error:
        why = getattr(error, "strerror", None) or "this is no key"
        raise KeyMissing(f"{path}: {why}; move it away, and every phone joins anew") from error
    if len(key) < FEWEST_LETTERS:    # torn when it was made: nobody has a token signed with it
        path.unlink()
        return _made(path)
    return key


def _made(path: Path) -> str:
    key = secrets.token_urlsafe(KEY_BYTES)
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        os.fchmod(descriptor, 0o600)
        file.write(f"{key}\n".encode("ascii"))
        file.flush()
        os.fsync(descriptor)
    return key
