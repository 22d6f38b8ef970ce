"""What a scenario says of the polls of a room that flies it together: checked, frozen data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from drill.clean import Clean
from drill.scenario.conditions import Condition
from drill.scenario.problems import Place

AsksFor: TypeAlias = Literal["what is wrong", "what next", "what do you say", "how sure"]
POLLS_ASK: tuple[AsksFor, ...] = get_args(AsksFor)
"""What a poll can ask for: the failed part, the next act, a call to ATC in words, how sure people are."""
WITH_ANSWERS: tuple[AsksFor, ...] = ("what is wrong", "what next")
"""Those that are answered by one of a few answers."""


@dataclass(frozen=True, slots=True)
class PollAnswer:
    """One of the answers, and the line that does it in the flight; "" for one that nothing is done for."""

    says: Clean
    does: Clean
    place: Place


@dataclass(frozen=True, slots=True)
class Poll:
    """A question to the room. The flight stops for it at the first second at which `at_s` is past and `when` holds."""

    name: Clean
    asks: AsksFor
    question: Clean                       # "": the usual one
    at_s: float | None                    # flight time; None: from the beginning
    when: Condition | None                # None: always
    answers: tuple[PollAnswer, ...]       # none: the usual ones, where the poll has answers at all
    discuss: tuple[Clean, ...]
    place: Place
