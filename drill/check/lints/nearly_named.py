"""Words in a text that are nearly the name of a field or the callsign: who reads them looks for another place."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence

from rapidfuzz.distance import OSA

from drill.check.rules import warning
from drill.check.standing import texts, word_at
from drill.language.ordinary import ORDINARY
from drill.language.spelling import every_day
from drill.language.words import word_set
from drill.scenario.model import Scenario
from drill.scenario.places import Node, Text
from drill.scenario.problems import Problem

LEAST_LETTERS = 5
LETTERS_A_SLIP = 4
"""One slip in so many letters still looks like the same name."""
MOST_SLIPS = 2
_WORD = re.compile(r"[A-Z][a-z]+")
_BEGINS = re.compile(r"[.!?:;\n\"“‘(]\W*$")
_BEFORE = 8              # characters before a word that are looked at for the end of a sentence
_TITLES = ("title", "board title")
"""Texts in which any word may have a capital."""
_SMALL = re.compile(r"\b[a-z]+\b")
_CALENDAR = word_set(
    """january february march april august september october november december
    monday tuesday wednesday thursday friday saturday sunday""")
_UNREAD = ("callsign", "local words", "usage", "airplane", "covers", "coded")
"""Keys whose texts are no words for people, or define the name."""


def check_nearly_named(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each word of a text that was meant as a field's name or as the callsign and is not."""
    names = {field.name for field in scenario.fields}
    known = {word.casefold() for each in (*names, scenario.clearance.facility, scenario.callsign)
             for word in re.findall(r"\w+", each)}
    known |= _ordinary(scenario)
    single = [name for name in names if len(name) >= LEAST_LETTERS and name.isalpha()]
    make, _, number = scenario.callsign.partition(" ")
    found = []
    for way, text in texts(tree):
        if not set(way) & set(_UNREAD):
            found += [*_fields(text, single, known, scenario, title=way[-1] in _TITLES),
                      *_callsigns(text, make, number, scenario)]
    return found


def _ordinary(scenario: Scenario) -> frozenset[str]:
    """Return words that are meant as they stand: of the trade, of the calendar, and what is written small elsewhere."""
    return every_day(scenario.context.lexicon) | ORDINARY | _CALENDAR | frozenset(_SMALL.findall(scenario.text))


def _fields(
    text: Text, names: Sequence[str], known: Collection[str], scenario: Scenario, *, title: bool,
) -> Iterator[Problem]:
    told = set[str]()
    for match in _WORD.finditer(text.value):
        word = match.group()
        if len(word) < LEAST_LETTERS or word.casefold() in known or word in told:
            continue
        at = match.start()
        capital_by_place = title or not at or _BEGINS.search(text.value[max(0, at - _BEFORE):at]) is not None
        near = next((name for name in names if _slips(word, name) <= _allowed(name)
                     and (not capital_by_place or _same_letters(word, name))), None)
        if near is not None:
            told.add(word)
            yield warning(word_at(scenario.text, text.place, word), "nearly-named", f"`{word}` is no field",
                          f"nearly the name of `{near}`", "correct it, or give what it names a name less alike")


def _same_letters(word: str, name: str) -> bool:
    """Say whether two words differ by letters swapped or doubled, which seldom makes another word."""
    one, other = (re.sub(r"(.)\1", r"\1", each.casefold()) for each in (word, name))
    return sorted(one) == sorted(other)


def _slips(word: str, name: str) -> int:
    return OSA.distance(word.casefold(), name.casefold(), score_cutoff=MOST_SLIPS)


def _allowed(name: str) -> int:
    return min(MOST_SLIPS, len(name) // LETTERS_A_SLIP)


def _callsigns(text: Text, make: str, number: str, scenario: Scenario) -> Iterator[Problem]:
    if not number or not any(each.isdigit() for each in number):
        return
    for match in re.finditer(rf"\b{re.escape(make)} (\w*\d\w*)", text.value):
        if match[1] == number or number.endswith(match[1]) or _slips(match[1], number) > MOST_SLIPS:
            continue
        yield warning(word_at(scenario.text, text.place, match.group()), "nearly-named",
                      f"`{match.group()}` is not the callsign", f"nearly `{scenario.callsign}`",
                      "correct it; in a line of ATC write `{callsign}`")
