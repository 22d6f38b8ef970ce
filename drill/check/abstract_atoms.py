"""What a condition can ask, as atoms, and the laws that bind atoms at any one moment of a flight.

`Symbols` is one more kind of truth for `conditions.evaluate`: the truth of a condition in it is a function of atoms.
An atom is an act done (by its key, since the start or here), a fact, or a cut: whether a quantity is at or beyond
a value. The laws say what no moment can break: of two cuts of one quantity the farther one implies the nearer, of two
plans only one is the last, a stronger word of urgency includes a weaker one, what ATC knows it has been told, who did
something three times did it twice, and what was done since a failure began, that has begun.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

from drill.check.abstract_diagrams import YES, Diagrams
from drill.scenario.conditions import All, AnyOf, Compare, Condition, Did, Fact, FactKind, Not, evaluate
from drill.scenario.deeds import parts_of, within
from drill.scenario.names import EQUIPMENT, rightly_named, words_of
from drill.scenario.truth import fact_key

Atom: TypeAlias = tuple[str, ...]
"""("did", key), ("here", key), ("fact", fact key), ("cut", quantity key, value, ">" or ">=") and the story's own
("noted", flag), ("failed", failure), ("begun", failure), ("drawn", failure), ("fired", cue key)."""

TIME, IN_PHASE = "time", "time in phase"
_WITHOUT_SIGN = frozenset({
    "true bank", "true turn rate", "heading off", "altitude off", "shown bank", "standby bank", "shown turn rate",
    "suction", "rpm", "groundspeed", "course needle", TIME, IN_PHASE, "distance to", "true airspeed",
})
_ROUND = frozenset({"true heading", "shown heading", "shown compass", "track", "bearing to"})
_HALF_ROUND = frozenset({"true bank", "heading off", "shown bank", "standby bank"})
_TOLD_BY = {"asked for": "ask for", "told": "tell"}      # what has been told once stays told: the fact is the act
_URGENCY = ("anything", "pan-pan", "emergency", "mayday")


def range_of(key: str) -> tuple[float, float]:
    """Return the lowest and highest value that a flight can show of a quantity, by its key."""
    name = next((head for head in ("distance to", "bearing to") if key.startswith(f"{head} ")), key)
    if name in _ROUND:
        return 0.0, 360.0
    if name in _HALF_ROUND:
        return 0.0, 180.0
    return (0.0 if name in _WITHOUT_SIGN else float("-inf")), float("inf")


def cut(key: str, value: float, sign: str) -> Atom:
    """Return the atom that a quantity is beyond (`>`) or at least at (`>=`) a value."""
    return ("cut", key, repr(float(value)), sign)


def atom_of_fact(kind: FactKind, of: str) -> Atom:
    """Return the atom of a fact; what has been told once is the act of telling it."""
    if kind in _TOLD_BY:
        return ("did", words_of(f"{_TOLD_BY[kind]} {of}"))
    if kind in ("noted", "failed"):
        return (kind, of)
    if (kind, of) == ("declared", "anything"):
        of = "pan-pan"        # the weakest word
    return ("fact", fact_key(kind, of))


def atom_of_act(act: Did) -> Atom:
    """Return the atom of an act done."""
    return ("here" if act.here else "did", act.key)


def acts_of(atom: Atom) -> Iterator[Atom]:
    """Yield the other acts that have been done wherever the act `atom` has: less often, and at any time."""
    kind, key = atom
    if kind == "here":
        yield ("did", key)
    for other in within(key):
        yield from ((kind, other), *([("did", other)] if kind == "here" else []))


def atom_of_comparison(key: str, op: str, value: float) -> tuple[Atom, bool]:
    """Return the cut that a comparison asks for, and whether it asks for it to hold."""
    return cut(key, value, ">=" if op in ("<", ">=") else ">"), op in (">", ">=")


def atoms_in(condition: Condition | None) -> Iterator[Atom]:
    """Yield the atoms that a condition asks about; None has none."""
    match condition:
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from atoms_in(part)
        case Not(part):
            yield from atoms_in(part)
        case Did():
            yield atom_of_act(condition)
        case Fact(kind, of):
            yield atom_of_fact(kind, of)
        case Compare():
            yield atom_of_comparison(condition.key, condition.op, condition.value)[0]
        case _:
            return


@dataclass(frozen=True, slots=True)
class Symbols:
    """A kind of truth whose values are functions of atoms."""

    diagrams: Diagrams
    index: dict[Atom, int]

    @classmethod
    def of(cls, atoms: Iterable[Atom]) -> Symbols:
        """Return the symbols for `atoms`, those that bind one another side by side."""
        return cls(Diagrams(), {atom: place for place, atom in enumerate(sorted(set(atoms), key=_order))})

    def atom(self, atom: Atom) -> int:
        """Return the function that is true where the atom is."""
        return self.diagrams.variable(self.index[atom])

    def of_condition(self, condition: Condition | None) -> int:
        """Return a condition as a function of atoms; no condition always holds."""
        return YES if condition is None else int(evaluate(condition, self))

    def did(self, key: str, *, here: bool) -> int:
        """Return where the act has been done."""
        return self.atom(("here" if here else "did", key))

    def fact(self, kind: FactKind, of: str) -> int:
        """Return where the fact holds."""
        return self.atom(atom_of_fact(kind, of))

    def compare(self, key: str, op: str, value: float) -> int:
        """Return where the comparison holds."""
        atom, holds = atom_of_comparison(key, op, value)
        return self.atom(atom) if holds else self.diagrams.negation(self.atom(atom))

    def every(self, parts: list[int]) -> int:
        """Return where all hold."""
        return self.diagrams.every(*parts)

    def some(self, parts: list[int]) -> int:
        """Return where any holds."""
        return self.diagrams.some(*parts)

    def negate(self, part: int) -> int:
        """Turn a truth round."""
        return self.diagrams.negation(part)

    def cuts(self, key: str) -> list[Atom]:
        """Return the cuts of a quantity, the lowest first."""
        return sorted((atom for atom in self.index if atom[0] == "cut" and atom[1] == key), key=cut_order)

    def beyond(self, key: str, value: float, *, or_at: bool = True) -> int:
        """Return where a quantity is at least `value` (else above it); the cut has to be among the atoms."""
        return self.atom(cut(key, value, ">=" if or_at else ">"))

    def laws(self) -> int:
        """Return what holds at every moment, whatever the flight."""
        of, diagrams = self.atom, self.diagrams
        found = [diagrams.implies(of(one), of(other)) for one, other in self._implications()]
        found += [diagrams.negation(diagrams.every(of(one), of(other))) for one, other in self._exclusions()]
        found += [of(atom) if holds else diagrams.negation(of(atom)) for atom, holds in self._fixed()]
        result = YES
        for each in reversed(found):
            result = diagrams.every(each, result)
        return result

    def _implications(self) -> Iterator[tuple[Atom, Atom]]:
        for key in dict.fromkeys(atom[1] for atom in self.index if atom[0] == "cut"):
            for nearer, farther in pairwise(self.cuts(key)):
                yield farther, nearer
        for atom in self.index:
            match atom:
                case ("did" | "here", key):
                    yield from ((atom, other) for other in acts_of(atom) if other in self.index)
                    failure = ("begun", parts_of(key)[2])
                    if failure in self.index:
                        yield atom, failure
                case ("fact", said):
                    for act in (("did", words_of(each)) for each in acts_behind(said)):
                        if act in self.index:
                            yield atom, act
        facts = [atom[1] for atom in self.index if atom[0] == "fact"]
        for one in facts:
            for other in facts:
                if one != other and includes(one, other):
                    yield ("fact", one), ("fact", other)

    def _exclusions(self) -> Iterator[tuple[Atom, Atom]]:
        plans = [atom for atom in self.index if atom[0] == "fact" and atom[1].startswith("planned ")]
        for place, one in enumerate(plans):
            for other in plans[place + 1:]:
                if not (includes(one[1], other[1]) or includes(other[1], one[1])):
                    yield one, other
        parked, taxiing = ("fact", "is parked"), ("fact", "is taxiing")
        if parked in self.index and taxiing in self.index:
            yield parked, taxiing

    def _fixed(self) -> Iterator[tuple[Atom, bool]]:
        for atom in self.index:
            if atom[0] == "cut":
                low, high = range_of(atom[1])
                value = float(atom[2])
                if value < low or (value == low and atom[3] == ">="):
                    yield atom, True
                elif value > high or (value == high and atom[3] == ">"):
                    yield atom, False


def cut_order(atom: Atom) -> tuple[float, bool]:
    """Put the cuts of one quantity in their order, the lowest first."""
    return float(atom[2]), atom[3] == ">"


def _order(atom: Atom) -> tuple[bool, str, float, str, Atom]:
    """Put atoms in an order that keeps the laws small: each quantity, and each thing said, by itself; time last."""
    if atom[0] == "cut":
        return (atom[1] in (TIME, IN_PHASE), f"~{atom[1]}", float(atom[2]), atom[3][::-1], atom)
    if atom[0] in ("begun", "drawn", "failed", "fired", "noted"):
        return (True, atom[1], 0.0, "", atom)
    said = atom[0] == "fact" and atom[1].startswith(("planned ", "reported "))
    return (False, words_of(atom[1].split(" ", 1)[-1] if said else atom[1]), 0.0, "", atom)


def acts_behind(fact: str) -> Iterator[str]:
    """Yield the acts, as keys of patterns, that have to have been done for a fact about what was said or decided."""
    if fact.startswith("reported "):
        yield from (f"report {fact.removeprefix('reported ')}", "report")
    if fact.startswith("declared "):
        yield "declare"
        yield from (f"declare {each}" for each in _URGENCY[:_URGENCY.index(fact.removeprefix("declared ")) + 1])
    if fact.startswith("planned "):
        plan = fact.removeprefix("planned ")
        yield plan.replace("cancel_ifr", "cancel IFR").replace("_", " ").replace("depart vfr", "depart VFR")
        yield plan.split(" ")[0].replace("_", " ")


def includes(one: str, other: str) -> bool:
    """Say whether the fact `other` holds wherever the fact `one` does."""
    kind, _, of = one.partition(" ")
    other_kind, _, other_of = other.partition(" ")
    if kind != other_kind:
        return False
    if kind == "planned":
        return of.startswith(f"{other_of} ")
    if kind == "declared":
        return _URGENCY.index(of) > _URGENCY.index(other_of)
    if kind == "reported":
        return rightly_named(other_of, frozenset({of})) and _only_names_itself(of)
    return False


def _only_names_itself(equipment: str) -> bool:
    """Say whether nothing but its own name reports this equipment."""
    others = frozenset(EQUIPMENT) - {equipment}
    return not rightly_named(equipment, others)
