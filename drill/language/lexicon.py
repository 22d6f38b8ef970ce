"""The lexicon: which words stand for what, and which words ask, declare or say how something is.

The data are `lexicon.yaml` (names, words for failing and working), `grammar.yaml` (what is asked, meant and said of the
flight) and, on top of them, plain phrases of a country (`usage/*.yaml`) or of one place or club (`LocalWords`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from itertools import product
from typing import Any

import yaml

from drill.language.alternatives import COMMON, Phrases, Shelf, any_of
from drill.language.numbers import DIGITS, TEENS, TENS, join_numbers
from drill.language.words import Token, joined, merged, tokens

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

LAST_WORD = ""
"""Key in a phrase tree under which the name stands that ends there."""

SAID = ("failing", "working", "pretended", "intends", "impaired", "declares")
"""Lists of phrases that local words may add to, beside `names` and `asks`."""


@dataclass(frozen=True, slots=True)
class LocalWords:
    """Plain phrases added to the lexicon: (name, phrase) pairs for equipment and for what is asked, and the lists."""

    names: tuple[tuple[str, str], ...] = ()
    asks: tuple[tuple[str, str], ...] = ()
    failing: tuple[str, ...] = ()
    working: tuple[str, ...] = ()
    pretended: tuple[str, ...] = ()
    intends: tuple[str, ...] = ()
    impaired: tuple[str, ...] = ()
    declares: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Lexicon:
    """Names (phrase to meaning) and patterns, compiled; `asks` holds (assistance, pattern, counts unasked).

    `any_ask` and `any_weather` match where some of the patterns do that tell what is asked and what the weather is;
    the kinds of `any_ask` are the assistances.
    """

    layers: tuple[LocalWords, ...]
    cockpit: dict[str, Any]
    on_air: dict[str, Any]
    means: dict[str, tuple[str, ...]]
    seen_as: dict[str, str]
    failing: Phrases
    falling: Phrases
    falling_names: frozenset[str]
    working: Phrases
    pretended: Phrases
    unlikely: Phrases
    polite: Phrases
    says_so: frozenset[str]
    vocabulary: frozenset[str]
    said: frozenset[str]
    asking: Phrases
    asks: tuple[tuple[str, Phrases, bool], ...]
    any_ask: Phrases
    intends: Phrases
    impaired: Phrases
    any_weather: Phrases
    icing: Phrases
    imc: Phrases
    vmc: Phrases
    declares: Phrases

    def __reduce__(self) -> tuple[Any, ...]:
        """Another process makes it anew from the words that it was made with; its patterns do not travel."""
        return lexicon_with, self.layers

    def equipment(self, name: str) -> tuple[str, ...]:
        """Return the equipment that a name speaks of."""
        return self.means.get(name, (name,))


@cache
def standard() -> Lexicon:
    """Return the lexicon that ships with drill, without any country's or local words."""
    return _made((), COMMON)


@lru_cache(maxsize=16)
def lexicon_with(*layers: LocalWords) -> Lexicon:
    """Return the lexicon with further words, later layers over earlier ones."""
    return _made(layers, Shelf()) if layers else standard()


def _made(layers: Sequence[LocalWords], often: Shelf) -> Lexicon:
    said, grammar = _data("lexicon.yaml"), _data("grammar.yaml")
    names = {name: [*map(str, phrases)] for name, phrases in said["names"].items()}
    for layer in layers:
        for name, phrase in layer.names:
            names.setdefault(name, []).append(plain(phrase))
    radio = {name: phrases for name, phrases in names.items() if name not in said["cockpit only"]}
    others = {name: [way for phrase in phrases for way in _ways(phrase)]
              for name, phrases in said["names in other words"].items()}
    on_air = _tree(radio, others)
    seen = {name: phrases for name, phrases in others.items() if name not in said["on air only"]}
    more = {key: [_as_pattern(phrase, on_air) for layer in layers for phrase in getattr(layer, key)] for key in SAID}
    asks = {name: list(ask["patterns"]) for name, ask in grammar["asks"].items()}
    for layer in layers:
        for name, phrase in layer.asks:
            asks[name].append(_as_pattern(phrase, on_air))
    seldom = Shelf()
    return Lexicon(
        layers=tuple(layers),
        cockpit=_tree({name: phrases for name, phrases in names.items() if name not in said["on air only"]}, seen),
        on_air=on_air,
        means={name: tuple(equipment) for name, equipment in said["means"].items()},
        seen_as=dict(said["seen as"]),
        failing=any_of([*said["failing"]["patterns"], *more["failing"]], shelf=often),
        falling=any_of(said["failing"]["falling patterns"], shelf=seldom),
        falling_names=frozenset(said["failing"]["falling names"]),
        working=any_of([*said["working"]["patterns"], *more["working"]], shelf=often),
        pretended=any_of([*said["pretended"], *more["pretended"]], shelf=often),
        unlikely=any_of(said["unlikely"], shelf=often),
        polite=any_of(said["polite"], shelf=often),
        says_so=frozenset(said["says so itself"]),
        vocabulary=frozenset(word for phrases in names.values() for phrase in phrases for word in phrase.split()),
        said=_literals([said, grammar]),
        asking=any_of(grammar["asking"], shelf=often),
        asks=tuple((name, any_of(patterns, shelf=seldom), bool(grammar["asks"][name]["unasked"]))
                   for name, patterns in asks.items()),
        any_ask=any_of([pattern for patterns in asks.values() for pattern in patterns],
                       [name for name, patterns in asks.items() for _ in patterns], often),
        any_weather=any_of([*grammar["icing"], *grammar["imc"], *grammar["vmc"]], shelf=often),
        **{key: any_of(grammar[key], shelf=seldom) for key in ("icing", "imc", "vmc")},
        **{key: any_of([*grammar[key], *more[key]], shelf=often) for key in ("intends", "impaired", "declares")},
    )


def _literals(data: Any) -> frozenset[str]:
    """Return every word that stands in some pattern, so that none of them is taken for a misspelling of another."""
    if isinstance(data, str):
        return frozenset(re.findall(r"(?<![\\a-z])[a-z]{4,}(?![a-z]|\(\?:|\\w)", data))
    parts = data.values() if isinstance(data, Mapping) else data if isinstance(data, Sequence) else ()
    return frozenset().union(*map(_literals, parts))


def plain(phrase: str) -> str:
    """Return a phrase in the form in which lines are read: small letters, numbers as digits, single spaces."""
    return joined([token for token in join_numbers(tokens(phrase)) if not token.is_break])


def _as_pattern(phrase: str, names: Mapping[str, Any]) -> str:
    return re.escape(joined(with_names(tokens(plain(phrase)), names)))


def usages() -> tuple[str, ...]:
    """Return the countries whose usage ships with drill, sorted."""
    return tuple(sorted(each.name.removesuffix(".yaml").replace("_", " ") for each in _usage_files()))


@cache
def usage(country: str) -> LocalWords:
    """Return a country's words; KeyError for one that does not ship."""
    for each in _usage_files():
        if each.name == country.replace(" ", "_") + ".yaml":
            return local_words(_loaded(each))
    raise KeyError(country)


def local_words(data: Mapping[str, Any]) -> LocalWords:
    """Return local words from a mapping: `names` and `asks` hold lists by name, the others are lists of phrases."""
    lists = {key: tuple(map(str, data.get(key) or ())) for key in SAID}
    return LocalWords(_pairs(data.get("names") or {}), _pairs(data.get("asks") or {}), **lists)


def _pairs(data: Mapping[str, Iterable[Any]]) -> tuple[tuple[str, str], ...]:
    return tuple((name, str(phrase)) for name, phrases in data.items() for phrase in phrases)


def _usage_files() -> list[Any]:
    return [each for each in files("drill.language").joinpath("usage").iterdir() if each.name.endswith(".yaml")]


@cache
def _data(file: str) -> dict[str, Any]:
    data: dict[str, Any] = _loaded(files("drill.language").joinpath(file))
    return data


def _loaded(file: Any) -> Any:
    return yaml.load(file.read_text(encoding="utf-8"), _LOADER)  # noqa: S506 - either loader is a safe one


_LONG_ENOUGH = 5
_NUMBER = re.compile(rf"\b(?:{'|'.join((*DIGITS, *TEENS, *TENS))})\b")
"""What is read as a figure: "the one with the blue and brown"."""
_SHORT_NAMES = frozenset({"ai", "dg", "tc", "asi", "vsi", "hsi", "gyro", "pump"})


def _ways(phrase: str) -> list[str]:
    """Return each way to say a phrase that has some words in parentheses: "(speed|airspeed) (hand|needle)"."""
    pieces = [piece.split("|") for piece in re.split(r"[()]", phrase)]
    ways = [" ".join("".join(chosen).split()) for chosen in product(*pieces)]
    return [plain(way) if _NUMBER.search(way) else way for way in ways]


def _tree(names: Mapping[str, Sequence[str]], others: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    tree: dict[str, Any] = {}
    for name, phrases in names.items():
        for phrase in phrases:
            node = tree
            for word in phrase.split():
                node = node.setdefault(word, {})
            node[LAST_WORD] = name
            for whole, apart in (("backup ", "back up "), ("standby ", "stand by ")):
                if not phrase.startswith(whole):
                    continue
                node = tree
                for word in phrase.replace(whole, apart, 1).split():
                    node = node.setdefault(word, {})
                node.setdefault(LAST_WORD, name)
    for name, phrases in names.items():   # "autopilots kicked off": a plural, or an apostrophe left out
        for phrase in phrases:
            *before, last = phrase.split()
            if (len(last) >= _LONG_ENOUGH or last in _SHORT_NAMES) and not last.endswith("s"):
                node = tree
                for word in (*before, f"{last}s"):
                    node = node.setdefault(word, {})
                node.setdefault(LAST_WORD, name)
    for name, phrases in others.items():
        for phrase in phrases:
            node = tree
            for word in phrase.split():
                node = node.setdefault(word, {})
            node.setdefault(LAST_WORD, name)
    return tree


def with_names(line: Sequence[Token], tree: Mapping[str, Any]) -> tuple[Token, ...]:
    """Return `line` with each longest phrase of `tree` as one token "<name>"."""
    result: list[Token] = []
    at = 0
    while at < len(line):
        if line[at][0] not in tree:
            result.append(line[at])
            at += 1
            continue
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
