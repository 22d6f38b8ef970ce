"""What a value in a document may look like, as data; lists and keys are in `mappings`, conditions and acts in `logic`.

`read(node, key, to)` returns the value in the model's units, or BAD after noting what is wrong in `to`. One mistake
gives one message: what could not be read is left out and nothing is said about its absence.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Literal, Protocol

from drill.clean import Clean, clean_line
from drill.scenario.nearest import hint, listed
from drill.scenario.places import Listing, Mapping, Node, Text
from drill.scenario.reading import BAD, NameKind, Reading
from drill.scenario.units import Unit, UnitError, read_amount, read_share, read_wind, spelling_in
from drill.scenario.unreadable import BRACES

PLACEHOLDERS = ("{callsign}", "{heading}", "{altitude}")
"""What is filled in, in words on the radio."""


class Shape(Protocol):
    """Reads one kind of value."""

    def read(self, node: Node, key: str, to: Reading) -> Any:
        """Return the value, or BAD with the problem noted."""


def kind_of(node: Node) -> str:
    """Return what a node is, in an author's words."""
    if isinstance(node, Mapping):
        return "keys with values"
    if isinstance(node, Listing):
        return "a list"
    return "nothing" if node.empty else "a text"


def not_this(node: Node, key: str, wanted: str, remedy: str, to: Reading) -> Any:
    """Note that `node` is not what is wanted, or is nothing at all, and return BAD."""
    called = f"`{key}`" if key else "this document"
    if isinstance(node, Text) and node.empty:
        if node.comment:
            remedy = "`#` begins a comment: put a text that begins with one in quotes"
        return to.wrong(node.place, "empty-value", f"{called} has no value", f"wanted: {wanted}", remedy)
    if in_braces(node):
        remedy = BRACES
    elif wanted == "a text" and parted_by_a_colon(node):
        remedy = "put the text in quotes: a colon with a space behind it makes a key of what stands before it"
    return to.wrong(node.place, "wrong-kind", f"{called} is {kind_of(node)}", f"wanted: {wanted}", remedy)


def in_braces(node: Node) -> bool:
    """Say whether a mapping is a text in braces that was not put in quotes, e.g. `{callsign}`."""
    return isinstance(node, Mapping) and len(node.entries) == 1 and all(
        isinstance(value, Text) and value.empty and f"{{{name.value}}}" in PLACEHOLDERS for name, value in node.entries)


def parted_by_a_colon(node: Node) -> bool:
    """Say whether a mapping is a text in one line that a colon has parted, e.g. `Weather: none`."""
    return isinstance(node, Mapping) and len(node.entries) == 1 and all(
        isinstance(value, Text) and value.place.line == name.place.line for name, value in node.entries)


def text_of(node: Node, key: str, wanted: str, remedy: str, to: Reading) -> Text | Any:
    """Return `node` if it is a text with something in it, else BAD with the problem noted."""
    if isinstance(node, Text) and not node.empty and node.value.strip():
        return node
    if isinstance(node, Text) and not node.empty:
        return to.wrong(node.place, "empty-value", f"`{key}` has no value", f"wanted: {wanted}", remedy)
    return not_this(node, key, wanted, remedy, to)


@dataclass(frozen=True, slots=True)
class Words:
    """Text for people; on one line unless `many_lines`."""

    many_lines: bool = False
    most: int = 2_000

    def read(self, node: Node, key: str, to: Reading) -> Clean | Any:
        """Return the clean text."""
        text = text_of(node, key, "a text", f"write `{key}: some words`", to)
        if text is BAD:
            return BAD
        if len(text.value) > self.most:
            return to.wrong(
                text.place,
                "too-long",
                f"`{key}` has {len(text.value):,} characters",
                f"at most {self.most:,}",
                "make it shorter",
            )
        return Clean(text.value.strip()) if self.many_lines else clean_line(text.value, limit=self.most)


def curly(words: str) -> str:
    """Return what to do about typographic quotes round a value, which YAML takes for a part of it; "" without any."""
    return "write straight quotes (\"), not typographic ones" if words.strip()[:1] in "“”„‘’«" else ""


@dataclass(frozen=True, slots=True)
class Pattern:
    """Text of a fixed form, e.g. `12:30`."""

    form: str
    sample: str
    what: str

    def read(self, node: Node, key: str, to: Reading) -> Clean | Any:
        """Return the text if it has the form."""
        text = text_of(node, key, self.what, f"write it like {self.sample}", to)
        if text is not BAD and re.fullmatch(self.form, text.value.strip()) is None:
            return to.wrong(
                text.place,
                "wrong-form",
                f"`{key}`: `{text.value[:40]}` is not {self.what}",
                "",
                curly(text.value) or f"write it like {self.sample}",
            )
        return BAD if text is BAD else Clean(text.value.strip())


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    words: tuple[str, ...]

    def read(self, node: Node, key: str, to: Reading) -> str | Any:
        """Return the word in its one spelling."""
        text = text_of(node, key, f"one of {listed(self.words)}", f"write `{key}: {self.words[0]}`", to)
        if text is BAD:
            return BAD
        said = " ".join(text.value.lower().split())
        for word in self.words:
            if word.lower() == said:
                return word
        return to.wrong(
            text.place,
            "unknown-choice",
            f"`{key}`: `{text.value[:40]}` is not allowed",
            f"allowed are {listed(self.words)}",
            _or_near(said, self.words),
        )


def _or_near(said: str, words: tuple[str, ...]) -> str:
    near = hint(said, words)
    return (
        "did you mean " + near.removeprefix("the nearest known word is ") + "?"
        if near.startswith("the nearest")
        else "write one of them"
    )


@dataclass(frozen=True, slots=True)
class Flag:
    """Yes or no."""

    def read(self, node: Node, key: str, to: Reading) -> bool | Any:
        """Return the truth."""
        text = text_of(node, key, "yes or no", f"write `{key}: yes`", to)
        if text is BAD:
            return BAD
        said = text.value.strip().lower()
        if said in ("yes", "true"):
            return True
        if said in ("no", "false"):
            return False
        return to.wrong(
            text.place,
            "unknown-choice",
            f"`{key}`: `{text.value[:40]}` is not allowed",
            "allowed are `yes`, `no`",
            "write one of them",
        )


@dataclass(frozen=True, slots=True)
class FlagOr:
    """Yes or no, or one of a few words that say more than yes."""

    words: tuple[str, ...]

    def read(self, node: Node, key: str, to: Reading) -> str | Any:
        """Return the word in its one spelling, `yes`, or nothing for no."""
        said = Choice(("yes", "no", "true", "false", *self.words)).read(node, key, to)
        return said if said is BAD else {"true": "yes", "no": "", "false": ""}.get(said, said)


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity in `unit`, from `low` to `high`; with `other`, a word may stand instead, e.g. `clear`."""

    unit: Unit
    low: float = 0.0
    high: float = float("inf")
    other: tuple[str, ...] = ()
    whole: bool = False

    def read(self, node: Node, key: str, to: Reading) -> float | str | Any:
        """Return the number in the shape's unit, or the word."""
        words = f" or {listed(self.other)}" if self.other else ""
        text = text_of(node, key, f"{self.unit.name}{words}", f"write it like `{key}: {_sample(self)}`", to)
        if text is BAD:
            return BAD
        said = text.value.strip().lower()
        if said in self.other:
            return said
        try:
            value = read_amount(text.value, self.unit)
        except UnitError as error:
            return to.unit(text.place, key, error)
        if not self.low <= value <= self.high or (self.whole and value != int(value)):
            return to.wrong(
                text.place,
                "out-of-range",
                f"`{key}`: {text.value.strip()[:40]} cannot be meant",
                self._allowed(text.value),
                "correct the number",
            )
        return value

    def _allowed(self, written: str) -> str:
        spelled, worth = spelling_in(written, self.unit)
        unit = f" {spelled}".rstrip()
        whole = "whole numbers " if self.whole else ""
        if self.high == float("inf"):
            return f"{whole}from {self.low / worth:.4g}{unit}"
        return f"{whole}from {self.low / worth:.4g} to {self.high / worth:.4g}{unit}"


def _sample(amount: Amount) -> str:
    middle = amount.low if amount.high == float("inf") else (amount.low + amount.high) / 2
    return f"{middle or 10:.0f} {amount.unit.sample}".strip()


@dataclass(frozen=True, slots=True)
class Special:
    """A quantity with a reader of its own: a wind, a share."""

    kind: Literal["wind", "share"]

    def read(self, node: Node, key: str, to: Reading) -> Any:
        """Return (from degrees, knots) for a wind; 0 to 1 for a share."""
        sample = "270 at 20 kt" if self.kind == "wind" else "1 in 5"
        text = text_of(node, key, f"a {self.kind}", f"write it like `{key}: {sample}`", to)
        if text is BAD:
            return BAD
        try:
            return read_wind(text.value) if self.kind == "wind" else read_share(text.value)
        except UnitError as error:
            return to.unit(text.place, key, error)


@dataclass(frozen=True, slots=True)
class Name:
    """The name of something that the scenario defines elsewhere, or (part, airplane) that drill knows."""

    of: NameKind

    def read(self, node: Node, key: str, to: Reading) -> Clean | Any:
        """Return the name and note that it is used."""
        text = text_of(node, key, f"the name of a {self.of}", f"write `{key}: ` and a name", to)
        if text is BAD:
            return BAD
        name = clean_line(text.value)
        if self.of == "flag":
            to.raised.add(name)
        else:
            to.refer(self.of, name, text.place)
        return name
