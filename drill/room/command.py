"""`drill room` on the command line: its arguments, and what is looked at before anybody is let in. Light."""

from __future__ import annotations

import argparse
import importlib.util
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from drill.serving.address import LARGEST_PORT, host_argument, number_argument
from drill.serving.refusal import CannotServe

PORT = 8490
LISTEN = "0.0.0.0"  # noqa: S104 - phones come over the network; said when it begins
LOOPBACK = "127.0.0.1"


def add_room(commands: argparse._SubParsersAction[Any]) -> None:
    """Add the command to the others; `run` of what is parsed is then "room"."""
    room = commands.add_parser("room", help="a room flies together: a projector, phones or raised hands")
    room.add_argument("scenario", metavar="SCENARIO", nargs="?", default="", help="a name from `drill list`, or a file")
    room.add_argument("--resume", metavar="FILE", type=Path, help="take up an evening from its record instead")
    room.add_argument("--no-phones", action="store_true", help="hands are raised and counted; this machine only")
    room.add_argument("--headless", action="store_true", help="no screen: commands are lines of the input (try help)")
    room.add_argument("--host", type=host_argument, metavar="HOST",
                      help=f"the address to serve at (default: {LISTEN}, the network; without phones {LOOPBACK})")
    room.add_argument("--port", type=number_argument(0, LARGEST_PORT), default=PORT, metavar="N",
                      help=f"(default: {PORT}; 0: a free one)")
    room.add_argument("--record", metavar="FILE", type=Path,
                      help="write the evening's record to FILE, which must be new")
    room.add_argument("--seed", type=number_argument(0, 999_999_999), metavar="N",
                      help="the same seed gives the same air and failures")
    room.add_argument("--plan", type=_plan, metavar="B/F/D",
                      help="minutes for briefing, flight and debrief (default: 5/25/15)")
    room.set_defaults(run="room")


def room_command(chosen: argparse.Namespace, say: Callable[[str], None]) -> int:
    """Hold an evening as `chosen` says; `say` is given lines for the one who runs it. Raises CannotServe."""
    if bool(chosen.scenario) is (chosen.resume is not None):
        raise CannotServe("name a scenario, or an evening's record with --resume; see drill room --help")
    missing = [name for name in ("aiohttp", "itsdangerous", "segno") if importlib.util.find_spec(name) is None]
    if missing:
        raise CannotServe(f"a room needs {' and '.join(missing)}; install with: pip install 'drill[room]'")
    from drill.room.running import Asked, run

    return run(Asked(
        scenario=chosen.scenario, resume=chosen.resume, record=chosen.record, seed=chosen.seed, plan=chosen.plan,
        phones=not chosen.no_phones, headless=chosen.headless,
        listen=chosen.host or (LOOPBACK if chosen.no_phones else LISTEN), port=chosen.port), say)


def _plan(text: str) -> tuple[float, float, float]:
    found = re.fullmatch(r"([0-9]{1,3})/([0-9]{1,3})/([0-9]{1,3})", text)
    if found is None or not all(int(each) for each in found.groups()):
        raise argparse.ArgumentTypeError("three numbers of minutes are wanted, for example 5/25/15")
    brief, flight, debrief = (float(each) for each in found.groups())
    return brief, flight, debrief
