"""Polls of a room that come too late to be fair, or that say themselves what has failed."""

from __future__ import annotations

from collections.abc import Iterator

from drill.airplane.failures import CATALOGUE
from drill.check.lints.giving_away import telling_text
from drill.check.rules import warning
from drill.check.standing import value_at, word_at
from drill.language import read
from drill.language.meaning import Diagnose
from drill.scenario.conditions import All, AnyOf, Compare, Condition, Fact, Not
from drill.scenario.model import Scenario
from drill.scenario.onsets import failing_between
from drill.scenario.places import Node
from drill.scenario.poll import Poll, PollAnswer
from drill.scenario.problems import Problem

_OF_CONTROL = ("true bank", "true pitch", "true airspeed", "true turn rate", "load factor")
_OUT_OF_CONTROL = ("stalled", "in a spiral", "broken")


def check_polls(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each poll that gives a failure away, and one if all come when something may have failed."""
    found = [*_too_late(scenario, tree), *_after_the_end(scenario, tree)]
    for number, poll in enumerate(scenario.polls):
        found += [*_by_its_moment(poll, number, tree), *_by_its_words(scenario, poll, number, tree),
                  *_by_its_answers(scenario, poll, number, tree)]
    return found


def _too_late(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    first_s, _ = failing_between(scenario)
    if not scenario.polls or first_s is None:
        return
    if not any(poll.asks == "what is wrong" and poll.when is None and poll.at_s is not None
               and (poll.at_s < first_s or poll.at_s == 0.0) for poll in scenario.polls):
        yield warning(value_at(tree, "polls", 0), "no-poll-before-failure",
                      "the room is not asked what is wrong before anything can have failed",
                      f"the first failure can begin at {first_s:g} s",
                      f"ask `what is wrong` once `at` an earlier time, without `when`, or at 0 s{_if_at_once(first_s)}")


def _after_the_end(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    """Yield a warning for each poll that no room comes to; a pilot who flies alone has no use for it when loading."""
    for number, poll in enumerate(scenario.polls):
        if poll.at_s is not None and poll.at_s >= scenario.time_limit_s:
            yield Problem(value_at(tree, "polls", number, "at"), "after-the-time-limit",
                          f"poll `{poll.name}` is due at {poll.at_s / 60.0:g} min",
                          f"the flight ends at {scenario.time_limit_s / 60.0:g} min at the latest",
                          "ask it earlier, or raise the `time limit`", "warning")


def _if_at_once(first_s: float) -> str:
    return "" if first_s > 0.0 else ", the first moment that there is"


def _by_its_moment(poll: Poll, number: int, tree: Node) -> Iterator[Problem]:
    tells = "" if poll.when is None else _tells(poll.when)
    if tells:
        yield warning(value_at(tree, "polls", number, "when"), "poll-gives-away",
                      f"poll `{poll.name}` comes when {tells}", "the room knows it by the stop alone",
                      "let it come at a time, or by what the room has done or the panel shows")


def _tells(condition: Condition) -> str:
    """Return what of the truth a condition hangs on, in words; "" if a room may know all of it."""
    match condition:
        case All(parts) | AnyOf(parts):
            return next((said for each in parts if (said := _tells(each))), "")
        case Not(part):
            return _tells(part)
        case Fact("failed", of):
            return f"`{of}` has failed"
        case Fact("is", of) if of in _OUT_OF_CONTROL:
            return f"the airplane is {of}"
        case Compare(quantity=quantity) if quantity in _OF_CONTROL:
            return f"the {quantity} is beyond a limit"
        case _:
            return ""


def _by_its_words(scenario: Scenario, poll: Poll, number: int, tree: Node) -> Iterator[Problem]:
    said, word = telling_text(poll.question, scenario)
    if said:
        place = value_at(tree, "polls", number, "question")
        yield warning(word_at(scenario.text, place, word), "poll-gives-away",
                      f"the question of poll `{poll.name}` speaks of {said}", "what has failed is for the room to find",
                      "ask in words that fit a flight in which nothing fails")


def _by_its_answers(scenario: Scenario, poll: Poll, number: int, tree: Node) -> Iterator[Problem]:
    if poll.asks != "what is wrong" or not poll.answers:
        return
    right = [names for plan in scenario.failures
             for names in (*CATALOGUE[plan.part, plan.how].named_right_as, *CATALOGUE[plan.part, plan.how].also_right)]
    named = [names for each in poll.answers if (names := _named(each, scenario))]
    if named and all(any(names <= each or each <= names for names in right) for each in named):
        yield warning(value_at(tree, "polls", number, "answers"), "poll-gives-away",
                      f"every part among the answers of poll `{poll.name}` is one that fails here",
                      "that leaves nothing to find out", "add parts that do not fail in this flight")


def _named(answer: PollAnswer, scenario: Scenario) -> frozenset[str]:
    """Return what an answer says has failed; nothing for one that names no part."""
    actions = read(answer.does or f"I think {answer.says} has failed", scenario.context)
    return frozenset(name for each in actions if isinstance(each, Diagnose) for name in each.failed)
