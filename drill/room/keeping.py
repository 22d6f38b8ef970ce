"""The record of an evening on disk: appended to by one writer, many lines to one fsync, durable before acknowledged.

`Journal.put` gives a future that is done once its line is on disk. While the disk is busy with one batch, the next one
gathers, so that a thousand votes cost a few calls of fsync. A line that a kill has torn at the end of the file is cut
off when the evening is taken up again; damage anywhere else is an error with file and line.
"""

from __future__ import annotations

import asyncio
import fcntl
import json
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn, TypeAlias

from drill.room.evening import Evening, OutOfPlace, apply
from drill.room.events import Event, data_of, event_from

MOST_BYTES = 256 << 20
"""An evening of two hundred people comes to a few hundred kB."""
MOST_OF_A_LINE = 4 << 20
"""The first line has the whole scenario in it."""

_json = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode
_sync: Callable[[int], None] = getattr(os, "fdatasync", os.fsync)


class KeepingError(Exception):
    """The record of an evening cannot be written, read or taken up; the message says where, what, and what to do."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What a record holds: the evening that its events come to, the events, and how many bytes are whole lines."""

    evening: Evening
    events: tuple[Event, ...]
    good_bytes: int


def line_of(event: Event, n: int) -> bytes:
    """Return the line `n` of the record, which says that `event` happened."""
    return _json(data_of(event, n)).encode() + b"\n"


def read_evening(path: Path) -> Kept:
    """Return what the record at `path` holds. KeepingError, with the line at fault, if it is none."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise KeepingError(f"{path}: {error.strerror or error}; name the record of an evening") from error
    if len(data) > MOST_BYTES:
        raise KeepingError(f"{path}: more than {MOST_BYTES >> 20} MB; this is no record of an evening")
    if data.startswith(b'{"kind":"header"'):
        raise KeepingError(f"{path}: this is the record of a flight; name the evening's, which stands beside it")
    good = data.rfind(b"\n") + 1
    evening, events = Evening(), []
    for number, line in enumerate(data[:good].split(b"\n")[:-1], 1):
        try:
            event = _event(line, number)
            evening = apply(evening, event)
        except (OutOfPlace, ValueError, RecursionError) as error:
            raise KeepingError(f"{path}:{number}: {error}; the record is damaged here. Move it away, or cut the file "
                               "off before this line and try again") from None
        events.append(event)
    if not events:
        raise KeepingError(f"{path}: no evening has begun in this file; begin a new one")
    return Kept(evening, tuple(events), good)


def _event(line: bytes, number: int) -> Event:
    if len(line) > MOST_OF_A_LINE:
        raise ValueError("the line is too long")
    try:
        data = json.loads(line.decode())
    except UnicodeDecodeError:
        raise ValueError("the line is not UTF-8 text") from None
    except json.JSONDecodeError as error:
        raise ValueError(f"the line is not JSON ({error.msg})") from None
    if not isinstance(data, dict):
        raise ValueError("the line is no event")  # noqa: TRY004 - a fault of the file, as the others here
    if data.get("n") != number or isinstance(data.get("n"), bool):
        raise ValueError(f"line {number} calls itself {str(data.get('n'))[:20]}")
    return event_from(data)


_Line: TypeAlias = tuple[bytes, "asyncio.Future[None]"]


class Journal:
    """The open record. `kept` is the evening as of the last line that is on disk; one event loop uses it."""

    def __init__(self, path: Path, descriptor: int, kept: Evening, size: int) -> None:
        self.path = path
        self.kept = kept
        self.on_failure: Callable[[], None] = lambda: None
        self._descriptor: int | None = descriptor
        self._size = size                              # bytes that are whole lines on disk
        self._waiting: list[_Line] = []
        self._batch: list[_Line] = []                  # what is being written now
        self._after = self._batch_after = kept         # the evening after the last line of each; none between is held
        self._writer = ThreadPoolExecutor(1, thread_name_prefix="evening")
        self._broken = ""

    @classmethod
    def create(cls, path: Path, first: bytes, after: Evening) -> Journal:
        """Begin a new record, for its owner alone, with its `first` line. KeepingError if that cannot be."""
        try:
            descriptor = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL, 0o600)
        except FileExistsError:
            raise KeepingError(f"{path}: the file exists already; name another one, or take it up with "
                               "--resume") from None
        except OSError as error:
            raise KeepingError(f"{path}: {error.strerror or error}; name a file that can be written") from error
        try:
            os.fchmod(descriptor, 0o600)
            _hold(descriptor, path)
            _write_all(descriptor, first)
            os.fsync(descriptor)
            _sync_folder(path)
        except OSError as error:    # a file without its first line is no record, and would stand in the way of one
            os.close(descriptor)
            path.unlink(missing_ok=True)
            raise KeepingError(f"{path}: {error.strerror or error}; name a file that can be written") from error
        return cls(path, descriptor, after, len(first))

    @classmethod
    def reopen(cls, path: Path) -> tuple[Journal, Kept]:
        """Take up a record where it stops, without a torn last line. KeepingError if that cannot be."""
        try:
            descriptor = os.open(path, os.O_RDWR | os.O_APPEND)
        except OSError as error:
            raise KeepingError(f"{path}: {error.strerror or error}; name the record of an evening") from error
        try:
            _hold(descriptor, path)
            kept = read_evening(path)
            os.fchmod(descriptor, 0o600)
            os.ftruncate(descriptor, kept.good_bytes)
            os.fsync(descriptor)
        except OSError as error:
            os.close(descriptor)
            raise KeepingError(f"{path}: {error.strerror or error}; an evening goes on in its own file") from error
        except BaseException:
            os.close(descriptor)
            raise
        return cls(path, descriptor, kept.evening, kept.good_bytes), kept

    def put(self, line: bytes, after: Evening) -> asyncio.Future[None]:
        """Append a line or several, after which the evening is `after`; the future is done once they are on disk.

        It fails with KeepingError if that cannot be: then so does all that was put after it, `kept` is the evening
        that is on disk, and `on_failure` has been called.
        """
        loop = asyncio.get_running_loop()
        future: asyncio.Future[None] = loop.create_future()
        if self._descriptor is None or self._broken:
            future.set_exception(KeepingError(self._broken or f"{self.path}: the record is closed"))
            return future
        if not self._waiting and not self._batch:
            loop.call_soon(self._flush)
        self._waiting.append((line, future))
        self._after = after
        return future

    async def settled(self) -> None:
        """Return once everything that was put is on disk. KeepingError if it cannot be."""
        if self._waiting or self._batch:
            await self.put(b"", self._after)

    async def close(self) -> None:
        """Write what waits, and close the file; a second time does nothing."""
        with suppress(KeepingError):
            await self.settled()
        self.close_at_once()

    def close_at_once(self) -> None:
        """Close a file for which nothing waits."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None
        self._writer.shutdown()

    def _flush(self) -> None:
        self._batch, self._waiting = self._waiting, []
        self._batch_after = self._after
        data = b"".join(line for line, _ in self._batch)
        written = asyncio.get_running_loop().run_in_executor(self._writer, self._write, data)
        written.add_done_callback(self._written)

    def _write(self, data: bytes) -> None:
        """Write and sync, in the writer's thread. KeepingError if that cannot be; the file is then as it was."""
        assert self._descriptor is not None  # noqa: S101 - closed only when nothing waits
        try:
            _write_all(self._descriptor, data)
        except OSError as error:
            self._take_back(error)
        try:
            _sync(self._descriptor)
        except OSError as error:     # what is on disk is not known then, and a second try would not say
            self._broken = _full(self.path, error)
            raise KeepingError(self._broken) from error
        self._size += len(data)

    def _take_back(self, error: OSError) -> NoReturn:
        assert self._descriptor is not None  # noqa: S101 - as above
        said = _full(self.path, error)
        try:
            os.ftruncate(self._descriptor, self._size)
        except OSError:
            self._broken = said
        raise KeepingError(said) from error

    def _written(self, written: asyncio.Future[None]) -> None:
        batch, self._batch = self._batch, []
        error = written.exception()
        if error is None:
            self.kept = self._batch_after
            for _, future in batch:
                if not future.done():
                    future.set_result(None)
            if self._waiting:
                self._flush()
            return
        lost, self._waiting = [*batch, *self._waiting], []
        self.on_failure()
        for _, future in lost:
            if not future.done():
                future.set_exception(error)


def _write_all(descriptor: int, data: bytes) -> None:
    begun = 0
    while begun < len(data):
        begun += os.write(descriptor, data[begun:])


def _full(path: Path, error: OSError) -> str:
    return (f"{path}: {error.strerror or error}; the evening stands as it was last written. Make room, then try "
            "again, or take it up with --resume")


def _hold(descriptor: int, path: Path) -> None:
    """Keep the record for this process alone. KeepingError if another one has it; some file systems know no locks."""
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise KeepingError(f"{path}: another program runs this evening now; end it there first") from None
    except OSError:
        return


def _sync_folder(path: Path) -> None:
    """See to it that the new file's name is on disk, where a folder can be synced."""
    with suppress(OSError):
        folder = os.open(path.absolute().parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
