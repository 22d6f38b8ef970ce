"""Fire, smoke and evacuation on the ground: emergency equipment, and no clearance aloft (JO 7110.65 10-1, memory)."""

from __future__ import annotations

import pytest

from flight.test_on_the_ground import averholt
from flight.test_service import heard, over

SENT = "emergency equipment is on the way"


@pytest.mark.parametrize("words", [
    "mayday mayday mayday, engine fire on the ramp", "engine fire, evacuating", "we are evacuating",
    "smoke in the cockpit, request fire trucks", "may day engine fire on the ramp", "pan-pan, we have a fire",
])
def test_emergency_equipment_is_sent_and_nothing_aloft_is_granted(words: str) -> None:
    said = heard(over(averholt(), parked=True), words).lower()
    assert SENT in said
    assert "say people on board" in said
    for each in ("heading", "altitude", "intentions", "taxi"):
        assert each not in said


def test_people_on_board_are_asked_for_once() -> None:
    talk = over(averholt(), parked=True)
    heard(talk, "mayday mayday mayday, engine fire")
    assert "people" not in heard(talk, "evacuating")
    heard(talk, "two people")
    assert talk.state.told.souls


@pytest.mark.parametrize("words", ["request taxi back to the ramp", "no fire, request taxi",
                                   "fire extinguisher checked"])
def test_no_equipment_is_sent_where_nothing_burns(words: str) -> None:
    assert SENT not in heard(over(averholt(), parked=True), words)
