"""Places in a line: the known ones, and strange names that stand where a place stands."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from rapidfuzz.distance import OSA

from drill.language.letters import LETTERS
from drill.language.meaning import Context
from drill.language.words import Token, merged, word_set

PLACE, FIX = "<place>", "<fix>"
FIX_LENGTH = 5
"""Letters of a fix's name (ICAO Annex 11, Appendix 2: a five-letter name-code; from memory)."""
_BEFORE = frozenset({"divert", "diverting", "to", "at", "direct", "into", "for", "over", "of", "near", "toward",
                     "towards", "from", "past",
                     "abeam", "overhead", "landing", "ostensibly", "and", "north", "south", "east", "west", "ne",
                     "nw",
                     "se", "sw", "northeast", "northwest", "southeast", "southwest", "inbound", "between", "passing",
                     "with", "vectors", "crossing",
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
    needle ball wings sra rwy hdg alt req rqst wilco roger unable affirm affirmative negative cessna piper mooney
    bonanza cherokee cirrus""")


_CAPITALIZED = re.compile(r"\b[^\W\d_a-z][^\W\d_A-Z]")


def known_places(context: Context) -> tuple[str, ...]:
    """Return the places that the context names: the facility's and the listed ones."""
    facility = context.facility.split()
    own = (facility[0],) if facility else ()
    return tuple(place for place in dict.fromkeys((*context.places, *own)) if place.strip())


@lru_cache(maxsize=64)
def _in_words(places: tuple[str, ...], facility: str) -> tuple[tuple[tuple[str, list[str]], ...], frozenset[str]]:
    """Return the places with their words in small letters, and the letters that the first of them begin with."""
    known = tuple((place, place.lower().split()) for place in known_places(Context("", facility, places)))
    return known, frozenset(letter for _, name in known for letter in name[0][:2])


def with_places(line: Sequence[Token], words: str, context: Context) -> tuple[tuple[Token, ...], dict[int, str]]:
    """Return `line` with places as "<place>" and five-letter fixes as "<fix>", and each place's spelling by its
    start.

    A place is one that the context knows, also misspelled, or a word with a capital letter (in a line that has small
    letters too) after a word such as "to", "direct" or "over".
    """
    known, likely = _in_words(tuple(context.places), context.facility)
    small, capitals = words != words.upper(), words != words.lower()
    result: list[Token] = []
    spelled: dict[int, str] = {}
    at = 0
    before = "."
    while at < len(line):
        token = line[at]
        text = token[0]
        if text[0] in likely:
            end, spelling = _known_at(line, at, known)
            if end > at:
                result.append(merged(line, at, end, PLACE))
                spelled[token.start] = spelling
                at = end
                before = line[at - 1].text
                continue
        likely_here = before in _PRECEDES or (
            at > 1 and (before in _LED or before[0] in _DIGITS) and _leads(line[at - 2][0], before))
        mark = _strange_at(line, at, words, result, capitals=capitals, small=small) if likely_here else ""
        before = text
        if mark == PLACE:
            spelled[token.start] = words[token.start:token.end]
        result.append(Token(mark, token.start, token.end) if mark else token)
        at += 1
    return tuple(result), spelled


def _leads(earlier: str, before: str) -> bool:
    """Whether two words stand before a place that each alone does not: "nearest is", "straight in", "runway 18"."""
    if before == "is":
        return earlier in _IS_A_FIELD
    return (before == "in" and earlier == "straight") or (earlier in _RUNWAY and before.isdigit())


def _strange_at(line: Sequence[Token], at: int, words: str, before_it: Sequence[Token], *, capitals: bool,
                small: bool) -> str:
    """Return `PLACE` or `FIX` for a strange word where a place stands, "" for any other.

    `capitals` and `small`: the line has such letters.
    """
    token = line[at]
    word = token.text
    before = line[at - 1].text if at else "."
    led = before.isdigit() or before in _LED
    if before in _BEFORE or (before == "," and capitals and small) or before in _TAKES_BACK or led:
        if not word.isalpha() or len(word) <= 2 or word in _NO_PLACE or word in LETTERS:
            return ""
    else:
        return ""
    original = words[token.start:token.end]
    named = original[0].isupper() and not original.isupper()
    plain = original.islower() and _CAPITALIZED.search(words) is None   # "AI", "IMC" are written so in any line
    if plain or not small:   # in capitals alone a fix cannot be told from a place but by its length
        return PLACE if word not in _COMMON and _headed(line, at) and (plain or len(word) != FIX_LENGTH) else ""
    if before in _BEFORE or led:
        return FIX if original.isupper() and len(original) == FIX_LENGTH else PLACE if named else ""
    following = [each.text for each in line[at + 1:at + 3]]
    nearest = following[:1] == ["is"] and following[1:] and following[1] in _BETTER
    if named and (not following or following[0] == "." or following == ["it", "is"] or nearest):
        return PLACE   # "divert, Millrace it is"
    instead = any(each.text == PLACE for each in before_it[-4:]) and any(
        each.text in _TAKES_BACK for each in before_it[-3:])
    return PLACE if named and instead else ""



_TAKES_BACK = frozenset({"that", "no", "nope", "correction", "sorry", "er", "mean", "meant", "rather", "actually",
                         "wait"})
_IS_A_FIELD = frozenset({"how", "nearest", "closest", "alternate", "field", "airport", "destination", "airfield"})
_BETTER = frozenset({"closest", "nearest", "closer", "nearer", "better", "best", "close", "near"})
_LED = frozenset({"is", "in"})
_DIGITS = frozenset("0123456789")
_RUNWAY = frozenset({"runway", "rwy"})
_PRECEDES = _BEFORE | _TAKES_BACK | {","}
"""What stands before a strange place."""
_HEADS = frozenset({"go", "land", "landing", "divert", "diverting", "direct", "vectors", "vector", "return",
                    "returning",
                    "head", "heading", "headings", "steers", "proceed", "proceeding", "into", "gliding", "come",
                    "coming", "fly", "steer", "get", "asr", "par", "sra", "ils", "approach", "localizer",
                    "turn", "turning"})
_GOES_ON = word_set("""landing descending climbing inbound diverting turning heading requesting request level now
                    proceeding circling holding imc vmc""")
"""What follows a place that is flown over, where nothing parts them: "OVER WENDLEBY DESCENDING"."""
_COMMON = word_set(
    """base land ground earth town work bed sleep hell company maintenance destination final finals sea water
    field runway whichever whatever whoever somebody anybody anyone someone something anything everything each
    every all both one two three four five six seven eight nine ten pieces bits warmer better worse smoother
    clearer safe safety straight wherever terminal gate ramp hangar hanger parking fuel stay try find look check
    see start stop turn level normal present current new old same other another more less left right up down out
    in over under again ops departure arrival circuit pattern downwind crosswind short long full final plan
    filed flight point position waypoint intersection mountain mountains weight coast river lake valley city airport
    airports airfield aerodrome strip farm highway road vmc vfr approximately about around maybe perhaps
    practice training fun real sure minimums minima save avoid intercept reach pass miss remain give help tell report
    call sort fix reset restart run finish complete
    refuel wait burn lose gain probably please immediately soon quickly later first last next some any lots
    much many few""")


def _headed(line: Sequence[Token], at: int) -> bool:
    """Whether a word stands after "go to", "land at", "vectors into" and the like, where nothing but a place does."""
    if at < 2 or line[at - 1].text not in ("to", "at", "into", "for", "toward"):
        if line[at - 1].text in ("over", "overhead", "abeam"):
            return at + 1 == len(line) or line[at + 1].is_break or line[at + 1].text in _GOES_ON or (
                at + 2 < len(line) and line[at + 1].text == "at" and line[at + 2].text[0].isdigit())
        return at > 0 and (line[at - 1].text == "direct" or line[at - 1].text.isdigit())
    before = line[at - 2].text if line[at - 2].text != "back" or at < 3 else line[at - 3].text
    return before in _HEADS


def _known_at(line: Sequence[Token], at: int, known: Sequence[tuple[str, list[str]]]) -> tuple[int, str]:
    said = line[at].text
    for spelling, words in known:
        first = words[0]
        if said != first and (len(said) < 5 or said[0] not in first[:2] or not _alike(said, first)):
            continue
        end = at + len(words)
        if end <= len(line) and all(_alike(line[at + n].text, word) for n, word in enumerate(words)):
            return end, spelling
    return at, ""


@lru_cache(maxsize=4096)
def _alike(said: str, word: str) -> bool:
    return said == word or (len(word) >= 6 and len(said) >= 5 and -2 < len(said) - len(word) < 2
                            and OSA.distance(said, word, score_cutoff=1) <= 1)
