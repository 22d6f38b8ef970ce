"""The host of an evening: the only thing in this room that changes. Net and screens call it and nothing else.

Everything that changes the evening goes through `_happen`: the event is applied, its line is put to the journal, and
the caller waits until it is on disk. If the disk takes no more, the evening is again what is on disk and the caller is
told.
"""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TypeVar

from drill.clean import clean_line
from drill.room import commands as c
from drill.room.commands import Command, Done, Receipt, Refusal
from drill.room.evening import Evening, apply, may_follow, why_no_vote
from drill.room.events import (
    Ended,
    Event,
    Joined,
    Opened,
    PollClosed,
    PollOpened,
    Renamed,
    Shown,
    Stage,
    Voted,
)
from drill.room.flown import RoomFlight
from drill.room.keeping import Journal, KeepingError, line_of
from drill.room.plan import Plan
from drill.room.polls import RoomPoll, polls_of
from drill.room.views import Seen, desk_view, phone_view, wall_view
from drill.scenario.model import Scenario

MOST_NAME = 40
MOST_TABLE = 20
MOST_WORDS = 400
"""Characters of what a phone sends; the rest is cut off."""
MOST_PHONES = 2_000

Clock = Callable[[], datetime]
T = TypeVar("T")


def _now() -> datetime:
    return datetime.now(UTC)


def _iso(moment: datetime) -> str:
    return moment.isoformat(timespec="milliseconds")


class Host:
    """One evening, its record and its flight. `evening` is frozen and replaced on change.

    `version` grows with every change that a wall or the facilitator could see, `phones_version` with those that a phone
    could: a vote of somebody else is none.
    """

    def __init__(
        self, scenario: Scenario, journal: Journal, flight: RoomFlight, evening: Evening, clock: Clock,
    ) -> None:
        self.scenario = scenario
        self.polls: tuple[RoomPoll, ...] = polls_of(scenario)
        self.flight = flight
        self.evening = evening
        self.version = 0
        self.phones_version = 0
        self.face: str | None = None
        self.pace = 0
        self._journal = journal
        self._journal.on_failure = self._fall_back
        self._clock = clock
        self._changes = asyncio.Event()
        self._phone_changes = asyncio.Event()

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
            scenario.airplane.text, seed, plan or Plan(polls=len(polls_of(scenario))), flown.name, at=_iso(clock()))
        evening = apply(Evening(), opened)
        journal = Journal.create(path, line_of(opened, evening.n), evening)
        return cls(scenario, journal, RoomFlight.begin(scenario, seed, flown), evening, clock)

    async def join(self, phone: str, name: str, table: str = "") -> Joined | Refusal:
        """Let a phone in under a name, or give it another one; `phone` is an id that the net room made and signed."""
        said, where = clean_line(name, limit=MOST_NAME), clean_line(table, limit=MOST_TABLE)
        person = self.evening.people.get(phone)
        if not said:
            return Refusal("Type a name first.", "wrong")
        if self.evening.stage == "over":
            return Refusal("The evening is over.")
        if person is None and len(self.evening.people) >= MOST_PHONES:
            return Refusal("The room is full. Raise your hand instead: hands are counted, too.", "full")
        if person is not None and person.removed:
            return Refusal("You were taken off the list. Ask the person in front.", "removed")
        joined = Joined(phone, said, where)
        if person is None:
            return await self._tried(joined, joined)
        if (person.name, person.table) == (said, where):
            return await self._as_it_is(joined)
        return await self._tried(Renamed(phone, said, where, "phone"), joined)

    async def vote(
        self, phone: str, poll: str, answer: str, words: str = "", sure: int | None = None,
    ) -> Receipt | Refusal:
        """Count one phone's vote, instead of an earlier one of its in this poll. Returns once it is on disk."""
        held, person = self.evening.open_poll, self.evening.people.get(phone)
        if person is None:
            return Refusal("Join first: type your name.", "unknown")
        if person.removed:
            return Refusal("You were taken off the list. Ask the person in front.", "removed")
        if held is None or held.id != poll:
            return Refusal("This poll is closed. Look at the wall.")
        said = clean_line(words, limit=MOST_WORDS)
        if wrong := why_no_vote(held, answer, said, sure):
            return Refusal(wrong, "wrong")
        receipt = Receipt(poll, answer, said, sure)
        before = held.votes.get(phone)
        if before is not None and (before.answer, before.words, before.sure) == (answer, said, sure):
            return await self._as_it_is(receipt)
        return await self._tried(Voted(poll, phone, answer, said, sure), receipt, phones=False)

    async def command(self, command: Command) -> Done | Refusal:
        """Do what the facilitator asks."""
        match command:
            case c.Brief():
                return await self._stage("brief")
            case c.OpenPoll():
                return await self._open(command)
            case c.Close(show=show):
                return await self._close_poll(show=show)
            case c.End():
                return await self._tried(Ended(), Done())
            case _:
                return Refusal("Not built yet.", "wrong")

    def phone_view(self, phone: str) -> dict[str, Any]:
        """Return what this phone may know now, and nothing else."""
        return phone_view(self.evening, phone)

    def wall_view(self) -> dict[str, Any]:
        """Return what the projector shows."""
        return wall_view(self.evening, self._seen(), self.face)

    def desk_view(self) -> dict[str, Any]:
        """Return what the facilitator sees."""
        return desk_view(self.evening, self._seen(), self.face, self.polls)

    async def changed(self, since: int) -> int:
        """Wait until `version` is beyond `since`; return it."""
        while self.version <= since:
            await self._changes.wait()
        return self.version

    async def phones_changed(self, since: int) -> int:
        """Wait until `phones_version` is beyond `since`; return it."""
        while self.phones_version <= since:
            await self._phone_changes.wait()
        return self.phones_version

    async def close(self) -> None:
        """Write what waits and close the files; the evening can be taken up again."""
        await self._journal.close()
        self.flight.close()

    def _seen(self) -> Seen:
        flown = self.flight
        ended = flown.flight.ended
        return Seen(flown.t_s, flown.shown, flown.flight.covered, tuple(flown.lines), self.pace,
                    "" if ended is None else ended.outcome)

    async def _stage(self, stage: str) -> Done | Refusal:
        if not may_follow(self.evening, stage):  # type: ignore[arg-type]
            return Refusal("Not now.")
        return await self._tried(Stage(stage, self.flight.t_s), Done())  # type: ignore[arg-type]

    async def _open(self, command: c.OpenPoll) -> Done | Refusal:
        poll = next((each for each in self.polls if each.id == command.poll), self.polls[0])
        if not may_follow(self.evening, "poll"):
            return Refusal("No poll can be opened now.")
        since = self.evening.polls[-1].t_s if self.evening.polls else 0.0
        opened = PollOpened(poll.id, poll.kind, poll.question, poll.answers, self.flight.t_s, since, poll.name,
                            poll.sure, poll.discuss)
        return await self._tried(opened, Done())

    async def _close_poll(self, *, show: bool) -> Done | Refusal:
        held = self.evening.open_poll
        if held is None:
            return Refusal("No poll is open.")
        result = await self._tried(PollClosed(held.id), Done())
        return await self._tried(Shown(held.id), Done()) if show and isinstance(result, Done) else result

    async def _tried(self, event: Event, then: T, *, phones: bool = True) -> T | Refusal:
        """Let `event` happen and return `then` once it is on disk."""
        try:
            await self._happen(event, phones=phones)
        except KeepingError as error:
            return Refusal(str(error), "unwritten")
        return then

    async def _as_it_is(self, then: T) -> T | Refusal:
        """Return `then`, which says nothing new, once what it says is on disk."""
        try:
            await self._journal.settled()
        except KeepingError as error:
            return Refusal(str(error), "unwritten")
        return then

    def _happen(self, event: Event, *, phones: bool = True) -> asyncio.Future[None]:
        """Apply `event` and put it to the journal; the future is done once it is on disk."""
        event = replace(event, at=_iso(self._clock()))
        evening = apply(self.evening, event)
        self.evening = evening
        written = self._journal.put(line_of(event, evening.n), evening)
        self._seen_change(phones=phones)
        return written

    def _seen_change(self, *, phones: bool) -> None:
        self.version += 1
        self._changes.set()
        self._changes = asyncio.Event()
        if phones:
            self.phones_version += 1
            self._phone_changes.set()
            self._phone_changes = asyncio.Event()

    def _fall_back(self) -> None:
        """Be again what is on disk."""
        self.evening = self._journal.kept
        self._seen_change(phones=True)
