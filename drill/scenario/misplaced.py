"""Where each key of a document has a meaning, for messages about one that stands in the wrong place."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from drill.scenario.mappings import Keys, Named

MOST_PLACES = 3
"""A key that has a meaning in more places tells nothing about where it was meant."""


def sections_of(key: str, document: Keys) -> tuple[str, ...]:
    """Return the sections of a document in which `key` is known, in words; none for a key of very many."""
    found = dict.fromkeys(section for name, section in _keys(document, "", "the document itself, not moved in")
                          if name == key)
    return tuple(found) if len(found) <= MOST_PLACES else ()


def _keys(shape: Any, key: str, section: str) -> Iterator[tuple[str, str]]:
    match shape:
        case Keys():
            for each in shape.keys:
                yield each.name, section
                yield from _keys(each.shape, each.name, f"`{each.name}`")
        case Named():
            yield from _keys(shape.shape, key, f"each {shape.what} below `{key}`")
        case _ if hasattr(shape, "shape"):      # a list of them, or a word instead
            yield from _keys(shape.shape, key, section)
