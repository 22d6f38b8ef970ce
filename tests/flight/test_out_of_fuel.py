"""An engine that has used the last of the fuel stops, and the pilot hears it."""

from __future__ import annotations

from dataclasses import replace

from drill.flight.events import Event, Told, Trace
from drill.flight.flight import Flight
from drill.flight.flying import ENGINE_STOPS
from drill.grading import grade
from drill.scenario.model import FailurePlan, Scenario

from .flights import of, short


def out_of_fuel(failures: tuple[FailurePlan, ...] = ()) -> tuple[Scenario, list[Event]]:
    """The small scenario with two minutes of fuel, flown for five."""
    scenario = replace(short(), start=replace(short().start, fuel_min=2.0),
                       failures=failures or short().failures)
    flight, events = Flight.start(scenario, 1)
    return scenario, [*events, *flight.advance(300.0)]


def test_the_cockpit_is_told_that_the_engine_stops_when_the_fuel_is_used_up() -> None:
    _, events = out_of_fuel()
    told = [each for each in of(Told, events) if each.words == ENGINE_STOPS]
    empty = next(each.t for each in of(Trace, events) if each.true["fuel_min"] <= 0.0)
    assert [round(each.t) for each in told] == [round(empty)]
    assert "fuel" not in told[0].words


def test_the_debrief_names_the_fuel_that_was_used_up() -> None:
    scenario, events = out_of_fuel()
    assert [story.part for story in grade(scenario, events, 1).failures if "fuel" in story.says] == ["engine"]


def test_an_engine_that_had_failed_before_does_not_stop_again() -> None:
    stops = replace(short().failures[0], part="engine", how="stops")
    _, events = out_of_fuel((stops, *short().failures[1:]))
    assert ENGINE_STOPS not in [each.words for each in of(Told, events)]
