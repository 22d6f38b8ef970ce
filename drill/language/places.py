"""Places in a line: the known ones, and strange names that stand where a place stands."""

from __future__ import annotations

from collections.abc import Sequence

from rapidfuzz.distance import OSA

from drill.language.callsigns import LETTERS
from drill.language.meaning import Context
from drill.language.words import Token, merged, word_set

PLACE, FIX = "<place>", "<fix>"
_BEFORE = frozenset({"to", "at", "direct", "into", "for", "over", "of", "near", "toward", "towards", "from", "past",
                     "abeam", "overhead", "landing", "ostensibly", "and", "north", "south", "east", "west", "ne",
                     "nw",
                     "se", "sw", "northeast", "northwest", "southeast", "southwest", "inbound", "between", "passing",
                     "the"})
_NO_PLACE = word_set(
    """the a an my our your any anywhere nearest closest visual vmc vfr imc ifr ils asr par vor gps rnav ndb
    runway land go get it him her them that this there here where some someplace somewhere home back on top clear
    return maintain
    hold do make see keep remain stay climb descend partial full approach center departure tower ground radar
    information
    heading north south east west i we you if and but so ok okay yes no not hi request mayday pan emergency atc dme
    faf loc
    pob sob eta am pm utc squawk fuel souls student solo us me nothing zero lower higher now alternate standby primary
    icing ice cloud clouds flight level minutes hours miles feet terrain obstacles comm dg ai tc asi vsi hsi hi vacuum
    sra rwy hdg alt req rqst wilco roger unable affirm affirmative negative""")


def known_places(context: Context) -> tuple[str, ...]:
    """Return the places that the context names: the facility's and the listed ones."""
    facility = context.facility.split()
    own = (facility[0],) if facility else ()
    return (*context.places, *(place for place in own if place not in context.places))


def with_places(line: Sequence[Token], words: str, context: Context) -> tuple[tuple[Token, ...], dict[int, str]]:
    """Return `line` with places as "<place>" and five-letter fixes as "<fix>", and each place's spelling by its
    start.

    A place is one that the context knows, also misspelled, or a word with a capital letter (in a line that has small
    letters too) after a word such as "to", "direct" or "over".
    """
    known = [(place, place.lower().split()) for place in known_places(context)]
    shaded = any(c.islower() for c in words)
    result: list[Token] = []
    spelled: dict[int, str] = {}
    at = 0
    while at < len(line):
        token = line[at]
        end, spelling = _known_at(line, at, known)
        if end > at:
            result.append(merged(line, at, end, PLACE))
            spelled[token.start] = spelling
            at = end
            continue
        original = words[token.start:token.end]
        before = line[at - 1].text if at else "."
        word = token.text
        strange = word.isalpha() and len(word) > 2 and word not in _NO_PLACE and word not in LETTERS
        if strange and before in _BEFORE:
            if shaded and original.isupper() and len(original) == 5:
                result.append(Token(FIX, token.start, token.end))
                at += 1
                continue
            if shaded and original[0].isupper() and not original.isupper():
                result.append(Token(PLACE, token.start, token.end))
                spelled[token.start] = original
                at += 1
                continue
        result.append(token)
        at += 1
    return tuple(result), spelled


def _known_at(line: Sequence[Token], at: int, known: Sequence[tuple[str, list[str]]]) -> tuple[int, str]:
    for spelling, words in known:
        end = at + len(words)
        if end <= len(line) and all(_alike(line[at + n].text, word) for n, word in enumerate(words)):
            return end, spelling
    return at, ""


def _alike(said: str, word: str) -> bool:
    return said == word or (len(word) >= 6 and len(said) >= 5 and OSA.distance(said, word, score_cutoff=1) <= 1)
