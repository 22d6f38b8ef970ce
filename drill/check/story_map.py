"""A scenario's story as a map: phases, their branches and cues in words, endings, and what is known of each.

Of each part it says whether exploration proves that no flight comes to it, whether a witness flight shows that one
does, or neither: then it is possible by the story and nobody knows more. How it is drawn is for others.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, Protocol, TypeAlias

from drill.check.abstract import Way as Move
from drill.check.condition_words import changes_words, condition_words, listed, span_words
from drill.check.explore import Explored
from drill.check.explore_conditions import cue_findings
from drill.check.explore_endings import GOOD
from drill.check.exploring import UNREACHABLE, explored, reached_phases
from drill.scenario.model import LIMIT_ENDINGS, Branch, Cue, End, FailurePlan, Go, Phase, Say, Scenario, Tell

Known: TypeAlias = Literal["never", "shown", "possible"]
"""never: proven to be in no flight; shown: a witness flight or a simulated pilot came to it; possible: neither."""

BY_PILOTS = "by simulated pilots"

Shares: TypeAlias = Mapping[str, float]
"""By the skill of simulated pilots the share of their flights, 0 to 1."""


class Seen(Protocol):
    """What witness flights have shown. `words` says how much was flown; `flights` each flight, in their order."""

    @property
    def words(self) -> str:
        """How much was flown."""

    @property
    def flights(self) -> tuple[str, ...]:
        """Each flight in words."""

    def of(self, what: str) -> str:
        """Return where a flight shows `what` ("phase helped", "branch cruise 2"), in words; "" where none does."""


@dataclass(frozen=True, slots=True)
class Flown:
    """What simulated pilots did, as shares of their flights; `setup` says in words who flew how often."""

    setup: str
    skills: tuple[str, ...]
    branches: Mapping[tuple[str, int], Shares]
    phases: Mapping[str, Shares]
    endings: Mapping[str, Shares]


@dataclass(frozen=True, slots=True)
class Happening:
    """A cue or a failure by the clock, of those that change something: when it comes and what it changes."""

    when: str
    changes: str
    known: Known = "possible"


@dataclass(frozen=True, slots=True)
class Edge:
    """A branch."""

    phase: str
    number: int                     # in the author's order, from 1: the first that holds is taken
    when: str
    hold: str                       # "" or how long without a break, "20 s"
    changes: str                    # what it changes besides, "" if nothing
    to: str                         # phase or ending
    ends: bool
    line: int
    known: Known
    why: str                        # why it is never taken, or where a flight shows it; "" where nothing is known
    shares: Shares | None


@dataclass(frozen=True, slots=True)
class Stage:
    """A phase."""

    name: str
    line: int
    first: bool
    known: Known
    why: str
    shares: Shares | None
    enters: str                     # what entering it changes
    cues: tuple[Happening, ...]
    told: int                       # how many of its cues only say something
    edges: tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Close:
    """An ending. `limit`: it needs no branch, and is reached from any phase."""

    name: str
    outcome: str
    good: bool
    limit: bool
    line: int                       # 0: the author has given it no words
    known: Known
    why: str
    shares: Shares | None


@dataclass(frozen=True, slots=True)
class StoryMap:
    """A story as a map. `events`: what changes something in any phase; `complete`: exploration came to its end."""

    name: str
    title: str
    board_title: str
    start: str
    failures: tuple[Happening, ...]
    events: tuple[Happening, ...]
    stages: tuple[Stage, ...]
    closes: tuple[Close, ...]
    complete: bool
    witnessed: str                  # what was flown for witnesses, in words; "" where nothing was
    flights: tuple[str, ...]        # the witness flights, in words
    flown: Flown | None

    @property
    def looked(self) -> bool:
        """Whether any flights are known of, so that what none of them came to is worth telling."""
        return bool(self.witnessed) or self.flown is not None

    @property
    def edges(self) -> Iterator[Edge]:
        """Every branch, in the author's order."""
        for stage in self.stages:
            yield from stage.edges


def map_of(scenario: Scenario, shown: Seen | None = None, flown: Flown | None = None) -> StoryMap:
    """Return the map of a scenario, with what witness flights have `shown` and simulated pilots have `flown`."""
    return _Maker(scenario, explored(scenario), shown, flown).map()


@dataclass(frozen=True, slots=True)
class _Maker:
    scenario: Scenario
    seen: Explored
    shown: Seen | None
    flown: Flown | None

    def map(self) -> StoryMap:
        scenario = self.scenario
        dead = {each.place.line for each in cue_findings(self.seen)} if self.seen.complete else set()
        return StoryMap(
            name=scenario.name, title=str(scenario.title), board_title=str(scenario.board_title),
            start=scenario.start.phase,
            failures=tuple(self._failures()),
            events=tuple(_happening(event, dead, "of flight") for event in scenario.events if _changes(event)),
            stages=tuple(self._stage(phase, dead) for phase in scenario.phases),
            closes=tuple(self._closes()), complete=self.seen.complete,
            witnessed="" if self.shown is None else self.shown.words,
            flights=() if self.shown is None else self.shown.flights, flown=self.flown)

    def _known(self, what: str, shares: Shares | None, *, never: bool, why: str) -> tuple[Known, str]:
        if never and self.seen.complete:
            return "never", why
        where = self.shown.of(what) if self.shown is not None else ""
        if not where and any((shares or {}).values()):
            where = BY_PILOTS
        return ("shown", where) if where else ("possible", "")

    def _stage(self, phase: Phase, dead: set[int]) -> Stage:
        reached = reached_phases(self.seen)
        shares = None if self.flown is None else self.flown.phases.get(phase.name, {})
        known, why = self._known(f"phase {phase.name}", shares, never=phase.name not in reached,
                                 why="no branch that leads to it can be taken")
        changing = [cue for cue in phase.cues if _changes(cue)]
        return Stage(
            name=phase.name, line=phase.place.line, first=phase.name == self.scenario.start.phase, known=known, why=why,
            shares=shares,
            enters=listed(list(changes_words(phase.enter)), "and"),
            cues=tuple(_happening(cue, dead, "in the phase") for cue in changing), told=len(phase.cues) - len(changing),
            edges=tuple(self._edge(phase, number, branch, reached) for number, branch in enumerate(phase.branches)))

    def _edge(self, phase: Phase, number: int, branch: Branch, reached: frozenset[str]) -> Edge:
        last, program = branch.effects[-1], self.seen.program
        taken = {program.ways[each] for each in self.seen.taken}
        shares = None if self.flown is None else self.flown.branches.get((phase.name, number), {})
        known, why = self._known(
            f"branch {phase.name} {number}", shares,
            never=Move("branch", phase.name, number=number) not in taken,
            why="no flight comes to its phase" if phase.name not in reached else
            program.lost.get((phase.name, number), UNREACHABLE))
        return Edge(
            phase=phase.name, number=number + 1, when=condition_words(branch.when),
            hold=span_words(branch.for_s) if branch.for_s else "",
            changes=listed(list(changes_words(branch.effects)), "and"),
            to=last.phase if isinstance(last, Go) else last.ending if isinstance(last, End) else "",
            ends=isinstance(last, End), line=branch.place.line, known=known, why=why,
            shares=shares)

    def _closes(self) -> Iterator[Close]:
        used = {edge.ending for phase in self.scenario.phases for branch in phase.branches
                for edge in branch.effects[-1:] if isinstance(edge, End)}
        for ending in self.scenario.endings:
            limit = ending.name in LIMIT_ENDINGS and ending.name not in used
            free = ending.name in ("ground", "break-up")      # the model ends a flight so wherever it is
            shares = None if self.flown is None else self.flown.endings.get(ending.name, {})
            never = not free and ending.name not in self.seen.ended
            known, why = self._known(f"ending {ending.name}", shares, never=never,
                                     why="every branch that ends in it can never be taken" if not limit else
                                     "every flight is over before the time limit")
            yield Close(
                name=ending.name, outcome=ending.outcome, good=ending.outcome in GOOD, limit=limit,
                line=ending.place.line if str(ending.place.file) else 0, known=known, why=why,
                shares=shares)

    def _failures(self) -> Iterator[Happening]:
        begun = {atom[1] for atom, bit in self.seen.program.bits.items() if atom[0] == "begun"
                 and any(state & bit for state in (*self.seen.came, *self.seen.finals))}
        for plan in self.scenario.failures:
            known, _ = self._known(f"failure {plan.name}", None, never=plan.name not in begun, why="")
            yield Happening(_due_words(plan, self.scenario), f"“{plan.name}”: {plan.part}, {plan.how}", known)


def _due_words(plan: FailurePlan, scenario: Scenario) -> str:
    if plan.at_s is None:
        said = "when the story lets it fail"
    elif plan.spread_s:
        said = f"between {span_words(plan.at_s)} and {span_words(plan.at_s + plan.spread_s)} of flight"
    else:
        said = f"at {span_words(plan.at_s)} of flight" if plan.at_s else "from the beginning"
    if plan.lasts_s is not None:
        said += f", for {span_words(plan.lasts_s)}"
    if plan.every_s is not None:
        said += f", again every {span_words(plan.every_s)}"
    drawn = [each.name for each in scenario.variations if plan.name in each.fails]
    return f"{said}, in {listed([f'“{name}”' for name in drawn], 'or')}" if drawn else said


def _changes(cue: Cue) -> bool:
    return any(not isinstance(each, Tell | Say) for each in cue.effects)


def _happening(cue: Cue, dead: set[int], since: str) -> Happening:
    said = [f"at {span_words(cue.after_s)} {since}" if cue.after_s else ""]
    said.append(f"when {condition_words(cue.when)}" if cue.when is not None else "")
    said.append(f"unless {condition_words(cue.unless)}" if cue.unless is not None else "")
    when = ", ".join(filter(None, said)) or "at once"
    return Happening(when, listed(list(changes_words(cue.effects)), "and"),
                     "never" if cue.place.line in dead else "possible")
