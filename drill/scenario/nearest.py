"""The nearest known word to one that is not known, for messages that help."""

from __future__ import annotations

from collections.abc import Iterable

from rapidfuzz import fuzz, process

_NEAR = 65.0
_LISTED = 12


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the one of `known` that is most like `word`, without regard to case, or None if none is near."""
    found = process.extractOne(
        word.lower(), sorted(set(known)), scorer=fuzz.ratio, processor=str.lower, score_cutoff=_NEAR
    )
    return None if found is None else str(found[0])


def several_near(word: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Return up to `most` of `known` that are like `word`, the most like first."""
    found = process.extract(
        word.lower(), sorted(set(known)), scorer=fuzz.WRatio, processor=str.lower, score_cutoff=_NEAR, limit=most
    )
    return [str(each[0]) for each in found]


def listed(known: Iterable[str]) -> str:
    """Return the known words as one phrase, cut where there are many."""
    names = list(known)
    if len(names) > _LISTED:
        return ", ".join(f"`{name}`" for name in names[:_LISTED]) + f" and {len(names) - _LISTED} more"
    return ", ".join(f"`{name}`" for name in names)


def hint(word: str, known: Iterable[str]) -> str:
    """Return what to say about an unknown word: the nearest known one, or all that are allowed."""
    names = list(known)
    near = nearest(word, names)
    if near is not None:
        return f"the nearest known word is `{near}`"
    within = [name for name in names if word.lower() and word.lower() in name.lower().replace("-", " ").split()]
    if within:
        return f"near it are {listed(within)}"
    return f"known here: {listed(names)}" if names else "none is defined"
