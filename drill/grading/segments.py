"""A call marked up along its words: which stretch of them ATC heard as what, and which it did not understand. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, TypeAlias

from drill.grading.debrief import CallHeard, Piece

State: TypeAlias = Literal["heard", "not understood", "said"]


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of a call's words. `labels` are the elements whose words end with it; `said` has no meaning to ATC."""

    words: str
    state: State
    labels: tuple[str, ...] = ()


def segments(call: CallHeard) -> tuple[Segment, ...]:
    """Return the words of `call` in stretches; put together they are the words, to the letter.

    Elements may share words: each label stands once, where its words end.
    """
    words = call.words
    pieces = [each for each in call.heard if 0 <= each.start < each.end <= len(words)]
    unread = _places(words, call.unread)
    edges = sorted({0, len(words), *(edge for each in pieces for edge in (each.start, each.end)),
                    *(edge for place in unread for edge in place)})
    return tuple(part for begin, end in pairwise(edges)
                 for part in _without_spaces(_segment(words, begin, end, pieces, unread)))


def _without_spaces(segment: Segment) -> Iterator[Segment]:
    """Yield `segment` with the spaces around it as stretches of their own, which mean nothing."""
    core = segment.words.strip()
    if segment.state == "said" or not core:
        yield Segment(segment.words, "said")
        return
    before, _, after = segment.words.partition(core)
    yield from ([Segment(before, "said")] if before else [])
    yield Segment(core, segment.state, segment.labels)
    yield from ([Segment(after, "said")] if after else [])


def without_words(call: CallHeard) -> tuple[str, ...]:
    """Return the elements that were heard, but by no words that can be shown."""
    return tuple(dict.fromkeys(each.element for each in call.heard if not each.start < each.end <= len(call.words)))


def _segment(
    words: str, begin: int, end: int, pieces: Sequence[Piece], unread: Sequence[tuple[int, int]],
) -> Segment:
    over = [each for each in pieces if each.start <= begin and end <= each.end]
    if over:
        labels = dict.fromkeys(_label(each) for each in over if each.end == end)
        return Segment(words[begin:end], "heard", tuple(labels))
    lost = any(start <= begin and end <= stop for start, stop in unread)
    return Segment(words[begin:end], "not understood" if lost else "said")


def _label(piece: Piece) -> str:
    said = piece.words.casefold()
    return piece.element if not piece.value or piece.value.casefold() in said else f"{piece.element}: {piece.value}"


def _places(words: str, parts: Sequence[str]) -> list[tuple[int, int]]:
    """Return where `parts` stand in `words`, each looked for behind the one before."""
    found, begin = [], 0
    for part in parts:
        at = words.find(part, begin) if part else -1
        if at >= 0:
            found.append((at, at + len(part)))
            begin = at + len(part)
    return found
