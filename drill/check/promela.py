"""The abstract story as a Promela model, for the model checker spin: another way over the same ground.

The model is written from the scenario, not from the moves that `abstract_building` makes of it: a condition is read
word by word, and what it asks for is chosen when it is first read in a moment. So both would have to err alike. Two
things are taken over: the bounds of the times of each phase (`abstract_moments`), and which branches are forestalled
by the length of their `for`, which needs the history of a hold.

Running it prints `reached N` once for each phase that it comes to, in their order, and for each ending.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from drill.check.abstract import Program, conditions_of
from drill.check.abstract_atoms import IN_PHASE, TIME, Atom, atom_of_act, atom_of_comparison, atom_of_fact, atoms_in
from drill.check.abstract_building import CANNOT_HOLD, draws
from drill.check.abstract_moments import LOOK_S
from drill.check.promela_choices import Choices, at_least, at_most
from drill.scenario.conditions import All, AnyOf, Compare, Condition, Did, Fact, Not
from drill.scenario.model import Cue, Effect, End, Fail, FailurePlan, Go, Heal, Note, Phase, Scenario
from drill.scenario.story import effects_of

_SEEN = """c_decl {
static unsigned char told_of[256];
static void tell_of(int number) { if (!told_of[number]) { told_of[number] = 1; printf("reached %d\\n", number); } }
}"""


@dataclass(frozen=True, slots=True)
class Model:
    """A Promela model, and what the numbers that it prints stand for."""

    text: str
    names: tuple[str, ...]        # phases, then endings
    phases: int

    def reached(self, output: str) -> tuple[frozenset[str], frozenset[str]]:
        """Return the phases and the endings that a run of the model has come to, from what it printed."""
        numbers = [int(line.split()[1]) for line in output.split("\n") if line.startswith("reached ")]
        return (frozenset(self.names[each] for each in numbers if each < self.phases),
                frozenset(self.names[each] for each in numbers if each >= self.phases))


def model_of(program: Program) -> Model:
    """Return the model of a scenario's abstract story."""
    return _Writer(program).model()


class _Writer:
    def __init__(self, program: Program) -> None:
        self.scenario: Scenario = program.scenario
        self.program, self.moments = program, program.moments
        idle = {(key, float(cue.after_s)) for cue, key in (
            *((event, TIME) for event in self.scenario.events),
            *((cue, IN_PHASE) for phase in self.scenario.phases for cue in phase.cues))
            if cue.key not in self.moments.lasting}
        times = [atom for atom in program.symbols.index if atom[0] == "cut" and atom[1] in (TIME, IN_PHASE)
                 and (atom[1], float(atom[2])) not in idle]
        begun = {plan.name: f"f{place} != 0" for place, plan in enumerate(self.scenario.failures)}
        self.choices = Choices(conditions_of(self.scenario), times, begun)
        self.phases = [phase.name for phase in self.scenario.phases]
        self.asked = {phase.name: self._asked(phase) for phase in self.scenario.phases}
        self.live = {phase.name: self._live(phase.name) for phase in self.scenario.phases}
        self.endings = [ending.name for ending in self.scenario.endings]
        self.flags = sorted({each.flag for each in effects_of(self.scenario) if isinstance(each, Note)}
                            & {atom[1] for asked in self.asked.values() for atom in asked if atom[0] == "noted"})
        self.failures = [plan.name for plan in self.scenario.failures]
        self.cues = sorted(self.moments.lasting)
        self.by_story = {each.failure for each in effects_of(self.scenario) if isinstance(each, Fail)}

    def model(self) -> Model:
        body = "\n".join(self._phase(number, phase) for number, phase in enumerate(self.scenario.phases))
        text = "\n".join([
            _SEEN, "bit v; byte ph;", *self.choices.declared(),
            *(f"bit n{place};" for place in range(len(self.flags))),
            *(f"byte f{place}; bit dr{place};" for place in range(len(self.failures))),
            *(f"bit c{place};" for place in range(len(self.cues))),
            f"inline forget_() {{ v = 0; {self.choices.forgotten()} }}",
            "active proctype story() {", "atomic {", self._start(), "}",
            "do", ":: atomic { c_code { tell_of(now.ph); };", "if", body, "fi; forget_(); }", "od;",
            "over: skip", "}", ""])
        return Model(text, (*self.phases, *self.endings), len(self.phases))

    def _asked(self, phase: Phase) -> frozenset[Atom]:
        """Return the atoms that the story asks for while it is in a phase."""
        cues = [cue for cue in (*self.scenario.events, *phase.cues) if cue.key in self.moments.lasting]
        conditions = [*(branch.when for branch in phase.branches), *(cue.when for cue in cues),
                      *(cue.unless for cue in cues)]
        return frozenset(atom for condition in conditions for atom in atoms_in(condition))

    def _live(self, phase: str) -> frozenset[Atom]:
        """Return the acts that a phase, or one that branches lead to from it, asks for."""
        behind, open_ = {phase}, [phase]
        while open_:
            for branch in self.scenario.phase(open_.pop()).branches:
                last = branch.effects[-1]
                if isinstance(last, Go) and last.phase not in behind:
                    behind.add(last.phase)
                    open_.append(last.phase)
        return frozenset(atom for name in behind for atom in self.asked[name]
                         if atom[0] == "did" or (atom[0] == "here" and name == phase))

    def _least(self, key: str, value: float) -> int:
        place = at_least(self.choices.cuts, key, value)
        self.choices.split(key, place)
        return place

    def _most(self, key: str, value: float) -> int:
        place = at_most(self.choices.cuts, key, value)
        self.choices.split(key, place + 1)
        return place

    def _start(self) -> str:
        ways = []
        for drawn in draws(self.scenario):
            said = ["skip;"]
            for place, plan in enumerate(self.scenario.failures):
                if plan.name not in drawn:
                    continue
                begun = f"f{place} = 1; dr{place} = {int(plan.every_s is not None)};"
                if plan.at_s != 0.0:
                    said.append(f"dr{place} = 1;")
                else:
                    said.append(f"if :: {begun} :: dr{place} = 1 fi;" if plan.spread_s else begun)
            ways.append(":: " + " ".join(said))
        return f"if {' '.join(ways)} fi; {self._effects((Go(self.scenario.start.phase),))} forget_();"

    def _when(self, phase: Phase) -> str:
        """Return the choice of the two times: any that the bounds of the phase and the bits allow."""
        bounds = " && ".join(f"({each})" for each in self._bounds(phase)) or "1"
        choose = [f"if {' '.join(f':: {name} = {place};' for place in self.choices.told_apart(key))} fi;"
                  for key, name in ((TIME, "tt"), (IN_PHASE, "tp"))]
        return f"{' '.join(choose)} ({bounds});"

    def _bounds(self, phase: Phase) -> Iterator[str]:
        moments = self.moments
        for key, name in ((TIME, "tt"), (IN_PHASE, "tp")):
            allowed = self.choices.regions(key)
            yield f"{name} >= {allowed[0]} && {name} <= {allowed[-1]}"
        yield f"tt <= {self._most(TIME, self.scenario.time_limit_s + LOOK_S)}"
        begun_s = moments.earliest_s.get(phase.name, 0.0)
        yield f"tt >= {self._least(TIME, begun_s)}"
        if phase.name in moments.latest_s:
            yield f"tp <= {self._most(IN_PHASE, moments.latest_s[phase.name])}"
        if phase.name in moments.over_s:
            yield f"tt <= {self._most(TIME, moments.over_s[phase.name])}"
        for place, each in enumerate(self.choices.cuts.get(IN_PHASE, ())):
            least = self._least(TIME, begun_s + float(each[2]))
            if least > self.choices.regions(TIME)[0]:
                self.choices.split(IN_PHASE, place + 1)
                yield f"tp <= {place} || tt >= {least}"
        if phase.name == moments.since_start:
            for place, each in enumerate(self.choices.cuts.get(TIME, ())):
                least = self._least(IN_PHASE, float(each[2]))
                if least > self.choices.regions(IN_PHASE)[0]:
                    self.choices.split(TIME, place + 1)
                    yield f"tt <= {place} || tp >= {least}"
        for cue in phase.cues:
            yield from self._cue_bounds(cue, IN_PHASE, "tp")
        for place, plan in enumerate(self.scenario.failures):
            if plan.at_s is not None and plan.name not in self.by_story:
                yield f"f{place} == 0 || tt >= {self._least(TIME, plan.at_s)}"
            if plan.at_s is not None and plan.every_s is None:
                yield f"!dr{place} || tt <= {self._most(TIME, plan.at_s + plan.spread_s + LOOK_S)}"
        for event in self.scenario.events:
            yield from self._cue_bounds(event, TIME, "tt")

    def _cue_bounds(self, cue: Cue, key: str, name: str) -> Iterator[str]:
        if cue.key in self.cues:
            fired = f"c{self.cues.index(cue.key)}"
            yield f"!{fired} || {name} >= {self._least(key, cue.after_s)}"
            if cue.when is None and cue.unless is None:
                yield f"{fired} || {name} <= {self._most(key, cue.after_s + cue.spread_s + LOOK_S)}"

    def _phase(self, number: int, phase: Phase) -> str:
        self.choices.enter(self.asked[phase.name], self.live[phase.name])
        ways = [self._failure(place, plan) for place, plan in enumerate(self.scenario.failures)]
        ways += [[self._cue(cue)] for cue in (*self.scenario.events, *phase.cues) if cue.key in self.cues]
        lines = [f":: {way}" for each in ways for way in each]
        lines.append(f":: {self._branches(phase)}")
        return "\n".join([f":: ph == {number} -> {self._when(phase)} if", *lines, "fi"])

    def _failure(self, place: int, plan: FailurePlan) -> list[str]:
        ways, again = [], plan.every_s is not None
        if plan.at_s is not None or again:
            due = f"dr{place} && f{place} {'!= 1' if again else '== 0'}"
            ways.append(f"{due} -> (tt >= {self._least(TIME, plan.at_s or 0.0)}); "
                        f"f{place} = 1; dr{place} = {int(again)};")
        if plan.lasts_s is not None:
            from_s = 0.0 if plan.name in self.by_story else plan.at_s or 0.0
            ways.append(f"f{place} == 1 -> (tt >= {self._least(TIME, from_s + plan.lasts_s)}); "
                        f"f{place} = 2; {f'dr{place} = 1;' if again else ''}")
        return ways

    def _cue(self, cue: Cue) -> str:
        fired = f"c{self.cues.index(cue.key)}"
        key, name = (TIME, "tt") if cue.key.startswith("event/") else (IN_PHASE, "tp")
        asked = "" if cue.when is None else f"{self._truth(cue.when)} (v); "
        asked += "" if cue.unless is None else f"{self._truth(cue.unless)} (!v); "
        return (f"!{fired} -> ({name} >= {self._least(key, cue.after_s)}); {asked}{fired} = 1; "
                f"{self._effects(cue.effects)}")

    def _branches(self, phase: Phase) -> str:
        said = "skip; "
        closing = 0
        for number, branch in enumerate(phase.branches):
            why = self.program.lost.get((phase.name, number), CANNOT_HOLD)
            if branch.for_s and why != CANNOT_HOLD:
                continue          # forestalled: see the module's head
            taken = (f"(tp >= {self._least(IN_PHASE, branch.for_s)}); {self._effects(branch.effects)}")
            said += self._truth(branch.when)
            said += f" if :: v -> {taken} :: {'else' if not branch.for_s else 'true'} -> "
            closing += 1
        limit = self._least(TIME, self.scenario.time_limit_s)
        said += f"if :: skip :: (tt >= {limit}); {self._effects((End('time up'),))} fi "
        return said + "fi " * closing

    def _truth(self, condition: Condition) -> str:
        """Return the statements that put the truth of a condition into `v`, reading no more than it takes."""
        match condition:
            case All(parts):
                return self._joined(parts, "v")
            case AnyOf(parts):
                return self._joined(parts, "!v")
            case Not(part):
                return f"{self._truth(part)} v = !v;"
            case Did():
                return self.choices.read(atom_of_act(condition))
            case Compare():
                atom, holds = atom_of_comparison(condition.key, condition.op, condition.value)
                return self.choices.read(atom) + ("" if holds else " v = !v;")
            case Fact("noted", flag):
                return f"v = n{self.flags.index(flag)};" if flag in self.flags else "v = 0;"
            case Fact("failed", name):
                return f"v = (f{self.failures.index(name)} == 1);"
            case Fact(kind, of):
                return self.choices.read(atom_of_fact(kind, of))

    def _joined(self, parts: Iterable[Condition], go_on: str) -> str:
        first, *rest = [self._truth(part) for part in parts]
        return first + "".join(f" if :: {go_on} -> {each}" for each in rest) + " :: else fi;" * len(rest)

    def _effects(self, effects: Iterable[Effect]) -> str:
        return " ".join(filter(None, map(self._effect, effects)))

    def _effect(self, effect: Effect) -> str:
        match effect:
            case Fail(name):
                place = self.failures.index(name)
                over = "" if self.scenario.failures[place].every_s is not None else f" dr{place} = 0;"
                return f"f{place} = 1;{over}"
            case Heal(name):
                place = self.failures.index(name)
                off = f" if :: dr{place} = 0 :: skip fi;" if self.scenario.failures[place].every_s is not None else ""
                return f"if :: f{place} == 1 -> f{place} = 2;{off} :: else fi;"
            case Note(flag):
                return f"n{self.flags.index(flag)} = 1;" if flag in self.flags else ""
            case Go(name):
                here = " ".join(f"a{place} = 0;" for place, act in enumerate(self.choices.acts) if act[0] == "here")
                cues = " ".join(f"c{place} = 0;" for place, key in enumerate(self.cues) if not key.startswith("event/"))
                enter = [each for each in self.scenario.phase(name).enter if not isinstance(each, Go | End)]
                dead = " ".join(self.choices.dead(self.live[name]))
                return f"ph = {self.phases.index(name)}; {here} {dead} {cues} {self._effects(enter)}"
            case End(name):
                number = len(self.phases) + self.endings.index(name)
                return f"c_code {{ tell_of({number}); }}; goto over;"
            case _:
                return ""
