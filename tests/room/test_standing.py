"""The plan of an evening against the clock."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from room.evenings import ANSWERS, OPENED

from drill.room.evening import Evening, fold
from drill.room.events import Ended, Event, Planned, PollClosed, PollOpened, Stage
from drill.room.plan import Plan
from drill.room.standing import running_part, standing

SEVEN = datetime(2026, 11, 26, 19, 0, tzinfo=UTC)


def at(minutes: float) -> str:
    return (SEVEN + timedelta(minutes=minutes)).isoformat(timespec="milliseconds")


def evening(*events: Event) -> Evening:
    return fold([OPENED, *events])


BRIEFED = (Stage("brief", 0.0, at=at(10)),)
FLYING = (*BRIEFED, Stage("fly", 0.0, at=at(14)))


def test_nothing_runs_before_the_briefing_and_after_the_end() -> None:
    for each in (evening(), evening(Ended(at=at(1)))):
        assert standing(each, SEVEN).now is None
        assert running_part(each) is None
        assert standing(each, SEVEN).words == ""


def test_each_part_is_counted_from_when_it_began_not_from_when_people_came_in() -> None:
    stands = standing(evening(*BRIEFED), SEVEN + timedelta(minutes=13))
    assert (stands.now, stands.parts[0].spent_s, stands.parts[0].left_s) == ("brief", 180.0, 120.0)
    assert [each.state for each in stands.parts] == ["now", "to come", "to come"]
    assert stands.late_s == 0.0


def test_polls_and_talk_are_part_of_the_flight_and_share_what_is_left_of_it() -> None:
    opened = PollOpened("p1", "what is wrong", "What?", ANSWERS, 60.0, 0.0, at=at(20))
    stands = standing(evening(*FLYING, opened, PollClosed("p1", at=at(21))), SEVEN + timedelta(minutes=23))
    assert (stands.now, stands.parts[1].spent_s, stands.polls_left) == ("flight", 540.0, 4)
    assert stands.words == "16 minutes and 4 polls left, about 4 minutes for each."
    assert stands.plan_words == "brief 5 min, flight 25 min: 16 left, debrief 15 min"
    assert stands.parts[0].state == "done"
    assert stands.parts[0].spent_s == 240.0


def test_an_own_question_is_none_of_the_polls_that_are_planned() -> None:
    own = (PollOpened("o1", "what next", "What?", ANSWERS, 60.0, 0.0, at=at(20)), PollClosed("o1", at=at(21)))
    assert standing(evening(*FLYING, *own), SEVEN + timedelta(minutes=23)).polls_left == 5


def test_a_part_that_takes_longer_is_said_and_makes_the_evening_late() -> None:
    stands = standing(evening(*FLYING), SEVEN + timedelta(minutes=42))
    assert stands.late_s == 180.0
    assert stands.words == "3 minutes over the time for the flight. Go on, or give it more minutes."
    assert "flight 25 min: 3 over" in stands.plan_words


def test_more_minutes_move_the_end_of_the_part_that_runs() -> None:
    longer = evening(*FLYING, Planned(Plan().longer("flight", 10), at=at(30)))
    assert standing(longer, SEVEN + timedelta(minutes=42)).late_s == 0.0
    assert Plan().longer("brief", -90).brief_min == 1.0


def test_parts_that_begin_in_the_same_millisecond_do_not_both_run() -> None:
    at_once = evening(Stage("brief", 0.0, at=at(10)), Stage("fly", 0.0, at=at(10)), Stage("debrief", 9.0, at=at(10)))
    stands = standing(at_once, SEVEN + timedelta(minutes=12))
    assert [each.state for each in stands.parts] == ["done", "done", "now"]
    assert stands.now == "debrief"
    assert [each.spent_s for each in stands.parts] == [0.0, 0.0, 120.0]


def test_a_part_is_done_when_the_next_begins() -> None:
    stands = standing(evening(*FLYING, Stage("debrief", 600.0, at=at(50))), SEVEN + timedelta(minutes=55))
    assert [each.state for each in stands.parts] == ["done", "done", "now"]
    assert stands.parts[1].spent_s == 36 * 60.0
    assert stands.late_s == 11 * 60.0
