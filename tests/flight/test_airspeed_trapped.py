"""A pitot tube closed by ice: what prevents it, what brings the needle back, and the climb that need not be."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from drill.flight import seeds
from drill.flight.events import Event, Failed, Healed
from drill.flight.flight import Flight
from drill.flight.pilots import ScriptPilot, fly
from drill.grading import Debrief, grade
from drill.scenario import load
from drill.scenario.model import Scenario

HERE = Path(__file__).parents[2] / "procedures" / "over-to-sorrelton.yaml"


@cache
def hills() -> Scenario:
    return load(HERE)


def flown(variation: str, script: str) -> tuple[Debrief, list[Event]]:
    seed = next(seed for seed in range(1, 200) if seeds.variation(hills(), seed) == variation)
    flight, begun = Flight.start(hills(), seed)
    events: list[Event] = [*begun, *fly(flight, ScriptPilot.parse(script)).events]
    return grade(hills(), events, seed), events


def began(events: list[Event], name: str) -> list[float]:
    return [event.t for event in events if isinstance(event, Failed) and event.failure == name]


def over(events: list[Event], name: str) -> list[float]:
    return [event.t for event in events if isinstance(event, Healed) and event.failure == name]


WARM_IN_TIME = """
2:00 pitot heat on
4:10 climb to 8000
4:14 say eight thousand, Larkspur 6120H
12:40 tell approach Larkspur 6120H, light rime icing at eight thousand, request lower and vectors to Dunmarsh
13:10 divert to Dunmarsh and turn left heading 130 and descend to 6000
"""


@pytest.mark.long
def test_a_tube_that_is_heated_before_the_cold_stays_open_and_nothing_is_blamed() -> None:
    # FAA-H-8083-15B ch. 5
    debrief, events = flown("a sound element", WARM_IN_TIME)
    assert began(events, "tube") == []
    verdicts = {each.item: each.verdict for each in debrief.findings}
    assert verdicts["Pitot heat before the cold"] == verdicts["Leave the ice"] == verdicts["Report the ice"] == "done"
    assert verdicts["Fly pitch and power"] == "not needed"
    assert debrief.ending is not None
    assert (debrief.ending.id, debrief.unsafe_acts) == ("in the warm", ())


@pytest.mark.long
def test_with_a_burnt_element_the_switch_does_nothing_and_warm_air_opens_the_tube() -> None:
    debrief, events = flown("a burnt element", WARM_IN_TIME)
    assert len(began(events, "tube")) == len(over(events, "tube")) == 1
    assert debrief.ending is not None
    assert debrief.ending.outcome == "safe"
    below = [each.t for each in events if hasattr(each, "true") and each.true["altitude_ft"] < 7_700.0]
    since = min(t for t in below if t > began(events, "tube")[0])
    assert over(events, "tube")[0] >= since + 100.0


REFUSES = """
0:58 say two niner eight four, expect the ILS, Larkspur 6120H
4:10 say unable eight thousand due to icing, request six thousand, Larkspur 6120H
4:50 say request vectors to Kestley, Larkspur 6120H
5:10 divert to Kestley and turn left heading 190
"""


@pytest.mark.long
def test_whoever_stays_below_the_freezing_level_meets_nothing_and_is_safe() -> None:
    debrief, events = flown("a sound element", REFUSES)
    assert began(events, "tube") == []
    assert debrief.ending is not None
    assert (debrief.ending.id, debrief.ending.outcome) == ("below the ice", "safe")
    assert {each.item: each.verdict for each in debrief.findings}["Pitot heat before the cold"] == "not needed"
