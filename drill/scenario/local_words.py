"""Words of a place or a club that a scenario adds to those that drill understands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from drill.clean import clean_line
from drill.language.lexicon import plain
from drill.language.meaning import ASSISTANCE, EQUIPMENT, IN_SIGHT, SWITCHES
from drill.language.taken import is_everyday, named_already
from drill.language.words import tokens
from drill.scenario.mappings import Key, Keys, ListOf
from drill.scenario.names import code_of, words_of
from drill.scenario.nearest import hint
from drill.scenario.places import Listing, Mapping, Node
from drill.scenario.reading import BAD, Reading
from drill.scenario.shapes import not_this, text_of

LONGEST_PHRASE = 60
MOST_PHRASES = 100
NAMED = tuple(dict.fromkeys((*EQUIPMENT, *IN_SIGHT, *SWITCHES, "gyros", "pitot_static")))
"""What a local name can stand for."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A few plain words as a pilot types them."""

    def read(self, node: Node, key: str, to: Reading) -> str | Any:
        """Return the words in the form in which lines are read."""
        text = text_of(node, key, "a few words", f"write `{key}: some words`", to)
        if text is BAD:
            return BAD
        words = plain(clean_line(text.value))
        if is_everyday(words):
            return to.wrong(text.place, "taken", f"`{key}`: `{words}` has a meaning already in what pilots type",
                            "a word or phrase that means nothing else", "write a longer phrase, or leave it out")
        spoken = any(each.text.isalpha() for each in tokens(words))
        if not spoken or set("<>") & set(text.value) or len(words) > LONGEST_PHRASE:
            return to.wrong(text.place, "wrong-form", f"`{key}`: `{text.value[:40]}` is no phrase that can be typed",
                            f"wanted are words, at most {LONGEST_PHRASE} characters", "write it as a pilot types it")
        return words


@dataclass(frozen=True, slots=True)
class Phrases:
    """A list of phrases, or one alone; of more than `MOST_PHRASES` reading would become slow."""

    def read(self, node: Node, key: str, to: Reading) -> tuple[str, ...] | Any:
        """Return the phrases."""
        if isinstance(node, Listing) and len(node.items) > MOST_PHRASES:
            return to.wrong(node.place, "too-many", f"`{key}` has {len(node.items):,} phrases",
                            f"at most {MOST_PHRASES}", "leave out what is seldom said")
        return ListOf(Phrase(), or_one=True).read(node, key, to)


_PHRASES = Phrases()


@dataclass(frozen=True, slots=True)
class PhrasesFor:
    """Phrases by what they stand for; returned as (code, phrase) pairs."""

    codes: tuple[str, ...]

    def read(self, node: Node, key: str, to: Reading) -> tuple[tuple[str, str], ...] | Any:
        """Return the pairs of what could be read."""
        if not isinstance(node, Mapping):
            return not_this(node, key, "names with phrases", "write for example `altimeter: [height dial]` below", to)
        found: list[tuple[str, str]] = []
        known = [words_of(code) for code in self.codes]
        for name, value in node.entries:
            code = code_of(name.value)
            if code not in self.codes:
                to.wrong(name.place, "unknown-name", f"`{name.value[:60]}` is nothing that `{key}` can stand for",
                         hint(name.value, known), "correct or delete it")
                continue
            phrases = _PHRASES.read(value, name.value, to)
            for phrase in () if phrases is BAD else phrases:
                other = next((each for each, said in found if said == phrase and each != code), None)
                other = other or (named_already(phrase) if code in NAMED else None)
                if other not in (None, code):
                    to.wrong(name.place, "taken", f"`{phrase}` cannot be `{name.value}`: it is `{words_of(other)}`",
                             "a phrase that stands for one thing", "give each thing words of its own")
                    continue
                found.append((code, phrase))
        return tuple(found)


LOCAL_WORDS = Keys((
    Key("names", PhrasesFor(NAMED), "further names of instruments and equipment: `altimeter: [height dial]`"),
    Key("asks", PhrasesFor(ASSISTANCE), "further ways to ask ATC for something: `vectors: [a steer]`"),
    Key("failing", _PHRASES, "further words for having failed"),
    Key("working", _PHRASES, "further words for working"),
    Key("pretended", _PHRASES, "further words for a failure that is only practised"),
    Key("intends", _PHRASES, "further words for what the pilot means to do"),
    Key("impaired", _PHRASES, "further words for how far the flight is limited"),
    Key("declares", _PHRASES, "further words that declare an emergency"),
))
