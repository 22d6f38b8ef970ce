"""Items of the grade sheet that name another one which is asked for in other flights than they are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from drill.check.lints.sheet import may_both_apply
from drill.check.rules import warning
from drill.check.standing import value_at
from drill.scenario.model import Item, Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem


def check_parted(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each `after` or `within` of an item that names an item or a failure of another variation."""
    items: dict[str, Item] = {item.name: item for item in scenario.grade_sheet}
    found = []
    for number, item in enumerate(scenario.grade_sheet):
        if _never_with_its_failure(item, scenario):
            found.append(warning(
                value_at(tree, "grade sheet", number, "within"), "item-nobody-satisfies",
                f"`{item.name}` is asked for in no flight: what it waits for never happens together with "
                f"`{item.within.name if item.within is not None else ''}`, from which its time counts",
                "they are in different variations", "name the failure of its own `when`"))
        for key, name in _named(item):
            other = items.get(name)
            if other is None or not may_both_apply(item, item, scenario) or not may_both_apply(other, other, scenario):
                continue
            if not may_both_apply(item, other, scenario):
                found.append(warning(
                    value_at(tree, "grade sheet", number, key), "named-of-another-variation",
                    f"`{item.name}` names `{other.name}`, and no flight asks for both",
                    f"what they wait for happens in different variations, so `{key}` is never looked at",
                    f"name an item of the same variation, or delete `{key}`"))
    return found


def _never_with_its_failure(item: Item, scenario: Scenario) -> bool:
    """Say whether no variation brings both what an item waits for and the failure from which its time counts."""
    within = item.within
    if item.when is None or within is None or within.of not in ("failure", "evidence") or within.name is None:
        return False
    by_when, by_window = replace(item, within=None), replace(item, when=None)
    return not may_both_apply(item, item, scenario) and all(
        may_both_apply(each, each, scenario) for each in (by_when, by_window))


def _named(item: Item) -> Iterator[tuple[str, str]]:
    """Yield the key and the name of each other item that an item names."""
    if item.after is not None:
        yield "after", item.after
    if item.within is not None and item.within.of == "item" and item.within.name is not None:
        yield "within", item.within.name
