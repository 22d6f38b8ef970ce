"""The polls of a scenario, ready to be opened: the author's, or the usual ones. Pure.

Nothing here knows the seed: what is asked, and when, is the same whether or not something fails.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from string import ascii_lowercase

from drill.room.events import Answer, Kind
from drill.room.usual_polls import NOTHING, QUESTIONS, SURE_WORDS, Asking, next_steps, suspects, usual_polls
from drill.scenario.conditions import Condition, evaluate
from drill.scenario.model import Scenario
from drill.scenario.moment import Observation, StoryState
from drill.scenario.poll import Poll
from drill.scenario.truth import PlainTruth


@dataclass(frozen=True, slots=True)
class RoomPoll:
    """A poll that can be opened. It is due once flight time `at_s` (s) is past and `when` holds; None: at any time."""

    id: str                           # "p1" ... in the order of the scenario
    name: str
    kind: Kind
    question: str
    answers: tuple[Answer, ...] = ()
    discuss: tuple[str, ...] = ()
    at_s: float | None = None
    when: Condition | None = None

    @property
    def sure(self) -> bool:
        """Whether people are asked how sure they are as well."""
        return asks_how_sure(self.kind)

    def due(self, story: StoryState, seen: Observation) -> bool:
        """Say whether its moment has come."""
        if self.at_s is not None and seen.t_s < self.at_s:
            return False
        return self.when is None or bool(evaluate(self.when, PlainTruth(story, seen)))


def asks_how_sure(kind: Kind) -> bool:
    """Say whether a poll of this kind asks, beside its answers, how sure people are."""
    return kind == "what is wrong"


def polls_of(scenario: Scenario) -> tuple[RoomPoll, ...]:
    """Return the polls of `scenario` in the order in which they come: the author's, or else the usual ones."""
    written = [_of(scenario, poll) for poll in scenario.polls] or usual_polls(scenario)
    return tuple(RoomPoll(f"p{place}", each.name, each.kind, each.question, _keyed(each.kind, each.answers),
                          each.discuss, each.at_s, each.when) for place, each in enumerate(written, 1))


OWN = "o"


def own_id(number: int) -> str:
    """Return the id of the facilitator's own question of this number."""
    return f"{OWN}{number}"


def is_own(poll: str) -> bool:
    """Say whether the poll with this id is an own question of the facilitator's, and not one of the scenario's."""
    return poll.startswith(OWN)


def own_answers(kind: Kind, says: Sequence[str], does: Sequence[str]) -> tuple[Answer, ...]:
    """Return the answers of a facilitator's own question: `says` as typed, each with what it does, if given."""
    pairs = [(each, does[place] if place < len(does) else "") for place, each in enumerate(says)]
    return _keyed(kind, pairs)


def _of(scenario: Scenario, poll: Poll) -> Asking:
    answers = tuple((str(each.says), str(each.does)) for each in poll.answers)
    if not answers:
        answers = suspects(scenario) if poll.asks == "what is wrong" else next_steps(scenario)
    question = poll.question or QUESTIONS[poll.asks]
    return Asking(poll.name, poll.asks, question, answers, poll.discuss, poll.at_s, poll.when)


def _keyed(kind: Kind, answers: Iterable[tuple[str, str]]) -> tuple[Answer, ...]:
    """Return the answers under their keys; that nothing is wrong can always be said."""
    if kind == "what do you say":
        return ()
    if kind == "how sure":
        return tuple(Answer(str(level), words) for level, words in SURE_WORDS.items())
    given = [(says, does) for says, does in answers if says.casefold() != NOTHING[0].casefold()]
    if kind == "what is wrong":
        given.append(NOTHING)
    return tuple(Answer(key, says, does) for key, (says, does) in zip(ascii_lowercase, given, strict=False))
