"""Lines from whoever types: key by key from a terminal, with our own echo, or line by line from a pipe.

A terminal is read key by key because the pace has to know when a line is begun. Nothing but the characters
themselves and `"\\b \\b"` is echoed, so that screen readers and braille lines can follow.
"""

from __future__ import annotations

import codecs
import os
import select
import signal
import termios
import time
import unicodedata
from collections import deque
from collections.abc import Callable
from types import FrameType, TracebackType
from typing import Protocol, Self

from drill.clean import MAX_LINE, clean, clean_line
from drill.plain.out import Out

LONGEST_UNBROKEN = 1_000_000
"""Bytes of a pipe without a line break that are taken for a line, so that an endless one cannot fill the memory."""

_END_OF_INPUT = "\x04"
_RUB_OUT = "\x7f\b"
_RUB_OUT_WORD = "\x17"
_RUB_OUT_LINE = "\x15"
_ESCAPE = "\x1b"
_BELL = "\x07"
_STRING_STARTS = "]PX^_"     # OSC, DCS, SOS, PM, APC: run to BEL or ST


class InputEnded(Exception):  # noqa: N818 - it is no error
    """Nothing more will be typed."""


class Lines(Protocol):
    """Where lines come from."""

    interactive: bool
    """A person sits there."""

    def poll(self, seconds: float) -> str | None:
        """Return the next whole line, clean, or None after `seconds` or a key. Raises InputEnded."""

    def last_key(self) -> float | None:
        """Return when (`time.monotonic`) a line that is begun had its last key, or None between lines."""

    def step_aside(self) -> None:
        """Make room for words that come while a line is being typed."""

    def come_back(self) -> None:
        """Show again what has been typed of the line so far."""

    def begin_anew(self, prompt: str) -> None:
        """Forget what has been typed and not read yet; from now on show `prompt`."""


class PipeLines:
    """Lines from a pipe or a file, by its descriptor. Lines longer than `MAX_LINE` characters are cut."""

    interactive = False

    def __init__(self, descriptor: int) -> None:
        self._descriptor = descriptor
        self._bytes = b""
        self._ended = False

    def poll(self, seconds: float) -> str | None:
        """Return the next whole line, clean, or None after `seconds`. Raises InputEnded."""
        until = time.monotonic() + seconds
        while b"\n" not in self._bytes and len(self._bytes) < LONGEST_UNBROKEN:
            if self._ended:
                if self._bytes:
                    break
                raise InputEnded
            left = max(0.0, until - time.monotonic())
            if not select.select([self._descriptor], [], [], left)[0]:
                return None
            read = os.read(self._descriptor, 65_536)
            self._ended = not read
            self._bytes += read
        line, _, self._bytes = self._bytes.partition(b"\n")
        return clean_line(line[: 4 * MAX_LINE].decode("utf-8", "replace"))

    def last_key(self) -> float | None:
        """Return None: a pipe gives whole lines."""
        return None

    def step_aside(self) -> None:
        """Do nothing: nothing is echoed."""

    def come_back(self) -> None:
        """Do nothing: nothing is echoed."""

    def begin_anew(self, prompt: str) -> None:
        """Do nothing: what a pipe holds has been meant."""


class NoLines:
    """Nobody types: a script flies."""

    interactive = False

    def poll(self, seconds: float) -> str | None:  # noqa: ARG002 - the protocol's
        """Raise InputEnded."""
        raise InputEnded

    def last_key(self) -> float | None:
        """Return None."""
        return None

    def step_aside(self) -> None:
        """Do nothing."""

    def come_back(self) -> None:
        """Do nothing."""

    def begin_anew(self, prompt: str) -> None:
        """Do nothing."""


class KeyReader:
    """Turns typed characters into clean lines and echoes them. Escape sequences are swallowed."""

    def __init__(self, echo: Callable[[str], None], rub_out: Callable[[int], None]) -> None:
        self.typed = ""
        self.lines: deque[str] = deque()
        self.ended = False
        self._echo = echo
        self._rub_out = rub_out
        self._escape = ""

    def take(self, text: str) -> None:
        """Take in `text` as it was typed or pasted."""
        for character in text:
            if self._escape:
                self._in_escape(character)
            elif character == _ESCAPE:
                self._escape = character
            else:
                self._key(character)

    def _in_escape(self, character: str) -> None:
        before = self._escape
        self._escape += character
        if before == _ESCAPE:
            if character != "[" and character != "O" and character not in _STRING_STARTS:
                self._escape = ""
        elif before[1] in _STRING_STARTS:
            if character in (_BELL, "\x9c") or self._escape.endswith(_ESCAPE + "\\"):
                self._escape = ""
            elif character in "\r\n":        # a string that never ends must not swallow all that follows
                self._escape = ""
                self._key("\n")
        elif "@" <= character <= "~" or character < " ":
            self._escape = ""
        if len(self._escape) > MAX_LINE:
            self._escape = ""

    def _key(self, character: str) -> None:
        if character in "\r\n":
            self.lines.append(clean_line(self.typed))
            self.typed = ""
            self._echo("\n")
        elif character in _RUB_OUT:
            self._drop(1)
        elif character == _RUB_OUT_LINE:
            self._drop(len(self.typed))
        elif character == _RUB_OUT_WORD:
            stripped = self.typed.rstrip()
            self._drop(len(self.typed) - (stripped.rfind(" ") + 1))
        elif character == _END_OF_INPUT:
            self.ended = self.ended or not self.typed
        elif len(self.typed) < MAX_LINE:
            kept = clean(character)
            self.typed += kept
            self._echo(kept)

    def _drop(self, count: int) -> None:
        gone = self.typed[len(self.typed) - count :] if count else ""
        self.typed = self.typed[: len(self.typed) - len(gone)]
        self._rub_out(sum(columns(character) for character in gone))


def let_flow(descriptor: int) -> None:
    """Let a terminal that is held by Ctrl-S go on, so that last words can be written; do nothing to anything else."""
    try:
        modes = termios.tcgetattr(descriptor)
        before = signal.signal(signal.SIGTTOU, signal.SIG_IGN)    # in the background it would stop the program
        try:
            flowing = [modes[0] & ~termios.IXON, *modes[1:]]
            termios.tcsetattr(descriptor, termios.TCSANOW, flowing)    # this lets go of what was held
            termios.tcsetattr(descriptor, termios.TCSANOW, modes)
        finally:
            signal.signal(signal.SIGTTOU, before)
    except (termios.error, OSError, ValueError):
        return


def columns(character: str) -> int:
    """Return how many columns of a terminal a printed character takes: 0, 1 or 2."""
    if unicodedata.category(character) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


class TerminalLines:
    """Lines from the terminal at `descriptor`; a context manager that gives the terminal back as it was."""

    interactive = True

    def __init__(self, descriptor: int, out: Out, *, prompt: str = "") -> None:
        self._prompt = prompt
        self._descriptor = descriptor
        self._out = out
        self._decoder = codecs.getincrementaldecoder("utf-8")("ignore")
        self._keys = KeyReader(out.bare, out.rub_out)
        self._last_key: float | None = None
        self._before: list[object] = []
        self._old_stop: object = None
        self._asked = False

    def __enter__(self) -> Self:
        self._before = termios.tcgetattr(self._descriptor)
        self._old_stop = signal.signal(signal.SIGTSTP, self._stopped)
        self._key_by_key()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        signal.signal(signal.SIGTSTP, self._old_stop)  # type: ignore[arg-type]  # what signal.signal itself returned
        self._give_back()

    def poll(self, seconds: float) -> str | None:
        """Return the next whole line, clean, or None after `seconds` or a key. Raises InputEnded."""
        if not self._keys.lines:
            if self._prompt and not self._asked and not self._keys.typed:
                self._out.bare(self._prompt)
                self._asked = True
            self._read(seconds)
        if self._keys.lines:
            self._asked = False
            return self._keys.lines.popleft()
        if self._keys.ended:
            raise InputEnded
        return None

    def last_key(self) -> float | None:
        """Return when (`time.monotonic`) a line that is begun had its last key, or None between lines."""
        return self._last_key if self._keys.typed else None

    def step_aside(self) -> None:
        """Make room for words that come while a line is being typed."""
        if self._keys.typed or self._asked:
            self._out.bare("\n")

    def come_back(self) -> None:
        """Show again what has been typed of the line so far."""
        if self._keys.typed or self._asked:
            self._out.bare((self._prompt if self._asked else "") + self._keys.typed)

    def begin_anew(self, prompt: str) -> None:
        """Forget what has been typed and not read yet; from now on show `prompt`."""
        self.step_aside()
        self._keys.typed = ""
        self._keys.lines.clear()
        self._asked = False
        self._prompt = prompt
        termios.tcflush(self._descriptor, termios.TCIFLUSH)

    def _read(self, seconds: float) -> None:
        if not select.select([self._descriptor], [], [], max(0.0, seconds))[0]:
            return
        try:
            read = os.read(self._descriptor, 65_536)
        except OSError:      # the terminal is gone
            read = b""
        if not read:
            self._keys.ended = True
            return
        self._last_key = time.monotonic()
        self._keys.take(self._decoder.decode(read))

    def _key_by_key(self) -> None:
        """Switch off line editing, echo and Ctrl-S; Ctrl-C and Ctrl-Z keep their meaning.

        A screen that is held by Ctrl-S would hold the flight as well, and then whatever is to end it.
        """
        modes = termios.tcgetattr(self._descriptor)
        modes[0] &= ~termios.IXON
        modes[3] &= ~(termios.ICANON | termios.ECHO | termios.IEXTEN)
        modes[6][termios.VMIN] = 1
        modes[6][termios.VTIME] = 0
        termios.tcsetattr(self._descriptor, termios.TCSANOW, modes)

    def _give_back(self) -> None:
        try:
            termios.tcsetattr(self._descriptor, termios.TCSANOW, self._before)  # type: ignore[arg-type]
        except termios.error:    # the terminal is gone: nothing to restore
            return

    def _stopped(self, _number: int, _frame: FrameType | None) -> None:
        """Give the terminal back while the program is stopped by Ctrl-Z."""
        self._give_back()
        signal.signal(signal.SIGTSTP, signal.SIG_DFL)
        os.kill(os.getpid(), signal.SIGTSTP)
        signal.signal(signal.SIGTSTP, self._stopped)
        self._key_by_key()
