"""What happens in an evening: frozen, flat, few. The record holds nothing else, and the evening is what they come to.

A line of the record is `{"n": 12, "at": "2026-11-26T19:04:11.123+00:00", "what": "voted", ...}`: `n` counts from 1
without a gap, `at` is the time on the wall (ISO 8601, UTC), `what` the kind. `t_s` is flight time in seconds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal, TypeAlias, get_args

from pydantic import Field, TypeAdapter, ValidationError

from drill.room.plan import Plan

EDITION = 1
"""Of the record of an evening."""

StageName: TypeAlias = Literal["lobby", "brief", "fly", "poll", "talk", "debrief", "over"]
STAGES: tuple[StageName, ...] = get_args(StageName)
Kind: TypeAlias = Literal["what is wrong", "what next", "what do you say", "how sure"]
KINDS: tuple[Kind, ...] = get_args(Kind)
Way: TypeAlias = Literal["majority", "sheet", "fork", "own"]
WAYS: tuple[Way, ...] = get_args(Way)
By: TypeAlias = Literal["phone", "facilitator"]


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer that can be given: its key ("a", "b" ...), what it says, and the line that does it, if there is one.

    `does` is not for phones before the poll is over.
    """

    key: str
    says: str
    does: str = ""


@dataclass(frozen=True, slots=True)
class Happened:
    """What every event has: when it happened, on the wall (ISO 8601, UTC)."""

    at: str = field(default="", kw_only=True)


@dataclass(frozen=True, slots=True)
class Opened(Happened):
    """The evening begins: its number (what people type), the scenario and its airplane as they are, seed, plan."""

    number: str
    scenario: str                     # its name
    text: str                         # the whole document
    airplane: str
    airplane_text: str
    seed: int
    plan: Plan
    flight: str                       # file name of the flight's record, beside this one
    edition: int = EDITION
    what: Literal["opened"] = "opened"


@dataclass(frozen=True, slots=True)
class Joined(Happened):
    """A phone has joined under a name; `table` is "" for none."""

    phone: str
    name: str
    table: str
    what: Literal["joined"] = "joined"


@dataclass(frozen=True, slots=True)
class Renamed(Happened):
    """Somebody has another name or table."""

    phone: str
    name: str
    table: str
    by: By
    what: Literal["renamed"] = "renamed"


@dataclass(frozen=True, slots=True)
class Hid(Happened):
    """A name and what it types are kept from the wall, or are no longer. Its votes count all the same."""

    phone: str
    hidden: bool
    what: Literal["hid"] = "hid"


@dataclass(frozen=True, slots=True)
class Removed(Happened):
    """A phone is sent out: its vote in an open poll no longer counts, and it may not vote. Closed polls stay."""

    phone: str
    what: Literal["removed"] = "removed"


@dataclass(frozen=True, slots=True)
class Stage(Happened):
    """Briefing, flight or debrief begins, or the flight goes on."""

    stage: Literal["brief", "fly", "debrief"]
    t_s: float
    what: Literal["stage"] = "stage"


@dataclass(frozen=True, slots=True)
class PollOpened(Happened):
    """A poll is open. `since`: flight time (s) at which the one before was opened, 0 for the first.

    `name` and `discuss` are the facilitator's; `sure` says whether it asks how sure people are as well.
    """

    poll: str                         # "p1" ... of the scenario, "o1" ... typed by the facilitator
    kind: Kind
    question: str
    answers: tuple[Answer, ...]       # none for `what do you say`
    t_s: float
    since: float
    name: str = ""
    sure: bool = False
    discuss: tuple[str, ...] = ()
    what: Literal["poll opened"] = "poll opened"


@dataclass(frozen=True, slots=True)
class Voted(Happened):
    """One phone's vote; a later one of the same phone replaces it. `sure`: 1 a guess ... 4 certain."""

    poll: str
    phone: str
    answer: str                       # an answer's key; "" where words are asked for
    words: str = ""
    sure: int | None = None
    what: Literal["voted"] = "voted"


@dataclass(frozen=True, slots=True)
class Hands(Happened):
    """Raised hands, counted by the facilitator: so many by answer key. A later count replaces it."""

    poll: str
    counts: Mapping[str, int]
    what: Literal["hands"] = "hands"


@dataclass(frozen=True, slots=True)
class PollClosed(Happened):
    """No vote is taken any more."""

    poll: str
    what: Literal["poll closed"] = "poll closed"


@dataclass(frozen=True, slots=True)
class Shown(Happened):
    """The wall shows what came of the poll."""

    poll: str
    what: Literal["shown"] = "shown"


@dataclass(frozen=True, slots=True)
class Chose(Happened):
    """The way that the room goes on: `lines` are given to the room's flight at the moment of the poll.

    `as_read`: they are what an answer does, and not what somebody types.
    """

    poll: str
    way: Way
    lines: tuple[str, ...]
    as_read: bool = False
    what: Literal["chose"] = "chose"


@dataclass(frozen=True, slots=True)
class Entered(Happened):
    """A line was given to the room's flight, at flight time `t_s`.

    `as_read`: what it reads to is done; ATC hears none of it as an answer, as it might of what a pilot types then.
    """

    line: str
    t_s: float
    as_read: bool = False
    what: Literal["entered"] = "entered"


@dataclass(frozen=True, slots=True)
class Moved(Happened):
    """The flight stands at `t_s`; its own record knows the rest."""

    t_s: float
    what: Literal["moved"] = "moved"


@dataclass(frozen=True, slots=True)
class Forked(Happened):
    """The flight has parted at `at_s`: the file names of its records, the room's first, then the grade sheet's."""

    at_s: float
    records: tuple[str, ...]
    what: Literal["forked"] = "forked"


@dataclass(frozen=True, slots=True)
class ForkEnded(Happened):
    """The flight by the grade sheet goes no further; the room's goes on alone."""

    t_s: float
    what: Literal["fork ended"] = "fork ended"


@dataclass(frozen=True, slots=True)
class Struck(Happened):
    """The words that a phone typed in a poll are not shown."""

    poll: str
    phone: str
    what: Literal["struck"] = "struck"


@dataclass(frozen=True, slots=True)
class Planned(Happened):
    """The plan of the evening is another one from now on."""

    plan: Plan
    what: Literal["planned"] = "planned"


@dataclass(frozen=True, slots=True)
class Ended(Happened):
    """The evening is over."""

    what: Literal["ended"] = "ended"


Event: TypeAlias = (
    Opened | Joined | Renamed | Hid | Removed | Stage | PollOpened | Voted | Hands | PollClosed | Shown | Chose
    | Entered | Moved | Forked | ForkEnded | Struck | Planned | Ended
)
_EVENT: TypeAdapter[Event] = TypeAdapter(Annotated[Event, Field(discriminator="what")])


def data_of(event: Event, n: int) -> dict[str, Any]:
    """Return `event` as the JSON data of the record's line `n`."""
    if isinstance(event, Voted):     # they come in masses
        return {"n": n, "at": event.at, "what": event.what, "poll": event.poll, "phone": event.phone,
                "answer": event.answer, "words": event.words, "sure": event.sure}
    data: dict[str, Any] = _EVENT.dump_python(event, mode="json")
    return {"n": n, "at": data.pop("at"), "what": data.pop("what"), **data}


def event_from(data: Mapping[str, Any]) -> Event:
    """Return the event of a line of the record. ValueError in words if it is none."""
    try:
        return _EVENT.validate_python({key: value for key, value in data.items() if key != "n"})
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        where = ".".join(str(each) for each in first["loc"])
        raise ValueError(f"`{where or 'what'}` is not as an event has it ({first['msg']})") from None
