"""An evening is the fold of its events: who counts, what can follow what, and what a record makes of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from room.evenings import ANSWERS, AT, OPENED, any_evening, vote

from drill.room.evening import (
    STAGES_AFTER,
    Evening,
    OutOfPlace,
    apply,
    counts,
    fold,
    leaders,
    votes,
    with_votes,
)
from drill.room.events import (
    STAGES,
    Chose,
    Ended,
    Event,
    Hands,
    Joined,
    PollClosed,
    PollOpened,
    Removed,
    Renamed,
    Shown,
    Stage,
    Struck,
    Voted,
    data_of,
    event_from,
)

POLL = PollOpened("p1", "what is wrong", "What is wrong?", ANSWERS, 60.0, 0.0, "First look", True)
WORDS = PollOpened("p2", "what do you say", "What do you say?", (), 90.0, 60.0)


def evening(*events: Event) -> Evening:
    return fold([OPENED, *events])


IN = (Joined("one", "Ada", "1"), Joined("two", "Ben", ""), Joined("three", "Cleo", "1"))
OPEN = (*IN, Stage("brief", 0.0), Stage("fly", 0.0), POLL)


@settings(max_examples=60, deadline=None)
@given(any_evening())
def test_an_event_read_back_from_its_line_is_the_event_and_the_evening_the_same(events: list[Event]) -> None:
    again = [event_from(data_of(event, n)) for n, event in enumerate(events, 1)]
    assert again == events
    assert fold(again) == fold(events)
    assert fold(events).n == len(events)


@settings(max_examples=60, deadline=None)
@given(any_evening())
def test_each_phone_counts_once_in_each_poll_but_who_is_sent_out_before_it_closes(events: list[Event]) -> None:
    after = fold(events)
    for held in after.polls:
        closed = next((n for n, each in enumerate(events, 1) if isinstance(each, PollClosed) and each.poll == held.id),
                      len(events))
        there = {each.phone for each in fold(events[:closed]).present}
        said = {each.phone: each for each in events if isinstance(each, Voted) and each.poll == held.id}
        assert set(votes(after, held)) == set(said) & there
        assert all(vote.answer == said[phone].answer for phone, vote in votes(after, held).items())
        by_phone = 0 if held.kind == "what do you say" else len(votes(after, held))
        assert sum(counts(after, held).values()) == by_phone + sum(held.hands.values())


@pytest.mark.parametrize("late", [False, True])
def test_a_closed_poll_stays_as_the_room_saw_it_whoever_is_sent_out_and_an_open_one_does_not(late: bool) -> None:
    cast = (*OPEN, Voted("p1", "one", "a"))
    gone, closed = Removed("one"), PollClosed("p1")
    after = evening(*cast, *((closed, gone) if late else (gone, closed)))
    held = after.polls[0]
    assert counts(after, held)["a"] == int(late)
    assert [each.key for each in leaders(after, held)] == (["a"] if late else [])
    assert held.of == len(after.present) + int(late)


@settings(max_examples=50, deadline=None)
@given(any_evening(), st.data())
def test_votes_counted_together_are_the_votes_counted_one_by_one(events: list[Event], data: st.DataObject) -> None:
    before = fold(events)
    held, there = before.open_poll, [each.phone for each in before.present]
    if held is not None and there:
        phones = data.draw(st.lists(st.sampled_from(there), min_size=1, max_size=8))
        cast = [replace(data.draw(st.composite(vote)(held, phone)), at=AT) for phone in phones]
        assert with_votes(before, cast) == fold([*events, *cast])


@settings(max_examples=50, deadline=None)
@given(any_evening())
def test_stages_follow_one_another_as_the_table_says_and_nothing_follows_the_end(events: list[Event]) -> None:
    now = Evening()
    for event in events:
        before, now = now.stage, apply(now, event)
        assert now.stage == before or now.stage in STAGES_AFTER[before]
        assert (now.stage == "poll") is (now.open_poll is not None)
    if now.stage == "over":
        with pytest.raises(OutOfPlace):
            apply(now, Joined("late", "Dan", ""))


def test_every_stage_can_be_come_to_and_only_the_last_is_left_by_none() -> None:
    reached, open_ = {"lobby"}, ["lobby"]
    while open_:
        for each in STAGES_AFTER[open_.pop()]:  # type: ignore[index]
            if each not in reached:
                reached.add(each)
                open_.append(each)
    assert reached == set(STAGES) == set(STAGES_AFTER)
    assert [stage for stage, after in STAGES_AFTER.items() if not after] == ["over"]


NOT_POSSIBLE: Sequence[tuple[str, tuple[Event, ...], Event]] = (
    ("a second opening", (), OPENED),
    ("the same phone twice", IN, Joined("one", "Ada again", "")),
    ("a vote of a phone that has not joined", OPEN, Voted("p1", "four", "a")),
    ("a vote of one who was sent out", (*OPEN, Removed("one")), Voted("p1", "one", "a")),
    ("a vote in another poll", OPEN, Voted("p2", "one", "a")),
    ("a vote in a closed poll", (*OPEN, PollClosed("p1")), Voted("p1", "one", "a")),
    ("a vote for no answer of it", OPEN, Voted("p1", "one", "z")),
    ("words where an answer is asked for", OPEN, Voted("p1", "one", "a", "words")),
    ("surer than certain", OPEN, Voted("p1", "one", "a", "", 5)),
    ("an answer where words are asked for", (*OPEN, PollClosed("p1"), WORDS), Voted("p2", "one", "a", "words")),
    ("how sure where it is not asked", (*OPEN, PollClosed("p1"), WORDS), Voted("p2", "one", "", "words", 1)),
    ("a poll while one is open", OPEN, WORDS),
    ("the same poll again", (*OPEN, PollClosed("p1")), POLL),
    ("two answers of one key", (*IN, Stage("fly", 0.0)), replace(POLL, answers=(ANSWERS[0], ANSWERS[0]))),
    ("a poll without answers", (*IN, Stage("fly", 0.0)), replace(POLL, answers=())),
    ("flying on while a poll is open", OPEN, Stage("fly", 60.0)),
    ("the debrief while a poll is open", OPEN, Stage("debrief", 60.0)),
    ("counts shown of an open poll", OPEN, Shown("p1")),
    ("a poll closed twice", (*OPEN, PollClosed("p1")), PollClosed("p1")),
    ("hands for no answer of it", OPEN, Hands("p1", {"z": 1})),
    ("fewer hands than none", OPEN, Hands("p1", {"a": -1})),
    ("two ways after one poll", (*OPEN, PollClosed("p1"), Chose("p1", "sheet", ())), Chose("p1", "sheet", ())),
    ("a way while the poll is open", OPEN, Chose("p1", "sheet", ())),
    ("words struck of one who said none", OPEN, Struck("p1", "two")),
    ("flying in the debrief", (*IN, Stage("brief", 0.0), Stage("debrief", 0.0)), Stage("fly", 0.0)),
    ("anything after the end", (Ended(),), Joined("one", "Ada", "")),
)


@pytest.mark.parametrize(
    ("before", "event"), [each[1:] for each in NOT_POSSIBLE], ids=[each[0] for each in NOT_POSSIBLE])
def test_what_cannot_be_is_refused_in_words(before: tuple[Event, ...], event: Event) -> None:
    with pytest.raises(OutOfPlace, match=r"\w+ \w+"):
        apply(evening(*before), event)


def test_a_later_vote_of_a_phone_replaces_its_earlier_one_until_the_poll_is_closed() -> None:
    held = evening(*OPEN, Voted("p1", "one", "a", "", 1), Voted("p1", "two", "a"), Voted("p1", "one", "b", "", 4)).poll
    assert held is not None
    said = {phone: (vote.answer, vote.sure) for phone, vote in held.votes.items()}
    assert said == {"one": ("b", 4), "two": ("a", None)}


def test_raised_hands_count_beside_phones_and_a_later_count_replaces_an_earlier_one() -> None:
    after = evening(*OPEN, Voted("p1", "one", "b"), Hands("p1", {"a": 7}), Hands("p1", {"a": 2, "b": 1}))
    assert after.poll is not None
    assert counts(after, after.poll) == {"a": 2, "b": 2, "c": 0}
    assert [each.key for each in leaders(after, after.poll)] == ["a", "b"]


def test_without_a_vote_no_answer_leads() -> None:
    after = evening(*OPEN)
    assert after.poll is not None
    assert leaders(after, after.poll) == ()


def test_a_chosen_way_gives_the_flight_its_lines_at_the_moment_of_the_poll() -> None:
    after = evening(*OPEN, PollClosed("p1"), replace(Chose("p1", "own", ("turn left", "climb")), at=AT))
    assert [(each.line, each.t_s) for each in after.entered] == [("turn left", 60.0), ("climb", 60.0)]


def test_a_new_name_leaves_the_votes_and_the_place_in_the_list() -> None:
    after = evening(*OPEN, Voted("p1", "two", "c"), Renamed("two", "Benno", "2", "facilitator"))
    assert after.people["two"].name == "Benno"
    assert after.people["two"].place == 2
    assert after.poll is not None
    assert counts(after, after.poll)["c"] == 1
