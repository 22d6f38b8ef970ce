"""The odd one of three is not always the one that lies: flights of each variation, by what the pilot makes of it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from drill.flight import seeds
from drill.flight.events import Event
from drill.flight.flight import Flight
from drill.flight.pilots import ScriptPilot, fly
from drill.grading import Debrief, grade
from drill.scenario import load
from drill.scenario.model import Scenario

HERE = Path(__file__).parents[2] / "procedures" / "letters-for-marrowby.yaml"


@cache
def letters() -> Scenario:
    return load(HERE)


def seed_of(variation: str) -> int:
    return next(seed for seed in range(1, 200)
                if seeds.variation(letters(), seed) == variation and not seeds.nothing_fails(letters(), seed))


def flown(variation: str, script: str) -> Debrief:
    seed = seed_of(variation)
    flight, begun = Flight.start(letters(), seed)
    events: list[Event] = [*begun, *fly(flight, ScriptPilot.parse(script)).events]
    return grade(letters(), events, seed)


def outcome(debrief: Debrief) -> str:
    assert debrief.ending is not None
    return debrief.ending.outcome


DISTRUSTS_THE_HORIZON = """
5:00 autopilot off
5:04 cover the attitude indicator and go partial panel
6:30 turn right heading 340
"""
DISTRUSTS_THE_NEEDLE = """
6:20 turn right heading 340
6:30 compare the turn coordinator, the attitude indicator and the compass
6:46 the turn coordinator has failed
6:52 tell approach Larkspur 2716K, our turn coordinator has failed, the rest is in order, we can continue
8:00 continue to Marrowby
"""


@pytest.mark.long
def test_whoever_covers_a_horizon_that_is_right_and_goes_by_a_dead_needle_loses_the_airplane() -> None:
    debrief = flown("the needle", DISTRUSTS_THE_HORIZON)
    assert outcome(debrief) in ("loss of control", "broke up", "hit the ground")
    assert {each.item: each.verdict for each in debrief.findings}["Keep the horizon that is right"] == "broken"


@pytest.mark.long
def test_whoever_finds_the_dead_needle_in_a_turn_flies_on_by_the_horizon() -> None:
    debrief = flown("the needle", DISTRUSTS_THE_NEEDLE)
    assert outcome(debrief) == "safe"
    assert debrief.score is not None
    assert debrief.score >= 90


@pytest.mark.long
@pytest.mark.parametrize("variation", ["the horizon alone", "two of one source"])
def test_the_same_distrust_of_the_horizon_is_right_where_the_horizon_lies(variation: str) -> None:
    debrief = flown(variation, DISTRUSTS_THE_HORIZON)
    assert outcome(debrief) not in ("loss of control", "broke up", "hit the ground")
    told = {each.item: each.verdict for each in debrief.findings}
    assert (told["Take the airplane from the autopilot"], told["Stop following the bad horizon"]) == ("done", "done")


@pytest.mark.long
@pytest.mark.parametrize("variation", ["the horizon alone", "two of one source"])
def test_the_autopilot_that_nobody_watches_follows_the_horizon_down(variation: str) -> None:
    assert outcome(flown(variation, "6:20 turn right heading 340")) in ("loss of control", "broke up")
