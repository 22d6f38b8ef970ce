"""Shapes of lists, of names with values, and of mappings with known keys."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from drill.scenario.nearest import hint, listed
from drill.scenario.places import Listing, Mapping, Node, Text
from drill.scenario.reading import BAD, SHAPE_RULES, Entry, Reading
from drill.scenario.shapes import Shape, in_braces, not_this


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list; with `or_one`, one value may stand alone. Unreadable items are left out."""

    shape: Shape
    or_one: bool = False
    may_be_empty: bool = False

    def read(self, node: Node, key: str, to: Reading) -> tuple[Any, ...] | Any:
        """Return the items."""
        if self.or_one and not isinstance(node, Listing):
            node = Listing((node,), node.place)
        if not isinstance(node, Listing):
            return not_this(node, key, "a list", "begin each item with a dash", to)
        if not node.items and not self.may_be_empty:
            return to.wrong(node.place, "empty-value", f"`{key}` is an empty list", "", "write at least one item")
        found = (self.shape.read(item, key, to) for item in node.items)
        return tuple(each for each in found if each is not BAD)


@dataclass(frozen=True, slots=True)
class Named:
    """Names of the author's own, each with a value of one shape; returned as a dict of Entry in the author's order."""

    shape: Shape
    what: str

    def read(self, node: Node, key: str, to: Reading) -> dict[str, Any] | Any:
        """Return name to value; an unreadable value stays as BAD, so that the name is known."""
        if not isinstance(node, Mapping):
            return not_this(
                node,
                key,
                f"names of {self.what} with their keys",
                f"write the name of the first {self.what} below, indented",
                to,
            )
        if not node.entries:
            return to.wrong(node.place, "empty-value", f"`{key}` is empty", "", f"write at least one {self.what}")
        return {name.value: self.shape.read(_placed_at(name, value), name.value, to) for name, value in node.entries}


def _placed_at(name: Text, value: Node) -> Node:
    """Return a value that begins below its name as standing at the name: what is missing in it is missed there."""
    return replace(value, place=name.place) if value.place.line > name.place.line else value


@dataclass(frozen=True, slots=True)
class Key:
    """A key of a mapping, its shape, and one line that tells an author what it is for."""

    name: str
    shape: Shape
    says: str
    required: bool = False
    needs: str = ""  # the key without which this one means nothing
    unless: str = ""  # the flag that makes up for a required one: `yes` there, and this may be left out


@dataclass(frozen=True, slots=True)
class Keys:
    """A mapping with known keys. `one_of`: exactly one; `some_of`: at least one; `short`: the key of a bare text.

    `lacks` says what is missing where none of `some_of` is given.
    """

    keys: tuple[Key, ...]
    one_of: tuple[str, ...] = ()
    some_of: tuple[str, ...] = ()
    short: str = ""
    lacks: str = "nothing happens here"

    def read(self, node: Node, key: str, to: Reading) -> Entry | Any:
        """Return the Entry."""
        if self.short and isinstance(node, Text) and not node.empty:
            node = Mapping(((Text(self.short, node.place), node),), node.place)
        if not isinstance(node, Mapping) or (self.short and in_braces(node)):
            return not_this(
                node,
                key,
                "keys with values",
                f"write {listed(each.name for each in self.keys[:3])} ... below `{key}`, indented",
                to,
            )
        by_name = {each.name: each for each in self.keys}
        entry, given = Entry(node.place), set[str]()
        for name, value in node.entries:
            known = by_name.get(name.value)
            if known is None:
                to.wrong(
                    name.place,
                    "unknown-key",
                    f"`{name.value[:60]}` is no known key{_of(key)}",
                    hint(name.value, by_name),
                    "put a text with a comma in quotes" if _after_a_comma(name, value) else
                    _belongs(name.value, by_name, to),
                )
                given.update(_meant(name.value, by_name))
                entry.spoiled.add(name.value)
                continue
            given.add(known.name)
            before = len(to.problems)
            entry.places[known.name] = name.place
            entry.values[known.name] = known.shape.read(value, known.name, to)
            if any(problem.rule in SHAPE_RULES for problem in to.problems[before:]):
                entry.spoiled.add(known.name)
        waived = {each.name for each in self.keys if each.unless and entry.values.get(each.unless) is True}
        self._missing(entry, key, given, waived, to)
        return entry

    def _missing(self, entry: Entry, key: str, given: set[str], waived: set[str], to: Reading) -> None:
        place = entry.place
        for each in self.keys:
            if each.required and each.name not in given | waived:
                to.wrong(
                    place, "missing-key", f"`{each.name}` is missing{_in(key)}", each.says, f"add `{each.name}: ...`"
                )
            if each.needs and each.name in given and each.needs not in given:
                to.wrong(
                    entry.at(each.name),
                    "missing-key",
                    f"`{each.name}` means nothing without `{each.needs}`",
                    "",
                    f"add `{each.needs}: ...`, or delete `{each.name}`",
                )
        found = [name for name in self.one_of if name in given]
        if self.one_of and len(found) != 1:
            wrong = (
                f"{' and '.join(f'`{name}`' for name in found)} exclude each other"
                if found
                else f"one of {listed(self.one_of)} is missing{_in(key)}"
            )
            at = max((entry.at(name) for name in found), default=place)
            to.wrong(at, "one-of", wrong, "", f"write exactly one of {listed(self.one_of)}")
        if self.some_of and not given & set(self.some_of):
            to.wrong(
                place,
                "missing-key",
                f"{self.lacks}{_in(key)}",
                "",
                f"add at least one of {listed(self.some_of)}",
            )


def _belongs(word: str, by_name: dict[str, Key], to: Reading) -> str:
    """Return what to do about an unknown key: to move one that has a meaning elsewhere."""
    sections = to.elsewhere(word)
    if not sections or _meant(word, by_name):
        return "correct or delete it"
    return f"it is a key of {' and of '.join(sections)}: move it there, or delete it"


def _after_a_comma(name: Text, value: Node) -> bool:
    """Say whether a key is the rest of a text in braces that was not put in quotes: `{tell: Low, and raining.}`."""
    return isinstance(value, Text) and value.empty and not value.comment and " " in name.value


def _meant(word: str, by_name: dict[str, Key]) -> list[str]:
    """Return the key that a misspelt one stands for, so that it is not called missing as well."""
    near = hint(word, by_name)
    return [near.split("`")[1]] if near.startswith("the nearest") else []


def _of(key: str) -> str:
    return f" of `{key}`" if key else ""


def _in(key: str) -> str:
    return f" in `{key}`" if key else ""
