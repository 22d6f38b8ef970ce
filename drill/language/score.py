"""Reading measured against labelled lines (JSON Lines, one labelled line each)."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from drill.language.calls import read_call
from drill.language.labels import CALL_FIELDS, action_labels, call_labels, plain_labels
from drill.language.meaning import Action, Context, Unclear
from drill.language.reader import read

NOBODY = Context(callsign="Larkspur 04W", facility="Orrinfell Approach")
"""The context of a labelled action, which has none of its own."""


class BadLineError(ValueError):
    """A labelled line that cannot be scored; the message names the file, the line and what is wrong."""


@dataclass(frozen=True, slots=True)
class Missed:
    """A line read otherwise than it is labelled: what was expected and what was read, key by key."""

    id: str
    text: str
    expected: dict[str, Any]
    got: dict[str, Any]


@dataclass(slots=True)
class CallScore:
    """How calls were read: counts, and shares from 0 to 1."""

    n: int = 0
    exact: float = 0.0
    fields: dict[str, float] = field(default_factory=dict)
    equipment_f1: float = 0.0
    assistance_f1: float = 0.0
    invented_report_share: float = 0.0
    missed: list[Missed] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        """Return the figures without the missed lines."""
        return {"n": self.n, "exact": self.exact, "fields": self.fields, "equipment_f1": self.equipment_f1,
                "assistance_f1": self.assistance_f1, "invented_report_share": self.invented_report_share}


@dataclass(slots=True)
class ActionScore:
    """How actions were read: counts, and shares from 0 to 1. `asked_back` lines got a question and no
    action but the right one."""

    n: int = 0
    exact: float = 0.0
    wrong: float = 0.0
    asked_back: float = 0.0
    missed: list[Missed] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        """Return the figures without the missed lines."""
        return {"n": self.n, "exact": self.exact, "wrong": self.wrong, "asked_back": self.asked_back}


@dataclass(slots=True)
class _Found:
    """Counts for an F1 score over lists."""

    right: int = 0
    missing: int = 0
    invented: int = 0

    def add(self, expected: Iterable[str], got: Iterable[str]) -> None:
        want, have = set(expected), set(got)
        self.right += len(want & have)
        self.missing += len(want - have)
        self.invented += len(have - want)

    @property
    def f1(self) -> float:
        total = 2 * self.right + self.missing + self.invented
        return 2 * self.right / total if total else 1.0


def labelled_lines(path: Path, check: Callable[[Mapping[str, Any]], str | None]) -> Iterator[dict[str, Any]]:
    """Yield the lines of a corpus. Raises `BadLineError` for a line that is no JSON object or that `check` finds
    fault with."""
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        raise BadLineError(f"{path}: cannot be read: {why}") from None
    for number, line in enumerate(lines, 1):
        if not line.strip():
            continue
        try:
            data = json.loads(line)
        except ValueError as error:
            raise BadLineError(f"{path}:{number}: not JSON: {error}") from None
        except RecursionError:
            raise BadLineError(f"{path}:{number}: lists in lists in lists, too many to read") from None
        fault = "a JSON object is wanted" if not isinstance(data, dict) else check(data)
        if fault:
            raise BadLineError(f"{path}:{number}: {fault}")
        yield data


def _call_fault(data: Mapping[str, Any]) -> str | None:
    context = data.get("context")
    if not isinstance(data.get("call"), str):
        return 'no "call" with the words said'
    if not isinstance(data.get("expect"), dict):
        return 'no "expect" with the labels'
    if not isinstance(context, dict) or not all(isinstance(context.get(key), str)
                                                for key in ("callsign", "facility")):
        return 'no "context" with "callsign" and "facility"'
    if not _are_words(context.get("places", [])):
        return '"places" is no list of names'
    wrong = next((key for key in ("equipment", "assistance") if not _are_words(data["expect"].get(key, []))), None)
    return wrong and f'"{wrong}" is no list of names'


def _are_words(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(each, str) for each in value)


def _action_fault(data: Mapping[str, Any]) -> str | None:
    if not isinstance(data.get("text"), str):
        return 'no "text" with the line typed'
    expect = data.get("expect")
    if not isinstance(expect, dict) or not isinstance(expect.get("action"), str):
        return 'no "expect" with an "action"'
    wrong = next((key for key in ("what", "failed") if isinstance(expect.get(key), list)
                  and not _are_words(expect[key])), None)
    return wrong and f'"{wrong}" is no list of names'


def score_calls(rows: Iterable[Mapping[str, Any]]) -> CallScore:
    """Score the reading of labelled calls. A label that is absent counts as null, false, or an empty list."""
    score = CallScore()
    right = dict.fromkeys(CALL_FIELDS, 0)
    exact = invented = 0
    equipment, assistance = _Found(), _Found()
    for row in rows:
        got = call_labels(read_call(row["call"], context_of(row)))
        expect = {key: row["expect"].get(key, _absent(got[key])) for key in CALL_FIELDS}
        expect = {key: sorted(value) if isinstance(value, list) else value for key, value in expect.items()}
        wrong = [key for key in CALL_FIELDS if got[key] != expect[key]]
        for key in CALL_FIELDS:
            right[key] += key not in wrong
        equipment.add(expect["equipment"], got["equipment"])
        assistance.add(expect["assistance"], got["assistance"])
        invented += bool(set(got["equipment"]) - set(expect["equipment"]))
        exact += not wrong
        score.n += 1
        if wrong:
            score.missed.append(Missed(str(row.get("id", score.n)), row["call"], {key: expect[key] for key in wrong},
                                       {key: got[key] for key in wrong}))
    total = max(score.n, 1)
    score.exact, score.invented_report_share = exact / total, invented / total
    score.fields = {key: right[key] / total for key in CALL_FIELDS}
    score.equipment_f1, score.assistance_f1 = equipment.f1, assistance.f1
    return score


def context_of(row: Mapping[str, Any]) -> Context:
    """Return the context of a labelled call."""
    context = row["context"]
    return Context(context["callsign"], context["facility"], tuple(context.get("places", ())))


def _absent(got: object) -> object:
    return [] if isinstance(got, list) else False if isinstance(got, bool) else None


def score_actions(rows: Iterable[Mapping[str, Any]]) -> ActionScore:
    """Score the reading of labelled actions: the labels of the line's only action against those expected."""
    score = ActionScore()
    exact = asked = 0
    for row in rows:
        actions = read(row["text"], NOBODY)
        got, expect = action_labels(actions), plain_labels(row["expect"])
        score.n += 1
        if got == expect:
            exact += 1
            continue
        asked += _asks(actions, expect)
        score.missed.append(Missed(str(row.get("id", score.n)), row["text"], expect, got))
    total = max(score.n, 1)
    score.exact, score.asked_back = exact / total, asked / total
    score.wrong = (len(score.missed) - asked) / total
    return score


def _asks(actions: Sequence[Action], expect: Mapping[str, Any]) -> bool:
    """Whether a question is asked, and nothing is done beside what was expected."""
    done = [action for action in actions if not isinstance(action, Unclear)]
    return len(done) < len(actions) and (not done or action_labels(done) == expect)


def call_rows(path: Path) -> list[dict[str, Any]]:
    """Return the labelled calls of a corpus file. Raises `BadLineError`."""
    return list(labelled_lines(path, _call_fault))


def action_rows(path: Path) -> list[dict[str, Any]]:
    """Return the labelled actions of a corpus file. Raises `BadLineError`."""
    return list(labelled_lines(path, _action_fault))


def taught_rows(path: Path) -> list[dict[str, Any]]:
    """Return the labelled lines of a file that is learned from: actions, and lines that order several, of which only
    the kinds are labelled (`{"actions": [kind, ...]}`). Raises `BadLineError`."""
    return list(labelled_lines(path, _taught_fault))


def _taught_fault(data: Mapping[str, Any]) -> str | None:
    expect = data.get("expect")
    several = isinstance(expect, dict) and _are_words(expect.get("actions"))
    return None if several and isinstance(data.get("text"), str) else _action_fault(data)
