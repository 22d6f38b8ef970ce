"""What a moment leaves open, in Promela: each thing is chosen when it is first read, and stays so for the moment.

Of values between which a phase does not tell, one is enough; an act that neither the phase nor one behind it asks for
is not noted. Neither changes what can be reached, and both spare spin most of its states.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from drill.check.abstract_atoms import (
    IN_PHASE,
    TIME,
    Atom,
    acts_behind,
    acts_of,
    atoms_in,
    cut_order,
    includes,
    range_of,
)
from drill.scenario.conditions import Condition
from drill.scenario.deeds import parts_of

NOT_YET = 255


class Choices:
    """The variables of a moment, and the statements that read them into `v`. The two times are chosen first of all.

    `begun`: by the name of a failure the expression that it has begun.
    """

    def __init__(self, conditions: Iterable[Condition | None], times: Iterable[Atom], begun: Mapping[str, str]) -> None:
        atoms = list(dict.fromkeys(atom for condition in conditions for atom in atoms_in(condition)))
        self.acts = [atom for atom in atoms if atom[0] in ("did", "here")]
        facts = [atom[1] for atom in atoms if atom[0] == "fact"]
        self.plans = [fact for fact in facts if fact.startswith("planned ")]
        self.never = {fact for fact in facts if fact in ("is broken", "is on the ground")}
        self.facts = [fact for fact in facts if fact not in self.plans and fact not in self.never]
        cuts = sorted({atom for atom in (*atoms, *times) if atom[0] == "cut"}, key=cut_order)
        self.cuts: dict[str, list[Atom]] = {}
        for atom in cuts:
            self.cuts.setdefault(atom[1], []).append(atom)
        self.quantities = [key for key in self.cuts if key not in (TIME, IN_PHASE)]
        self._splits: dict[str, set[int]] = {}
        self._facts_read = frozenset(facts)
        self._live = frozenset(self.acts)
        self._begun = begun

    def enter(self, read: Iterable[Atom], live: Iterable[Atom]) -> None:
        """Write for a phase that asks for the atoms `read`; `live`: the acts that it or a later phase asks for."""
        asked = frozenset(read)
        self._live = frozenset(live)
        self._facts_read = frozenset(atom[1] for atom in asked if atom[0] == "fact")
        self._splits = {}
        for key, cuts in self.cuts.items():
            for place, each in enumerate(cuts):
                if each in asked:
                    self.split(key, place + 1)

    def split(self, key: str, place: int) -> None:
        """Note that the phase tells being beyond `place` cuts of a quantity or more from being beyond fewer."""
        self._splits.setdefault(key, set()).add(place)

    def told_apart(self, key: str) -> list[int]:
        """Return of each group of values that the phase does not tell apart one, as how many cuts it is beyond."""
        splits = self._splits.get(key, set())
        regions = self.regions(key)
        return [place for place in regions if place == regions[0] or place in splits]

    def dead(self, live: Iterable[Atom]) -> Iterator[str]:
        """Yield the statements that forget the acts that are not `live`."""
        alive = frozenset(live)
        yield from (f"a{place} = 0;" for place, act in enumerate(self.acts) if act not in alive)

    def declared(self) -> Iterator[str]:
        """Yield the declarations of the variables of a moment, and of the acts, which last."""
        yield from (f"bit a{place}; byte m{place} = 2;" for place in range(len(self.acts)))
        yield from (f"byte x{place} = 2;" for place in range(len(self.facts)))
        yield from (f"byte q{place} = {NOT_YET};" for place in range(len(self.quantities)))
        yield f"byte plan = {NOT_YET}; byte tt = {NOT_YET}; byte tp = {NOT_YET};"

    def forgotten(self) -> str:
        """Return the statements that end a moment."""
        return " ".join([
            *(f"m{place} = 2;" for place in range(len(self.acts))),
            *(f"x{place} = 2;" for place in range(len(self.facts))),
            *(f"q{place} = {NOT_YET};" for place in range(len(self.quantities))),
            f"plan = {NOT_YET}; tt = {NOT_YET}; tp = {NOT_YET};"])

    def read(self, atom: Atom) -> str:
        """Return the statements that put the truth of an atom into `v`."""
        match atom:
            case ("did" | "here", _):
                return self._act(self.acts.index(atom))
            case ("cut", key, *_):
                chosen = "" if key in (TIME, IN_PHASE) else f"{self._quantity(key)} "
                return f"{chosen}v = ({self.value(key)} > {self.cuts[key].index(atom)});"
            case ("fact", fact) if fact in self.plans:
                holds = [place for place, plan in enumerate(self.plans) if plan == fact or includes(plan, fact)]
                return f"{self._plan()} v = ({' || '.join(f'plan == {place}' for place in holds)});"
            case ("fact", fact) if fact in self.facts:
                return self._fact(self.facts.index(fact))
            case _:
                return "v = 0;"

    def value(self, key: str) -> str:
        """Return the variable that says how many cuts of a quantity it is beyond."""
        return {TIME: "tt", IN_PHASE: "tp"}.get(key) or f"q{self.quantities.index(key)}"

    def most(self, key: str) -> int:
        """Return how many cuts there are."""
        return len(self.cuts.get(key, ()))

    def regions(self, key: str) -> range:
        """Return between how many and how many cuts a quantity can be beyond, by what it can be at all."""
        low, high = range_of(key)
        cuts = self.cuts.get(key, [])
        sure = [each for each in cuts if float(each[2]) < low or (float(each[2]) == low and each[3] == ">=")]
        none = [each for each in cuts if float(each[2]) > high or (float(each[2]) == high and each[3] == ">")]
        return range(len(sure), len(cuts) - len(none) + 1)

    def _quantity(self, key: str) -> str:
        name = self.value(key)
        return _once(name, NOT_YET, [(f"{name} = {place}", "") for place in self.told_apart(key)])

    def _act(self, place: int) -> str:
        act = self.acts[place]
        did = [self.acts.index(each) for each in acts_of(act) if each in self._live]
        failure = parts_of(act[1])[2]
        begun = f"{self._begun[failure]} -> " if failure else ""
        return (f"if :: a{place} -> v = 1 :: else -> if :: m{place} == 0 -> v = 0 :: else -> "
                f"if :: {begun}{self._free(did)}a{place} = 1; {self._do(did)}v = 1 :: m{place} = 0; v = 0 fi fi fi;")

    def _free(self, acts: Iterable[int]) -> str:
        """Return a guard: none of these acts has been said to be undone in this moment."""
        said = " && ".join(f"(a{each} || m{each} != 0)" for each in acts)
        return f"{said} -> " if said else ""

    def _do(self, acts: Iterable[int]) -> str:
        return "".join(f"a{each} = 1; " for each in acts)

    def _behind(self, fact: str) -> list[int]:
        return [self.acts.index(("did", act)) for act in dict.fromkeys(acts_behind(fact)) if ("did", act) in self._live]

    def _plan(self) -> str:
        options: dict[tuple[frozenset[str], tuple[int, ...]], tuple[str, str]] = {
            (frozenset(), ()): (f"plan = {len(self.plans)}", "")}
        for place, plan in enumerate(self.plans):
            with_it = [plan, *(each for each in self.plans if includes(plan, each))]
            acts = self._all_behind(with_it)
            options.setdefault((self._facts_read.intersection(with_it), tuple(acts)),
                               (f"{self._free(acts)}plan = {place}", self._do(acts)))
        return _once("plan", NOT_YET, options.values())

    def _all_behind(self, facts: Iterable[str]) -> list[int]:
        return list(dict.fromkeys(act for fact in facts for act in self._behind(fact)))

    def _fact(self, place: int) -> str:
        fact, name = self.facts[place], f"x{place}"
        with_it = [number for number, each in enumerate(self.facts) if includes(fact, each)]
        behind = [number for number, each in enumerate(self.facts) if includes(each, fact)]
        apart = {"is parked": "is taxiing", "is taxiing": "is parked"}.get(fact, "")
        acts = self._all_behind([fact, *(self.facts[each] for each in with_it)])
        guards = [f"(a{each} || m{each} != 0)" for each in acts] + [f"x{each} != 0" for each in with_it]
        guards += [f"x{self.facts.index(apart)} != 1"] if apart in self.facts else []
        holds = f"{' && '.join(guards)} -> " if guards else ""
        not_held = " && ".join(f"x{each} != 1" for each in behind)
        return _once(name, 2, [
            (f"{holds}{name} = 1", self._do(acts) + "".join(f"x{each} = 1; " for each in with_it)),
            (f"{not_held} -> {name} = 0" if not_held else f"{name} = 0", "")]) + f" v = {name};"


def _once(name: str, unknown: int, options: Iterable[tuple[str, str]]) -> str:
    chosen = " ".join(f":: {first}; {then}" for first, then in options)
    return f"if :: {name} == {unknown} -> if {chosen} fi :: else fi;"


def at_least(cuts: Mapping[str, list[Atom]], key: str, value: float) -> int:
    """Return how many cuts a time at or after `value` is beyond at the least."""
    return sum(float(each[2]) < value or (float(each[2]) == value and each[3] == ">=") for each in cuts.get(key, ()))


def at_most(cuts: Mapping[str, list[Atom]], key: str, value: float) -> int:
    """Return how many cuts a time at or before `value` is beyond at the most."""
    return sum(not (float(each[2]) > value or (float(each[2]) == value and each[3] == ">"))
               for each in cuts.get(key, ()))
