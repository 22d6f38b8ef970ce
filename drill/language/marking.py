"""What was understood of a call, and by which words: each piece of its meaning with the shortest words that say it.

The words of a piece are found by reading less and less of the call: they are the fewest, side by side, that are read as
that piece when nothing else is said. So the explanation is the reader's own, and holds for local words, too.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from drill.clean import clean_line
from drill.language.calls import call_tokens, read_call
from drill.language.meaning import Call, Context
from drill.language.words import Token, word_set

Element = str
CONTENTS: tuple[Element, ...] = ("callsign", "equipment", "impairment", "assistance")
"""What a report of a failure holds: 14 CFR 91.187(b)(1) to (4)."""

_PLAIN = ("facility", "callsign", "urgency", "equipment", "impairment", "assistance", "conditions", "altitude_ft",
          "heading_deg", "position", "souls", "fuel_min", "intentions", "rejoined")
_NOTHING = (None, False, "none", "absent", "unstated", "")
_SAYS_NOTHING = word_set(
    """a an the and or but so we i it is are was were have has had our my your this that with of in on to at for uh um
    er ah ok okay please thanks thank you hi hello good morning evening afternoon day just now also too am be been do
    does us me there here not no yes sir well like about got get they them he she then as from by if when will would
    can could , . ?""")
MOST_WORDS = 120
"""Of a longer call only the clauses are told, not the words in them."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A piece of a call's meaning and where its words stand: `words[start:end]`."""

    element: Element
    value: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Marked:
    """A call with what was heard in it, in the order of its words, and the parts that said nothing to the reader."""

    words: str
    call: Call
    heard: tuple[Heard, ...]
    unread: tuple[tuple[int, int], ...]

    @property
    def missing(self) -> tuple[Element, ...]:
        """The contents of a report that were not heard in this call."""
        said = {each.element for each in self.heard} | ({"assistance"} if self.call.intentions else set())
        return tuple(each for each in CONTENTS if each not in said)


_Test: TypeAlias = Callable[[str], bool]


def marked(words: str, context: Context, heard_as: Call | None = None) -> Marked:
    """Return the call that `words` are with what was heard in it and by which words.

    `heard_as` is what it was understood as, where that is known: in a conversation ("two" on "say people on board"), or
    by an earlier edition. What today's reader does not find in the words has no place in them (both ends 0).
    """
    said = clean_line(words)
    line = call_tokens(said, context)
    call = read_call(said, context) if heard_as is None else heard_as
    parts = _parts(line)
    heard = [Heard(element, value, *_where(said, line, parts, _is_read(element, value, context)))
             for element, value in _pieces(call)]
    heard.sort(key=lambda each: (each.start, each.end))
    unread = tuple((start, end) for start, end in _silent(line, parts, heard)
                   if not _pieces(read_call(said[start:end], context)))
    return Marked(said, call, tuple(heard), unread)


def _pieces(call: Call) -> list[tuple[Element, str]]:
    found: list[tuple[Element, str]] = []
    for name in _PLAIN:
        value = getattr(call, name)
        if isinstance(value, tuple):
            found += [(name, each) for each in value]
        elif not any(value is nothing or value == nothing for nothing in _NOTHING if type(value) is type(nothing)):
            found.append((name, "" if value is True else str(value)))
    found += [("replies", reply.kind) for reply in call.replies]
    return found


def _is_read(element: Element, value: str, context: Context) -> _Test:
    def test(words: str) -> bool:
        return (element, value) in _pieces(read_call(words, context))
    return test


def _parts(line: Sequence[Token]) -> list[tuple[int, int]]:
    """Return the runs of words between breaks, as (first, past the last) in `line`."""
    runs: list[tuple[int, int]] = []
    begin = 0
    for at in range(len(line) + 1):
        if at == len(line) or line[at].is_break:
            if at > begin:
                runs.append((begin, at))
            begin = at + 1
    return runs


def _where(said: str, line: Sequence[Token], parts: Sequence[tuple[int, int]], test: _Test) -> tuple[int, int]:
    """Return where the fewest words stand that pass `test`: first among single parts, then among neighbours."""
    def passes(begin: int, end: int) -> bool:
        return begin < end and test(said[line[begin].start:line[end - 1].end])

    if not line:
        return 0, 0
    spans = [*parts, *((parts[at][0], parts[at + 1][1]) for at in range(len(parts) - 1))]
    found = next((span for span in (*spans[:MOST_WORDS], (0, len(line))) if passes(*span)), None)
    if found is None:
        return 0, 0
    begin, end = found
    if end - begin <= MOST_WORDS:
        begin, end = _shortened(begin, end, passes)
    return line[begin].start, line[end - 1].end


def _shortened(begin: int, end: int, passes: Callable[[int, int], bool]) -> tuple[int, int]:
    """Return the shorter of what is left when words are taken away from the beginning first, or from the end first."""
    ahead = _cut_end(*_cut_begin(begin, end, passes), passes)
    back = _cut_begin(*_cut_end(begin, end, passes), passes)
    return min(ahead, back, key=lambda span: span[1] - span[0])


def _cut_begin(begin: int, end: int, passes: Callable[[int, int], bool]) -> tuple[int, int]:
    for step in (8, 4, 2, 1):
        while end - begin > step and passes(begin + step, end):
            begin += step
    return begin, end


def _cut_end(begin: int, end: int, passes: Callable[[int, int], bool]) -> tuple[int, int]:
    for step in (8, 4, 2, 1):
        while end - begin > step and passes(begin, end - step):
            end -= step
    return begin, end


def _silent(line: Sequence[Token], parts: Sequence[tuple[int, int]], heard: Sequence[Heard]) -> tuple[
        tuple[int, int], ...]:
    """Return where the parts stand that nothing was heard in, but those of words that say nothing by themselves."""
    found: list[tuple[int, int]] = []
    for begin, end in parts:
        start, stop = line[begin].start, line[end - 1].end
        silent = not any(each.start < stop and start < each.end for each in heard)
        if silent and any(token.text not in _SAYS_NOTHING for token in line[begin:end]):
            found.append((start, stop))
    return tuple(found)
