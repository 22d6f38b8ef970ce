"""An author's commands on the command line: their arguments. Light."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

FORMATS = ("text", "json", "github")
MOST_MINUTES = 10_000
"""Of flight, in search of witnesses: the better part of an hour."""


def add_check(commands: argparse._SubParsersAction[Any]) -> None:
    """Add `drill check`."""
    check = commands.add_parser("check", help="say everything that is wrong with scenarios")
    check.add_argument("paths", metavar="PATH", nargs="*",
                       help="files, folders, names from `drill list` (default: all that ship)")
    check.add_argument("--format", choices=FORMATS, default="text",
                       help="text for people, json for programs, github for annotations in a review")
    check.add_argument("--strict", action="store_true", help="a warning counts as a fault: exit code 1")
    check.add_argument("--watch", action="store_true", help="check again whenever a file is saved, until Ctrl-C")
    check.add_argument("--explain", metavar="KIND", help="tell about a kind of fault, with a bad and a good example; "
                       "`all` lists the kinds")
    check.add_argument("--witness", type=Path, metavar="DIR", help="fly in search of what the story allows, and write "
                       "the flights that show something as scripts into DIR; half a minute a scenario")
    check.add_argument("--minutes", type=_minutes, metavar="M",
                       help="how many minutes of flight --witness may spend on a scenario (default: 133)")
    check.add_argument("--pilots", type=int, metavar="N", help="let N simulated pilots of several skills fly each "
                       "scenario and say how hard it is: minutes, all cores; 10000 for shares to within 2 in 100")
    check.add_argument("--seed", type=int, metavar="S", default=1, help="the first seed of --pilots (default: 1)")
    check.set_defaults(run="check")


def _minutes(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= MOST_MINUTES):
        raise argparse.ArgumentTypeError(f"a whole number of minutes from 1 to {MOST_MINUTES:,} is wanted")
    return int(text)


def add_map(commands: argparse._SubParsersAction[Any]) -> None:
    """Add `drill map`."""
    chart = commands.add_parser("map", help="draw a scenario's phases, branches and endings")
    chart.add_argument("scenario", metavar="SCENARIO", help="a file, or a name from `drill list`")
    chart.add_argument("--to", type=Path, metavar="FILE",
                       help="draw it into FILE, which must be new: .svg or .html (default: tell it in words)")
    chart.add_argument("--witness", type=Path, metavar="DIR",
                       help="say what the flights that `drill check --witness DIR` wrote have shown")
    chart.add_argument("--pilots", type=Path, metavar="FILE",
                       help="say what simulated pilots did: FILE is what `drill check --pilots N --format json` said")
    chart.set_defaults(run="map")


def add_schema(commands: argparse._SubParsersAction[Any]) -> None:
    """Add `drill schema`."""
    schema = commands.add_parser("schema", help="the JSON Schema of a scenario, for editors")
    schema.add_argument("document", choices=("scenario", "airplane"), nargs="?", default="scenario",
                        help="of which document (default: scenario)")
    schema.set_defaults(run="schema")


def add_new(commands: argparse._SubParsersAction[Any]) -> None:
    """Add `drill new`."""
    new = commands.add_parser("new", help="write a scenario that can be flown, to go on from")
    new.add_argument("file", metavar="FILE", nargs="?", default="",
                     help="where to write it; it must be new (default: by its board title, here)")
    new.add_argument("--board-title", metavar="WORDS",
                     help="the flight's name, all that a pilot sees; gives nothing away")
    new.add_argument("--title", metavar="WORDS", help="what it is about, for the debrief")
    new.add_argument("--airplane", metavar="NAME", help="a document of the folder airplanes, such as larkspur-180")
    new.add_argument("--failure", metavar="PART/HOW", action="append", default=None,
                     help="what fails, such as `vacuum pump/shaft shears`; of several each flight draws one")
    new.set_defaults(run="new")
