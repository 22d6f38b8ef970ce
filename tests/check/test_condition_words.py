"""Conditions in the words of a reader who has never seen a scenario's document."""

from __future__ import annotations

import pytest

from check.explore_stories import story
from drill.check.condition_words import GLUE, condition_words, span_words
from drill.scenario.conditions import AnyOf, Fact, Not


@pytest.mark.parametrize(("written", "said"), [
    ("true bank > 50 deg", "true bank more than 50°"),
    ("not true altitude >= 2700 ft", "true altitude less than 2,700 ft"),
    ("distance to Tallowby <= 0.5 nm", "distance to Tallowby at most 0.5 NM"),
    ("true vertical speed < -1200 fpm", "true vertical speed less than -1,200 ft/min"),
    ("course needle > 0.95", "course needle more than 0.95 of full scale"),
    ("time in phase > 6 min", "time in phase more than 6 min"),
    ("in cloud", "in cloud"),
    ("not in cloud", "not in cloud"),
    ("{any: [reported vacuum system, reported heading indicator]}",
     "ATC has been told that vacuum system or heading indicator failed"),
    ("{all: [did climb here, failed pump]}", "the pilot has done “climb” in this phase and failure “pump” is active"),
    ("{any: [did climb, did descend]}", "the pilot has done “climb” or “descend”"),
    ("{all: [in cloud, {any: [planned divert Wendle, planned land Wendle]}]}",
     "in cloud and (the plan is to divert to Wendle or land at Wendle)"),
    ("{any: [asked for vmc, declared anything, {all: [in cloud, stalled]}]}",
     "ATC has been asked for VMC, an emergency of any kind declared or (in cloud and stalled)"),
    ("flying by partial panel", "flying by partial panel"),
    ("pitot heat on", "pitot heat is on"),
    ("{any: [alternator off, not battery on]}", "alternator is off or battery is off"),
    ("did climb twice here", "the pilot has done “climb” 2 times in this phase"),
    ("not did call 3 times", "the pilot has not done “call” 3 times"),
    ("{any: [did climb 2 times since failure pump, did descend since failure pump, did hold]}",
     "(the pilot has done “climb” 2 times or “descend” since failure “pump” began) or the pilot has done “hold”"),
    ("covered attitude indicator", "attitude indicator is covered"),
])
def test_a_condition_in_words(written: str, said: str) -> None:
    made = story(f"cruise:\n  branches: [{{when: {written}, end: there}}]")
    assert condition_words(made.phases[0].branches[0].when).replace(GLUE, " ") == said


def test_a_denied_list_is_told_as_what_it_comes_to() -> None:
    either = AnyOf((Fact("reported", "vacuum_system"), Fact("is", "in cloud")))
    assert condition_words(Not(either)) == "ATC has not been told that vacuum system failed and not in cloud"


@pytest.mark.parametrize(("seconds", "said"), [(0.0, "0 s"), (2.5, "2.5 s"), (90.0, "90 s"), (150.0, "2:30 min")])
def test_a_length_of_time_in_words(seconds: float, said: str) -> None:
    assert span_words(seconds).replace(GLUE, " ") == said
