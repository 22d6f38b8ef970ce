"""A line judged by what its words make likely."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drill.language.lexicon import Lexicon
from drill.language.likely.classifiers import Head, classifiers, knows
from drill.language.likely.features import MOST_WORDS, features
from drill.language.meaning import Context
from drill.language.naming import named
from drill.language.spelling import spelled
from drill.language.words import Token, tokens

LIKELY = 0.6
CLEAR = 0.8
"""Likelihoods from which on something may be meant, and is taken for granted. Of actions that the words alone made of
lines that were not learned from, one in four was wrong between the two, and one in fourteen above."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A line, its numbers joined and names marked, and the places of its features."""

    line: tuple[Token, ...]
    typed: str
    places: tuple[int, ...]
    context: Context

    @property
    def book(self) -> Lexicon:
        """The words that the line is read by."""
        return self.context.lexicon

    def of(self, words: str) -> Judged | None:
        """Return some words of the line, judged by themselves."""
        return judged(spelled(tokens(words), self.book), words, self.context)

    def strange(self) -> bool:
        """Whether a word of the line is in none of the lines that were learned from, nor a name or a figure."""
        return any(token.text.isalpha() and not knows(token.text) for token in self.line)

    def likely(self, head: Head) -> list[tuple[str, float]]:
        """Return what `head` says, the likeliest first."""
        return classifiers()[head].likely(self.places)


def judged(line: Sequence[Token], typed: str, context: Context) -> Judged | None:
    """Return the line of `typed` to judge, `line` being its tokens without slips; None for one too long to be one
    order."""
    if not 0 < len(line) <= MOST_WORDS:
        return None
    words = named(tuple(line), typed, context)
    return Judged(words, typed, tuple(features(words, typed)), context)


def shown(typed: str) -> tuple[int, ...]:
    """Return the places of the features of a line as typed, by somebody of whom nothing is known."""
    nobody = Context("", "")
    found = judged(spelled(tokens(typed), nobody.lexicon), typed, nobody)
    return found.places if found else ()


def words_of(typed: str) -> set[str]:
    """Return the words of a line, as they stand when it is judged."""
    nobody = Context("", "")
    found = judged(spelled(tokens(typed), nobody.lexicon), typed, nobody)
    return {token.text for token in found.line if token.text.isalpha()} if found else set()
