"""Items of the grade sheet that nobody can satisfy or fail, that contradict one another, or that are half written."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from drill.check.holding import Holding, holding
from drill.check.rules import warning
from drill.check.standing import key_at, value_at
from drill.language import read
from drill.language.meaning import Told, Transmit
from drill.scenario.acts import VERBS, ActPattern
from drill.scenario.conditions import All, AnyOf, Condition, Did, Fact, evaluate
from drill.scenario.model import ActTree, Fail, Item, Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem
from drill.scenario.story import effects_of, tree_patterns
from drill.scenario.truth import MayTruth, fact_key

_SHEET = "grade sheet"


def check_sheet(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each item that tells nothing of a flight, and for each two that no flight can meet."""
    can = holding(scenario)
    return [*_alone(scenario, can, tree), *_half_written(scenario, tree), *_together(scenario, can, tree)]


def _alone(scenario: Scenario, can: Holding, tree: Node) -> Iterator[Problem]:
    for number, item in enumerate(scenario.grade_sheet):
        if item.keep is not None and can.always(item.keep):
            yield warning(value_at(tree, _SHEET, number, "keep"), "item-nobody-fails",
                          f"`{item.name}` is kept in every flight", "a limit that a flight can go beyond",
                          "correct the limit, or delete the item")
        if item.keep is not None and not can.can(item.keep):
            yield warning(value_at(tree, _SHEET, number, "keep"), "item-nobody-satisfies",
                          f"`{item.name}` can be kept in no flight", "a limit that a flight can keep",
                          "correct the limit, or delete the item")
        if item.before is not None and can.always(item.before):
            yield warning(value_at(tree, _SHEET, number, "before"), "item-nobody-satisfies",
                          f"`{item.name}` is too late from the first moment on: its `before` always holds",
                          "what has not happened yet when the flight begins", "correct the condition")
        if item.before is not None and not can.can(item.before):
            yield warning(value_at(tree, _SHEET, number, "before"), "never-holds",
                          f"`before` of `{item.name}` can never hold, so nobody is ever too late", "",
                          "correct the condition, or delete it")
        if item.do is not None and isinstance(item.when, Did) and item.do.pattern == item.when.pattern:
            yield warning(value_at(tree, _SHEET, number, "do"), "item-nobody-fails",
                          f"`{item.name}` applies only when it has been done: `when` asks for the same act",
                          "a failure or a state of the flight as `when`", "correct `when`")


def _half_written(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    for number, item in enumerate(scenario.grade_sheet):
        calls = any(_is_call(each) for each in tree_patterns(item.do))
        if item.needs and not calls:
            yield warning(key_at(tree, _SHEET, number, "needs"), "needs-without-a-call",
                          f"`{item.name}` asks for no call, so nothing can be in it", "",
                          "write a `do` that is a call, such as `report vacuum system`, or delete `needs`")
        if item.unsafe and item.do is not None:
            yield warning(key_at(tree, _SHEET, number, "unsafe"), "unsafe-without-effect",
                          f"`unsafe` means nothing at `{item.name}`, which is to be done",
                          "an item with `never` or `keep` can be broken by an unsafe act",
                          "delete `unsafe`, or turn the item into a `never`")
        if item.do is not None and item.example is None:
            yield warning(key_at(tree, _SHEET, number, "item"), "example-missing",
                          f"`{item.name}` has no `example`",
                          "the debrief shows it, and what the sheet would have done is flown by it",
                          "add the words that do it: `example: ...`")
        if item.example is not None and item.needs and calls:
            missing = _left_out(item, scenario)
            if missing:
                yield warning(value_at(tree, _SHEET, number, "example"), "example-leaves-out",
                              f"the example of `{item.name}` does not say {_listed(missing)}",
                              "it is shown as what is right, and has to have all that `needs` asks for",
                              "add it to the words of the example, or take it out of `needs`")


def _is_call(act: ActPattern) -> bool:
    kinds = VERBS[act.verb].kind
    return Transmit in (kinds if isinstance(kinds, tuple) else (kinds,))


def _left_out(item: Item, scenario: Scenario) -> list[str]:
    told = Told()
    for action in read(item.example or "", scenario.context):
        if isinstance(action, Transmit):
            told = told.with_call(action.meaning)
    return [need for need in item.needs if not getattr(told, need)]


def _listed(words: list[str]) -> str:
    said = [f"`{each}`" for each in words]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"


def _together(scenario: Scenario, can: Holding, tree: Node) -> Iterator[Problem]:
    sheet = list(enumerate(scenario.grade_sheet))
    for (first, one), (second, other) in combinations(sheet, 2):
        if not may_both_apply(one, other, scenario):
            continue
        if one.keep is not None and other.keep is not None and _each_can(can, one.keep, other.keep):
            if not can.can(All((one.keep, other.keep))):
                yield _contradiction(tree, second, "keep", other, one, "a perfect score is impossible")
            continue
        todo, forbidden = (one, other) if one.do is not None else (other, one)
        if todo.do is None or forbidden.never is None or not _lasts(forbidden.when):
            continue
        never = list(tree_patterns(forbidden.never)) if _any_breaks(forbidden.never) else []
        if never and not _can_do_without(todo.do, never):
            at = second if other is forbidden else first
            yield _contradiction(tree, at, "never", forbidden, todo, "who does the one breaks the other")


def _lasts(when: Condition | None) -> bool:
    """Say whether what is forbidden under `when` stays so: by what has failed or been done, not by a passing state."""
    match when:
        case None | Fact("failed" | "noted" | "reported", _) | Did(_, False):
            return True
        case All(parts) | AnyOf(parts):
            return all(map(_lasts, parts))
        case _:
            return False


def _each_can(can: Holding, *conditions: Condition) -> bool:
    return all(can.can(each) for each in conditions)


def _contradiction(tree: Node, number: int, key: str, item: Item, other: Item, why: str) -> Problem:
    return warning(value_at(tree, _SHEET, number, key), "items-contradict",
                   f"`{item.name}` and `{other.name}` can both apply, and no flight can meet both", why,
                   "give each its own `when`, or delete one of them", ("item", item.name), ("item", other.name))


def _any_breaks(never: ActTree) -> bool:
    return never.how != "all" or len(never.parts) == 1


def _can_do_without(do: ActTree, never: list[ActPattern]) -> bool:
    """Say whether `do` can be done without any of the acts of `never`."""
    if do.pattern is not None:
        return not any(is_one_of(do.pattern, each) for each in never)
    ways = (_can_do_without(part, never) for part in do.parts)
    return all(ways) if do.how == "all" else any(ways)


def is_one_of(act: ActPattern, wider: ActPattern) -> bool:
    """Say whether who does `act` has done `wider`, of the same verb and less exact or the same."""
    return act.verb == wider.verb and (not wider.object or act.object == wider.object)


def may_both_apply(one: Item, other: Item, scenario: Scenario) -> bool:
    """Say whether there may be a flight in which both apply, by the failures that can happen in one."""
    drawn = [set(each.fails) for each in scenario.variations] or [set[str]()]
    varied = {name for each in scenario.variations for name in each.fails}
    always = {plan.name for plan in scenario.failures} - varied | {
        each.failure for each in effects_of(scenario) if isinstance(each, Fail)}
    return any(_may_apply(one, fails | always, scenario) and _may_apply(other, fails | always, scenario)
               for fails in drawn)


def _may_apply(item: Item, failures: set[str], scenario: Scenario) -> bool:
    """Say whether an item may apply in a flight in which no other than these failures happen."""
    within = item.within
    if within is not None and within.of in ("failure", "evidence") and within.name is not None and (
            within.name not in failures):
        return False
    facts = {fact_key("failed", plan.name): None if plan.name in failures else False for plan in scenario.failures}
    return item.when is None or evaluate(item.when, MayTruth(facts=facts)) is not False
