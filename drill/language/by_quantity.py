"""Instruments called by what they show, beside others that are named: "no ASI, no ALT", "no attitude, no heading",
"airspeed, altitude and vertical speed are all gone", "HI not trustworthy".

Alone, these words are a greeting, a height or a course to be flown. And the horizon, called "the gyro".
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language.words import Token, word_set

_SHOWN = {"alt": "<altimeter>", "altitude": "<altimeter>", "height": "<altimeter>", "heading": "<heading_indicator>",
          "speed": "<airspeed_indicator>"}
_BESIDE = frozenset({"<airspeed_indicator>", "<vertical_speed_indicator>", "<attitude_indicator>", "<turn_coordinator>",
                     "<altimeter>", "<heading_indicator>"})
_JOINTS = frozenset({",", "and", "or", "nor", "no", "reliable", "unreliable", "the", "my", "our", "both"})
_LOST = word_set("no unreliable reliable without bad")
"""What stands before what is not shown any more."""
_GONE = word_set(
    "gone out failed stuck frozen dead unreliable lost jammed iced not useless blank shift shifted jump jumping")
"""What follows what is not shown as it should be."""
_BETWEEN = word_set("is are has have both all now also just")
_NOT_SHOWN = word_set(
    """assigned given issued restriction restrictions reduction reductions limit limits limitation limitations control
    adjustment adjustments constraint constraints change changes wanted yet""")
"""What follows what ATC gives, or is to give."""
_CHANGED = word_set("losing lose gaining gain dropping holding hold keep keeping maintain maintaining")
"""What is done with a height or a speed that is shown."""
_WITH_FIGURE = word_set("of at to hold setting")
_SAID_OF_A_PART = word_set(
    """not failed out dead stuck gone drifting drifts drifted precesses wanders spins precessing unreliable
    unserviceable inop spinning wandering frozen tumbled toppled""")


def named_by_quantity(line: Sequence[Token]) -> tuple[Token, ...]:
    """Return `line`, whose names are marked, with what is called by its quantity marked as well."""
    texts = [token.text for token in line]
    found = list(line)
    for at, word in enumerate(texts):
        name = _SHOWN.get(word)
        if name is not None and _stands_beside(texts, at):
            found[at] = Token(name, line[at].start, line[at].end)
        elif word == "hi" and (at == 0 or line[at - 1].is_break) and texts[at + 1:at + 2] and (
                texts[at + 1] in _SAID_OF_A_PART
                or (texts[at + 1] == "is" and texts[at + 2:at + 3] and texts[at + 2] in _SAID_OF_A_PART)):
            found[at] = Token("<heading_indicator>", line[at].start, line[at].end)
    return tuple(found)


_SAID_FIRST = _SAID_OF_A_PART | _BETWEEN | {"and", "or", "gone", "crook", ",", ".", "?"}


def horizon_by_letters(line: Sequence[Token], typed: str) -> tuple[Token, ...]:
    """Return `line`, whose names are marked, with the artificial horizon where it is called "AH".

    The same letters hesitate ("ah, approach"). They are the horizon after an article, joined to another instrument
    ("AH and DG"), or in capitals in a line that has small letters too.
    """
    texts = [token.text for token in line]
    if "ah" not in texts:
        return tuple(line)
    small = typed != typed.upper()
    found = list(line)
    for at, token in enumerate(line):
        if token.text != "ah":
            continue
        before, after = texts[at - 1] if at else ".", texts[at + 1] if at + 1 < len(texts) else "."
        listed = (after in _PAIRS and texts[at + 2:at + 3] and texts[at + 2] in _BESIDE) or (
            before in _PAIRS and at > 1 and texts[at - 2] in _BESIDE)
        if listed or (before in _ARTICLES and after in _SAID_FIRST) or (
                small and typed[token.start:token.end].isupper() and after in _SAID_FIRST):
            found[at] = Token("<attitude_indicator>", token.start, token.end)
    return tuple(found)


_PAIRS = frozenset({"and", "or", "plus", "nor"})
_ARTICLES = frozenset({"the", "my", "our", "no"})
_ONE = re.compile(r"gyro(?:['’]s)?", re.IGNORECASE)
_HEADS = word_set("""<magnetic_compass> drift drifts drifting drifted precess precesses precessing precessed wander
                  wanders wandering wandered creep creeps creeping crept""")
"""What is said of the gyro that shows a heading; it is set to the compass."""
_TUMBLES = word_set("""tumble tumbles tumbled tumbling topple toppled toppling lean leans leaning erect erected bank
                    banked roll rolled level <attitude_indicator> <turn_coordinator>""")
"""What is said of, or beside, the gyro that shows the attitude."""


def single_gyro(line: Sequence[Token], typed: str) -> tuple[Token, ...]:
    """Return `line`, whose names are marked, with a bare "gyro" as the horizon ("the gyro tumbled").

    "Gyros" are the two of them, "no gyro" is a condition or a service, of one of several another word says which, and
    the one that drifts, or of which the compass is spoken in the same line, is the heading indicator.
    """
    texts = {token.text for token in line}
    if "<gyros>" not in texts:
        return tuple(line)
    directional = not _HEADS.isdisjoint(texts) and _TUMBLES.isdisjoint(texts)
    name = "<heading_indicator>" if directional else "<attitude_indicator>"
    return tuple(Token(name, token.start, token.end)
                 if token.text == "<gyros>" and _ONE.fullmatch(typed[token.start:token.end])
                 and (at == 0 or line[at - 1].text not in _OF_SEVERAL) else token
                 for at, token in enumerate(line))


_OF_SEVERAL = word_set("no 1 2 both dual double either neither any start stop without other second")


def _stands_beside(texts: Sequence[str], at: int) -> bool:
    """Whether the word at `at` is one of a list of which another is named, and which is said to be lost."""
    after = texts[at + 1] if at + 1 < len(texts) else ""
    if after in _WITH_FIGURE or after[:1].isdigit():
        return False
    first, last = at, at
    while first > 0 and (texts[first - 1] in _JOINTS or texts[first - 1] in _BESIDE or texts[first - 1] in _SHOWN):
        first -= 1
    while last + 1 < len(texts) and (texts[last + 1] in _JOINTS or texts[last + 1] in _BESIDE
                                     or texts[last + 1] in _SHOWN):
        last += 1
    row = texts[first:last + 1]
    if _BESIDE.isdisjoint(row):
        return False
    beside = next((text for text in texts[last + 1:last + 4] if text not in _BETWEEN), "")
    before = texts[first - 1] if first else ""
    if beside in _NOT_SHOWN or before in _CHANGED:
        return False
    return not _LOST.isdisjoint(row) or before in _LOST or beside in _GONE or (before == "lost" and row[0] in _BESIDE)


_LOOKS = word_set("check compare cross scan look read crosscheck")
_AND = word_set("and vs versus against with , plus")


def looked_at_by_quantity(line: Sequence[Token]) -> tuple[Token, ...]:
    """Return `line`, whose names are marked, with what is looked at by its quantity marked as well: "check altitude and
    airspeed"."""
    texts = [token.text for token in line]
    if not texts or texts[0] not in _LOOKS:
        return tuple(line)
    return tuple(Token(_SHOWN[token.text], token.start, token.end)
                 if token.text in _SHOWN and _listed(texts, at) else token for at, token in enumerate(line))


def _listed(texts: Sequence[str], at: int) -> bool:
    """Whether the word at `at` stands in a list with a marked instrument, and with no figure of its own."""
    before = texts[at - 1] in _AND and at > 1 and texts[at - 2][0] == "<"
    after = at + 2 < len(texts) and texts[at + 1] in _AND and (texts[at + 2][0] == "<" or (
        texts[at + 2] in ("the", "my") and at + 3 < len(texts) and texts[at + 3][0] == "<"))
    alone = at + 1 == len(texts) or texts[at + 1] in _AND or texts[at + 1] in ("now", "please")
    return (before or after) and alone
