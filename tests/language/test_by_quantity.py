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
    ("airspeed and heading are unreliable", ("airspeed_indicator", "heading_indicator")),
    ("no attitude and no altitude", ("altimeter", "attitude_indicator")),
    ("we lost airspeed, altitude and vertical speed", ("airspeed_indicator", "altimeter", "vertical_speed_indicator")),
])
def test_an_instrument_may_be_called_by_what_it_shows_beside_others(said: str, failed: tuple[str, ...]) -> None:
    assert read_call(said, CONTEXT).equipment == failed


@pytest.mark.parametrize("said", [
    "hi, Orrinfell Approach, Larkspur 5304W, five thousand",
    "request lower altitude, airspeed is ninety",
    "unable to hold altitude and airspeed in this chop",
    "say heading and altitude for Wendle",
    "we are losing altitude and airspeed",
    "lost altitude, airspeed is fine",
    "descending to lose altitude and airspeed is increasing",
    "no altitude, airspeed or heading assigned yet",
    "airspeed ninety and heading two four zero",
])
def test_the_same_words_alone_are_a_greeting_a_height_or_a_course(said: str) -> None:
    assert read_call(said, CONTEXT).equipment == ()


@pytest.mark.parametrize(("said", "failed"), [
    ("the gyro tumbled in the turn", ("attitude_indicator",)),
    ("the gyro's leaning, flying by the compass", ("attitude_indicator",)),
    ("the gyro is drifting off the compass", ("heading_indicator",)),
    ("gyro is precessing badly", ("heading_indicator",)),
    ("both gyros are gone", ("attitude_indicator", "heading_indicator")),
])
def test_one_gyro_is_the_horizon_unless_it_drifts(said: str, failed: tuple[str, ...]) -> None:
    assert read_call(said, CONTEXT).equipment == failed


@pytest.mark.parametrize(("said", "failed"), [
    ("DG and compass disagree, we are sure the compass tells the truth", ("heading_indicator",)),
    ("compass and DG disagree, I believe the compass", ("heading_indicator",)),
    ("compass and DG disagree, I think it's the compass", ("magnetic_compass",)),
    ("compass and DG do not agree, pretty sure the DG's toast", ("heading_indicator",)),
    ("AI and turn coordinator disagree, which one is wrong I do not know", ("attitude_indicator", "turn_coordinator")),
])
def test_of_two_that_disagree_the_one_that_is_blamed_is_reported_and_not_the_one_that_is_believed(
    said: str, failed: tuple[str, ...],
) -> None:
    assert read_call(said, CONTEXT).equipment == failed


@pytest.mark.parametrize("said", [
    "request vectors to Wendle, we will use the GPS I think", "we have the standby alternator I think",
    "flying on the turn coordinator I guess",
])
def test_a_hedge_is_no_report(said: str) -> None:
    assert read_call(said, CONTEXT).equipment == ()
