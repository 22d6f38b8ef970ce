"""Shapes of what is joined by all, any and not: conditions, and acts of the grade sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from drill.scenario.act_words import read_act
from drill.scenario.conditions import All, AnyOf, Not
from drill.scenario.model import ActTree
from drill.scenario.nearest import hint, listed
from drill.scenario.places import Listing, Mapping, Node, Text
from drill.scenario.reading import BAD, Reading
from drill.scenario.shapes import Shape, not_this, text_of
from drill.scenario.words import read_condition


@dataclass(frozen=True, slots=True)
class Cond:
    """A condition: a text, `all`/`any`/`not` over conditions, or a list, all of which must hold."""

    def read(self, node: Node, key: str, to: Reading) -> Any:
        """Return the Condition."""
        if isinstance(node, Listing):
            return self._joined(node, key, All, to)
        if isinstance(node, Text):
            text = text_of(node, key, "a condition", f"write it like `{key}: true bank > 30 deg`", to)
            return BAD if text is BAD else read_condition(text, to)
        return _one_key(node, key, {"all": All, "any": AnyOf, "not": Not}, self._under, to)

    def _under(self, value: Node, word: str, make: Any, to: Reading) -> Any:
        if word == "not":
            part = self.read(value, word, to)
            return BAD if part is BAD else Not(part)
        return self._joined(value, word, make, to)

    def _joined(self, node: Node, key: str, make: Callable[..., Any], to: Reading) -> Any:
        parts = _parts(node, key, self, to)
        return BAD if parts is BAD else make(parts)


@dataclass(frozen=True, slots=True)
class Acts:
    """Acts: a text, `all`/`any` over acts, or a list, all of which must be done."""

    def read(self, node: Node, key: str, to: Reading) -> ActTree | Any:
        """Return the ActTree."""
        if isinstance(node, Listing):
            return self._joined(node, key, "all", to)
        if isinstance(node, Text):
            text = text_of(node, key, "an act", f"write it like `{key}: cover attitude indicator`", to)
            pattern = BAD if text is BAD else read_act(text, text.value, 0, to)
            return BAD if pattern is BAD else ActTree("one", pattern)
        return _one_key(node, key, {"all": "all", "any": "any"}, self._joined, to)

    def _joined(self, node: Node, key: str, how: Any, to: Reading) -> ActTree | Any:
        parts = _parts(node, key, self, to)
        return BAD if parts is BAD else ActTree(how, None, parts)


def _one_key(node: Mapping, key: str, words: dict[str, Any], under: Callable[..., Any], to: Reading) -> Any:
    if len(node.entries) == 1:
        word, value = node.entries[0]
        if word.value in words:
            if isinstance(value, Listing) or word.value == "not":
                return under(value, word.value, words[word.value], to)
            return not_this(value, word.value, "a list", f"write `{word.value}: [first, second]`", to)
        return to.wrong(
            word.place,
            "unknown-key",
            f"`{word.value[:40]}` is no known key of `{key}`",
            hint(word.value, words),
            "correct or delete it",
        )
    return to.wrong(
        node.place,
        "wrong-kind",
        f"`{key}` has {len(node.entries)} keys",
        f"exactly one of {listed(words)} is wanted",
        "put one inside the other",
    )


def _parts(node: Node, key: str, shape: Shape, to: Reading) -> tuple[Any, ...] | Any:
    if not isinstance(node, Listing):
        node = Listing((node,), node.place)
    if not node.items:
        return to.wrong(
            node.place, "empty-value", f"`{key}` is an empty list", "", "write at least one line, or delete the key"
        )
    parts = tuple(shape.read(item, key, to) for item in node.items)
    return BAD if any(part is BAD for part in parts) else parts
