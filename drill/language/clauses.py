"""A call's text cut into sentences and clauses.

The texts that the call is read from are words in small letters with single spaces, numbers as digits, breaks as ", .
?",
recognised names as "<name>", places as "<place>", the callsign and the facility as "<callsign>" and "<facility>".
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from drill.language.lexicon import lexicon

_MARKS = r"<callsign>|<other callsign>|<facility>|<other unit>"


def clauses(text: str) -> list[str]:
    """Return the parts of a text between breaks and marks, in order."""
    parts = re.split(rf" ?(?:[,.?](?: |$)|{_MARKS}) ?", text)
    return [part.strip() for part in parts if part.strip()]


def sentences(text: str) -> Iterator[list[str]]:
    """Yield the clauses of each sentence; a question keeps its mark."""
    for sentence in re.split(r" ?[.](?: |$)", text):
        parts = [part.strip() for part in re.split(rf" ?(?:[,](?: |$)|(?<=\?) |{_MARKS}|\bbut\b) ?", sentence)]
        yield [part for part in parts if part]


def polite_removed(text: str) -> str:
    """Return `text` without "when able", "if you can" and the like, which make nothing conditional.

    "If you can" leaves a "please" at the end of its clause, for it was said to the controller; "when able" may be the
    caller's.
    """
    parts = re.split(r"([,.?])", text)
    for at, part in enumerate(parts):
        plain, found = lexicon().polite.subn(" ", part)
        if found:
            parts[at] = f"{plain} please " if "if you can" in part and plain.strip() else plain
    return " ".join("".join(parts).split())
