"""Totals and attendance for a spreadsheet: nothing lost, nobody named in the totals, nothing run as a formula."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from room.described_evenings import FULL_CALL, Poll, evening, flight, hostile, of, votes

from drill.cautions import NOTHING_LOGGED
from drill.room.totals import FORMULA, HEADINGS, MARK, attendance_csv, attendance_html, guarded, totals_csv


def rows(text: str) -> list[list[str]]:
    assert text.startswith(MARK)
    return list(csv.reader(io.StringIO(text.removeprefix(MARK), newline="")))


def test_the_totals_have_a_line_for_each_answer_of_each_poll() -> None:
    table = rows(totals_csv(of(evening([Poll(60.0, votes=votes(a=1, d=3)), Poll(400.0, hands={"a": 7, "d": 1})]))))
    assert tuple(table[0]) == HEADINGS
    first = {row[4]: row[5:8] for row in table[1:] if row[0] == "p1"}
    assert first["Nothing is wrong"] == ["3", "0.75", "right"]
    assert first["The pitot tube"] == ["0", "0.0", "wrong"]
    second = {row[4]: row[5] for row in table[1:] if row[0] == "p2"}
    assert second["The vacuum pump"] == "7"


def test_the_totals_have_calls_items_and_certainty_too() -> None:
    said = Poll(500.0, "what do you say", votes={"phone1": FULL_CALL})
    table = rows(totals_csv(of(evening([Poll(400.0, votes={"phone1": ("a", 4)}), said]))))
    kinds = {row[2] for row in table[1:]}
    assert {"what is wrong", "what do you say", "element of a call", "grade sheet", "how sure"} == kinds


def test_nobody_is_in_the_totals_by_name_table_or_words() -> None:
    held = evening([Poll(400.0, "what do you say", votes={"1": FULL_CALL})], tables={"1": "Owls"}, names={"1": "Ada"})
    text = totals_csv(of(held))
    assert not [said for said in ("Ada", "Owls", FULL_CALL) if said in text]


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "\r=cmd", "|calc", "＝1+1", "%0A=1"])
def test_what_a_spreadsheet_takes_for_a_formula_is_kept_a_text(text: str) -> None:
    assert guarded(text).startswith("'")


@given(st.text())
def test_no_text_at_all_begins_as_a_formula_or_breaks_its_line(text: str) -> None:
    kept = guarded(text)
    assert kept[:1] not in FORMULA
    assert "\n" not in kept


@pytest.mark.parametrize("text", ['=cmd|"/c calc"!A1', '","=1+1', "a\r\n=1+1", "-2+3", 'quote " and, comma'])
def test_hostile_names_and_answers_are_one_cell_each(text: str) -> None:
    held = hostile(text)
    for table in (rows(totals_csv(of(held))), rows(attendance_csv(held))):
        assert len({len(row) for row in table}) == 1
        assert not [cell for row in table for cell in row if cell[:1] in FORMULA]


def test_attendance_names_those_who_were_there_with_how_often_they_voted_and_nobody_who_was_sent_out() -> None:
    held = evening([Poll(60.0, votes={"1": "d", "2": "d"}), Poll(400.0, votes={"1": "a"})],
                   tables={"1": "Owls", "3": ""}, names={"1": "Ada", "2": "Bo", "3": "Cy"}, removed=["2"])
    assert rows(attendance_csv(held))[1:] == [["Ada", "Owls", "2"], ["Cy", "", "0"]]


def test_the_attendance_page_escapes_and_says_that_nothing_can_be_logged() -> None:
    page = attendance_html(hostile("<script>alert(1)</script>\x1b[0m"), "<b>title")
    assert "<script" not in page
    assert "<b>" not in page
    assert "\x1b" not in page
    assert NOTHING_LOGGED in page


def test_what_came_of_both_ways_is_in_the_totals() -> None:
    found = of(evening([Poll(300.0, votes={"1": "a"}, way="fork"), Poll(320.0, votes={"1": "a"})]), flight(seconds=400),
               sheets={"fork-1.jsonl": flight((305.0, "cover the attitude indicator"), seconds=400)})
    both = [row for row in rows(totals_csv(found)) if row[2] == "both ways"]
    assert {tuple(row[:2]) for row in both} == {("p1", "5:00")}
    told = {row[3]: row[4] for row in both}
    assert told["Stop following the bad horizon"] == "The room: not yet called for; The grade sheet: done 5:05"
    assert told["Ending"] == "The room: no ending yet at 5:20; The grade sheet: no ending yet at 5:20"


def test_raised_hands_have_a_column_of_their_own_and_each_way_a_line() -> None:
    table = rows(totals_csv(of(evening([Poll(60.0, votes=votes(d=2), hands={"a": 7, "d": 1}, way="sheet")]))))
    assert all(len(row) == len(HEADINGS) for row in table)
    counts = {row[4]: (row[5], *row[10:]) for row in table if row[0] == "p1"}
    assert counts["Nothing is wrong"] == ("3", "2", "1")
    assert counts["The vacuum pump"] == ("7", "0", "7")
    assert ["p1", "1:00", "how the room went on"] in [row[:3] for row in table]
