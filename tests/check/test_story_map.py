"""The map of a story says of each part whether it is proven impossible, shown by a flight, or neither."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from check.map_stories import TWO, Seen
from drill.check.pilots.results import FlightOutcome, ItemOutcome, Result, Setup
from drill.check.pilots.told import as_object
from drill.check.pilots_told import NoPilots, flown_by_pilots
from drill.check.story_map import BY_PILOTS, StoryMap, map_of
from drill.scenario import Scenario


@pytest.fixture(scope="module")
def made() -> StoryMap:
    return map_of(TWO, Seen({"phase cruise": "flight 1 at 0:00", "branch cruise 0": "flight 2 at 0:10"}))


def test_what_exploration_proves_impossible_is_never_and_says_why(made: StoryMap) -> None:
    never = made.stages[0].edges[1]
    assert (never.known, never.why) == ("never", "its condition cannot hold here")
    assert (made.stages[2].name, made.stages[2].known) == ("lost", "never")
    assert made.stages[2].edges[0].known == "never"
    assert made.stages[2].edges[0].why == "no flight comes to its phase"


def test_what_a_flight_came_to_is_shown_and_the_rest_is_possible(made: StoryMap) -> None:
    cruise, high, _ = made.stages
    assert (cruise.known, cruise.why) == ("shown", "flight 1 at 0:00")
    assert (cruise.edges[0].known, cruise.edges[0].why) == ("shown", "flight 2 at 0:10")
    assert (high.known, cruise.edges[2].known) == ("possible", "possible")
    assert {close.name: close.known for close in made.closes}["there"] == "possible"


def test_branches_cues_and_failures_stand_in_words(made: StoryMap) -> None:
    cruise = made.stages[0]
    assert [(edge.number, edge.to, edge.ends) for edge in cruise.edges] == [
        (1, "high", False), (2, "upset", True), (3, "there", True)]
    assert (cruise.edges[0].when, cruise.edges[0].hold.split()[0]) == ("the pilot has done “climb”", "5")
    assert cruise.edges[0].changes == "flag “climbed” goes up"
    assert [(cue.when.replace("\u00a0", " "), cue.changes) for cue in cruise.cues] == [
        ("at 30 s in the phase, unless in cloud", "“second” fails")]
    assert cruise.told == 1       # that only says something
    pump, second = made.failures
    assert pump.when.replace("\u00a0", " ") == "between 4 min and 5 min of flight"
    assert second.when == "when the story lets it fail"


def test_a_branch_s_line_is_that_of_the_document(made: StoryMap) -> None:
    lines = TWO.text.split("\n")
    assert "did climb" in lines[made.stages[0].edges[0].line - 1]


def test_endings_that_need_no_branch_come_from_any_phase(made: StoryMap) -> None:
    assert [close.name for close in made.closes if close.limit] == ["ground", "break-up", "time up"]
    assert {close.name: close.good for close in made.closes}["there"] is True


def told(of: Scenario, **other: object) -> dict[str, object]:
    shares = {"new": 0.25, "old": 1.0}
    return {"scenario": of.name, "pilots": 40, "skills": ["new", "old"],
            "branches": [{"phase": phase.name, "branch": number, "shares": shares}
                         for phase in of.phases for number in range(len(phase.branches))],
            "phases": {"cruise": {"new": 1.0, "old": 1.0}}, "endings": {"there": shares}, **other}


@pytest.mark.parametrize("many", [True, False])
def test_what_simulated_pilots_did_stands_at_each_branch(tmp_path: Path, *, many: bool) -> None:
    path = tmp_path / "r.json"
    path.write_text(json.dumps({"problems": [], "pilots": [told(TWO)]} if many else told(TWO)), encoding="utf-8")
    made = map_of(TWO, None, flown_by_pilots(TWO, path))
    assert made.stages[0].edges[0].shares == {"new": 0.25, "old": 1.0}
    assert made.flown is not None
    assert made.flown.skills == ("new", "old")
    assert made.stages[1].shares == {}
    assert (made.stages[0].edges[0].known, made.stages[0].edges[0].why) == ("shown", BY_PILOTS)
    assert made.stages[0].edges[1].known == "never"       # a proof stands above a table


def test_what_a_result_of_simulated_pilots_says_is_what_the_map_reads(tmp_path: Path) -> None:
    edges = tuple((phase.name, number) for phase in TWO.phases for number in range(len(phase.branches)))
    setup = Setup(TWO.name, 4, 1, ("new", "old"), ("A",), ("there", "upset"), edges)
    asked = (ItemOutcome("not needed", None),) * len(TWO.grade_sheet)
    flights = tuple(
        FlightOutcome(number, number, setup.skills[number % 2], "there", 60.0, edges[:number], ("cruise",), asked,
                      failed=False)
        for number in range(4))
    path = tmp_path / "r.json"
    path.write_text(json.dumps({"pilots": [as_object(TWO, Result(setup, flights))]}), encoding="utf-8")
    made = map_of(TWO, None, flown_by_pilots(TWO, path))
    assert made.stages[0].edges[0].shares == {"new": 0.5, "old": 1.0}
    assert made.stages[0].edges[1].shares == {"new": 0.5, "old": 0.5}
    assert made.stages[0].shares == {"new": 1.0, "old": 1.0}
    assert {close.name: close.shares for close in made.closes}["there"] == {"new": 1.0, "old": 1.0}


@pytest.mark.parametrize(("text", "message"), [
    ("no json", "not what `drill check --pilots N"),
    (json.dumps(told(TWO, scenario="other")), "no pilots of"),
    (json.dumps(told(TWO, branches=[])), "its branches are not those of"),
    (json.dumps(told(TWO, endings={"there": {"new": 7.0}})), "not what `drill check --pilots N"),
])
def test_a_result_of_something_else_is_refused_in_words(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "r.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(NoPilots, match=message):
        flown_by_pilots(TWO, path)
