"""What is said again beside an order, or excludes it (common practice, no source)."""

from __future__ import annotations

import pytest

from drill.language.meaning import (
    Action,
    Airspeed,
    Align,
    Altitude,
    Context,
    Cover,
    Decide,
    FlyBy,
    LevelWings,
    Look,
    Switch,
    Turn,
    Unclear,
    Uncover,
    Wait,
)
from drill.language.reader import read

CONTEXT = Context(callsign="Larkspur 5304W", facility="Orrinfell Approach")


def one(line: str) -> Action:
    (action,) = read(line, CONTEXT)
    return action


@pytest.mark.parametrize(("line", "ordered"), [
    ("punch the red button, autopilot off", Switch("autopilot", "off")),
    ("shut her down, engine off", Decide("shut_down")),
    ("dg to compass, reset it", Align("heading_indicator", "magnetic_compass")),
    ("rejecting this takeoff, throttle closed", Decide("abort_takeoff")),
    ("start down to 11000, nice and slow", Altitude(11_000, "descend")),
    ("get higher, climb 7000", Altitude(7_000, "climb")),
    ("back to Wendle and land", Decide("land", "Wendle")),
    ("nothing for three minutes, just wait", Wait(180.0)),
])
def test_an_order_said_again_in_other_words_is_one_order(line: str, ordered: Action) -> None:
    assert one(line) == ordered


@pytest.mark.parametrize(("line", "ordered"), [
    ("autopilot off, check the ammeter", [Switch("autopilot", "off"), Look("ammeter")]),
    ("level the wings, slow to 90", [LevelWings(), Airspeed(90)]),
    ("go partial panel, cover the AI", [FlyBy("partial_panel"), Cover("attitude_indicator")]),
])
def test_another_order_beside_one_is_not_taken_for_its_words(line: str, ordered: list[Action]) -> None:
    assert read(line, CONTEXT) == ordered


@pytest.mark.parametrize("line", ["slow to 80 and speed up to 110 right now", "climb to 6000 and hold at 4000"])
def test_two_airspeeds_or_altitudes_in_one_breath_are_asked_about(line: str) -> None:
    assert isinstance(one(line), Unclear)


def test_one_airspeed_after_another_is_flown_so() -> None:
    assert read("speed up to 110, then slow to 80", CONTEXT) == [Airspeed(110), Airspeed(80)]


@pytest.mark.parametrize(("line", "ordered"), [
    ("up we go to FL120", Altitude(12_000, "climb")),
    ("un-cover the AI", Uncover("attitude_indicator")),
    ("turn thrity degrees right", Turn("right", by_deg=30)),
    ("look at the gyro horizon one more time", Look("attitude_indicator")),
    ("the horizon is back, resume full panel", FlyBy("full_panel")),
    ("shut off the stand by vacuum", Switch("standby_vacuum", "off")),
    ("divert to Ketterby, sorry, meant Linfold", Decide("divert", "Linfold")),
    ("roll her out", LevelWings()),
    ("cut the strobes", Switch("strobes", "off")),
])
def test_orders_in_the_words_and_with_the_slips_of_a_cockpit(line: str, ordered: Action) -> None:
    assert one(line) == ordered
