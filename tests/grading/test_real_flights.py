"""The shipped cruise, flown for real: well, late, badly and not at all."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from drill.flight.events import Event, Failed
from drill.flight.flight import Flight
from drill.grading import Debrief, grade
from drill.scenario import Scenario, find, load

CALL = ("tell approach PAN-PAN, PAN-PAN, PAN-PAN, Larkspur 5304W, vacuum failure, partial panel in cloud at five "
        "thousand, request climb to visual conditions on top and vectors to Wendle, two on board, three hours of fuel")
BEFORE = ((62.0, "say two niner eight six, expect the ILS, Larkspur 5304W"), (70.0, "set the altimeter to 29.86"))


@pytest.fixture(scope="module")
def cruise() -> Scenario:
    return load(find("cruise-to-tallowby"))


def answer(delay: float) -> list[tuple[float, str]]:
    """What a pilot does who begins `delay` seconds after the pump has gone."""
    return [
        (delay, "check the suction gauge"), (delay + 5, "cover the attitude indicator and cover the heading indicator"),
        (delay + 16, "go partial panel"), (delay + 25, "I think the vacuum pump has failed"),
        (delay + 40, "run the vacuum failure checklist"), (delay + 90, CALL), (delay + 120, "divert to Wendle"),
        (delay + 150, "climb and maintain 8000"), (delay + 420, "turn right heading 080"),
    ]


def flown(
    scenario: Scenario, seed: int, before: Sequence[tuple[float, str]], after: Sequence[tuple[float, str]],
) -> Debrief:
    flight, began = Flight.start(scenario, seed)
    events: list[Event] = list(began)
    waiting, answers = list(before), list(after)
    onset: float | None = None
    while flight.ended is None and flight.t_s < scenario.time_limit_s + 5.0:
        events += flight.advance(1.0)
        if onset is None:
            onset = next((event.t for event in events if isinstance(event, Failed)), None)
        while waiting and flight.t_s >= waiting[0][0]:
            events += flight.enter(waiting.pop(0)[1])
        while answers and onset is not None and flight.t_s >= onset + answers[0][0]:
            events += flight.enter(answers.pop(0)[1])
    return grade(scenario, events, seed)


@pytest.fixture(scope="module")
def seed(cruise: Scenario) -> int:
    """The first seed in which the pump fails."""
    return next(seed for seed in range(50) if flown(cruise, seed, (), ()).failures)


@pytest.mark.long
def test_a_flight_flown_well_scores_above_one_flown_late_above_one_flown_badly(cruise: Scenario, seed: int) -> None:
    well = flown(cruise, seed, BEFORE, answer(40.0))
    late = flown(cruise, seed, BEFORE, answer(300.0))
    badly = flown(cruise, seed, BEFORE, [(100.0, CALL)])
    nothing = flown(cruise, seed, (), ())
    assert well.score is not None
    assert well.score >= 95.0
    assert well.unsafe_acts == ()
    assert well.score > (late.score or 0.0) > (badly.score or 0.0) > (nothing.score or 0.0)
    assert (badly.score or 0.0) <= 40.0
    assert (nothing.score or 0.0) < 20.0


def test_the_dead_pump_could_have_been_known_within_a_minute_by_the_gauge(cruise: Scenario, seed: int) -> None:
    story = flown(cruise, seed, (), ()).failures[0]
    assert story.evidence_s is not None
    assert story.evidence_s - story.began_s < 60.0
