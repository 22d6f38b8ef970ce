"""Position, wind, GPS and the course needle."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane import FLOATS, Air, Airframe, Controls, Start, navigation
from drill.airplane.constants import MILE

from .flights import single, wrapped


def at(north_nm: float, east_nm: float) -> navigation.Navigation:
    return navigation.Navigation(north_nm * MILE, east_nm * MILE, 0.0, 0.0, 0.0, 0.0)


def needle(north_nm: float, east_nm: float, **course: float) -> float:
    return float(navigation.needle(FLOATS, at(north_nm, east_nm), Controls(**course)))


def test_in_still_air_the_groundspeed_is_the_true_airspeed() -> None:
    flight = single(start=Start(heading_deg=90.0), controls=Controls(heading_deg=90.0))
    flight.fly(600.0)
    assert flight.truth.groundspeed_kt == pytest.approx(flight.truth.true_airspeed_kt, abs=0.5)
    assert flight.truth.east_nm == pytest.approx(flight.truth.true_airspeed_kt / 6.0, rel=0.02)
    assert abs(flight.truth.north_nm) < 0.5


def test_wind_drifts_the_airplane_by_the_wind_triangle() -> None:
    # crosswind of 30 kt from the left at 118.4 KTAS: drift atan(30/118.4) to the right, groundspeed hypot
    flight = single(air=Air(wind_from_deg=270.0, wind_kt=30.0)).fly(120.0)
    tas = flight.truth.true_airspeed_kt
    drift = math.degrees(math.atan2(30.0, tas))
    assert wrapped(flight.truth.track_deg - flight.truth.heading_deg) == pytest.approx(drift, abs=0.3)
    assert flight.panel.groundspeed_kt == pytest.approx(math.hypot(30.0, tas), abs=1.5)
    assert wrapped(flight.panel.track_deg - flight.truth.track_deg) == pytest.approx(0.0, abs=1.0)


def test_a_head_wind_slows_and_a_tail_wind_speeds_up() -> None:
    head = single(air=Air(wind_from_deg=0.0, wind_kt=20.0)).truth
    tail = single(air=Air(wind_from_deg=180.0, wind_kt=20.0)).truth
    assert tail.groundspeed_kt - head.groundspeed_kt == pytest.approx(40.0, abs=0.1)


def test_left_of_course_the_needle_stands_right() -> None:
    north = {"course_north_nm": 10.0, "course_deg": 0.0}
    assert needle(0.0, -1.0, **north) == pytest.approx(0.5)    # 1 nm left, full scale 2 nm
    assert needle(0.0, 1.0, **north) == pytest.approx(-0.5)
    assert needle(0.0, -5.0, **north) == 1.0
    assert needle(3.0, 0.0, **north) == pytest.approx(0.0)


def test_an_approach_needle_grows_more_sensitive_towards_the_point() -> None:
    runway = {"course_north_nm": 10.0, "course_deg": 0.0, "course_width_deg": 2.5}
    far, near = needle(0.0, -0.1, **runway), needle(8.0, -0.1, **runway)
    assert 0.0 < far < near <= 1.0
    assert far == pytest.approx(math.degrees(math.atan2(0.1, 10.0)) / 2.5)
    assert needle(12.0, -0.1, **runway) > 0.0    # beyond the point left is still left


@given(st.floats(0.0, 359.9), st.floats(-3.0, 3.0), st.floats(0.5, 20.0), st.sampled_from([0.0, 2.5, 10.0]))
def test_the_needle_always_points_to_the_course(course: float, right_nm: float, before_nm: float, width: float) -> None:
    c = math.radians(course)
    north = -before_nm * math.cos(c) - right_nm * math.sin(c)
    east = -before_nm * math.sin(c) + right_nm * math.cos(c)
    shown = needle(north, east, course_deg=course, course_width_deg=width)
    if abs(right_nm) > 1e-3:
        assert math.copysign(1.0, shown) == -math.copysign(1.0, right_nm)


def test_an_airplane_without_gps_has_a_flag_and_a_dark_screen() -> None:
    flight = single(airframe=Airframe(gps_fitted=False)).fly(1.0)
    assert (flight.panel.gps_on, flight.panel.course_flag) == (0.0, 1.0)
