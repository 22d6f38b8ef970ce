"""Where in a document something stands: by the way of keys and numbers that leads to it from the top."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

from drill.check.spans import lines_of
from drill.scenario.places import Listing, Mapping, Node, Text
from drill.scenario.problems import Place
from drill.scenario.unreadable import indent_of

Way: TypeAlias = tuple[str | int, ...]


def below(node: Node | None, *way: str | int) -> Node | None:
    """Return what stands at the end of `way`, or None. A value that stands alone where a list may is its item 0."""
    for step in way:
        if isinstance(node, Mapping) and isinstance(step, str):
            node = next((value for name, value in node.entries if name.value == step), None)
        elif isinstance(node, Listing) and isinstance(step, int):
            node = node.items[step] if step < len(node.items) else None
        elif step != 0:
            return None
    return node


def key_at(tree: Node, *way: str | int) -> Place:
    """Return where the last key of `way` stands; where it is missing, the place of what should have it."""
    *rest, last = way
    node = below(tree, *rest)
    if isinstance(node, Mapping):
        for name, _ in node.entries:
            if name.value == last:
                return name.place
    return node.place if node is not None else tree.place


def value_at(tree: Node, *way: str | int) -> Place:
    """Return where the value at the end of `way` stands; where it is missing, as `key_at`."""
    node = below(tree, *way)
    return node.place if node is not None else key_at(tree, *way)


def texts(node: Node, way: Way = ()) -> Iterator[tuple[Way, Text]]:
    """Yield every text below `node` with the way to it; keys are no texts."""
    if isinstance(node, Text):
        yield way, node
    elif isinstance(node, Mapping):
        for name, value in node.entries:
            yield from texts(value, (*way, name.value))
    else:
        for number, value in enumerate(node.items):
            yield from texts(value, (*way, number))


def word_at(document: str, place: Place, word: str) -> Place:
    """Return where `word` first stands in `document` from `place` on, within the text that begins there; else `place`.

    A text in several lines ends before the first line that is moved in no further than the line of `place`.
    """
    lines = lines_of(document)
    first = lines[place.line - 1] if place.line <= len(lines) else ""
    found = first.find(word, place.column - 1)
    if found >= 0:
        return Place(place.file, place.line, found + 1)
    indent = indent_of(first)
    for number, line in enumerate(lines[place.line :], place.line + 1):
        if line.strip() and indent_of(line) <= indent:
            break
        if word in line:
            return Place(place.file, number, line.find(word) + 1)
    return place
