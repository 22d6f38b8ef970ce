"""Conditions, effects and times in the words of a reader who does not know how a scenario is written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from drill.scenario.conditions import All, AnyOf, Compare, Condition, Did, Fact, Not
from drill.scenario.model import Effect, Fail, Heal, Note
from drill.scenario.names import words_of
from drill.scenario.quantities import BY_NAME

GLUE = "\u00a0"
"""Stands between a number and its unit, which no end of a line parts."""
_OPERATORS: Mapping[str, str] = {"<": "less than", "<=": "at most", ">": "more than", ">=": "at least"}
_UNITS: Mapping[str, str] = {"deg": "°", "dps": "°/s", "nm": f"{GLUE}NM", "fpm": f"{GLUE}ft/min",
                             "share": " of full scale"}
_TOWARDS: Mapping[str, str] = {"divert": "to", "land": "at", "hold": "at"}
_LETTERS = frozenset({"vfr", "ifr", "vmc", "imc", "ils", "gps"})
MANY = 1_000             # from here on a number has commas
LONG_S = 120.0           # from here on a time is told in minutes
_FACTS: Mapping[str, tuple[str, str]] = {
    "reported": ("ATC has been told that {of} failed", "ATC has not been told that {of} failed"),
    "declared": ("{of} declared", "{of} not declared"),
    "asked for": ("ATC has been asked for {of}", "ATC has not been asked for {of}"),
    "told": ("ATC has been told {of}", "ATC has not been told {of}"),
    "noted": ("flag {of} is up", "flag {of} is not up"),
    "failed": ("failure {of} is active", "failure {of} is not active"),
    "covered": ("{of} is covered", "{of} is not covered"),
    "flying by": ("flying by {of}", "not flying by {of}"),
    "is": ("{of}", "not {of}"),
    "planned": ("the plan is to {of}", "the plan is not to {of}"),
    "on": ("{of} is on", "{of} is off"),
}
"""By the kind of fact: how it is said when it holds, and when it does not."""


def condition_words(condition: Condition) -> str:
    """Return a condition in words, whole."""
    return _said(condition, holds=True)


def _said(condition: Condition, *, holds: bool) -> str:
    match condition:
        case Not(part):
            return _said(part, holds=not holds)
        case All(parts):
            return _joined(parts, "and" if holds else "or", holds=holds)
        case AnyOf(parts):
            return _joined(parts, "or" if holds else "and", holds=holds)
        case Did():
            return f"the pilot has {'' if holds else 'not '}done {_gap(condition)}{_window(condition)}"
        case Fact(kind, of):
            return _FACTS[kind][0 if holds else 1].format(of=_of(kind, of))
        case Compare():
            operator = _OPERATORS[condition.op if holds else _turned(condition.op)]
            return f"{condition.key} {operator} {amount_words(condition.quantity, condition.value)}"


def _turned(operator: str) -> str:
    return {"<": ">=", "<=": ">", ">": "<=", ">=": "<"}[operator]


def _of(kind: str, of: str) -> str:
    if kind in ("noted", "failed"):
        return f"“{of}”"
    if kind == "declared" and of == "anything":
        return "an emergency of any kind"
    words = words_of(of)
    if kind == "planned":
        verb, _, place = words.partition(" ")
        words = f"{verb} {_TOWARDS[verb]} {place}" if verb in _TOWARDS and place else words
    return " ".join(each.upper() if each in _LETTERS else each for each in words.split(" "))


def _joined(parts: Sequence[Condition], word: str, *, holds: bool) -> str:
    groups = [(alike, list(group)) for alike, group in groupby(parts, key=lambda part: _alike(part, holds=holds))]
    said: list[str] = []
    for alike, group in groups:
        if alike is None or len(group) == 1:
            said += [_inner(part, holds=holds) for part in group]
            continue
        words = f"{alike[0]}{listed([_gap(part) for part in group], word)}{alike[1]}"
        said.append(f"({words})" if len(groups) > 1 else words)
    return listed(said, word)


def _alike(part: Condition, *, holds: bool) -> tuple[str, str] | None:
    """Return what stands before and after the name in a fact or act, so that several names can share it."""
    match part:
        case Fact(kind, _) if kind != "is":
            before, after = _FACTS[kind][0 if holds else 1].split("{of}")
            return before, after
        case Did() if holds:
            return "the pilot has done ", _window(part)
        case _:
            return None


def _gap(part: Condition) -> str:
    match part:
        case Fact(kind, of):
            return _of(kind, of)
        case Did(pattern):
            often = f" {part.times} times" if part.times > 1 else ""
            return f"“{f'{pattern.verb} {words_of(pattern.object)}'.strip()}”{often}"
        case _:
            raise TypeError(part)


def _window(act: Did) -> str:
    since = f" since failure “{act.since}” began" if act.since else ""
    return f"{since} in this phase" if act.here else since


def _inner(part: Condition, *, holds: bool) -> str:
    words, inside = _said(part, holds=holds), part
    while isinstance(inside, Not):
        inside = inside.part
    return f"({words})" if isinstance(inside, All | AnyOf) else words


def listed(parts: Sequence[str], word: str) -> str:
    """Return parts as a list in words: `a, b and c`."""
    return f"{', '.join(parts[:-1])} {word} {parts[-1]}" if len(parts) > 1 else "".join(parts)


def amount_words(quantity: str, value: float) -> str:
    """Return a value of a quantity with its unit."""
    unit = BY_NAME[quantity].unit
    if unit == "s":
        return span_words(value)
    number = f"{value:,.0f}" if abs(value) >= MANY else f"{value:g}"
    return f"{number}{_UNITS.get(unit, f'{GLUE}{unit}')}"


def span_words(seconds: float) -> str:
    """Return a length of time, as `20 s`, `4 min` or `2:30 min`."""
    minutes, rest = divmod(round(seconds), 60)
    if seconds < LONG_S:
        return f"{seconds:g}{GLUE}s"
    return f"{minutes}:{rest:02d}{GLUE}min" if rest else f"{minutes}{GLUE}min"


def changes_words(effects: Iterable[Effect]) -> Iterator[str]:
    """Yield what effects change in the story, without what is said."""
    for each in effects:
        match each:
            case Fail(name):
                yield f"“{name}” fails"
            case Heal(name):
                yield f"“{name}” comes back"
            case Note(flag):
                yield f"flag “{flag}” goes up"
            case _:
                continue
