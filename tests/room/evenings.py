"""Small evenings for these tests: a scenario with five polls in three minutes, and events in any legal order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from random import Random

from hypothesis import strategies as st
from scenario.documents import TEXT, loaded

from drill.room.evening import Evening, Held, OutOfPlace, apply
from drill.room.events import (
    KINDS,
    Answer,
    Chose,
    Ended,
    Entered,
    Event,
    Forked,
    ForkEnded,
    Hands,
    Hid,
    Joined,
    Kind,
    Moved,
    Opened,
    Planned,
    PollClosed,
    PollOpened,
    Removed,
    Renamed,
    Shown,
    Stage,
    StageName,
    Struck,
    Voted,
)
from drill.room.plan import Plan
from drill.scenario import Scenario

POLLS = """
polls:
  - poll: First look
    asks: what is wrong
    at: 20 s
    answers:
      - {says: The vacuum pump, does: I think the vacuum pump has failed}
      - {says: The pitot tube, does: I think the pitot tube is blocked}
    discuss: Which instruments share a source?
  - poll: Next
    asks: what next
    at: 40 s
    answers:
      - {says: Cover the horizon, does: cover the attitude indicator and go partial panel}
      - {says: Fly on}
  - poll: The call
    asks: what do you say
    at: 60 s
  - poll: Sure
    asks: how sure
    at: 80 s
  - poll: When it is covered
    asks: what is wrong
    when: did cover attitude indicator
    at: 90 s
"""

AT = "2026-11-26T19:00:00.000+00:00"
PHONES = ("one", "two", "three")


@cache
def asked() -> Scenario:
    """The small sound scenario with polls of every kind."""
    return loaded(f"{TEXT}\n{POLLS}")


class Wall:
    """A clock on the wall that goes a second at each look, or as it is told."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 26, 19, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


OPENED = Opened("4711", "small", "text", "larkspur-180", "airplane", 3, Plan(), "small.flight.jsonl", at=AT)

ANSWERS = (Answer("a", "The vacuum pump", "diagnose vacuum pump"), Answer("b", "The pitot tube"),
           Answer("c", "Nothing is wrong", "nothing is wrong"))

_phone = st.sampled_from(PHONES)
_name = st.sampled_from(("Ada", "Ben", "Cleo"))
_table = st.sampled_from(("", "1", "2"))
_t = st.floats(0.0, 900.0).map(lambda t: round(t, 1))
_lines = st.sampled_from(((), ("cover the attitude indicator",)))
_AT_ANY_TIME = ("joined", "renamed", "hid", "removed", "planned", "moved", "entered", "struck")
_IN: dict[StageName, tuple[str, ...]] = {
    "lobby": ("joined", "joined", "joined", "stage"),
    "brief": ("joined", "stage", "opened"),
    "fly": ("opened", "opened", "fork ended", "stage"),
    "poll": ("voted", "voted", "voted", "voted", "voted", "hands", "closed"),
    "talk": ("shown", "chose", "forked", "hands", "opened", "stage", "stage"),
    "debrief": ("joined", "ended"),
    "over": ("joined",),
}


def _opening(draw: st.DrawFn, evening: Evening) -> PollOpened:
    kind = draw(st.sampled_from(KINDS))
    answers: dict[Kind, tuple[Answer, ...]] = {
        "what do you say": (), "how sure": (Answer("1", "a guess"), Answer("2", "rather unsure"))}
    return PollOpened(f"p{len(evening.polls) + 1}", kind, draw(st.sampled_from(("What is wrong?", "What next?"))),
                      answers.get(kind, ANSWERS), draw(_t), draw(_t), draw(st.sampled_from(("", "First look"))),
                      kind == "what is wrong", draw(st.sampled_from(((), ("Who agrees?",)))))


def vote(draw: st.DrawFn, held: Held, phone: str) -> Voted:
    """A vote that this poll allows."""
    if held.kind == "what do you say":
        return Voted(held.id, phone, "", draw(st.sampled_from(("vacuum failure", "say again"))))
    sure = draw(st.sampled_from((None, 1, 2, 3, 4))) if held.sure else None
    return Voted(held.id, phone, draw(st.sampled_from([each.key for each in held.answers])), "", sure)


def another_vote(chance: Random, held: Held, phone: str) -> Voted:
    """The same, by a random number."""
    if held.kind == "what do you say":
        return Voted(held.id, phone, "", chance.choice(("vacuum failure", "say again")))
    sure = chance.choice((None, 1, 2, 3, 4)) if held.sure else None
    return Voted(held.id, phone, chance.choice([each.key for each in held.answers]), "", sure)


def _next(draw: st.DrawFn, evening: Evening) -> Event:
    """An event that is likely to be possible now."""
    held, id_ = evening.poll, evening.poll.id if evening.poll is not None else "p1"
    at_any_time = draw(st.integers(0, 3)) == 0
    match draw(st.sampled_from(_AT_ANY_TIME if at_any_time else _IN[evening.stage])):
        case "joined":
            return Joined(draw(_phone), draw(_name), draw(_table))
        case "renamed":
            return Renamed(draw(_phone), draw(_name), draw(_table), draw(st.sampled_from(("phone", "facilitator"))))
        case "hid":
            return Hid(draw(_phone), draw(st.booleans()))
        case "removed":
            return Removed(draw(_phone))
        case "stage":
            return Stage(draw(st.sampled_from(("brief", "fly", "fly", "fly", "debrief"))), draw(_t))
        case "opened":
            return _opening(draw, evening)
        case "voted" if held is not None:
            return vote(draw, held, draw(_phone))
        case "hands" if held is not None and held.answers:
            keys = [each.key for each in held.answers]
            return Hands(id_, draw(st.dictionaries(st.sampled_from(keys), st.integers(0, 9))))
        case "closed":
            return PollClosed(id_)
        case "shown":
            return Shown(id_)
        case "chose":
            return Chose(id_, draw(st.sampled_from(("majority", "sheet", "fork", "own"))), draw(_lines))
        case "entered":
            return Entered("look at the suction gauge", draw(_t))
        case "forked":
            return Forked(draw(_t), ("small.flight.jsonl", "small.fork-1.jsonl"))
        case "fork ended":
            return ForkEnded(draw(_t))
        case "struck":
            return Struck(id_, draw(_phone))
        case "planned":
            return Planned(Plan(flight_min=draw(st.integers(1, 60))))
        case "ended":
            return Ended()
        case _:
            return Moved(draw(_t))


@st.composite
def any_evening(draw: st.DrawFn, most: int = 50) -> list[Event]:
    """Events of an evening in some legal order, its opening first."""
    events: list[Event] = [OPENED]
    evening = apply(Evening(), OPENED)
    for second in range(draw(st.integers(0, most))):
        event = replace(_next(draw, evening), at=at_second(second))
        try:
            evening = apply(evening, event)
        except OutOfPlace:
            continue
        events.append(event)
    return events


def at_second(second: int) -> str:
    """The time on the wall so many seconds after seven."""
    return f"2026-11-26T19:{second // 60:02d}:{second % 60:02d}.000+00:00"


def possible(events: Sequence[Event]) -> Iterator[Event]:
    """Those of `events` that can happen, one after the other."""
    evening = Evening()
    for event in events:
        try:
            evening = apply(evening, event)
        except OutOfPlace:
            continue
        yield event
