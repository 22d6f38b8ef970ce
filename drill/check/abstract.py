"""A scenario's story as a program on whole numbers: for each phase, guarded moves from state to state.

A state is a phase and bits: flags that something asks for, failures (begun, active, still due by the clock), cues and
events that change one of these and have happened, and acts that the pilot has done and a branch or cue asks about.
Everything else that a condition can ask (quantities, what is covered or flown by, the plan, what ATC has been told and
can be told otherwise) is "may": it has whatever value helps, within the laws of `abstract_atoms`. So what is not found
here cannot happen in any flight; what is found may still be out of an airplane's reach.

Why every flight of `story.step` stays inside:

- *Acts.* A pilot may do anything in any second, and what has been done stays done. So a state with fewer acts can do
  whatever one with more can, and an act is entered only where a move needs it. A state here stands for all flights of
  its phase and its flags that have done at least its acts.
- *One second* of the story is here a chain of moves: failures and cues first, each by itself, then at most one branch.
  Each move asks for its condition alone; what the moves of one second share is forgotten.
- *First branch wins.* A branch needs every earlier one without `for` not to hold at its moment.
- *For.* A branch that has to hold for a time may be taken at any moment at which it holds and so much time has passed
  in the phase. It is left out only where an earlier branch with as short a `for` holds whenever it does, or where it
  cannot begin to hold without a branch that needs no time.
- *Time* is kept as bounds that hold for a phase or follow from the bits: no earlier than the shortest way to the phase,
  no later than the time limit, not before a drawn time that has passed, not after the last possible one that has not;
  in the phase no longer than a branch allows that then surely holds. They count on a look a second, as a flight has.
- *Limits.* Break-up and the ground may end any flight at any moment; they need no move. While the story looks at its
  branches the airplane is neither broken nor on the ground.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from drill.check.abstract_atoms import Atom, Symbols
from drill.check.abstract_moments import Moments
from drill.scenario.acts import has_told
from drill.scenario.conditions import Condition, Fact
from drill.scenario.model import Scenario
from drill.scenario.moment import StoryState

WayKind = Literal["branch", "cue", "fail", "heal", "time up"]


@dataclass(frozen=True, slots=True)
class Way:
    """Where a move comes from: a branch (by its number in the phase), a cue, a failure by the clock or its healing."""

    kind: WayKind
    phase: str
    of: str = ""          # key of the cue, name of the failure
    number: int = -1      # of the branch


@dataclass(frozen=True, slots=True)
class Move:
    """Where `state & mask == want`, the next state is `state & ~clear | put`; `end`: the flight ends so."""

    mask: int
    want: int
    clear: int
    put: int
    way: int              # index in `Program.ways`
    end: str | None = None

    def allows(self, state: int) -> bool:
        """Say whether the move can be made from `state`."""
        return state & self.mask == self.want

    def after(self, state: int) -> int:
        """Return the state after the move."""
        return state & ~self.clear | self.put


@dataclass(frozen=True, slots=True)
class Program:
    """A story as moves. `bits` is where an atom stands in a state; the phase's number stands above all bits."""

    scenario: Scenario
    symbols: Symbols
    bits: Mapping[Atom, int]                   # atom: its bit, as a power of two
    acts: int                                  # the bits that stand for acts
    shift: int                                 # bits below the phase's number
    starts: tuple[int, ...]
    moves: tuple[tuple[Move, ...], ...]        # by the phase's number
    ways: tuple[Way, ...]
    lost: Mapping[tuple[str, int], str]        # branches that can never be taken, by phase and number, and why
    moments: Moments                           # what holds in each phase whenever it is looked at
    phases: tuple[str, ...]
    told: Mapping[Atom, Fact]                  # acts that stand for what ATC has been told, and for what

    @property
    def moment(self) -> Mapping[str, int]:
        """By phase: what holds whenever its branches are looked at."""
        return self.moments.moment

    @property
    def record(self) -> Mapping[str, int]:
        """By phase: what holds in any second of a record, its last one too."""
        return self.moments.record

    def phase_of(self, state: int) -> str:
        """Return the phase of a state."""
        return self.phases[state >> self.shift]

    def guards(self, function: int) -> list[tuple[int, int]]:
        """Return as (mask, want) in which states a function of atoms may be true at some moment."""
        return [(mask, want) for mask, want, _ in guards_of(self.symbols, self.bits, self.acts, function)]

    def state_of(self, story: StoryState) -> tuple[int, int]:
        """Return a story's state as it is here, without its acts, and the bits of its acts."""
        bits = acts = 0
        for atom, bit in self.bits.items():
            match atom:
                case ("did", key):
                    acts |= bit * (key in story.did or (atom in self.told and _knows(story, self.told[atom])))
                case ("here", key):
                    acts |= bit * (key in story.did_here)
                case ("noted", flag):
                    bits |= bit * (flag in story.notes)
                case ("failed", name):
                    bits |= bit * (name in story.started and name not in story.healed)
                case ("begun", name):
                    bits |= bit * (name in story.started)
                case ("drawn", name):
                    bits |= bit * (dict(story.times).get(name) is not None and self._counts(name, story))
                case ("fired", key):
                    bits |= bit * (key in story.fired)
        return bits | self.phases.index(story.phase) << self.shift, acts

    def _counts(self, failure: str, story: StoryState) -> bool:
        plan = next(each for each in self.scenario.failures if each.name == failure)
        return plan.every_s is not None or failure not in story.started


def _knows(story: StoryState, fact: Fact) -> bool:
    return fact.of in story.told.assistance if fact.kind == "asked for" else has_told(story.told, fact.of)


def guards_of(
    symbols: Symbols, bits: Mapping[Atom, int], acts: int, function: int,
) -> list[tuple[int, int, int]]:
    """Return (mask, want, acts to do): the states from which `function` may be true, and what has to be done for it."""
    kept = {symbols.index[atom]: bit for atom, bit in bits.items() if atom in symbols.index}
    projected = symbols.diagrams.exists(function, [place for place in symbols.index.values() if place not in kept])
    found: list[tuple[int, int, int]] = []
    for way in symbols.diagrams.ways(projected):
        mask = want = do = 0
        for place, holds in way.items():
            bit = kept[place]
            if bit & acts and holds:
                do |= bit
                continue
            mask |= bit
            want |= bit * holds
        found.append((mask, want, do))
    return found


def conditions_of(scenario: Scenario) -> Iterator[Condition | None]:
    """Yield every condition that the story looks at."""
    for phase in scenario.phases:
        yield from (branch.when for branch in phase.branches)
        for cue in phase.cues:
            yield from (cue.when, cue.unless)
    for event in scenario.events:
        yield from (event.when, event.unless)
