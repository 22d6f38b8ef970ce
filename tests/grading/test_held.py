"""When a condition held, by the record: the same seconds at which it held for the story."""

from __future__ import annotations

from functools import cache

import pytest
from flight.flights import short

from drill.flight.events import Acted, Entered, Event, Failed, Trace
from drill.flight.flight import Flight
from drill.grading.held import first_held, held
from drill.grading.timeline import timeline
from drill.scenario import load_text
from drill.scenario.conditions import Condition, evaluate
from drill.scenario.model import Scenario
from drill.scenario.moment import Observation, StoryState
from drill.scenario.places import Text
from drill.scenario.problems import Place
from drill.scenario.reading import Reading
from drill.scenario.truth import PlainTruth
from drill.scenario.words import read_condition

CONDITIONS = (
    "did look suction gauge 2 times", "did look suction gauge 4 times", "did look suction gauge 2 times here",
    "did look suction gauge here", "did look suction gauge since failure pump",
    "did look suction gauge 2 times since failure pump", "did call 2 times", "did call since failure pump",
    "did cover attitude indicator here", "pitot heat on", "beacon off", "not did look suction gauge twice",
)
NEVER = ("did cover attitude indicator here",)      # done in the phase before, with the second at which it is left
LINES = (
    (3.0, "check the suction gauge"), (8.0, "pitot heat on"), (12.0, "check the suction gauge"),
    (18.0, "check the suction gauge"),                    # done at 20 s, with the second at which the pump fails
    (24.0, "check the suction gauge"), (28.0, "tell approach Larkspur 5304W, radio check"),
    (38.0, "cover the attitude indicator"),               # done with the second at which the next phase is entered
    (46.0, "check the suction gauge; pitot heat off"), (52.0, "turn off the beacon; check the suction gauge"),
    (60.0, "tell approach Larkspur 5304W, request the weather at Wendle"), (75.0, "check the suction gauge"),
)


SCENARIO = """phases:
  cruise:
    branches: [{when: did cover attitude indicator, go: later}, {when: %s, go: later}]
  later:
    branches: [{when: true bank > 60 deg, for: 2 s, end: home}]
"""


def scenario_asking() -> Scenario:
    """The small scenario, its pump failing after twenty seconds, with a story that asks for all the conditions."""
    text = short().text.replace("at: 20 s, spread: 20 s", "at: 20 s")
    head, tail = text[: text.index("phases:")], text[text.index("endings:"):]
    every = f"{{all: [{', '.join(CONDITIONS)}, stalled]}}"
    return load_text(head + SCENARIO % every + tail, "short.yaml", lambda _: short().airplane.text)


@cache
def flown() -> tuple[Scenario, tuple[Event, ...], tuple[StoryState, ...]]:
    """The scenario, what happened in a flight of it, and the story at each second."""
    scenario = scenario_asking()
    flight, began = Flight.start(scenario, 1)
    events, stories, waiting = list(began), [flight.state.story], list(LINES)
    for second in range(1, 95):
        while waiting and waiting[0][0] < second:
            events += flight.enter(waiting.pop(0)[1])
        events += flight.advance(1.0)
        stories.append(flight.state.story)
    return scenario, tuple(events), tuple(stories)


def condition(words: str) -> Condition:
    read: Condition = read_condition(Text(words, Place()), Reading())
    return read


@pytest.mark.parametrize("words", CONDITIONS)
def test_a_condition_holds_by_the_record_in_the_very_seconds_in_which_it_holds_in_the_story(words: str) -> None:
    _, events, stories = flown()
    by_record = list(held(condition(words), timeline(events)))
    assert [trace.t for trace, _ in by_record] == [story.t_s for story in stories]
    by_story = [bool(evaluate(condition(words), PlainTruth(story, Observation(story.t_s, {}, frozenset(trace.facts)))))
                for story, (trace, _) in zip(stories, by_record, strict=True)]
    assert [holds for _, holds in by_record] == by_story
    assert (True in by_story) == (words not in NEVER)
    assert False in by_story


def test_what_ends_with_the_second_at_which_a_failure_or_a_phase_begins_was_done_before() -> None:
    _, events, _ = flown()
    looks = [event.t for event in events if isinstance(event, Acted) and event.act["action"] == "look"]
    covered = [event.t for event in events if isinstance(event, Acted) and event.act["action"] == "cover"]
    assert 20.0 in looks
    assert [event.t for event in events if isinstance(event, Failed)] == [20.0]
    assert covered == [event.t for event in events if isinstance(event, Entered) and event.phase == "later"]
    line = timeline(events)
    assert first_held(condition("did look suction gauge since failure pump"), line) == looks[looks.index(20.0) + 1]
    assert first_held(condition("did cover attitude indicator here"), line) is None


def test_a_switch_is_in_the_record_where_the_scenario_asks_about_it_and_nowhere_else() -> None:
    _, events, _ = flown()
    facts = {fact for event in events if isinstance(event, Trace) for fact in event.facts}
    assert {fact for fact in facts if fact.startswith("on ")} == {"on pitot_heat", "on beacon"}
    unasked, _ = Flight.start(short(), 1)
    traces = [event for event in (*unasked.enter("pitot heat on"), *unasked.advance(20.0)) if isinstance(event, Trace)]
    assert traces
    assert not any(fact.startswith("on ") for trace in traces for fact in trace.facts)
