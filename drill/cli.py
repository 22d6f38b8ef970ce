"""The command line: parses arguments, calls a room, prints. Says every mistake in one line."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, NoReturn, TextIO

import drill
from drill.cockpit.serve.command import add_serve, serve_command
from drill.plain.authoring import add_check, add_map, add_new, add_schema
from drill.plain.desk import Desk, Mistake
from drill.plain.out import Out
from drill.plain.signals import Ended, ending_signals
from drill.room.command import add_room, room_command
from drill.seat import moments, seeds
from drill.seat.exit_codes import MISTAKE, SIGNALS_FROM
from drill.seat.pace import PACES
from drill.serving.refusal import CannotServe, UnsoundScenario

FAULT = 1
INTERRUPTED = 130    # 128 + SIGINT, as shells say it
UNREAD = 141         # 128 + SIGPIPE

PLAIN = "words only: for screen readers and braille lines, and wherever a screen cannot be painted"


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line, without the usage."""

    def error(self, message: str) -> NoReturn:
        raise Mistake(f"{self.prog}: {message}; see {self.prog} --help")


class _Version(argparse.Action):
    """Says the version and exits. argparse's own action wants to know it before anybody asks, which takes a while."""

    def __init__(self, **made: Any) -> None:
        super().__init__(**{**made, "dest": argparse.SUPPRESS, "default": argparse.SUPPRESS, "nargs": 0})

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> NoReturn:
        with suppress(AttributeError, OSError):    # the program was started with its output closed
            sys.stdout.write(f"drill {drill.__version__}\n")
        parser.exit()


def parser() -> argparse.ArgumentParser:
    """Return the parser of the command line."""
    top = _Parser(
        prog="drill",
        description="Emergency-procedure decision trainer for instrument pilots. Training aid only.",
        epilog="Without a command: the cockpit, where scenarios are chosen, flown and debriefed.",
    )
    top.add_argument("--version", action=_Version, help="show program's version number and exit")
    top.add_argument("--plain", action="store_true", help=PLAIN)
    top.set_defaults(run="choose")
    commands = top.add_subparsers(title="commands", metavar="COMMAND")

    commands.add_parser("list", help="list the scenarios").set_defaults(run="list")

    fly = commands.add_parser("fly", help="fly a scenario")
    fly.add_argument("scenario", metavar="SCENARIO", help="a name from `drill list`, or a file")
    fly.add_argument("--plain", action="store_true", default=argparse.SUPPRESS, help=PLAIN)
    fly.add_argument("--pace", choices=PACES, help="how time runs: all the time, held while you type, or by turns")
    fly.add_argument("--seed", type=_seed, help="a whole number; the same seed gives the same air and failures")
    fly.add_argument("--script", type=_file, metavar="FILE", help="take the lines from FILE, each `M:SS words`")
    fly.add_argument("--record", type=_file, metavar="FILE", help="write the record to FILE, which must be new")
    fly.add_argument("--from", dest="phase", metavar="PHASE",
                     help="begin in this phase of the story, with what has failed on the way there (for authors)")
    fly.set_defaults(run="fly")

    debrief = commands.add_parser("debrief", help="debrief a flight from its record")
    debrief.add_argument("record", type=_file, metavar="RECORD", nargs="?")
    told_as = debrief.add_mutually_exclusive_group()
    told_as.add_argument("--to", type=_file, metavar="FILE",
                         help="write it to FILE, which must be new: .html (a page that prints), .md, .json or .txt")
    told_as.add_argument("--json", action="store_true", help="for programs")
    told_as.add_argument("--schema", action="store_true", help="the JSON Schema of --json")
    debrief.set_defaults(run="debrief")

    replay = commands.add_parser("replay", help="fly a record again and compare")
    replay.add_argument("record", type=_file, metavar="RECORD")
    replay.set_defaults(run="replay")

    resume = commands.add_parser("resume", help="fly on from where a record stops")
    resume.add_argument("record", type=_file, metavar="RECORD")
    resume.add_argument("--plain", action="store_true", default=argparse.SUPPRESS, help=PLAIN)
    resume.add_argument("--pace", choices=PACES, help="how time runs")
    resume.set_defaults(run="resume")

    rewind = commands.add_parser("rewind", help="fly a recorded flight another way from one of its moments")
    rewind.add_argument("record", type=_file, metavar="RECORD")
    rewind.add_argument("--at", type=_moment, metavar="M:SS",
                        help="the moment, minutes and seconds; without it, compare a flight that was flown again")
    rewind.add_argument("--pilot", choices=("you", "exemplar"), default="you",
                        help="exemplar: let the grade sheet fly, and set the two flights side by side")
    rewind.add_argument("--record", type=_file, metavar="FILE", dest="new_record",
                        help="write the new flight's record to FILE, which must be new")
    rewind.add_argument("--plain", action="store_true", default=argparse.SUPPRESS, help=PLAIN)
    rewind.add_argument("--pace", choices=PACES, help="how time runs")
    compared_as = rewind.add_mutually_exclusive_group()
    compared_as.add_argument("--to", type=_file, metavar="FILE",
                             help="write the flights side by side to FILE, which must be new: .html (a page that "
                                  "prints), .md, .json or .txt")
    compared_as.add_argument("--json", action="store_true", help="the flights side by side, for programs")
    rewind.set_defaults(run="rewind")

    add_room(commands)
    add_serve(commands)
    add_check(commands)
    add_map(commands)
    add_new(commands)
    add_schema(commands)
    return top


def _moment(text: str) -> float:
    try:
        return moments.moment_of(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def _file(text: str) -> Path:
    if not text:
        raise argparse.ArgumentTypeError("it is empty; the name of a file is wanted")
    return Path(text)


def _seed(text: str) -> int:
    try:
        return seeds.seed_of(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line `arguments` (default: the program's own) and return the exit code.

    0: done; 1: a fault of the program, or a record that flown again is not the same; 2: a mistake that the user can
    put right; 128 + signal: ended by one, or (SIGPIPE) in mid-flight because nobody reads any more.
    """
    desk = Desk(_out(sys.stdout), _out(sys.stderr))
    try:
        with ending_signals():
            chosen = parser().parse_args(arguments)
            if chosen.run == "serve":
                return _served(lambda: serve_command(chosen, desk.out.whole))
            if chosen.run == "room":
                return _served(lambda: room_command(chosen, desk.out.whole))
            if chosen.run in FLOWN and _wants_cockpit(chosen, desk):
                return _cockpit(chosen)
            from drill.plain import commands  # the rooms are heavy: --help and --version do without them

            return commands.run(chosen, desk)
    except Mistake as mistake:
        return _say(desk, "\n".join(mistake.lines), MISTAKE)
    except BrokenPipeError:
        _drop_output(sys.stdout)
        if desk.flying:
            return _say(desk, "drill: nobody reads what is said, so the flight was left." + _where(desk), UNREAD)
    except KeyboardInterrupt:
        return _say(desk, "\nInterrupted." + _where(desk), INTERRUPTED)
    except Ended as ended:
        return _say(desk, "\nEnded from outside." + _where(desk), SIGNALS_FROM + ended.number)
    except SystemExit as leaving:  # argparse, after --help and --version
        return leaving.code if isinstance(leaving.code, int) else 0
    except Exception as fault:  # the last resort: one line instead of a traceback
        words = " ".join(f"{type(fault).__name__}: {fault}".split())[:300]
        return _say(desk, f"drill: a fault in the program ({words}). Please report it.{_where(desk)}", FAULT)
    return 0


FLOWN = ("choose", "fly", "resume", "rewind")
"""Commands that have a cockpit; each can be had in words as well."""


def _wants_cockpit(chosen: argparse.Namespace, desk: Desk) -> bool:
    """Say whether `chosen` is to be flown in the cockpit; tell a user whose terminal is too small for it."""
    if chosen.plain or getattr(chosen, "script", None) is not None or getattr(chosen, "pilot", "you") != "you":
        return False
    if chosen.run == "rewind" and (chosen.at is None or chosen.json or chosen.to is not None):
        return False
    from drill.cockpit.launch import at_terminal, fits_terminal

    if not at_terminal():
        return False
    why = fits_terminal()
    if why:
        desk.err.whole(f"drill: {why} Flying in words.")
    return not why


def _cockpit(chosen: argparse.Namespace) -> int:
    from drill.cockpit.launch import Again, Board, CannotStart, Fly, Resume, Start, launch

    start: Start = Board()
    if chosen.run == "fly":
        start = Fly(chosen.scenario, seed=chosen.seed, pace=chosen.pace, record=chosen.record, phase=chosen.phase)
    elif chosen.run == "resume":
        start = Resume(chosen.record, pace=chosen.pace)
    elif chosen.run == "rewind":
        start = Again(chosen.record, chosen.at, pace=chosen.pace, new_record=chosen.new_record)
    try:
        return launch(start)
    except CannotStart as error:
        raise Mistake(*str(error).splitlines()) from error


def _served(serve: Callable[[], int]) -> int:
    try:
        return serve()
    except CannotServe as error:
        before = "" if isinstance(error, UnsoundScenario) else "drill: "
        raise Mistake(*(f"{before}{line}" for line in str(error).splitlines())) from error


def _out(stream: TextIO | None) -> Out:
    return Out(io.StringIO() if stream is None else stream)    # None: the program was started with it closed


def _where(desk: Desk) -> str:
    return f" The flight's record: {desk.records[-1]}" if desk.records else ""


def _say(desk: Desk, words: str, code: int) -> int:
    from drill.plain.terminal import let_flow

    for stream in (sys.stdout, sys.stderr):
        try:
            let_flow(stream.fileno())
        except (AttributeError, OSError, ValueError):    # closed, or no file
            continue
    try:
        desk.err.whole(words)
    except OSError:  # nobody is there to read it
        _drop_output(sys.stdout, sys.stderr)
    return code


def _drop_output(*streams: TextIO | None) -> None:
    """Send what is still unwritten nowhere, so that closing the streams at exit says nothing."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in streams:
        if stream is None:
            continue
        try:
            os.dup2(nowhere, stream.fileno())
        except (OSError, ValueError):
            continue
    os.close(nowhere)


if __name__ == "__main__":
    sys.exit(main())
