"""What the hands do, in words."""

from __future__ import annotations

import pytest

from drill.airplane import controls as c
from drill.airplane.controls import Controls
from drill.language.meaning import Checklist, Turn, Wait
from drill.seat.hands_words import doing_words, hands_words

ORDERS = Controls(heading_deg=240.0, altitude_ft=6000.0, airspeed_kt=110.0)
SHOWN = {"heading_deg": 100.0, "compass_deg": 242.0, "track_deg": 100.0}


def test_hands_say_heading_altitude_airspeed_and_what_they_go_by() -> None:
    assert hands_words(ORDERS, SHOWN) == (
        "hands: heading 240, 6,000 ft, 110 kt | by attitude indicator, heading indicator")


@pytest.mark.parametrize(("orders", "words"), [
    ({"lateral": c.TURN_TO_HEADING, "direction": -1.0}, "left to 240"),
    ({"lateral": c.TURN_TO_HEADING, "heading_deg": 0.0}, "turning to 360"),
    ({"lateral": c.TURN_TO_HEADING, "turn_by_deg": 90.0}, "right by 90 degrees"),
    ({"lateral": c.KEEP_TURNING, "direction": -1.0}, "left until told to stop"),
    ({"lateral": c.WINGS_LEVEL}, "wings level"),
    ({"vertical": c.HOLD_PITCH, "pitch_deg": 3.0}, "nose 3 degrees up"),
    ({"vertical": c.HOLD_PITCH, "pitch_deg": -2.0}, "nose 2 degrees down"),
    ({"vertical": c.HOLD_PITCH}, "nose level"),
    ({"power": c.HOLD_THROTTLE}, "power as set"),
    ({"power": c.HOLD_RPM, "rpm": 2300.0}, "2,300 RPM"),
])
def test_each_order_has_its_words(orders: dict[str, float], words: str) -> None:
    controls = Controls(**{"heading_deg": 240.0, **orders})
    assert words in hands_words(controls, SHOWN).split(" | ")[0].removeprefix("hands: ")


def test_a_turn_that_has_come_to_its_heading_is_a_heading_held() -> None:
    turn = Controls(lateral=c.TURN_TO_HEADING, heading_deg=240.0)
    assert "turning to 240" in hands_words(turn, SHOWN)
    assert "hands: heading 240," in hands_words(turn, {**SHOWN, "heading_deg": 237.0})
    by_compass = Controls(lateral=c.TURN_TO_HEADING, heading_deg=240.0, heading_by=c.BY_COMPASS)
    assert "hands: heading 240," in hands_words(by_compass, SHOWN)


def test_recovering_is_all_that_hands_do_then() -> None:
    assert hands_words(Controls(lateral=c.RECOVER), SHOWN).startswith("hands: recovering | ")


def test_following_the_needle_is_said_in_place_of_a_heading() -> None:
    assert "following the course needle, 6,000 ft" in hands_words(ORDERS, SHOWN, tracking=True)


def test_on_a_partial_panel_three_instruments_are_gone_by() -> None:
    partial = Controls(bank_by=c.BY_TURN, heading_by=c.BY_COMPASS, pitch_by=c.BY_PRESSURE)
    assert hands_words(partial, SHOWN).endswith("| by turn coordinator, magnetic compass, altimeter")


def test_what_is_being_done_says_how_much_longer_and_what_waits() -> None:
    assert doing_words((Checklist(), 11.2), (Wait(), Turn())) == "doing: checklist 12 s | waiting: 2"
    assert doing_words((Checklist(), 0.0)) == "doing: checklist 1 s"
    assert doing_words(None) == ""


@pytest.mark.parametrize(("orders", "shown", "words"), [
    ({}, {"groundspeed_kt": 0.0, "turn_rate_dps": 0.0}, "brakes set, 1,000 RPM"),
    ({}, {"groundspeed_kt": 4.0, "turn_rate_dps": 0.0}, "stopping, 1,000 RPM"),
    ({"taxi_kt": 8.0}, {"groundspeed_kt": 8.0, "turn_rate_dps": 0.0}, "taxiing straight ahead, 1,000 RPM"),
    ({"taxi_kt": 8.0, "lateral": c.TURN_TO_HEADING, "turn_by_deg": 90.0, "direction": -1.0},
     {"groundspeed_kt": 8.0, "turn_rate_dps": -6.0}, "taxiing, left by 90 degrees, 1,000 RPM"),
])
def test_on_the_ground_they_steer_by_what_is_outside(orders: dict[str, float], shown: dict[str, float],
                                                     words: str) -> None:
    said = hands_words(Controls(rpm=1000.0, power=c.HOLD_RPM, **orders), {**SHOWN, **shown}, parked=True)
    assert said == f"hands: {words} | by what is outside"
