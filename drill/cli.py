"""The command line: parses arguments, calls a room, prints. Says every mistake in one line."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn, TextIO

from drill import __version__
from drill.plain.desk import Desk, Mistake
from drill.plain.out import Out
from drill.plain.pace import PACES
from drill.plain.signals import Ended, ending_signals

MISTAKE = 2
FAULT = 1
INTERRUPTED = 130    # 128 + SIGINT, as shells say it
UNREAD = 141         # 128 + SIGPIPE


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line, without the usage."""

    def error(self, message: str) -> NoReturn:
        raise Mistake(f"{self.prog}: {message}; see {self.prog} --help")


def parser() -> argparse.ArgumentParser:
    """Return the parser of the command line."""
    top = _Parser(
        prog="drill",
        description="Emergency-procedure decision trainer for instrument pilots. Training aid only.",
        epilog="Without a command: choose a scenario and fly it in words.",
    )
    top.add_argument("--version", action="version", version=f"drill {__version__}")
    top.set_defaults(run="choose")
    commands = top.add_subparsers(title="commands", metavar="COMMAND")

    commands.add_parser("list", help="list the scenarios").set_defaults(run="list")

    fly = commands.add_parser("fly", help="fly a scenario")
    fly.add_argument("scenario", metavar="SCENARIO", help="a name from `drill list`, or a file")
    fly.add_argument("--plain", action="store_true", help="words only (the face there is at present)")
    fly.add_argument("--pace", choices=PACES, help="how time runs: all the time, held while you type, or by turns")
    fly.add_argument("--seed", type=_seed, help="a whole number; the same seed gives the same air and failures")
    fly.add_argument("--script", type=_file, metavar="FILE", help="take the lines from FILE, each `M:SS words`")
    fly.add_argument("--record", type=_file, metavar="FILE", help="write the record to FILE, which must be new")
    fly.set_defaults(run="fly")

    debrief = commands.add_parser("debrief", help="debrief a flight from its record")
    debrief.add_argument("record", type=_file, metavar="RECORD")
    debrief.add_argument("--json", action="store_true", help="for programs")
    debrief.set_defaults(run="debrief")

    replay = commands.add_parser("replay", help="fly a record again and compare")
    replay.add_argument("record", type=_file, metavar="RECORD")
    replay.set_defaults(run="replay")

    resume = commands.add_parser("resume", help="fly on from where a record stops")
    resume.add_argument("record", type=_file, metavar="RECORD")
    resume.add_argument("--pace", choices=PACES, help="how time runs")
    resume.set_defaults(run="resume")
    return top


def _file(text: str) -> Path:
    if not text:
        raise argparse.ArgumentTypeError("it is empty; the name of a file is wanted")
    return Path(text)


def _seed(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 9):
        raise argparse.ArgumentTypeError("a whole number from 0 to 999999999 is wanted")
    return int(text)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line `arguments` (default: the program's own) and return the exit code.

    0: done; 1: a fault of the program, or a record that flown again is not the same; 2: a mistake that the user can
    put right; 128 + signal: ended by one, or (SIGPIPE) in mid-flight because nobody reads any more.
    """
    desk = Desk(_out(sys.stdout), _out(sys.stderr))
    try:
        with ending_signals():
            chosen = parser().parse_args(arguments)
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
        return _say(desk, "\nEnded from outside." + _where(desk), 128 + ended.number)
    except SystemExit as leaving:  # argparse, after --help and --version
        return leaving.code if isinstance(leaving.code, int) else 0
    except Exception as fault:  # the last resort: one line instead of a traceback
        words = " ".join(f"{type(fault).__name__}: {fault}".split())[:300]
        return _say(desk, f"drill: a fault in the program ({words}). Please report it.{_where(desk)}", FAULT)
    return 0


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
