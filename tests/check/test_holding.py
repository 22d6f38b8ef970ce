"""What can never hold and what always does is found by the words; nothing is called impossible that is not."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from check.fragments import WHOLE
from drill.check.holding import Holding, holding
from drill.scenario import load
from drill.scenario.conditions import All, AnyOf, Compare, Condition, Fact, Not, evaluate
from drill.scenario.model import Scenario
from drill.scenario.moment import Observation, StoryState
from drill.scenario.places import Text
from drill.scenario.problems import Place
from drill.scenario.reading import Reading
from drill.scenario.truth import PlainTruth
from drill.scenario.words import read_condition


@cache
def can() -> Holding:
    return holding(sound())


@cache
def sound() -> Scenario:
    return load(WHOLE)


def said(words: str) -> Condition:
    to = Reading(named={"minimum altitude": 3000.0})
    condition: Condition = read_condition(Text(words, Place()), to)
    assert to.problems == [], words
    return condition


@pytest.mark.parametrize(
    "words",
    [
        "true bank > 180 deg",
        "true bank < 0 deg",
        "course needle > 1",
        "true pitch > 91 deg",
        "time > 46 min",
        "shown heading > 360 deg",
        "fuel > 4 h",
        "distance to Wendle < 0 nm",
        "parked",
        "taxiing",
        "autopilot on",
        "suction < 0 inHg",
        "height < 0 ft",
    ],
)
def test_a_limit_outside_of_what_can_be_never_holds(words: str) -> None:
    assert not can().can(said(words))
    assert can().always(Not(said(words)))


@pytest.mark.parametrize(
    "words",
    [
        "true bank > 179 deg",
        "true bank <= 0 deg",
        "time >= 45 min",
        "in cloud",
        "did cover attitude indicator",
        "not in cloud",
        "true altitude < 100 ft",
        "true vertical speed < -2000 fpm",
        "planned divert Wendle",
        "failed pump",
        "in a spiral",
    ],
)
def test_what_a_flight_may_come_to_can_hold_and_need_not(words: str) -> None:
    assert can().can(said(words))
    assert not can().always(said(words))


@pytest.mark.parametrize(
    ("words", "possible"),
    [
        (("true altitude > 5000 ft", "true altitude < 5000 ft"), False),
        (("true altitude >= 5000 ft", "true altitude <= 5000 ft"), True),
        (("true altitude > 5000 ft", "true altitude <= 5000 ft"), False),
        (("in cloud", "not in cloud"), False),
        (("did report vacuum system here", "not did report vacuum system"), False),
        (("did report vacuum system", "not did report vacuum system here"), True),
        (("did report vacuum system", "not did diagnose vacuum system"), False),
        (("did report vacuum system", "not did diagnose attitude indicator"), True),
        (("did climb 3 times", "not did climb 2 times"), False),
        (("did climb 2 times", "not did climb 3 times"), True),
        (("did climb 3 times here", "not did climb"), False),
        (("did climb 3 times", "not did climb here"), True),
        (("did climb 3 times since failure pump", "not did climb twice"), False),
        (("did climb since failure pump", "not did climb"), False),
        (("did climb since failure pump", "not did climb here"), True),
        (("did climb here", "not did climb since failure pump"), True),
        (("did report vacuum system since failure pump", "not did diagnose vacuum system since failure pump"), False),
        (("did report vacuum system", "not did diagnose vacuum system since failure pump"), True),
        (("pitot heat on", "pitot heat off"), False),
        (("pitot heat on", "alternator off"), True),
        (("declared mayday", "not declared emergency"), False),
        (("declared pan-pan", "not declared mayday"), True),
        (("planned divert Wendle", "planned land"), False),
        (("planned divert Wendle", "planned divert"), True),
        (("distance to Wendle < 3 nm", "distance to Tallowby > 9 nm"), True),
        (("distance to Wendle < 3 nm", "distance to Wendle > 9 nm"), False),
    ],
)
def test_two_that_exclude_each_other_never_hold_together(words: tuple[str, str], possible: bool) -> None:
    parts = tuple(map(said, words))
    assert can().can(All(parts)) is possible
    assert can().always(AnyOf(tuple(Not(part) for part in parts))) is not possible


def test_the_narrower_follows_from_the_wider_and_not_the_other_way() -> None:
    narrow, wide = said("true bank > 60 deg"), said("true bank > 30 deg")
    assert can().follows(narrow, wide)
    assert not can().follows(wide, narrow)
    assert can().follows(All((narrow, said("in cloud"))), AnyOf((wide, said("declared mayday"))))


def test_of_very_many_cases_nothing_is_claimed() -> None:
    either = AnyOf(tuple(Fact("noted", str(each)) for each in range(8)))
    both = All(tuple(AnyOf((*either.parts, Fact("noted", f"own {each}"))) for each in range(8)))
    assert can().can(All((both, Not(both))))


_ATOMS = st.one_of(
    st.builds(
        Compare,
        st.sampled_from(["true bank", "true altitude"]),
        st.sampled_from(["<", "<=", ">", ">="]),
        st.sampled_from([0.0, 30.0, 60.0, 180.0]),
    ),
    st.builds(Fact, st.just("is"), st.sampled_from(["in cloud", "stalled"])),
)
_CONDITIONS = st.recursive(
    _ATOMS,
    lambda inner: st.one_of(
        st.builds(Not, inner),
        st.builds(All, st.lists(inner, min_size=1, max_size=3).map(tuple)),
        st.builds(AnyOf, st.lists(inner, min_size=1, max_size=3).map(tuple)),
    ),
    max_leaves=8,
)


@settings(max_examples=400, deadline=None)
@given(_CONDITIONS, st.floats(0, 180), st.floats(-100, 300), st.sets(st.sampled_from(["is in cloud", "is stalled"])))
def test_what_holds_at_some_moment_is_never_called_impossible(
    condition: Condition,
    bank: float,
    altitude: float,
    facts: set[str],
) -> None:
    seen = Observation(1.0, {"true bank": bank, "true altitude": altitude}, frozenset(facts))
    holds = evaluate(condition, PlainTruth(StoryState("cruise", 1.0, 0.0), seen))
    assert can().can(condition) or not holds
    assert holds or not can().always(condition)
