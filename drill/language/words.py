"""A typed line as tokens: small letters, contractions spelled out, breaks kept, each with its place in the line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

BREAKS = frozenset({",", ".", "?"})
"""A short break (comma, dash), the end of a sentence, a question mark."""

_PIECE = re.compile(
    r"\d+[+:]\d\d(?!\d)|\d{1,3}(?:,\d{3})+(?!\d|,\d)|\d+(?:\.\d+)?[a-z]*|[a-z]+\d[a-z0-9]*|"
    r"[^\W\d_]+(?:'[^\W\d_]+)*"
    r"|\?|[.!;:]+|,|\s[-–—]+\s|[–—]|[()\"]|[&+/]"
)
_APOSTROPHES = str.maketrans({"’": "'", "‘": "'", "`": "'", "´": "'", "“": '"', "”": '"', "…": "."})

_WHOLE = {
    "can't": "can not", "cant": "can not", "cannot": "can not", "won't": "will not", "wont": "will not",
    "don't": "do not", "dont": "do not", "doesnt": "does not", "didnt": "did not", "isnt": "is not",
    "arent": "are not", "wasnt": "was not", "hasnt": "has not", "havent": "have not", "couldnt": "could not",
    "im": "i am", "ive": "i have", "whats": "what is", "hows": "how is", "thats": "that is", "its": "it is",
    "weve": "we have", "theres": "there is", "wheres": "where is", "ain't": "is not", "let's": "let us",
    "gonna": "going to", "wanna": "want to", "gotta": "got to", "shouldnt": "should not",
    "youre": "you are", "theyre": "they are", "whos": "who is",
}
_ENDINGS = {"s": "is", "re": "are", "m": "am", "ve": "have", "ll": "will", "d": "would"}


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number, break or recognised phrase; `text[start:end]` of the line is where it stands."""

    text: str
    start: int
    end: int

    @property
    def is_break(self) -> bool:
        """Whether this is a break between words."""
        return self.text in BREAKS


def tokens(line: str) -> tuple[Token, ...]:
    """Return the tokens of `line`. "n't" becomes "not", "'s" becomes "is", "&" and "/" become "and"."""
    found: list[Token] = []
    small = line.translate(_APOSTROPHES).lower()
    if len(small) != len(line):   # a letter whose small form is longer: keep places true by leaving it out
        small = "".join(c.lower() if len(c.lower()) == 1 else " " for c in line.translate(_APOSTROPHES))
    for match in _PIECE.finditer(small):
        found.extend(Token(text, match.start(), match.end()) for text in _spelled_out(match.group()) if text)
    return tuple(found)


def _spelled_out(piece: str) -> Iterable[str]:
    first = piece[0]
    if first in "&+/":
        return ("and",)
    if piece in _WHOLE:
        return _WHOLE[piece].split()
    if first.isdigit():
        return (piece.replace(",", ""),)
    if not first.isalpha():
        return ("?",) if first == "?" else (".",) if first in ".!;" else (",",)
    if piece.endswith("n't"):
        return (piece[:-3], "not")
    stem, _, ending = piece.rpartition("'")
    if stem and ending in _ENDINGS:
        return (stem.replace("'", ""), _ENDINGS[ending])
    return (piece.replace("'", ""),)


def joined(line: Sequence[Token]) -> str:
    """Return the texts of `line` with one space between."""
    return " ".join(token.text for token in line)


def merged(line: Sequence[Token], start: int, end: int, text: str) -> Token:
    """Return one token saying `text` in the place of `line[start:end]`."""
    return Token(text, line[start].start, line[end - 1].end)


def split_at(line: Sequence[Token], texts: frozenset[str]) -> list[tuple[Token, ...]]:
    """Return the non-empty runs of `line` between tokens whose text is in `texts`."""
    runs: list[tuple[Token, ...]] = []
    run: list[Token] = []
    for token in line:
        if token.text in texts:
            if run:
                runs.append(tuple(run))
            run = []
        else:
            run.append(token)
    if run:
        runs.append(tuple(run))
    return runs


def word_set(words: str) -> frozenset[str]:
    """Return the words of a text as a set; tables of words read best as text."""
    return frozenset(words.split())
