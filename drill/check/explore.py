"""Every state that a program of moves can come to, level by level: what one move more leads to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from drill.check.abstract import Move, Program
from drill.scenario.moment import StoryState

MOST_STATES = 4_000_000
"""More are not visited: the exploration then says that it is not complete, and nothing is called impossible."""
MANY = 4_000
"""From so many new states on they are moved together, as an array of 64-bit numbers."""


@dataclass(frozen=True, slots=True)
class Explored:
    """The states that were come to, how flights end, and what was taken on the way."""

    program: Program
    came: frozenset[int]
    ended: frozenset[str]                      # not break-up and the ground: they need no way
    taken: frozenset[int]                      # indexes of the ways that were gone
    finals: frozenset[int]                     # states at an end
    complete: bool = True

    def in_phase(self, name: str) -> Iterator[int]:
        """Yield the states of a phase."""
        number, shift = self.program.phases.index(name), self.program.shift
        return (state for state in self.came if state >> shift == number)

    def allows(self, guards: Sequence[tuple[int, int]], states: Sequence[int]) -> bool:
        """Say whether any of `states` is one of those that `guards`, as (mask, want), allow."""
        return any(state & mask == want for mask, want in guards for state in states)


def explore(program: Program, most: int = MOST_STATES) -> Explored:
    """Return every state that the program can come to."""
    fits = program.shift + len(program.phases).bit_length() < 63
    came, finals, gone, ended = set(program.starts), set[int](), set[int](), set[str]()
    level: Any = list(program.starts)
    while len(level) and len(came) <= most:
        if fits and len(level) > MANY:
            return _together(program, came, finals, gone, ended, np.array(level, dtype=np.int64), most)
        level = _by_one(program, level, came, finals, gone, ended)
    return Explored(program, frozenset(came), frozenset(ended), frozenset(gone), frozenset(finals), not len(level))


def _by_one(
    program: Program, level: list[int], came: set[int], finals: set[int], gone: set[int], ended: set[str],
) -> list[int]:
    """Return the states that moves lead to from those of `level` and that nothing has come to before."""
    shift, following = program.shift, list[int]()
    for state in level:
        for move in program.moves[state >> shift]:
            if state & move.mask != move.want:
                continue
            gone.add(move.way)
            after = state & ~move.clear | move.put
            if move.end is not None:
                finals.add(after)
                ended.add(move.end)
            elif after not in came:
                came.add(after)
                following.append(after)
    return following


def _together(
    program: Program, before: set[int], finals: set[int], gone: set[int], ended: set[str], level: Any, most: int,
) -> Explored:
    """Go on as `explore` does, with all states of a level in one array."""
    came = np.array(sorted(before), dtype=np.int64)
    while level.size and came.size <= most:
        found: list[Any] = []
        for number, moves in enumerate(program.moves):
            here = level[level >> program.shift == number]
            if here.size:
                found += _moved(here, moves, finals, gone, ended)
        level = np.unique(np.concatenate(found)) if found else level[:0]
        places = np.searchsorted(came, level)
        known = came[np.minimum(places, came.size - 1)] == level
        level, places = level[~known], places[~known]
        came = np.insert(came, places, level)
    return Explored(program, frozenset(came.tolist()), frozenset(ended), frozenset(gone), frozenset(finals),
                    not level.size)


def _moved(here: Any, moves: tuple[Move, ...], finals: set[int], gone: set[int], ended: set[str]) -> Iterator[Any]:
    """Yield the states that each move leads to from those of an array."""
    for move in moves:
        able = here[here & move.mask == move.want]
        if not able.size:
            continue
        gone.add(move.way)
        after = able & ~move.clear | move.put
        if move.end is None:
            yield after
        else:
            ended.add(move.end)
            finals.update(np.unique(after).tolist())


def inside(seen: Explored, story: StoryState) -> bool:
    """Say whether a story, at a second of a flight, is one of those that the explored states stand for."""
    program = seen.program
    bits, acts = program.state_of(story)
    states = seen.finals if story.ended is not None else seen.came
    if story.ended is not None and story.ended in ("break-up", "ground"):
        states = seen.came     # a limit ends the flight wherever it is
    elif story.ended is not None and story.ended not in seen.ended:
        return False
    return any(state & ~program.acts == bits and not state & program.acts & ~acts for state in states)
