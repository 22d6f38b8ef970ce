"""The story's one meaning: order, debounce, once, limits, and nothing that is not in state and observation."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.clean import Clean
from drill.language.meaning import Action, Altitude, Call, Cover, Decide, Reply, Transmit
from drill.scenario.deeds import MOST_TIMES, deed_key, parts_of, within
from drill.scenario.model import Effect, End, Fail, Go, Heal, Note, Say, Scenario, Tell
from drill.scenario.moment import Observation, StoryState
from drill.scenario.story import begin, step
from scenario.documents import changed, loaded

QUIET = {"true bank": 0.0, "distance to Wendle": 30.0, "suction": 5.0}


def story(phases: str, *changes: tuple[str, str]) -> Scenario:
    """The sound scenario with other phases, written at the left margin."""
    text = changed(*changes)
    head, rest = text.split("phases:\n")
    tail = rest[rest.index("endings:\n") :]
    lines = "".join(f"  {line}\n" for line in phases.strip("\n").split("\n"))
    return loaded(f"{head}phases:\n{lines}{tail}")


def seen(
    t_s: float,
    values: dict[str, float] | None = None,
    *,
    facts: Iterable[str] = (),
    acts: tuple[Action, ...] = (),
    **limits: bool,
) -> Observation:
    return Observation(t_s, QUIET | (values or {}), frozenset(facts), acts, **limits)


def run(
    scenario: Scenario,
    observations: Iterable[Observation],
    times: dict[str, float | None] | None = None,
) -> tuple[StoryState, list[tuple[float, Effect]]]:
    state, effects = begin(scenario, times or {})
    happened = [(0.0, effect) for effect in effects]
    for observation in observations:
        state, effects = step(scenario, state, observation)
        happened += [(observation.t_s, effect) for effect in effects]
    return state, happened


def seconds(first: int, last: int, **kwargs: Any) -> list[Observation]:
    return [seen(float(t), **kwargs) for t in range(first, last + 1)]


def test_the_story_begins_by_entering_its_first_phase() -> None:
    state, effects = begin(loaded(), {"pump": 400.0})
    assert (state.phase, state.t_s, state.holding) == ("cruise", 0.0, (None, None))
    assert effects == (Tell(Clean("Level in cloud.")),)


def test_the_first_branch_that_holds_wins() -> None:
    scenario = story("""
cruise:
  branches:
    - {when: true bank > 60 deg, end: upset}
    - {when: true bank > 30 deg, go: second}
    - {when: true bank > 20 deg, end: there}
second:
  branches: [{when: stalled, end: there}]
""")
    assert run(scenario, [seen(1.0, {"true bank": 70.0})])[1] == [(1.0, End("upset"))]
    assert run(scenario, [seen(1.0, {"true bank": 40.0})])[1] == [(1.0, Go("second"))]
    assert run(scenario, [seen(1.0, {"true bank": 25.0})])[1] == [(1.0, End("there"))]


def test_a_phase_entered_is_looked_at_in_the_next_second() -> None:
    scenario = story("""
cruise:
  branches: [{when: true bank < 90 deg, tell: on the way, note: gone, go: second}]
second:
  tell: Here.
  do: {note: here}
  atc: {says: "{callsign}, hello."}
  branches: [{when: true bank < 90 deg, end: there}]
""")
    state, happened = run(scenario, seconds(1, 2))
    hello = Say(Clean("{callsign}, hello."))
    assert happened == [
        (1.0, Tell(Clean("on the way"))),
        (1.0, Note("gone")),
        (1.0, Go("second")),
        (1.0, Tell(Clean("Here."))),
        (1.0, Note("here")),
        (2.0, hello),
        (2.0, End("there")),
    ]
    assert (state.entered_s, state.notes, state.ended) == (1.0, frozenset({"gone", "here"}), "there")


@settings(max_examples=100)
@given(st.lists(st.booleans(), max_size=20), st.integers(0, 5))
def test_a_hold_has_to_be_unbroken(held: list[bool], needed: int) -> None:
    scenario = _HELD[needed]
    _, happened = run(scenario, [seen(float(t), {"true bank": 50.0 if on else 0.0}) for t, on in enumerate(held, 1)])
    runs = [t for t in range(len(held)) if t >= needed and all(held[t - needed : t + 1])]
    assert [t for t, effect in happened if isinstance(effect, End)] == ([float(runs[0] + 1)] if runs else [])


_HELD = [story(f"cruise:\n  branches: [{{when: true bank > 30 deg, for: {n} s, end: upset}}]") for n in range(6)]


def test_a_failure_comes_at_its_time_and_heals_after_it() -> None:
    scenario = story("cruise:\n  branches: [{when: stalled, end: there}]", ("spread: 12 min", "lasts: 30 s"))
    state, happened = run(scenario, seconds(1, 100), {"pump": 40.0})
    assert happened == [(40.0, Fail("pump")), (70.0, Heal("pump"))]
    assert (state.started, state.healed, state.since) == (frozenset({"pump"}), frozenset({"pump"}), ())


def test_a_failure_without_a_time_never_comes_by_itself() -> None:
    scenario = loaded()
    assert run(scenario, seconds(1, 60), {"pump": None})[0].started == frozenset()
    assert run(scenario, seconds(1, 60), {})[0].started == frozenset()


def test_a_failure_can_be_brought_healed_and_brought_again_and_is_seen_by_conditions() -> None:
    scenario = story("""
cruise:
  do: {fail: pump}
  cues:
    - {after: 5 s, heal: pump}
    - {after: 5 s, heal: pump}
    - {after: 8 s, fail: pump, note: again}
  branches: [{when: {all: [noted again, failed pump]}, for: 2 s, end: there}]
""")
    assert run(scenario, seconds(1, 20))[1] == [
        (0.0, Fail("pump")),
        (5.0, Heal("pump")),
        (8.0, Fail("pump")),
        (8.0, Note("again")),
        (10.0, End("there")),
    ]


def test_a_healed_failure_has_failed_no_more() -> None:
    scenario = story(
        "cruise:\n  branches: [{when: {all: [not failed pump, time > 5 s]}, end: there}]",
        ("spread: 12 min", "lasts: 8 s"),
    )
    assert run(scenario, seconds(1, 20), {"pump": 4.0})[1][-1] == (12.0, End("there"))


def test_a_cue_waits_for_its_time_and_its_condition_and_happens_once_each_time_the_phase_is_entered() -> None:
    scenario = story("""
cruise:
  cues: {after: 3 s, when: in cloud, unless: noted quiet, tell: a cue}
  branches: [{when: true bank > 30 deg, go: second}]
second:
  branches: [{when: true bank > 30 deg, go: cruise}, {when: stalled, note: quiet, end: there}]
""")
    flight = [
        *seconds(1, 5),
        *seconds(6, 9, facts=["is in cloud"]),
        seen(10.0, {"true bank": 40.0}),
        seen(11.0, {"true bank": 40.0}),
        *seconds(12, 20, facts=["is in cloud"]),
    ]
    cues = [t for t, effect in run(scenario, flight)[1] if effect == Tell(Clean("a cue"))]
    assert cues == [6.0, 14.0]


@given(st.lists(st.integers(0, 60), min_size=1, max_size=3), st.integers(0, 40))
@settings(max_examples=60)
def test_an_event_happens_once_a_flight_whatever_the_phase(bank_at: list[int], at: int) -> None:
    flight = [seen(float(t), {"true bank": 40.0 if t in bank_at else 0.0}) for t in range(1, 61)]
    state, happened = run(_EVENT, flight, {"event/traffic": float(at)})
    assert [t for t, effect in happened if isinstance(effect, Say)] == [float(max(at, 1))]
    assert "event/traffic" in state.fired


_EVENT = story(
    "cruise:\n  branches: [{when: true bank > 30 deg, go: second}]\n"
    "second:\n  branches: [{when: true bank > 30 deg, go: cruise}, {when: stalled, end: there}]",
    ("phases:", "events:\n  traffic: {after: 5 s, says: Traffic., voice: Somebody}\nphases:"),
)


def test_an_event_that_the_seed_has_left_out_never_happens() -> None:
    assert run(_EVENT, seconds(1, 60), {"event/traffic": None})[1] == []
    assert [t for t, _ in run(_EVENT, seconds(1, 60))[1]] == [5.0]


def test_acts_add_up_over_the_flight_and_over_the_phase() -> None:
    scenario = story("""
cruise:
  branches: [{when: did cover attitude indicator, go: second}]
second:
  branches:
    - {when: {all: [did cover attitude indicator here, did climb]}, end: there}
    - {when: did cover attitude indicator here, end: upset}
""")
    cover = (Cover("attitude_indicator"),)
    flight = [seen(1.0, acts=(Altitude(8000, "climb"),)), seen(2.0, acts=cover), seen(3.0), seen(4.0, acts=cover)]
    state, happened = run(scenario, flight)
    assert happened == [(2.0, Go("second")), (4.0, End("there"))]
    assert "climb" in state.did
    assert "climb" not in state.did_here


CLIMB, COVER = Altitude(8000, "climb"), Cover("attitude_indicator")


def test_an_act_that_is_asked_for_three_times_is_done_with_the_third_time_whenever_it_comes() -> None:
    scenario = story("cruise:\n  branches: [{when: did climb 3 times, end: there}]")
    flight = [seen(1.0, acts=(CLIMB,)), seen(2.0, acts=(COVER,)), seen(3.0, acts=(CLIMB,)), *seconds(4, 8)]
    assert run(scenario, flight)[1] == []
    assert run(scenario, [*flight, seen(9.0, acts=(CLIMB, CLIMB))])[1] == [(9.0, End("there"))]
    assert run(scenario, [seen(1.0, acts=(CLIMB, CLIMB, CLIMB))])[1] == [(1.0, End("there"))]


def test_how_often_is_counted_anew_in_each_phase_that_asks_for_it_here() -> None:
    scenario = story("""
cruise:
  branches: [{when: did climb, go: second}]
second:
  branches: [{when: did climb 2 times here, end: there}, {when: did climb 4 times, end: upset}]
""")
    climb = [seen(float(t), acts=(CLIMB,)) for t in (1, 5, 9)]
    assert run(scenario, climb[:2])[1] == [(1.0, Go("second"))]
    assert run(scenario, climb)[1] == [(1.0, Go("second")), (9.0, End("there"))]


def test_since_a_failure_counts_what_is_done_after_it_first_began_even_if_it_has_healed() -> None:
    scenario = story(
        "cruise:\n  branches: [{when: did climb 2 times since failure pump, end: there}]",
        ("pump: {part: vacuum pump, how: shaft shears, at: 4 min, spread: 12 min}",
         "pump: {part: turn coordinator, how: loses power, at: 4 s, lasts: 2 s, every: 20 s}"))
    climbs = [seen(float(t), acts=(CLIMB,)) for t in (1, 2, 4)]     # at 4 s it begins when the climb is done
    later = [seen(5.0, acts=(CLIMB,)), *seconds(6, 24)]
    flight = [*climbs, *later, *seconds(25, 29)]
    assert [each for each in run(scenario, flight, {"pump": 4.0})[1] if isinstance(each[1], End)] == []
    ended = run(scenario, [*flight, seen(30.0, acts=(CLIMB,))], {"pump": 4.0})[1]
    assert ended[-1] == (30.0, End("there"))
    assert run(scenario, [*flight, seen(30.0, acts=(CLIMB,))], {"pump": None})[1] == []


def test_where_a_switch_stands_is_asked_of_the_second() -> None:
    scenario = story("""
cruise:
  branches: [{when: pitot heat on, go: second}]
second:
  branches: [{when: pitot heat is off, for: 2 s, end: there}]
""")
    on = ("on pitot_heat",)
    flight = [*seconds(1, 3), *seconds(4, 6, facts=on), *seconds(7, 8), seen(9.0, facts=on), *seconds(10, 12)]
    assert run(scenario, flight)[1] == [(4.0, Go("second")), (12.0, End("there"))]


@settings(max_examples=100, deadline=None)
@given(st.lists(st.lists(st.sampled_from([CLIMB, COVER]), max_size=3).map(tuple), max_size=25),
       st.none() | st.integers(0, 25).map(float))
def test_what_is_kept_of_acts_is_what_a_count_of_them_gives(flight: list[tuple[Action, ...]],
                                                            pump: float | None) -> None:
    scenario = story("""
cruise:
  branches: [{when: {all: [did climb 3 times, did cover since failure pump]}, go: second}]
second:
  branches: [{when: {all: [did climb 2 times here, did climb 4 times since failure pump]}, end: there}]
""")
    state, _ = begin(scenario, {"pump": pump})
    times: list[float] = []
    since = 0.0
    for t, acts in enumerate(flight, 1):
        times += [float(t) for act in acts if act is CLIMB]
        phase = state.phase
        state, _ = step(scenario, state, seen(float(t), acts=acts))
        since = float(t) if state.phase != phase else since
        failed = [each for each in times if pump is not None and each > pump]
        for often in (1, 2, 3):
            assert (deed_key("climb", often) in state.did) == (len(times) >= often)
        for often in (1, 2, 3, 4):
            assert (deed_key("climb", often, "pump") in state.did) == (len(failed) >= often)
        for often in (1, 2):
            assert (deed_key("climb", often) in state.did_here) == (len([e for e in times if e > since]) >= often)
        if state.ended:
            break


@given(st.sampled_from(["climb", "squawk 7700", "look suction gauge"]), st.integers(1, MOST_TIMES),
       st.sampled_from(["", "pump", "tired pump 2 times"]))
def test_a_key_is_taken_apart_as_it_was_made_and_holds_all_lesser_ones(act: str, times: int, since: str) -> None:
    key = deed_key(act, times, since)
    assert parts_of(key) == (act, times, since)
    lesser = {deed_key(act, each, window) for each in range(1, times + 1) for window in {since, ""}} - {key}
    assert set(within(key)) == lesser


def test_calls_add_up_and_a_report_in_two_halves_is_a_report() -> None:
    halves = [
        Transmit("a", Call(equipment=("attitude_indicator",))),
        Transmit("b", Call(equipment=("heading_indicator",))),
    ]
    scenario = story(
        "cruise:\n  branches: [{when: {all: [did report heading indicator, reported vacuum system]}, end: there}]"
    )
    state, happened = run(scenario, [seen(1.0, acts=(halves[0],)), seen(2.0), seen(3.0, acts=(halves[1],))])
    assert happened == [(3.0, End("there"))]
    assert state.told.calls == 2


def test_a_cancelled_emergency_is_declared_no_more() -> None:
    scenario = story("cruise:\n  branches: [{when: declared, for: 10 s, end: there}]")
    mayday, cancel = Transmit("a", Call(urgency="mayday")), Transmit("b", Call(replies=(Reply("cancels_emergency"),)))
    assert run(scenario, [seen(1.0, acts=(mayday,)), seen(5.0, acts=(cancel,)), *seconds(6, 30)])[1] == []


def test_the_last_decision_is_the_plan_with_the_place_as_the_scenario_spells_it() -> None:
    scenario = story("cruise:\n  branches: [{when: planned divert Wendle, end: there}]")
    state, happened = run(
        scenario, [seen(1.0, acts=(Decide("land", "Tallowby"),)), seen(2.0, acts=(Decide("divert", "wendel"),))]
    )
    assert state.plan == "divert Wendle"
    assert happened == [(2.0, End("there"))]
    assert run(scenario, [seen(1.0, acts=(Decide("divert", "wendle"), Decide("continue")))])[0].plan == "continue"


def test_a_call_that_asks_for_a_field_is_the_plan_and_one_about_its_weather_is_none() -> None:
    scenario = story("cruise:\n  branches: [{when: planned divert Wendle, end: there}]")
    weather = Transmit("a", Call(assistance=("weather",), places=("Wendle",)))
    bound = Transmit("b", Call(intentions=True, places=("Wendle",)))
    assert run(scenario, [seen(1.0, acts=(weather,)), seen(2.0, acts=(bound,))])[1] == [(2.0, End("there"))]
    asks = Transmit("c", Call(assistance=("vectors", "named_airport"), places=("Wendle",)))
    assert run(scenario, [seen(1.0, acts=(asks,))])[1] == [(1.0, End("there"))]


@pytest.mark.parametrize(
    ("limits", "t_s", "ending"),
    [
        ({"broken": True}, 5.5, "break-up"),
        ({"on_ground": True}, 5.5, "ground"),
        ({}, 2700.0, "time up"),
        ({"broken": True, "on_ground": True}, 1.0, "break-up"),
    ],
)
def test_a_limit_ends_the_flight(limits: dict[str, Any], t_s: float, ending: str) -> None:
    state, happened = run(loaded(), [seen(t_s, **limits)])
    assert happened[-1] == (t_s, End(ending))
    assert loaded().ending(ending).outcome != "safe"
    assert state.ended == ending


@pytest.mark.parametrize(("limits", "ending"), [({"broken": True}, "break-up"), ({"on_ground": True}, "ground")])
@pytest.mark.parametrize("way", [
    "branches: [{when: true bank < 90 deg, end: there}]",
    "branches: [{when: true bank < 90 deg, go: second}]",
    "cues: {when: true bank < 90 deg, tell: Down there.}\n  branches: [{when: true bank > 90 deg, end: there}]",
])
def test_a_crash_ends_the_flight_whatever_the_story_would_make_of_that_second(
    limits: dict[str, Any], ending: str, way: str,
) -> None:
    scenario = story(f"cruise:\n  {way}\nsecond:\n  branches: [{{when: true bank < 90 deg, end: there}}]")
    state, happened = run(scenario, [seen(1.0, **limits)])
    assert happened == [(1.0, End(ending))]
    assert state.ended == ending


def test_what_is_done_in_the_second_of_a_crash_still_counts_as_done() -> None:
    state, _ = run(loaded(), [seen(1.0, acts=(Cover("attitude_indicator"),), on_ground=True)])
    assert "cover attitude indicator" in state.did


def test_a_branch_that_holds_when_time_is_up_comes_first() -> None:
    scenario = story("cruise:\n  branches: [{when: time >= 2700 s, end: there}]")
    assert run(scenario, [seen(2700.0, {"time": 2700.0})])[1] == [(2700.0, End("there"))]


def test_after_the_end_nothing_changes() -> None:
    scenario = loaded()
    state, _ = run(scenario, [seen(1.0, broken=True)])
    assert step(scenario, state, seen(2.0, {"true bank": 90.0}, acts=(Cover(),))) == (state, ())


_acts = st.sampled_from(
    [
        Cover("attitude_indicator"),
        Decide("divert", "Wendle"),
        Altitude(8000, "climb"),
        Transmit("a", Call(equipment=("vacuum_system",))),
    ]
)
_observed = st.builds(
    lambda bank, far, facts, acts, broken: (({"true bank": bank, "distance to Wendle": far}), facts, acts, broken),
    st.sampled_from([0.0, 20.0, 70.0]),
    st.sampled_from([1.0, 30.0]),
    st.sets(st.sampled_from(["is in cloud", "is stalled"])),
    st.lists(_acts, max_size=2).map(tuple),
    st.sampled_from([False] * 9 + [True]),
)


@settings(max_examples=100, deadline=None)
@given(st.lists(_observed, max_size=30), st.none() | st.integers(0, 30).map(float))
def test_the_story_is_a_pure_fold_that_never_goes_back(flight: list[Any], pump: float | None) -> None:
    scenario = loaded()
    observations = [
        seen(float(t), values, facts=facts, acts=acts, broken=broken)
        for t, (values, facts, acts, broken) in enumerate(flight, 1)
    ]
    state, _ = begin(scenario, {"pump": pump})
    for observation in observations:
        once, twice = step(scenario, state, observation), step(scenario, state, observation)
        assert once == twice
        after, effects = once
        hash(after)
        assert state.did <= after.did
        assert state.started <= after.started
        assert state.notes <= after.notes
        assert sum(isinstance(effect, Go | End) for effect in effects) <= 1
        assert (after.phase != state.phase) == any(isinstance(effect, Go) for effect in effects)
        assert after.ended == next((effect.ending for effect in effects if isinstance(effect, End)), state.ended)
        state = after
    assert run(scenario, observations, {"pump": pump})[0] == state
