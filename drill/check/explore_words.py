"""For messages: a condition in the words in which an author writes it, and where a name stands."""

from __future__ import annotations

from dataclasses import replace

from drill.scenario.conditions import All, AnyOf, Compare, Condition, Did, Fact, Not
from drill.scenario.model import Scenario
from drill.scenario.names import words_of
from drill.scenario.problems import Place
from drill.scenario.quantities import BY_NAME

MOST = 90


def said(condition: Condition) -> str:
    """Return the condition as it would be written in one line, a long one cut."""
    words = _said(condition)
    return words if len(words) <= MOST else f"{words[:MOST - 1]}…"


def _said(condition: Condition) -> str:
    match condition:
        case All(parts):
            return f"all: [{', '.join(map(_inner, parts))}]"
        case AnyOf(parts):
            return f"any: [{', '.join(map(_inner, parts))}]"
        case Not(Fact("on", of)):
            return f"{words_of(of)} off"
        case Not(part):
            return f"not {_said(part)}"
        case Did():
            return f"did {condition.key}{' here' if condition.here else ''}"
        case Fact("is", of):
            return of
        case Fact("on", of):
            return f"{words_of(of)} on"
        case Fact(kind, of):
            return f"{kind} {of if kind in ('noted', 'failed') else words_of(of)}"
        case Compare():
            unit = BY_NAME[condition.quantity].unit
            amount = f"{condition.value:g}" if unit == "share" else f"{condition.value:g} {unit}"
            return f"{condition.key} {condition.op} {amount}"


def _inner(condition: Condition) -> str:
    words = _said(condition)
    return f"{{{words}}}" if isinstance(condition, All | AnyOf) else words


def named_at(scenario: Scenario, name: str, place: Place) -> Place:
    """Return where the name of a part stands whose content begins at `place`; `place` where that is not found."""
    lines = scenario.text.split("\n")
    for line in range(min(place.line, len(lines)), 0, -1):
        text = lines[line - 1].strip()
        if text.lstrip("{'\"").startswith(name) and text.lstrip("{'\"")[len(name):].lstrip("'\" ").startswith(":"):
            return replace(place, line=line, column=lines[line - 1].index(name) + 1)
    return place
