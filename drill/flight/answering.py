"""What is being made of one call: what of it is left to be answered, what is said to it so far, what is asked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

from drill.flight.controller_state import ControllerState, Radar, Received
from drill.flight.replying import Question
from drill.language.meaning import Call
from drill.scenario.model import Scenario


@dataclass(frozen=True, slots=True)
class Answering:
    """The controller at work on a call. `closed`: nothing more is to be said to it."""

    scenario: Scenario
    state: ControllerState
    received: Received
    call: Call                            # what is left of it to be answered
    radar: Radar
    t_s: float
    kinds: frozenset[str]                 # of the replies in it
    said: tuple[str, ...] = ()
    question: Question | None = None
    closed: bool = False

    def saying(self, words: str | list[str], state: ControllerState | None = None, *, call: Call | None = None,
               question: Question | None = None, closed: bool = False) -> Answering:
        """Return this with more said ("" for nothing), and the rest as it is from then on; a question stays."""
        more = (words,) if isinstance(words, str) else tuple(words)
        return replace(
            self, state=state or self.state, call=call or self.call, closed=self.closed or closed,
            said=tuple(dict.fromkeys((*self.said, *(each for each in more if each)))),
            question=self.question or question)


Step: TypeAlias = Callable[[Answering], Answering]
