"""One cockpit in a browser: `python -m drill.cockpit.serve.served [SCENARIO]`, which `drill serve` starts."""

from __future__ import annotations

import os
import resource
import select
import signal
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path
from typing import NoReturn

LOOKS_S = 1.0
MOST_MEMORY = 768 * 1024 * 1024
"""Bytes that one cockpit may hold; a flight holds about a tenth of it."""

LEAVES_S = 3.0
"""Seconds that the app has to leave in good order once nobody is there."""

LEFT_ALONE = 129    # 128 + SIGHUP: what a terminal that is gone would be


def end_with_server() -> None:
    """From now on end this process when the server is gone, killed or not, and when it holds too much memory.

    That the server is gone is told by its end of our input, which closes.

    The toolkit's driver goes on without input and spins on its broken output otherwise.
    """
    threading.Thread(target=_watch, args=(os.getppid(),), name="server-watch", daemon=True).start()


def held_memory() -> int:
    """Return the memory that this process holds, in bytes; where that is not told, the most it has held so far."""
    with suppress(OSError):
        return int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1]) * resource.getpagesize()
    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return held if sys.platform == "darwin" else held * 1024


def _watch(server: int) -> NoReturn:
    pipe = select.poll()
    pipe.register(0, 0)    # nothing is read here: only a hang-up is told
    while os.getppid() == server and not pipe.poll(LOOKS_S * 1000):
        if held_memory() > MOST_MEMORY:
            os.write(2, b"\nit held more memory than a cockpit may\n")
            break
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for output in (1, 2):
        os.dup2(nowhere, output)    # so that the app does not stumble over its output while it leaves
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(LEAVES_S)
    os._exit(LEFT_ALONE)


def main(arguments: list[str]) -> int:
    """Run a cockpit for a browser; return its exit code."""
    end_with_server()
    sys.stdout = sys.stderr    # the driver's packets have the standard output for themselves
    from drill.cockpit.serve.mode import SERVED

    os.environ[SERVED] = "1"
    from drill.cockpit.launch import Board, CannotStart, Fly, launch
    from drill.seat.exit_codes import MISTAKE

    scenario = next(iter(arguments), "")
    try:
        return launch(Fly(scenario) if scenario else Board())
    except CannotStart as mistake:
        print(mistake, file=sys.stderr)    # for who runs the server
        return MISTAKE


if __name__ == "__main__":
    sys.exit(main([each for each in sys.argv[1:] if each != "--"]))
