"""A line of the cockpit with its numbers joined, and its names and places marked."""

from __future__ import annotations

from functools import lru_cache

from drill.language.lexicon import with_names
from drill.language.meaning import Context
from drill.language.numbers import join_numbers
from drill.language.places import with_places
from drill.language.shorthand import spelled_out
from drill.language.words import Token


@lru_cache(maxsize=8)
def named(line: tuple[Token, ...], typed: str, context: Context) -> tuple[Token, ...]:
    """Return `line`, the tokens of `typed` without slips, with each number, name and place as one token."""
    return with_places(with_names(spelled_out(join_numbers(line), typed), context.lexicon.cockpit), typed, context)[0]
