"""The words with which a speaker takes back what was just said: one table for orders and for calls.

Some of them give it anew ("no, make that 4000"), some only drop it ("scratch that", "on second thought don't").
Texts are words in small letters with single spaces, breaks as ", . ?".
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

from drill.language.patterns import compiled, laid_out
from drill.language.words import Token, joined, word_set

Markers: TypeAlias = Mapping[str, Sequence[tuple[str, ...]]]
"""Phrases by their first word."""


def _phrases(text: str) -> Markers:
    found: dict[str, list[tuple[str, ...]]] = {}
    for phrase in laid_out(text).split("|"):
        first, *more = phrase.split()
        found.setdefault(first, []).append((first, *more))
    return found


MENDS_CALLS = _phrases("""
    correction|i mean|make that|scratch that|i meant|or rather|strike that|no|no wait|wait no|sorry|check that|
    no make that|sorry no|no sorry""")
"""Words after which a call gives anew what stands just before them."""
MENDS_ORDERS = _phrases("""
    correction|i mean|make that|uh make that|um make that|er make that|ah make that|scratch that|i meant|or rather|
    strike that|no wait|wait no|sorry|no|no make that|actually|no sorry|nope|sorry make that|sorry meant|
    sorry , meant|er sorry|uh sorry|wait , no|no , make that|
    actually make that|make it|no make it|actually no|
    rather|oops|er no|uh no|no , wait|no i mean|no , i mean|er|negative|er i mean|jk|just kidding|oops wrong|nah|nah ,|
    hang on|hang on ,|i mean ,|no wait ,|er ,|on second thought|on second thoughts|on second thought make that|
    on second thought make it|hm no|hmm no|no rather|or actually|no correction|correction make that|i meant to say|
    no i meant|or make that|or make it|better make that|better make it|rather make that|wait|not that one|not that 1|
    no not that one|no not that 1|wrong one|wrong 1|no not that|not that|naw|nup|eh|ehh|sry|mistake|no mistake|
    pardon|non pardon|i beg your pardon|belay that|disregard""")
"""Words with which a pilot takes back an order and gives it anew."""

_LED = laid_out(r"""
    (?:(?:no|nah|nope|oh|er|uh|um|wait|hang on|hold on|actually|sorry|well|but|and|or|hmm?|ok|okay|please|just|
    on second thoughts?|on reflection|come to think of it|,) )*""")
_OBJECT = laid_out(r"""
    (?:that|this|both|(?:all|both|the whole|most) (?:of )?(?:that|this|it|them|thing)|(?:the|my|that) (?:last|lot|
    requests?)(?: 1|
    one| part| bit| order| call)?|last|everything|<panel>|the whole thing)""")
_BY_WORD = laid_out(rf"""
    (?:(?:disregard|scratch|cancel|strike|belay|never ?mind|nvm|forget|nix|withdraw)(?: {_OBJECT})?|
    (?:cancel|scratch|forget|belay|strike|nix) (?:it|about (?:it|that))|(?:ignore|drop|skip|undo|scrap|scrub|abandon|
    abort|
    retract|delete|withdraw|do not do|do not send|do not say) {_OBJECT})""")
_BY_SENTENCE = laid_out(r"""
    (?:(?:i )?take (?:that|it|this) back|(?:i )?(?:have )?changed my mind|as you were|(?:only |just )?(?:kidding|
    joking)|jk|(?:let us |i will |we will )?(?:do not|will not|rather not|better not)(?: do (?:it|that|this)| bother|
    yet| after all)?|not (?:yet|now|really|after all)|(?:i|we) do not (?:mean|want) (?:it|that)|no(?: no)*|nah|nope|
    negative|oops|no wait|wait no)""")
_TAIL = r"(?: (?:please|sorry|then|now|for now|thanks|thank you|after all|instead|mate|though|at all|yet|,))*"
_DROPS = compiled(rf"^{_LED}(?:{_BY_WORD}|{_BY_SENTENCE}){_TAIL}(?= [,.?]|$)")
_PLAINLY = r"^(?:(?:no|nah|nope|wait|but|or|actually|oh|er|ah|uh|um|hm|sorry) )*"
_DROPS_PLAINLY = compiled(rf"{_PLAINLY}{_BY_WORD}{_TAIL}(?= [,.?]|$)")
_AT_THE_END = compiled(rf"""
    ^(?:(?:no|wait|actually|oh|er|sorry|or) )+(?:leave|keep) (?:it|that|them)(?: (?:be|alone|on|off|covered|uncovered|
    there|so|as it is|like that|open|closed))*(?: [,.?])*$|
    {_PLAINLY}(?:do not(?: do (?:it|that|this))?|oops|jk|(?:just |only )?kidding|not (?:now|yet)|(?:i )?changed my mind|
    (?:i )?take that back|on second thoughts? (?:no|do not)|nah|nope|negative)(?: [,.?])*$""")
_LEFT = compiled(rf"^{_LED}(?<= )(?:leave (?:it|that)(?: be| alone)?|let it be){_TAIL}(?= [,.?]|$)")
_EVERYTHING = compiled(r"\b(?:all|everything|whole|both|the lot)\b")
_READS = word_set("is are was were reads reading shows showing goes going went gone")
"""Before "negative", where it is what an instrument shows."""
LONGEST = 14


def dropped_at(line: Sequence[Token], at: int, *, after_break: bool) -> int:
    """Return the end of the words at `at` that take back what stands before them, `at` where there are none.

    They reach to the next break or the end. Without a break before them only plain ones count: "squawk 7700 cancel
    that", not "turn right no".
    """
    if line[at].text == "negative" and at and line[at - 1].text in _READS:
        return at   # "amps are negative"
    text = joined(line[at:at + LONGEST])
    patterns = (_DROPS, _LEFT) if after_break else (_DROPS_PLAINLY, _AT_THE_END)
    return max((at + len(match.group().split()) for pattern in patterns if (match := pattern.match(text))), default=at)


def drops_plainly(clause: str) -> bool:
    """Whether a clause takes back what was said before it in words that can mean nothing else ("cancel that")."""
    match = _DROPS_PLAINLY.match(clause)
    return match is not None and match.end() == len(clause)


def takes_back(clause: str) -> bool:
    """Whether a clause takes back what was said before it, and gives nothing in its place."""
    match = _DROPS.match(clause)
    return match is not None and match.end() == len(clause)


def takes_all_back(clause: str) -> bool:
    """Whether such a clause takes back more than the last thing said: "cancel all that"."""
    return _EVERYTHING.search(clause) is not None
