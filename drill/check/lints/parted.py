"""Items of the grade sheet that name another one which is asked for in other flights than they are."""

from __future__ import annotations

from collections.abc import Iterator

from drill.check.lints.sheet import may_both_apply
from drill.check.rules import warning
from drill.check.standing import value_at
from drill.scenario.model import Item, Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem


def check_parted(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each `after` or `within` of an item that names one of another variation."""
    items: dict[str, Item] = {item.name: item for item in scenario.grade_sheet}
    found = []
    for number, item in enumerate(scenario.grade_sheet):
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


def _named(item: Item) -> Iterator[tuple[str, str]]:
    """Yield the key and the name of each other item that an item names."""
    if item.after is not None:
        yield "after", item.after
    if item.within is not None and item.within.of == "item" and item.within.name is not None:
        yield "within", item.within.name
