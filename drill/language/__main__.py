"""How lines are read, from the command line.

`python -m drill.language score calls|actions FILE [--json]` measures the reading of labelled lines;
`python -m drill.language explain LINE` says what is understood of one line, by which words, and what is not;
`python -m drill.language learn calls|actions FILE ...` learns anew from labelled lines what is likely in others.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from drill.clean import clean_line
from drill.language.lexicon import lexicon_with, usage, usages
from drill.language.likely import learning, learning_calls
from drill.language.likely.classifiers import SHIPPED, SHIPPED_FOR_CALLS
from drill.language.likely.judging import judged
from drill.language.likely.learning import TooFewError
from drill.language.marking import marked
from drill.language.meaning import Context, Transmit, Unclear
from drill.language.reader import read
from drill.language.resting import rests_on
from drill.language.score import (
    NOBODY,
    ActionScore,
    BadLineError,
    CallScore,
    Missed,
    action_rows,
    call_rows,
    score_actions,
    score_calls,
    taught_rows,
)
from drill.language.spelling import spelled
from drill.language.words import tokens
from drill.streams import exit_status


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with the command line, cleaned, for it is typed by anybody."""

    def error(self, message: str) -> NoReturn:
        super().error(clean_line(message))


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status: 0, or 2 when the file cannot be scored."""
    parser = _Parser(prog="python -m drill.language",
                     description="Measure the reading of plain English.")
    commands = parser.add_subparsers(dest="command", required=True)
    score = commands.add_parser("score", help="score labelled lines")
    score.add_argument("kind", choices=("calls", "actions"))
    score.add_argument("file", type=Path, metavar="FILE", help="JSON Lines, one labelled line each")
    score.add_argument("--json", action="store_true", help="print the figures as one JSON object")
    explain = commands.add_parser("explain", help="say what is understood of a line, by which words")
    explain.add_argument("line", metavar="LINE", help="as a pilot types it")
    explain.add_argument("--callsign", default=NOBODY.callsign, help=f"whose flight it is ({NOBODY.callsign})")
    explain.add_argument("--facility", default=NOBODY.facility, help=f"who is worked ({NOBODY.facility})")
    explain.add_argument("--place", action="append", default=[], help="a place that is known; may be given again")
    explain.add_argument("--usage", action="append", default=[], choices=usages(), help="a country's words as well")
    learn = commands.add_parser("learn", help="learn anew from labelled lines what is likely in others")
    learn.add_argument("kind", choices=("calls", "actions"))
    learn.add_argument("files", type=Path, nargs="+", metavar="FILE", help="JSON Lines, one labelled line each")
    learn.add_argument("--to", type=Path, metavar="FILE",
                       help=f"where to ({SHIPPED_FOR_CALLS.name} or {SHIPPED.name}, where they are looked for)")
    asked = parser.parse_args(arguments)
    if asked.command == "explain":
        _explain(asked.line, Context(asked.callsign, asked.facility, tuple(asked.place),
                                     lexicon_with(*map(usage, asked.usage))))
        return 0
    if asked.command == "learn":
        return _learn(asked.kind, asked.files, asked.to)
    try:
        measured = (score_calls(call_rows(asked.file)) if asked.kind == "calls"
                    else score_actions(action_rows(asked.file)))
    except BadLineError as error:
        print(clean_line(str(error)), file=sys.stderr)
        return 2
    if asked.json:
        print(json.dumps(measured.as_json(), sort_keys=True))
    else:
        _show(measured)
    return 0


def _learn(kind: str, files: Sequence[Path], to: Path | None) -> int:
    rows_of, write, shipped = ((call_rows, learning_calls.write, SHIPPED_FOR_CALLS) if kind == "calls"
                               else (taught_rows, learning.write, SHIPPED))
    to = to or shipped
    try:
        rows = [row for file in files for row in rows_of(file)]
        write(rows, to)
    except (BadLineError, TooFewError) as error:
        print(clean_line(str(error)), file=sys.stderr)
        return 2
    except OSError as error:
        print(clean_line(f"{to}: cannot be written: {error.strerror}"), file=sys.stderr)
        return 2
    except ModuleNotFoundError as error:
        print(f"learning needs one more library ({clean_line(str(error.name))}): pip install 'drill[learn]'",
              file=sys.stderr)
        return 2
    print(f"{len(rows)} lines learned")
    return 0


def _explain(typed: str, context: Context) -> None:
    actions = read(typed, context)
    for action in actions:
        if not isinstance(action, Transmit):
            said = (f"{key} {value}" for key, value in action.as_labels().items() if key != "action")
            print(", ".join([action.kind, *said]))
            continue
        call = marked(action.call, context)
        print(f'transmit "{call.words}"')
        for each in call.heard:
            value = f" {each.value}" if each.value else ""
            print(f'  {each.element}{value}: "{call.words[each.start:each.end]}"')
        for start, end in call.unread:
            print(f'  not understood: "{call.words[start:end]}"')
        if call.missing:
            print(f"  not heard: {', '.join(call.missing)}")
    if not any(isinstance(action, Transmit | Unclear) for action in actions):
        print(f'by the words "{rests_on(clean_line(typed), context)}"')
    line = judged(spelled(tokens(typed), context.lexicon), typed, context)
    if line is not None:
        said = (f"{kind.replace('_', ' ')} {share:.0%}" for kind, share in line.likely("kind")[:3] if share >= 0.005)
        print(f"its words make likely: {', '.join(said)}")


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
    print(f"{clean_line(missed.id)}: {clean_line(missed.text)}")
    for key in sorted(missed.expected.keys() | missed.got.keys()):
        want, got = missed.expected.get(key), missed.got.get(key)
        if want != got:
            print("    " + clean_line(f"{key}: expected {want!r}, read {got!r}"))


if __name__ == "__main__":
    sys.exit(exit_status(main))
