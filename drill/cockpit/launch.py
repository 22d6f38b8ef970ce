"""Starting the cockpit from the command line, and the words that stay behind when it is left."""

from __future__ import annotations

import os
import shutil
import sys
from dataclasses import replace
from pathlib import Path

from drill.cockpit.flying.arrangement import too_small
from drill.cockpit.serve.mode import served, shown_path
from drill.cockpit.settings import load
from drill.cockpit.start import Again, Board, Fly, Resume, Start
from drill.seat.exit_codes import SIGNALS_FROM

__all__ = ["Again", "Board", "CannotStart", "Fly", "Resume", "Start", "at_terminal", "fits_terminal", "launch"]

REPAINTS_A_SECOND = "250"
"""A key that comes while the panel is painted waits for the next repaint; the default is 60."""


class CannotStart(Exception):  # noqa: N818 - the user's to put right
    """The cockpit was not started, or was ended, because of something the user can put right; the message says what."""


def at_terminal() -> bool:
    """Say whether a person at a terminal that can place words on a screen sees and types."""
    streams = (sys.stdin, sys.stdout, sys.stderr)    # the toolkit paints on the last
    tty = all(stream is not None and stream.isatty() for stream in streams)
    return tty and os.environ.get("TERM", "") not in ("", "dumb")


def fits_terminal() -> str:
    """Return why the cockpit cannot be shown on this program's terminal, in words; nothing if it can."""
    return too_small(*shutil.get_terminal_size()) if at_terminal() else "No words can be placed on this terminal."


def launch(start: Start) -> int:
    """Run the cockpit from `start` and return the exit code. Raises CannotStart for what the user can put right.

    What is wrong with a scenario or a record named in `start` is found before the screen is taken.
    """
    os.environ.setdefault("TEXTUAL_FPS", REPAINTS_A_SECOND)
    settings = load()
    if os.environ.get("NO_COLOR"):                   # the toolkit takes it out of the environment
        settings = replace(settings, theme="mono")
    if not is_utf8():
        settings = replace(settings, plain_faces=True)

    from drill.cockpit.app import Cockpit  # only now: the environment above is read when the toolkit is imported

    cockpit = Cockpit(start, settings)
    if not isinstance(start, Board):
        from drill.seat.asked_for import CannotBegin, Unsound

        try:
            cockpit.prepare()
        except CannotBegin as error:
            raise CannotStart(str(error) if isinstance(error, Unsound) else f"drill: {error}") from error
        for warning in cockpit.warnings:    # they stand in the normal screen when the cockpit is left
            print(warning, file=sys.stderr)
    try:
        cockpit.run()
    finally:
        cockpit.close()
    return _after(cockpit.return_code or 0, cockpit.mistake, cockpit.fault, cockpit.left, cockpit.given_up)


def _after(code: int, mistake: str, fault: str, left: Path | None, given_up: str) -> int:
    """Say in the normal screen what the pilot needs to know, and return the exit code."""
    record = "" if left is None else f" Fly on with: drill resume {_quoted(left)}"
    if mistake:
        raise CannotStart(f"drill: {mistake}")
    if fault:
        kept = "" if left is None else f" The flight's record: {shown_path(left)}"
        print(f"drill: a fault in the program ({fault}). Please report it.{kept}", file=sys.stderr)
    elif code > SIGNALS_FROM:
        print(f"Ended from outside.{record}", file=sys.stderr)
    elif left is not None:
        print(f"The flight is kept in {shown_path(left)}.{record}")
    elif given_up:
        print(given_up)
    return code


def _quoted(path: Path) -> str:
    import shlex

    return shlex.quote(shown_path(path))


def is_utf8() -> bool:
    """Say whether the terminal is written to in UTF-8."""
    if served():
        return True
    encoding = (getattr(sys.stdout, "encoding", None) or "").lower().replace("-", "")
    language = os.environ.get("LC_ALL") or os.environ.get("LC_CTYPE") or os.environ.get("LANG") or ""
    says_so = language.lower().replace("-", "").endswith("utf8") or not language
    return encoding == "utf8" and says_so
