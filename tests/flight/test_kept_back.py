"""A call that is taken back or doubted goes nowhere, also while the controller waits for an answer."""

import pytest

from drill.flight.events import Typed
from flight.flights import begun, of

NAMES_TROUBLE = "Orrinfell Approach, Larkspur 5304W, lost the attitude indicator, in cloud, diverting to Wendle"


def done(line: str) -> list[str]:
    """Return the kinds of act that a line is read as while the controller waits for an answer."""
    flight, _ = begun(lines=[(5.0, NAMES_TROUBLE)])
    flight.advance(30.0)
    return [each["action"] for typed in of(Typed, flight.enter(line)) for each in typed.actions]


@pytest.mark.parametrize("line", [
    "declare an emergency, cancel that", "maybe declare an emergency", "declare an emergency if it gets worse",
    "tell approach we lost the vacuum, no don't", "he said declare an emergency"])
def test_a_doubtful_declaration_is_no_answer_to_the_question_whether_to_declare(line: str) -> None:
    assert "transmit" not in done(line)


def test_a_plain_answer_is_sent() -> None:
    assert done("we are not declaring") == ["transmit"]
