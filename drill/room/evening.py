"""An evening: the fold of what has happened. Pure; nothing else is state.

`apply(evening, event)` gives the next one and raises OutOfPlace, in words, for an event that cannot happen then.
STAGES_AFTER is the whole table of which stage can follow which.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from drill.room.events import (
    EDITION,
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

STAGES_AFTER: Mapping[StageName, tuple[StageName, ...]] = MappingProxyType({
    "lobby": ("brief", "fly", "over"),
    "brief": ("fly", "poll", "debrief", "over"),
    "fly": ("poll", "debrief", "over"),
    "poll": ("talk",),
    "talk": ("fly", "poll", "debrief", "over"),
    "debrief": ("over",),
    "over": (),
})
"""From a stage to those that can follow it."""

CALLED: Mapping[StageName, str] = MappingProxyType({
    "lobby": "people are coming in", "brief": "the briefing", "fly": "the flight", "poll": "a poll is open",
    "talk": "the talk after a poll", "debrief": "the debrief", "over": "the evening is over",
})
"""What a stage is called in words."""

SUREST = 4
"""How sure: 1 a guess ... 4 certain."""


class OutOfPlace(ValueError):  # noqa: N818 - it is an answer
    """An event cannot happen now; the message is a sentence that says why."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody with a phone. `place` counts from 1 in the order of joining."""

    phone: str
    name: str
    table: str
    place: int
    hidden: bool = False
    removed: bool = False


@dataclass(frozen=True, slots=True)
class Vote:
    """What one phone says in one poll."""

    answer: str
    words: str = ""
    sure: int | None = None


@dataclass(frozen=True, slots=True)
class Held:
    """A poll as it is held: what is asked, and what came of it. `votes` by phone, in the order of the first vote.

    Until it is closed, people who are removed no longer count in it: `votes`, `counts` and `leaders` of this module see
    to that. What is closed stays as the room saw it, whoever is removed later.
    """

    id: str
    kind: Kind
    question: str
    answers: tuple[Answer, ...]
    t_s: float
    since: float
    name: str
    sure: bool
    discuss: tuple[str, ...]
    opened_at: str
    votes: Mapping[str, Vote] = field(default_factory=dict)
    hands: Mapping[str, int] = field(default_factory=dict)
    closed: bool = False
    shown: bool = False
    of: int = 0                        # how many were in the room when it was closed
    struck: frozenset[str] = frozenset()
    chosen: Chose | None = None

    def answer(self, key: str) -> Answer | None:
        """Return the answer with this key; None if there is none."""
        for each in self.answers:
            if each.key == key:
                return each
        return None


@dataclass(frozen=True, slots=True)
class Evening:
    """Where an evening stands. `n`: events so far; `since_at`: by stage, when it began for the first time (ISO)."""

    n: int = 0
    at: str = ""                                   # of the last event
    opened: Opened | None = None
    plan: Plan = field(default_factory=Plan)
    stage: StageName = "lobby"
    t_s: float = 0.0                               # flight time of the last event that names one
    people: Mapping[str, Person] = field(default_factory=dict)      # by phone, in the order of joining
    polls: tuple[Held, ...] = ()                   # in the order of opening
    entered: tuple[Entered, ...] = ()              # lines given to the room's flight, those of chosen ways among them
    forks: tuple[Forked, ...] = ()
    forked: bool = False                           # the flight by the sheet goes on beside the room's
    fork_ends: tuple[float, ...] = ()              # flight time (s) at which each of the forks has ended
    since_at: Mapping[StageName, str] = field(default_factory=dict)

    @property
    def begun(self) -> Opened:
        """How the evening began. OutOfPlace for one that has not."""
        if self.opened is None:
            raise OutOfPlace("the evening has not begun")
        return self.opened

    @property
    def number(self) -> str:
        """The evening's number, which people type."""
        return self.begun.number

    @property
    def poll(self) -> Held | None:
        """The last poll, open or closed; None before the first."""
        return self.polls[-1] if self.polls else None

    @property
    def open_poll(self) -> Held | None:
        """The poll that takes votes now."""
        last = self.poll
        return last if last is not None and not last.closed else None

    @property
    def present(self) -> tuple[Person, ...]:
        """Everybody who has joined and was not removed."""
        return tuple(each for each in self.people.values() if not each.removed)

    def held(self, poll: str) -> Held | None:
        """Return the poll with this id, if it has been opened."""
        return next((each for each in reversed(self.polls) if each.id == poll), None)


def votes(evening: Evening, held: Held) -> dict[str, Vote]:
    """Return the votes that count, by phone."""
    if held.closed:
        return dict(held.votes)
    return {phone: vote for phone, vote in held.votes.items() if not evening.people[phone].removed}


def counts(evening: Evening, held: Held) -> dict[str, int]:
    """Return how many gave each answer, by key in the order of the answers, phones and raised hands together."""
    found = {each.key: held.hands.get(each.key, 0) for each in held.answers}
    for vote in votes(evening, held).values():
        if vote.answer in found:
            found[vote.answer] += 1
    return found


def leaders(evening: Evening, held: Held) -> tuple[Answer, ...]:
    """Return the answers with the most votes: one, several in a tie, none without a vote."""
    found = counts(evening, held)
    most = max(found.values(), default=0)
    return tuple(each for each in held.answers if most and found[each.key] == most)


def fold(events: Iterable[Event]) -> Evening:
    """Return what `events` come to. OutOfPlace at the first that cannot happen."""
    evening = Evening()
    for event in events:
        evening = apply(evening, event)
    return evening


def apply(evening: Evening, event: Event) -> Evening:
    """Return the evening after `event`. OutOfPlace, in words, if it cannot happen now."""
    if (evening.opened is None) is not isinstance(event, Opened):
        raise OutOfPlace("an evening begins with its opening, once")
    if evening.stage == "over":
        raise OutOfPlace("the evening is over; nothing happens after its end")
    return replace(evening, n=evening.n + 1, at=event.at, **_changes(evening, event))


def with_votes(evening: Evening, events: Sequence[Voted]) -> Evening:
    """Return the evening after `events`, all of the open poll: what `apply` gives one after the other, at less cost.

    OutOfPlace, in words, if one of them cannot happen now.
    """
    held = evening.open_poll
    if held is None:
        raise OutOfPlace("no poll takes votes now")
    cast = dict(held.votes)
    for event in events:
        person = evening.people.get(event.phone)
        if held.id != event.poll:
            raise OutOfPlace("this poll takes no votes now")
        if person is None or person.removed:
            raise OutOfPlace("this phone has not joined, or was sent out")
        if wrong := why_no_vote(held, event.answer, event.words, event.sure):
            raise OutOfPlace(wrong)
        cast[event.phone] = Vote(event.answer, event.words, event.sure)
    return replace(evening, n=evening.n + len(events), at=events[-1].at,
                   polls=_with_last(evening, replace(held, votes=cast)))


def _changes(evening: Evening, event: Event) -> dict[str, Any]:
    """Return the fields of the evening that `event` changes."""
    match event:
        case Voted():
            return {"polls": with_votes(evening, (event,)).polls}
        case Opened():
            return _opened(event)
        case Joined() | Renamed() | Hid() | Removed():
            return _of_people(evening, event)
        case Stage(stage=stage, t_s=t_s):
            return {**_in_stage(evening, stage, event.at), "t_s": t_s}
        case PollOpened():
            return _poll_opened(evening, event)
        case PollClosed() | Hands() | Shown() | Chose():
            return _of_poll(evening, event)
        case Struck():
            return _struck(evening, event)
        case Entered(t_s=t_s):
            return {"entered": (*evening.entered, event), "t_s": t_s}
        case Moved(t_s=t_s):
            return {"t_s": t_s}
        case Forked():
            return _forked(evening, event)
        case ForkEnded(t_s=t_s):
            return _fork_ended(evening, t_s)
        case Planned(plan=plan):
            return {"plan": plan}
        case Ended():
            return _ended(evening, event)


def may_follow(evening: Evening, stage: StageName) -> bool:
    """Say whether `stage` can come now."""
    return stage in STAGES_AFTER[evening.stage]


def _in_stage(evening: Evening, stage: StageName, at: str) -> dict[str, Any]:
    if not may_follow(evening, stage):
        raise OutOfPlace(f"{CALLED[stage]} cannot come now: {CALLED[evening.stage]}")
    since = evening.since_at if stage in evening.since_at else {**evening.since_at, stage: at}
    return {"stage": stage, "since_at": since}


def _opened(event: Opened) -> dict[str, Any]:
    if event.edition != EDITION:
        raise OutOfPlace(f"the record is of edition {event.edition}, this drill reads edition {EDITION}")
    return {"opened": event, "plan": event.plan, "since_at": {"lobby": event.at}}


def _ended(evening: Evening, event: Ended) -> dict[str, Any]:
    return _in_stage(evening, "over", event.at)


def _of_people(evening: Evening, event: Joined | Renamed | Hid | Removed) -> dict[str, Any]:
    person = evening.people.get(event.phone)
    if isinstance(event, Joined):
        if person is not None:
            raise OutOfPlace("this phone has joined already")
        person = Person(event.phone, event.name, event.table, len(evening.people) + 1)
    elif person is None:
        raise OutOfPlace("this phone has not joined")
    elif person.removed:
        raise OutOfPlace("this phone was sent out")
    elif isinstance(event, Renamed):
        person = replace(person, name=event.name, table=event.table)
    elif isinstance(event, Hid):
        person = replace(person, hidden=event.hidden)
    else:
        person = replace(person, removed=True)
    return {"people": {**evening.people, person.phone: person}}


def _poll_opened(evening: Evening, event: PollOpened) -> dict[str, Any]:
    if evening.held(event.poll) is not None:
        raise OutOfPlace("this poll has been held; each has an id of its own")
    keys = [each.key for each in event.answers]
    if len(set(keys)) != len(keys) or bool(keys) is (event.kind == "what do you say"):
        raise OutOfPlace("a poll has answers with keys of their own, or asks for words")
    held = Held(event.poll, event.kind, event.question, event.answers, event.t_s, event.since, event.name, event.sure,
                event.discuss, event.at)
    return {**_in_stage(evening, "poll", event.at), "polls": (*evening.polls, held), "t_s": event.t_s}


def why_no_vote(held: Held, answer: str, words: str, sure: int | None) -> str:
    """Return why this is no vote in that poll, as a sentence; "" if it is one."""
    if held.kind == "what do you say":
        if answer or not words:
            return "Type what you would say."
    elif held.answer(answer) is None:
        return "Choose one of the answers."
    elif words:
        return "This poll wants no words."
    if sure is not None and not (held.sure and type(sure) is int and 1 <= sure <= SUREST):
        return f"How sure you are goes from 1 to {SUREST}." if held.sure else "This poll does not ask how sure you are."
    return ""


def _of_poll(evening: Evening, event: PollClosed | Hands | Shown | Chose) -> dict[str, Any]:
    """Return what happens to the last poll."""
    held = evening.poll
    if held is None or held.id != event.poll or evening.stage not in ("poll", "talk"):
        raise OutOfPlace("this is not the poll that is open or talked about")
    if held.closed is isinstance(event, PollClosed) and not isinstance(event, Hands):
        raise OutOfPlace("the poll is closed" if held.closed else "the poll is still open")
    match event:
        case PollClosed():
            closed = replace(held, closed=True, votes=votes(evening, held), of=len(evening.present))
            return {**_in_stage(evening, "talk", event.at), "polls": _with_last(evening, closed)}
        case Hands(counts=given):
            if not set(given) <= {each.key for each in held.answers} or any(each < 0 for each in given.values()):
                raise OutOfPlace("hands are counted by answer, from 0 up")
            return {"polls": _with_last(evening, replace(held, hands=dict(given)))}
        case Shown():
            return {"polls": _with_last(evening, replace(held, shown=True))}
        case Chose(lines=lines, as_read=as_read):
            if held.chosen is not None:
                raise OutOfPlace("a way has been chosen after this poll")
            entered = tuple(Entered(line, held.t_s, as_read, at=event.at) for line in lines)
            return {"polls": _with_last(evening, replace(held, chosen=event)), "entered": (*evening.entered, *entered)}


def _struck(evening: Evening, event: Struck) -> dict[str, Any]:
    held = evening.held(event.poll)
    if held is None or event.phone not in held.votes:
        raise OutOfPlace("this phone has said nothing in such a poll")
    struck = replace(held, struck=held.struck | {event.phone})
    return {"polls": tuple(struck if each is held else each for each in evening.polls)}


def _forked(evening: Evening, event: Forked) -> dict[str, Any]:
    chosen = None if evening.poll is None else evening.poll.chosen
    if evening.forked or chosen is None or chosen.way != "fork":
        raise OutOfPlace("the flight parts once, after a poll for which that was chosen")
    return {"forks": (*evening.forks, event), "forked": True}


def _fork_ended(evening: Evening, t_s: float) -> dict[str, Any]:
    if not evening.forked:
        raise OutOfPlace("there is no second flight")
    return {"forked": False, "fork_ends": (*evening.fork_ends, t_s)}


def _with_last(evening: Evening, held: Held) -> tuple[Held, ...]:
    return (*evening.polls[:-1], held)
