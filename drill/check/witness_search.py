"""The search for witness flights: a scripted pilot flies for what has not been shown, from where a phase was entered.

First the grade sheet flies, and a pilot who does nothing. Then, from each moment at which a phase was entered first, a
flight is forked for each branch that none has taken yet, and a scripted pilot does what its condition asks for; then
the same under seeds in which less fails. What has been flown counts in seconds of flight, so that the same search is
made on any machine.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from drill.check.abstract_atoms import Atom
from drill.check.abstract_diagrams import NO
from drill.check.explore import Explored
from drill.check.exploring import explored
from drill.check.witness import (
    FULL_SCORE,
    MARK,
    Progress,
    Showing,
    Shown,
    Witness,
    early_seeds,
    graded_as,
    joined,
    marked,
    wanted,
)
from drill.check.witness_words import Speaker, is_switch, maneuver
from drill.flight import seeds
from drill.flight.events import Ended, Entered, Event, Failed, Noted, Trace
from drill.flight.flight import Flight
from drill.grading.exemplar import KNOWS_S, SheetPilot
from drill.grading.grade import grade
from drill.scenario.deeds import parts_of
from drill.scenario.model import Branch, Go, Phase, Scenario

FLOWN_S = 8_000.0        # seconds of flight spent on one scenario, all forks together
MOST_WAYS = 3            # so many ways to make one condition hold are tried
MOST_LOOKED_AT = 200     # ways, for the shortest of them
LONGEST_S = 1_500.0      # of one attempt
FIRST_SHARE = 0.6        # of all that may be flown, where most fails
TROUBLED = 1.5           # an attempt takes longer in which something has failed or will
NEW_GOAL = 0.5           # an attempt that leads where none has been may last twice as long
LEFT_OVER_S = 5.0        # beyond the time limit
TOLD_EVERY_S = 20.0      # seconds of flight between two words on how far the search is


def witnesses(scenario: Scenario, most_s: float = FLOWN_S, progress: Progress | None = None) -> Shown:
    """Return what flights of `scenario` show of its phases, branches, endings, failures and items.

    `most_s`: seconds of flight that the search may spend; a core flies some hundreds of them in a second.
    """
    return _Search(scenario, explored(scenario), most_s, progress).run()


@dataclass(slots=True)
class _Moment:
    """A flight at a whole second, with what was said and what happened until then."""

    flight: Flight
    lines: tuple[tuple[float, str], ...]
    events: list[Event]

    def fork(self) -> _Moment:
        return _Moment(self.flight.fork(), self.lines, list(self.events))


_Key: TypeAlias = tuple[str, int, int, int]    # phase, branch, moment of the phase, way


@dataclass(frozen=True, slots=True)
class _Attempt:
    """What a pilot says, from a moment on, for a branch to be taken, and how long that may last (s)."""

    rank: tuple[bool, float]
    key: _Key
    moment: _Moment
    branch: Branch
    words: tuple[str, ...]
    from_s: float                                  # when the first of them is said, in flight time
    seconds: float


def active(moment: _Moment) -> frozenset[str]:
    """Return the failures that are active at a moment."""
    story = moment.flight.state.story
    return story.started - story.healed


def outlook(moment: _Moment) -> tuple[frozenset[str], frozenset[str]]:
    """Return the failures that are active at a moment, and those that the clock still brings."""
    story = moment.flight.state.story
    names = {plan.name for plan in moment.flight.scenario.failures}
    return active(moment), frozenset(
        name for name, due_s in story.times if name in names and due_s is not None and name not in story.started)


def _due_s(moment: _Moment, failure: str) -> float | None:
    """Return when (s) the clock still brings a failure that has not begun; None: it does not."""
    story = moment.flight.state.story
    return None if failure in story.started else dict(story.times).get(failure)


@dataclass
class _Search:
    scenario: Scenario
    seen: Explored
    most_s: float
    progress: Progress | None = None
    flown_s: float = 0.0
    told_s: float = 0.0
    moments: dict[str, list[_Moment]] = field(default_factory=dict)   # by phase, where it was entered
    shown: dict[str, Witness] = field(default_factory=dict)
    found: list[Witness] = field(default_factory=list)
    tried: set[_Key] = field(default_factory=set)
    known: dict[_Key, _Attempt | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.speaker = Speaker(self.scenario)
        self.marked = marked(self.scenario)
        self.wanted = wanted(self.seen)
        self.flags = sorted({atom[1] for atom in self.seen.program.symbols.index if atom[0] == "noted"})
        self.failures = sorted({atom[1] for atom in self.seen.program.symbols.index if atom[0] == "failed"})

    def run(self) -> Shown:
        """Search until all is shown or as much has been flown as may be."""
        roots = [self._begin(seed) for seed in early_seeds(self.scenario)]
        for root in roots:
            self._look(root, 0)
        first, others = roots[:1], roots[1:]
        for root in first:
            self._exemplar(root)
            self._passive(root, LONGEST_S)
        self._try_while(FIRST_SHARE * self.most_s)
        for root in others:
            self._exemplar(root)
            self._passive(root, LONGEST_S)
            self._try_while(FIRST_SHARE * self.most_s)
        if "ending time up" in self.left:
            self._passive(roots[-1], self.scenario.time_limit_s)
        self._try_while(self.most_s)
        return Shown(joined(self.found), tuple(each for each in self.wanted if each not in self.shown), self.flown_s)

    @property
    def left(self) -> list[str]:
        """What is still to be shown."""
        return [each for each in self.wanted if each not in self.shown]

    def _begin(self, seed: int) -> _Moment:
        flight, events = Flight.start(self.marked, seed, by="script")
        return _Moment(flight, (), list(events))

    def _exemplar(self, root: _Moment) -> None:
        """Let the grade sheet fly to the end."""
        names, at = {plan.name for plan in self.scenario.failures}, root.fork()
        known = {name: t + KNOWS_S for name, t in seeds.times(self.scenario, at.flight.seed).items()
                 if name in names and t is not None}
        pilot = SheetPilot(at.flight, at.events, known)
        self._fly(at, lambda heard: pilot.next(at.flight.panel, heard, at.flight.t_s), LONGEST_S, None)

    def _passive(self, root: _Moment, seconds: float) -> None:
        """Let a pilot who does nothing fly."""
        self._fly(root.fork(), lambda _: [], seconds + LEFT_OVER_S, None)

    def _try_while(self, until_s: float) -> None:
        """Fly for one branch after the other, until so much has been flown (s) or there is none to try any more."""
        while self.flown_s < until_s and any(
                not each.startswith("item ") and each != FULL_SCORE for each in self.left) and self._try_one():
            pass

    def _try_one(self) -> bool:
        """Fly for one branch that no flight has taken; False where there is none to try any more.

        The one that leads where none has been comes first, then the one that takes least time; behind all others those
        that only lead a flight with other failures into a phase.
        """
        if self.flown_s >= self.most_s:
            return False
        best = min(self._attempts(), key=lambda each: each.rank, default=None)
        if best is None:
            return False
        self.tried.add(best.key)
        at = best.moment.fork()
        waiting = [(best.from_s + 6.0 * place, each) for place, each in enumerate(best.words)]
        self._fly(at, lambda _: _due(waiting, at.flight.t_s), best.seconds, best.branch)
        return True

    def _attempts(self) -> Iterator[_Attempt]:
        for name, moments in self.moments.items():
            phase = self.scenario.phase(name)
            for number, branch in enumerate(phase.branches):
                what = f"branch {name} {number}"
                if what not in self.wanted:
                    continue
                last = branch.effects[-1]
                goal = f"phase {last.phase}" if isinstance(last, Go) else f"ending {getattr(last, 'ending', '')}"
                for at, moment in enumerate(moments):
                    if what in self.shown and not self._new_there(branch, moment):
                        continue
                    for way in range(MOST_WAYS):
                        if (name, number, at, way) not in self.tried:
                            found = self._attempt((name, number, at, way), moment, phase, branch)
                            if found is None:
                                self.tried.add((name, number, at, way))
                            elif self.flown_s + found.seconds <= self.most_s:
                                weight = 1.0 if goal in self.shown else NEW_GOAL
                                weight *= TROUBLED if any(outlook(moment)) else 1.0
                                yield replace(found, rank=(what in self.shown, found.seconds * weight))

    def _new_there(self, branch: Branch, moment: _Moment) -> bool:
        """Say whether no flight with the failures of `moment` has been where the branch leads."""
        last = branch.effects[-1]
        return isinstance(last, Go) and not any(
            outlook(each) == outlook(moment) for each in self.moments.get(last.phase, ()))

    def _ways(self, phase: Phase, branch: Branch, moment: _Moment) -> Sequence[Mapping[Atom, bool]]:
        """Return the ways to make a condition hold that do not ask for what the story has settled otherwise."""
        symbols, story = self.seen.program.symbols, moment.flight.state.story
        condition = symbols.of_condition(branch.when)
        asked = symbols.diagrams.variables(condition)
        settled = {("noted", flag): flag in story.notes for flag in self.flags}
        settled |= {("failed", name): name in active(moment) for name in self.failures}
        settled |= {("begun", name): name in story.started for name in self.failures
                    if name in story.started or _due_s(moment, name) is None}
        held = symbols.diagrams.every(self.seen.program.moment[phase.name], condition, *(
            symbols.atom(atom) if holds else symbols.negate(symbols.atom(atom))
            for atom, holds in settled.items() if atom in symbols.index))
        names = list(symbols.index)
        found: list[dict[Atom, bool]] = []
        if held == NO:
            return []
        free = [place for place in range(len(names)) if place not in asked]
        for way in symbols.diagrams.ways(symbols.diagrams.exists(held, free)):
            found.append({names[place]: holds for place, holds in way.items()})
            if len(found) >= MOST_LOOKED_AT:
                break
        found.sort(key=lambda atoms: (sum(holds for atom, holds in atoms.items() if atom[0] != "cut"), len(atoms)))
        distinct = {frozenset(atom for atom, holds in atoms.items() if holds or atom[0] == "cut"): atoms
                    for atoms in reversed(found)}
        return sorted(distinct.values(), key=lambda atoms: sum(atoms.values()))[:MOST_WAYS]

    def _attempt(self, key: _Key, moment: _Moment, phase: Phase, branch: Branch) -> _Attempt | None:
        """Return what a pilot does to take a branch in one way; None where that is not known, or takes too long."""
        if key in self.known:
            return self.known[key]
        self.known[key] = None
        ways = self._ways(phase, branch, moment)
        if key[3] >= len(ways):
            return None
        atoms = ways[key[3]]
        often: dict[str, int] = {}
        from_s = now = moment.flight.t_s
        for atom, holds in atoms.items():
            if (holds or is_switch(atom)) and atom[0] in ("did", "here", "fact") and not atom[1].startswith("is "):
                _, times, since = parts_of(atom[1])
                words = self.speaker.words(atom, off=not holds)
                if words is None:
                    return None
                often[words] = max(often.get(words, 1), times)
                from_s = max(from_s, _due_s(moment, since) or now)
        values = next((event.values for event in reversed(moment.events) if isinstance(event, Trace)), {})
        moves = maneuver(self.scenario, sorted(atoms.items()), values, moment.flight.t_s)
        said = (*(each for words, times in often.items() for each in times * (words,)),
                *(each for each in moves.words if each not in often))
        seconds = from_s - now + moves.seconds + branch.for_s + 15.0 * len(said) + 40.0
        if seconds <= LONGEST_S:
            self.known[key] = _Attempt((False, seconds), key, moment, branch, said, from_s + 2.0, seconds)
        return self.known[key]

    def _fly(self, at: _Moment, says: Callable[[Sequence[Event]], Sequence[str]], seconds: float,
             until: Branch | None) -> None:
        """Fly on with a pilot; a flight for a branch ends where the phase does, another at its ending."""
        flight, first = at.flight, at.flight.phase
        end_s = min(flight.t_s + seconds, self.scenario.time_limit_s + LEFT_OVER_S)
        heard = before = len(at.events)
        while flight.ended is None and flight.t_s < end_s - 1e-9 and self.flown_s < self.most_s:
            said = says(at.events[heard:])
            heard = len(at.events)
            for words in said:
                at.lines = (*at.lines, (flight.t_s, words))
                at.events += flight.enter(words)
            at.events += flight.advance(1.0)
            self.flown_s += 1.0
            self._look(at, before)
            self._tell()
            before = len(at.events)
            if until is not None and flight.phase != first:
                break

    def _tell(self) -> None:
        if self.progress is not None and self.flown_s >= self.told_s:
            self.told_s = self.flown_s + TOLD_EVERY_S
            self.progress(self.flown_s, self.most_s, len(self.shown), len(self.wanted))

    def _look(self, at: _Moment, since: int) -> None:
        """Note what has happened since so many events."""
        new: list[str] = []
        remember = False
        for event in at.events[since:]:
            match event:
                case Entered(phase=name):
                    new.append(f"phase {name}")
                    remember = True
                case Noted(flag=flag) if flag.startswith(MARK):
                    new.append(flag.removeprefix(MARK))
                case Ended(ending=name):
                    new.append(f"ending {name}")
                case Failed(failure=name):
                    new.append(f"failure {name}")
                    remember = True
                case _:
                    pass
        if remember and at.flight.ended is None:
            self._remember(at)
        ended = at.flight.ended
        debrief = None
        if ended is not None:
            events = [event for event in at.events if not (isinstance(event, Noted) and event.flag.startswith(MARK))]
            debrief = grade(self.scenario, events, at.flight.seed)
            new += graded_as(self.scenario, debrief)
        fresh = [each for each in dict.fromkeys(new) if each in self.wanted and each not in self.shown]
        if fresh or ended is not None:
            t_s = at.flight.t_s
            witness = Witness(tuple(Showing(each, t_s) for each in fresh), at.flight.seed, at.lines, t_s,
                              None if ended is None else ended.ending, debrief)
            self.found.append(witness)
            self.shown.update(dict.fromkeys(fresh, witness))

    def _remember(self, at: _Moment) -> None:
        """Keep a moment to fork from: one for each phase and each set of failures, active and to come."""
        kept = self.moments.setdefault(at.flight.phase, [])
        if not any(outlook(each) == outlook(at) for each in kept):
            kept.append(at.fork())


def _due(waiting: list[tuple[float, str]], t_s: float) -> list[str]:
    """Take from `waiting` the words whose time has come."""
    due = [words for at_s, words in waiting if at_s <= t_s + 1e-9]
    del waiting[:len(due)]
    return due
