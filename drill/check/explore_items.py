"""Items of the grade sheet that never ask for anything, that nobody can satisfy or fail, and that contradict."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from drill.check.abstract import Program
from drill.check.abstract_atoms import TIME
from drill.check.abstract_diagrams import NO
from drill.check.explore import Explored
from drill.check.explore_words import said
from drill.check.standing import word_at
from drill.language.meaning import Action, Cover, Decide, FlyBy, Squawk, Switch, Transmit
from drill.scenario.acts import ANSWERS, VERBS, ActPattern
from drill.scenario.conditions import Condition
from drill.scenario.model import ActTree, Item
from drill.scenario.problems import Place, Problem, Subject
from drill.scenario.story import tree_patterns

_LASTING: frozenset[type[Action]] = frozenset({Cover, FlyBy, Switch, Squawk, Transmit, Decide})
"""Kinds of acts that grading counts from before an item asks for them, while they still hold."""


def item_findings(seen: Explored) -> Iterator[Problem]:
    """Yield what is wrong with the items of the grade sheet in every flight."""
    sheet = _Sheet(seen)
    for item in seen.program.scenario.grade_sheet:
        yield from sheet.of(item)
    yield from sheet.contradictions()


@dataclass(slots=True)
class _Sheet:
    seen: Explored

    @property
    def program(self) -> Program:
        return self.seen.program

    def can(self, *conditions: Condition | int | None) -> bool:
        """Say whether the conditions (None: any) can hold together at some second of a flight."""
        symbols = self.program.symbols
        for name in self.program.phases:
            held = symbols.diagrams.every(self.program.record[name], *(
                each if isinstance(each, int) else symbols.of_condition(each) for each in conditions))
            states = [*self.seen.in_phase(name), *self._finals(name)]
            if held != NO and states and self.seen.allows(self.program.guards(held), states):
                return True
        return False

    def _finals(self, name: str) -> list[int]:
        return [state for state in self.seen.finals if self.program.phase_of(state) == name]

    def negation(self, condition: Condition | None) -> int:
        return self.program.symbols.negate(self.program.symbols.of_condition(condition))

    def earliest_s(self, condition: Condition | None) -> float:
        """Return the time of flight before which the condition never holds, as far as cuts of the time tell."""
        symbols = self.program.symbols
        if condition is None:
            return 0.0
        held = symbols.of_condition(condition)
        before = [float(each[2]) for each in symbols.cuts(TIME)
                  if not self.can(held, symbols.negate(symbols.atom(each)))]
        return max(before, default=0.0)

    def of(self, item: Item) -> Iterator[Problem]:
        if not self._applies(item):
            yield _problem(item, "item-never-applies", f"`{item.name}` asks for nothing in any flight",
                           self._why_not(item), "correct what it waits for, or delete the item",
                           word_at(self.program.scenario.text, item.place, "when:") if item.when else None)
            return
        if item.keep is not None:
            if not self.can(item.when, item.keep):
                yield _problem(item, "item-nobody-satisfies", f"nobody can keep `{item.name}`",
                               f"`{said(item.keep)}` never holds when the item applies", "correct `keep`")
            elif not self.can(self.negation(item.keep)):
                yield _problem(item, "item-nobody-fails", f"nobody can fail `{item.name}`",
                               f"`{said(item.keep)}` holds in every flight", "ask for more, or delete the item")
        if item.do is not None:
            late = self._always_late(item)
            if late:
                yield _problem(item, "item-nobody-satisfies", f"`{item.name}` can only be done too late", late,
                               "give it more time, or let it apply earlier")

    def _applies(self, item: Item) -> bool:
        if item.when is not None and not self.can(item.when):
            return False
        if item.within is not None and item.within.of in ("failure", "evidence") and not self._fails(item.within.name):
            return False
        return not self._answers_nothing(item)

    def _answers_nothing(self, item: Item) -> bool:
        return (item.do is not None and item.when is None
                and any(pattern.verb in ANSWERS for pattern in tree_patterns(item.do)) and not self._fails(None))

    def _fails(self, name: str | None) -> bool:
        """Say whether a failure (None: any) begins in some flight."""
        bits = [bit for atom, bit in self.program.bits.items() if atom[0] == "begun" and name in (None, atom[1])]
        return any(state & bit for bit in bits for state in (*self.seen.came, *self.seen.finals))

    def _why_not(self, item: Item) -> str:
        if item.when is not None and not self.can(item.when):
            return f"`{said(item.when)}` never holds"
        return "no failure that it answers ever begins"

    def _always_late(self, item: Item) -> str:
        """Return why an item is late whenever it is done, "" where it can be in time.

        What lasts once it is done (a cover, a plan, what was said) may have been done before it was asked for.
        """
        if item.do is None or not _passes(item.do):
            return ""
        if item.before is not None and item.within is None and not self.can(item.when, self.negation(item.before)):
            return f"`{said(item.before)}` always holds once the item applies"
        begins_s = self._begins_s(item, frozenset())
        within = item.within
        if within is not None and within.of == "start" and begins_s > within.seconds:
            return (f"it cannot be asked for before {_clock(begins_s)} of flight, and is to be done by "
                    f"{_clock(within.seconds)}")
        return ""

    def _begins_s(self, item: Item, asked: frozenset[str]) -> float:
        """Return when an item that passes can be done as it should at the earliest (s)."""
        first = next((each for each in self.program.scenario.grade_sheet if each.name == item.after), None)
        before_s = 0.0 if first is None or first.name in asked else self._begins_s(first, asked | {item.name})
        if item.do is None or not _passes(item.do):
            return before_s
        from_s = self.earliest_s(item.when)
        if item.within is not None:
            from_s = min([from_s, *(plan.at_s or 0.0 for plan in self.program.scenario.failures)])
        return max(before_s, from_s)

    def contradictions(self) -> Iterator[Problem]:
        """Yield items that can only be done by an act that another item forbids."""
        sheet = self.program.scenario.grade_sheet
        for never in sheet:
            if never.never is None or not self._applies(never):
                continue
            forbidden = tuple(tree_patterns(never.never))
            for item in sheet:
                if item.do is None or not self._applies(item) or not _needs_one(item.do, forbidden):
                    continue
                allowed = never.when is not None and self.can(item.when, self.negation(never.when))
                if not allowed:
                    yield _problem(item, "items-contradict",
                                   f"nobody can satisfy both `{item.name}` and `{never.name}`",
                                   f"what the one asks for is what the other, in line {never.place.line}, forbids",
                                   "let one of them not ask for it, or give it a `when`", other=never)


def _passes(tree: ActTree) -> bool:
    """Say whether `tree` cannot be done without an act that is over when it is done, such as a look."""
    if tree.pattern is not None:
        kinds = VERBS[tree.pattern.verb].kind
        return not set(kinds if isinstance(kinds, tuple) else (kinds,)) & _LASTING
    each = [_passes(part) for part in tree.parts]
    return bool(each) and (all(each) if tree.how == "any" else any(each))


def _clock(seconds: float) -> str:
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"


def _needs_one(tree: ActTree, forbidden: tuple[ActPattern, ...]) -> bool:
    """Say whether `tree` cannot be done without an act that is forbidden."""
    if tree.pattern is not None:
        return any(_is_one_of(tree.pattern, each) for each in forbidden)
    each = [_needs_one(part, forbidden) for part in tree.parts]
    return bool(each) and (all(each) if tree.how == "any" else any(each))


def _is_one_of(act: ActPattern, pattern: ActPattern) -> bool:
    """Say whether whatever matches `act` matches `pattern` too."""
    return act.verb == pattern.verb and (act.object == pattern.object or not pattern.object)


def _problem(
    item: Item, rule: str, wrong: str, allowed: str, remedy: str, place: Place | None = None, other: Item | None = None,
) -> Problem:
    about: tuple[Subject, ...] = (("item", item.name), *(() if other is None else (("item", other.name),)))
    return Problem(place or item.place, rule, wrong, allowed, remedy, "warning", frozenset(about))
