"""YAML text to a tree of nodes, each with its place; everything that a document may not be is refused here.

The tree is built from the parser's events without recursion. No object is ever made from a tag, no alias is followed,
no scalar is turned into a number, a date or a truth value: `no`, `12:30` and `080` stay the words that they are.
"""

from __future__ import annotations

import codecs
import gc
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NoReturn, TypeAlias

import yaml

from drill.clean import clean, clean_line
from drill.scenario.problems import DocumentError, Place, Problem
from drill.scenario.unreadable import BREAK, why_unreadable

MAX_BYTES = 1_000_000
MAX_DEPTH = 24
MAX_NODES = 40_000
_MAX_PROBLEMS = 200

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_UNREADABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")
_CORE_TAGS = {f"tag:yaml.org,2002:{kind}" for kind in ("str", "int", "float", "bool", "null", "map", "seq")} | {"!"}


@dataclass(frozen=True, slots=True)
class Text:
    """A scalar as written and cleaned. `points`: where its first character stands, if it is on one line as it is."""

    value: str
    place: Place
    points: Place | None = None
    empty: bool = False  # nothing at all was written
    comment: bool = False  # but a comment stands where the value would

    def at(self, offset: int) -> Place:
        """Return the place of the character at `offset` of the value, or of the whole where that cannot be told."""
        if self.points is None:
            return self.place
        return Place(self.points.file, self.points.line, self.points.column + offset)


@dataclass(frozen=True, slots=True)
class Mapping:
    """Keys and values in the author's order; no key twice."""

    entries: tuple[tuple[Text, Node], ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Listing:
    """A list."""

    items: tuple[Node, ...]
    place: Place


Node: TypeAlias = Text | Mapping | Listing


def read_text(path: Path) -> str:
    """Return the text of a document; raises DocumentError if it cannot be read, is too large or is not UTF-8."""
    name = str(path)
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        _refuse(
            Place(name),
            "unreadable-file",
            f"this file cannot be read ({error.strerror or 'no reason given'})",
            "check its name and that you may read it",
        )
    _check_size(len(data), name)
    if data.startswith(codecs.BOM_UTF8):
        data = data[len(codecs.BOM_UTF8) :]
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line_start = before.rfind(b"\n") + 1
        place = Place(name, before.count(b"\n") + 1, len(before[line_start:].decode("utf-8", "replace")) + 1)
        _refuse(place, "not-utf-8", "here is a byte that is not UTF-8 text", "save the file as UTF-8")


def nodes(text: str, file: str) -> Node:
    """Return the tree of the one document in `text`; raises DocumentError with every problem that can be told apart."""
    root, problems = nodes_read(text, file)
    if problems:
        raise DocumentError(problems)
    return root


def nodes_read(text: str, file: str) -> tuple[Node, list[Problem]]:
    """Return the tree and what may not be in it, such as a key that stands twice; DocumentError without a tree."""
    _check_size(len(text), file)
    _check_size(len(text.encode("utf-8", "replace")), file)
    text = text.removeprefix("\ufeff")
    bad = _UNREADABLE.search(text)
    if bad is not None:
        line, column = _position(text, bad.start())
        _refuse(
            Place(file, line, column),
            "control-character",
            f"here is a character that is no text (U+{ord(bad.group()):04X})",
            "delete it",
        )
    build = _Tree(text, file)
    try:
        with _collector_off():
            for event in yaml.parse(text, Loader=_LOADER):
                build.take(event)
    except yaml.MarkedYAMLError as error:
        raise DocumentError([*build.problems, why_unreadable(text, file, error)]) from None
    except (yaml.YAMLError, ValueError, RecursionError):
        _refuse(Place(file), "unreadable-yaml", "this cannot be read as YAML", "check indentation, colons and quotes")
    if build.root is None and build.problems:
        raise DocumentError(build.problems)
    if build.root is None:
        _refuse(Place(file), "empty-document", "there is nothing in this document", "begin with `drill: 1`")
    return build.root, build.problems


def _refuse(place: Place, rule: str, wrong: str, remedy: str, allowed: str = "") -> NoReturn:
    raise DocumentError([Problem(place, rule, wrong, allowed, remedy)])


def _check_size(size: int, file: str) -> None:
    if size > MAX_BYTES:
        _refuse(
            Place(file),
            "too-large",
            "this file is larger than a scenario may be",
            "check that it is the right file",
            f"at most {MAX_BYTES // 1_000_000} MB",
        )


def _position(text: str, index: int) -> tuple[int, int]:
    before = text[:index]
    return before.count("\n") + 1, index - (before.rfind("\n") + 1) + 1


@contextmanager
def _collector_off() -> Iterator[None]:
    """Keep the garbage collector quiet: a tree of many small objects is built and none of them is garbage."""
    on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if on:
            gc.enable()


@dataclass(slots=True)
class _Open:
    """A mapping or listing that is being read."""

    place: Place
    is_mapping: bool
    entries: list[tuple[Text, Node]] = field(default_factory=list)
    items: list[Node] = field(default_factory=list)
    seen: dict[str, Place] = field(default_factory=dict)
    key: Text | None = None
    waiting: bool = False  # for the value of `key`; without a key the value is dropped
    in_list: bool = False  # an item of a listing
    again: bool = False  # its first key has come a second time: a dash is missing, and that has been told

    def add(self, node: Node, problems: list[Problem]) -> None:
        if not self.is_mapping:
            self.items.append(node)
        elif self.waiting:
            if self.key is not None:
                self.entries.append((self.key, node))
            self.key, self.waiting = None, False
        else:
            self.key, self.waiting = self._checked(node, problems), True

    def _checked(self, node: Node, problems: list[Problem]) -> Text | None:
        if not isinstance(node, Text) or not node.value:
            problems.append(
                Problem(node.place, "key-not-text", "here a key is wanted", "", "write a word, a colon and a value")
            )
            return None
        key = Text(clean_line(node.value), node.place, node.points)
        first = self.seen.setdefault(key.value, key.place)
        if first == key.place or self.again:
            return key if first == key.place else None
        if self._left_behind(key, problems):
            return None
        self.again = self.in_list and key.value == next(iter(self.seen))
        remedy = f"begin it with a dash, `- {key.value}: ...`, if it is the next of the list" if self.again else (
            "keep one of them")
        problems.append(Problem(key.place, "duplicate-key", f"`{key.value}` stands here a second time",
                                f"the first is in line {first.line}", remedy))
        return None

    def _left_behind(self, key: Text, problems: list[Problem]) -> bool:
        """Say whether keys come again because the key before has nothing below it, and tell it once."""
        name, value = self.entries[-1] if self.entries else (key, None)
        if not isinstance(value, Text) or not value.empty or value.value or name.place.column != key.place.column or (
                name.place.line >= key.place.line):
            return False
        self.again = True
        problems.append(Problem(
            name.place, "empty-value",
            f"nothing stands below `{name.value}`: the lines that follow are moved in no further",
            f"in line {key.place.line} `{key.value}` stands a second time",
            f"move `{name.value}` out, or the lines that belong to it in"))
        return True

    def done(self) -> Node:
        return Mapping(tuple(self.entries), self.place) if self.is_mapping else Listing(tuple(self.items), self.place)


class _Tree:
    """Builds the tree from events, one after the other."""

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.lines = BREAK.split(text)
        self.problems: list[Problem] = []
        self.root: Node | None = None
        self.open: list[_Open] = []
        self.count = 0
        self.documents = 0

    def take(self, event: Any) -> None:
        match event:
            case yaml.ScalarEvent():
                self._check(event)
                self._add(self._text(event))
            case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                self._check(event)
                in_list = bool(self.open) and not self.open[-1].is_mapping
                self.open.append(_Open(self._place(event), isinstance(event, yaml.MappingStartEvent), in_list=in_list))
                if len(self.open) > MAX_DEPTH:
                    self._stop(
                        event,
                        "too-deep",
                        "this is nested too deeply",
                        f"at most {MAX_DEPTH} levels",
                        "use fewer brackets or levels",
                    )
            case yaml.MappingEndEvent() | yaml.SequenceEndEvent():
                self._add(self.open.pop().done())
            case yaml.AliasEvent():
                self._note(event, "alias", "an alias (`*name`) is not allowed here", "", "write the value out")
                self._add(Text("", self._place(event)))
            case yaml.DocumentStartEvent():
                self.documents += 1
                if self.documents > 1:
                    self._stop(
                        event,
                        "several-documents",
                        "a second document begins here (`---`)",
                        "one document a file",
                        "put it into a file of its own",
                    )
            case _:
                pass

    def _check(self, event: Any) -> None:
        self.count += 1
        if self.count > MAX_NODES:
            self._stop(
                event, "too-many-parts", "this document has too many parts", f"at most {MAX_NODES:,}", "make it shorter"
            )
        if event.anchor is not None:
            self._note(
                event, "alias", "an anchor (`&name`) is not allowed here", "", "write the value out where it is needed"
            )
        if event.tag is not None and event.tag not in _CORE_TAGS:
            self._note(
                event,
                "object-tag",
                "a tag (`!name`) is not allowed here",
                "",
                "delete the tag: a scenario is text, never code",
            )

    def _text(self, event: Any) -> Text:
        place = self._place(event)
        value = clean(event.value)
        start, end = event.start_mark, event.end_mark
        points = None
        if start.line == end.line:
            quoted = 1 if event.style in ("'", '"') else 0
            column = start.column + quoted
            if value and self.lines[start.line][column : column + len(value)] == value:
                points = Place(self.file, start.line + 1, column + 1)
        plain = not event.style  # one of the two parsers says None, the other an empty text
        empty = plain and not event.value
        comment = empty and start.line < len(self.lines) and self.lines[start.line][start.column :].lstrip()[:1] == "#"
        return Text(value, place, points, empty or (plain and value in ("~", "null")), comment)

    def _add(self, node: Node) -> None:
        if self.open:
            self.open[-1].add(node, self.problems)
        elif self.root is None:
            self.root = node

    def _place(self, event: Any) -> Place:
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _note(self, event: Any, rule: str, wrong: str, allowed: str, remedy: str) -> None:
        self.problems.append(Problem(self._place(event), rule, wrong, allowed, remedy))
        if len(self.problems) >= _MAX_PROBLEMS:
            raise DocumentError(self.problems)

    def _stop(self, event: Any, rule: str, wrong: str, allowed: str, remedy: str) -> None:
        raise DocumentError([*self.problems, Problem(self._place(event), rule, wrong, allowed, remedy)])
