"""What fails by itself, without a scenario's plan, is a failure to the debrief as any other."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.events import Event, Failed
from drill.grading import Debrief, grade
from drill.grading.timeline import timeline
from drill.grading.unplanned import with_unplanned
from drill.language.meaning import Action, Diagnose, Switch

from .builders import flown, scenario


def iced(*acts: tuple[float, Action], melts_s: float | None = None) -> list[Event]:
    """A flight in whose pitot tube ice grows from 100 s on, all over it at 300 s; the heat melts it from `melts_s`."""
    def ice(t: float) -> float:
        grown = min(max((t - 100.0) / 200.0, 0.0), 1.0)
        return grown if melts_s is None or t < melts_s else max(0.0, grown - (t - melts_s) / 60.0)

    return flown(*acts, fails_at=None, bank=lambda t, follows: 0.0, true=lambda t: {"pitot_ice": ice(t)},
                 shown=lambda t: {"airspeed_kt": 110.0 * (1.0 - ice(t)) ** 0.5})


def graded(events: list[Event]) -> Debrief:
    return grade(scenario((), failures=()), events, 1)


def test_ice_that_closes_an_unheated_pitot_tube_is_a_failure() -> None:
    debrief = graded(iced())
    assert [(story.name, story.part, story.healed_s) for story in debrief.failures] == [
        ("ice in the pitot tube", "pitot tube", None)]
    assert "Ice" in debrief.failures[0].says
    assert debrief.failures[0].evidence_s is not None


def test_the_iced_tube_is_a_failure_from_when_the_airspeed_is_five_percent_short() -> None:
    # impact pressure goes with the square of the speed (FAA-H-8083-15B ch. 5): 0.9 of it is 0.95 of the speed
    assert graded(iced()).failures[0].began_s == pytest.approx(120.0, abs=1.0)


def test_who_names_the_iced_pitot_has_named_what_failed() -> None:
    debrief = graded(iced((320.0, Diagnose(("pitot",)))))
    assert debrief.failures[0].named_s == pytest.approx(320.0, abs=2.0)
    assert not [each for each in debrief.findings if each.item == "Name what failed, and only that"]


def test_pitot_heat_is_the_act_on_ice_and_ends_it() -> None:
    story, = graded(iced((320.0, Switch("pitot_heat", "on")), melts_s=321.0)).failures
    assert "pitot heat" in story.first_act
    assert story.healed_s == pytest.approx(380.0, abs=5.0)


@pytest.mark.parametrize("planned", [("heater", "pitot heat", "does not heat"),
                                     ("tube", "pitot tube", "blocked with its drain open")])
def test_a_failure_of_the_tube_or_of_its_heat_tells_of_the_ice_already(planned: tuple[str, str, str]) -> None:
    line = with_unplanned(timeline([*iced(), Failed(60.0, *planned)]))
    assert [each.failure for each in line.onsets] == [planned[0]]


def test_a_failure_that_comes_after_the_ice_is_a_second_one() -> None:
    line = with_unplanned(timeline([*iced(), Failed(200.0, "heater", "pitot heat", "does not heat")]))
    assert [each.failure for each in line.onsets] == ["ice in the pitot tube", "heater"]


def dry(*, stops_s: float | None = None) -> list[Event]:
    """A flight whose fuel is used up at 300 s."""
    flight = flown(fails_at=None, bank=lambda t, follows: 0.0, true=lambda t: {"fuel_min": max(0.0, 5.0 - t / 60.0)},
                   shown=lambda t: {"rpm": 2400.0 if t < (stops_s or 300.0) else 900.0})
    return flight if stops_s is None else sorted([*flight, Failed(stops_s, "it", "engine", "stops")],
                                                 key=lambda event: event.t)


def test_an_engine_without_fuel_is_told_as_one_that_stops_for_want_of_it() -> None:
    story, = graded(dry()).failures
    assert (story.part, story.began_s) == ("engine", 300.0)
    assert "fuel" in story.says
    assert story.evidence_s == pytest.approx(310.0, abs=6.0)


def test_an_engine_that_had_stopped_before_does_not_stop_once_more_for_want_of_fuel() -> None:
    line = with_unplanned(timeline(dry(stops_s=200.0)))
    assert [each.failure for each in line.onsets] == ["it"]


def test_a_flight_with_its_heat_and_its_fuel_has_no_failures() -> None:
    line = timeline(flown(fails_at=None, true=lambda t: {"pitot_ice": 0.04, "fuel_min": 60.0}))
    assert with_unplanned(line) == replace(line, onsets=())
