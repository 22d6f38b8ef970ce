"""Orders to the hands: what they trust, where they turn, how high they go."""

from __future__ import annotations

from typing import Literal

import pytest

from drill.flight.events import Trace
from drill.language.meaning import (
    Airspeed,
    Altitude,
    Cover,
    Flaps,
    FlyBy,
    StopTurn,
    Switch,
    Track,
    Turn,
    TurnRate,
    Uncover,
    Wait,
)
from flight.flights import begun, done, of


def test_covering_the_attitude_indicator_moves_bank_and_pitch_to_what_is_left() -> None:
    flight, _ = begun()
    done(flight, Cover("attitude_indicator"))
    assert flight.covered == ("attitude_indicator",)
    assert flight.reference == "turn_coordinator+heading_indicator+altimeter"


def test_covering_the_heading_indicator_moves_heading_to_the_compass_and_keeps_the_heading() -> None:
    flight, _ = begun()
    done(flight, Wait(60.0), Cover("heading_indicator"))
    assert flight.reference == "attitude_indicator+magnetic_compass"
    kept = flight.state.cockpit.controls.heading_deg
    assert abs((kept - flight.panel.compass_deg + 180) % 360 - 180) < 15


def test_both_covered_is_partial_panel() -> None:
    flight, _ = begun()
    done(flight, Cover("attitude_indicator"), Cover("heading_indicator"))
    assert flight.reference == "partial_panel"


def test_an_ordered_turn_is_flown() -> None:
    flight, _ = begun(seed=2)
    done(flight, Turn("left", heading_deg=150), Wait(55.0))
    assert abs((flight.truths.heading_deg - 150 + 180) % 360 - 180) < 12


def test_a_turn_without_an_end_goes_on_until_it_is_stopped() -> None:
    flight, _ = begun()
    done(flight, Turn("right"), Wait(15.0))
    assert flight.truths.turn_rate_dps > 1.5
    done(flight, StopTurn(), Wait(10.0))
    assert abs(flight.truths.turn_rate_dps) < 1.0


@pytest.mark.parametrize("to", ["left", "right"])
def test_a_turn_by_an_amount_goes_all_the_way_round(to: Literal["left", "right"]) -> None:
    flight, _ = begun()
    said = done(flight, Turn(to, by_deg=360))
    assert said.result.startswith(f"turning {to} 360 degrees, to ")
    turned = sum(each.true["turn_rate_dps"] for each in of(Trace, flight.advance(150.0)))
    assert 330.0 < abs(turned) < 390.0
    assert (turned > 0) == (to == "right")


def test_an_order_to_turn_to_a_heading_forgets_an_amount_ordered_before() -> None:
    flight, _ = begun()
    done(flight, Turn("left", by_deg=720), Turn("right", heading_deg=260), Wait(60.0))
    assert flight.state.cockpit.controls.turn_by_deg == 0.0
    assert abs(flight.panel.heading_deg - 260.0) < 10.0


def test_the_course_needle_is_followed_until_a_turn_is_ordered() -> None:
    flight, _ = begun()   # short of the course, with a wind from 30 degrees right of it
    done(flight, FlyBy("partial_panel"), Turn("left", heading_deg=200))
    flight.advance(180.0)
    assert abs(flight.panel.course_deviation) > 0.5
    said = done(flight, Track())
    assert said.result == "following the course needle, course 250"
    flight.advance(520.0)
    assert abs(flight.panel.course_deviation) < 0.15
    assert abs(flight.truths.track_deg - 250.0) < 12.0
    done(flight, Turn("right", heading_deg=300), Wait(60.0))
    assert abs(flight.truths.heading_deg - 300.0) < 15.0


def test_without_a_course_in_sight_no_needle_is_followed() -> None:
    flight, _ = begun()
    assert done(flight, Cover("navigation"), Track()).refused
    assert done(flight, Uncover("navigation"), Switch("avionics", "off"), Track()).refused


@pytest.mark.parametrize(("action", "to_ft"), [
    (Altitude(None, "climb", 1000), 6000.0), (Altitude(None, "descend", 500), 4500.0),
])
def test_a_climb_or_descent_by_an_amount_counts_from_the_altitude_held(action: Altitude, to_ft: float) -> None:
    flight, _ = begun()
    flight.advance(10.0)
    assert not done(flight, action).refused
    assert flight.state.cockpit.controls.altitude_ft == to_ft
    assert done(flight, Altitude(None, "descend", 9000)).refused


def test_nobody_turns_by_more_than_two_circles() -> None:
    assert done(begun()[0], Turn("left", by_deg=721)).refused


def test_hands_get_nothing_from_a_covered_turn_coordinator_until_it_is_uncovered() -> None:
    flight, _ = begun()
    done(flight, FlyBy("turn_coordinator"), Cover("turn_coordinator"))
    assert flight.reference == "full_panel"
    assert flight.state.cockpit.controls.turn_coordinator_in_sight == 0.0
    done(flight, Uncover("turn_coordinator"))
    assert flight.state.cockpit.controls.turn_coordinator_in_sight == 1.0


def test_flaps_are_refused_above_the_most_for_flaps_and_the_speed_is_named() -> None:
    flight, _ = begun()   # at 110 knots; Vfe of the airplane is 85
    said = done(flight, Flaps(10))
    assert said.refused
    assert said.result == "too fast for flaps: not above 85 knots"
    assert done(flight, Airspeed(95), Wait(60.0), Flaps(10)).refused
    done(flight, Airspeed(78))
    flight.advance(80.0)   # a wait would end with the first call
    assert not done(flight, Flaps(10)).refused


def test_half_standard_rate_turns_at_half_the_rate() -> None:
    flight, _ = begun()   # 1.5 degrees a second: AIM 5-4-11
    done(flight, TurnRate("half"), Turn("right"), Wait(20.0))
    assert 1.0 < flight.truths.turn_rate_dps < 2.2
