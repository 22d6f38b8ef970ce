"""What kind of thing an item of the grade sheet asks for, as simulated pilots take it up."""

from __future__ import annotations

from collections.abc import Sequence

from drill.grading.subjects import failures_named, patterns
from drill.language.meaning import Action, Told, Transmit
from drill.scenario.acts import ANSWERS
from drill.scenario.model import Item


def forbids(item: Item, actions: Sequence[Action]) -> bool:
    """Say whether acts do what an item forbids."""
    told = Told()
    for action in actions:
        told = told.with_call(action.meaning) if isinstance(action, Transmit) else told
        if any(pattern.matches(action, told) for pattern in patterns(item.never)):
            return True
    return False


def answers(item: Item) -> bool:
    """Say whether an item is done by an answer to ATC."""
    return any(pattern.verb == "answer" for pattern in patterns(item.do))


def reports(item: Item) -> bool:
    """Say whether an item is done by a report."""
    return any(pattern.verb == "report" for pattern in patterns(item.do))


def of_failure(item: Item) -> bool:
    """Say whether an item is done about a failure: by its `when`, or by acts that answer one."""
    named = item.when is not None and any(True for _ in failures_named(item.when))
    return named or any(pattern.verb in ANSWERS for pattern in patterns(item.do))
