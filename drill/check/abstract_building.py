"""From a scenario to the program of its abstract story: which bits there are, and the moves of each phase."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from drill.check.abstract import Move, Program, Way, conditions_of, guards_of
from drill.check.abstract_atoms import IN_PHASE, TIME, Atom, Symbols, atom_of_fact, atoms_in
from drill.check.abstract_diagrams import NO
from drill.check.abstract_moments import Moments, story_atoms
from drill.scenario.conditions import facts_in
from drill.scenario.model import Branch, Cue, Effect, End, Fail, Go, Heal, Note, Phase, Scenario
from drill.scenario.story import effects_of

CANNOT_HOLD = "its condition cannot hold here"
COMES_FIRST = "another branch is always taken before it"


def program_of(scenario: Scenario, dead: frozenset[tuple[str, int]] = frozenset()) -> Program:
    """Return the program of a scenario's abstract story; `dead`: branches known never to be taken, by phase and number.

    What they would lead to then does not loosen the bounds of the times.
    """
    return _Builder(scenario, dead).program()


class _Builder:
    def __init__(self, scenario: Scenario, dead: frozenset[tuple[str, int]]) -> None:
        self.scenario = scenario
        story = [atom for condition in conditions_of(scenario) for atom in atoms_in(condition)]
        items = [atom for item in scenario.grade_sheet for condition in (item.when, item.keep, item.before)
                 for atom in atoms_in(condition)]
        read = frozenset((*story, *items))
        raised = {("noted", each.flag) for each in effects_of(scenario) if isinstance(each, Note)}
        self.lasting = frozenset(cue.key for cue in _cues_of(scenario) if _lasts(cue, read))
        own = list(story_atoms(scenario, self.lasting))
        self.symbols = Symbols.of([*read, *own])
        acts = list(dict.fromkeys(atom for atom in story if atom[0] in ("did", "here")))
        kept = [*acts, *sorted(raised & read), *(atom for atom in dict.fromkeys(own) if atom[0] != "cut")]
        self.bits = {atom: 1 << place for place, atom in enumerate(kept)}
        self.acts = sum(self.bits[atom] for atom in acts)
        self.here = sum(self.bits[atom] for atom in acts if atom[0] == "here")
        self.here |= sum(self.bits[("fired", cue.key)] for phase in scenario.phases for cue in phase.cues
                         if cue.key in self.lasting)
        self.shift = len(kept)
        self.phases = tuple(phase.name for phase in scenario.phases)
        self.moments = Moments(scenario, self.symbols, self.lasting, dead)
        self.ways: dict[Way, int] = {}
        self.lost: dict[tuple[str, int], str] = {}
        never = {("noted", atom[1]) for atom in read if atom[0] == "noted"} - raised
        self.no_flags = self.symbols.diagrams.every(
            *(self.symbols.negate(self.symbols.atom(atom)) for atom in sorted(never)))

    def program(self) -> Program:
        moves = tuple(tuple(dict.fromkeys(self._moves(phase))) for phase in self.scenario.phases)
        return Program(
            scenario=self.scenario, symbols=self.symbols, bits=self.bits, acts=self.acts, shift=self.shift,
            starts=tuple(dict.fromkeys(self._starts())), moves=moves, ways=tuple(self.ways), lost=self.lost,
            moments=self.moments, phases=self.phases,
            told={atom_of_fact(fact.kind, fact.of): fact for condition in conditions_of(self.scenario)
                  for fact in facts_in(condition) if fact.kind in ("asked for", "told")},
        )

    def _starts(self) -> Iterator[int]:
        scenario = self.scenario
        for drawn in draws(scenario):
            state = 0
            maybe: list[int] = []
            for plan in scenario.failures:
                begins = self.bits[("begun", plan.name)] | self.bits[("failed", plan.name)]
                if plan.name in drawn:
                    due = self.bits[("drawn", plan.name)]
                    if plan.at_s == 0.0:
                        at_once = begins | (due if plan.every_s is not None else 0)
                        if plan.spread_s:
                            maybe.append(at_once ^ due)
                            state |= due
                        else:
                            state |= at_once
                    else:
                        state |= due
            for chosen in range(1 << len(maybe)):
                first = state
                for place, change in enumerate(maybe):
                    first ^= change * (chosen >> place & 1)
                for clear, put, _ in self._applied((Go(scenario.start.phase),)):
                    yield first & ~clear | put

    def _way(self, way: Way) -> int:
        return self.ways.setdefault(way, len(self.ways))

    def _moves(self, phase: Phase) -> Iterator[Move]:
        moment = self.symbols.diagrams.every(self.moments.moment[phase.name], self.no_flags)
        self.moments.moment[phase.name] = moment
        self.moments.record[phase.name] = self.symbols.diagrams.every(self.moments.record[phase.name], self.no_flags)
        yield from self._failures(phase, moment)
        for cue in (*self.scenario.events, *phase.cues):
            if cue.key in self.lasting:
                yield from self._made(moment_of_cue(self.symbols, self.moments, cue, moment, lasting=True),
                                      Way("cue", phase.name, cue.key), cue.effects, self.bits[("fired", cue.key)])
        yield from self._branches(phase, moment)

    def _failures(self, phase: Phase, moment: int) -> Iterator[Move]:
        symbols, at_least = self.symbols, self.moments.at_least
        by_story = {each.failure for each in effects_of(self.scenario) if isinstance(each, Fail)}
        for plan in self.scenario.failures:
            failed, begun, drawn = (("failed", plan.name), ("begun", plan.name), ("drawn", plan.name))
            again = plan.every_s is not None
            if plan.at_s is not None or again:
                can = symbols.diagrams.every(
                    moment, symbols.atom(drawn), symbols.negate(symbols.atom(failed if again else begun)),
                    at_least(TIME, plan.at_s or 0.0))
                yield from self._guarded(can, Way("fail", phase.name, plan.name), 0 if again else self.bits[drawn],
                                         self.bits[failed] | self.bits[begun])
            if plan.lasts_s is not None:
                from_s = 0.0 if plan.name in by_story else plan.at_s or 0.0
                can = symbols.diagrams.every(moment, symbols.atom(failed), at_least(TIME, from_s + plan.lasts_s))
                yield from self._guarded(can, Way("heal", phase.name, plan.name), self.bits[failed],
                                         self.bits[drawn] if again else 0)

    def _guarded(self, function: int, way: Way, clear: int, put: int, end: str | None = None) -> Iterator[Move]:
        for mask, want, do in guards_of(self.symbols, self.bits, self.acts, function):
            yield Move(mask, want, clear, do & ~clear | put, self._way(way), end)

    def _made(self, function: int, way: Way, effects: tuple[Effect, ...], put: int = 0) -> Iterator[Move]:
        for cleared, made, end in self._applied(effects):
            yield from self._guarded(function, way, cleared, put & ~cleared | made, end)

    def _applied(self, effects: Iterable[Effect]) -> list[tuple[int, int, str | None]]:
        """Return what effects come to, as (bits cleared, bits put, ending); several where that depends on the state."""
        found: list[tuple[int, int, str | None]] = [(0, 0, None)]
        for effect in effects:
            found = [after for clear, put, end in found for after in self._apply(effect, clear, put, end)]
        return found

    def _apply(self, effect: Effect, clear: int, put: int, end: str | None) -> Iterator[tuple[int, int, str | None]]:
        match effect:
            case _ if end is not None:
                yield clear, put, end
            case Fail(name):
                begins = self.bits[("failed", name)] | self.bits[("begun", name)]
                plan = next(each for each in self.scenario.failures if each.name == name)
                over = self.bits[("drawn", name)] if plan.every_s is None else 0
                yield clear & ~begins | over, (put | begins) & ~over, end
            case Heal(name):
                failed, drawn = self.bits[("failed", name)], self.bits[("drawn", name)]
                yield clear | failed, put & ~failed, end
                if next(each for each in self.scenario.failures if each.name == name).every_s is not None:
                    yield clear | failed | drawn, put & ~(failed | drawn), end
            case Note(flag) if ("noted", flag) in self.bits:
                bit = self.bits[("noted", flag)]
                yield clear & ~bit, put | bit, end
            case Go(name):
                number = self.phases.index(name) << self.shift
                left = self.here | (-1 << self.shift)
                enter = [each for each in self.scenario.phase(name).enter if not isinstance(each, Go | End)]
                for cleared, made, _ in self._applied(enter):
                    yield clear | left | cleared, (put & ~left | number) & ~cleared | made, end
            case End(name):
                yield clear, put, name
            case _:
                yield clear, put, end

    def _branches(self, phase: Phase, moment: int) -> Iterator[Move]:
        symbols, every = self.symbols, self.symbols.diagrams.every
        holds = [symbols.of_condition(branch.when) for branch in phase.branches]
        before = moment
        for number, branch in enumerate(phase.branches):
            taken = every(before, holds[number], self.moments.at_least(IN_PHASE, branch.for_s))
            why = self._why_lost(phase, number, holds, moment, taken)
            if why:
                self.lost[(phase.name, number)] = why
            else:
                yield from self._made(taken, Way("branch", phase.name, number=number), branch.effects)
            if not branch.for_s:
                before = every(before, symbols.negate(holds[number]))
        stays = every(before, self.moments.at_least(TIME, self.scenario.time_limit_s))
        yield from self._made(stays, Way("time up", phase.name), (End("time up"),))

    def _why_lost(self, phase: Phase, number: int, holds: list[int], moment: int, taken: int) -> str:
        """Return why a branch can never be taken, "" where it may be."""
        every, negate = self.symbols.diagrams.every, self.symbols.negate
        branch, alone = phase.branches[number], every(moment, holds[number])
        if alone == NO:
            return CANNOT_HOLD
        if taken == NO:
            return _first_of(phase, [each for each, other in enumerate(phase.branches[:number])
                                     if not other.for_s and every(alone, negate(holds[each])) == NO])
        sooner = [each for each, other in enumerate(phase.branches[:number]) if 0.0 < other.for_s <= branch.for_s
                  and every(alone, negate(holds[each])) == NO]
        if sooner:
            return _first_of(phase, sooner)
        if branch.for_s:
            at_once = [each for each, other in enumerate(phase.branches) if not other.for_s and each != number]
            if every(alone, *(negate(holds[each]) for each in at_once)) == NO:
                return _first_of(phase, [each for each in at_once if every(alone, negate(holds[each])) == NO])
        return ""


def moment_of_cue(symbols: Symbols, moments: Moments, cue: Cue, moment: int, *, lasting: bool) -> int:
    """Return where a cue may happen; `moment`: what holds in the phase."""
    key = TIME if cue.key.startswith("event/") else IN_PHASE
    unfired = symbols.negate(symbols.atom(("fired", cue.key))) if lasting else symbols.negate(NO)
    unless = NO if cue.unless is None else symbols.of_condition(cue.unless)
    return symbols.diagrams.every(moment, moments.at_least(key, cue.after_s), unfired,
                                  symbols.of_condition(cue.when), symbols.negate(unless))


def _first_of(phase: Phase, numbers: list[int]) -> str:
    if not numbers:
        return COMES_FIRST
    return f"the branch in line {phase.branches[numbers[0]].place.line} is always taken before it"


def draws(scenario: Scenario) -> Iterator[frozenset[str]]:
    """Yield which failures can come by the clock together: none of them, or those of one variation."""
    timed = frozenset(plan.name for plan in scenario.failures if plan.at_s is not None)
    if scenario.nothing_fails > 0.0:
        yield frozenset()
    if scenario.nothing_fails >= 1.0:
        return
    varied = frozenset(name for each in scenario.variations for name in each.fails)
    for each in scenario.variations:
        yield timed & (timed - varied | set(each.fails))
    if not scenario.variations:
        yield timed


def _cues_of(scenario: Scenario) -> Iterator[Cue]:
    yield from scenario.events
    for phase in scenario.phases:
        yield from phase.cues


def _lasts(cue: Cue, read: frozenset[Atom]) -> bool:
    return any(isinstance(each, Fail | Heal) or (isinstance(each, Note) and ("noted", each.flag) in read)
               for each in cue.effects)


__all__ = ["CANNOT_HOLD", "Branch", "draws", "moment_of_cue", "program_of"]
