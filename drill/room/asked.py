"""A poll with what came of it, in the form that results are made from. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from drill.language import read
from drill.language.meaning import Action, Context
from drill.room.calls_shown import last_words
from drill.room.evening import Evening, Held, Person, Vote, votes
from drill.room.events import Answer, Kind, Way
from drill.room.rightness import named


def actions_of(answer: Answer, context: Context) -> tuple[Action, ...]:
    """Return what an answer does, as it is read; nothing for one that does nothing."""
    return tuple(read(answer.does, context)) if answer.does else ()


def names_of(answer: Answer, context: Context) -> frozenset[str] | None:
    """Return the codes of the equipment that an answer says has failed; None if it says nothing of the kind."""
    return named(actions_of(answer, context) or read(f"I think the {answer.says} has failed", context))


@dataclass(frozen=True, slots=True)
class Ballot:
    """What one phone said in a poll: the key of an answer or words, and how sure (1 to 4; None: not said).

    The words are those that the wall shows: one call a table, none that was struck or is of somebody who is hidden.
    """

    phone: str
    table: str = ""
    answer: str = ""
    words: str = ""
    sure: int | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """A poll that was opened at `t_s` (s of flight), with what was said in it until it was closed.

    `hands` are counts of raised hands by the key of an answer; a room without phones has only those. `way` is how the
    room went on after it, and `lines` what was then entered.
    """

    id: str
    kind: Kind
    question: str
    t_s: float
    answers: tuple[Answer, ...] = ()
    ballots: tuple[Ballot, ...] = ()
    hands: Mapping[str, int] = field(default_factory=dict)
    way: Way | None = None
    lines: tuple[str, ...] = ()

    def counts(self) -> dict[str, int]:
        """Return how many gave each answer, by its key, in the order of the answers: phones and hands together."""
        counts = {each.key: self.hands.get(each.key, 0) for each in self.answers}
        for ballot in self.ballots:
            if ballot.answer in counts:
                counts[ballot.answer] += 1
        return counts

    def level(self, ballot: Ballot) -> int | None:
        """Return how sure (1 to 4) a ballot is; in a poll that asks nothing else it is the place of its answer."""
        if self.kind != "how sure" or ballot.sure is not None:
            return ballot.sure
        return next((place for place, each in enumerate(self.answers, 1) if each.key == ballot.answer), None)


def asked_in(evening: Evening) -> tuple[Asked, ...]:
    """Return the polls of an evening that were closed, in the order of opening."""
    return tuple(_asked(evening, held) for held in evening.polls if held.closed)


def _asked(evening: Evening, held: Held) -> Asked:
    spoken = last_words(evening, held)
    ballots = tuple(_ballot(evening.people[phone], vote, spoken.get(phone, ""))
                    for phone, vote in votes(evening, held).items())
    chosen = held.chosen
    return Asked(held.id, held.kind, held.question, held.t_s, held.answers, ballots, held.hands,
                 None if chosen is None else chosen.way, () if chosen is None else chosen.lines)


def _ballot(person: Person, vote: Vote, words: str) -> Ballot:
    return Ballot(person.phone, person.table, vote.answer, words, vote.sure)
