"""Instruments that are called by what they show, beside others (common practice, no source)."""

from __future__ import annotations

import pytest

from drill.language.calls import read_call
from drill.language.meaning import Context

CONTEXT = Context(callsign="Larkspur 5304W", facility="Orrinfell Approach")


@pytest.mark.parametrize(("said", "failed"), [
    ("no ASI, no ALT, no VSI", ("airspeed_indicator", "altimeter", "vertical_speed_indicator")),
    ("static vent iced shut, alt and vsi not moving", ("altimeter", "static_system", "vertical_speed_indicator")),
    ("no reliable airspeed or altitude", ("airspeed_indicator", "altimeter")),
    ("no attitude, no heading, needle and ball only", ("attitude_indicator", "heading_indicator")),
    ("HI not trustworthy, AI not trustworthy", ("attitude_indicator", "heading_indicator")),
])
def test_an_instrument_may_be_called_by_what_it_shows_beside_others(said: str, failed: tuple[str, ...]) -> None:
    assert read_call(said, CONTEXT).equipment == failed


@pytest.mark.parametrize("said", [
    "hi, Orrinfell Approach, Larkspur 5304W, five thousand",
    "request lower altitude, airspeed is ninety",
    "unable to hold altitude and airspeed in this chop",
    "say heading and altitude for Wendle",
])
def test_the_same_words_alone_are_a_greeting_a_height_or_a_course(said: str) -> None:
    assert read_call(said, CONTEXT).equipment == ()
