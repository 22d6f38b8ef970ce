"""How a program of several commands ends on its streams: no traceback when the reader leaves, none for Ctrl+C."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable

UNREAD, INTERRUPTED = 141, 130   # 128 + SIGPIPE, 128 + SIGINT


def exit_status(main: Callable[[], int]) -> int:
    """Run `main` on the standard streams and return the status to exit with.

    A character that the terminal cannot show becomes a question mark.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        status = main()
        sys.stdout.flush()
    except BrokenPipeError:   # whoever read the output has left
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return UNREAD
    except KeyboardInterrupt:
        return INTERRUPTED
    return status
