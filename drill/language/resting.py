"""The words that what a line orders rests on: found by leaving out one after another, as long as nothing changes."""

from __future__ import annotations

from drill.language.meaning import Context
from drill.language.reader import read
from drill.language.words import tokens

MOST_WORDS = 40
"""A longer line is not taken apart: each of its words costs a reading."""


def rests_on(typed: str, context: Context) -> str:
    """Return the fewest words of `typed` that are read as all of it is, as typed, in their order; all of it where it
    is too long to be taken apart."""
    places = list(dict.fromkeys((token.start, token.end) for token in tokens(typed)))
    if len(places) > MOST_WORDS:
        return typed
    wanted = read(typed, context)
    kept = [typed[start:end] for start, end in places]
    for word in sorted(kept, key=len):   # the small words first: the long ones say more
        fewer = list(kept)
        fewer.remove(word)
        if fewer and read(" ".join(fewer), context) == wanted:
            kept = fewer
    words = " ".join(kept)
    return words if read(words, context) == wanted else typed
