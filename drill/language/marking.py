"""What was understood of a call, and by which words: each piece of its meaning with the shortest words that say it.

The words of a piece are found by reading less and less of the call: they are the fewest, side by side, that are read as
that piece when nothing else is said. So the explanation is the reader's own, and holds for local words, too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from drill.clean import clean_line
from drill.language.calls import by_grammar, call_tokens, read_call
from drill.language.meaning import Call, Context
from drill.language.words import Token, word_set

Element = str
CONTENTS: tuple[Element, ...] = ("callsign", "equipment", "impairment", "assistance")
"""What a report of a failure holds: 14 CFR 91.187(b)(1) to (4)."""

_PLAIN = ("facility", "callsign", "urgency", "equipment", "impairment", "assistance", "conditions", "altitude_ft",
          "heading_deg", "position", "souls", "fuel_min", "intentions", "places", "cancels_ifr", "trouble", "rejoined")
_NOTHING = (None, False, "none", "absent", "unstated", "")
_SAYS_NOTHING = word_set(
    """a an the and or but so we i it is are was were have has had our my your this that with of in on to at for uh um
    er ah ok okay please thanks thank you hi hello good morning evening afternoon day just now also too am be been do
    does us me there here not no yes sir well like about got get they them he she then as from by if when will would
    can could , . ?""")
MOST_WORDS = 120
"""Parts, and words of a part, that are looked at; of a longer call the rest is one piece."""
MOST_READ = 2_000
"""Words read again for one call; after that the words that are found are told as they are, not the fewest."""


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


def marked(words: str, context: Context, heard_as: Call | None = None) -> Marked:
    """Return the call that `words` are with what was heard in it and by which words.

    `heard_as` is what it was understood as, where that is known: in a conversation ("two" on "say people on board"), or
    by an earlier edition. What today's reader does not find in the words has no place in them (both ends 0).
    """
    said = clean_line(words)
    line = call_tokens(said, context)
    call = read_call(said, context) if heard_as is None else heard_as
    parts = _parts(line)
    reading = _Reading(said, line, context)
    heard = [Heard(element, value, *_where(reading, parts, (element, value))) for element,
                                                            value in dict.fromkeys(_pieces(call))]
    heard = [_whole_words(said, _grown(each, line, heard, reading)) for each in heard]
    unread = [(start, end) for start, end in _silent(line, parts, heard)
              if not _pieces(read_call(said[start:end], context))]
    if unread and any(each.end == 0 for each in heard):   # words that say it only as an answer
        start, end = unread.pop(0)
        heard = [replace(each, start=start, end=end) if each.end == 0 else each for each in heard]
    heard.sort(key=lambda each: (each.start, each.end))
    return Marked(said, call, tuple(heard), tuple(unread))


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


class _Reading:
    """What runs of a call's words are read as, each read once; in the end no more than `MOST_READ` words in all.

    What the grammar reads in the whole call is looked for by it; what is only likely, by all that reads.
    """

    def __init__(self, said: str, line: Sequence[Token], context: Context) -> None:
        self.said, self.line, self.context = said, line, context
        self._by_grammar = frozenset(_pieces(by_grammar(said, context)))
        self._known: dict[tuple[int, int, bool], frozenset[tuple[Element, str]]] = {}
        self._read = 0

    @property
    def may_go_on(self) -> bool:
        """Whether there is still leave to look for fewer words."""
        return self._read < MOST_READ

    def says(self, begin: int, end: int, piece: tuple[Element, str]) -> bool:
        """Whether `line[begin:end]` alone is read as `piece`."""
        if begin >= end:
            return False
        plainly = piece in self._by_grammar
        if (begin, end, plainly) not in self._known:
            self._read += end - begin
            alone = self.said[self.line[begin].start:self.line[end - 1].end]
            reads = by_grammar if plainly else read_call
            self._known[begin, end, plainly] = frozenset(_pieces(reads(alone, self.context)))
        return piece in self._known[begin, end, plainly]


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


def _where(reading: _Reading, parts: Sequence[tuple[int, int]], piece: tuple[Element, str]) -> tuple[int, int]:
    """Return where the fewest words stand that say `piece`: first among single parts, then among neighbours."""
    line = reading.line
    if not line:
        return 0, 0
    spans = [*parts, *((parts[at][0], parts[at + 1][1]) for at in range(len(parts) - 1))]
    within = [span for span in spans[:MOST_WORDS] if span[1] - span[0] <= MOST_WORDS]
    found = next((span for span in (*within, (0, len(line))) if reading.says(*span, piece)), None)
    if found is None:
        return 0, 0
    begin, end = _shortened(*found, reading, piece)
    return line[begin].start, line[end - 1].end


def _shortened(begin: int, end: int, reading: _Reading, piece: tuple[Element, str]) -> tuple[int, int]:
    """Return what is left when words are taken away from the beginning and then from the end."""
    for step in (16, 8, 4, 2, 1):
        while reading.may_go_on and end - begin > step and reading.says(begin + step, end, piece):
            begin += step
    for step in (16, 8, 4, 2, 1):
        while reading.may_go_on and end - begin > step and reading.says(begin, end - step, piece):
            end -= step
    return begin, end


MOST_GROWN = 4
"""Words after the fewest ones that are told with them ("AI went" with "belly up")."""


def _grown(piece: Heard, line: Sequence[Token], heard: Sequence[Heard], reading: _Reading) -> Heard:
    """Return a piece with the few words behind its own that say nothing else, to their break, if they fit."""
    after = [token for token in line if token.start >= piece.end > 0]
    stop = next((at for at, token in enumerate(after) if token.is_break or token.text in ("and", "but", "or", "so")),
                len(after))
    taken = any(other is not piece and other.start < token.end and token.start < other.end
                for token in after[:stop] for other in heard)
    if taken or not 0 < stop <= MOST_GROWN:
        return piece
    begin = next(at for at, token in enumerate(line) if token.start >= piece.start)
    end = next(at for at, token in enumerate(line) if token is after[stop - 1]) + 1
    grown = reading.may_go_on and reading.says(begin, end, (piece.element, piece.value))
    return replace(piece, end=after[stop - 1].end) if grown else piece


_BETWEEN_WORDS = frozenset(" ,.;:?!()\"")


def _whole_words(said: str, piece: Heard) -> Heard:
    """Return `piece` from the beginning of its first word to the end of its last: "no-gyro" is not cut."""
    start, end = piece.start, piece.end
    while 0 < start < end and said[start - 1] not in _BETWEEN_WORDS:
        start -= 1
    while 0 < end < len(said) and said[end] not in _BETWEEN_WORDS:
        end += 1
    return replace(piece, start=start, end=end)


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
