"""Misspelled words put right, where only one word of the trade is near enough."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from rapidfuzz import process
from rapidfuzz.distance import OSA

from drill.language.lexicon import Lexicon
from drill.language.ordinary import ORDINARY
from drill.language.remembered import Remembered
from drill.language.words import Token, word_set

TRADE_WORDS = word_set(
    """straight throttle carburettor request requesting vectors partial emergency declaring heading descend descending
    climb climbing maintain maintaining unable negative affirmative standby approach center departure tower
    information nearest airport visual conditions priority weather souls minutes remaining diverting divert
    returning return continue surveillance precision radar checklist squawk correction intentions disregard wings
    level compare check cover altitude frequency vacuum instrument instruments failed failure inoperative unreliable
    minimum holding position runway mayday knots degrees thousand hundred assistance immediate landing takeoff abort
    reject failing working reading showing tumbled frozen blocked spinning drifting broken closest everywhere clouds
    icing serviceable unserviceable unusable useless stopped aerodrome nothing indicating flying generator
    alternator turning losing trouble stuck dropped dropping wandering precessing toppled steering approaching
    uncover unmask helping tumbling toppling precessing drifting steady everything between around another leaning
    plugged whether strange inbound sinking verify monitor
    examine inspect accelerate reduce""")
_COMMON = word_set(
    """with when from this that turn turns stop start think again would could which there three right left feet have
    want wants level into over about after five four seven eight nine wrong south north west east need help been
    were they what where just only back down land going trying failed white clear cloud clouds bright much make made
    take time like twenty thirty forty fifty sixty seventy eighty ninety some same still then than them your ours
    does done know thanks please""")
SHORTEST_SWAPPED = 4
SHORTEST = 6
_ENDINGS = frozenset({"", "e", "d", "ed", "es", "s", "ing", "or", "ion", "ions", "ors", "ly", "al", "able", "r", "y",
                      "n"})


@lru_cache(maxsize=16)
def _known(book: Lexicon) -> tuple[frozenset[str], tuple[str, ...]]:
    every = TRADE_WORDS | book.vocabulary
    return every | ORDINARY | book.said, tuple(sorted(word for word in every if len(word) >= SHORTEST - 1))


@lru_cache(maxsize=16)
def every_day(book: Lexicon) -> frozenset[str]:
    """Return the words in which two letters that were swapped are put right: those of the trade, and common ones."""
    return TRADE_WORDS | book.vocabulary | book.said | _COMMON


def put_right(word: str, book: Lexicon) -> str:
    """Return `word`, or the word of the trade that it misspells."""
    return _right_words(book)[word]


@lru_cache(maxsize=16)
def _right_words(book: Lexicon) -> Remembered[str]:
    return Remembered(lambda word: _right(word, book))


def _right(word: str, book: Lexicon) -> str:
    """Return the word of the trade that `word` misspells, or `word` itself.

    A word of six to nine letters may differ by one letter (added, dropped, changed, or two swapped), one of ten or
    more by two; the first letter must be right.
    """
    known, targets = _known(book)
    if word.endswith("in") and word not in known and word + "g" in known:
        return word + "g"   # "taxiin'"
    if len(word) >= SHORTEST_SWAPPED and word.isalpha() and len(word) <= 24 and not (
            word in known or word in every_day(book) or word.removesuffix("s") in known):
        for at in range(len(word) - 1):
            swapped = f"{word[:at]}{word[at + 1]}{word[at]}{word[at + 2:]}"
            if swapped in every_day(book):
                return swapped   # "trun", "agian"
    if len(word) < SHORTEST - 1 or word in known or not word.isalpha() or len(word) > 24:
        return word
    if len(word) >= SHORTEST and word not in every_day(book) and (jumbled := _jumbled(word, targets)):
        return jumbled
    allowed = 1 if len(word) < 10 else 2
    best = process.extractOne(word, targets, scorer=OSA.distance, score_cutoff=allowed)
    if best is None or best[0][0] != word[0] or _is_form_of(word, best[0]) or max(len(word), len(best[0])) < SHORTEST:
        return word
    return str(best[0])


def _jumbled(word: str, targets: Sequence[str]) -> str | None:
    """Return the one word of the trade with the same letters, the first and the last in their places ("sqwuak")."""
    letters = sorted(word)
    same = [each for each in targets if len(each) == len(word) and each[0] == word[0] and each[-1] == word[-1]
            and sorted(each) == letters]
    return same[0] if len(same) == 1 else None


def _is_form_of(word: str, target: str) -> bool:
    """Whether `word` is only another form of `target` ("tower", "towers"; "navigate", "navigator")."""
    shared = next((at for at, (a, b) in enumerate(zip(word, target, strict=False)) if a != b),
                  min(len(word), len(target)))
    if word + "e" == target:
        return False   # "attitud"
    if shared < 4 or (target.endswith("ss") and word == target[:-1]):
        return False
    return word[shared:] in _ENDINGS and target[shared:] in _ENDINGS


def spelled(line: Sequence[Token], book: Lexicon) -> tuple[Token, ...]:
    """Return `line` with misspelled words put right."""
    right = _right_words(book)
    fixed = [token if (word := right[token[0]]) == token[0] else Token(word, token.start, token.end) for token in line]
    if fixed == list(line):
        return tuple(line)
    for at in range(len(fixed) - 1):   # "atitude" is as near to altitude as to attitude; what follows decides
        changed = fixed[at].text in ("altitude", "attitude") and fixed[at].text != line[at].text
        if changed:
            beside = fixed[at + 1].text == "and" and at + 2 < len(fixed) and fixed[at + 2].text == "heading"
            instrument = beside or fixed[at + 1].text in ("indicator", "gyro", "instrument", "display")
            fixed[at] = Token("attitude" if instrument else "altitude", fixed[at].start, fixed[at].end)
    return tuple(fixed)
