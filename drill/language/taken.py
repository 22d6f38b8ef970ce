"""What a plain phrase is understood as already, so that no local word takes everyday words away from pilots."""

from __future__ import annotations

from typing import Any

from drill.language.lexicon import LAST_WORD, standard
from drill.language.starting import starts
from drill.language.words import tokens, word_set

_EVERYDAY = word_set(
    """a an the and or but so we i you he she it they is are was were be been have has had do does did will would can
    could may might must not no yes our my your his her their this that these those with without of in on at to from
    by for as if when while until up down off out over under left right now then just still also too here there what
    how why who where which all both some any one two three four five six seven eight nine ten zero hundred thousand
    please thanks ok okay say said again go get give take make put set turn heading roger""")


def named_already(phrase: str) -> str | None:
    """Return the name that `phrase` stands for in the standard lexicon, None for none."""
    node: Any = standard().cockpit
    for word in phrase.split():
        node = node.get(word)
        if node is None:
            return None
    name: str | None = node.get(LAST_WORD)
    return name


def is_everyday(phrase: str) -> bool:
    """Whether `phrase` is one word that lines are full of, or that has a meaning of its own in calls or orders."""
    line = tokens(phrase)
    return len(line) == 1 and (phrase in _EVERYDAY or phrase in standard().said or phrase.isdecimal() or starts(line))
