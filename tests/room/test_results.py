"""What a room learned: right and wrong by the truth of the moment, shifts, knowing, calls, certainty, what to keep."""

from __future__ import annotations

import dataclasses
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from room.described_evenings import (
    FULL_CALL,
    NAME_IT,
    NOT_VFR,
    ROOM_SHEET,
    SHORT_CALL,
    Poll,
    described,
    evening,
    flight,
    of,
    votes,
)
from room.evenings import any_evening

from drill.grading import grade
from drill.room.evening import fold
from drill.room.events import Event
from drill.room.handout import as_html, knowing_words
from drill.room.outcome import Results
from drill.room.results import results
from drill.room.totals import totals_csv

WELL = ((160.0, "I think the vacuum pump has failed"), (170.0, "cover the attitude indicator and go partial panel"),
        (200.0, f"tell approach {FULL_CALL}"), (140.0, "check the suction gauge"))
"""What a pilot does who loses nothing on the sheet; the pump dies at 2:00."""


@pytest.fixture(scope="module")
def whole() -> Results:
    """A whole evening with five polls, ten phones, two tables; in flight only the horizon is left, late."""
    return of(evening([
        Poll(60.0, votes=votes(a=2, d=8)),
        Poll(200.0, votes=votes(a=2, b=3, d=5), way="majority"),
        Poll(400.0, "what next", votes=votes(a=6, b=2, c=2), way="own", lines=("go partial panel",)),
        Poll(500.0, "what do you say", votes={"phone1": FULL_CALL, "phone2": SHORT_CALL}),
        Poll(700.0, votes={f"phone{i}": ("a" if i < 7 else "b", 4 if i % 2 else 1) for i in range(10)}),
    ], tables={"phone1": "North", "phone2": "South"}), flight((500.0, "cover the attitude indicator, partial panel")))


def test_before_anything_has_failed_nothing_is_wrong_is_right(whole: Results) -> None:
    assert [(each.says, each.standing) for each in whole.polls[0].answers] == [
        ("The vacuum pump", "wrong"), ("The pitot tube", "wrong"), ("The attitude indicator", "wrong"),
        ("Nothing is wrong", "right")]
    assert whole.polls[0].right_share == pytest.approx(0.8)


def test_after_the_pump_has_died_only_the_pump_is_right_and_the_horizon_nearly(whole: Results) -> None:
    assert [each.standing for each in whole.polls[1].answers] == ["right", "wrong", "nearly", "wrong"]
    assert whole.polls[1].right_share == pytest.approx(0.2)


def test_where_no_answer_goes_to_the_root_what_it_misleads_is_right_as_in_a_call() -> None:
    asked = Poll(300.0, votes=votes(a=1, b=2), answers=(("The attitude indicator", ""), ("The pitot tube", "")))
    assert [each.standing for each in of(evening([asked])).polls[0].answers] == ["right", "wrong"]


def test_while_nothing_shows_it_nothing_is_wrong_is_neither_right_nor_wrong() -> None:
    found = of(evening([Poll(122.0, votes=votes(a=1, b=1, d=2))])).polls[0]
    assert [each.standing for each in found.answers] == ["right", "wrong", "nearly", "before a cross-check"]
    assert found.right_share == pytest.approx(0.75)
    assert not found.could_be_known


def test_in_a_flight_without_a_failure_nothing_is_wrong_stays_right() -> None:
    found = of(evening([Poll(60.0, votes=votes(d=3)), Poll(600.0, votes=votes(a=3))]), flight(fails_at=None))
    assert [each.right_share for each in found.polls] == [1.0, 0.0]
    assert (found.knowing, found.failed) == ((), ())


def test_opinion_is_followed_phone_by_phone(whole: Results) -> None:
    first, second = whole.shifts
    assert (first.before, first.after, first.people) == ("p1", "p2", 10)
    assert (first.stayed_right, first.came_to_it, first.left_it, first.changed) == (0, 2, 8, 3)
    assert (second.before, second.after, second.stayed_right, second.came_to_it) == ("p2", "p5", 2, 5)


def test_raised_hands_count_beside_phones_but_nobody_is_followed_by_hands() -> None:
    found = of(evening([Poll(60.0, votes=votes(d=2), hands={"d": 6, "a": 2}), Poll(400.0, hands={"a": 9, "d": 1})]))
    assert [(each.answered, each.by_hands) for each in found.polls] == [(10, True), (10, True)]
    assert [each.right_share for each in found.polls] == pytest.approx([0.8, 0.9])
    assert (found.shifts, found.people) == ((), 2)
    assert found.knowing[0].room_poll == "p2"


def test_evidence_stands_beside_the_first_poll_in_which_most_named_it(whole: Results) -> None:
    (known,) = whole.knowing
    assert (known.part, known.began_s) == ("vacuum pump", 120.0)
    assert known.evidence_s is not None
    assert 120.0 < known.evidence_s < 180.0
    assert (known.room_s, known.room_poll) == (700.0, "p5")
    assert known.later_s == pytest.approx(700.0 - known.evidence_s)
    assert [t for t, _ in known.shares] == [200.0, 700.0]
    assert [share for _, share in known.shares] == pytest.approx([0.2, 0.7])


def test_half_is_not_most() -> None:
    found = of(evening([Poll(400.0, votes=votes(a=5, d=5))]))
    assert (found.knowing[0].room_s, found.knowing[0].room_poll, found.knowing[0].later_s) == (None, None, None)


def test_each_answer_tells_which_items_of_the_sheet_it_does_and_breaks(whole: Results) -> None:
    partial, cancel, wait = whole.polls[2].answers
    assert (partial.serves, partial.breaks) == (("Stop following the bad horizon",), ())
    assert (cancel.serves, cancel.breaks) == ((), (NOT_VFR.name,))
    assert (wait.serves, wait.breaks) == ((), ())


@pytest.mark.parametrize(("item", "share", "polls", "verdict"), [
    ("Stop following the bad horizon", 0.6, (3,), "done"),
    ("Name the failed part", 0.7, (2, 5), "missed"),      # not by the first poll: it had not failed then
    ("Do not give up the clearance in cloud", 0.8, (3,), "kept"),
    ("Tell ATC", 0.5, (4,), "missed"),                    # one of the two tables said all four
    ("Look at the suction gauge", None, (), "missed"),
])
def test_each_item_has_how_the_flight_went_and_what_share_of_the_room_chose_it(
    whole: Results, item: str, share: float | None, polls: tuple[int, ...], verdict: str,
) -> None:
    decided = next(each for each in whole.decisions if each.item == item)
    assert (decided.share, decided.polls, decided.verdict) == (
        share if share is None else pytest.approx(share), polls, verdict)


def test_who_names_what_the_root_misleads_has_not_done_the_item_where_the_root_could_be_named() -> None:
    answers = (("The vacuum pump", "diagnose vacuum pump"), ("The horizon alone", "diagnose attitude indicator"))
    found = of(evening([Poll(400.0, votes=votes(a=1, b=3), answers=answers)]))
    named = next(each for each in found.decisions if each.item == NAME_IT.name)
    assert named.share == pytest.approx(0.25)


def test_calls_are_marked_up_by_table_and_counted_by_element(whole: Results) -> None:
    north, south = whole.calls
    assert (north.table, north.elements, south.table, south.elements) == (
        "North", (True, True, True, True), "South", (True, True, False, False))
    assert south.heard.not_heard == ("how far that limits you", "what you want")
    assert [(each.element, each.said, each.of) for each in whole.elements] == [
        ("who you are", 2, 2), ("what failed", 2, 2), ("how far that limits you", 1, 2), ("what you want", 1, 2)]


def test_a_table_has_one_call_and_who_sits_at_none_has_his_own() -> None:
    said = Poll(300.0, "what do you say", votes={"1": SHORT_CALL, "2": FULL_CALL, "3": SHORT_CALL, "4": SHORT_CALL})
    found = of(evening([said], tables={"1": "North", "2": "North"}))
    assert [(each.table, all(each.elements)) for each in found.calls] == [("", False), ("", False), ("North", True)]


@pytest.mark.parametrize("kept_back", ["struck", "hidden", "removed"])
def test_words_that_were_struck_or_are_of_somebody_hidden_or_sent_out_are_not_in_the_results(kept_back: str) -> None:
    said = Poll(300.0, "what do you say", votes={"1": FULL_CALL, "2": "nonsense"},
                struck=("2",) if kept_back == "struck" else ())
    found = of(evening([said], hidden=["2"] if kept_back == "hidden" else [],
                       removed=["2"] if kept_back == "removed" else []))
    assert [each.heard.words for each in found.calls] == [FULL_CALL]


def test_a_closed_poll_keeps_the_votes_of_one_who_was_sent_out_later() -> None:
    found = of(evening([Poll(400.0, votes={"1": "a", "2": "d"})], removed=["2"]))
    assert (found.polls[0].answered, found.polls[0].right_share, found.people) == (2, 0.5, 2)


def test_certainty_is_told_against_being_right(whole: Results) -> None:
    assert [(each.level, each.answers, each.right) for each in whole.sureness] == [
        (1, 5, 4), (2, 0, 0), (3, 0, 0), (4, 5, 3)]


def test_how_sure_in_a_poll_of_its_own_counts_for_the_answer_before_it() -> None:
    found = of(evening([Poll(400.0, votes={"1": "a", "2": "b"}), Poll(410.0, "how sure", votes={"1": "a", "2": "d"})]))
    assert [(each.level, each.answers, each.right) for each in found.sureness] == [
        (1, 1, 1), (2, 0, 0), (3, 0, 0), (4, 1, 0)]


def test_where_nobody_says_how_sure_nothing_is_told_of_it() -> None:
    assert of(evening([Poll(400.0, votes=votes(a=4))])).sureness == ()


def test_the_points_are_what_the_room_lost_most_on_each_once_with_its_source(whole: Results) -> None:
    first, second, third = whole.take_home
    assert (first.title, first.source, first.well) == ("Name the failed part", "DOT/FAA/AM-02/19", False)
    assert "In the vote: 70 % of the room." in first.room
    assert "most of the room named it at 11:40" in first.room
    assert second.title == "Tell ATC"
    assert "what you want (1 of 2)" in second.room
    assert third.title == "Look at the suction gauge"


def test_a_room_that_did_well_is_told_what_it_did_well_with_the_critical_items_first() -> None:
    found = of(evening([
        Poll(60.0, votes=votes(d=9)), Poll(160.0, votes={f"phone{i}": ("a", 3) for i in range(9)}),
        Poll(200.0, "what do you say", votes={"phone1": FULL_CALL}),
    ]), flight(*WELL))
    assert [each.well for each in found.take_home] == [True, True, True]
    assert {each.title for each in found.take_home[:2]} == {"Stop following the bad horizon", "Name the failed part"}
    assert all(each.source for each in found.take_home)


def test_many_that_were_certain_and_wrong_are_a_point_of_their_own() -> None:
    found = of(evening([Poll(400.0, votes={**{f"w{i}": ("b", 4) for i in range(8)}, "r": ("a", 1)})]), flight(*WELL),
               sheet=[each for each in ROOM_SHEET if each is not NAME_IT])
    assert "Certain is not right" in {each.title for each in found.take_home}


def test_an_evening_without_a_poll_has_results_of_its_flight() -> None:
    found = of(evening([]), flight((500.0, "cover the attitude indicator")))
    assert (found.polls, found.shifts, found.calls, found.sureness, found.people) == ((), (), (), (), 0)
    assert found.decisions
    assert found.knowing[0].shares == ()


def test_every_field_of_the_results_is_described() -> None:
    from drill.room import outcome
    source = (outcome.__file__ or "")
    with open(source, encoding="utf-8") as file:  # noqa: PTH123 - the module's own source
        lines = [line.strip() for line in file]
    for kind in (each for each in vars(outcome).values() if dataclasses.is_dataclass(each)
                 and each.__module__ == outcome.__name__):
        for field in dataclasses.fields(kind):
            places = [at for at, line in enumerate(lines) if line.startswith(f"{field.name}: ")]
            assert places, field.name
            assert all(lines[at + 1].startswith('"""') for at in places), field.name


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.floats(1.0, 890.0), st.dictionaries(
    st.sampled_from([f"p{i}" for i in range(6)]), st.tuples(st.sampled_from("abcd"), st.integers(1, 4)), max_size=6),
    st.dictionaries(st.sampled_from("abcd"), st.integers(0, 40), max_size=4)), max_size=6))
def test_whatever_is_voted_every_vote_is_counted_once_and_shares_add_up(
    polls: list[tuple[float, dict[str, tuple[str, int]], dict[str, int]]],
) -> None:
    polls.sort(key=lambda each: each[0])
    held = evening([Poll(at, votes=dict(cast), hands=hands) for at, cast, hands in polls])
    found = results(held, SCENARIO, DEBRIEF)
    for poll, (_, cast, hands) in zip(found.polls, polls, strict=True):
        assert poll.answered == len(cast) + sum(hands.values())
        if poll.answered:
            assert sum(each.share or 0.0 for each in poll.answers) == pytest.approx(1.0)
            assert poll.right_share is not None
            assert 0.0 <= poll.right_share <= 1.0
    for shift in found.shifts:
        assert 0 <= shift.stayed_right + shift.came_to_it + shift.left_it <= shift.people
    assert sum(each.answers for each in found.sureness) <= sum(len(cast) for _, cast, _ in polls)
    assert len({each.title for each in found.take_home}) == len(found.take_home) <= 3


SCENARIO = described()
DEBRIEF = grade(SCENARIO, flight(), 1)




@settings(max_examples=25, deadline=None)
@given(any_evening())
def test_every_evening_that_can_be_has_results_a_handout_and_totals(events: list[Event]) -> None:
    found = results(fold(events), SCENARIO, DEBRIEF)
    assert len(found.polls) == sum(poll.closed for poll in fold(events).polls)
    page = as_html(found)
    assert page.count("<h1>") == 1
    assert len(totals_csv(found).splitlines()) > len(found.decisions)


ALONE = """
import sys
import drill.room.host, drill.room.papers, drill.room.saving, drill.room.headless
print([name for name in ("textual", "aiohttp", "segno") if name in sys.modules])
"""


@pytest.mark.long       # nearly the same is asked of the whole in tests/test_house.py
def test_host_results_and_papers_need_neither_screen_nor_server() -> None:
    done = subprocess.run([sys.executable, "-c", ALONE], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_that_nothing_could_have_told_a_failure_that_had_begun_is_never_said() -> None:
    held = evening([Poll(123.0, votes=votes(a=2, d=1))])
    (known,) = of(held, flight()).knowing
    page = as_html(of(held, flight()))
    assert "A careful cross-check in flight, one instrument after the other, could have known at 2:" in page
    assert "Who looks at a stopped panel may see it sooner." in page
    assert "nothing could have told" not in page.lower()
    unseen = knowing_words(dataclasses.replace(known, evidence_s=None))
    assert "No careful cross-check in flight would have told it for sure." in unseen
