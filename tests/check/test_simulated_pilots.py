"""Simulated pilots: arrays and sleep come to the same as the flight itself, and what is counted is counted rightly."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.check.pilots import many
from drill.check.pilots.evident import of_seed
from drill.check.pilots.flown import Crowd, Kept
from drill.check.pilots.graded import Who, line_of, marked, outcome
from drill.check.pilots.measures import share, told_apart
from drill.check.pilots.observed import in_cloud
from drill.check.pilots.phrases import Phrases
from drill.check.pilots.pilot import SimulatedPilot
from drill.check.pilots.radar import RadarWatch
from drill.check.pilots.results import FlightOutcome, ItemOutcome, Result, Setup, edge_shares
from drill.check.pilots.skills import CURRENT, LATELY, PUBLISHED_MIN, RUSTY, SKILLS
from drill.check.pilots.told import as_object, told
from drill.check.pilots_told import flown_by_pilots
from drill.cli import main
from drill.flight import weather
from drill.flight.controller import begin
from drill.flight.controller_state import ControllerState, Radar
from drill.flight.events import Acted, Assigned, Ended, Entered, Event, Failed, Healed, Heard, Noted, Told
from drill.flight.flight import Flight
from drill.flight.steering import drifted
from drill.flight.watching import tracked
from drill.grading.timeline import timeline
from drill.scenario import load, load_text
from drill.scenario.loading import airplanes_beside
from drill.scenario.model import Scenario
from drill.scenario.shelf import find

HAPPENS = (Acted, Assigned, Ended, Entered, Failed, Healed, Heard, Noted, Told)
TIMES = {"pump": (30.0,), "horizon": (30.0,), "needle": (None,), "bearing": (None,),
         "tube": (30.0,), "element": (None,),
         "charging": (30.0,), "trip": (30.0,), "belt": (30.0,)}


def soon(name: str, minutes: float = 7.0) -> Scenario:
    """Return a shipped scenario whose failures come in its first minute, and which is over soon."""
    return shortened(load(find(name)), minutes)


def shortened(scenario: Scenario, minutes: float) -> Scenario:
    """Return a scenario whose failures come in its first minute, and which is over soon."""
    return replace(scenario, time_limit_s=60.0 * minutes, nothing_fails=0.0, failures=tuple(
        plan if plan.at_s in (None, 0.0) else replace(plan, at_s=15.0, spread_s=30.0) for plan in scenario.failures))


@dataclass(frozen=True)
class Flown:
    """A few flights as arrays."""

    scenario: Scenario
    crowd: Crowd

    def line(self, which: int) -> Any:
        return line_of(self.scenario, self.crowd.kept[which], *self.crowd.sheet.columns()[which])

    def evident(self, which: int) -> dict[str, float | None]:
        return of_seed({plan.name: TIMES[plan.name] for plan in self.scenario.failures},
                            self.crowd.seeds[which])

    def outcome(self, which: int) -> FlightOutcome:
        return outcome(self.scenario, self.crowd.kept[which], self.line(which),
                       Who(which, self.crowd.seeds[which], "", None), self.evident(which))


def flown(name: str, first_seed: int, *, sleeps: bool = True, minutes: float = 7.0) -> Flown:
    return flown_of(soon(name, minutes), first_seed, sleeps=sleeps)


def flown_of(scenario: Scenario, first_seed: int, *, sleeps: bool = True) -> Flown:
    scenario = marked(scenario)
    phrases = Phrases(scenario)
    seeds = [first_seed] * len(SKILLS)
    times = of_seed({plan.name: TIMES[plan.name] for plan in scenario.failures}, first_seed)
    crowd = Crowd(scenario, seeds, [SimulatedPilot(phrases, skill, first_seed, times) for skill in SKILLS],
                  sleeps=sleeps)
    crowd.fly()
    return Flown(scenario, crowd)


@pytest.fixture(scope="module", params=["cruise-to-tallowby", "letters-for-marrowby", "departure-from-averholt"])
def a_few(request: pytest.FixtureRequest) -> Flown:
    return flown(request.param, 2)


def again(scenario: Scenario, seed: int, kept: Kept) -> Iterator[Event]:
    """Fly the orders of a simulated pilot again, by the flight itself from its first second to its last."""
    flight, events = Flight.start(scenario, seed, by="simulated")
    yield from events
    orders = dict(kept.orders)
    while flight.ended is None:
        for action in orders.get(flight.t_s, ()):
            yield from flight.act(action)
        yield from flight.advance(1.0)


def happened(events: Any) -> list[Event]:
    return [event for event in events if isinstance(event, HAPPENS)]


def come_to_the_same(found: Flown, which: int) -> None:
    """Story, acts, calls and items of a flight, when its orders are given again to the flight itself."""
    kept, seed = found.crowd.kept[which], found.crowd.seeds[which]
    events = list(again(found.scenario, seed, kept))
    assert happened(kept.events) == happened(events)
    by_flight = timeline(events, tuple(each.name for each in found.scenario.fields))
    assert outcome(found.scenario, Kept(events, kept.traces, kept.orders), by_flight, Who(which, seed, "", None),
                   found.evident(which)) == found.outcome(which)


def test_what_is_flown_as_arrays_is_what_the_flight_itself_makes_of_the_same_acts(a_few: Flown) -> None:
    for which in (0, 2):                   # one who does it all, one who does some of it late
        come_to_the_same(a_few, which)


@pytest.mark.overnight
@pytest.mark.parametrize("name", ["cruise-to-tallowby", "letters-for-marrowby", "departure-from-averholt",
                                  "over-to-sorrelton", "supper-at-sandrick"])
def test_so_are_whole_flights_of_every_skill(name: str) -> None:
    """Takes half a minute a scenario: flights of up to fifty minutes, each flown once more by itself."""
    found = flown(name, 11, minutes=load(find(name)).time_limit_s / 60.0)
    for which in range(len(SKILLS)):
        come_to_the_same(found, which)


def test_flights_that_sleep_come_to_the_same_as_flights_that_never_do() -> None:
    asleep, awake = (flown("cruise-to-tallowby", 5, sleeps=sleeps, minutes=5.0) for sleeps in (True, False))
    for one, other in zip(asleep.crowd.kept, awake.crowd.kept, strict=True):
        assert one.events == other.events
        assert one.orders == other.orders
    assert [asleep.outcome(which) for which in range(4)] == [awake.outcome(which) for which in range(4)]


ASKED = ("did call 2 times", "did call 2 times since failure {failure}",
         "did look suction gauge since failure {failure}", "did look suction gauge 3 times",
         "did call 2 times here", "not did call since failure {failure}",
         "pitot heat on", "alternator off", "beacon off", "strobes off")


@pytest.mark.parametrize(("name", "failure", "holds"), [
    ("cruise-to-tallowby", "pump", {0, 1, 2, 5}), ("supper-at-sandrick", "trip", {0, 1, 2, 5, 7}),
])
def test_how_often_since_when_and_which_switch_come_to_the_same_as_arrays_and_in_each_flight(
    name: str, failure: str, holds: set[int],
) -> None:
    """Events that raise flags by these conditions, and items that apply by them."""
    text = load(find(name)).text
    for section, line in (("events:\n", "  asked {n}: {{after: 1 s, when: {when}, note: asked {n}}}\n"),
                          ("grade sheet:\n", "  - {{item: Asked {n}, part: aviate, keep: true bank < 12 deg, "
                                             "when: {when}, why: To see it., source: common practice}}\n")):
        lines = "".join(line.format(n=number, when=when.format(failure=failure)) for number, when in enumerate(ASKED))
        text = text.replace(section, section + lines, 1)
    scenario = shortened(load_text(text, "asked.yaml", airplanes_beside(find(name))), 6.0)
    asleep, awake = (flown_of(scenario, 5, sleeps=sleeps) for sleeps in (True, False))
    for one, other in zip(asleep.crowd.kept, awake.crowd.kept, strict=True):
        assert one.events == other.events
    for which in range(len(SKILLS)):
        come_to_the_same(asleep, which)
    raised = [{event.flag for event in kept.events if isinstance(event, Noted)} for kept in asleep.crowd.kept]
    for number in holds:
        assert any(f"asked {number}" in each for each in raised), ASKED[number]


def test_a_flight_is_the_same_whatever_the_count_and_the_blocks() -> None:
    scenario, times = soon("departure-from-averholt", 4.0), {"pump": (None,), "bearing": (None,)}
    few = many.simulate(scenario, 8, first_seed=3, processes=1, times=times)
    more = many.simulate(scenario, 13, first_seed=3, processes=1, block=5, times=times)
    assert more.flights[:8] == few.flights


POSITION = st.floats(-0.05, 0.05)


@settings(max_examples=40, deadline=None)
@given(moves=st.lists(st.tuples(POSITION, POSITION, st.floats(-60.0, 60.0), st.floats(-9.0, 9.0)), min_size=2,
                      max_size=40))
@pytest.mark.parametrize("ground", [False, True])
def test_radar_as_arrays_shows_what_the_controller_sees(moves: list[tuple[float, ...]], *, ground: bool) -> None:
    scenario = TALLOWBY
    watch, state = RadarWatch(scenario, 2), ControllerState()
    north = east = track = 0.0
    feet = scenario.minimum_altitude_ft
    for second, (n, e, climb, turn) in enumerate(moves):
        north, east, feet, track = north + n, east + e, feet + climb, (track + turn) % 360.0
        state = tracked(scenario, state, Radar(north, east, feet, track, on_ground=ground), float(second))
        watch.advance(float(second), np.full(2, north), np.full(2, east), np.full(2, feet), np.full(2, track),
                      np.full(2, ground))
        seen = watch.into(1, ControllerState(), float(second), before=False).seen
        assert seen.on_ground == state.seen.on_ground
        for name in ("climb_fpm", "turning_dps", "turned_deg", "speed_kt", "wild_since_s", "wild_at_s", "low_since_s",
                     "rapid_since_s"):
            mine, his = getattr(seen, name), getattr(state.seen, name)
            assert (mine is None) == (his is None)
            assert his is None or mine == pytest.approx(his, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(turns=st.lists(st.floats(-1.0, 1.0), min_size=40, max_size=120))
def test_radar_as_arrays_learns_what_the_controller_learns_of_a_heading_that_is_flown(turns: list[float]) -> None:
    watch, state = RadarWatch(TALLOWBY, 2), begin(TALLOWBY)
    watch.adopt(0, state)
    watch.adopt(1, state)
    north, track = 0.0, 230.0
    for second, turn in enumerate(turns):
        north, track = north + 0.03, (track + turn) % 360.0
        radar = Radar(north, 0.0, 6000.0, track)
        state = drifted(tracked(TALLOWBY, state, radar, float(second)), radar, float(second))
        watch.advance(float(second), np.full(2, north), np.zeros(2), np.full(2, 6000.0), np.full(2, track),
                      np.full(2, False))
        seen = watch.into(1, state, float(second), before=False)
        assert (seen.drift_deg, seen.drift_seen_s) == pytest.approx((state.drift_deg, state.drift_seen_s), abs=1e-9)


TALLOWBY = load(find("cruise-to-tallowby"))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-60.0, 60.0), st.floats(-60.0, 60.0), st.floats(0.0, 9000.0)), min_size=1,
                max_size=8))
def test_cloud_over_many_places_is_the_cloud_over_each(places: list[tuple[float, float, float]]) -> None:
    columns = [np.array(each) for each in zip(*places, strict=True)]
    assert in_cloud(TALLOWBY, *columns).tolist() == [weather.in_cloud(TALLOWBY, *place) for place in places]


@pytest.mark.parametrize(("count", "of", "low", "high"), [
    (5, 10, 0.2366, 0.7634), (0, 10, 0.0, 0.2775), (10, 10, 0.7225, 1.0), (1, 29, 0.0061, 0.1718),
])   # by the formula of E. B. Wilson, 1927; the last as it is often quoted (memory)
def test_shares_have_the_score_interval(count: int, of: int, low: float, high: float) -> None:
    found = share(count, of)
    assert (found.low, found.high) == pytest.approx((low, high), abs=2e-4)


def made(scores: list[tuple[float, ...]], skill: str = "current", edges: Any = ()) -> tuple[FlightOutcome, ...]:
    return tuple(FlightOutcome(number, 1, skill, "on top", 60.0, edges, (), tuple(
        ItemOutcome("done" if score else "missed", score) for score in each), failed=True)
        for number, each in enumerate(scores))


def test_an_item_that_good_flights_meet_tells_them_apart_and_one_by_chance_does_not() -> None:
    flights = made([(float(n >= 20), float(n >= 20), float(n % 2)) for n in range(40)])
    assert told_apart(flights, 0) == pytest.approx(0.5 ** 0.5)   # half of the rest is chance
    assert told_apart(flights, 2) == pytest.approx(0.0, abs=1e-9)
    assert told_apart(flights[:20], 0) is None


def test_shares_of_branches_are_by_skill_and_hold_every_branch() -> None:
    setup = Setup("x", 3, 1, ("current", "rusty"), (), (), (("cruise", 0), ("cruise", 1)))
    flights = (*made([(1.0,)], edges=(("cruise", 1),)), *made([(1.0,), (0.0,)], "rusty", (("cruise", 1),)))
    flights = (*flights[:2], replace(flights[2], edges=()))
    assert edge_shares(Result(setup, flights)) == {
        ("cruise", 0): {"current": 0.0, "rusty": 0.0}, ("cruise", 1): {"current": 1.0, "rusty": 0.5}}


@pytest.fixture
def short(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    text = find("departure-from-averholt").read_text(encoding="utf-8")
    (tmp_path / "airplanes").symlink_to(find("departure-from-averholt").parent / "airplanes")
    path = tmp_path / "short.yaml"
    path.write_text(text.replace("time limit: 30 min", "time limit: 2 min"), encoding="utf-8")
    monkeypatch.setattr(many, "evident", lambda _: {"pump": (None,), "bearing": (None,)})
    return path


def test_the_command_says_how_hard_it_is_and_that_these_are_no_people(
        short: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "--pilots", "4", str(short)])
    said = capsys.readouterr()
    assert "simulated pilots" in said.out
    assert "Simulated pilots are not" in said.out
    assert "by the book" in said.out
    assert said.err == ""                  # no row of progress where nobody waits before a terminal
    assert max(map(len, said.out.partition("how hard it is")[2].splitlines())) <= 80


def test_what_is_said_for_programs_is_what_the_map_reads(short: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "--pilots", "4", "--format", "json", str(short)])
    said = capsys.readouterr().out
    [found] = json.loads(said)["pilots"]
    assert found["pilots"] == 4
    assert {item["item"] for item in found["items"]} == {item.name for item in load(short).grade_sheet}
    path = short.with_name("said.json")
    path.write_text(said, encoding="utf-8")
    flown = flown_by_pilots(load(short), path)
    assert flown.skills == tuple(each.name for each in SKILLS)


@pytest.mark.parametrize("count", ["0", "3", "-5", "1000001"])
def test_fewer_pilots_than_skills_are_a_mistake(count: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", f"--pilots={count}", "cruise-to-tallowby"]) == 2
    assert "--pilots takes a number" in capsys.readouterr().err


@pytest.mark.overnight
def test_many_pilots_know_of_a_dead_pump_about_as_soon_as_published_and_stand_in_the_order_of_their_skills() -> None:
    """Takes some ten minutes on two cores: hundreds of whole flights."""
    result = many.simulate(TALLOWBY, 800)
    for skill, minutes in PUBLISHED_MIN.items():
        known = [flight.knew_s / 60.0 for flight in result.of(skill) if flight.knew_s is not None]
        assert sum(known) / len(known) == pytest.approx(minutes, rel=0.2)
    by_skill = {skill.name: np.mean([item.score for flight in result.of(skill.name) for item in flight.items
                                     if item.score is not None]) for skill in SKILLS}
    assert by_skill[LATELY.name] > by_skill[CURRENT.name] > by_skill[RUSTY.name]
    assert list(told(TALLOWBY, result))
    assert as_object(TALLOWBY, result)["pilots"] == 800
