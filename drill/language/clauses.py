"""A call's text cut into sentences and clauses.

The texts that the call is read from are words in small letters with single spaces, numbers as digits, breaks as ", .
?", recognised names as "<name>", places as "<place>", the callsign and the facility as "<callsign>" and "<facility>".
"""

from __future__ import annotations

import re
from functools import lru_cache

from drill.language.lexicon import Lexicon
from drill.language.patterns import compiled

_MARKS = ("<callsign>", "<other callsign>", "<facility>", "<other unit>")
_BREAK = re.compile(r"([,.?])")


def _marks_as_commas(text: str) -> str:
    if "<" in text:
        for mark in _MARKS:
            text = text.replace(mark, ",")
    return f" {text} "


@lru_cache(maxsize=16)
def clauses(text: str) -> tuple[str, ...]:
    """Return the parts of a text between breaks and marks, in order."""
    parts = _marks_as_commas(text).replace(" . ", " , ").replace(" ? ", " , ").split(" , ")
    return tuple(bare for part in parts if (bare := part.strip(" ,.?")))


@lru_cache(maxsize=16)
def sentences(text: str) -> tuple[tuple[str, ...], ...]:
    """Return the clauses of each sentence, in order; a question keeps its mark."""
    found: list[tuple[str, ...]] = []
    for sentence in _marks_as_commas(text).split(" . "):
        parts = f" {sentence} ".replace(" but ", " , ").replace(" ? ", " ? , ").split(" , ")
        if clause := tuple(bare for part in parts if (bare := part.strip(" ,."))):
            found.append(clause)
    return tuple(found)


_ASKS = compiled(r"""
    \bif you (?:can|please|would|could|will)\b|\bwonder\w* (?:if|whether)\b|\b(?:mind|terribly|awfully|ok|okay|alright|
    all right) if (?:i|we)\b|\bknow if\b""")


def polite_removed(text: str, book: Lexicon) -> str:
    """Return `text` without "when able", "if you can" and the like, which make nothing conditional.

    "If you can" and "is it ok if we" leave a "please" at the end of their clause, for they were said to the controller;
    "when able" may be the caller's.
    """
    if book.polite.search(text) is None:
        return " ".join(text.split())
    parts = _BREAK.split(text)
    for at, part in enumerate(parts):
        plain, found = book.polite.subn(" ", part)
        if found:
            parts[at] = f"{plain} please " if _ASKS.search(part) and plain.strip() else plain
    return " ".join("".join(parts).split())
