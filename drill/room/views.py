"""What each may know: a phone, the wall, the facilitator's desk. Pure; everything can be written as JSON.

A phone learns nothing that the wall has not shown: no counts, nobody else's answer, nothing true, no later poll.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from drill.flight.readings import clock_words
from drill.room.evening import Evening, Held, Person, counts, votes
from drill.room.polls import RoomPoll
from drill.seat.teller import Line

SAY: dict[str, str] = {
    "lobby": "You are in. It begins soon.",
    "brief": "Look at the wall: the briefing.",
    "fly": "Look at the wall: the flight.",
    "poll": "Look at the wall, then answer.",
    "talk": "Look at the wall: what the room said.",
    "debrief": "Look at the wall: the debrief.",
    "over": "That was the evening. Thank you.",
}

RADIO_LINES = 8
LOG_LINES = 12


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen of the flight: the panel as shown, and what was told."""

    t_s: float
    shown: Mapping[str, float]
    covered: tuple[str, ...]
    lines: tuple[Line, ...]
    running: int                       # pace; 0: stopped
    ended: str = ""                    # outcome in words, once it has ended


def phone_view(evening: Evening, phone: str) -> dict[str, Any]:
    """Return what this phone may know now."""
    person = evening.people.get(phone)
    view: dict[str, Any] = {"stage": evening.stage, "number": evening.number, "you": None, "poll": None,
                            "removed": False, "say": "Type your name to join."}
    if person is None:
        return view
    if person.removed:
        return {**view, "removed": True, "say": "You were taken off the list. Ask the person in front."}
    held = evening.open_poll
    return {
        **view,
        "you": {"name": person.name, "table": person.table, "hidden": person.hidden},
        "say": SAY[evening.stage],
        "poll": None if held is None else _asked_of(held, phone),
    }


def _asked_of(held: Held, phone: str) -> dict[str, Any]:
    vote = held.votes.get(phone)
    return {**_asked(held),
            "yours": None if vote is None else {"answer": vote.answer, "words": vote.words, "sure": vote.sure}}


def _asked(held: Held) -> dict[str, Any]:
    return {"id": held.id, "kind": held.kind, "question": held.question, "sure": held.sure,
            "answers": [{"key": each.key, "says": each.says} for each in held.answers]}


def wall_view(evening: Evening, seen: Seen, face: str | None) -> dict[str, Any]:
    """Return what the projector shows."""
    held = evening.poll
    return {
        "stage": evening.stage,
        "number": evening.number,
        "people": len(evening.present),
        "face": face,
        "t_s": seen.t_s,
        "clock": clock_words(seen.t_s),
        "pace": seen.running,
        "flight_over": seen.ended,
        "panel": dict(seen.shown),
        "covered": list(seen.covered),
        "log": [_line(each) for each in seen.lines[-LOG_LINES:]],
        "radio": [_line(each) for each in seen.lines if each.kind in ("radio", "you", "others")][-RADIO_LINES:],
        "poll": None if held is None or evening.stage not in ("poll", "talk") else _on_the_wall(evening, held),
    }


def _line(line: Line) -> dict[str, Any]:
    return {"t_s": line.t, "clock": clock_words(line.t), "words": line.words, "kind": line.kind}


def _on_the_wall(evening: Evening, held: Held) -> dict[str, Any]:
    """Return the poll with how many have voted; what they said only once it is shown."""
    cast = votes(evening, held)
    view = {**_asked(held), "open": not held.closed, "voted": len(cast), "of": len(evening.present),
            "shown": held.shown, "counts": None, "words": None, "how_sure": None, "discuss": [],
            "way": held.chosen and held.chosen.way}
    if held.shown:
        view |= {"counts": counts(evening, held), "discuss": list(held.discuss),
                 "words": _words(evening, held) if held.kind == "what do you say" else None,
                 "how_sure": _how_sure(evening, held) if held.sure else None}
    return view


def _how_sure(evening: Evening, held: Held) -> dict[str, int]:
    found = {"1": 0, "2": 0, "3": 0, "4": 0}
    for vote in votes(evening, held).values():
        if vote.sure is not None:
            found[str(vote.sure)] += 1
    return found


def _words(evening: Evening, held: Held) -> list[dict[str, Any]]:
    """Return what was typed and may be shown: by whom (table, else name), and the words."""
    return [{"phone_place": person.place, "from": person.table or person.name, "words": vote.words}
            for phone, vote in votes(evening, held).items()
            if phone not in held.struck and not (person := evening.people[phone]).hidden]


def desk_view(evening: Evening, seen: Seen, face: str | None, polls: tuple[RoomPoll, ...]) -> dict[str, Any]:
    """Return what the facilitator sees: all of it."""
    return {
        **wall_view(evening, seen, face),
        "everybody": [_person(each) for each in evening.people.values()],
        "held": [_whole(evening, each) for each in evening.polls],
        "to_come": [{"id": each.id, "name": each.name, "kind": each.kind, "question": each.question, "at_s": each.at_s}
                    for each in polls if evening.held(each.id) is None],
        "entered": [{"line": each.line, "t_s": each.t_s} for each in evening.entered],
    }


def _person(person: Person) -> dict[str, Any]:
    return {"phone": person.phone, "name": person.name, "table": person.table, "place": person.place,
            "hidden": person.hidden, "removed": person.removed}


def _whole(evening: Evening, held: Held) -> dict[str, Any]:
    return {
        **_asked(held), "name": held.name, "t_s": held.t_s, "open": not held.closed, "shown": held.shown,
        "counts": counts(evening, held), "hands": dict(held.hands), "how_sure": _how_sure(evening, held),
        "does": {each.key: each.does for each in held.answers}, "discuss": list(held.discuss),
        "votes": [{"phone": phone, "answer": vote.answer, "words": vote.words, "sure": vote.sure,
                   "struck": phone in held.struck} for phone, vote in votes(evening, held).items()],
        "way": held.chosen and held.chosen.way, "lines": list(held.chosen.lines) if held.chosen else [],
    }
