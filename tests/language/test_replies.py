"""Answers to ATC. Words: Pilot/Controller Glossary."""

import pytest

from drill.language import read_call
from drill.language.meaning import Context, Reply

HERE = Context("Larkspur 04W", "Orrinfell Approach")


@pytest.mark.parametrize(("words", "kind"), [
    ("unable, heading indicator is out", "unable"), ("04W, unable", "unable"), ("standby", "standby"),
    ("stand by one, 04W", "standby"),
    ("say again for 04W", "say_again"), ("affirmative, 04W", "affirmative"), ("affirm", "affirmative"),
    ("negative, 04W", "negative"),
    ("roger, 04W", "roger"), ("wilco", "wilco"), ("cancel the emergency, 04W", "cancels_emergency")])
def test_the_words_of_the_glossary_are_replies(words, kind):
    assert kind in [reply.kind for reply in read_call(words, HERE).replies]


@pytest.mark.parametrize(("words", "reply"), [
    ("left two four zero, descend and maintain three thousand, 04W", Reply("readback", 240, 3000)),
    ("turn right heading one eight zero, larkspur 04W", Reply("readback", heading_deg=180)),
    ("descend to 4000, 04W", Reply("readback", altitude_ft=4000)),
    ("one two four point three, 04W", Reply("readback", frequency="124.3")),
    ("squawk four six one two, 04W", Reply("readback", code="4612")),
])
def test_a_read_back_carries_its_numbers(words, reply):
    assert reply in read_call(words, HERE).replies


@pytest.mark.parametrize("words", ["Approach, 04W, lost the vacuum system", "04W, request lower",
                                   "04W, standby vacuum is carrying us"])
def test_a_report_is_no_reply(words):
    assert read_call(words, HERE).replies == ()
