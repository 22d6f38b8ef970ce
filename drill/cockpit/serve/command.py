"""`drill serve` on the command line: its arguments, and what is looked at before anything is served. Light."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from drill.serving.address import LARGEST_PORT, host_argument, number_argument
from drill.serving.refusal import CannotServe, UnsoundScenario

HOST = "127.0.0.1"
PORT = 8480
MOST = 12
"""Cockpits at a time; each is a process that flies an airplane."""

LARGEST_MOST = 200


def add_serve(commands: argparse._SubParsersAction[Any]) -> None:
    """Add the command to the others; `run` of what is parsed is then "serve"."""
    serve = commands.add_parser("serve", help="the cockpit in a browser, here or on the network")
    serve.add_argument("scenario", metavar="SCENARIO", nargs="?", default="",
                       help="begin at its briefing: a name from `drill list`, or a file (default: the list)")
    serve.add_argument("--host", type=host_argument, default=HOST, metavar="HOST",
                       help=f"the address to serve at (default: {HOST}, this machine only; 0.0.0.0: the network)")
    serve.add_argument("--port", type=number_argument(0, LARGEST_PORT), default=PORT, metavar="N",
                       help=f"(default: {PORT}; 0: a free one)")
    serve.add_argument("--most", type=number_argument(1, LARGEST_MOST), default=MOST, metavar="N",
                       help=f"how many may fly at a time (default: {MOST})")
    serve.set_defaults(run="serve")


def serve_command(chosen: argparse.Namespace, say: Callable[[str], None]) -> int:
    """Serve as `chosen` says; `say` is given lines for the one who runs it. Raises CannotServe."""
    from drill.cockpit.serve.server import serve

    return serve(say, host=chosen.host, port=chosen.port, most=chosen.most, scenario=_checked(chosen.scenario))


def _checked(scenario: str) -> str:
    """Return the scenario as a cockpit finds it that runs in another folder; nothing is served that cannot be flown."""
    if not scenario:
        return ""
    from drill.scenario import shipped
    from drill.seat.asked_for import CannotBegin, Unsound, scenario_of

    try:
        scenario_of(scenario)
    except Unsound as error:
        raise UnsoundScenario(str(error)) from error
    except CannotBegin as error:
        raise CannotServe(str(error)) from error
    return scenario if scenario in shipped() else str(Path(scenario).resolve())
