"""`drill serve`: the cockpit in a browser on this machine, or on the network if told so. Light.

Each browser has a cockpit process of its own (`visit`) in a house with a number of seats (`house`) behind a gate
(`gate`). The terminal in the page is the one that textual-serve ships; page, style and script around it are in `web/`.
"""

from __future__ import annotations

import asyncio
import importlib.util
import sys
from collections.abc import Callable, Sequence

from drill.clean import clean_line
from drill.seat.exit_codes import SIGNALS_FROM
from drill.serving.refusal import CannotServe


def cockpit_command(scenario: str = "") -> tuple[str, ...]:
    """Return the command of one cockpit: at the list of scenarios, or at the briefing of `scenario` (name or path)."""
    return (sys.executable, "-P", "-m", "drill.cockpit.serve.served", *(["--", scenario] if scenario else []))


def serve(say: Callable[[str], None], *, host: str, port: int, most: int, scenario: str = "",
          command: Sequence[str] = ()) -> int:
    """Serve cockpits until a signal ends it; `say` is given lines for the one who runs it. Return the exit code.

    A visitor begins at the briefing of `scenario` if one is given. Port 0 takes a free one. `command` starts another
    program than the cockpit. Raises CannotServe.
    """
    missing = [name for name in ("aiohttp", "textual_serve") if importlib.util.find_spec(name) is None]
    if missing:
        raise CannotServe(f"a browser needs {' and '.join(missing)}; install with: pip install 'drill[serve]'")
    from drill.cockpit.serve.house import House

    house = House(say, start=command or cockpit_command(scenario), board=command or cockpit_command(), most=most)
    try:
        return SIGNALS_FROM + asyncio.run(house.open(host, port))
    except (OSError, UnicodeError) as error:    # UnicodeError: the host is no name
        words = clean_line(getattr(error, "strerror", None) or str(error))
        raise CannotServe(f"nothing can be served at {clean_line(host)}, port {port}: {words}; "
                          "try another --port, or another --host") from error
