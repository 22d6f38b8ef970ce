"""Many regular expressions as one, in which at each word only those are tried that can begin with its first letter."""

from __future__ import annotations

import re
from collections.abc import Sequence

MANY = 100
"""Alternatives from which on the sorting by first letters is worth its time: it makes compiling three times as long."""


def any_of(patterns: Sequence[str]) -> re.Pattern[str]:
    """Return one pattern for all, each on whole words."""
    plain: dict[str, list[str]] = {}     # without their first letter
    grouped: dict[str, list[str]] = {}
    others: list[str] = []
    for pattern in map(str, patterns):
        if _PLAIN_BEGINNING.match(pattern) and len(_parts(pattern)) == 1:
            plain.setdefault(pattern[0], []).append(pattern[1:])
        elif len(patterns) >= MANY and (letters := _first_letters(pattern)) is not None:
            for letter in sorted(letters):
                grouped.setdefault(letter, []).append(pattern)
        else:
            others.append(pattern)
    choice = "|".join((
        *(f"{letter}(?:{'|'.join(each)})" for letter, each in plain.items()),
        *(f"(?={letter})(?:{'|'.join(each)})" for letter, each in grouped.items()), *others))
    return re.compile(rf"(?<![\w<])(?:{choice})(?!\w)")


_PLAIN_BEGINNING = re.compile(r"[a-z](?![?*+{])")
_LOOKS = re.compile(r"\(\?<?[=!]")
_LITERAL = re.compile(r"([a-z<\d])([?*{]?)")
_SKIPPED = re.compile(r"\\.|\[[^]]*\]")


def _parts(pattern: str) -> list[str]:
    """Return the alternatives of `pattern` that stand outside its groups."""
    parts, depth, start, at = [], 0, 0, 0
    while at < len(pattern):
        if skipped := _SKIPPED.match(pattern, at):
            at = skipped.end()
            continue
        depth += (pattern[at] == "(") - (pattern[at] == ")")
        if pattern[at] == "|" and depth == 0:
            parts.append(pattern[start:at])
            start = at + 1
        at += 1
    return [*parts, pattern[start:]]


def _group_end(pattern: str) -> int:
    """Return where the group ends with which `pattern` begins."""
    depth = at = 0
    while at < len(pattern):
        if skipped := _SKIPPED.match(pattern, at):
            at = skipped.end()
            continue
        depth += (pattern[at] == "(") - (pattern[at] == ")")
        at += 1
        if depth == 0:
            break
    return at


def _first_letters(pattern: str) -> frozenset[str] | None:
    """Return the characters that what `pattern` matches can begin with; None where that is not plain to see."""
    found: set[str] = set()
    for part in _parts(pattern):
        if (letters := _first_of_one(part)) is None:
            return None
        found |= letters
    return frozenset(found)


def _first_of_one(part: str) -> frozenset[str] | None:
    if part.startswith("\\b"):
        return _first_of_one(part[2:])
    if _LOOKS.match(part):
        return _first_of_one(part[_group_end(part):])
    if part.startswith("(?:"):
        end = _group_end(part)
        letters, times, rest = _first_letters(part[3:end - 1]), part[end:end + 1], part[end + 1:]
    elif literal := _LITERAL.match(part):
        letters, times, rest = frozenset(literal[1]), literal[2], part[literal.end():]
    else:
        return None
    if letters is None or times == "{":
        return None
    if times not in ("?", "*") or not times:
        return letters
    following = _first_of_one(rest)
    return None if following is None else letters | following
