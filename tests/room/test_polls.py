"""The polls of a scenario: the author's with what is left out, and the usual ones where none are written."""

from __future__ import annotations

from dataclasses import replace

import pytest
from room.evenings import asked
from scenario.documents import TEXT, changed, loaded

from drill.airplane.failures import CATALOGUE
from drill.flight.flight import Flight
from drill.language import read
from drill.language.meaning import Action, Diagnose, Unclear
from drill.room.polls import polls_of
from drill.room.usual_polls import first_name, suspected, suspects
from drill.scenario import Scenario, load, shipped
from drill.scenario.moment import Observation
from drill.scenario.onsets import failing_between

SHIPPED = sorted(shipped())


def without_polls(name: str) -> Scenario:
    """A shipped scenario as it would be without its author's polls."""
    return replace(load(shipped()[name]), polls=())


def _read(line: str, scenario: Scenario) -> list[Action]:
    return read(line, scenario.context) if line else []


def test_an_authors_polls_get_what_he_left_out() -> None:
    first, then, call, sure, covered = polls_of(asked())
    assert [each.id for each in (first, then, call, sure, covered)] == ["p1", "p2", "p3", "p4", "p5"]
    assert [(each.key, each.says) for each in first.answers] == [
        ("a", "The vacuum pump"), ("b", "The pitot tube"), ("c", "Nothing is wrong")]
    assert [(each.key, each.does) for each in then.answers] == [
        ("a", "cover the attitude indicator and go partial panel"), ("b", "")]
    assert call.answers == ()
    assert [each.key for each in sure.answers] == ["1", "2", "3", "4"]
    assert covered.answers[-1].says == "Nothing is wrong"
    assert len(covered.answers) > 3
    assert all(each.question for each in polls_of(asked()))
    assert [each.sure for each in polls_of(asked())] == [True, False, False, False, True]


def test_that_nothing_is_wrong_is_an_answer_once_and_the_last_however_it_is_written() -> None:
    text = f"""{TEXT}
polls:
  - poll: First look
    asks: what is wrong
    at: 1 min
    answers: [nothing is wrong, The pitot tube]
"""
    (poll,) = polls_of(loaded(text))
    assert [each.says for each in poll.answers] == ["The pitot tube", "Nothing is wrong"]
    assert read(poll.answers[-1].does, loaded(text).context) == [Diagnose(())]


def test_a_poll_is_due_from_its_time_on_and_once_its_condition_holds() -> None:
    *_, covered = polls_of(asked())
    flight, _ = Flight.start(asked(), 3, by="room")

    def due(t_s: float) -> bool:
        return covered.due(flight.state.story, Observation(t_s, {}, frozenset()))

    assert not due(90.0)
    flight.enter("cover the attitude indicator")
    flight.advance(10.0)
    assert [due(89.0), due(90.0), due(91.0)] == [False, True, True]


@pytest.mark.parametrize("name", SHIPPED)
def test_what_ships_has_five_polls_that_fit_the_plan_and_ask_for_more_than_one_thing(name: str) -> None:
    polls = polls_of(load(shipped()[name]))
    assert len(polls) == 5
    assert {each.kind for each in polls} == {"what is wrong", "what next", "what do you say"}
    assert sum(each.kind == "what is wrong" for each in polls) == 2
    assert all(each.discuss for each in polls)
    assert all(each.at_s is not None and each.at_s < 25 * 60.0 for each in polls)    # at the pace of a clock


@pytest.mark.parametrize("name", SHIPPED)
def test_without_an_author_there_are_five_polls_the_first_before_anything_can_fail(name: str) -> None:
    scenario = without_polls(name)
    polls = polls_of(scenario)
    moments = [each.at_s for each in polls]
    assert len(polls) == 5
    assert moments == sorted(moments, key=lambda at: at or 0.0)
    assert len(set(moments)) == 5
    first_s, _ = failing_between(scenario)
    assert polls[0].kind == "what is wrong"
    assert polls[0].at_s is not None
    assert first_s is not None
    assert polls[0].at_s < first_s or first_s == polls[0].at_s == 0.0
    assert {each.kind for each in polls} == {"what is wrong", "what next", "what do you say"}


@pytest.mark.parametrize("name", SHIPPED)
def test_the_usual_answers_can_be_done_and_name_what_fails_among_other_systems(name: str) -> None:
    scenario = without_polls(name)
    for poll in polls_of(scenario):
        for answer in poll.answers:
            assert len(answer.says) <= 60
            assert not any(isinstance(each, Unclear) for each in _read(answer.does, scenario)), answer
    named = [read(does, scenario.context)[0] for _, does in suspects(scenario)]
    failed = {name for each in named if isinstance(each, Diagnose) for name in each.failed}
    for plan in scenario.failures:
        assert any(names <= failed for names in CATALOGUE[plan.part, plan.how].named_right_as)
    mine = {CATALOGUE[plan.part, plan.how].power_group for plan in scenario.failures}
    assert len(named) == 5 or len(named) >= len({plan.part for plan in scenario.failures})
    others = {first_name(*key): failure.power_group for key, failure in CATALOGUE.items()}
    assert sum(others.get(each) not in mine for each in failed) >= 2


def test_what_is_suspected_is_read_as_just_that_for_every_failure_that_there_is() -> None:
    context = loaded().context
    for part, how in CATALOGUE:
        name = first_name(part, how)
        if name:
            _, does = suspected(name)
            assert read(does, context) == [Diagnose((name,))], does


def test_where_something_may_fail_at_once_the_first_look_is_at_the_first_moment() -> None:
    polls = polls_of(loaded(changed(("at: 4 min, spread: 12 min", "at: 0 s"))))
    assert polls[0].at_s == 0.0
