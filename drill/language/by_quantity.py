"""Instruments called by what they show, beside others that are named: "no ASI, no ALT", "no attitude, no heading",
"airspeed, altitude and vertical speed are all gone", "HI not trustworthy".

Alone, these words are a greeting, a height or a course to be flown. And the horizon, called "the gyro".
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language.words import Token, word_set

_SHOWN = {"alt": "<altimeter>", "altitude": "<altimeter>", "height": "<altimeter>", "heading": "<heading_indicator>"}
_BESIDE = {"<altimeter>": frozenset({"<airspeed_indicator>", "<vertical_speed_indicator>"}),
           "<heading_indicator>": frozenset({"<attitude_indicator>"})}
_JOINTS = frozenset({",", "and", "or", "nor", "no", "reliable", "unreliable", "the", "my", "our", "both"})
_LOST = word_set("no unreliable reliable lost losing without bad")
"""What stands before what is not shown any more."""
_GONE = word_set("gone out failed stuck frozen dead unreliable lost jammed iced not both all are is useless blank")
"""What follows what is not shown as it should be."""
_WITH_FIGURE = word_set("of at to hold setting")
_SAID_OF_A_PART = word_set(
    """not failed out dead stuck gone drifting precessing unreliable unserviceable inop spinning wandering frozen
    tumbled toppled""")


def named_by_quantity(line: Sequence[Token]) -> tuple[Token, ...]:
    """Return `line`, whose names are marked, with what is called by its quantity marked as well."""
    texts = [token.text for token in line]
    found = list(line)
    for at, word in enumerate(texts):
        name = _SHOWN.get(word)
        if name is not None and _stands_beside(texts, at, _BESIDE[name]):
            found[at] = Token(name, line[at].start, line[at].end)
        elif word == "hi" and (at == 0 or line[at - 1].is_break) and texts[at + 1:at + 2] and (
                texts[at + 1] in _SAID_OF_A_PART
                or (texts[at + 1] == "is" and texts[at + 2:at + 3] and texts[at + 2] in _SAID_OF_A_PART)):
            found[at] = Token("<heading_indicator>", line[at].start, line[at].end)
    return tuple(found)


_ONE = re.compile(r"gyro(?:['’]s)?", re.IGNORECASE)
_SET_TO_COMPASS = word_set("set reset align realign sync resync match slave adjust correct")


def single_gyro(line: Sequence[Token], typed: str) -> tuple[Token, ...]:
    """Return `line`, whose names are marked, with a bare "gyro" as the horizon ("the gyro tumbled").

    "Gyros" are the two of them, "no gyro" is a condition or a service, of one of several another word says which, and
    the one that is set to the compass is the heading indicator.
    """
    texts = {token.text for token in line}
    if "<gyros>" not in texts:
        return tuple(line)
    directional = "<magnetic_compass>" in texts and not _SET_TO_COMPASS.isdisjoint(texts)
    name = "<heading_indicator>" if directional else "<attitude_indicator>"
    return tuple(Token(name, token.start, token.end)
                 if token.text == "<gyros>" and _ONE.fullmatch(typed[token.start:token.end])
                 and (at == 0 or line[at - 1].text not in _OF_SEVERAL) else token
                 for at, token in enumerate(line))


_OF_SEVERAL = word_set("no 1 2 both dual double either neither any start stop without other second")


def _stands_beside(texts: Sequence[str], at: int, others: frozenset[str]) -> bool:
    """Whether the word at `at` is one of a list of which another is named, and which is said to be lost."""
    after = texts[at + 1] if at + 1 < len(texts) else ""
    if after in _WITH_FIGURE or after[:1].isdigit():
        return False
    first, last = at, at
    while first > 0 and (texts[first - 1] in _JOINTS or texts[first - 1] in others or texts[first - 1] in _SHOWN):
        first -= 1
    while last + 1 < len(texts) and (texts[last + 1] in _JOINTS or texts[last + 1] in others
                                     or texts[last + 1] in _SHOWN):
        last += 1
    row = texts[first:last + 1]
    if others.isdisjoint(row):
        return False
    beside = texts[last + 1] if last + 1 < len(texts) else ""
    before = texts[first - 1] if first else ""
    return not _LOST.isdisjoint(row) or before in _LOST or beside in _GONE
