"""A call's text cut into sentences and clauses.

The texts that the call is read from are words in small letters with single spaces, numbers as digits, breaks as ", .
?",
recognised names as "<name>", places as "<place>", the callsign and the facility as "<callsign>" and "<facility>".
"""

from __future__ import annotations

import re
from functools import lru_cache

from drill.language.lexicon import Lexicon

_MARKS = r"<callsign>|<other callsign>|<facility>|<other unit>"


@lru_cache(maxsize=16)
def clauses(text: str) -> tuple[str, ...]:
    """Return the parts of a text between breaks and marks, in order."""
    parts = re.split(rf" ?(?:[,.?](?: |$)|{_MARKS}) ?", text)
    return tuple(part.strip() for part in parts if part.strip())


@lru_cache(maxsize=16)
def sentences(text: str) -> tuple[tuple[str, ...], ...]:
    """Return the clauses of each sentence, in order; a question keeps its mark."""
    found: list[tuple[str, ...]] = []
    for sentence in re.split(r" ?[.](?: |$)", text):
        parts = [part.strip() for part in re.split(rf" ?(?:[,](?: |$)|(?<=\?) |{_MARKS}|\bbut\b) ?", sentence)]
        if any(parts):
            found.append(tuple(part for part in parts if part))
    return tuple(found)


def polite_removed(text: str, book: Lexicon) -> str:
    """Return `text` without "when able", "if you can" and the like, which make nothing conditional.

    "If you can" leaves a "please" at the end of its clause, for it was said to the controller; "when able" may be the
    caller's.
    """
    parts = re.split(r"([,.?])", text)
    for at, part in enumerate(parts):
        plain, found = book.polite.subn(" ", part)
        if found:
            parts[at] = f"{plain} please " if "if you can" in part and plain.strip() else plain
    return " ".join("".join(parts).split())
