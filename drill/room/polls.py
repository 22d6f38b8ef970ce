"""The polls of a scenario, ready to be opened. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from drill.room.events import Answer, Kind
from drill.scenario.conditions import Condition
from drill.scenario.model import Scenario

NOTHING = "Nothing is wrong"
"""Always among the answers to what is wrong."""

QUESTIONS: dict[Kind, str] = {
    "what is wrong": "What is wrong, if anything?",
    "what next": "What do you do next?",
    "what do you say": "What do you say to ATC?",
    "how sure": "How sure are you?",
}


@dataclass(frozen=True, slots=True)
class RoomPoll:
    """A poll that can be opened. It is due at flight time `at_s` (s), and once `when` holds; neither: only by hand."""

    id: str
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
        return self.kind == "what is wrong"


def polls_of(scenario: Scenario) -> tuple[RoomPoll, ...]:
    """Return the polls of `scenario` in the order in which they come."""
    first = RoomPoll("p1", "First look", "what is wrong", QUESTIONS["what is wrong"],
                     (Answer("a", "The vacuum pump", "I think the vacuum pump has failed"),
                      Answer("b", "The pitot tube"), Answer("c", NOTHING)), at_s=60.0)
    return (first,) if scenario.phases else ()
