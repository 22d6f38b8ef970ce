"""Every state that a program of moves can come to, by the shortest way to each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from drill.check.abstract import Move, Program
from drill.scenario.moment import StoryState

MOST_STATES = 4_000_000
"""More are not visited: the exploration then says that it is not complete, and nothing is called impossible."""


@dataclass(frozen=True, slots=True)
class Explored:
    """The states that were come to. `came` has for each the state before it and the move; None for a first one."""

    program: Program
    came: Mapping[int, tuple[int, Move] | None]
    ended: Mapping[str, tuple[int, Move]]      # by ending: a state and the move that ends the flight there
    taken: frozenset[int]                      # indexes of the ways that were gone
    finals: frozenset[int]                     # states at an end
    complete: bool = True

    def way_to(self, state: int) -> list[Move]:
        """Return the moves that lead to a state, in order."""
        moves: list[Move] = []
        came = self.came[state]
        while came is not None:
            moves.append(came[1])
            came = self.came[came[0]]
        return moves[::-1]

    def in_phase(self, name: str) -> Iterator[int]:
        """Yield the states of a phase."""
        number, shift = self.program.phases.index(name), self.program.shift
        return (state for state in self.came if state >> shift == number)

    def allows(self, guards: Sequence[tuple[int, int]], states: Sequence[int]) -> bool:
        """Say whether any of `states` is one of those that `guards`, as (mask, want), allow."""
        return any(state & mask == want for mask, want in guards for state in states)


def explore(program: Program, most: int = MOST_STATES) -> Explored:
    """Return every state that the program can come to."""
    shift = program.shift
    moves = [[(move.mask, move.want, ~move.clear, move.put, move) for move in each if move.end is None]
             for each in program.moves]
    ends = [[move for move in each if move.end is not None] for each in program.moves]
    came: dict[int, tuple[int, Move] | None] = dict.fromkeys(program.starts)
    ended: dict[str, tuple[int, Move]] = {}
    finals: set[int] = set()
    gone: set[int] = set()
    level = list(came)
    while level and len(came) <= most:
        following: list[int] = []
        for state in level:
            phase = state >> shift
            for mask, want, keep, put, move in moves[phase]:
                if state & mask == want:
                    gone.add(move.way)
                    after = state & keep | put
                    if after not in came:
                        came[after] = (state, move)
                        following.append(after)
            for move in ends[phase]:
                if state & move.mask == move.want:
                    gone.add(move.way)
                    finals.add(move.after(state))
                    ended.setdefault(str(move.end), (state, move))
        level = following
    return Explored(program, came, ended, frozenset(gone), frozenset(finals), complete=not level)


def inside(seen: Explored, story: StoryState) -> bool:
    """Say whether a story, at a second of a flight, is one of those that the explored states stand for."""
    program = seen.program
    bits, acts = program.state_of(story)
    states = seen.finals if story.ended is not None else seen.came
    if story.ended is not None and story.ended in ("break-up", "ground"):
        states = frozenset(seen.came)     # a limit ends the flight wherever it is
    elif story.ended is not None and story.ended not in seen.ended:
        return False
    return any(state & ~program.acts == bits and not state & program.acts & ~acts for state in states)
