"""Carrying out what the facilitator asks: the evening's events, the flights in motion, the polls that stop them.

What a way comes to in the flight is done after it is on disk that it was chosen; a program that is killed between finds
the rest to do when the evening is taken up again.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from drill.clean import typed_line
from drill.flight.record import RecordError, read_record
from drill.room import commands as c
from drill.room import facilitating as f
from drill.room.airborne import Airborne
from drill.room.book import Book
from drill.room.calls_shown import last_words, marked_up
from drill.room.commands import Command, Done, Refusal
from drill.room.evening import Held
from drill.room.events import Entered, Forked, ForkEnded, Moved
from drill.room.flown import RoomFlight
from drill.room.polls import RoomPoll
from drill.room.views import Marks
from drill.scenario.model import Scenario

LONGEST_ADVANCE_S = 3_600.0


class Conductor:
    """Carries out commands. `face` fills the wall, `marks` are the calls that have been marked up, by their words."""

    def __init__(
        self, book: Book, scenario: Scenario, polls: Sequence[RoomPoll], room: RoomFlight, sheet: RoomFlight | None,
    ) -> None:
        self.flights = Airborne(room, sheet, self)
        self.face: str | None = None
        self.marks: Marks = {}
        self._book = book
        self._scenario = scenario
        self._polls = polls
        self._one_by_one = asyncio.Lock()

    async def command(self, command: Command) -> Done | Refusal:
        """Do what is asked; one thing after the other, but stopping and what fills the wall at once."""
        match command:
            case c.Stop():
                return await self._stop()
            case c.ShowFace(instrument=instrument):
                return self._show_face(instrument)
        async with self._one_by_one:
            return await self._carried_out(command)

    async def take_up(self) -> None:
        """Carry out what had been decided, and was not done yet, when the program ended."""
        async with self._one_by_one:
            held = self._book.evening.poll
            if held is not None and held.closed:
                await self._mark(held)
            await self._go()
            self._enter_what_is_left()
            evening = self._book.evening
            last = evening.forks[-1] if evening.forks else None
            if last is not None and not evening.forked and evening.stage in ("poll", "talk"):
                with suppress(RecordError, OSError):      # then there is nothing to compare
                    sheet = read_record(self._book.path.with_name(Path(last.records[-1]).name))
                    self.flights.compare(sheet.events, last.at_s)

    async def close(self) -> None:
        """Stop, and close the flights' records."""
        await self.flights.close()

    # What the flights in motion ask and tell: airborne.Watching.

    def moved(self) -> None:
        """Something moved that the wall shows."""
        self._book.seen_change(phones=False)

    def stops(self) -> bool:
        """Say whether a poll is due."""
        return self._due() is not None

    async def stopped(self) -> None:
        """Open the poll that is due, or write down where the flight stands."""
        if self._book.evening.stage != "fly":
            return
        due = self._due()
        come = (Moved(self._t_s),) if due is None else f.opened(self._book.evening, due, self._t_s)
        if isinstance(await self._let(come), Done) and (due is not None or self.flights.room.over):
            await self._part_ways()

    @property
    def _t_s(self) -> float:
        return self.flights.room.t_s

    def _due(self) -> RoomPoll | None:
        held = self._book.evening.held
        return self.flights.room.due([each for each in self._polls if held(each.id) is None])

    async def _let(self, come: f.Come) -> Done | Refusal:
        return come if isinstance(come, Refusal) else await self._book.happened(*come, then=Done())

    async def _stop(self) -> Done | Refusal:
        if self._book.evening.stage != "fly":
            return Refusal("The flight does not run now.")
        self.flights.stop()
        return await self._let((Moved(self._t_s),))

    def _show_face(self, instrument: str | None) -> Done | Refusal:
        if wrong := f.why_no_face(instrument):
            return Refusal(wrong, "unknown")
        self.face = instrument
        self.moved()
        return Done()

    async def _carried_out(self, command: Command) -> Done | Refusal:
        match command:
            case c.Fly(pace=pace):
                return await self._fly(pace)
            case c.Advance(seconds=seconds):
                return await self._advance(seconds)
            case c.OpenPoll():
                return await self._open(command)
            case c.Close(show=show):
                return await self._close(show=show)
            case c.Choose():
                return await self._choose(command)
            case c.Enter(line=line):
                return await self._enter(line)
            case c.Debrief():
                return await self._land(lambda: f.stage(self._book.evening, "debrief", self._t_s))
            case c.End():
                return await self._land(lambda: f.ended(self._book.evening))
            case _:
                return await self._let(f.plain(self._book.evening, command, self._t_s))

    async def _fly(self, pace: int) -> Done | Refusal:
        if pace not in c.PACES:
            return Refusal(f"Time runs at {', '.join(map(str, c.PACES))} times its pace.", "wrong")
        if (refusal := self._cannot_fly()) is not None:
            return refusal
        if self._book.evening.stage != "fly":
            going = await self._go()     # what was chosen, if it could not be done then
            done = going if isinstance(going, Refusal) else await self._let(
                f.stage(self._book.evening, "fly", self._t_s))
            if isinstance(done, Refusal):
                return done
        self.flights.fly(pace)
        self.moved()
        return Done()

    async def _advance(self, seconds: float) -> Done | Refusal:
        if self._book.evening.stage != "fly":
            return f.not_now(self._book.evening)
        if not 0.0 < seconds <= LONGEST_ADVANCE_S:
            return Refusal(f"Give up to {LONGEST_ADVANCE_S:.0f} seconds.", "wrong")
        if (refusal := self._cannot_fly()) is not None:
            return refusal
        await self.flights.advance(seconds)
        broken = self.flights.broken or self._book.trouble
        return Refusal(broken, "unwritten") if broken else Done()

    async def _open(self, command: c.OpenPoll) -> Done | Refusal:
        poll = f.asked_for(self._book.evening, command, self._polls, self._scenario)
        if isinstance(poll, Refusal):
            return poll
        come = f.opened(self._book.evening, poll, self._t_s)
        if isinstance(come, Refusal):
            return come
        self.flights.stop()
        done = await self._let(come)
        if isinstance(done, Done):
            await self._part_ways()
        return done

    async def _close(self, *, show: bool) -> Done | Refusal:
        """Close the poll; calls are marked up before they are shown."""
        closed = f.closed(self._book.evening)
        done = await self._let(closed)
        held = self._book.evening.poll
        if isinstance(done, Refusal) or held is None:
            return done
        await self._mark(held)
        return await self._let(f.revealed(self._book.evening)) if show else done

    async def _mark(self, held: Held) -> None:
        """Mark up the calls of a poll, beside everything else: some hundredths of a second each."""
        words = set(last_words(self._book.evening, held).values()) - set(self.marks)
        if not words:
            return
        context = self._scenario.context
        marks = await asyncio.to_thread(lambda: {each: marked_up(each, context) for each in words})
        self.marks = {**self.marks, **marks}

    async def _choose(self, command: c.Choose) -> Done | Refusal:
        if (refusal := self._cannot_fly()) is not None:
            return refusal
        done = await self._let(f.chosen(self._book.evening, command, self._scenario))
        return done if isinstance(done, Refusal) else await self._go()

    async def _go(self) -> Done | Refusal:
        """Do what was chosen after the last poll, as far as it is not done yet."""
        evening = self._book.evening
        chosen = None if evening.poll is None else evening.poll.chosen
        if chosen is None or evening.stage not in ("talk", "fly") or self.flights.room.over:
            return Done()
        forks = sum(each.chosen is not None and each.chosen.way == "fork" for each in evening.polls)
        try:
            if chosen.way == "fork" and len(evening.forks) < forks:
                path = self._free("fork")
                await self.flights.fork(path)
                done = await self._let((Forked(self._t_s, (self.flights.room.path.name, path.name)),))
                if isinstance(done, Refusal):
                    return done
            elif chosen.way == "sheet" and not self.flights.room.by_sheet:
                await self.flights.let_sheet_fly()
        except RecordError as error:      # of a new file: nothing has been flown
            self._book.trouble = str(error)
            return Refusal(str(error), "unwritten")
        return self._enter_what_is_left()

    def _free(self, what: str) -> Path:
        """Return a file name beside the evening's record that nothing has."""
        path, number = self._book.path, 1
        while (free := path.with_name(f"{path.stem}.{what}-{number}.jsonl")).exists():
            number += 1
        return free

    async def _enter(self, line: str) -> Done | Refusal:
        said = typed_line(line, limit=f.MOST_WORDS)
        if not said:
            return Refusal("Type a line.", "wrong")
        if self._book.evening.stage not in ("fly", "talk"):
            return f.not_now(self._book.evening)
        if (refusal := self._cannot_fly()) is not None:
            return refusal
        done = await self._let((Entered(said, self._t_s),))
        return done if isinstance(done, Refusal) else self._enter_what_is_left()

    def _enter_what_is_left(self) -> Done | Refusal:
        """Give the room's flight the lines of the evening that it has not got; say what is asked back."""
        asked = self.flights.enter(self._book.evening.entered)
        self.moved()
        return Refusal(self.flights.broken, "unwritten") if self.flights.broken else Done(asked)

    def _cannot_fly(self) -> Refusal | None:
        if self.flights.broken:
            return Refusal(f"{self.flights.broken}. Make room, end the program, and take the evening up with --resume.",
                           "unwritten")
        return Refusal("The flight is over. Begin the debrief.") if self.flights.room.over else None

    async def _land(self, comes: Callable[[], f.Come]) -> Done | Refusal:
        """Begin the debrief, or end the evening: nothing is flown any more."""
        come = comes()
        if isinstance(come, Refusal):
            return come
        self.flights.stop()
        await self._part_ways()
        return await self._let(comes())    # a poll may have opened meanwhile

    async def _part_ways(self) -> None:
        """At a poll and at the end the room flies its own airplane again, and the sheet's goes no further."""
        self.flights.room.let_room_fly()
        forks = self._book.evening.forks
        if self._book.evening.forked and forks:
            self.flights.end_fork(forks[-1].at_s)
            await self._let((ForkEnded(self._t_s),))
