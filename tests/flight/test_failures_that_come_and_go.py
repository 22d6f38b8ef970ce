"""A failure that comes and goes, and several at once, through a whole flight: events, panel, record, replay, grade."""

from __future__ import annotations

from pathlib import Path

import pytest

from drill.flight.events import Event, Failed, Healed
from drill.flight.flight import Flight
from drill.flight.record import Recorder, read_record, replay
from drill.grading import grade
from drill.scenario import load_text
from drill.scenario.loading import airplanes_beside
from drill.scenario.model import Scenario
from flight.flights import of

SHORT = Path(__file__).with_name("short.yaml")


def changed(failures: str) -> Scenario:
    text = SHORT.read_text(encoding="utf-8")
    old = "  pump: {part: vacuum pump, how: shaft shears, at: 20 s, spread: 20 s}\n"
    assert old in text
    return load_text(text.replace(old, f"  pump: {{part: vacuum pump, how: shaft shears}}\n{failures}"), "short.yaml",
                     airplanes_beside(SHORT))


def flown(scenario: Scenario, seconds: float) -> tuple[Flight, list[Event]]:
    flight, events = Flight.start(scenario, 1)
    return flight, events + flight.advance(seconds)


COMES = "  signal: {part: gps, how: loses its signal, at: 20 s, lasts: 10 s, every: 90 s}\n"


def test_it_fails_and_heals_again_and_again_and_the_panel_follows() -> None:
    _, events = flown(changed(COMES), 215.0)
    assert [each.t for each in of(Failed, events)] == [20.0, 110.0, 200.0]
    assert [each.t for each in of(Healed, events)] == [30.0, 120.0, 210.0]
    flight, _ = Flight.start(changed(COMES), 1)
    for until, on in ((15.0, 1.0), (25.0, 0.0), (100.0, 1.0), (115.0, 0.0)):   # it wants 45 s to find itself again
        flight.advance(until - flight.t_s)
        assert flight.panel.gps_on == on


def test_each_time_is_an_occurrence_of_its_own_in_record_and_grade(tmp_path: Path) -> None:
    scenario = changed(COMES)
    flight, events = Flight.start(scenario, 1)
    path = tmp_path / "flight.jsonl"
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(150.0), flight)
    again = replay(path)
    assert (again.flown, again.identical) == (True, True)
    recorded = read_record(path)
    told = grade(recorded.scenario, recorded.events, recorded.seed).failures
    assert len(told) == 2


def test_several_failures_at_once_each_do_what_they_do() -> None:
    both = ("  needle: {part: turn coordinator, how: loses power, at: 20 s}\n"
            "  light: {part: transponder, how: goes dead, at: 20 s}\n")
    flight, events = flown(changed(both), 40.0)
    assert {each.failure for each in of(Failed, events)} == {"needle", "light"}
    assert (flight.panel.turn_flag, flight.panel.transponder_on) == (1.0, 0.0)
    assert flight.panel.suction_inhg == pytest.approx(5.0, abs=0.1)
