"""Cancelling IFR is an act; talking about it is none."""

import pytest

from drill.language import read, read_call
from drill.language.labels import CALL_FIELDS
from drill.language.meaning import Context, Decide

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose", "Wendle"))


@pytest.mark.parametrize("words", [
    "cancel IFR", "cancelling IFR", "canceling our IFR", "cancel I.F.R.", "we'd like to cancel IFR now",
    "cancel our instrument clearance", "we'd like to cancel our IFR clearance", "request to cancel IFR",
    "field in sight, cancelling IFR", "we'll cancel IFR at this time", "could you cancel our IFR please",
    "out of the cloud and in the clear, cancel my IFR flight plan", "negative, cancel IFR",
    "cancel IFR, we'll call you from the ground", "on the ground at Wendle, cancel IFR",
    "close our IFR flight plan", "we are cancelling IFR, squawking 1200",
])
def test_a_present_request_or_statement_cancels(words):
    assert read_call(f"Approach, 04W, {words}", HERE).cancels_ifr


@pytest.mark.parametrize("words", [
    "we will cancel IFR on the ground", "when in the clear we will cancel IFR", "do you want us to cancel IFR?",
    "do you want us to cancel IFR", "keep our clearance, don't cancel", "do not cancel my IFR",
    "unable to cancel IFR", "cancel the descent, IFR to Wendle", "if we break out we'll cancel IFR",
    "if we break out, cancel IFR", "cancelling IFR when we have the field", "we'll cancel IFR later",
    "we might cancel IFR", "we're thinking of cancelling IFR", "can we cancel IFR?", "did you say cancel IFR",
    "we'd rather not cancel IFR", "cancelling IFR is not an option", "my friend wants to cancel IFR",
    "cancel the IFR approach", "cancel the instrument approach", "cancel the emergency", "we are IFR",
    "once visual, cancelling IFR", "cancel IFR, disregard, we are still in cloud", "before we cancel IFR say winds",
    "cancel IFR but not until we are out of the cloud", "expect to cancel IFR at Wendle", "they told us to cancel IFR",
    "we'll cancel IFR", "no need to cancel IFR", "confirm you want us to cancel IFR", "unable vectors, still IFR",
])
def test_what_is_put_off_conditional_denied_or_asked_does_not(words):
    assert not read_call(f"Approach, 04W, {words}", HERE).cancels_ifr


@pytest.mark.parametrize("line", ["cancel IFR", "cancel our instrument clearance, we're in the clear",
                                  "I will cancel IFR", "climb to 8000 and cancel IFR"])
def test_an_order_to_cancel_is_a_decision(line):
    assert Decide("cancel_ifr") in read(line, HERE)


@pytest.mark.parametrize("line", ["when in the clear we will cancel IFR", "if we break out, cancel IFR",
                                  "don't cancel IFR", "should I cancel IFR?", "cancel the instrument approach"])
def test_a_thought_of_cancelling_is_no_decision(line):
    assert all(not isinstance(action, Decide) or action.plan != "cancel_ifr" for action in read(line, HERE))


def test_the_labels_of_a_call_know_nothing_of_it():
    assert "cancels_ifr" not in CALL_FIELDS
