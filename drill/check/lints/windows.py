"""Time windows of the grade sheet that no pilot can keep."""

from __future__ import annotations

from collections.abc import Iterator

from drill.check.lints.sheet import may_both_apply
from drill.check.rules import warning
from drill.check.standing import key_at, value_at
from drill.flight.acts import cost
from drill.language import read
from drill.language.meaning import Unclear
from drill.scenario.conditions import All, AnyOf, Compare, Condition, Fact
from drill.scenario.model import Fail, FailurePlan, Item, Say, Scenario, Within
from drill.scenario.places import Node
from drill.scenario.problems import Place, Problem
from drill.scenario.units import time_words


def check_windows(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each window that is too short for its act, or over before there is anything to act on."""
    sheet = list(enumerate(scenario.grade_sheet))
    return [*(problem for number, item in sheet if item.within is not None
              for problem in _window(number, item, item.within.seconds, scenario, tree)),
            *(problem for number, item in sheet for problem in _by_the_clock(number, item, scenario, tree)),
            *_whole(scenario, tree)]


def _whole(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    """Yield a warning where the flight is over before it has taken as long as is said of it."""
    place = key_at(tree, "minutes")
    if place != tree.place and scenario.minutes * 60.0 > scenario.time_limit_s:
        yield warning(place, "after-the-time-limit", f"the flight is said to take {scenario.minutes:g} min",
                      f"it ends at {time_words(scenario.time_limit_s)} at the latest",
                      "correct `minutes`, or raise the `time limit`")


def _window(number: int, item: Item, seconds: float, scenario: Scenario, tree: Node) -> Iterator[Problem]:
    place = value_at(tree, "grade sheet", number, "within")
    takes = _takes_s(item, scenario)
    if takes is not None and seconds < takes:
        yield warning(place, "window-too-short",
                      f"`{item.name}` is to be done within {time_words(seconds)}, "
                      f"and its example takes {time_words(takes)}",
                      "speaking, reading and reaching take the time that they take in an airplane",
                      f"give {time_words(_wide(takes))} or more, or shorten the example")
        return
    if item.within is not None and item.within.of == "failure":
        yield from _past_the_end(item, item.within, scenario, place)
    closes_s = None if item.within is None else _closes_s(item.within, scenario)
    if closes_s is None:
        return
    latest = " at the latest" if item.within is not None and item.within.of == "failure" else ""
    for what, earliest_s in (*_waits_for(item, scenario), *_behind(item, scenario)):
        if closes_s < earliest_s + (takes or 0.0):
            yield warning(place, "window-too-early",
                          f"the window of `{item.name}` closes {time_words(closes_s)} after the start{latest}, "
                          f"and {what} {time_words(earliest_s)} after it at the earliest",
                          "a window that opens with what is answered: `of failure`, `of evidence` or `of item`",
                          "count from that, or let the window close later")
            return


def _closes_s(within: Within, scenario: Scenario) -> float | None:
    """Return the time of flight (s) by which a window is closed in every flight; None where that is not known."""
    if within.of == "start":
        return within.seconds
    plan = _plan(within.name, scenario) if within.of == "failure" else None
    return None if plan is None or plan.at_s is None else plan.at_s + plan.spread_s + within.seconds


def _plan(name: str | None, scenario: Scenario) -> FailurePlan | None:
    """Return the failure of that name, or the only one where it has none, if nothing but its time begins it."""
    plans = [each for each in scenario.failures if name is None or each.name == name]
    return plans[0] if len(plans) == 1 and not _begun_by_the_story(plans[0].name, scenario) else None


def _by_the_clock(number: int, item: Item, scenario: Scenario, tree: Node) -> Iterator[Problem]:
    """Yield a `before` that is a time of flight, and past before the failure can begin."""
    before = item.before
    if not isinstance(before, Compare) or before.quantity != "time" or before.op not in (">", ">="):
        return
    for what, earliest_s in (*_waits_for(item, scenario), *_behind(item, scenario)):
        if before.value <= earliest_s:
            yield warning(value_at(tree, "grade sheet", number, "before"), "window-too-early",
                          f"`{item.name}` is too late {time_words(before.value)} after the start, and {what} "
                          f"{time_words(earliest_s)} after it at the earliest",
                          "a window that opens with what is answered",
                          "write `within: ... of failure`, or let it be later")
            return


def _past_the_end(item: Item, within: Within, scenario: Scenario, place: Place) -> Iterator[Problem]:
    """Yield a warning where the flight may be over before the window is; of an unnamed failure nothing is said."""
    plans = [each for each in scenario.failures if each.at_s is not None and each.name == within.name]
    for plan in plans:
        latest_s = (plan.at_s or 0.0) + plan.spread_s
        if latest_s > scenario.time_limit_s:
            continue        # of the failure itself it has been told that it may come too late
        if (plan.at_s or 0.0) <= scenario.time_limit_s < latest_s + within.seconds and plan.every_s is None:
            yield warning(place, "window-past-the-end",
                          f"the window of `{item.name}` may close {time_words(latest_s + within.seconds)} after the "
                          f"start, and the flight ends at {time_words(scenario.time_limit_s)} at the latest",
                          f"`{plan.name}` begins up to {time_words(latest_s)} after the start",
                          "raise the `time limit`, let the failure begin earlier, or make the window shorter")


def _takes_s(item: Item, scenario: Scenario) -> float | None:
    """Return how long the item's example takes, in seconds; None where there is none."""
    if item.do is None or item.example is None:
        return None
    actions = [each for each in read(item.example, scenario.context) if not isinstance(each, Unclear)]
    return sum(cost(each, scenario).seconds for each in actions) if actions else None


def _waits_for(item: Item, scenario: Scenario) -> Iterator[tuple[str, float]]:
    """Yield what the item has to wait for, with the earliest time of flight (s) at which it comes."""
    for name in _failures(item.when):
        plan = _plan(name, scenario)
        if plan is not None and plan.at_s is not None:
            yield f"`{name}` begins", plan.at_s
    if item.do is not None and item.do.pattern is not None and item.do.pattern.verb == "answer":
        lines = [event.after_s for event in scenario.events if any(isinstance(each, Say) for each in event.effects)]
        lines += [cue.after_s for phase in scenario.phases for cue in phase.cues
                  if any(isinstance(each, Say) for each in cue.effects)]
        lines += [0.0 for phase in scenario.phases if any(isinstance(each, Say) for each in phase.enter)]
        if lines:
            yield "the first line of ATC comes", min(lines)


def _behind(item: Item, scenario: Scenario) -> Iterator[tuple[str, float]]:
    """Yield what the items that have to come before this one wait for, as `_waits_for` does."""
    items: dict[str, Item] = {each.name: each for each in scenario.grade_sheet}
    seen, first = {item.name}, items.get(item.after or "")
    while first is not None and first.name not in seen:
        asked_s = _asked_s(first, scenario)
        if asked_s > 0.0 and may_both_apply(first, item, scenario):
            yield f"`{first.name}`, which has to come first, is asked for", asked_s
        seen.add(first.name)
        first = items.get(first.after or "")


def _asked_s(item: Item, scenario: Scenario) -> float:
    """Return the time of flight (s) before which the item asks for nothing."""
    times = [earliest_s for _, earliest_s in _waits_for(item, scenario)]
    if item.within is not None and item.within.of in ("failure", "evidence"):
        plan = _plan(item.within.name, scenario)
        times += [plan.at_s] if plan is not None and plan.at_s is not None else []
    return max([*times, _not_before_s(item.when)], default=0.0)


def _not_before_s(when: Condition | None) -> float:
    """Return the time of flight (s) before which a condition cannot hold, as far as its words tell."""
    match when:
        case Compare("time", ">" | ">=", seconds):
            return seconds
        case All(parts):
            return max(map(_not_before_s, parts), default=0.0)
        case AnyOf(parts):
            return min(map(_not_before_s, parts), default=0.0)
        case _:
            return 0.0


def _failures(when: Condition | None) -> list[str]:
    """Return the failures without which `when` cannot hold; one of several may do, then none is sure."""
    match when:
        case Fact("failed", name):
            return [name]
        case All(parts):
            return [name for part in parts for name in _failures(part)]
        case AnyOf(parts) if len(parts) == 1:
            return _failures(parts[0])
        case _:
            return []


def _begun_by_the_story(name: str, scenario: Scenario) -> bool:
    effects = [effect for event in scenario.events for effect in event.effects]
    for phase in scenario.phases:
        effects += [*phase.enter, *(each for cue in phase.cues for each in cue.effects),
                    *(each for branch in phase.branches for each in branch.effects)]
    return any(isinstance(each, Fail) and each.failure == name for each in effects)


def _wide(seconds: float) -> float:
    """Return a comfortable window for an act of so many seconds: three times, in whole half minutes."""
    return max(30.0, -(-3.0 * seconds // 30.0) * 30.0)
