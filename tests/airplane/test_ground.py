"""On the ground with the engine running: engine speed, suction, taxi turns, and what the instruments show of them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.airplane import FLOATS, Air, Airframe, Controls, Start, ground, motion
from drill.airplane.constants import DEG, KNOT, TAXI_MOST_KT, TAXI_RADIUS_M, TAXI_TURN_DPS
from drill.airplane.controls import HOLD_RPM, TURN_TO_HEADING

from .flights import Single, single, wrapped

PARKED = Start(on_ground=1.0, heading_deg=90.0)


def parked(rpm: float, *, gyros_running: float = 1.0, **orders: float) -> Single:
    controls = Controls(power=HOLD_RPM, rpm=rpm, heading_deg=90.0, **orders)
    start = Start(on_ground=1.0, heading_deg=90.0, gyros_running=gyros_running)
    return single(start=start, controls=controls, air=Air(ground_ft=600.0))


@pytest.mark.parametrize("rpm", [800.0, 1000.0, 1800.0])
def test_the_engine_goes_to_the_speed_that_is_ordered(rpm: float) -> None:
    assert parked(rpm).fly(20.0).panel.rpm == pytest.approx(rpm, abs=30.0)


def test_suction_is_low_at_idle_and_in_the_green_at_run_up_speed() -> None:
    # a pump that is in order draws too little at idle: the check belongs to run-up speed (common practice, no source)
    flight = parked(800.0).fly(30.0)
    assert flight.panel.suction_inhg < 3.5
    flight.controls = Controls(power=HOLD_RPM, rpm=1800.0, heading_deg=90.0)
    assert 4.5 <= flight.fly(20.0).panel.suction_inhg <= 5.5


def test_with_the_brakes_set_nothing_moves_whatever_the_engine_does() -> None:
    flight = parked(1800.0).fly(30.0)
    assert (flight.truth.north_nm, flight.truth.east_nm, flight.truth.heading_deg) == (0.0, 0.0, pytest.approx(90.0))
    assert flight.truth.parked == 1.0
    assert flight.panel.airspeed_kt == 0.0
    assert flight.panel.altitude_ft == pytest.approx(600.0, abs=1.0)


def test_taxiing_turns_to_the_heading_by_eye_even_before_the_gyros_are_up() -> None:
    flight = parked(1000.0, gyros_running=0.0, taxi_kt=8.0, lateral=TURN_TO_HEADING)
    flight.controls = Controls(power=HOLD_RPM, rpm=1000.0, taxi_kt=8.0, lateral=TURN_TO_HEADING, heading_deg=180.0,
                               direction=1.0)
    flight.fly(40.0)
    assert abs(wrapped(flight.truth.heading_deg - 180.0)) < 4.0
    assert flight.truth.groundspeed_kt == pytest.approx(8.0, abs=0.5)
    assert flight.truth.north_nm < 0.0


def test_in_a_right_taxi_turn_the_needle_goes_right_and_the_ball_left() -> None:
    # FAA-H-8083-15, instrument check on the taxiway: the turn is shown, the ball swings to the outside
    flight = parked(1000.0, taxi_kt=8.0)
    flight.controls = Controls(power=HOLD_RPM, rpm=1000.0, taxi_kt=8.0, lateral=TURN_TO_HEADING, heading_deg=270.0,
                               direction=1.0)
    flight.fly(8.0)
    assert flight.panel.turn_rate_dps > 3.0
    assert flight.panel.ball < -0.3
    assert abs(flight.panel.bank_deg) < 5.0    # same source: more than 5 degrees in a taxi turn is unreliable


@given(st.floats(0.0, 40.0), st.floats(-180.0, 180.0), st.floats(0.0, 30.0))
@settings(max_examples=200)
def test_a_taxi_turn_is_never_tighter_than_the_nosewheel_allows(speed_kt: float, to_go: float, wanted: float) -> None:
    now = ground.roll(FLOATS, Controls(taxi_kt=wanted, lateral=TURN_TO_HEADING), speed_kt * KNOT, to_go)
    assert 0.0 <= now.speed_mps <= max(speed_kt, TAXI_MOST_KT) * KNOT + 1e-9
    assert abs(now.turn_radps) <= TAXI_TURN_DPS * DEG + 1e-9
    assert abs(now.turn_radps) * TAXI_RADIUS_M <= now.speed_mps + 1e-9


def test_a_fixed_propeller_overspeeds_in_a_dive_and_is_below_the_red_line_otherwise() -> None:
    # the figures of the class are common practice, no source
    frame = Airframe()
    full = 1000.0 * frame.power_kw

    def rpm(share: float, tas_kt: float) -> float:
        return float(motion.engine_rpm(FLOATS, frame, share * full, tas_kt * KNOT))

    assert 2200.0 <= rpm(1.0, 0.0) <= 2400.0          # static, full throttle
    assert 2300.0 <= rpm(1.0, 75.0) <= 2600.0         # climb
    assert 2250.0 <= rpm(0.7, 120.0) <= 2550.0        # cruise
    assert rpm(0.95, 128.0) <= frame.rpm_redline      # level, all of it
    assert rpm(0.75, 184.0) > frame.rpm_redline       # diving at 170 KIAS at 5,000 ft with cruise power
    assert 1500.0 < rpm(0.0, 170.0) < rpm(0.3, 170.0)  # windmilling


@given(st.floats(0.0, 1.0), st.floats(0.0, 90.0), st.floats(0.1, 10.0))
def test_the_engine_never_slows_as_the_airplane_dives_faster(share: float, tas: float, more: float) -> None:
    frame = Airframe()
    power = share * 1000.0 * frame.power_kw
    assert motion.engine_rpm(FLOATS, frame, power, tas + more) >= motion.engine_rpm(FLOATS, frame, power, tas)
