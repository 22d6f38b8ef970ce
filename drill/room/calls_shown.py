"""The calls that a room has typed, as the wall shows them: one a table, marked up by element. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from drill.grading.marked_calls import heard_in
from drill.grading.segments import Segment, segments
from drill.language.meaning import Context
from drill.room.evening import Evening, Held, Person, votes

MOST_CALLS = 24
"""More are not read from a wall, and marking one takes some hundredths of a second."""


@dataclass(frozen=True, slots=True)
class CallShown:
    """What one table, or one person at none, would say: in stretches of words, and what a report would have besides."""

    by: str
    phone: str
    words: str
    segments: tuple[Segment, ...]
    missing: tuple[str, ...]


def last_words(evening: Evening, held: Held) -> dict[str, str]:
    """Return the words that may be shown, by phone: of each table those that came last, of others each one's own.

    None of anybody who is hidden or was sent out.
    """
    found: dict[str, tuple[str, str]] = {}
    for phone, vote in votes(evening, held).items():
        person = evening.people[phone]
        if vote.words and phone not in held.struck and not person.hidden and not person.removed:
            found[f"table {person.table}" if person.table else f"phone {phone}"] = phone, vote.words
    return dict(list(found.values())[:MOST_CALLS])


def called(person: Person) -> str:
    """Return whose words they are, on the wall."""
    return f"Table {person.table}" if person.table and not person.table.lower().startswith("table") else (
        person.table or person.name)


def marked_up(words: str, context: Context) -> tuple[tuple[Segment, ...], tuple[str, ...]]:
    """Return the words of a call in stretches, and what they lack."""
    call = heard_in(words, context)
    return segments(call), call.not_heard
