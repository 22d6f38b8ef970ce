"""Who is speaking and who is spoken to: callsigns in every form, facilities by name and by function.

Source of the forms: AIM 4-2-4 (after contact is made the callsign may be shortened to its last characters), 4-2-7
(letters).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from drill.language.facilities import FACILITY, OTHER, OWN, UNIT, unit_words_spelled, with_facility
from drill.language.letters import LETTERS, NOT_NAMES, alike, characters, parts_of
from drill.language.meaning import Context
from drill.language.numbers import DIGITS, TENS
from drill.language.remembered import Remembered
from drill.language.words import Token, merged, word_set


@dataclass(frozen=True, slots=True)
class Addressed:
    """A line with callsign and facility marked: the tokens, and what was found.

    `shortened`: the own callsign was given, but nowhere with all its characters.
    """

    line: tuple[Token, ...]
    callsign: Literal["given", "wrong", "absent"]
    facility: bool
    shortened: bool = False


def _spelled_at(line: Sequence[Token], at: int, rest: str = "") -> list[tuple[int, set[str]]]:
    """Return for each further end the characters that the words from `at` may spell ("four eighteen": 418).

    Letters that end `rest`, the characters of a callsign, count as such also in one word ("nine vr").
    """
    ends: list[tuple[int, set[str]]] = []
    so_far = {""}
    while at < len(line) and len(ends) < 8:
        word = line[at].text
        if word == "and" and ends and line[at - 1].text == "hundred":
            at += 1   # "nine hundred and twelve"
            continue
        found = characters(word)
        if word == "hundred" and ends and all(len(said) == 1 for said in so_far):
            found = "00"   # "four hundred": 400
        short = word in _ALSO_WORDS and word in rest
        if found is None and ends and word.isalpha() and (short or (1 < len(word) <= 3 and rest.endswith(word))):
            found = word
        if found is None:
            break
        nexts = {said + found for said in so_far} if len(so_far) > 1 else {next(iter(so_far)) + found}
        if ends and word in DIGITS and line[at - 1].text in TENS:   # "thirty five": 35, not 305
            nexts |= {said[:-1] + found for said in so_far if said.endswith("0")}
        if ends and line[at - 1].text in ("hundred", "and"):   # "nine hundred (and) twelve": 912
            nexts |= {said[:-len(found)] + found for said in so_far if said.endswith("00") and len(found) <= 2}
        if word == "x" and at + 1 < len(line) and line[at + 1].text == "ray":
            at += 1
        so_far = nexts
        at += 1
        ends.append((at, so_far))
    return ends


_ALSO_WORDS = frozenset({"a", "i"})
"""Letters that are words as well: of a callsign only where they are in it ("six a d")."""


@lru_cache(maxsize=4096)
def _mixed(characters: str) -> bool:
    return any(c.isdecimal() for c in characters) and any(c.isalpha() for c in characters)


def _callsign_at(
    line: Sequence[Token], at: int, name: str, rest: str, starts: bool
) -> tuple[int, Literal["given", "wrong"]] | None:
    """Return the end and verdict of the callsign at `at`, if one stands there."""
    word = line[at].text
    named = bool(name) and alike(word, name)
    begin = at + 1 if named else at
    if not named and len(name) >= 6 and at + 1 < len(line) and word.isalpha() and len(word) > 2 and alike(
            word + line[at + 1].text, name):
        named, begin = True, at + 2   # "copper leaf"
    if not named and not starts and (characters(word) or "?")[0] not in rest:
        return None   # nobody's but another airplane's, and those are heard only where a callsign begins
    ends = _spelled_at(line, begin, rest)
    longest = max((len(said) for said in ends[-1][1]), default=0) if ends else 0
    for end, spellings in reversed(ends):
        for said in spellings:
            broken = named and end < ends[-1][0] and said != rest and longest <= len(rest)   # "828" is not "82"
            if broken:
                continue
            if rest.endswith(said) and len(said) >= (1 if named else 2) and (named or said == rest or _mixed(said)
                                                                             or len(said) >= 3):
                return end, "given"
    if named:
        begun = [end for end, spellings in ends for said in spellings if len(said) >= 2 and rest.startswith(said)]
        if begun and ends[-1][0] == begun[-1]:
            return begun[-1], "given"
        plausible = [end for end, spellings in ends for said in spellings
                     if len(said) == len(rest) or (len(said) >= 2 and _mixed(said) and len(said) <= len(rest) + 1)]
        if plausible:
            mended = _mended(line, plausible[-1], ends, rest)
            return (mended, "given") if mended else (plausible[-1], "wrong")
        if ends and (mended := _mended(line, ends[-1][0], ends, rest)):
            return mended, "given"
        return (begin, "given") if starts and not ends else None
    return _foreign_at(line, at, rest, starts)


_MENDS = (("i", "mean"), ("correction",), ("sorry",), ("make", "that"), ("no",), ("i", "meant"), ("er",), ("uh", "no"))


def _mended(line: Sequence[Token], at: int, ends: Sequence[tuple[int, set[str]]], rest: str) -> int:
    """Return the end of a callsign put right at once ("two six kay bec, I mean quebec"), 0 when it is not."""
    for marker in range(at, min(at + 3, len(line))):
        for words in _MENDS:
            end = marker + len(words)
            if tuple(token.text for token in line[marker:end]) != words:
                continue
            while end < len(line) and line[end].is_break:
                end += 1
            for until, spellings in reversed(_spelled_at(line, end)):
                for said in spellings:
                    kept = rest.removesuffix(said)
                    if kept != rest and (not kept or any(each.startswith(kept) for _, begun in ends for each in begun)):
                        return until
    return 0


def _foreign_at(line: Sequence[Token], at: int, rest: str, starts: bool) -> tuple[int, Literal["wrong"]] | None:
    """Return another airplane's callsign at `at`: a strange name with characters, or mixed characters alone."""
    word = line[at].text
    if _MEASURED.fullmatch(word) or (_HOURS_OR_THOUSANDS.fullmatch(word) and not _opens(line[:at])):
        return None
    if word.isalpha() and len(word) >= 4 and word not in LETTERS and word not in NOT_NAMES and characters(
        word) is None:
        for end, spellings in reversed(_spelled_at(line, at + 1)):
            if starts and (rest in spellings or any(_mixed(said) and said[0].isdecimal() and len(said) >= 3
                                                    and said[-1].isalpha() for said in spellings)):
                return end, "wrong"
        return None
    if starts:
        for end, spellings in reversed(_spelled_at(line, at)):
            whole = end >= len(line) or line[end].is_break or line[end].text not in ("miles", "feet", "k")
            for said in spellings:
                if 3 <= len(said) == len(rest) and _mixed(said) and said[-1].isalpha() and said[
                    0].isdecimal() and whole:
                    return end, "wrong"
    return None


_MEASURED = re.compile(r"\d+(?:hrs?|mins?|nm|kts?|ft|deg|pob|sob|pax|lbs?|kg)")
"""A figure written against its unit, which is nobody's callsign: "2hr"."""
_HOURS_OR_THOUSANDS = re.compile(r"\d+[hk]")
"""A figure that is another's callsign where a call begins, and later in it a time or an altitude: "12k"."""
_OF_A_FIGURE = word_set(
    """feet ft degrees knots knot kts kt hundred thousand miles mile nm minutes mins hours hrs volts amps rpm inches
    pounds lbs fpm hpa percent gallons litres liters souls people""")
"""What makes of a bare figure no callsign: "ok 400 feet"."""
_ACKNOWLEDGES = frozenset({"ok", "okay", "roger", "wilco", "copy", "thanks", "yes", "affirm", "affirmative"})
_BEFORE_CALLSIGN = frozenset({"from", "this", "is", "and", "uh", "um", "hi", "hello", "hey", "student", "for",
                              "with"})


def _opens(before: Sequence[Token]) -> bool:
    """Whether a call begins after these: nothing but who is called."""
    return all(token.is_break or token.text in (FACILITY, UNIT, *_BEFORE_CALLSIGN) for token in before)


def _is_figure(line: Sequence[Token], at: int, end: int) -> bool:
    """Whether a bare figure stands at `at`: "400 feet", "400 on the altimeter" after a roger."""
    if any(not token.text.isdecimal() for token in line[at:end]):
        return False
    following = [token.text for token in line[end:end + 2]]
    return following[:1] != [] and (following[0] in _OF_A_FIGURE or (
        following == ["on", "the"] and at > 0 and line[at - 1].text in _ACKNOWLEDGES))


def addressed(line: Sequence[Token], context: Context) -> Addressed:
    """Return `line` with the own callsign, others' callsigns and the facility as single marked tokens."""
    marked, facility = with_facility(unit_words_spelled(line), context)
    name, rest = parts_of(context.callsign)
    result: list[Token] = []
    verdicts: list[str] = []
    whole = False
    at = 0
    for begin in _may_begin(marked, name) if rest else ():
        if begin < at:
            continue
        result += marked[at:begin]
        at = begin
        before = result[-1].text if result else "."
        starts = before in (",", ".", "?", FACILITY, UNIT, "pan", "mayday") or before in _BEFORE_CALLSIGN
        found = _callsign_at(marked, at, name, rest, starts)
        if found is None:
            result.append(marked[at])
            at += 1
            continue
        end, verdict = found
        if verdict == "given" and _is_figure(marked, at, end):
            result.append(marked[at])
            at += 1
            continue
        in_full = before in _ACKNOWLEDGES and any(rest in said for _, said in _spelled_at(marked[at:end], 0))
        if verdict == "given" and marked[at].text not in (name,) and not (starts or in_full) and end < len(
                marked) and not (marked[end].is_break or _mixed("".join(
                    characters(t.text) or "" for t in marked[at:end]))):
            result.append(marked[at])
            at += 1
            continue
        verdicts.append(verdict)
        whole = whole or (verdict == "given" and _is_whole(marked[at:end], name, rest))
        result.append(merged(marked, at, end, OWN if verdict == "given" else OTHER))
        at = end
    result += marked[at:]
    callsign: Literal["given", "wrong", "absent"] = (
        "given" if "given" in verdicts else "wrong" if "wrong" in verdicts else "absent")
    return Addressed(tuple(result), callsign, facility, shortened=callsign == "given" and not whole)


def _may_begin(line: Sequence[Token], name: str) -> list[int]:
    """Return where a callsign can begin, in order: with its name, or with characters there or after a word."""
    spelled = [_SPELLS[text] for text, _, _ in line]
    initial = name[:1]
    return [at for at, (token, here, after) in enumerate(zip(line, spelled, (*spelled[1:], False), strict=False))
            if (here or token[0][0] == initial or (after and len(token[0]) > 3)) and token[0][0] != "<"
            and not _is_bearing(line, at)]


def _is_bearing(line: Sequence[Token], at: int) -> bool:
    """Whether a distance and a direction stand at `at`: "15 N of Kessing", which is nobody's callsign."""
    return at + 2 < len(line) and line[at + 1].text in _DIRECTIONS and line[at].text.isdecimal() and (
        line[at + 2].text in ("of", "from"))


def _spells(word: str) -> bool:
    return characters(word) is not None


_SPELLS = Remembered(_spells)
_DIRECTIONS = frozenset({"n", "s", "e", "w", "ne", "nw", "se", "sw"})


def _is_whole(said: Sequence[Token], name: str, rest: str) -> bool:
    """Whether a callsign was said with its name and all its characters."""
    return any(rest in spellings for at in range(min(2, len(said))) if not name or at or not alike(said[0].text, name)
               for _, spellings in _spelled_at(said, at)) and (not name or alike(said[0].text, name))
