"""Many regular expressions as one, of which at each word only those are tried that can begin with its letters.

What may match in a text is looked up once for all that stand on the same shelf.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from functools import cache, lru_cache
from typing import TypeAlias

from drill.language.dissected import ANYHOW, beginnings, parts
from drill.language.patterns import laid_out

_Try: TypeAlias = Callable[[str, int], re.Match[str] | None]
_Candidates: TypeAlias = list[tuple[int, tuple[_Try, ...]]]

LETTERS = 10
"""Letters by which the patterns are sorted; some may be those of the following word."""
ROUGHLY = 4
"""Letters by which they are sorted until a text has a word that begins with these."""
MOST_BEGINNINGS = 1000
"""A pattern that can begin in more ways is tried at every word."""
MOST_KEPT = 16_384
TEXTS_KEPT = 64
_FOLLOWING = 4
_WHOLE_WORDS = r"(?<![\w<])(?:{})(?!\w)"


class Phrases:
    """Patterns of whole words, sought in texts whose words stand apart by single spaces.

    Finds what one regular expression would that has the patterns as its alternatives, in their order. A match begins
    where a word does, and ends where one ends.
    """

    __slots__ = ("_candidates", "_kinds", "_number", "shelf")

    def __init__(self, patterns: Sequence[str], kinds: Sequence[str], shelf: Shelf, form: str) -> None:
        whole = [form.format(pattern) for pattern in patterns]
        self._kinds: dict[str, set[str]] = {}
        for kind, pattern in zip(kinds, whole, strict=False):
            self._kinds.setdefault(pattern, set()).add(kind)
        self.shelf = shelf
        self._number = shelf.put(patterns, whole)
        self._candidates = shelf.candidates

    def possible(self, text: str) -> bool:
        """Whether a word of `text` is one that some pattern can begin with: quicker than the search, and no promise."""
        return self._number in self._candidates(text)

    def search(self, text: str) -> re.Match[str] | None:
        """Return the first match; None without one."""
        for at, tried in self._candidates(text).get(self._number, ()):
            for match in tried:
                if found := match(text, at):
                    return found
        return None

    def finditer(self, text: str) -> Iterator[re.Match[str]]:
        """Yield the matches from left to right; none overlaps another."""
        free = 0
        for at, tried in self._candidates(text).get(self._number, ()):
            for match in tried if at >= free else ():
                if found := match(text, at):
                    free = found.end()
                    yield found
                    break

    def kinds(self, text: str) -> set[str]:
        """Return the kinds of those patterns that match somewhere."""
        return set().union(*(self._kinds[found.re.pattern] for at, tried in self._candidates(text).get(self._number, ())
                             for match in tried if (found := match(text, at))))

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """Return the match that is the whole of `text`."""
        return next((found for at, tried in self._candidates(text).get(self._number, ()) if at == 0 for match in tried
                     if (found := match(text, 0)) and found.end() == len(text)), None)

    def subn(self, other: str, text: str) -> tuple[str, int]:
        """Return `text` with `other` for each match, and how many there were."""
        pieces, end = [], 0
        for found in self.finditer(text):
            pieces += [text[end:found.start()], other]
            end = found.end()
        return "".join((*pieces, text[end:])), len(pieces) // 2


class Shelf:
    """Phrases that are sought in the same texts."""

    def __init__(self) -> None:
        self._by_word = _ByWord()
        self._stand_here = 0
        self.expressions: list[str] = []
        self.candidates = lru_cache(TEXTS_KEPT)(self._found)

    def put(self, patterns: Sequence[str], whole: Sequence[str]) -> int:
        """Put patterns on the shelf, with the expression of whole words for each; return their number."""
        for pattern, expression in zip(patterns, whole, strict=True):
            self._by_word.put(pattern, self._stand_here, expression)
        self.expressions += whole
        self._stand_here += 1
        self.candidates.cache_clear()
        return self._stand_here - 1

    def _found(self, text: str) -> dict[int, _Candidates]:
        """Return by number where words begin that something may match at, each with what may."""
        found: dict[int, _Candidates] = {}
        by_word = self._by_word
        at, name = 0, ""
        for word in text.split(" "):
            by_following = by_word[f"{name} {word}"] if name else by_word[word]
            following = at + len(word) + 1
            if by_following is not None:
                for number, tried in by_following[text[following:following + _FOLLOWING]]:
                    if number in found:
                        found[number].append((at, tried))
                    else:
                        found[number] = [(at, tried)]
            name = word if word and word[-1] == ">" else ""
            at = following
        return found


class _ByFollowing(dict[str, tuple[tuple[int, tuple[_Try, ...]], ...]]):
    """For the first letters of the following word: what can match at a word, by number and in order."""

    def __init__(self, patterns: Sequence[tuple[int, str, str]]) -> None:
        self._by_letters: dict[str, list[tuple[int, int, str]]] = {}
        for order, (number, following, expression) in enumerate(patterns):
            self._by_letters.setdefault(following[:_FOLLOWING], []).append((order, number, expression))

    def __missing__(self, letters: str) -> tuple[tuple[int, tuple[_Try, ...]], ...]:
        found: dict[int, dict[str, None]] = {}
        fitting = [each for end in range(len(letters) + 1) for each in self._by_letters.get(letters[:end], ())]
        for _, number, expression in sorted(fitting):
            found.setdefault(number, {})[expression] = None
        tried = tuple((number, tuple(map(_try, each))) for number, each in found.items())
        if len(self) < MOST_KEPT:
            self[letters] = tried
        return tried


class _ByWord(dict[str, _ByFollowing | None]):
    """For a word: what can match at it, by what follows; None where nothing can.

    A word that follows a name is asked for with it ("<engine> runs"): some patterns match nowhere else.
    """

    def __init__(self) -> None:
        self._roughly: dict[tuple[str, str], list[tuple[int, int, str, str]]] = {}
        self._put = 0

    def put(self, pattern: str, number: int, expression: str) -> None:
        """Sort a pattern in, behind all that were put in before: roughly, for most are never looked at more closely."""
        self.clear()
        self._put += 1
        name = _AFTER_NAME.match(pattern)
        after = f"{name[1] or ''}>" if name else ""
        for word in {word for word, _ in _begun(pattern, ROUGHLY)}:
            self._roughly.setdefault((after, word), []).append((self._put, number, pattern, expression))

    def __missing__(self, key: str) -> _ByFollowing | None:
        name, _, word = key.rpartition(" ")
        rough = [each for after in (("", ">", name) if name else ("",))
                 for start in (*(word[:end] for end in range(min(len(word), ROUGHLY) + 1)), f"{word} ")
                 for each in self._roughly.get((after, start), ())]
        found = [(number, following, expression) for _, number, pattern, expression in sorted(set(rough))
                 for start, following in _closely(pattern)
                 if (word.startswith(start) if start[-1:] != " " else start[:-1] == word)]
        tried = _ByFollowing(found) if found else None
        if len(self) < MOST_KEPT:
            self[key] = tried
        return tried


def _begun(pattern: str, letters: int) -> set[tuple[str, str]]:
    """Return the first words that a pattern can begin with, each up to its space, with what follows it."""
    begun = beginnings(pattern, letters)
    return {(word + space, following) for beginning, _ in (begun if len(begun) <= MOST_BEGINNINGS else ANYHOW)
            for word, space, following in [beginning.partition(" ")]}


@cache
def _closely(pattern: str) -> tuple[tuple[str, str], ...]:
    return tuple(_begun(pattern, LETTERS))


@cache
def _try(expression: str) -> _Try:
    """Return what tries an expression. Made when a text first has a word for it: most are not wanted soon, or ever."""
    return re.compile(expression).match


_AFTER_NAME = re.compile(r"\(\?<=(<\w+)?> \)")


COMMON = Shelf()
"""What is sought whatever the lexicon; the standard one stands here too, so that a text is looked up once for both."""


def any_of(patterns: Sequence[str], kinds: Sequence[str] = (), shelf: Shelf = COMMON) -> Phrases:
    """Return the patterns as one; `kinds` may give each a kind, for `Phrases.kinds`."""
    return Phrases([*map(str, patterns)], kinds, shelf, _WHOLE_WORDS)


def by_words(expression: str) -> Phrases:
    """Return an expression, laid out over lines, whose alternatives all begin where a word does, for quick search.

    They may end within a word, unlike those of `any_of`.
    """
    return Phrases(parts(laid_out(expression)), (), COMMON, "(?:{})")
