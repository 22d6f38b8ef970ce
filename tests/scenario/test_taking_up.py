"""An author begins a flight in any phase: the story is entered there, and what failed on the way there has failed."""

from __future__ import annotations

from pathlib import Path

import pytest

from drill.flight.flight import Flight
from drill.flight.record import Recorder, read_record, replay
from drill.flight.seeds import nothing_fails, times, variation
from drill.scenario import Scenario, load, shipped
from drill.scenario.model import TakenUp
from drill.scenario.taking_up import CannotTakeUp, taken_up, way_to
from drill.seat.briefing import briefing_lines
from scenario.documents import changed, loaded

TWO = (
    "failures:\n  pump: {part: vacuum pump, how: shaft shears, at: 4 min}\n"
    "  horizon: {part: attitude indicator, how: rotor stops, at: 5 min}\n"
    "variations:\n  a: {fails: [pump]}\n  b: {fails: [horizon]}\n  none: {fails: []}\n"
)


def with_story(when: str, *effects: str, failures: str = "") -> Scenario:
    lines = "".join(f"\n        {each}" for each in (*effects, "go: helped"))
    changes = [("when: reported vacuum system\n        go: helped", f"when: {when}{lines}")]
    if failures:
        old = "failures:\n  pump: {part: vacuum pump, how: shaft shears, at: 4 min, spread: 12 min}\n"
        changes.append((old, failures))
    return loaded(changed(*changes))


@pytest.mark.parametrize(
    ("branch", "failed"),
    [
        (("failed pump",), ("pump",)),
        (("reported vacuum system",), ("pump",)),
        (("did diagnose vacuum system",), ("pump",)),
        (("did cover attitude indicator",), ("pump",)),
        (("{any: [in cloud, reported heading indicator]}",), ("pump",)),
        (("{all: [in cloud, failed pump]}",), ("pump",)),
        (("in cloud", "fail: pump"), ("pump",)),
        (("failed pump", "heal: pump"), ()),
        (("not failed pump",), ()),
        (("distance to Wendle < 5 nm",), ()),
    ],
)
def test_failures_of_the_way_have_begun(branch: tuple[str, ...], failed: tuple[str, ...]) -> None:
    scenario = with_story(*branch)
    assert way_to(scenario, "helped").failed == failed
    flight, _ = Flight.start(taken_up(scenario, "helped"), 5)
    assert flight.phase == "helped"
    assert flight.state.story.started == frozenset(failed)


def test_every_phase_of_every_shipped_scenario_can_be_taken_up_and_flown_on() -> None:
    for path in shipped().values():
        scenario = load(path)
        for phase in scenario.phases:
            up = taken_up(scenario, phase.name)
            assert up.taken_up == TakenUp(phase.name, way_to(scenario, phase.name).failed)
            flight, _ = Flight.start(up, 3)
            assert flight.phase == phase.name
            assert set(way_to(scenario, phase.name).failed) <= flight.state.story.started


def test_the_way_is_the_shortest() -> None:
    scenario = load(shipped()["cruise-to-tallowby"])
    assert way_to(scenario, "missed").phases == ("cruise", "helped", "approach", "missed")
    assert way_to(scenario, "cruise").phases == ("cruise",)


def test_what_has_begun_begins_in_every_seed_also_where_nothing_would_have_failed() -> None:
    scenario = loaded(changed(("failures:", "nothing fails: 100 %\nfailures:")))
    assert all(nothing_fails(scenario, seed) for seed in range(20))
    up = taken_up(scenario, "helped")
    assert all(times(up, seed)["pump"] == 0.0 for seed in range(20))


def test_only_what_goes_with_what_has_begun_can_fail_besides() -> None:
    up = taken_up(with_story("reported attitude indicator", failures=TWO), "helped")
    assert up.taken_up is not None
    assert up.taken_up.failed == ("horizon",), "a rotor is rightly called so; of a pump it is a good report only"
    assert {name for seed in range(30) for name, at in times(up, seed).items() if at is not None} == {"horizon"}
    assert {variation(up, seed) for seed in range(30)} == {"b"}


def test_where_no_variation_has_all_that_has_begun_it_has_begun_all_the_same() -> None:
    up = taken_up(with_story("{all: [failed pump, failed horizon]}", failures=TWO), "helped")
    assert all(times(up, seed) == {"pump": 0.0, "horizon": 0.0} for seed in range(20))


def test_nothing_is_changed_in_the_draws_where_nothing_has_begun() -> None:
    scenario = load(shipped()["cruise-to-tallowby"])
    up = taken_up(scenario, "arrival")
    assert all(times(up, seed) == times(scenario, seed) for seed in range(10))


def test_the_briefing_says_so_and_that_of_another_flight_does_not() -> None:
    scenario = loaded()
    assert any(
        line.startswith('Taken up in phase "helped". Begun by then: pump (vacuum pump: shaft shears).')
        for line in briefing_lines(taken_up(scenario, "helped"))
    )
    assert not any("Taken up" in line for line in briefing_lines(scenario))


def test_the_record_tells_where_it_was_taken_up_and_flown_again_it_is_the_same(tmp_path: Path) -> None:
    flight, events = Flight.start(taken_up(loaded(), "helped"), 5)
    with Recorder.create(tmp_path / "f.jsonl", flight, events) as recorder:
        recorder.write(flight.advance(20.0), flight)
    recorded = read_record(tmp_path / "f.jsonl")
    assert recorded.scenario.taken_up == TakenUp("helped", ("pump",))
    assert 'taken up: {phase: "helped", failed: ["pump"]}' in recorded.scenario.text
    assert replay(tmp_path / "f.jsonl").identical


def test_a_phase_that_is_not_there_is_told_with_the_nearest() -> None:
    with pytest.raises(CannotTakeUp, match="the nearest known word is `helped`"):
        taken_up(loaded(), "helpd")


def test_a_document_below_which_nothing_can_be_written_is_refused_in_words() -> None:
    scenario = loaded()
    ended = loaded(f"{scenario.text}...\n")
    with pytest.raises(CannotTakeUp, match="cannot be written below"):
        taken_up(ended, "helped")
