"""A program in a pseudo-terminal: keys in, bytes out, and what it costs."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import termios
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

ESCAPES = re.compile(
    rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[PX^_][^\x1b]*\x1b\\|[ -/]*[0-Z\\-~])")
"""The escape sequences of ECMA-48: control sequences, operating system commands, other strings, two-byte ones."""

_BEGUN = re.compile(
    rb"\x1b(?:\[[0-?]*[ -/]*|\][^\x07\x1b]*\x1b?|[PX^_][^\x1b]*\x1b?|[ -/]*)\Z")
"""An escape sequence of which more is to come."""

FIRST_PAINT = 2_000
"""Bytes; what comes before (questions to the terminal, modes) is less, the first screen is more."""

_TICKS = os.sysconf("SC_CLK_TCK")
_PAGE_KIB = os.sysconf("SC_PAGE_SIZE") / 1024


class PseudoTerminal:
    """`command` on a terminal of `columns` by `rows`; a context manager that kills what is still there.

    `output` is every byte that the program has sent; `began` is when it was started (`time.perf_counter`), `first_s`
    how many seconds later the first screen had come. `closed` is whether the program has left the terminal; `status` is
    as `os.waitpid` returns it, None until `finish`.
    """

    def __init__(self, command: Sequence[str], environment: Mapping[str, str], *, columns: int = 120, rows: int = 40,
                 folder: Path | None = None) -> None:
        self.output = bytearray()
        self.first_s: float | None = None
        self.closed = False
        self.status: int | None = None
        self.began = time.perf_counter()
        self.pid, self.descriptor = pty.fork()
        if self.pid == 0:
            try:
                if folder is not None:
                    os.chdir(folder)
                fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
                os.execvpe(command[0], list(command), dict(environment))  # noqa: S606 - the program under test
            finally:
                os._exit(127)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None,
                 ) -> None:
        if self.status is None:
            os.kill(self.pid, signal.SIGKILL)
            _, self.status = os.waitpid(self.pid, 0)
        os.close(self.descriptor)

    @property
    def words(self) -> str:
        """What was sent so far without escape sequences."""
        return ESCAPES.sub(b"", bytes(self.output)).decode("utf-8", "replace")

    def send(self, keys: str) -> None:
        """Press `keys`."""
        os.write(self.descriptor, keys.encode())

    def resize(self, columns: int, rows: int) -> None:
        """Change the terminal's size; the program is told by the system."""
        fcntl.ioctl(self.descriptor, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def read(self, seconds: float) -> bytes:
        """Return what comes next within `seconds`; nothing if the program is silent or gone."""
        if self.closed or not select.select([self.descriptor], [], [], max(0.0, seconds))[0]:
            return b""
        try:
            chunk = os.read(self.descriptor, 1 << 16)
        except OSError:          # how Linux says that the other end is closed; others send nothing
            chunk = b""
        self.closed = not chunk
        self.output += chunk
        if self.first_s is None and len(self.output) > FIRST_PAINT:
            self.first_s = time.perf_counter() - self.began
        return chunk

    def drain(self, seconds: float) -> bytes:
        """Return all that comes within `seconds`, or until the program has ended."""
        before = len(self.output)
        end = time.perf_counter() + seconds
        while not self.closed and (left := end - time.perf_counter()) > 0:
            self.read(left)
        return bytes(self.output[before:])

    def wait_for(self, words: str, seconds: float = 20.0, *, since: int = 0) -> float:
        """Read until `words` have come after byte `since`; return how long it took. AssertionError if they do not."""
        began = time.perf_counter()
        wanted = words.encode()
        seen, rest, until = b"", bytes(self.output[since:]), len(self.output)
        while time.perf_counter() - began < seconds:
            begun = _BEGUN.search(rest)
            whole = len(rest) if begun is None else begun.start()
            seen += ESCAPES.sub(b"", rest[:whole])
            if wanted in seen:
                return time.perf_counter() - began
            if self.closed:
                break
            seen, rest = seen[-len(wanted):], rest[whole:]      # what was looked at is not looked at again
            self.read(0.25)
            rest, until = rest + bytes(self.output[until:]), len(self.output)
        came = "before the program ended" if self.closed else f"within {seconds} s"
        raise AssertionError(f"{words!r} did not come {came}; the last words: {self.words[-600:]!r}")

    def finish(self, seconds: float = 10.0) -> int:
        """Read until the program ends; return its exit code, negative for a signal. AssertionError if it does not."""
        end = time.perf_counter() + seconds
        while time.perf_counter() < end:
            if self.closed:
                time.sleep(0.005)
            self.read(0.05)
            done, status = os.waitpid(self.pid, os.WNOHANG)
            if done:
                self.status = status
                while self.read(0.05):
                    pass
                return os.waitstatus_to_exitcode(status)
        raise AssertionError(f"the program has not ended within {seconds} s: {self.words[-600:]!r}")

    def cpu_s(self) -> float:
        """Return the processor time that the program has used, in seconds."""
        fields = Path(f"/proc/{self.pid}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / _TICKS

    def resident_mib(self) -> float:
        """Return the memory that the program has in use, in MiB."""
        return int(Path(f"/proc/{self.pid}/statm").read_text(encoding="ascii").split()[1]) * _PAGE_KIB / 1024
