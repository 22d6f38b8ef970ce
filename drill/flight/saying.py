"""Whether words are said as a thing of now: not denied, not put off, not asked, each word judged in its own clause."""

from __future__ import annotations

import re

from drill.flight.controller_state import ControllerState
from drill.language.patterns import compiled

_CLAUSE = re.compile(r"[,.;!:]|\b(?:and|but|then|because|so)\b")
_GOVERNS = compiled(r"""
    \b(?:no|not|never|without|unable|negative|if|unless|until|when|once|may|might|would|should|could|report|in case|
    avoid\w*|cancel\w*|instead of|rather than)\b""")
_PUT_OFF = compiled(r"""
    ^\W*(?:if|unless|when|once|only if|in case|at the)\b|
    ^(?:'s| is| has| was)?(?: all| now| been| just)* (?:gone|cleared|stopped|over|out(?! of))\b""")
"""What follows words that puts them off, or says that it is over."""
_ASKED = re.compile(r"^\W*(?:should|shall|do|are|is|can|could|what|how|why|where)\b.*\?$")


def clauses_of(words: str) -> list[str]:
    """Return the clauses of a line in small letters, each with its own "?" where one ends it."""
    spelled = words.lower().replace("\u2019", "'").replace("can't", "can not").replace("n't", " not")
    return [each.strip() for each in _CLAUSE.split(spelled) if each.strip()]


def said_now(words: str, pattern: re.Pattern[str]) -> bool:
    """Say whether a clause of `words` says what `pattern` means, and nothing that governs it denies or puts it off.

    "going around, runway not in sight" goes around now: "not" stands in another clause.
    """
    for clause in clauses_of(words):
        found = pattern.search(clause)
        if found is None or _GOVERNS.search(clause[:found.start()]) or _ASKED.search(clause):
            continue
        if not _PUT_OFF.search(clause[found.end():]):
            return True
    return False


def just_said(state: ControllerState, pattern: str) -> bool:
    """Say whether the last line to this airplane had words that `pattern` matches."""
    return re.search(rf"\b{pattern}\b", state.last_words, re.IGNORECASE) is not None
