"""Heading, altitude and airspeed in one breath are all flown, and a rate is never lost in silence."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.language import read
from drill.language.abreast import ASK_RATE
from drill.language.meaning import Airspeed, Altitude, Checklist, Context, Decide, FlyBy, Look, Turn, Unclear

HERE = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle"))


@pytest.mark.parametrize(("line", "flown"), [
    ("fly 270 at 4000 and 100 knots", [Turn(heading_deg=270), Altitude(4000), Airspeed(100)]),
    ("fly 270, 4000, 100 knots", [Turn(heading_deg=270), Altitude(4000), Airspeed(100)]),
    ("270 at 4000 and 90 knots", [Turn(heading_deg=270), Altitude(4000), Airspeed(90)]),
    ("fly heading 180 at 90 knots and 5000 feet", [Turn(heading_deg=180), Altitude(5000), Airspeed(90)]),
    ("fly heading two seven zero at four thousand feet", [Turn(heading_deg=270), Altitude(4000)]),
    ("fly 090 and 3000 feet", [Turn(heading_deg=90), Altitude(3000)]),
    ("left 240 and 3000", [Turn("left", 240), Altitude(3000)]),
    ("turn right heading 090 at 3000 feet", [Turn("right", 90), Altitude(3000)]),
    ("maintain heading 090 and 4000", [Turn(heading_deg=90), Altitude(4000)]),
    ("fly 4000 feet at 100 knots", [Altitude(4000), Airspeed(100)]),
    ("fly at 4000 and 100 knots", [Altitude(4000), Airspeed(100)]), ("fly at 4000", [Altitude(4000)]),
])
def test_all_that_is_named_in_one_breath_is_flown(line: str, flown: list[object]) -> None:
    assert read(line, HERE) == flown


def test_a_turn_at_a_bare_altitude_may_be_one_for_later_and_is_asked_back() -> None:
    assert read("turn left 270 at 4000", HERE) == [Unclear("Turn now and fly at 4000 feet, or turn at 4000 feet?")]


@given(heading=st.integers(1, 360), feet=st.integers(10, 140), knots=st.integers(60, 140))
def test_no_figure_of_three_is_lost(heading: int, feet: int, knots: int) -> None:
    line = f"fly heading {heading:03d} at {feet * 100} feet and {knots} knots"
    assert read(line, HERE) == [Turn(heading_deg=heading), Altitude(feet * 100), Airspeed(knots)]


@pytest.mark.parametrize(("line", "flown"), [
    ("climb to 6000 at 500 feet per minute", [Altitude(6000, "climb")]),
    ("climb 500 fpm to 6000", [Altitude(6000, "climb")]), ("climb at 500 fpm", [Altitude(None, "climb")]),
    ("descend at 500fpm", [Altitude(None, "descend")]), ("climb at 700 feet a minute", [Altitude(None, "climb")]),
    ("descend 500 a minute to 3000", [Altitude(3000, "descend")]),
    ("descend at 500 ft/min to 3000", [Altitude(3000, "descend")]),
    ("climb at a rate of 500 feet per minute to 7000", [Altitude(7000, "climb")]),
    ("descend to 3000, 500 feet per minute", [Altitude(3000, "descend")]),
    ("500 feet per minute down", [Altitude(None, "descend")]), ("rate of descent 500", []),
    ("turn left heading 240, climb to 5000 at 500 fpm", [Turn("left", 240), Altitude(5000, "climb")]),
])
def test_a_rate_is_said_to_be_left_out_and_the_rest_is_flown(line: str, flown: list[object]) -> None:
    assert read(line, HERE) == [*flown, Unclear(ASK_RATE)]


def test_a_rate_that_is_looked_for_is_no_order() -> None:
    assert read("check the vertical speed is 500 feet per minute", HERE) == [Look("vertical_speed_indicator")]


def test_an_order_to_fly_with_a_figure_that_is_not_understood_is_asked_about() -> None:
    actions = read("fly blorp 4000, slow to 90 knots", HERE)
    assert any(isinstance(action, Unclear) for action in actions)


@pytest.mark.parametrize(("line", "flown"), [
    ("heading 270 altitude 5000 speed 100", [Turn(heading_deg=270), Altitude(5000), Airspeed(100)]),
    ("heading 270 speed 90", [Turn(heading_deg=270), Airspeed(90)]),
    ("turn left 270 climb 5000 slow 90", [Turn("left", 270), Altitude(5000, "climb"), Airspeed(90)]),
    ("return to 5000", [Altitude(5000)]), ("get back to 5000", [Altitude(5000)]),
    ("climb back to 5000", [Altitude(5000, "climb")]), ("back to heading 270", [Turn(heading_deg=270)]),
    ("back to 270", [Turn(heading_deg=270)]), ("turn back to 270", [Turn(heading_deg=270)]),
    ("return to Wendle", [Decide("divert", "Wendle")]), ("return to the ramp", [Decide("return_to_ramp")]),
    ("hold over Wendle at 4000", [Decide("hold", "Wendle"), Altitude(4000)]),
    ("hold at Wendle", [Decide("hold", "Wendle")]),
])
def test_figures_that_are_named_or_gone_back_to(line: str, flown: list[object]) -> None:
    assert read(line, HERE) == flown


def test_a_covered_instrument_is_not_flown_by() -> None:
    assert FlyBy("attitude_indicator") not in read("AI covered, TC in use", HERE)


def test_to_be_done_with_a_checklist_asks_for_none() -> None:
    assert not any(isinstance(action, Checklist) for action in read("done with the checklist", HERE))
