"""The vocabulary `polls`: what is read of it, and what is wrong with it told at its place."""

from __future__ import annotations

import pytest

from drill.scenario.conditions import Did
from scenario.documents import TEXT, loaded, problems


def with_polls(polls: str) -> str:
    return f"{TEXT}\npolls:\n{polls}"


WHOLE = """  - poll: How is the panel?
    asks: what is wrong
    at: 2 min 30 s
    when: did cover attitude indicator
    question: Which part, if any, has failed?
    answers:
      - {says: The vacuum pump, does: diagnose vacuum pump}
      - Pitot tube
    discuss: [Which two instruments disagree?, What do they share?]
  - {poll: Call, asks: What Do You Say, at: 5 min}
"""


def test_a_poll_is_read_with_all_that_it_can_have() -> None:
    first, call = loaded(with_polls(WHOLE)).polls
    assert (first.name, first.asks, first.at_s, first.question) == (
        "How is the panel?", "what is wrong", 150.0, "Which part, if any, has failed?")
    assert isinstance(first.when, Did)
    assert [(each.says, each.does) for each in first.answers] == [
        ("The vacuum pump", "diagnose vacuum pump"), ("Pitot tube", "")]
    assert first.discuss == ("Which two instruments disagree?", "What do they share?")
    assert (call.asks, call.answers, call.question, call.when) == ("what do you say", (), "", None)


def test_a_scenario_without_polls_has_none_written() -> None:
    assert loaded().polls == ()


WRONG = (
    ("no moment", "  - {poll: A, asks: how sure}\n", "missing-key", "the flight never stops for this poll"),
    ("no name", "  - {asks: how sure, at: 1 min}\n", "missing-key", "`poll` is missing"),
    ("no kind", "  - {poll: A, at: 1 min}\n", "missing-key", "`asks` is missing"),
    ("an unknown kind", "  - {poll: A, asks: what for, at: 1 min}\n", "unknown-choice", "what for"),
    ("a time without its unit", "  - {poll: A, asks: how sure, at: 5}\n", "unit-missing", "5"),
    ("answers to a call", "  - {poll: A, asks: what do you say, at: 1 min, answers: [Mayday]}\n", "at-odds", "own"),
    ("answers to how sure", "  - {poll: A, asks: how sure, at: 1 min, answers: [Very]}\n", "at-odds", "1 to 4"),
    ("one way only", "  - {poll: A, asks: what next, at: 1 min, answers: [Land]}\n", "out-of-range", "1 of them"),
    ("too many to read", "  - {poll: A, asks: what next, at: 1 min, answers: [A, B, C, D, E, F, G, H]}\n",
     "out-of-range", "8 of them"),
    ("no answers in the list", "  - {poll: A, asks: what next, at: 1 min, answers: []}\n", "empty-value", "answers"),
    ("an unknown key", "  - {poll: A, asks: how sure, at: 1 min, anser: [A]}\n", "unknown-key", "anser"),
    ("two of one name", "  - {poll: A, asks: how sure, at: 1 min}\n  - {poll: a, asks: how sure, at: 2 min}\n",
     "duplicate-poll", "line"),
    ("two answers alike", "  - {poll: A, asks: what next, at: 1 min, answers: [Land, land]}\n", "duplicate-poll", "la"),
    ("a failure that is not there", "  - {poll: A, asks: how sure, when: failed propeller}\n", "unknown-failure", ""),
    ("an answer that does nothing",
     "  - {poll: A, asks: what next, at: 1 min, answers: [{says: A, does: hope for the best}, B]}\n",
     "answer-does-nothing", "hope for the best"),
    ("an answer too long for the wall",
     f"  - {{poll: A, asks: what next, at: 1 min, answers: [{'x' * 61}, B]}}\n", "too-long", "61"),
)


@pytest.mark.parametrize(("polls", "rule", "words"), [each[1:] for each in WRONG], ids=[each[0] for each in WRONG])
def test_what_is_wrong_with_a_poll_is_told_at_its_place(polls: str, rule: str, words: str) -> None:
    found = problems(with_polls(polls))
    assert [each.rule for each in found] == [rule]
    assert words in str(found[0])
    assert found[0].place.line > TEXT.count("\n")
    assert found[0].remedy
