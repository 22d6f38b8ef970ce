"""The cruise that ends above the cloud ends there with a plan, and out of the turn."""

from __future__ import annotations

from drill.flight.flight import Flight
from flight.test_final import cruise

LINES = ((300.0, "cover the attitude indicator"), (310.0, "fly partial panel"),
         (330.0, "say Orrinfell Approach, Larkspur 5304W, we have lost the vacuum pump and the attitude indicator"),
         (360.0, "say 04W, request climb to on top"), (370.0, "climb to 8000 at 80 knots"))


def above_the_cloud() -> Flight:
    flight, _ = Flight.start(cruise(), 1)
    for at_s, line in LINES:
        flight.advance(at_s - flight.t_s)
        flight.enter(line)
    flight.advance(680.0 - flight.t_s)
    assert flight.phase == "clear"
    return flight


def test_above_the_cloud_nothing_ends_before_a_field_is_decided_on() -> None:
    flight = above_the_cloud()
    flight.advance(180.0)
    assert flight.ended is None


def test_above_the_cloud_with_a_plan_the_flight_ends_once_the_wings_are_level() -> None:
    flight = above_the_cloud()
    flight.enter("turn left")
    flight.advance(10.0)
    flight.enter("say 04W, diverting to Wendle")
    flight.advance(150.0)
    assert flight.ended is None, "in the turn"
    flight.enter("stop turn")
    flight.advance(60.0)
    assert flight.ended is not None
    assert flight.ended.ending == "on top"
