"""A line judged by what its words make likely."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from drill.language.lexicon import Lexicon, with_names
from drill.language.likely.classifiers import Head, classifiers, knows
from drill.language.likely.features import MOST_WORDS, features
from drill.language.meaning import Context
from drill.language.numbers import join_numbers
from drill.language.places import with_places
from drill.language.shorthand import spelled_out
from drill.language.spelling import spelled
from drill.language.words import Token, joined, tokens

_AT_ONCE = re.compile(r"\b(?:while|both|together|simultaneously|at once|at the same time|in the same moment)\b|"
                      r"\bat the <moment>")
MOST_TIMES = 3
"""Two figures that are further apart are not of the same thing: "hold 3000 while I count to 60"."""
_FIGURE = re.compile(r"(?<![\d.])\d{2,5}(?:\.\d+)?(?![\d.])")


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

    def excludes_itself(self) -> bool:
        """Whether two figures are wanted at once: "80 knots while doing 120"."""
        text = joined(self.line)
        figures = sorted(set(map(float, _FIGURE.findall(text))))
        alike = any(other <= one * MOST_TIMES for one, other in pairwise(figures))
        return _AT_ONCE.search(text) is not None and alike

    def likely(self, head: Head) -> list[tuple[str, float]]:
        """Return what `head` says, the likeliest first."""
        return classifiers()[head].likely(self.places)


def judged(line: Sequence[Token], typed: str, context: Context) -> Judged | None:
    """Return the line of `typed` to judge, `line` being its tokens without slips; None for one too long to be one
    order."""
    if not 0 < len(line) <= MOST_WORDS:
        return None
    book = context.lexicon
    named, _ = with_places(with_names(spelled_out(join_numbers(line), typed), book.cockpit), typed, context)
    return Judged(named, typed, tuple(features(named, typed)), context)


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
