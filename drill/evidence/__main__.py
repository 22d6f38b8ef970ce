"""`python -m drill.evidence build AIRPLANE [FOLDER]`, and `table`, `measure` and `healthy` for an AIRPLANE."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from drill.clean import clean_line
from drill.scenario import load_airplane
from drill.scenario.problems import DocumentError
from drill.streams import exit_status


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status: 0, or 2 when a file is no good."""
    parser = argparse.ArgumentParser(prog="python -m drill.evidence",
                                     description="When an attentive pilot could have known: what it takes to say so.")
    commands = parser.add_subparsers(dest="command", required=True)
    build = commands.add_parser("build", help="fly an airplane healthy for some 670 hours, and keep what it does")
    build.add_argument("file", type=Path, metavar="AIRPLANE", help="its document, as in procedures/airplanes")
    build.add_argument("folder", type=Path, metavar="FOLDER", nargs="?", help="left out: the user's cache")
    table = commands.add_parser("table", help="say which failures this airplane's readings can tell apart")
    table.add_argument("file", type=Path, metavar="AIRPLANE")
    measure = commands.add_parser("measure", help="fly every failure, and say when it could have been known and named")
    measure.add_argument("file", type=Path, metavar="AIRPLANE")
    measure.add_argument("--flights", type=int, default=50, metavar="N", help="of each failure")
    measure.add_argument("--air", default="light", choices=("calm", "light", "moderate", "severe"))
    healthy = commands.add_parser("healthy", help="fly with nothing wrong, and count the false alarms")
    healthy.add_argument("file", type=Path, metavar="AIRPLANE")
    healthy.add_argument("--hours", type=float, default=75.0, metavar="H", help="in each air; rounded up to 25")
    healthy.add_argument("--air", action="append", choices=("calm", "light", "moderate", "severe"),
                         help="may be given several times; left out: the first three")
    healthy.add_argument("--first-seed", type=int, default=70_000_000, metavar="N")
    asked = parser.parse_args(arguments)
    try:
        frame = load_airplane(asked.file.read_text(encoding="utf-8"), str(asked.file)).airframe
    except (DocumentError, OSError, UnicodeDecodeError) as error:
        print(clean_line(f"{asked.file}: {error}"), file=sys.stderr)
        return 2
    if asked.command == "table":
        from drill.evidence.signatures import page

        print(page(frame), end="")
        return 0
    if asked.command == "measure":
        from drill.evidence.measuring import report

        return _said(report(frame, asked.air, asked.flights))
    from drill.evidence.keeping import keep, known
    from drill.evidence.statistics import build as made

    if asked.command == "healthy":
        from drill.evidence.measuring import healthy_hours

        statistics = known(frame)
        if statistics is None:
            return _said(None)
        for place, air in enumerate(asked.air or ("calm", "light", "moderate")):
            found = healthy_hours(frame, air, asked.hours, asked.first_seed + 1_000_000 * place, statistics)
            who = ", ".join(f"{name} (seed {seed})" for seed, name in found.who)
            print(f"{air}: {found.alarms} alarms, {found.names} wrong names in {found.hours:.0f} h"
                  + (f": {who}" if who else ""), flush=True)
        return 0

    try:
        print(clean_line(f"written: {keep(frame, made(frame), asked.folder)}"))
    except OSError as error:
        print(clean_line(f"the statistics cannot be written ({error.strerror or error})"), file=sys.stderr)
        return 2
    return 0


def _said(text: str | None) -> int:
    if text is None:
        print("there are no statistics of this airplane: make them with `python -m drill.evidence build AIRPLANE`",
              file=sys.stderr)
        return 2
    print(text, end="")
    return 0


if __name__ == "__main__":
    sys.exit(exit_status(main))
