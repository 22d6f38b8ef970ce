"""Evenings described in a few lines: who sat where, what was asked when, what each answered, how many hands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from grading.builders import SHEET, flown, item, one, scenario

from drill.clean import Clean
from drill.flight.events import Event as FlightEvent
from drill.grading import grade
from drill.language import read
from drill.room.evening import Evening, fold
from drill.room.events import (
    Answer,
    Chose,
    Event,
    Forked,
    ForkEnded,
    Hands,
    Hid,
    Joined,
    Kind,
    Opened,
    PollClosed,
    PollOpened,
    Removed,
    Stage,
    Struck,
    Voted,
    Way,
)
from drill.room.outcome import Results
from drill.room.partings import partings
from drill.room.plan import Plan
from drill.room.results import results
from drill.scenario import Scenario
from drill.scenario.model import Item

AT = "2026-11-26T19:00:00.000+00:00"
NAME_IT = item("Name the failed part", part="recognize", weight="critical", do=one("diagnose", "vacuum_system"),
               example="I think the vacuum pump has failed", source="DOT/FAA/AM-02/19")
NOT_VFR = item("Do not give up the clearance in cloud", part="decide", never=one("cancel IFR"), source="14 CFR 91.173")
ROOM_SHEET: tuple[Item, ...] = (*SHEET, NAME_IT, NOT_VFR)
"""That of the small flights, with two items more that can be voted on. The pump dies at 2:00."""

WRONG = (("The vacuum pump", "diagnose vacuum pump"), ("The pitot tube", ""), ("The attitude indicator", ""),
         ("Nothing is wrong", "nothing is wrong"))
"""Answers to what is wrong, with what they do: a, b, c, d."""
NEXT = (("Cover the horizon, partial panel", "cover the attitude indicator and go partial panel"),
        ("Cancel IFR", "cancel IFR"), ("Wait", ""))
FULL_CALL = ("Orrinfell Approach, Larkspur 5304W, vacuum failure, partial panel in cloud, request vectors to Wendle")
SHORT_CALL = "Larkspur 5304W, we have a problem with the vacuum"


@dataclass(frozen=True)
class Poll:
    """A poll: `votes` by phone are an answer's key, or (key, how sure), or the words of a call; `hands` by key."""

    at: float
    kind: Kind = "what is wrong"
    votes: Mapping[str, str | tuple[str, int]] = field(default_factory=dict)
    hands: Mapping[str, int] = field(default_factory=dict)
    answers: Sequence[tuple[str, str]] = ()
    way: Way | None = None
    lines: tuple[str, ...] = ()
    struck: tuple[str, ...] = ()
    question: str = "Which part, if any, has failed?"
    own: bool = False


def evening(
    polls: Iterable[Poll], tables: Mapping[str, str] | None = None, removed: Iterable[str] = (),
    hidden: Iterable[str] = (), names: Mapping[str, str] | None = None,
) -> Evening:
    """The evening with these polls; every phone that votes has joined, at the table that `tables` says."""
    polls = list(polls)
    phones = list(dict.fromkeys([*(phone for poll in polls for phone in poll.votes), *(tables or {}), *(names or {})]))
    events: list[Event] = [Opened("417", "suction-lost", "", "larkspur-180", "", 1, Plan(), "flight.jsonl", at=AT)]
    events += [Joined(phone, (names or {}).get(phone, f"Pilot {phone}"), (tables or {}).get(phone, ""), at=AT)
               for phone in phones]
    events.append(Stage("fly", 0.0, at=AT))
    for number, poll in enumerate(polls, 1):
        name = f"{'o' if poll.own else 'p'}{sum(each.own is poll.own for each in polls[:number])}"
        events += _held(name, poll, since=polls[number - 2].at if number > 1 else 0.0)
        if number < len(polls):
            events.append(Stage("fly", poll.at, at=AT))
            events += [ForkEnded(polls[number].at, at=AT)] if poll.way == "fork" else []
    events += [Hid(phone, True, at=AT) for phone in hidden]
    events += [Removed(phone, at=AT) for phone in removed]
    return fold(events)


def _held(name: str, poll: Poll, since: float) -> list[Event]:
    typed = poll.kind == "what do you say"
    given = poll.answers or {"what is wrong": WRONG, "what next": NEXT, "what do you say": (), "how sure": tuple(
        (words, "") for words in ("A guess", "Unsure", "Rather sure", "Certain"))}[poll.kind]
    answers = tuple(Answer("abcdefgh"[place], *each) for place, each in enumerate(given))
    events: list[Event] = [PollOpened(name, poll.kind, poll.question, answers, poll.at, since,
                                      sure=poll.kind == "what is wrong", at=AT)]
    for phone, vote in poll.votes.items():
        key, sure = vote if isinstance(vote, tuple) else (vote, None)
        events.append(Voted(name, phone, "" if typed else key, key if typed else "", sure, at=AT))
    events += [Struck(name, phone, at=AT) for phone in poll.struck]
    events.append(PollClosed(name, at=AT))
    events += [Hands(name, poll.hands, at=AT)] if poll.hands else []
    events += [Chose(name, poll.way, poll.lines, at=AT)] if poll.way else []
    events += [Forked(poll.at, ("flight.jsonl", f"fork-{name[1:]}.jsonl"), at=AT)] if poll.way == "fork" else []
    return events


def flight(*acts: tuple[float, str], seconds: int = 900, fails_at: float | None = 120.0) -> list[FlightEvent]:
    """The events of a small flight in which these lines were done at these times (s)."""
    context = scenario().context
    return flown(*((at, action) for at, line in acts for action in read(line, context)), seconds=seconds,
                 fails_at=fails_at)


def of(held: Evening, events: Sequence[FlightEvent] | None = None, sheet: Sequence[Item] = ROOM_SHEET,
       sheets: Mapping[str, Sequence[FlightEvent]] | None = None, **given: object) -> Results:
    """The results of an evening whose flight went like this, by default with nobody acting.

    `sheets` are the flights by the grade sheet, by their records: `fork-1.jsonl` of the one after the first poll.
    """
    flown_in, room = described(sheet, **given), flight() if events is None else events
    return results(held, flown_in, grade(flown_in, room, 1), partings(held, flown_in, room, sheets or {}))


def described(sheet: Sequence[Item] = ROOM_SHEET, **given: object) -> Scenario:
    """The scenario of the small flights with this sheet."""
    return scenario(sheet, **given)


def votes(**counts: int) -> dict[str, str]:
    """Votes of as many phones as are said by the key of an answer: `votes(a=3, d=2)`."""
    keys = [key for key, count in counts.items() for _ in range(count)]
    return {f"phone{place}": key for place, key in enumerate(keys)}


def hostile(text: str) -> Evening:
    """An evening in which every text that people or files give is `text`."""
    return evening([
        Poll(60.0, votes={"1": ("a", 4)}, answers=((text, text), (text, "")), question=text),
        Poll(300.0, "what do you say", votes={"1": text or "x"}, question=text, way="own", lines=(text,)),
    ], tables={"1": text}, names={"1": Clean(text)})
