"""`python -m drill.airplane compare FILE [--json]`, `... catalogue [FILE]` and `... people [--pilots N]`."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from drill.clean import clean_line
from drill.streams import exit_status


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status: 0, 1 when a row is not within tolerance, 2 when a file is no good."""
    parser = argparse.ArgumentParser(prog="python -m drill.airplane",
                                     description="Hold the model of the airplane against published values, and "
                                                 "describe its failures.")
    commands = parser.add_subparsers(dest="command", required=True)
    compare = commands.add_parser("compare", help="compute each row of a table of published values")
    compare.add_argument("file", type=Path, metavar="FILE", help="CSV: id, situation, inputs, expected, unit, "
                                                                 "tolerance, source")
    compare.add_argument("--json", action="store_true", help="print one JSON object")
    catalogue = commands.add_parser("catalogue", help="write the page of failures, in Markdown")
    catalogue.add_argument("file", type=Path, metavar="FILE", nargs="?", help="where to; left out: the screen")
    people = commands.add_parser("people", help="fly the published studies of pilots who lost their horizon")
    people.add_argument("--pilots", type=int, default=400, metavar="N", help="in each group; 400 takes some minutes")
    people.add_argument("--processes", type=int, default=2, metavar="N")
    asked = parser.parse_args(arguments)
    if asked.command == "people":
        return _people(parser, asked.pilots, asked.processes)
    return _compare(asked.file, asked.json) if asked.command == "compare" else _catalogue(asked.file)


def _compare(path: Path, as_json: bool) -> int:
    from drill.airplane.published import BadTableError, compare, table, within

    try:
        rows = compare(path)
    except BadTableError as error:
        print(error, file=sys.stderr)
        return 2
    if as_json:
        print(json.dumps({"rows": [row.as_json() for row in rows], "within": within(rows), "of": len(rows)}))
    else:
        print(table(rows))
    return 0 if within(rows) == len(rows) else 1


def _catalogue(path: Path | None) -> int:
    from drill.airplane.catalogue_page import page

    text = page()
    if path is None:
        print(text, end="")
        return 0
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        print(f"{clean_line(str(path))}: cannot be written: {error.strerror or error}", file=sys.stderr)
        return 2
    return 0


def _people(parser: argparse.ArgumentParser, pilots: int, processes: int) -> int:
    from drill.airplane.people_studies import fly_all, misses, table

    if pilots < 1 or processes < 1:
        parser.error("--pilots and --processes are whole numbers from 1 up")
    outcomes = fly_all(pilots, processes=processes)
    print(table(outcomes))
    return 1 if misses(outcomes) else 0


if __name__ == "__main__":
    sys.exit(exit_status(main))
