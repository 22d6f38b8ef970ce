"""The host of an evening: the only thing in this room that changes. Net and screens call it and nothing else.

What is not in the record is lost with the program and may be: how fast time runs, and which face fills the wall.
"""

from __future__ import annotations

import asyncio
import secrets
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from drill.clean import typed_line
from drill.grading.debrief import FailureStory
from drill.room.airborne import Airborne
from drill.room.book import Book, Clock, iso
from drill.room.commands import Command, Done, Receipt, Refusal
from drill.room.conducting import Conductor
from drill.room.evening import Evening, apply, why_no_vote
from drill.room.events import Joined, Opened, Renamed, Voted
from drill.room.facilitating import MOST_NAME, MOST_WORDS, table_of
from drill.room.flown import RoomFlight, known_by
from drill.room.keeping import Journal, KeepingError, line_of
from drill.room.plan import Plan
from drill.room.polls import RoomPoll, polls_of
from drill.room.standing import standing
from drill.room.truths import TrueNow, failures_so_far, true_now
from drill.room.views import SENT_OUT, Around, Seen, desk_view, phone_view, wall_view
from drill.scenario import DocumentError, load_text
from drill.scenario.model import Scenario
from drill.seat.briefing import briefing_lines

MOST_PHONES = 2_000


def _now() -> datetime:
    return datetime.now(UTC)


class Host:
    """One evening, its record and its flight."""

    def __init__(
        self, scenario: Scenario, book: Book, room: RoomFlight, sheet: RoomFlight | None = None,
    ) -> None:
        self.scenario = scenario
        self.polls: tuple[RoomPoll, ...] = polls_of(scenario)
        self._book = book
        self._conductor = Conductor(book, scenario, self.polls, room, sheet)
        self._briefing = tuple(briefing_lines(scenario))
        self._taken_up = True

    @classmethod
    def begin(cls, scenario: Scenario, seed: int, path: Path, *, plan: Plan | None = None, number: str = "",
              clock: Clock = _now) -> Host:
        """Begin an evening, its record at `path` (0600) and that of its flight beside it.

        `number` is what people type to join; four digits are drawn without one. KeepingError or RecordError if a file
        cannot be written, or is there already.
        """
        flown = path.with_name(f"{path.stem}.flight.jsonl")
        opened = Opened(
            number or f"{secrets.randbelow(9_000) + 1_000}", scenario.name, scenario.text, scenario.airplane.name,
            scenario.airplane.text, seed, plan or Plan(polls=len(polls_of(scenario))), flown.name, at=iso(clock()))
        evening = apply(Evening(), opened)
        room = RoomFlight.begin(scenario, seed, flown)
        try:
            journal = Journal.create(path, line_of(opened, evening.n), evening)
        except KeepingError:
            room.close()
            flown.unlink()      # of this evening, which has not begun
            raise
        return cls(scenario, Book(evening, journal, clock), room)

    @classmethod
    def resume(cls, path: Path, *, clock: Clock = _now) -> Host:
        """Take up an evening from its record, and its flight from its own; time stands. `take_up` does the rest.

        KeepingError or RecordError, in words, if either cannot be taken up.
        """
        journal, kept = Journal.reopen(path)
        evening = kept.evening
        try:
            scenario = _scenario_of(evening, path)
            room = _flight_of(path, evening.begun.flight)
            sheet = None
            if evening.forked:
                sheet = _flight_of(path, evening.forks[-1].records[-1])
                sheet.let_sheet_fly(known_by(scenario, evening.begun.seed, room.events))
        except BaseException:
            journal.close_at_once()
            raise
        host = cls(scenario, Book(evening, journal, clock), room, sheet)
        host._taken_up = False
        return host

    async def take_up(self) -> None:
        """Carry out what had been decided, and was not done yet, when the program that is resumed ended.

        The first command does so, too; once is enough.
        """
        if not self._taken_up:
            self._taken_up = True
            await self._conductor.take_up()

    @property
    def evening(self) -> Evening:
        """The evening as it stands: frozen, replaced on change."""
        return self._book.evening

    @property
    def version(self) -> int:
        """Grows with every change that a wall or the facilitator could see."""
        return self._book.version

    @property
    def phones_version(self) -> int:
        """Grows with every change that a phone could see; somebody else's vote is none."""
        return self._book.phones_version

    @property
    def path(self) -> Path:
        """Where the record is."""
        return self._book.path

    @property
    def flights(self) -> Airborne:
        """The flights: to look at."""
        return self._conductor.flights

    async def join(self, phone: str, name: str, table: str = "") -> Joined | Refusal:
        """Let a phone in under a name, or give it another one; `phone` is an id that the net room made and signed."""
        said, where = typed_line(name, limit=MOST_NAME), table_of(self.evening, table, phone)
        person = self.evening.people.get(phone)
        if not said:
            return Refusal("Type a name first.", "wrong")
        if self.evening.stage == "over":
            return Refusal("The evening is over.")
        if person is None and len(self.evening.people) >= MOST_PHONES:
            return Refusal("The room is full. Raise your hand instead: hands are counted, too.", "full")
        if person is not None and person.removed:
            return Refusal(SENT_OUT, "removed")
        joined = Joined(phone, said, where)
        if person is None:
            return await self._book.happened(joined, then=joined, phones=False)    # the others see nothing of it
        if (person.name, person.table) == (said, where):
            return await self._book.happened(then=joined)
        return await self._book.happened(Renamed(phone, said, where, "phone"), then=joined)

    async def vote(
        self, phone: str, poll: str, answer: str, words: str = "", sure: int | None = None,
    ) -> Receipt | Refusal:
        """Count one phone's vote, instead of an earlier one of its in this poll. Returns once it is on disk."""
        held, person = self.evening.open_poll, self.evening.people.get(phone)
        if person is None:
            return Refusal("Join first: type your name.", "unknown")
        if person.removed:
            return Refusal(SENT_OUT, "removed")
        if held is None or held.id != poll:
            return Refusal("This poll is closed. Look at the wall.")
        said = typed_line(words, limit=MOST_WORDS)
        if wrong := why_no_vote(held, answer, said, sure):
            return Refusal(wrong, "wrong")
        receipt = Receipt(poll, answer, said, sure)
        before = held.votes.get(phone)
        if before is not None and (before.answer, before.words, before.sure) == (answer, said, sure):
            return await self._book.happened(then=receipt)
        return await self._book.voted(Voted(poll, phone, answer, said, sure), receipt)

    async def command(self, command: Command) -> Done | Refusal:
        """Do what the facilitator asks; one thing after the other, but `Stop` and `ShowFace` at once."""
        await self.take_up()
        return await self._conductor.command(command)

    def phone_view(self, phone: str) -> dict[str, Any]:
        """Return what this phone may know now, and nothing else."""
        return phone_view(self.evening, phone)

    def wall_view(self) -> dict[str, Any]:
        """Return what the projector shows."""
        return wall_view(self.evening, self._around())

    def desk_view(self) -> dict[str, Any]:
        """Return what the facilitator sees."""
        trouble = self._book.trouble or self._conductor.flights.broken
        return desk_view(self.evening, self._around(), self.polls, trouble)

    def true_now(self) -> TrueNow | None:
        """Return how the room's airplane really flies: for the facilitator, and in no view."""
        return true_now(self.flights.room.events)

    async def failures_so_far(self) -> tuple[FailureStory, ...]:
        """Return what has failed, and from when it could have been known, likewise; worked out beside all else."""
        return await asyncio.to_thread(failures_so_far, self.scenario, self.evening.begun.seed,
                                       tuple(self.flights.room.events))

    async def changed(self, since: int) -> int:
        """Wait until `version` is beyond `since`; return it."""
        return await self._book.changed(since)

    async def phones_changed(self, since: int) -> int:
        """Wait until `phones_version` is beyond `since`; return it."""
        return await self._book.phones_changed(since)

    async def close(self) -> None:
        """Write what waits and close the files; the evening can be taken up again."""
        await self._conductor.close()
        await self._book.close()

    def _around(self) -> Around:
        flights = self._conductor.flights
        return Around(
            self.scenario.board_title, self._briefing, _seen(flights.room), flights.pace,
            standing(self.evening, self._book.now()), None if flights.sheet is None else _seen(flights.sheet),
            flights.compared, flights.room.by_sheet, self._conductor.face, self._conductor.marks)


def _seen(flown: RoomFlight) -> Seen:
    ended = flown.flight.ended
    return Seen(flown.t_s, flown.shown, flown.flight.covered, tuple(flown.lines),
                "" if ended is None else ended.outcome)


def _flight_of(path: Path, name: str) -> RoomFlight:
    """Return the flight whose record, called `name`, stands beside the evening's at `path`."""
    flown = path.with_name(Path(name).name)     # a name, never a path
    try:
        return RoomFlight.resume(flown)
    except OSError as error:
        raise KeepingError(f"{flown}: {error.strerror or error}; the flight's record has to stand beside the "
                           "evening's") from error


def _scenario_of(evening: Evening, path: Path) -> Scenario:
    """Return the scenario as it was when the evening began."""
    begun = evening.begun
    try:
        return load_text(begun.text, f"{begun.scenario}.yaml", lambda _: begun.airplane_text)
    except DocumentError as error:
        raise KeepingError(f"{path}: the scenario in this record cannot be used ({error.problems[0]}); take it up with "
                           "the drill that wrote it") from None
