"""Ordinary words that are nearly words of the trade, and slips that are."""

import pytest

from drill.language.lexicon import standard
from drill.language.spelling import put_right


@pytest.mark.parametrize("word", [
    "alter", "changing", "tuning", "section", "closes", "connection", "stepped", "houses", "saved", "stroke", "strokes",
    "contract", "collection", "processing", "wording", "clover", "heather", "table",
])
def test_an_ordinary_word_is_left_as_it_is(word):
    assert put_right(word, standard()) == word


@pytest.mark.parametrize(("typed", "meant"), [
    ("sqwuak", "squawk"), ("tumbeling", "tumbling"), ("uncvoer", "uncover"), ("altenator", "alternator"),
    ("loosing", "losing"), ("vaccum", "vacuum"),
])
def test_a_slip_in_a_word_of_the_trade_is_put_right(typed, meant):
    assert put_right(typed, standard()) == meant
