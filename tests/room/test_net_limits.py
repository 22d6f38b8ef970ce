"""Names, words, tokens and budgets at the border of the network: whatever comes, little and clean is kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.clean import clean_line
from drill.room.net.keys import KeyMissing, key_beside, key_path
from drill.room.net.limits import (
    LONGEST_NAME,
    LONGEST_TABLE,
    LONGEST_WORDS,
    MOST_ADDRESSES,
    Purses,
    Rate,
    name_of,
    table_of,
    words_of,
)
from drill.room.net.tokens import Tokens, new_phone

TOKENS = Tokens("a key of forty letters, or a few more than that", "4711")


@given(st.text(max_size=3_000))
def test_what_people_type_is_kept_short_clean_and_as_it_is_kept_already(text: str) -> None:
    for kept, most in ((name_of(text), LONGEST_NAME), (table_of(text), LONGEST_TABLE), (words_of(text), LONGEST_WORDS)):
        assert len(kept) <= most
        assert kept == clean_line(kept)
        assert not kept or any(each.isalnum() for each in kept)
    assert name_of(name_of(text)) == name_of(text)


@pytest.mark.parametrize("name", ["Robin", "Ana María", "Zoë", "李雷", "Олег", "مريم", "O'Neil-Smith", "7"])
def test_names_of_all_languages_stay_as_they_are(name: str) -> None:
    assert name_of(name) == name


@given(st.text(max_size=400))
def test_no_text_is_a_token_that_was_not_given(text: str) -> None:
    assert TOKENS.phone(text) is None
    assert not TOKENS.fits_form(text, None)


@given(st.text("0123456789abcdef", min_size=20, max_size=20), st.data())
def test_a_token_that_was_changed_anywhere_is_nobodys(phone: str, data: st.DataObject) -> None:
    token = TOKENS.of_phone(phone)
    assert TOKENS.phone(token) == phone
    place = data.draw(st.integers(0, len(token) - 2))    # the last letter holds bits that mean nothing
    other = data.draw(st.sampled_from("AZaz09-_.").filter(lambda each: each != token[place]))
    assert TOKENS.phone(token[:place] + other + token[place + 1:]) is None


def test_a_token_is_its_phones_and_a_forms_is_no_phones() -> None:
    phone, other = new_phone(), new_phone()
    assert TOKENS.phone(TOKENS.of_phone(phone)) == phone
    assert TOKENS.phone(TOKENS.of_form(phone)) is None
    assert TOKENS.fits_form(TOKENS.of_form(phone), phone)
    assert not TOKENS.fits_form(TOKENS.of_form(phone), other)
    assert not TOKENS.fits_form(TOKENS.of_form(phone), None)
    assert not TOKENS.fits_form(TOKENS.of_phone(phone), phone)


def test_another_key_or_another_evening_makes_other_tokens_and_another_wall() -> None:
    phone = new_phone()
    for other in (Tokens("another key of forty letters, or some more", "4711"), Tokens(
            "a key of forty letters, or a few more than that", "4712")):
        assert other.phone(TOKENS.of_phone(phone)) is None
        assert other.wall != TOKENS.wall


def test_a_budget_is_an_addresss_own_and_fills_again_and_few_addresses_are_remembered() -> None:
    now = [0.0]
    purses = Purses(Rate(1.0, 2.0), lambda: now[0])
    assert [purses.spend("a") for _ in range(3)] == [True, True, False]
    assert purses.spend("b")
    now[0] = 1.0
    assert [purses.spend("a") for _ in range(2)] == [True, False]
    for each in range(MOST_ADDRESSES + 10):
        purses.spend(str(each))
    assert len(purses._of) == MOST_ADDRESSES


def test_the_key_is_for_its_owner_alone_and_stays_the_same(tmp_path: Path) -> None:
    record = tmp_path / "evening.jsonl"
    key = key_beside(record)
    assert len(key) > 40
    assert key_beside(record) == key
    path = key_path(record)
    assert path.stat().st_mode & 0o777 == 0o600
    path.chmod(0o644)
    assert key_beside(record) == key
    assert path.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("torn", [b"", b"abc", b"\n"])
def test_a_key_that_was_torn_when_it_was_made_is_made_anew(tmp_path: Path, torn: bytes) -> None:
    record = tmp_path / "evening.jsonl"
    key_path(record).write_bytes(torn)
    assert len(key_beside(record)) > 40


def test_a_key_that_cannot_be_one_is_said_and_never_followed_elsewhere(tmp_path: Path) -> None:
    record = tmp_path / "evening.jsonl"
    (tmp_path / "elsewhere").write_text("x" * 60, encoding="ascii")
    key_path(record).symlink_to(tmp_path / "elsewhere")
    with pytest.raises(KeyMissing, match="move it away"):
        key_beside(record)
    key_path(record).unlink()
    key_path(record).write_bytes(b"\xff" * 50)
    with pytest.raises(KeyMissing, match="this is no key"):
        key_beside(record)
    with pytest.raises(KeyMissing, match="name a file"):
        key_beside(tmp_path / "no folder" / "evening.jsonl")
