"""The lexicon: which words stand for what. The data is `lexicon.yaml`; this module reads it and finds names in a
line."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from drill.language.words import Token, merged

LAST_WORD = ""
"""Key in a phrase tree under which the name stands that ends there."""


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Names (phrase to meaning) and the patterns of the grammar, compiled."""

    cockpit: dict[str, Any]
    on_air: dict[str, Any]
    means: dict[str, tuple[str, ...]]
    seen_as: dict[str, str]
    failing: re.Pattern[str]
    falling: re.Pattern[str]
    falling_names: frozenset[str]
    working: re.Pattern[str]
    pretended: re.Pattern[str]
    unlikely: re.Pattern[str]
    polite: re.Pattern[str]
    says_so: frozenset[str]
    vocabulary: frozenset[str]

    def equipment(self, name: str) -> tuple[str, ...]:
        """Return the equipment that a name speaks of."""
        return self.means.get(name, (name,))


def any_of(patterns: Sequence[str], *, bounded: bool = True) -> re.Pattern[str]:
    """Return one pattern for all; `bounded` keeps each to whole words."""
    choice = "|".join(f"(?:{pattern})" for pattern in patterns)
    return re.compile(rf"(?<![\w<])(?:{choice})(?!\w)" if bounded else choice)


@cache
def lexicon() -> Lexicon:
    """Return the lexicon that ships with drill."""
    data = _data("lexicon.yaml")
    names: dict[str, list[str]] = data["names"]
    radio = {name: phrases for name, phrases in names.items() if name not in data["cockpit only"]}
    return Lexicon(
        cockpit=_tree(names),
        on_air=_tree(radio),
        means={name: tuple(equipment) for name, equipment in data["means"].items()},
        seen_as=dict(data["seen as"]),
        failing=any_of(data["failing"]["patterns"]),
        falling=any_of(data["failing"]["falling patterns"]),
        falling_names=frozenset(data["failing"]["falling names"]),
        working=any_of(data["working"]["patterns"]),
        pretended=any_of(data["pretended"]),
        unlikely=any_of(data["unlikely"]),
        polite=any_of(data["polite"]),
        says_so=frozenset(data["says so itself"]),
        vocabulary=frozenset(word for phrases in names.values() for phrase in phrases
                             for word in str(phrase).split()),
    )


@dataclass(frozen=True, slots=True)
class Grammar:
    """The patterns of `grammar.yaml`, compiled."""

    asks: tuple[tuple[str, re.Pattern[str], bool], ...]
    intends: re.Pattern[str]
    impaired: re.Pattern[str]
    icing: re.Pattern[str]
    imc: re.Pattern[str]
    vmc: re.Pattern[str]
    declares: re.Pattern[str]


@cache
def grammar() -> Grammar:
    """Return the grammar of calls that ships with drill; `asks` holds (assistance, pattern, counts unasked)."""
    data = _data("grammar.yaml")
    return Grammar(
        asks=tuple((name, any_of(ask["patterns"]), bool(ask["unasked"])) for name, ask in data["asks"].items()),
        **{key: any_of(data[key]) for key in ("intends", "impaired", "icing", "imc", "vmc", "declares")},
    )


def _data(file: str) -> dict[str, Any]:
    data: dict[str, Any] = yaml.safe_load(files("drill.language").joinpath(file).read_text(encoding="utf-8"))
    return data


def _tree(names: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    tree: dict[str, Any] = {}
    for name, phrases in names.items():
        for phrase in phrases:
            node = tree
            for word in str(phrase).split():
                node = node.setdefault(word, {})
            node[LAST_WORD] = name
    return tree


def with_names(line: Sequence[Token], tree: Mapping[str, Any]) -> tuple[Token, ...]:
    """Return `line` with each longest phrase of `tree` as one token "<name>"."""
    result: list[Token] = []
    at = 0
    while at < len(line):
        node: Any = tree
        end, name = at, ""
        ahead = at
        while ahead < len(line) and line[ahead].text in node:
            node = node[line[ahead].text]
            ahead += 1
            if LAST_WORD in node:
                end, name = ahead, node[LAST_WORD]
        if name:
            result.append(merged(line, at, end, f"<{name}>"))
            at = end
        else:
            result.append(line[at])
            at += 1
    return tuple(result)


def name_of(text: str) -> str | None:
    """Return "altimeter" for "<altimeter>", and None for an ordinary word."""
    return text[1:-1] if text.startswith("<") and text.endswith(">") else None
