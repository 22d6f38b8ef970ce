"""What a typed line or a call shows to the classifiers: its words, what stands beside what, how its words are spelled.

A feature is a text, and what counts is its place among `PLACES`, found by a checksum, so that no list of features has
to be kept; two that share a place are told apart by all the others.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from drill.language.lexicon import name_of
from drill.language.meaning import IN_SIGHT, SWITCHES
from drill.language.words import Token

PLACES = 1 << 15
MOST_WORDS = 60
"""A longer line is not judged: no order needs so many words."""
MOST_SAID = 120
"""Words of a call that are looked at; nobody hears out a longer one."""
NEAR = 6
"""So many words to either side belong to what is named in a call."""
_SHORTEST_PART, _LONGEST_PART = 3, 5
_PART_SAID = 4
_FIGURE = re.compile(r"\d[\d.]*")


def features(line: Sequence[Token], typed: str) -> list[int]:
    """Return the places of what `line` shows (its numbers joined, names marked), each once; `typed` is as typed."""
    words = [_plain(token.text) for token in line[:MOST_WORDS]]
    kinds = [_kind(word) for word in words]
    found: set[int] = set()
    for word in words:
        found.update(_of_word(word))
    bounded = ["^", *kinds, "$"]
    found.update(_place(f"2 {one} {other}") for one, other in pairwise(bounded))
    for one, middle, other in zip(bounded, bounded[1:], bounded[2:], strict=False):
        found.add(_place(f"3 {one} {middle} {other}"))
        found.add(_place(f"3 {one} _ {other}"))
    names = {word for word in words if word[0] == "<"}
    found.add(_place(f"names {min(len(names), 3)}"))
    found.add(_place(f"words {min(len(words), 12) // 2}"))
    if "?" in typed:
        found.add(_place("asks at its end" if typed.rstrip().endswith("?") else "asks"))
    return sorted(found)


def call_features(line: Sequence[Token]) -> list[int]:
    """Return the places of what a call shows, each once: `line` has its callsigns, places, names, numbers marked."""
    words = [_plain(token.text) for token in line[:MOST_SAID]]
    found: set[int] = set()
    for word in words:
        found.update(_of_said_word(word))
    sums = [_sum(word) for word in ("^", *words, "$")]
    found.update([_mixed(one, other) for one, other in pairwise(sums)])
    for one, middle, other in zip(sums, sums[1:], sums[2:], strict=False):
        found.add(_mixed(one ^ _MIDDLE, middle + other * 3))
        found.add(_mixed(one ^ _APART, other))
    for at, name in enumerate(words):
        if name[0] == "<":
            here = sums[at + 1]
            found.update([_mixed(here ^ _BEFORE, other) for other in sums[max(1, at + 1 - NEAR):at + 1]])
            found.update([_mixed(here ^ _AFTER, other) for other in sums[at + 2:min(len(sums) - 1, at + 2 + NEAR)]])
    return [*found]


_MIDDLE, _APART, _BEFORE, _AFTER = (zlib.crc32(kind.encode()) for kind in ("middle", "apart", "before", "after"))


@lru_cache(maxsize=8192)
def _sum(word: str) -> int:
    return zlib.crc32(word.encode())


def _mixed(one: int, other: int) -> int:
    """Return the place of what is shown by two sums, by multiplying with odd numbers of 32 bits and folding."""
    mixed = one * 0x9E3779B1 + other * 0x85EBCA77
    return (mixed ^ (mixed >> 15)) % PLACES


def _plain(word: str) -> str:
    """Return `word`, a figure as how long it is."""
    if not _FIGURE.fullmatch(word):
        return word
    return "#." if "." in word else f"#{min(len(word), 5)}"


@lru_cache(maxsize=4096)
def _kind(word: str) -> str:
    """Return a name as what sort of thing it names; every other word as it is."""
    name = name_of(word)
    if name is None:
        return word
    return "<seen>" if name in IN_SIGHT else "<switch>" if name in SWITCHES else "<named>"


@lru_cache(maxsize=8192)
def _of_word(word: str) -> tuple[int, ...]:
    """Return the places of a word by itself, and of its parts."""
    return (_place(f"1 {word}"), _place(f"1 {_kind(word)}"), *_of_parts(word, _SHORTEST_PART, _LONGEST_PART))


@lru_cache(maxsize=8192)
def _of_said_word(word: str) -> tuple[int, ...]:
    """Return the places of a word of a call, and of its parts."""
    return (_place(f"1 {word}"), *_of_parts(word, _PART_SAID, _PART_SAID))


def _of_parts(word: str, shortest: int, longest: int) -> set[int]:
    if not word[0].isalpha():
        return set()
    bounded = f"^{word[:20]}$"
    return {_place(f"part {bounded[at:at + length]}") for length in range(shortest, longest + 1)
            for at in range(len(bounded) - length + 1)}


def _place(feature: str) -> int:
    return zlib.crc32(feature.encode()) % PLACES
