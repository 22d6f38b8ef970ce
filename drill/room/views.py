"""What each may know: a phone, the wall, the facilitator's desk. Pure; everything can be written as JSON.

A phone learns nothing that the wall has not shown: no counts, nobody else's answer, nothing true, no later poll.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from drill.flight.readings import clock_words
from drill.grading.beside import Beside
from drill.grading.segments import Segment
from drill.room.calls_shown import called, last_words
from drill.room.evening import SUREST, Evening, Held, Person, Vote, counts, leaders, votes
from drill.room.events import StageName
from drill.room.polls import RoomPoll
from drill.room.standing import Standing
from drill.seat.teller import Line

SAY: Mapping[StageName, str] = MappingProxyType({
    "lobby": "You are in. It begins soon.",
    "brief": "Look at the wall: the briefing.",
    "fly": "Look at the wall: the flight.",
    "poll": "Look at the wall, then answer.",
    "talk": "The poll is closed. Look at the wall.",
    "debrief": "Look at the wall: the debrief.",
    "over": "That was the evening. Thank you.",
})
JOIN = "Type your name to join."
SENT_OUT = "You were taken off the list. Ask the person in front."

RADIO_LINES = 8
LOG_LINES = 12

MOST_ACTS = 24
HOW_IT_FLEW = frozenset({"Ending", "Most bank", "Most airspeed", "Lowest", "Fastest descent", "Banked over 30"})
"""Rows of two flights side by side that say nothing of what has failed."""

Marks = Mapping[str, tuple[tuple[Segment, ...], tuple[str, ...]]]
"""Calls by their words: the words in stretches, and what they lack."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One airplane as it is seen: its panel as shown, and what was told."""

    t_s: float
    shown: Mapping[str, float]
    covered: tuple[str, ...]
    lines: tuple[Line, ...]
    outcome: str = ""                  # once the flight has ended


@dataclass(frozen=True, slots=True)
class Around:
    """What the wall shows beside the evening itself."""

    board_title: str
    briefing: tuple[str, ...]
    flight: Seen
    pace: int                          # seconds of flight a second; 0: time stands
    standing: Standing
    fork: Seen | None = None           # the flight by the grade sheet, while it goes on
    beside: Beside | None = None       # what came of the last fork
    by_sheet: bool = False             # the grade sheet flies the room's airplane
    face: str | None = None
    marks: Marks = field(default_factory=dict)


def phone_view(evening: Evening, phone: str) -> dict[str, Any]:
    """Return what this phone may know now."""
    person = evening.people.get(phone)
    view: dict[str, Any] = {
        "stage": evening.stage, "number": evening.number, "you": None, "poll": None, "removed": False, "say": JOIN}
    if person is None:
        return view
    if person.removed:
        return {**view, "removed": True, "say": SENT_OUT}
    held = evening.open_poll
    return {
        **view,
        "you": {"name": person.name, "table": person.table, "hidden": person.hidden},
        "say": SAY[evening.stage],
        "poll": None if held is None else {**_asked(held), "yours": _yours(held, phone)},
    }


def _yours(held: Held, phone: str) -> dict[str, Any] | None:
    vote = held.votes.get(phone)
    return None if vote is None else {"answer": vote.answer, "words": vote.words, "sure": vote.sure}


def _asked(held: Held) -> dict[str, Any]:
    return {"id": held.id, "kind": held.kind, "question": held.question, "sure": held.sure,
            "answers": [{"key": each.key, "says": each.says} for each in held.answers]}


def wall_view(evening: Evening, around: Around) -> dict[str, Any]:
    """Return what the projector shows."""
    held = evening.poll
    before = evening.stage in ("lobby", "brief")
    return {
        "stage": evening.stage,
        "number": evening.number,
        "board_title": around.board_title,
        "briefing": list(around.briefing) if before else [],
        "people": len(evening.present),
        "names": [each.name for each in evening.present if not each.hidden] if evening.stage == "lobby" else [],
        "face": around.face,
        "pace": around.pace,
        "plan": around.standing.plan_words,
        "plan_data": plan_data(around.standing),
        "flight_over": around.flight.outcome,
        **_flown(around.flight),
        "by_sheet": around.by_sheet,
        "fork": None if around.fork is None else _flown(around.fork),
        "beside": None if around.beside is None or (evening.stage == "fly" and not around.flight.outcome)
                  else _beside(around.beside, whole=evening.stage in ("debrief", "over")),
        "poll": None if held is None or evening.stage not in ("poll", "talk")
                else _on_the_wall(evening, held, around.marks),
    }


def plan_data(standing: Standing) -> dict[str, Any]:
    """Return how the evening stands against its plan."""
    return {
        "parts": [{"part": each.part, "minutes": each.minutes, "state": each.state, "spent_s": round(each.spent_s),
                   "left_s": round(each.left_s)} for each in standing.parts],
        "now": standing.now, "late_s": round(standing.late_s), "polls_left": standing.polls_left,
    }


def _flown(seen: Seen) -> dict[str, Any]:
    return {
        "t_s": seen.t_s, "clock": clock_words(seen.t_s), "outcome": seen.outcome, "panel": dict(seen.shown),
        "covered": list(seen.covered), "log": [_line(each) for each in seen.lines[-LOG_LINES:]],
        "radio": [_line(each) for each in seen.lines if each.kind in ("radio", "you", "others")][-RADIO_LINES:],
    }


def _line(line: Line) -> dict[str, Any]:
    return {"t_s": line.t, "clock": clock_words(line.t), "words": line.words, "kind": line.kind}


def _beside(beside: Beside, *, whole: bool) -> dict[str, Any]:
    """Return two flights side by side; before the debrief only how they flew, what was done, and how they ended.

    What is graded names the failures, and the room has not found them yet.
    """
    ended = not all(each.startswith("no ending") for each in beside.endings)
    rows = [each for each in beside.rows if whole or (each.what in HOW_IT_FLEW and (ended or each.what != "Ending"))]
    return {"at_s": beside.at_s, "clock": clock_words(beside.at_s), "names": list(beside.names),
            "rows": [{"what": each.what, "values": list(each.values), "differs": each.differs} for each in rows],
            "acts": [{"clock": clock_words(each.t), "way": each.way, "words": each.words}
                     for each in beside.acts[:MOST_ACTS]]}


def _on_the_wall(evening: Evening, held: Held, marks: Marks) -> dict[str, Any]:
    """Return the poll with how many have voted; what they said only once it is shown."""
    said = held.shown
    return {
        **_asked(held), "open": not held.closed, "shown": said, "way": None if held.chosen is None else held.chosen.way,
        "voted": len(votes(evening, held)), "of": held.of if held.closed else len(evening.present),
        "hands": sum(held.hands.values()) if said else 0,
        "counts": counts(evening, held) if said else None,
        "how_sure": how_sure(evening, held) if said and held.sure else None,
        "discuss": list(held.discuss) if said else [],
        "words": _calls(evening, held, marks) if said and held.kind == "what do you say" else None,
    }


def how_sure(evening: Evening, held: Held) -> dict[str, int]:
    """Return how many are how sure, by "1" (a guess) to "4" (certain)."""
    found = {str(level): 0 for level in range(1, SUREST + 1)}
    for vote in votes(evening, held).values():
        if vote.sure is not None:
            found[str(vote.sure)] += 1
    return found


def _calls(evening: Evening, held: Held, marks: Marks) -> list[dict[str, Any]]:
    """Return the calls that may be shown, marked up where that has been done: `state` heard, not understood or said."""
    found = []
    for phone, words in last_words(evening, held).items():
        segments, missing = marks.get(words, ((Segment(words, "said"),), ()))
        found.append({"from": called(evening.people[phone]), "words": words, "missing": list(missing),
                      "segments": [{"words": each.words, "state": each.state, "labels": list(each.labels)}
                                   for each in segments]})
    return found


def desk_view(evening: Evening, around: Around, polls: tuple[RoomPoll, ...], trouble: str) -> dict[str, Any]:
    """Return what the facilitator sees: all of it, with people, and counts while a poll is open.

    What is true is not here either: the facilitator flies with the room, and the screen may be seen.
    """
    return {
        **wall_view(evening, around),
        "trouble": trouble,
        "clock_says": around.standing.words,
        "everybody": [_person(each) for each in evening.people.values()],
        "held": [_whole(evening, each, last=each is evening.poll) for each in evening.polls],
        "to_come": [{"id": each.id, "name": each.name, "kind": each.kind, "question": each.question, "at_s": each.at_s,
                     "waits": each.when is not None} for each in polls if evening.held(each.id) is None],
        "entered": [{"line": each.line, "t_s": each.t_s, "clock": clock_words(each.t_s)} for each in evening.entered],
        "forks": [{"at_s": each.at_s, "records": list(each.records)} for each in evening.forks],
    }


def _person(person: Person) -> dict[str, Any]:
    return {"phone": person.phone, "name": person.name, "table": person.table, "place": person.place,
            "hidden": person.hidden, "removed": person.removed}


def _whole(evening: Evening, held: Held, *, last: bool) -> dict[str, Any]:
    """Return a poll as the facilitator may see it. Who answered, and what was typed, is told of the `last` one."""
    cast = votes(evening, held)
    return {
        **_asked(held), "name": held.name, "t_s": held.t_s, "clock": clock_words(held.t_s), "open": not held.closed,
        "shown": held.shown, "counts": counts(evening, held), "hands": dict(held.hands),
        "of": held.of if held.closed else len(evening.present),
        "how_sure": how_sure(evening, held), "leaders": [each.key for each in leaders(evening, held)],
        "does": {each.key: each.does for each in held.answers}, "discuss": list(held.discuss),
        "answered": len(cast), "answered_by": list(cast) if last else [],
        "typed": [_typed(evening, held, phone, vote) for phone, vote in cast.items() if vote.words] if last else [],
        "way": None if held.chosen is None else held.chosen.way,
        "lines": [] if held.chosen is None else list(held.chosen.lines),
    }


def _typed(evening: Evening, held: Held, phone: str, vote: Vote) -> dict[str, Any]:
    person = evening.people[phone]
    return {"phone": phone, "name": person.name, "table": person.table, "words": vote.words,
            "struck": phone in held.struck or person.removed}
