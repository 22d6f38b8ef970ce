"""Items of the grade sheet that ask for the wrong name, that grade one act twice, or whose unsafe act is rewarded."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from drill.airplane.failures import CATALOGUE
from drill.check.explore_endings import GOOD
from drill.check.holding import Holding, holding
from drill.check.lints.at_the_start import holds_at_start
from drill.check.lints.sheet import is_one_of
from drill.check.rules import warning
from drill.check.standing import value_at, word_at
from drill.scenario.conditions import All, AnyOf, Condition, Did, Not, facts_in
from drill.scenario.model import ActTree, End, Item, Scenario
from drill.scenario.names import rightly_named, words_of
from drill.scenario.places import Node
from drill.scenario.problems import Problem
from drill.scenario.story import tree_patterns

_NAMES = ("diagnose", "report")
_SHEET = "grade sheet"


def check_graded_acts(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each item whose act does not fit its failure, another item, or the story."""
    return [*_named(scenario, tree), *_twice(scenario, tree), *_rewarded(scenario, tree), *_either(scenario, tree)]


def _named(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    """Yield items that ask to name what is the right name of none of the failures under which they apply."""
    plans = {plan.name: CATALOGUE[plan.part, plan.how] for plan in scenario.failures}
    for number, item in enumerate(scenario.grade_sheet):
        failures = [plans[each.of] for each in facts_in(item.when) if each.kind == "failed" and each.of in plans]
        patterns = [each for each in tree_patterns(item.do) if each.verb in _NAMES and each.object]
        if not failures or not patterns or _negates(item.when):
            continue
        good = {frozenset(names) for each in failures for names in (*each.named_right_as, *each.also_right)}
        if any(rightly_named(each.object, names) or each.object in names for each in patterns for names in good):
            continue
        right = " or ".join(sorted({f"`{words_of(' and '.join(names))}`" for each in failures
                                    for names in each.named_right_as[:1]}))
        place = value_at(tree, _SHEET, number, "do")
        yield warning(word_at(scenario.text, place, words_of(patterns[0].object)), "names-another-part",
                      f"`{item.name}` asks for the {words_of(patterns[0].object)}, which is not what has failed",
                      f"what fails when it applies is rightly called {right}", "correct `do`, or the failure in `when`")


def _negates(when: Condition | None) -> bool:
    match when:
        case All(parts) | AnyOf(parts):
            return any(map(_negates, parts))
        case Not():
            return True
        case _:
            return False


def _twice(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    """Yield items that ask for the very acts of another one, under the same condition and with the same limits."""
    for (_, one), (second, other) in combinations(enumerate(scenario.grade_sheet), 2):
        same = (one.do is not None and other.do is not None and _acts(one.do) == _acts(other.do)) or (
            one.never is not None and other.never is not None and _acts(one.never) == _acts(other.never)) or (
            one.keep is not None and one.keep == other.keep)
        if same and _limits(one) == _limits(other):
            key = next(key for key, given in (("do", other.do), ("never", other.never), ("keep", other.keep))
                       if given is not None)
            yield warning(value_at(tree, _SHEET, second, key), "graded-twice",
                          f"`{other.name}` asks for the same as `{one.name}`, in line {one.place.line}",
                          "whoever misses it is marked down twice", "ask for something else, or delete one of the two")


def _limits(item: Item) -> tuple[object, ...]:
    """Return when an item applies, by when it is to be done, after what, and what has to be said in it."""
    return item.when, item.within, item.before, item.after, frozenset(item.needs)


def _acts(tree: ActTree) -> tuple[str, frozenset[object]]:
    """Return what acts ask for, whatever the order in which they are written."""
    if tree.pattern is not None:
        return "one", frozenset({tree.pattern.key})
    return tree.how, frozenset(map(_acts, tree.parts))


def _rewarded(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    """Yield branches to a good ending that ask for an unsafe act."""
    can = holding(scenario)
    good = {each.name for each in scenario.endings if each.outcome in GOOD}
    unsafe = [item for item in scenario.grade_sheet if item.unsafe]
    for phase in scenario.phases:
        for number, branch in enumerate(phase.branches):
            last = branch.effects[-1]
            if not isinstance(last, End) or last.ending not in good or not can.can(branch.when):
                continue
            item = next((each for each in unsafe if _asks_for_it(branch.when, each, can, scenario)), None)
            if item is not None:
                yield warning(value_at(tree, "phases", phase.name, "branches", number, "when"), "unsafe-act-pays",
                              f"what the grade sheet calls unsafe leads to the good ending `{last.ending}`",
                              f"`{item.name}`, in line {item.place.line}, is broken by whoever takes this branch",
                              "let it end otherwise, or do not call the act unsafe")


def _asks_for_it(when: Condition, item: Item, can: Holding, scenario: Scenario) -> bool:
    """Say whether who takes a branch has certainly done what the item forbids, where it forbids it."""
    if item.keep is not None and item.when is None and holds_at_start(item.keep, scenario) is not False:
        return can.follows(when, Not(item.keep))
    if item.never is None or (item.when is not None and not can.can(All((when, item.when)))):
        return False
    return any(can.follows(when, Did(pattern, False)) or can.follows(when, Did(pattern, True))
               for pattern in tree_patterns(item.never))


def _either(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    """Yield items of which one of several ways is an act that another item calls unsafe."""
    can = holding(scenario)
    for number, item in enumerate(scenario.grade_sheet):
        for other in scenario.grade_sheet:
            if item.do is None or item.do.how != "any" or other.never is None or not other.unsafe:
                continue
            forbidden = list(tree_patterns(other.never))
            paid = next((each for each in tree_patterns(item.do) if any(is_one_of(each, no) for no in forbidden)), None)
            whens = tuple(each for each in (item.when, other.when) if each is not None)
            if paid is not None and can.can(All(whens)) and not _parted(item.when, other.when):
                place = value_at(tree, _SHEET, number, "do")
                yield warning(word_at(scenario.text, place, paid.key), "unsafe-act-pays",
                              f"`{item.name}` is met by `{paid.key}`, which the sheet calls unsafe",
                              f"`{other.name}`, in line {other.place.line}, forbids it",
                              "leave it out here, or give each its own `when`")


def _parted(one: Condition | None, other: Condition | None) -> bool:
    """Say whether two items apply under failures of their own, of which none is shared."""
    mine, theirs = ({each.of for each in facts_in(when) if each.kind == "failed"} for when in (one, other))
    return bool(mine and theirs) and not mine & theirs
