"""Words in a text that are nearly the name of a field or the callsign: who reads them looks for another place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from rapidfuzz.distance import OSA

from drill.check.rules import warning
from drill.check.standing import texts, word_at
from drill.scenario.model import Scenario
from drill.scenario.places import Node, Text
from drill.scenario.problems import Problem

LEAST_LETTERS = 5
LETTERS_A_SLIP = 4
"""One slip in so many letters still looks like the same name."""
MOST_SLIPS = 2
_WORD = re.compile(r"[A-Z][a-z]+")
_UNREAD = ("callsign", "local words", "usage", "airplane", "covers", "coded")
"""Keys whose texts are no words for people, or define the name."""


def check_nearly_named(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each word of a text that was meant as a field's name or as the callsign and is not."""
    names = {field.name for field in scenario.fields}
    known = {word.casefold() for each in (*names, scenario.clearance.facility, scenario.callsign)
             for word in re.findall(r"\w+", each)}
    single = [name for name in names if len(name) >= LEAST_LETTERS and name.isalpha()]
    make, _, number = scenario.callsign.partition(" ")
    found = []
    for way, text in texts(tree):
        if not set(way) & set(_UNREAD):
            found += [*_fields(text, single, known, scenario), *_callsigns(text, make, number, scenario)]
    return found


def _fields(text: Text, names: Sequence[str], known: set[str], scenario: Scenario) -> Iterator[Problem]:
    for word in dict.fromkeys(_WORD.findall(text.value)):
        if len(word) < LEAST_LETTERS or word.casefold() in known:
            continue
        near = next((name for name in names if _slips(word, name) <= _allowed(name)), None)
        if near is not None:
            yield warning(word_at(scenario.text, text.place, word), "nearly-named", f"`{word}` is no field",
                          f"nearly the name of `{near}`", "correct it, or give what it names a name less alike")


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
