"""Witness flights: what a story can come to, shown by flights that came to it, as scripts that fly it again.

A search over real flights: from where a phase was entered first, a flight is forked for each branch that none has
taken yet, and a scripted pilot does what its condition asks for. What has been flown counts in seconds of flight, so
that the same search is made on any machine. What no flight came to is left as possible by the story, not flown.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from drill.check.abstract_atoms import Atom
from drill.check.abstract_diagrams import NO
from drill.check.explore import Explored
from drill.check.exploring import explored, reached_phases
from drill.check.witness_words import Speaker, maneuver
from drill.flight import seeds
from drill.flight.events import Ended, Entered, Event, Failed, Noted, Trace
from drill.flight.flight import Flight
from drill.flight.pilots import ExemplarPilot
from drill.grading.debrief import Debrief
from drill.grading.grade import grade
from drill.scenario.model import Branch, Go, Note, Phase, Scenario

FLOWN_S = 5_400.0        # seconds of flight spent on one scenario, all forks together
MOST_WAYS = 3            # so many ways to make one condition hold are tried
KNOWS_S = 60.0           # after a failure the scripted pilots act on it
SEEDS = 200              # so many are looked at for one that draws each set of failures early
LONGEST_S = 1_500.0      # of one attempt
TROUBLED = 1.5           # the same of one in which something has failed or will
NEW_GOAL = 0.5           # an attempt that leads where none has been may last twice as long
_MARK = "witness "       # begins a flag that says which branch was taken


@dataclass(frozen=True, slots=True)
class Witness:
    """A flight that shows something, as the seed and the words that fly it again."""

    shows: tuple[str, ...]                     # "phase helped", "branch cruise 2", "ending on top"
    seed: int
    lines: tuple[tuple[float, str], ...]       # (flight time in whole seconds, words)
    at_s: float                                # when it has come to the last of what it shows
    ending: str | None
    debrief: Debrief | None                    # of a flight that was flown to its end

    def script(self, scenario: str) -> str:
        """Return the script, as `drill fly NAME --seed N --script FILE` reads it."""
        head = [f"# {scenario}, seed {self.seed}: shows {', '.join(self.shows)} at {_clock(self.at_s)}"]
        return "\n".join([*head, *(f"{_clock(t)} {words}" for t, words in self.lines)]) + "\n"


@dataclass(frozen=True, slots=True)
class Shown:
    """What witness flights have shown of a scenario, and what the story allows that none of them came to."""

    witnesses: tuple[Witness, ...]
    not_flown: tuple[str, ...]                 # as in `Witness.shows`
    flown_s: float

    @property
    def shown(self) -> frozenset[str]:
        """Everything that some flight has come to."""
        return frozenset(each for witness in self.witnesses for each in witness.shows)


@dataclass(slots=True)
class _Moment:
    """A flight at a whole second, with what was said and what happened until then."""

    flight: Flight
    lines: tuple[tuple[float, str], ...]
    events: tuple[Event, ...]

    def fork(self) -> _Moment:
        return _Moment(self.flight.fork(), self.lines, self.events)


_Key: TypeAlias = tuple[str, int, int, int]    # phase, branch, moment of the phase, way


@dataclass(frozen=True, slots=True)
class _Attempt:
    """What a pilot says, from a moment on, for a branch to be taken, and how long that may last (s)."""

    rank: tuple[bool, float]
    key: _Key
    moment: _Moment
    branch: Branch
    words: tuple[str, ...]
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


@dataclass
class _Search:
    scenario: Scenario
    seen: Explored
    most_s: float
    flown_s: float = 0.0
    moments: dict[str, list[_Moment]] = field(default_factory=dict)   # by phase, where it was entered
    shown: dict[str, Witness] = field(default_factory=dict)
    found: list[Witness] = field(default_factory=list)
    tried: set[_Key] = field(default_factory=set)
    known: dict[_Key, _Attempt | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.speaker = Speaker(self.scenario)
        self.marked = marked(self.scenario)
        self.wanted = wanted(self.seen)

    def run(self) -> Shown:
        """Search until all is shown or as much has been flown as may be."""
        roots = [self._begin(seed) for seed in early_seeds(self.scenario)]
        for root in roots:
            self._look(root, 0)
        for fly in (self._exemplar, self._passive):
            for root in roots:
                if self.left:
                    fly(root)
                while self.left and self._try_one():
                    pass
        return Shown(tuple(self.found), tuple(each for each in self.wanted if each not in self.shown), self.flown_s)

    @property
    def left(self) -> list[str]:
        """What is still to be shown."""
        return [each for each in self.wanted if each not in self.shown]

    def _begin(self, seed: int) -> _Moment:
        flight, events = Flight.start(self.marked, seed, by="script")
        return _Moment(flight, (), tuple(events))

    def _exemplar(self, root: _Moment) -> None:
        failures = {plan.name for plan in self.scenario.failures}
        times = seeds.times(self.scenario, root.flight.seed)
        from_s = min((t for name, t in times.items() if name in failures and t is not None), default=0.0)
        pilot = ExemplarPilot.of(root.flight, float(round(from_s + KNOWS_S)))
        self._fly(root.fork(), [(float(round(t)), words) for t, words in pilot.lines], LONGEST_S, None)

    def _passive(self, root: _Moment) -> None:
        """Let a pilot who does nothing fly to the end."""
        self._fly(root.fork(), [], self.scenario.time_limit_s, None)

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
        start = best.moment.flight.t_s + 2.0
        self._fly(best.moment.fork(), [(start + 6.0 * place, each) for place, each in enumerate(best.words)],
                  best.seconds, best.branch)
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
        held = symbols.diagrams.every(self.seen.program.moment[phase.name], symbols.of_condition(branch.when))
        names = list(symbols.index)
        found: list[dict[Atom, bool]] = []
        if held == NO:
            return []
        asked = symbols.diagrams.variables(symbols.of_condition(branch.when))
        for way in symbols.diagrams.ways(held):
            atoms = {names[place]: holds for place, holds in way.items() if place in asked}
            flags = {atom[1]: holds for atom, holds in atoms.items() if atom[0] == "noted"}
            fails = {atom[1]: holds for atom, holds in atoms.items() if atom[0] == "failed"}
            if all((flag in story.notes) == holds for flag, holds in flags.items()) and all(
                    (name in active(moment)) == holds for name, holds in fails.items()):
                found.append(atoms)
            if len(found) > 50:
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
        acts = [atom for atom, holds in atoms.items() if holds and atom[0] in ("did", "here", "fact")
                and not atom[1].startswith("is ")]
        words = [self.speaker.words(atom) for atom in acts]
        if any(each is None for each in words):
            return None
        values = next((event.values for event in reversed(moment.events) if isinstance(event, Trace)), {})
        moves = maneuver(self.scenario, sorted(atoms.items()), values, moment.flight.t_s)
        said = tuple(each for each in dict.fromkeys((*words, *moves.words)) if each is not None)
        seconds = moves.seconds + branch.for_s + 15.0 * len(said) + 40.0
        if seconds <= LONGEST_S:
            self.known[key] = _Attempt((False, seconds), key, moment, branch, said, seconds)
        return self.known[key]

    def _fly(self, at: _Moment, lines: list[tuple[float, str]], seconds: float, until: Branch | None) -> None:
        """Fly on with these words; a flight for a branch ends where the phase does, another at its ending."""
        flight, first = at.flight, at.flight.phase
        end_s = min(flight.t_s + seconds, self.scenario.time_limit_s + 5.0)
        waiting = sorted(lines)
        while flight.ended is None and flight.t_s < end_s - 1e-9 and self.flown_s < self.most_s:
            before = len(at.events)
            while waiting and waiting[0][0] <= flight.t_s + 1e-9:
                _, words = waiting.pop(0)
                at.lines = (*at.lines, (flight.t_s, words))
                at.events = (*at.events, *flight.enter(words))
            at.events = (*at.events, *flight.advance(1.0))
            self.flown_s += 1.0
            self._look(at, before)
            if until is not None and flight.phase != first:
                break

    def _look(self, at: _Moment, since: int) -> None:
        """Note what has happened since so many events."""
        new: list[str] = []
        remember = False
        for event in at.events[since:]:
            match event:
                case Entered(phase=name):
                    new.append(f"phase {name}")
                    remember = True
                case Noted(flag=flag) if flag.startswith(_MARK):
                    new.append(flag.removeprefix(_MARK))
                case Ended(ending=name):
                    new.append(f"ending {name}")
                case Failed(failure=name):
                    new.append(f"failure {name}")
                    remember = True
                case _:
                    pass
        if remember and at.flight.ended is None:
            self._remember(at)
        fresh = tuple(each for each in dict.fromkeys(new) if each in self.wanted and each not in self.shown)
        if fresh:
            witness = self._witness(at, fresh)
            self.found.append(witness)
            self.shown.update(dict.fromkeys(fresh, witness))

    def _remember(self, at: _Moment) -> None:
        """Keep a moment to fork from: one for each phase and each set of failures, active and to come."""
        kept = self.moments.setdefault(at.flight.phase, [])
        if not any(outlook(each) == outlook(at) for each in kept):
            kept.append(at.fork())

    def _witness(self, at: _Moment, shows: tuple[str, ...]) -> Witness:
        ended = at.flight.ended
        debrief = None
        if ended is not None:
            events = [event for event in at.events if not (isinstance(event, Noted) and event.flag.startswith(_MARK))]
            debrief = grade(self.scenario, events, at.flight.seed)
        return Witness(shows, at.flight.seed, at.lines, at.flight.t_s, None if ended is None else ended.ending, debrief)


def witnesses(scenario: Scenario, most_s: float = FLOWN_S) -> Shown:
    """Return what flights of `scenario` show of its phases, branches, endings and failures.

    `most_s`: seconds of flight that the search may spend; 435 of them take about a second of one core.
    """
    return _Search(scenario, explored(scenario), most_s).run()


def wanted(seen: Explored) -> tuple[str, ...]:
    """Return everything that may be shown: what exploration did not find to be impossible."""
    program = seen.program
    reached = reached_phases(seen)
    begun = {atom[1] for atom, bit in program.bits.items() if atom[0] == "begun"
             and any(state & bit for state in (*seen.came, *seen.finals))}
    return (
        *(f"phase {name}" for name in program.phases if name in reached),
        *(f"branch {way.phase} {way.number}" for way in sorted(
            (program.ways[each] for each in seen.taken), key=lambda way: (program.phases.index(way.phase), way.number))
          if way.kind == "branch"),
        *(f"ending {each.name}" for each in program.scenario.endings if each.name in seen.ended),
        *(f"failure {plan.name}" for plan in program.scenario.failures if plan.name in begun),
    )


def marked(scenario: Scenario) -> Scenario:
    """Return the scenario with a flag for each branch that is taken; nothing asks for it, so it flies the same."""
    return replace(scenario, phases=tuple(
        replace(phase, branches=tuple(
            replace(branch, effects=(Note(f"{_MARK}branch {phase.name} {number}"), *branch.effects))
            for number, branch in enumerate(phase.branches)))
        for phase in scenario.phases))


def early_seeds(scenario: Scenario) -> list[int]:
    """Return a seed for each set of failures that the clock can bring, one that brings them early; with most first."""
    best: dict[frozenset[str], tuple[float, int]] = {}
    names = {plan.name for plan in scenario.failures}
    for seed in range(1, SEEDS + 1):
        due = {name: t for name, t in seeds.times(scenario, seed).items() if name in names and t is not None}
        key, when = frozenset(due), sum(due.values())
        if key not in best or when < best[key][0]:
            best[key] = (when, seed)
    return [best[key][1] for key in sorted(best, key=lambda key: (-len(key), sorted(key)))]


def _clock(t_s: float) -> str:
    return f"{int(t_s) // 60}:{int(t_s) % 60:02d}"

