"""Text from outside can neither steer a terminal nor hide itself."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.clean import MAX_LINE, MAX_MARKS, clean, clean_line, typed_line

# ECMA-48 (control functions for coded character sets): C0 controls, DEL and C1 controls steer a terminal.
C0_AND_C1 = [*range(0x20), *range(0x7F, 0xA0)]
# Unicode Standard Annex 9, table 1: the explicit directional formatting characters.
DIRECTIONAL = [0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)]


@given(st.text(alphabet=st.one_of(st.characters(), st.sampled_from([chr(c) for c in C0_AND_C1 + DIRECTIONAL]))))
def test_no_control_or_direction_character_survives_but_the_newline(text: str) -> None:
    left = clean(text)
    assert not {ord(c) for c in left} & ({*C0_AND_C1, *DIRECTIONAL} - {0x0A})


@given(st.text())
def test_cleaning_twice_changes_nothing_more(text: str) -> None:
    assert clean(clean(text)) == clean(text)
    assert clean_line(clean_line(text)) == clean_line(text)


@given(st.text())
def test_a_line_is_one_line_and_no_longer_than_allowed(text: str) -> None:
    line = clean_line(text * 50)
    assert "\n" not in line
    assert len(line) <= MAX_LINE


@given(st.text(alphabet=st.characters(min_codepoint=0x20, max_codepoint=0x7E)))
def test_plain_words_pass_unchanged(text: str) -> None:
    assert clean(text) == text


def test_an_escape_sequence_is_left_as_harmless_letters() -> None:
    assert clean("\x1b[2Jgone\x1b]0;title\x07\x9b31m") == "[2Jgone]0;title31m"


@pytest.mark.parametrize(("typed", "left"), [
    ("\x1b[31mred", "red"), ("\x9b1;31mred\x1b[0m", "red"), ("a\x1b]0;title\x07b", "ab"), ("a\x1b]0;t\x1b\\b", "ab"),
    ("a\x1b]8;;http://x\x1b\\b\x1b]8;;\x1b\\", "ab"), ("a\x1bPq#0\x1b\\b", "ab"), ("a\x9dtitle\x9cb", "ab"),
    ("\x1b(Bab\x1bc", "ab"), ("ab\x1b]0;no end", "ab"), ("ab\x1b", "ab"), ("ab\x1b[", "ab"),
    ("a [b] c; 31m", "a [b] c; 31m"),
])
def test_of_what_a_stranger_types_no_letters_of_escape_sequences_are_left(typed: str, left: str) -> None:
    assert typed_line(typed) == left


@given(st.text(alphabet=st.one_of(st.characters(), st.sampled_from("\x1b\x9b[]0;m\x07\\"))), st.integers(0, 40))
def test_a_typed_line_is_clean_and_no_longer_than_allowed(text: str, limit: int) -> None:
    line = typed_line(text, limit=limit)
    assert clean_line(line, limit=limit) == line
    assert typed_line(line, limit=limit) == line


@pytest.mark.parametrize("marks", ["\u0301\u0323", "\u0f71\u0f72", "\u093c\u0301", "\u0e38\u0e48", "\u3099\u0f71"])
def test_a_long_run_of_marks_of_any_script_is_cut_before_it_is_put_in_order(marks: str) -> None:
    kept = clean("a" + marks * 500_000)   # canonical ordering of all would be quadratic: hours
    assert len(kept) <= 1 + 2 * MAX_MARKS


@pytest.mark.parametrize("hidden", ["\u200b", "\u2060", "\ufeff", "\U000e0041", "\ufe0f", "\u00ad", "\u3164"])
def test_characters_that_cannot_be_seen_are_dropped(hidden: str) -> None:
    assert clean(f"va{hidden}cuum") == "vacuum"


def test_an_accent_parted_from_its_letter_joins_it_at_once() -> None:
    assert clean("e\u200b\u0301") == "\u00e9"


def test_a_letter_carries_only_a_few_marks() -> None:
    left = clean("z" + "\u0323\u0300" * 30)
    assert sum(unicodedata.category(c) == "Mn" for c in left) <= MAX_MARKS


def test_line_separators_of_every_kind_become_newlines() -> None:
    assert clean("a\r\nb\rc\u2028d\u2029e\x85f") == "a\nb\nc\nd\ne\nf"
