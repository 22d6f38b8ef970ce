"""The flights of an evening in motion: the room's and, after a fork, the grade sheet's beside it, at one pace.

Time flows here and nowhere else: `fly` lets it run by the wall clock, `advance` at once. After each second the host is
asked whether a poll is due; then both flights stand at the same moment.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Protocol

from drill.flight.events import Event
from drill.flight.recorder import RecordError
from drill.grading.beside import Beside
from drill.room.events import Entered
from drill.room.flown import RoomFlight, known_by, side_by_side

SLICE_S = 1.0            # of flight, after which the event loop has its turn
TICK_S = 0.25            # of the wall clock, so often the flight moves
LONGEST_GAP_S = 1.0      # a longer one is a machine that slept


class Watching(Protocol):
    """Who is told what becomes of the flights."""

    def moved(self) -> None:
        """Something moved."""
        ...

    def stops(self) -> bool:
        """Say whether the flight stops at this second."""
        ...

    async def stopped(self) -> None:
        """Time has stopped: at a poll, at the end of the flight, or where it was told to."""
        ...


class Airborne:
    """The room's flight, the one beside it if there is one, and how fast time runs (`pace`; 0: not at all).

    `broken` says why a record took no more; "" for nothing. What was flown since is not in it, so that nothing may be
    appended before the evening is taken up again from what is.
    """

    def __init__(self, room: RoomFlight, sheet: RoomFlight | None, watching: Watching) -> None:
        self.room = room
        self.sheet = sheet
        self.pace = 0
        self.broken = ""
        self.compared: Beside | None = None       # of the last fork that has ended
        self._watching = watching
        self._running: asyncio.Task[None] | None = None
        self._comparing: asyncio.Task[None] | None = None
        self._advancing = False

    def fly(self, pace: int) -> None:
        """Let time run, `pace` seconds of flight a second."""
        if not self.pace:
            self.compared = None
        self.pace = pace
        if self._running is None or self._running.done():
            self._running = asyncio.create_task(self._run())

    def stop(self) -> None:
        """Let time stand."""
        self.pace = 0
        self._advancing = False

    async def advance(self, seconds: float) -> None:
        """Let so much flight time pass at once, to where it stops by itself at most; then time stands."""
        self.pace = 0
        self._advancing = True
        left = seconds
        while left > 1e-9 and self._advancing:
            left -= SLICE_S
            if self._slice(min(SLICE_S, left + SLICE_S)):
                break
            await asyncio.sleep(0)
        self._advancing = False
        await self._watching.stopped()

    async def let_sheet_fly(self) -> None:
        """Let the grade sheet fly the room's airplane from here on."""
        self.room.let_sheet_fly(await self._known())

    async def fork(self, path: Path) -> None:
        """Let the grade sheet fly another flight from here on, with its record at `path`. RecordError if it cannot."""
        known = await self._known()
        self.compared = None
        self.sheet = self.room.fork(path, known)

    def end_fork(self, at_s: float) -> None:
        """Let the sheet's flight go no further; what came of the two from `at_s` (s) on is being worked out."""
        sheet, self.sheet = self.sheet, None
        if sheet is not None:
            sheet.close()
            self.compare(sheet.events, at_s)

    def compare(self, sheet: Iterable[Event], at_s: float) -> None:
        """Work out, beside everything else, what came of the two flights that parted at `at_s` (s).

        `sheet` are the events of the one that the grade sheet flew.
        """
        self._comparing = asyncio.create_task(self._compare(tuple(sheet), at_s))

    def enter(self, given: Sequence[Entered]) -> str:
        """Give the room's flight what it has not got of these lines; return what is asked back."""
        try:
            return self.room.enter(given)
        except RecordError as error:
            self._break(error)
            return ""

    async def settled(self) -> None:
        """Return once nothing is being worked out."""
        if self._comparing is not None:
            await asyncio.shield(self._comparing)

    async def close(self) -> None:
        """Stop, and close the records; the flights can be taken up again."""
        self.stop()
        for task in (self._running, self._comparing):
            if task is not None and task is not asyncio.current_task():
                task.cancel()
                await asyncio.gather(task, return_exceptions=True)
        for flight in (self.room, self.sheet):
            if flight is not None:
                flight.close()

    async def _known(self) -> dict[str, float]:
        return await asyncio.to_thread(known_by, self.room.flight.scenario, self.room.flight.seed,
                                       tuple(self.room.events))

    async def _run(self) -> None:
        clock = asyncio.get_running_loop().time
        last = clock()
        while self.pace:
            await asyncio.sleep(TICK_S)
            now = clock()
            left = min(now - last, LONGEST_GAP_S) * self.pace
            last = now
            while left > 1e-9 and self.pace:
                part = min(SLICE_S, left)
                left -= part
                if self._slice(part):
                    self.pace = 0
                    await self._watching.stopped()
                await asyncio.sleep(0)

    def _slice(self, seconds: float) -> bool:
        """Fly so long, at most SLICE_S; return whether the flight stops here."""
        try:
            stops = self.room.advance(seconds, self._watching.stops) or self.room.over
            if self.sheet is not None:
                self.sheet.advance(max(0.0, round(self.room.t_s - self.sheet.t_s, 1)))
        except RecordError as error:
            self._break(error)
            return True
        self._watching.moved()
        return stops

    def _break(self, error: RecordError) -> None:
        self.stop()
        self.broken = str(error)
        self._watching.moved()

    async def _compare(self, sheet: tuple[Event, ...], at_s: float) -> None:
        scenario, seed = self.room.flight.scenario, self.room.flight.seed
        self.compared = await asyncio.to_thread(side_by_side, scenario, seed, tuple(self.room.events), sheet, at_s)
        self._watching.moved()
