"""What is wrong with a document: where, what, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

Subject: TypeAlias = tuple[Literal["phase", "ending", "failure", "item"], str]
"""A part of a scenario that something is said of: its kind and its name."""


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A position in a file; line and column count from 1."""

    file: str = ""
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One fault in a document. `rule` names its kind in words, e.g. unknown-key."""

    place: Place
    rule: str
    wrong: str            # what is wrong
    allowed: str          # nearest known word or allowed values; may be empty
    remedy: str           # what to do
    level: Literal["error", "warning"] = "error"
    about: frozenset[Subject] = field(default=frozenset(), compare=False)  # what others may merely follow from

    def __str__(self) -> str:
        said = [part for part in (self.wrong, self.allowed, self.remedy) if part]
        return f"{self.place}: {'warning: ' if self.level == 'warning' else ''}{'; '.join(said)}"


MOST_ALIKE = 3
"""So many faults of one wording stand in lines of their own; of more only the first does."""
_MOST_LINES_NAMED = 5


def told(problems: Sequence[Problem]) -> list[str]:
    """Return `problems` a line each, in their order; one that is repeated often once, with how many are like it."""
    return [f"{each}; {more}" if more else str(each) for each, more in gathered(problems)]


def gathered(problems: Sequence[Problem]) -> list[tuple[Problem, str]]:
    """Return `problems` in their order, each with "" or, for the first of very many alike, how many more there are."""
    alike: dict[tuple[str, ...], list[Problem]] = {}
    for each in problems:
        alike.setdefault((each.place.file, each.rule, each.wrong, each.allowed, each.remedy), []).append(each)
    found = []
    for each in problems:
        same = alike[each.place.file, each.rule, each.wrong, each.allowed, each.remedy]
        if len(same) <= MOST_ALIKE:
            found.append((each, ""))
        elif each is same[0]:
            found.append((each, f"and {len(same) - 1} more like it, in {_lines_of(same[1:])}"))
    return found


def _lines_of(problems: Sequence[Problem]) -> str:
    numbers = sorted({each.place.line for each in problems})
    if len(numbers) == 1:
        return f"line {numbers[0]}"
    if len(numbers) <= _MOST_LINES_NAMED:
        return f"lines {', '.join(map(str, numbers[:-1]))} and {numbers[-1]}"
    return f"lines {', '.join(map(str, numbers[: _MOST_LINES_NAMED - 1]))} ... {numbers[-1]}"


RULES: Mapping[str, str] = {
    "act-incomplete": "an act does not say what it is done to",
    "after-the-time-limit": "a failure, an event, a line or a poll that is due when the flight is over (a warning)",
    "alias": "an anchor or alias of YAML, which a scenario may not have",
    "answer-does-nothing": "the `does` of a poll's answer is not read as anything that can be done",
    "at-odds": "a value that another one, or the airplane, does not allow",
    "comparison-sign": "a comparison with a sign other than <, <=, > and >=",
    "control-character": "a character that is no text",
    "duplicate-item": "two items of the grade sheet have one name",
    "duplicate-key": "a key stands twice in one place",
    "duplicate-poll": "two polls have one name, or two answers of one poll say the same",
    "empty-document": "there is nothing in the file",
    "empty-value": "a key or a list without a value",
    "ending-never-reached": "an ending that no branch uses (a warning)",
    "example-does-not-do-it": "an item's example is not read as what its `do` asks for",
    "failure-never-begins": "a failure without `at` that nothing brings (a warning)",
    "items-in-a-circle": "items of the grade sheet wait for one another",
    "key-not-text": "a list or mapping where a key is wanted",
    "missing-key": "a key that has to be there is not",
    "no-ending": "no branch that can be reached ends the flight",
    "not-a-quantity": "not a number with a unit",
    "not-utf-8": "the file is not UTF-8 text",
    "object-tag": "a tag of YAML, which a scenario may not have",
    "one-of": "none, or more than one, of keys that exclude each other",
    "out-of-range": "a number that cannot be meant",
    "phase-leads-nowhere": "a phase without branches",
    "phase-never-reached": "a phase to which no branch goes (a warning)",
    "several-documents": "more than one YAML document in the file",
    "tab": "a line indented with a tab",
    "taken": "a local word that pilots use for something else",
    "time-with-colon": "a length of time written like a clock",
    "too-deep": "nested too deeply",
    "too-large": "the file is too large",
    "too-long": "a text is too long",
    "too-many": "more local words than can be listened for",
    "too-many-parts": "the document has too many parts",
    "unit-missing": "a number without its unit",
    "unknown-act": "an act that no verb is known for",
    "unknown-airplane": "an airplane without a document",
    "unknown-assistance": "nothing that ATC can be asked for",
    "unknown-checklist": "not a checklist of the airplane",
    "unknown-choice": "a word that is not among the few allowed",
    "unknown-code": "not a transponder code",
    "unknown-condition": "not a condition",
    "unknown-edition": "a document of another edition",
    "unknown-element": "not an element of a call",
    "unknown-ending": "an ending that the scenario does not have",
    "unknown-equipment": "not a name of equipment",
    "unknown-failure": "a failure that the scenario does not have",
    "unknown-field": "a field that the scenario does not have",
    "unknown-flag": "a flag that nothing raises",
    "unknown-how": "a part does not fail in this way",
    "unknown-instrument": "not an instrument or reference",
    "unknown-item": "an item that the grade sheet does not have",
    "unknown-key": "a key that has no meaning here",
    "unknown-name": "nothing that a local word can stand for",
    "unknown-object": "not what this act can be done to",
    "unknown-part": "a part that cannot fail",
    "unknown-phase": "a phase that the scenario does not have",
    "unknown-placeholder": "a brace in words on the radio that nothing fills in",
    "unknown-plan": "not a plan",
    "unknown-quantity": "not a quantity that can be compared",
    "unknown-switch": "not a switch of the airplane",
    "unknown-urgency": "not a degree of urgency",
    "unknown-value": "a named value that the scenario does not give",
    "unreadable-file": "the file cannot be opened",
    "unreadable-yaml": "not YAML",
    "wrong-form": "a text that is not of the form wanted",
    "wrong-kind": "a text, list or mapping where another of these is wanted",
    "wrong-unit": "a number with a unit other than those wanted",
}
"""Every rule, and what breaks it."""


class DocumentError(Exception):
    """A document cannot be used; `problems` has every fault found, in the author's order."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(told(self.problems)))
