"""What ATC asks is answered, put off or refused; what stays open is told and costs (AIM 4-2-3, 6-1-1, from memory)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.flight.events import Acted, Ended, Event, Heard
from drill.flight.labels import call_data
from drill.grading import Finding, grade
from drill.grading.answering import ITEM, questions
from drill.grading.situation import Situation
from drill.grading.timeline import timeline
from drill.language.meaning import Action, Call, Ident, Reply, Transmit

from .builders import flown, scenario

WHO = "Orrinfell Approach"
PREFIX = "Larkspur zero four whiskey, "


def asked(t: float, words: str, wants: str, *, to_us: bool = True) -> Heard:
    return Heard(t, WHO, PREFIX + words, to_us=to_us, wants=wants)


EMERGENCY = asked(300.0, "roger, copy vacuum system failure. Are you declaring an emergency?", "emergency")
RIDE = asked(500.0, "how is the ride at five thousand?", "anything")
FUEL = asked(600.0, "when able, say fuel remaining in time.", "fuel")
HEAR_ME = tuple(asked(t, "how do you hear me?", "reply") for t in (560.0, 600.0, 680.0))


def said(t: float, **meaning: object) -> tuple[float, Action]:
    return t, Transmit("…", Call(callsign="given", **meaning))  # type: ignore[arg-type]


def found(*heard: Heard, acts: tuple[tuple[float, Action], ...] = (), seconds: int = 1200) -> Finding | None:
    events: list[Event] = sorted([*flown(*acts, fails_at=None, seconds=seconds), *heard], key=lambda event: event.t)
    return next((each for each in grade(scenario(()), events, 1).findings if each.item == ITEM), None)


def score(*heard: Heard, acts: tuple[tuple[float, Action], ...] = (), seconds: int = 1200) -> float | None:
    finding = found(*heard, acts=acts, seconds=seconds)
    return None if finding is None else finding.score


def test_a_question_left_open_is_told_with_its_words_and_its_source() -> None:
    finding = found(EMERGENCY)
    assert finding is not None
    assert (finding.verdict, finding.part, finding.at_s, finding.score) == ("missed", "communicate", 300.0, 0.0)
    assert "“are you declaring an emergency?”" in finding.reason
    assert "AIM" in finding.source


@pytest.mark.parametrize("answer", [
    {"replies": (Reply("negative"),)}, {"replies": (Reply("standby"),)}, {"replies": (Reply("unable"),)}, {"souls": 2},
])
def test_any_call_answers_even_stand_by(answer: dict[str, object]) -> None:
    assert score(EMERGENCY, acts=(said(320.0, **answer),)) == 1.0


def test_an_ident_answers_who_is_only_asked_whether_he_hears() -> None:
    assert score(HEAR_ME[0], acts=((580.0, Ident()),)) == 1.0


@pytest.mark.parametrize(("t", "expected"), [(361.0, 1.0), (363.0, 0.0)])
def test_a_minute_is_enough_to_begin_an_answer(t: float, expected: float) -> None:
    # one minute, and half of it left open by a late answer, of one question: the author's choice
    assert score(EMERGENCY, acts=(said(t),)) == expected


def test_what_can_wait_until_able_has_five_minutes() -> None:
    assert score(FUEL, acts=(said(890.0),)) == 1.0
    assert score(FUEL, acts=(said(910.0),)) == 0.0


def test_one_open_question_of_four_costs_half_and_half_of_them_open_is_as_bad_as_all() -> None:
    four = (asked(100.0, "say intentions.", "intentions"), EMERGENCY, RIDE, asked(700.0, "say altitude.", "altitude"))
    assert score(*four, acts=(said(110.0), said(310.0), said(510.0))) == 0.5
    assert score(*four, acts=(said(110.0), said(310.0))) == 0.0


def test_what_is_asked_again_in_one_silence_is_one_question_and_runs_from_its_first() -> None:
    finding = found(RIDE, *HEAR_ME, acts=(said(690.0),))
    assert finding is not None
    assert finding.reason.startswith(
        "The one thing that ATC asked had no answer within 1 min: at 8:20 “how is the ride at five thousand?”")
    assert "put 4 times, answered after 3 min 9 s" in finding.reason


def test_a_question_that_was_answered_and_is_put_again_was_answered() -> None:
    again = asked(400.0, "are you declaring an emergency?", "emergency")
    assert score(EMERGENCY, again, acts=(said(320.0),)) == 1.0


def test_a_call_that_crossed_the_question_on_the_air_answers_it() -> None:
    assert score(EMERGENCY, acts=(said(299.0),)) == 1.0
    assert score(EMERGENCY, acts=(said(296.0),)) == 0.0


def test_a_question_that_the_record_hardly_outlasts_is_not_counted() -> None:
    assert found(EMERGENCY, seconds=350) is None


@pytest.mark.parametrize("heard", [
    asked(300.0, "turn left heading two four zero.", "turn"),
    asked(300.0, "climb and maintain five thousand.", "readback"),
    asked(300.0, "any heading at your discretion.", "given"), asked(300.0, "roger.", ""),
    asked(300.0, "say intentions.", "intentions", to_us=False),
])
def test_what_is_no_question_to_this_airplane_is_not_counted(heard: Heard) -> None:
    assert found(heard) is None


@pytest.mark.parametrize("words", [
    "Tallowby altimeter two niner eight six. Expect ILS runway two four approach.",
    "taxi to runway two seven via Alpha, hold short. Use the run-up area as you need it.",
])
def test_what_states_something_and_asks_nothing_is_no_question_though_atc_wants_to_know_it_heard(words: str) -> None:
    assert found(asked(300.0, words, "reply")) is None


def test_after_a_statement_the_question_whether_it_was_heard_is_the_first_question() -> None:
    finding = found(asked(300.0, "expect ILS runway two four approach.", "reply"), *HEAR_ME)
    assert finding is not None
    assert "at 9:20 “how do you hear me?”, put 3 times" in finding.reason


def test_the_sentence_that_asks_is_told_and_not_the_weather_behind_it() -> None:
    finding = found(asked(300.0, "reply not received, if you read, ident. Tallowby weather: Clear.", "reply"))
    assert finding is not None
    assert "“reply not received, if you read, ident”" in finding.reason


@given(st.lists(st.floats(0.0, 1100.0), max_size=6), st.lists(st.floats(0.0, 1200.0), max_size=6))
def test_another_call_never_leaves_more_open(put: list[float], calls: list[float]) -> None:
    heard = [asked(t, f"question {place}?", f"q{place}") for place, t in enumerate(sorted(put))]

    def left_open(*times: float) -> float:
        acts = [Acted(t, act.as_labels(), t, meaning=call_data(act.meaning)) for t, act in map(said_at, times)]
        line = timeline([*heard, *acts, Ended(1200.0, "clear", "safe", "")])
        return sum(each.open for each in questions(Situation(scenario(()), line, {})))

    some = sorted(calls)
    assert left_open(*some) <= left_open(*some[1:])


def said_at(t: float) -> tuple[float, Transmit]:
    return t, Transmit("…", Call(callsign="given"))


def test_everything_answered_is_done() -> None:
    finding = found(EMERGENCY, acts=(said(320.0),))
    assert finding is not None
    assert (finding.verdict, finding.weight) == ("done", "minor")
