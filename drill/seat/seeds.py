"""The seeds that a pilot may name, and one for a pilot who names none. Light."""

from __future__ import annotations

MOST_DIGITS = 9
SEEDS = 1_000_000
"""So many are drawn from: a seed that is drawn is short enough to be typed again."""


def drawn() -> int:
    """Return a seed that nobody has chosen."""
    import secrets  # most starts name a seed, or fly nothing

    return secrets.randbelow(SEEDS)


def seed_of(text: str) -> int:
    """Return the seed typed. ValueError, in words, if it is none."""
    if not (text.isascii() and text.isdigit() and len(text) <= MOST_DIGITS):
        raise ValueError(f"a whole number from 0 to {'9' * MOST_DIGITS} is wanted")
    return int(text)
