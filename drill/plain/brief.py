"""A command that reads, tells and ends does without the interpreter's search for garbage.

There is next to none, and the search goes over everything that has been loaded: several times while it is loaded, and
once more when the program ends. Of `drill check` on one scenario that was a fifth.
"""

from __future__ import annotations

import atexit
import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def brief() -> Iterator[None]:
    """Search for no garbage inside, nor among what is left when the program ends."""
    searched = gc.isenabled()
    gc.disable()
    atexit.register(gc.freeze)
    try:
        yield
    finally:
        if searched:
            gc.enable()
