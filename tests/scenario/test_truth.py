"""One condition, three kinds of truth: they agree wherever they can be compared."""

from __future__ import annotations

from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.scenario.acts import ActPattern
from drill.scenario.conditions import All, AnyOf, Compare, Condition, Did, Fact, Not, evaluate
from drill.scenario.moment import Observation, StoryState
from drill.scenario.truth import ArrayTruth, MayTruth, PlainTruth

ACTS = (ActPattern("cover", "altimeter"), ActPattern("climb"))
DONE = tuple(Did(act, here, times, since) for act in ACTS for times in (1, 3)
             for here, since in ((False, ""), (True, ""), (False, "pump")))
FACTS = (Fact("is", "in cloud"), Fact("covered", "altimeter"), Fact("flying by", "partial_panel"),
         Fact("on", "pitot_heat"))
KEYS = ("true bank", "height", "suction")

_leaf = st.one_of(
    st.sampled_from(FACTS),
    st.sampled_from(DONE),
    st.builds(Compare, st.sampled_from(KEYS), st.sampled_from(["<", "<=", ">", ">="]), st.integers(-3, 3).map(float)),
)
conditions: st.SearchStrategy[Condition] = st.recursive(
    _leaf,
    lambda inner: st.one_of(
        st.builds(All, st.lists(inner, max_size=3).map(tuple)),
        st.builds(AnyOf, st.lists(inner, max_size=3).map(tuple)),
        st.builds(Not, inner),
    ),
    max_leaves=8,
)
_values = st.fixed_dictionaries({key: st.integers(-4, 4).map(float) for key in KEYS})
_worlds = st.tuples(
    _values,
    st.sets(st.sampled_from([f"{fact.kind} {fact.of}" for fact in FACTS])),
    st.sets(st.sampled_from([act.key for act in DONE])),
    st.sets(st.sampled_from([act.key for act in DONE])),
)


def plain(condition: Condition, world: Any) -> bool:
    values, facts, acts, here = world
    state = StoryState("p", 0.0, 0.0, did=frozenset(acts), did_here=frozenset(here))
    return bool(evaluate(condition, PlainTruth(state, Observation(0.0, values, frozenset(facts)))))


@settings(max_examples=200)
@given(conditions, st.lists(_worlds, min_size=1, max_size=5))
def test_many_flights_at_once_are_judged_like_one_at_a_time(condition: Condition, worlds: list[Any]) -> None:
    def column(part: int, names: list[str]) -> dict[str, Any]:
        return {name: np.array([name in world[part] for world in worlds]) for name in names}

    truth = ArrayTruth(
        len(worlds),
        {key: np.array([world[0][key] for world in worlds]) for key in KEYS},
        column(1, [f"{fact.kind} {fact.of}" for fact in FACTS]),
        column(2, list({act.key for act in DONE})),
        column(3, list({act.key for act in DONE})),
    )
    assert list(evaluate(condition, truth)) == [plain(condition, world) for world in worlds]


@settings(max_examples=200)
@given(conditions, st.lists(_worlds, min_size=1, max_size=4))
def test_what_may_be_is_never_wrong_when_it_is_sure(condition: Condition, worlds: list[Any]) -> None:
    """The may-be world is the hull of some plain worlds: a sure answer holds in each, and both answers mean unknown."""

    def over(part: int, names: list[str]) -> dict[str, bool | None]:
        found: dict[str, bool | None] = {}
        for name in names:
            held = {name in world[part] for world in worlds}
            found[name] = held.pop() if len(held) == 1 else None
        return found

    truth = MayTruth(
        {key: (min(w[0][key] for w in worlds), max(w[0][key] for w in worlds)) for key in KEYS},
        over(1, [f"{fact.kind} {fact.of}" for fact in FACTS]),
        over(2, list({act.key for act in DONE})),
        over(3, list({act.key for act in DONE})),
    )
    sure, each = evaluate(condition, truth), {plain(condition, world) for world in worlds}
    assert sure is None or each == {sure}
    if len(each) == 2:
        assert sure is None
    if len(worlds) == 1:
        assert sure is each.pop()


def test_what_is_not_given_is_unknown() -> None:
    assert evaluate(Fact("is", "in cloud"), MayTruth()) is None
    assert evaluate(Compare("height", "<", 3.0), MayTruth()) is None
    assert evaluate(Not(Fact("is", "in cloud")), MayTruth()) is None
    assert evaluate(AnyOf((Fact("is", "in cloud"), All(()))), MayTruth()) is True
    assert evaluate(All((Fact("is", "in cloud"), AnyOf(()))), MayTruth()) is False
