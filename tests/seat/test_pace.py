"""Pace maps the wall clock to flight time, and nothing else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.seat.pace import PACES, Pace, PaceClock


def test_running_gives_flight_time_whether_or_not_the_pilot_types() -> None:
    clock = PaceClock("running", 100.0)
    assert clock.passed(100.5, None) == pytest.approx(0.5)
    assert clock.passed(101.0, 100.9) == pytest.approx(0.5)


def test_held_stops_time_from_the_first_key_of_a_line() -> None:
    clock = PaceClock("held", 100.0)
    assert clock.passed(100.4, None) == pytest.approx(0.4)
    assert clock.passed(100.5, 100.5) == 0.0
    assert clock.passed(101.4, 100.5) == 0.0
    assert clock.passed(101.5, None) == pytest.approx(0.1)


def test_held_lets_time_run_again_after_three_seconds_without_a_key() -> None:
    clock = PaceClock("held", 100.0)
    given_up = [clock.passed(100.0 + tenth / 10, 100.0) for tenth in range(1, 51)]
    assert sum(given_up[:30]) == pytest.approx(0.0)
    assert sum(given_up) == pytest.approx(2.0)


def test_by_turns_the_wall_clock_gives_nothing() -> None:
    clock = PaceClock("turns", 0.0)
    assert clock.passed(50.0, None) == 0.0


@pytest.mark.parametrize("pace", PACES)
def test_a_pause_stops_time_at_every_pace(pace: Pace) -> None:
    clock = PaceClock(pace, 0.0)
    clock.paused = True
    assert clock.passed(0.8, None) == 0.0
    clock.paused = False
    assert clock.passed(0.9, None) == (0.0 if pace == "turns" else pytest.approx(0.1))


def test_a_machine_that_slept_does_not_fly_on_meanwhile() -> None:
    clock = PaceClock("running", 0.0)
    assert clock.passed(3600.0, None) == 1.0


@given(st.sampled_from(PACES), st.lists(st.tuples(st.floats(0, 5), st.none() | st.floats(0, 5)), max_size=20))
def test_flight_time_never_runs_backwards_nor_faster_than_the_wall_clock(
    pace: Pace, looks: list[tuple[float, float | None]]
) -> None:
    clock = PaceClock(pace, 0.0)
    now = 0.0
    for gap, ago in looks:
        now += gap
        assert 0.0 <= clock.passed(now, None if ago is None else now - ago) <= gap + 1e-9
