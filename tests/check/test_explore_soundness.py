"""No flight of a story is outside of what was explored: random stories, random flights, the story's own step."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from check.explore_scenarios import flight_of, scenario_of
from drill.check.explore import Explored, inside
from drill.check.exploring import explored, findings
from drill.flight.seeds import times
from drill.scenario import Scenario
from drill.scenario.conditions import evaluate
from drill.scenario.model import Effect, Tell
from drill.scenario.story import begin, step
from drill.scenario.truth import MayTruth, fact_key


def held_inside(scenario: Scenario, seen: Explored, seed: int) -> None:
    """Fly one random flight, and hold each second of it against what was explored and what was found."""
    never = {each.place.line for each in findings(scenario)
             if each.rule in ("branch-never-taken", "branch-never-wins", "cue-never-due")}
    state, effects = begin(scenario, times(scenario, seed))
    assert inside(seen, state), state
    happened: list[Effect] = list(effects)
    for observation in flight_of(seed):
        state, effects = step(scenario, state, observation)
        happened += effects
        assert inside(seen, state), (seed, state)
    lines = scenario.text.split("\n")
    for effect in happened:
        if isinstance(effect, Tell) and effect.words.startswith("mark "):
            at = [number for number, line in enumerate(lines, 1) if f"tell: {effect.words}," in line]
            assert not never & set(at), (seed, effect)


@pytest.mark.long
@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 10**6))
def test_no_flight_is_outside_of_what_was_explored(story_seed: int, seed: int) -> None:
    scenario = scenario_of(story_seed)
    seen = explored(scenario)
    for more in range(6):
        held_inside(scenario, seen, seed + more)


@pytest.mark.long
@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6))
def test_what_kleenes_logic_rules_out_is_ruled_out_and_what_it_is_sure_of_may_be_so(story_seed: int) -> None:
    scenario = scenario_of(story_seed)
    seen = explored(scenario)
    program = seen.program
    for phase in scenario.phases:
        for state in list(seen.in_phase(phase.name))[:40]:
            bits = {atom: bool(state & bit) for atom, bit in program.bits.items()}
            truth = MayTruth(
                facts={fact_key(atom[0], atom[1]): holds for atom, holds in bits.items()
                       if atom[0] in ("noted", "failed")} | {"is broken": False, "is on the ground": False},
                acts={atom[1]: holds or None for atom, holds in bits.items() if atom[0] == "did"},
                acts_here={atom[1]: holds or None for atom, holds in bits.items() if atom[0] == "here"})
            for branch in phase.branches:
                held = program.symbols.of_condition(branch.when)
                may = seen.allows(program.guards(program.symbols.every([program.moment[phase.name], held])), [state])
                sure = evaluate(branch.when, truth)
                assert not (sure is False and may), (phase.name, branch.place)
                some_moment = seen.allows(program.guards(program.moment[phase.name]), [state])
                assert not (sure is True and some_moment and not may), (phase.name, branch.place)


@pytest.mark.overnight
@pytest.mark.parametrize("part", range(2))
def test_no_flight_of_four_hundred_stories_is_outside(part: int) -> None:
    for story_seed in range(part, 400, 2):
        scenario = scenario_of(story_seed)
        seen = explored(scenario)
        for seed in range(12):
            held_inside(scenario, seen, seed * 7919 + story_seed)


def test_random_stories_use_every_kind_of_move() -> None:
    kinds = set[str]()
    for seed in range(60):
        seen = explored(scenario_of(seed))
        kinds |= {seen.program.ways[each].kind for each in seen.taken}
    assert kinds == {"branch", "cue", "fail", "heal", "time up"}
