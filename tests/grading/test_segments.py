"""A call in stretches: each with what ATC heard in it, together the words to the letter."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.grading.debrief import CallHeard, Piece
from drill.grading.segments import Segment, segments, without_words

WORDS = "approach 04W, lost the vacuum pump and er frobnicate"


def call(*pieces: Piece, words: str = WORDS, unread: tuple[str, ...] = ()) -> CallHeard:
    return CallHeard(60.0, words, pieces, (), unread)


def piece(element: str, said: str, value: str = "") -> Piece:
    start = WORDS.index(said)
    return Piece(element, value, said, start, start + len(said))


def test_each_element_stands_at_the_end_of_its_words_and_the_rest_is_only_said() -> None:
    found = segments(call(piece("whom you called", "approach"), piece("who you are", "04W"),
                          piece("what failed", "lost the vacuum pump", "vacuum system"), unread=("frobnicate",)))
    assert found == (
        Segment("approach", "heard", ("whom you called",)), Segment(" ", "said"),
        Segment("04W", "heard", ("who you are",)), Segment(", ", "said"),
        Segment("lost the vacuum pump", "heard", ("what failed: vacuum system",)), Segment(" and er ", "said"),
        Segment("frobnicate", "not understood"))


def test_a_value_that_was_said_in_those_words_is_not_told_again() -> None:
    found = segments(call(piece("what failed", "vacuum pump", "Vacuum Pump"), piece("where", "pump", "PUMP")))
    assert [each for each in found if each.labels] == [Segment("pump", "heard", ("what failed", "where"))]


def test_elements_that_share_words_stand_where_each_ends() -> None:
    found = segments(call(piece("one", "lost the vacuum"), piece("other", "the vacuum pump"), piece("one", "vacuum")))
    assert [(each.words, each.labels) for each in found if each.state == "heard"] == [
        ("lost", ()), ("the", ()), ("vacuum", ("one",)), ("pump", ("other",))]


def test_spaces_around_a_stretch_mean_nothing() -> None:
    wide = CallHeard(0.0, "  04W  ", (Piece("who you are", "", "  04W  ", 0, 7),), (), ())
    assert segments(wide) == (Segment("  ", "said"), Segment("04W", "heard", ("who you are",)), Segment("  ", "said"))


def test_what_was_not_understood_twice_is_marked_twice() -> None:
    found = segments(call(words="hum, hum and hum", unread=("hum", "hum")))
    assert [each.words for each in found if each.state == "not understood"] == ["hum", "hum"]
    assert segments(call(words="hum", unread=("", "none"))) == (Segment("hum", "said"),)


def test_what_was_heard_by_no_words_is_told_beside_them() -> None:
    nowhere = Piece("how urgent it is", "emergency", "")
    assert without_words(call(nowhere, nowhere, piece("who you are", "04W"), Piece("where to", "", "x", 3, 900))) == (
        "how urgent it is", "where to")


@given(st.text(max_size=30), st.lists(st.tuples(st.integers(-3, 33), st.integers(-3, 33)), max_size=4),
       st.lists(st.text(max_size=4), max_size=3))
def test_put_together_the_stretches_are_the_words(
    words: str, places: list[tuple[int, int]], unread: list[str],
) -> None:
    pieces = tuple(Piece("x", "", "", start, end) for start, end in places)
    assert "".join(each.words for each in segments(call(*pieces, words=words, unread=tuple(unread)))) == words


@pytest.mark.parametrize("words", ["", "roger"])
def test_a_call_in_which_nothing_was_heard_is_only_said(words: str) -> None:
    assert segments(call(words=words)) == ((Segment(words, "said"),) if words else ())
