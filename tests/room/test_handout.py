"""The handout as text: what stands on it, that nobody is named unless asked for, and that no text becomes markup."""

from __future__ import annotations

import os
import re
import stat
from dataclasses import replace
from html import unescape
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from paper.papers import spoiled
from room.described_evenings import FULL_CALL, SHORT_CALL, Poll, evening, flight, hostile, of, votes

from drill.cautions import CAUTIONS, NOTHING_LOGGED
from drill.room.fitted import elided, width
from drill.room.handout import as_html, shift_words
from drill.room.outcome import DoneThen, Results
from drill.room.papers import write_attendance, write_papers

HOSTILE = "</title><script>alert(1)</script>\"'><img src=x onerror=alert(1)>\x1b[31m\u202e{{ 7 * 7 }}"


@pytest.fixture(scope="module")
def whole() -> Results:
    """Results with something in every part of the page."""
    return of(evening([
        Poll(60.0, votes={f"phone{i}": ("d", 2) for i in range(8)}),
        Poll(300.0, votes={f"phone{i}": ("a" if i < 5 else "d", 4) for i in range(8)}, way="majority",
             lines=("diagnose vacuum pump",)),
        Poll(400.0, "what next", votes=votes(a=6, b=2)),
        Poll(500.0, "what do you say", votes={"phone1": FULL_CALL, "phone2": SHORT_CALL}),
    ], tables={"phone1": "The Owls", "phone2": "Table of Ada"}, names={"phone0": "Ada of Wendle"}), flight())


@pytest.fixture(scope="module")
def both() -> Results:
    """Results of a room that went both ways: it waits, and the grade sheet covers what is wrong and tells ATC."""
    return of(evening([Poll(300.0, votes=votes(a=3), way="fork"), Poll(600.0, votes=votes(a=3))]),
              flight((700.0, "cover the attitude indicator")),
              sheets={"fork-1.jsonl": flight((305.0, "cover the attitude indicator and go partial panel"),
                                             (320.0, "check the suction gauge"))})


def words_of(page: str) -> str:
    """What a reader sees, in one line."""
    body = page[page.index("<body>"):]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def test_every_part_of_the_evening_is_on_it(whole: Results) -> None:
    words = words_of(as_html(whole))
    for said in ("Suction lost in cloud", "When it could be known, and when the room knew", "vacuum pump fails",
                 "Most of the room named it in poll p2 at 5:00", "The pitot tube", "Stop following the bad horizon",
                 "After poll p2 the room went on with the majority: diagnose vacuum pump", "1 of 2", "certain",
                 "DOT/FAA/AM-02/19", "Two gyros, one pump.", *CAUTIONS, NOTHING_LOGGED):
        assert said in words, said


def test_there_are_three_points_to_take_home(whole: Results) -> None:
    page = as_html(whole)
    assert [page.count(f"<h3>{number}. ") for number in (1, 2, 3, 4)] == [1, 1, 1, 0]


def test_nobody_and_no_table_is_named_unless_that_is_asked_for(whole: Results) -> None:
    page = as_html(whole)
    assert "Owls" not in page
    assert "Ada" not in page
    assert "Table 1" in page
    assert "The Owls" in as_html(whole, named=True)


def test_what_was_typed_is_never_quoted(whole: Results) -> None:
    assert FULL_CALL not in as_html(whole, named=True)


def test_it_loads_nothing_and_has_no_script(whole: Results) -> None:
    page = as_html(whole)
    assert "<script" not in page
    assert set(re.findall(r"""(?:src|href)=["']?([^"' >]+)""", page)) == {"data:,"}
    assert not re.findall(r"url\(|@import", page)
    assert "default-src 'none'" in page


def test_the_drawing_is_told_in_words_as_well(whole: Results) -> None:
    (says,) = re.findall(r"<desc[^>]*>(.*?)</desc>", as_html(whole))
    assert "vacuum pump: failed at 2:00, a cross-check in flight could have known from" in says
    assert "poll p2 at 5:00: 63 % right" in says or "poll p2 at 5:00: 62 % right" in says


def test_the_numbers_of_polls_at_nearly_the_same_time_do_not_lie_upon_one_another() -> None:
    page = as_html(of(evening([Poll(120.0 + 2.0 * at, votes={"1": "d"}) for at in range(4)])))
    places = [float(x) for x in re.findall(r'<text x="([\d.]+)"[^>]*class="poll-number"', page)]
    assert len(places) == 4
    assert all(after - before >= 12.0 for before, after in pairwise(places))


def test_hostile_texts_from_phones_and_files_stay_words(whole: Results) -> None:
    page = as_html(spoiled(whole, HOSTILE), named=True)
    assert "<script" not in page
    assert "<img" not in page
    assert not set(page) & {"\x1b", "\u202e"}
    assert "49" not in words_of(page).replace("14 CFR 61", "")


def test_a_whole_evening_of_hostile_texts_stays_words() -> None:
    page = as_html(of(hostile(HOSTILE)), named=True)
    assert "<script" not in page
    assert "<img" not in page
    assert "\x1b" not in page


def test_an_evening_without_polls_and_failures_says_so() -> None:
    words = words_of(as_html(of(evening([]), flight(fails_at=None))))
    for said in ("Nothing failed in this flight.", "No poll asked what was wrong.", "No call was typed.",
                 "Nobody was asked how sure they were."):
        assert said in words


def test_a_crowded_evening_loses_the_least_weighty_lines_and_says_so(whole: Results) -> None:
    many = replace(whole, calls=whole.calls * 30)
    assert re.search(r"and \d\d more calls", words_of(as_html(many)))
    items = tuple(replace(whole.decisions[0], item=f"Minor thing {place}", weight="minor") for place in range(20))
    words = words_of(as_html(replace(whole, decisions=(*items, *whole.decisions))))
    assert "Stop following the bad horizon" in words
    assert "more items, weighing less" in words


def test_an_evening_in_which_nothing_parted_has_one_sheet(whole: Results) -> None:
    assert as_html(whole).count('class="sheet') == 1


def test_each_time_that_the_room_went_both_ways_has_a_sheet_with_both_side_by_side(both: Results) -> None:
    page = as_html(both)
    assert page.count('class="sheet') == 2
    words = words_of(page).partition(": both ways")[2]
    for said in (
        "After poll p1 the room flew both ways in the same air, from 5:00 to 10:00.",
        "Ending no ending yet at 10:00 no ending yet at 10:00", "Items satisfied 4 6", "Items failed or open 3 3",
        "Cost 100 points 34 points", "Stop following the bad horizon critical not yet called for done 5:05",
        "Look at the suction gauge not by then, cost 22 late 5:20, cost 7", "The room Nothing was done.",
        "The grade sheet 5:04 covered the attitude indicator 5:04 flew by partial panel 5:19 looked at"):
        assert said in words, said
    assert words.count(CAUTIONS[0]) == 1


def test_of_a_flight_with_endless_acts_the_sheet_says_how_many_more(both: Results) -> None:
    (parting,) = both.partings
    way = replace(parting.ways[0], done=(DoneThen(400.0, "looked " * 40),) * 99)
    crowded = replace(both, partings=(replace(parting, ways=(way, parting.ways[1]), items=parting.items * 9),) * 9)
    words = words_of(as_html(crowded))
    assert "and 86 more." in words
    assert words.count("Both are graded up to then.") == 3


def test_papers_with_a_name_in_them_are_for_their_owner_and_the_others_to_be_given_away(
    whole: Results, tmp_path: Path,
) -> None:
    record = tmp_path / "evening.jsonl"
    held = evening([Poll(60.0, votes={"1": "d"})], names={"1": "Ada of Wendle"}, tables={"1": "The Owls"})
    mask = os.umask(0o022)
    try:
        paths = [*write_papers(whole, record), *write_papers(whole, record, named=True),
                 *write_attendance(held, "A night", record)]
    finally:
        os.umask(mask)
    for path in paths:
        names = any(name in path.read_text(encoding="utf-8") for name in ("Owls", "Ada"))
        assert stat.S_IMODE(path.stat().st_mode) == (0o600 if names else 0o644), path.name
    assert len(paths) == 6


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200), st.integers(4, 120))
def test_a_cut_text_is_never_wider_than_its_place(text: str, most: int) -> None:
    cut = elided(text, most)
    assert width(cut) <= most
    assert "\n" not in cut
    if width(" ".join(text.split())) <= most:
        assert cut == " ".join(text.split())


def test_what_both_ways_share_reads_alike_and_what_differs_is_bold() -> None:
    """The failure is guessed before it can be known; after the ways part only the grade sheet acts again."""
    guess = (125.0, "I think the vacuum pump has failed")
    page = as_html(of(evening([Poll(300.0, votes=votes(a=3), way="fork"), Poll(600.0, votes=votes(a=3))]),
                      flight(guess), sheets={"fork-1.jsonl": flight(guess, (305.0, "cover the attitude indicator"))}))
    rows = {cells[0].partition(" <")[0]: (bold, cells[1:]) for bold, *cells in (
        (bool(mark), *re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row))
        for mark, row in re.findall(r'<tr( class="differs")?>(.*?)</tr>', page.partition("both ways")[2])
        if "<td" in row)}
    assert rows["Recognize: vacuum pump"][0]
    for what in ("Recognize: vacuum pump", "First act: vacuum pump"):
        room, sheet = rows[what][1]
        first = re.search(r"\d:\d\d", room)
        assert first is not None
        assert first.group() in ("2:04", "2:05"), what
        assert sheet.startswith(room[:room.index(first.group())] + f"{first.group()}, again 5:0"), what
    for bold, told in rows.values():
        assert bold or len({re.sub(r"cost \d+| at .*", "", each) for each in told}) == 1
    for words in ("Not yet called for", "Not by then", "Again"):
        assert f"“{words}”" in page


def test_the_same_people_are_counted_once_in_how_opinion_moved() -> None:
    (shift,) = of(evening([Poll(60.0, votes=votes(d=3)), Poll(400.0, votes=votes(a=2, d=1))])).shifts
    words = shift_words(shift)
    assert words.startswith("Polls p1 and p2, of 3 people who answered both: right both times ")
    assert sum(int(each) for each in re.findall(r"(?:times?|first|neither) (\d+)", words)) == 3


def test_an_own_question_changes_the_name_of_no_poll() -> None:
    held = evening([Poll(60.0, votes=votes(d=3)), Poll(60.0, "what next", votes=votes(a=2), own=True),
                    Poll(400.0, votes=votes(a=2))])
    assert [each.name for each in of(held).polls] == ["p1", "o1", "p2"]
    assert "in poll p2 at 6:40" in words_of(as_html(of(held)))


def test_acts_of_the_grade_sheet_are_not_told_as_the_rooms() -> None:
    sheet = evening([Poll(100.0, votes=votes(d=3), way="majority"),
                     Poll(100.0, "what next", votes=votes(a=2), own=True, way="sheet"),
                     Poll(400.0, votes=votes(a=2), way="majority"), Poll(600.0, votes=votes(a=2))])
    words = words_of(as_html(of(sheet, flight((140.0, "check the suction gauge"),
                                              (410.0, "cover the attitude indicator and go partial panel")))))
    assert "* flown by the grade sheet, not by the room." in words
    assert re.search(r"suction gauge [a-z]+ 2:\d\d\*", words)
    assert not re.search(r"bad horizon critical [a-z]+ 6:\d\d\*", words)
    for told in ("poll p1 the room went on with the majority", "poll o1 the room went on as the grade sheet has it",
                 "poll p2 the room went on with the majority"):
        assert told in words
    assert "flown by the grade sheet" not in words_of(as_html(of(evening([Poll(100.0, votes=votes(d=3))]))))


def test_an_own_question_and_raised_hands_are_told() -> None:
    words = words_of(as_html(of(evening([
        Poll(60.0, votes=votes(d=3)),
        Poll(60.0, "what next", hands={"a": 7, "b": 3}, own=True, answers=(("Go", ""), ("Stay", "")),
             question="Would you have launched?")]))))
    assert "The room: 3 by phone, up to 10 by raised hand" in words
    assert "Poll o1, Would you have launched? Of 10 (10 by raised hand): Go 70 %, Stay 30 %." in words


def test_a_text_is_cut_only_where_the_sheet_is_full(whole: Results) -> None:
    long = "Say all four: who, what failed, how far it limits you, what you want"
    assert long in words_of(as_html(replace(whole, take_home=(replace(whole.take_home[0], title=long),))))


def test_on_the_sheet_of_both_ways_a_text_is_cut_only_where_it_is_full(both: Results) -> None:
    long = "looked at the suction gauge, the ammeter and the voltmeter, one after the other"
    (parting,) = both.partings

    def page(acts: int) -> str:
        ways = tuple(replace(each, done=(DoneThen(400.0, long),) * acts) for each in parting.ways)
        return words_of(as_html(replace(both, partings=(replace(parting, ways=ways, items=parting.items * 3),))))

    assert long in page(2)
    assert long not in page(30)


def test_every_way_is_told_however_full_the_sheet_is(whole: Results) -> None:
    ways = ("majority", "sheet", "fork", "own", "majority", "sheet", "majority")
    polls = tuple(replace(whole.polls[0], name=f"p{place}", way=way) for place, way in enumerate(ways, 1))
    words = words_of(as_html(replace(whole, polls=polls, decisions=whole.decisions * 5)))
    assert ("How the room went on: p1 majority, p2 grade sheet, p3 both ways, p4 own words, p5 majority, "
            "p6 grade sheet, p7 majority.") in words
