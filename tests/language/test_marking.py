"""A call explained: what was heard, by which words, what was not. Elements: 14 CFR 91.187(b)(1) to (4), AIM 6-3-2."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.language import read_call
from drill.language.lexicon import LocalWords, lexicon_with
from drill.language.marking import marked
from drill.language.meaning import Call, Context

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose",))


def by_words(line, context=HERE):
    call = marked(line, context)
    return {(each.element, each.value): call.words[each.start:each.end] for each in call.heard}


def test_each_element_is_heard_by_the_fewest_words_that_say_it():
    heard = by_words("Orrinfell Approach, Larkspur zero four whiskey, lost our vacuum pump, partial panel in IMC at "
                     "five thousand, two souls, three hours of fuel, request no-gyro vectors to Penrose")
    assert heard == {
        ("facility", ""): "Orrinfell Approach", ("callsign", "given"): "Larkspur zero four whiskey",
        ("equipment", "vacuum_system"): "lost our vacuum pump", ("impairment", ""): "partial panel",
        ("conditions", "imc"): "IMC", ("altitude_ft", "5000"): "five thousand", ("souls", "2"): "two souls",
        ("fuel_min", "180"): "three hours of fuel", ("assistance", "no_gyro_vectors"): "no-gyro vectors",
        ("assistance", "named_airport"): "no-gyro vectors to Penrose",
        ("places", "Penrose"): "no-gyro vectors to Penrose"}


@pytest.mark.parametrize(("line", "lacking"), [
    ("approach, zero four whiskey, we lost the vacuum pump", ("impairment", "assistance")),
    ("approach, 04W, vacuum is gone, partial panel, request vectors", ()),
    ("approach, 04W, vacuum is gone, partial panel, diverting to Penrose", ()),
    ("we need vectors", ("callsign", "equipment", "impairment")),
])
def test_what_a_report_still_lacks_is_said(line, lacking):
    assert marked(line, HERE).missing == lacking


def test_a_part_in_which_nothing_was_heard_is_shown_as_not_understood():
    call = marked("approach, 04W, the doohickey is on the blink again, request vectors", HERE)
    assert [call.words[start:end] for start, end in call.unread] == ["the doohickey is on the blink again"]


def test_a_repeated_word_that_was_heard_is_not_called_unread():
    assert marked("pan-pan, pan-pan, pan-pan, Orrinfell Approach, 04W", HERE).unread == ()


def test_an_explanation_uses_the_words_of_the_place_too():
    local = Context("Larkspur 04W", "Orrinfell Approach", (), lexicon_with(LocalWords(names=(("altimeter", "dial"),))))
    assert by_words("approach, the dial is stuck", local)[("equipment", "altimeter")] == "dial is stuck"


def test_what_was_understood_in_a_conversation_is_heard_by_the_words_that_answered():
    call = marked("two", HERE, Call(words="two", souls=2))
    assert [(each.element, each.value, each.end) for each in call.heard] == [("souls", "2", 3)]
    assert call.unread == ()


def test_a_predicate_is_told_to_its_end_and_a_word_with_a_hyphen_whole():
    heard = by_words("approach, 04W, AI went belly up, request no-gyro vectors")
    assert heard[("equipment", "attitude_indicator")] == "AI went belly up"
    assert heard[("assistance", "no_gyro_vectors")] == "no-gyro vectors"


WORDS = [
    "lost", "the", "vacuum", "AI", "and", "DG", ",", ".", "request", "vectors", "not", "no", "gyro",
    "approach", "04W", "partial", "panel", "at", "five", "thousand", "two", "souls", "if", "correction",
    "imc", "fuel", "hours", "frob",
]


@settings(max_examples=60)
@given(st.lists(st.sampled_from(WORDS), max_size=18).map(" ".join))
def test_the_words_of_each_piece_say_it_when_nothing_else_is_said(line):
    call = marked(line, HERE)
    for each in call.heard:
        said = call.words[each.start:each.end]
        if each.end:
            again = read_call(said, HERE)
            value = getattr(again, each.element)
            assert value not in (None, False, (), "none", "absent", "unstated"), (each, said)


@given(st.text(max_size=200))
def test_any_text_can_be_explained(line):
    call = marked(line, HERE)
    assert all(0 <= each.start <= each.end <= len(call.words) for each in call.heard)
