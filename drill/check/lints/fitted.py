"""Failures, acts and quantities of parts that the airplane does not have."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from drill.check.lints.conditions import conditions_of
from drill.check.rules import warning
from drill.check.standing import Way, value_at, word_at
from drill.scenario.acts import ActPattern
from drill.scenario.conditions import Condition, acts_in, compared_in, facts_in
from drill.scenario.fitted import PART_OF, is_fitted
from drill.scenario.model import Scenario
from drill.scenario.names import words_of
from drill.scenario.places import Node
from drill.scenario.problems import Problem
from drill.scenario.story import tree_patterns

_READ_FROM: Mapping[str, str] = {
    "standby bank": "standby attitude", "shown turn rate": "turn coordinator", "track": "gps", "groundspeed": "gps",
}
_HANDLED = ("look", "compare", "cover", "uncover", "fly by", "switch")
"""Verbs that want the thing itself, and not only its name."""


def check_fitted(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each failure, act and quantity that there is nothing for in this airplane."""
    return [*_failures(scenario, tree), *_acts(scenario, tree)]


def _failures(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    for plan in scenario.failures:
        if not is_fitted(plan.part, scenario.airplane.airframe):
            yield warning(value_at(tree, "failures", plan.name, "part"), "part-not-fitted",
                          f"the {scenario.airplane.title} has no {plan.part}, so nobody will see it fail",
                          "an airplane that has one, or a part that this one has",
                          "choose another airplane, or another failure")


def _acts(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    asked: list[tuple[Way, list[tuple[str, str]]]] = [
        (way, _in_condition(condition)) for way, condition in conditions_of(scenario)]
    for number, item in enumerate(scenario.grade_sheet):
        way: Way = ("grade sheet", number)
        asked += [((*way, key), [*_of(pattern)]) for key, acts in (("do", item.do), ("never", item.never))
                  for pattern in tree_patterns(acts)]
        asked += [((*way, key), _in_condition(each)) for key, each in (("keep", item.keep), ("before", item.before))
                  if each is not None]
    told = set[tuple[Way, str]]()
    for where, wants in asked:
        for part, said in wants:
            if is_fitted(part, scenario.airplane.airframe) or (where, part) in told:
                continue
            told.add((where, part))
            yield warning(word_at(scenario.text, value_at(tree, *where), said), "part-not-fitted",
                          f"`{said}`: the {scenario.airplane.title} has no {part}", "what this airplane has",
                          "leave it out, or choose another airplane")


def _of(pattern: ActPattern) -> Iterator[tuple[str, str]]:
    """Yield the parts that an act is done to, each with the words in which it is written."""
    if pattern.verb in _HANDLED:
        for word in pattern.object.removesuffix(" on").removesuffix(" off").split(" with "):
            if word in PART_OF:
                yield PART_OF[word], words_of(word)


def _in_condition(condition: Condition) -> list[tuple[str, str]]:
    found = [each for act in acts_in(condition) for each in _of(act.pattern)]
    found += [(PART_OF[fact.of], words_of(fact.of)) for fact in facts_in(condition)
              if fact.kind in ("covered", "flying by") and fact.of in PART_OF]
    found += [(_READ_FROM[each.quantity], each.quantity) for each in compared_in(condition)
              if each.quantity in _READ_FROM]
    return found
