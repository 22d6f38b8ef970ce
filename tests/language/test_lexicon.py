"""The words that are known: each name with each way of saying how it is."""

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.language import read_call
from drill.language.lexicon import LAST_WORD, LocalWords, lexicon_with, standard
from drill.language.meaning import EQUIPMENT, Context
from drill.language.spelling import put_right

HERE = Context("Larkspur 04W", "Orrinfell Approach")


def phrases(tree, before=()):
    for word, rest in tree.items():
        if word == LAST_WORD:
            yield " ".join(before), rest
        else:
            yield from phrases(rest, (*before, word))


def plain_names():
    """Every phrase for equipment that says nothing of itself and does not begin with an article or a number word."""
    for phrase, name in phrases(standard().on_air):
        equipment = tuple(sorted(set(standard().equipment(name)) & set(EQUIPMENT)))
        if equipment and name not in standard().says_so and phrase.split()[0] not in ("the", "my", "our", "and",
            "two"):
            yield phrase, ("attitude_indicator",) if phrase == "gyro" else equipment   # the one gyro is the horizon


NAMES = sorted(plain_names())
FAILED = ("our {} has failed", "we lost the {}", "{} is unreliable", "{} inop", "my {} quit on me", "a failed {}",
          "{} went out a minute ago",
          "trouble with the {}", "{} does not work", "the {} has given up", "we have a {} failure",
          "declaring emergency, {} failure, imc")
WORKS = ("{} is fine", "our {} is working", "using the {}", "nothing wrong with the {}",
         "if the {} fails we will call", "{} is back up",
         "request vectors, {} is ok")


@given(st.sampled_from(NAMES), st.sampled_from(FAILED))
def test_every_name_with_every_word_for_failing_is_a_report(name, said):
    phrase, equipment = name
    assert read_call(f"Approach, 04W, {said.format(phrase)}", HERE).equipment == equipment


@given(st.sampled_from(NAMES), st.sampled_from(WORKS))
def test_every_name_with_every_word_for_working_is_no_report(name, said):
    assert read_call(f"Approach, 04W, {said.format(name[0])}", HERE).equipment == ()


@pytest.mark.parametrize(("written", "meant"), [
    ("vaccum", "vacuum"), ("vacum", "vacuum"), ("pannel", "panel"), ("altimiter", "altimeter"), ("reqest", "request"),
    ("indicater", "indicator"), ("emergancy", "emergency"), ("compas", "compass")])
def test_a_misspelled_word_of_the_trade_is_put_right(written, meant):
    assert put_right(written, standard()) == meant


@pytest.mark.parametrize("word", ["navigate", "tower", "towers", "pilot", "flower", "indicates", "directed", "winds",
                                  "hole", "level",
                                  "descends", "visually", "requested", "eight", "penrose"])
def test_an_ordinary_word_is_left_alone(word):
    assert put_right(word, standard()) == word


def test_a_lexicon_with_local_words_reads_alike_in_another_process() -> None:
    words = LocalWords(names=(("attitude_indicator", "the clock face"),))
    there = pickle.loads(pickle.dumps(lexicon_with(words)))  # noqa: S301 - our own
    said = "the clock face has failed"
    assert there is lexicon_with(words)
    assert read_call(said, Context("", "", lexicon=there)).equipment == ("attitude_indicator",)
