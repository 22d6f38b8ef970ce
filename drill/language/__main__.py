"""`python -m drill.language score calls|actions FILE [--json]`: how well labelled lines are read."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from drill.language.score import (
    ActionScore,
    BadLineError,
    CallScore,
    Missed,
    action_rows,
    call_rows,
    score_actions,
    score_calls,
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status: 0, or 2 when the file cannot be scored."""
    parser = argparse.ArgumentParser(prog="python -m drill.language",
                                     description="Measure the reading of plain English.")
    commands = parser.add_subparsers(dest="command", required=True)
    score = commands.add_parser("score", help="score labelled lines")
    score.add_argument("kind", choices=("calls", "actions"))
    score.add_argument("file", type=Path, metavar="FILE", help="JSON Lines, one labelled line each")
    score.add_argument("--json", action="store_true", help="print the figures as one JSON object")
    asked = parser.parse_args(arguments)
    try:
        measured = (score_calls(call_rows(asked.file)) if asked.kind == "calls"
                    else score_actions(action_rows(asked.file)))
    except BadLineError as error:
        print(error, file=sys.stderr)
        return 2
    if asked.json:
        print(json.dumps(measured.as_json(), sort_keys=True))
    else:
        _show(measured)
    return 0


def _show(score: CallScore | ActionScore) -> None:
    for missed in score.missed:
        _show_missed(missed)
    print(f"{score.n} lines, {score.exact:.1%} exact")
    if isinstance(score, CallScore):
        for key, share in score.fields.items():
            print(f"  {key:<12} {share:.1%}")
        print(f"equipment F1 {score.equipment_f1:.3f}, assistance F1 {score.assistance_f1:.3f}, "
              f"lines with an invented report {score.invented_report_share:.1%}")
    else:
        print(f"wrong {score.wrong:.1%}, asked back {score.asked_back:.1%}")


def _show_missed(missed: Missed) -> None:
    print(f"{missed.id}: {missed.text}")
    for key in sorted(missed.expected.keys() | missed.got.keys()):
        want, got = missed.expected.get(key), missed.got.get(key)
        if want != got:
            print(f"    {key}: expected {want!r}, read {got!r}")


if __name__ == "__main__":
    sys.exit(main())
