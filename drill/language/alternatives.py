"""Many regular expressions as one, of which at each word only those are tried that can begin with its letters."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from typing import TypeAlias

from drill.language.patterns import laid_out

_Try: TypeAlias = Callable[[str, int], re.Match[str] | None]
_Beginnings: TypeAlias = frozenset[tuple[str, bool]]

LETTERS = 6
"""Letters by which the patterns are sorted; some may be those of the following word."""
MOST_BEGINNINGS = 200
"""A pattern that can begin in more ways is tried at every word."""
MOST_KEPT = 4096
_ANYHOW: _Beginnings = frozenset({("", False)})


class Phrases:
    """Patterns of whole words, sought in texts whose words stand apart by single spaces.

    Finds what one regular expression would that has the patterns as its alternatives, in their order. A match begins
    where a word does, and ends where one ends.
    """

    __slots__ = ("_after_names", "_anywhere", "_kinds")

    def __init__(self, patterns: Sequence[str], form: str = r"(?<![\w<])(?:{})(?!\w)",
                 kinds: Sequence[str] = ()) -> None:
        every = [(pattern, _beginnings(pattern, LETTERS), re.compile(form.format(pattern)).match)
                 for pattern in map(str, patterns)]
        self._kinds: dict[_Try, set[str]] = {}
        for kind, (_, _, match) in zip(kinds, every, strict=False):
            self._kinds.setdefault(match, set()).add(kind)
        elsewhere = [each for each in every if not _AFTER_NAME.match(each[0])]
        self._anywhere = _ByWord([each[1:] for each in elsewhere])
        self._after_names = _ByWord([each[1:] for each in every]) if len(elsewhere) < len(every) else self._anywhere

    def _candidates(self, text: str) -> Sequence[tuple[int, tuple[_Try, ...]]]:
        """Return where words begin that something may match at, each with what may."""
        words = text.split(" ")
        sorted_by_word = self._anywhere.__getitem__
        if self._after_names is not self._anywhere and "> " in text:
            after = self._after_names.__getitem__
            found = [(after if before.endswith(">") else sorted_by_word)(word)
                     for before, word in zip(("", *words), words, strict=False)]
        else:
            found = [*map(sorted_by_word, words)]
        if found.count(None) == len(found):   # most often so, and quickly seen
            return ()
        candidates = []
        at = 0
        for word, by_following in zip(words, found, strict=True):
            following = at + len(word) + 1
            if by_following is not None and (tried := by_following[text[following:following + _FOLLOWING]]):
                candidates.append((at, tried))
            at = following
        return candidates

    def possible(self, text: str) -> bool:
        """Whether a word of `text` is one that some pattern can begin with: quicker than the search, and no promise."""
        return bool(self._candidates(text))

    def search(self, text: str) -> re.Match[str] | None:
        """Return the first match; None without one."""
        for at, tried in self._candidates(text):
            for match in tried:
                if found := match(text, at):
                    return found
        return None

    def finditer(self, text: str) -> Iterator[re.Match[str]]:
        """Yield the matches from left to right; none overlaps another."""
        free = 0
        for at, tried in self._candidates(text):
            for match in tried if at >= free else ():
                if found := match(text, at):
                    free = found.end()
                    yield found
                    break

    def kinds(self, text: str) -> set[str]:
        """Return the kinds of those patterns that match somewhere."""
        return set().union(*(self._kinds[match] for at, tried in self._candidates(text) for match in tried
                             if match(text, at)))

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """Return the match that is the whole of `text`."""
        return next((found for at, tried in self._candidates(text) if at == 0 for match in tried
                     if (found := match(text, 0)) and found.end() == len(text)), None)

    def subn(self, other: str, text: str) -> tuple[str, int]:
        """Return `text` with `other` for each match, and how many there were."""
        parts, end = [], 0
        for found in self.finditer(text):
            parts += [text[end:found.start()], other]
            end = found.end()
        return "".join((*parts, text[end:])), len(parts) // 2


def any_of(patterns: Sequence[str], kinds: Sequence[str] = ()) -> Phrases:
    """Return the patterns as one; `kinds` may give each a kind, for `Phrases.kinds`."""
    return Phrases(patterns, kinds=kinds)


def by_words(expression: str) -> Phrases:
    """Return an expression, laid out over lines, whose alternatives all begin where a word does, for quick search.

    They may end within a word, unlike those of `any_of`.
    """
    return Phrases(_parts(laid_out(expression)), "(?:{})")


_FOLLOWING = 3


class _ByFollowing(dict[str, tuple[_Try, ...]]):
    """For the first letters of the following word: what can match at a word, in order."""

    def __init__(self, patterns: Sequence[tuple[str, _Try]]) -> None:
        self._patterns = patterns

    def __missing__(self, letters: str) -> tuple[_Try, ...]:
        tried = tuple(dict.fromkeys(match for following, match in self._patterns
                                    if letters.startswith(following[:_FOLLOWING])))
        if len(self) < MOST_KEPT:
            self[letters] = tried
        return tried


class _ByWord(dict[str, _ByFollowing | None]):
    """For a word: what can match at it, by what follows; None where nothing can."""

    def __init__(self, patterns: Sequence[tuple[_Beginnings, _Try]]) -> None:
        self._by_beginning: dict[str, list[tuple[int, str, _Try]]] = {}
        for order, (beginnings, match) in enumerate(patterns):
            for beginning, _ in beginnings if len(beginnings) <= MOST_BEGINNINGS else _ANYHOW:
                word, space, following = beginning.partition(" ")
                self._by_beginning.setdefault(word + space, []).append((order, following, match))

    def __missing__(self, word: str) -> _ByFollowing | None:
        found = sorted((each for end in range(min(len(word), LETTERS) + 1)
                        for each in self._by_beginning.get(word[:end], ())), key=_order)
        found = sorted((*found, *self._by_beginning.get(f"{word} ", ())), key=_order)
        tried = _ByFollowing([each[1:] for each in found]) if found else None
        if len(self) < MOST_KEPT:
            self[word] = tried
        return tried


def _order(each: tuple[int, str, _Try]) -> int:
    return each[0]


_AFTER_NAME = re.compile(r"\(\?<=(?:<\w+)?> \)")
_LOOKS = re.compile(r"\(\?<?[=!]")
_ANCHOR = re.compile(r"\\b|\^")
_GROUP = re.compile(r"\((?:\?:|\?P<\w+>|(?!\?))")
_SKIPPED = re.compile(r"\\.|\[[^]]*\]")
_SINGLE = re.compile(r"([a-z0-9<> ])|(\\d)|\[([a-z0-9]+)\]")
_TIMES = re.compile(r"[?*+]|\{[^}]*\}")


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


def _beginnings(pattern: str, letters: int) -> _Beginnings:
    """Return the first `letters` characters, at most, of all that `pattern` can match.

    Each comes with whether nothing follows it: ("on", True) of "on", ("on", False) of "on.*".
    """
    return frozenset().union(*(_of_one(part, letters) for part in _parts(pattern)))


def _of_one(part: str, letters: int) -> _Beginnings:
    if not part:
        return frozenset({("", True)})
    if letters == 0:
        return _ANYHOW
    if anchor := _ANCHOR.match(part):
        return _of_one(part[anchor.end():], letters)
    if _LOOKS.match(part):
        return _of_one(part[_group_end(part):], letters)
    if group := _GROUP.match(part):
        end = _group_end(part)
        heads = _beginnings(part[group.end():end - 1], letters)
    elif single := _SINGLE.match(part):
        end = single.end()
        heads = frozenset((each, True) for each in single[1] or ("0123456789" if single[2] else single[3]))
    else:
        return _ANYHOW
    times = _TIMES.match(part, end)
    if times:
        end = times.end()
        if times[0] != "?":
            heads = frozenset((head, False) for head, _ in heads)
        if times[0][0] == "{" and times[0].lstrip("{").startswith(("0", ",")):
            return _ANYHOW
    found = {pair for head, whole in heads for pair in (
        _follow(head, part[end:], letters) if whole and len(head) < letters else {(head, False)})}
    if times and times[0] in ("?", "*"):
        found |= _of_one(part[end:], letters)
    return frozenset(found)


def _follow(head: str, rest: str, letters: int) -> set[tuple[str, bool]]:
    return {(head + tail, whole) for tail, whole in _of_one(rest, letters - len(head))}
