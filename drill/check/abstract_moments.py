"""What can hold at one moment in a phase, and when that moment can be: bounds of the time and of the time in phase."""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from drill.check.abstract_atoms import IN_PHASE, TIME, Atom, Symbols
from drill.check.abstract_diagrams import NO, YES
from drill.scenario.model import Cue, Fail, Go, Phase, Scenario
from drill.scenario.story import effects_of

LOOK_S = 1.0             # the story looks once a second


@dataclass(slots=True)
class Moments:
    """What holds whenever the story looks: `moment` by phase for its branches and cues, `record` for any second.

    `earliest_s` is when a phase can be entered at the earliest, `latest_s` how long it can last at most, `over_s` when
    it is over at the latest; the last two only where there is a bound. `dead`: branches known never to be taken.
    """

    scenario: Scenario
    symbols: Symbols
    lasting: frozenset[str]                               # keys of the cues that change something
    dead: frozenset[tuple[str, int]] = frozenset()        # by phase and number
    earliest_s: dict[str, float] = field(default_factory=dict)
    latest_s: dict[str, float] = field(default_factory=dict)
    over_s: dict[str, float] = field(default_factory=dict)
    moment: dict[str, int] = field(default_factory=dict)
    record: dict[str, int] = field(default_factory=dict)
    since_start: str = ""                                 # the start phase, if its time is always that of the flight

    def __post_init__(self) -> None:
        symbols, scenario = self.symbols, self.scenario
        every = symbols.diagrams.every
        flying = every(*(symbols.negate(symbols.atom(atom)) for atom in
                         (("fact", "is broken"), ("fact", "is on the ground")) if atom in symbols.index))
        always = every(symbols.laws(), self._drawn(), self.at_most(TIME, scenario.time_limit_s + LOOK_S))
        local = {phase.name: every(always, self._cues(phase)) for phase in scenario.phases}
        if not any(each == Go(scenario.start.phase) for each in effects_of(scenario)):
            self.since_start = scenario.start.phase
        self._find_earliest({name: every(laws, flying) for name, laws in local.items()})
        for phase in scenario.phases:
            begun_s = self.earliest_s.get(phase.name, 0.0)
            local[phase.name] = every(local[phase.name], self.at_least(TIME, begun_s), *(
                symbols.diagrams.implies(symbols.atom(atom), self.at_least(TIME, begun_s + float(atom[2])))
                for atom in symbols.cuts(IN_PHASE)))
            if phase.name == self.since_start:
                local[phase.name] = every(local[phase.name], *(
                    symbols.diagrams.implies(symbols.atom(atom), self.at_least(IN_PHASE, float(atom[2])))
                    for atom in symbols.cuts(TIME)))
            latest_s = self._latest(phase, every(local[phase.name], flying))
            if latest_s is not None:
                self.latest_s[phase.name] = latest_s
        self.over_s = self._over()
        for phase in scenario.phases:
            laws = local[phase.name]
            if phase.name in self.latest_s:
                laws = every(laws, self.at_most(IN_PHASE, self.latest_s[phase.name]))
            if phase.name in self.over_s:
                laws = every(laws, self.at_most(TIME, self.over_s[phase.name]))
            self.record[phase.name] = laws
            self.moment[phase.name] = every(laws, flying)

    def _over(self) -> dict[str, float]:
        """Return the time of flight at which a phase is over at the latest, where it has a bound and is in no loop."""
        leads_to = {phase.name: {each.phase for number, branch in enumerate(phase.branches)
                                 for each in branch.effects[-1:]
                                 if isinstance(each, Go) and (phase.name, number) not in self.dead}
                    for phase in self.scenario.phases}
        comes_from = {name: {other for other, to in leads_to.items() if name in to and other in self.earliest_s}
                      for name in leads_to}
        over: dict[str, float] = {}
        left = dict.fromkeys(self.earliest_s)
        while True:
            ready = [name for name in left if name in self.latest_s and name not in over
                     and all(each in over for each in comes_from[name])]
            if not ready:
                return over
            for name in ready:
                over[name] = max((over[each] for each in comes_from[name]), default=0.0) + self.latest_s[name]

    def at_least(self, key: str, value: float) -> int:
        """Return a time at or after `value`, as far as cuts tell."""
        return self.symbols.diagrams.every(*(
            self.symbols.atom(each) for each in self.symbols.cuts(key)
            if float(each[2]) < value or (float(each[2]) == value and each[3] == ">=")))

    def at_most(self, key: str, value: float) -> int:
        """Return a time at or before `value`, as far as cuts tell."""
        return self.symbols.diagrams.every(*(
            self.symbols.negate(self.symbols.atom(each)) for each in self.symbols.cuts(key)
            if float(each[2]) > value or (float(each[2]) == value and each[3] == ">")))

    def least(self, key: str, function: int) -> float:
        """Return the greatest value that a time cannot be below where `function` holds; 0 where nothing is known."""
        every, negate = self.symbols.diagrams.every, self.symbols.negate
        return max((float(each[2]) for each in self.symbols.cuts(key)
                    if every(function, negate(self.symbols.atom(each))) == NO), default=0.0)

    def _drawn(self) -> int:
        """Return what the bits of failures and events say about the time."""
        symbols, found = self.symbols, [YES]
        by_story = {each.failure for each in effects_of(self.scenario) if isinstance(each, Fail)}
        for plan in self.scenario.failures:
            begun, failed = symbols.atom(("begun", plan.name)), symbols.atom(("failed", plan.name))
            found.append(symbols.diagrams.implies(failed, begun))
            if plan.name not in by_story:
                found.append(symbols.negate(begun) if plan.at_s is None else
                             symbols.diagrams.implies(begun, self.at_least(TIME, plan.at_s)))
            if plan.at_s is not None and plan.every_s is None:
                found.append(symbols.diagrams.implies(
                    symbols.atom(("drawn", plan.name)), self.at_most(TIME, plan.at_s + plan.spread_s + LOOK_S)))
        for event in self.scenario.events:
            found += self._cue(event, TIME)
        return symbols.diagrams.every(*found)

    def _cues(self, phase: Phase) -> int:
        return self.symbols.diagrams.every(*(each for cue in phase.cues for each in self._cue(cue, IN_PHASE)))

    def _cue(self, cue: Cue, key: str) -> Iterator[int]:
        if cue.key in self.lasting:
            fired = self.symbols.atom(("fired", cue.key))
            yield self.symbols.diagrams.implies(fired, self.at_least(key, cue.after_s))
            if cue.when is None and cue.unless is None:
                yield self.symbols.diagrams.some(fired, self.at_most(key, cue.after_s + cue.spread_s + LOOK_S))

    def _find_earliest(self, laws: Mapping[str, int]) -> None:
        symbols = self.symbols
        open_ = [(0.0, self.scenario.start.phase)]
        while open_:
            at_s, name = heapq.heappop(open_)
            if name in self.earliest_s:
                continue
            self.earliest_s[name] = at_s
            for number, branch in enumerate(self.scenario.phase(name).branches):
                if (name, number) in self.dead:
                    continue
                held = symbols.diagrams.every(laws[name], symbols.of_condition(branch.when))
                last = branch.effects[-1]
                if isinstance(last, Go) and held != NO and last.phase not in self.earliest_s:
                    from_s = max(self.least(TIME, held), at_s + self.least(IN_PHASE, held))
                    heapq.heappush(open_, (from_s + branch.for_s, last.phase))

    def _latest(self, phase: Phase, laws: int) -> float | None:
        """Return the longest time in a phase: behind it a branch holds whatever else is so."""
        symbols, found = self.symbols, list[float]()
        for branch in phase.branches:
            not_held = symbols.diagrams.every(laws, symbols.negate(symbols.of_condition(branch.when)))
            for each in symbols.cuts(IN_PHASE):
                if symbols.diagrams.every(not_held, symbols.atom(each)) == NO:
                    found.append(float(each[2]) + branch.for_s + (2 * LOOK_S if branch.for_s else LOOK_S))
                    break
        return min(found, default=None)


def story_atoms(scenario: Scenario, lasting: frozenset[str]) -> Iterator[Atom]:
    """Yield the story's own atoms, and the cuts of its own times."""
    for plan in scenario.failures:
        yield from (("failed", plan.name), ("begun", plan.name), ("drawn", plan.name))
        if plan.at_s is not None:
            for at_s in (plan.at_s, plan.at_s + plan.spread_s + LOOK_S, plan.at_s + (plan.lasts_s or 0.0)):
                yield ("cut", TIME, repr(float(at_s)), ">=")
    for event in scenario.events:
        yield from _cue_atoms(event, TIME, lasting)
    for phase in scenario.phases:
        for cue in phase.cues:
            yield from _cue_atoms(cue, IN_PHASE, lasting)
        for branch in phase.branches:
            if branch.for_s:
                yield ("cut", IN_PHASE, repr(float(branch.for_s)), ">=")
    yield ("cut", TIME, repr(float(scenario.time_limit_s)), ">=")


def _cue_atoms(cue: Cue, key: str, lasting: frozenset[str]) -> Iterator[Atom]:
    if cue.after_s > 0.0:
        yield ("cut", key, repr(float(cue.after_s)), ">=")
    if cue.key in lasting:
        yield ("fired", cue.key)
        yield ("cut", key, repr(float(cue.after_s + cue.spread_s + LOOK_S)), ">=")
