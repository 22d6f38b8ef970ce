"""What exhaustive exploration proves of a scenario: what is never reached, where it stands, and why."""

from __future__ import annotations

import pytest
from scenario.documents import loaded

from check.explore_scenarios import scenario_of
from check.explore_stories import found, story
from drill.check.explore import explore
from drill.check.explore_rules import EXPLORED
from drill.check.exploring import explored, findings
from drill.scenario import load
from drill.scenario.problems import Place, Problem
from drill.scenario.shelf import shipped

UPSET = "{when: stalled, end: upset}"


@pytest.mark.parametrize("name", sorted(shipped()))
def test_in_a_shipped_scenario_every_phase_branch_ending_and_cue_may_be_reached(name: str) -> None:
    scenario = load(shipped()[name])
    assert findings(scenario) == []
    seen = explored(scenario)
    assert {seen.program.phase_of(state) for state in seen.came} == {phase.name for phase in scenario.phases}
    assert seen.complete


def test_a_sound_scenario_has_no_findings() -> None:
    assert found(loaded()) == []


NEVER: dict[str, tuple[str, list[tuple[str, str]]]] = {
    "an earlier branch without `for` takes all that a later one could": (
        """
cruise:
  branches:
    - {when: true bank > 30 deg, end: upset}
    - {when: true bank > 60 deg, end: there}
    - {when: stalled, end: there}
""", [("branch-never-wins", "- {when: true bank > 60 deg, end: there}")]),
    "an earlier branch with as short a `for` holds whenever a later one does": (
        """
cruise:
  branches:
    - {when: true bank > 30 deg, for: 2 s, end: upset}
    - {when: true bank > 60 deg, for: 3 s, end: there}
    - {when: stalled, end: there}
""", [("branch-never-wins", "- {when: true bank > 60 deg, for: 3 s, end: there}")]),
    "a branch that has to hold never begins to where a later one needs no time": (
        """
cruise:
  branches:
    - {when: true bank > 60 deg, for: 3 s, end: there}
    - {when: true bank > 30 deg, end: upset}
    - {when: stalled, end: there}
""", [("branch-never-wins", "- {when: true bank > 60 deg, for: 3 s, end: there}")]),
    "an act that leads away from every phase in which it could be asked for again": (
        """
cruise:
  branches: [{when: did climb, go: second}, {when: stalled, end: upset}]
second:
  branches: [{when: not did climb, end: there}, {when: in cloud, end: upset}]
""", [("branch-never-taken", "branches: [{when: not did climb, end: there}, {when: in cloud, end: upset}]"),
      ("ending-out-of-reach", "there: {outcome: safe, tell: Out of cloud.}")]),
    "a phase behind a flag that only it raises": (
        """
cruise:
  branches:
    - {when: noted there, go: second}
    - {when: stalled, end: upset}
    - {when: in cloud, for: 3 s, end: there}
second:
  do: {note: there}
  branches: [{when: stalled, end: upset}]
""", [("branch-never-taken", "- {when: noted there, go: second}"),
      ("phase-out-of-reach", "second:")]),
    "the airplane never lies broken or on the ground where branches are looked at": (
        """
cruise:
  branches:
    - {when: on the ground, end: there}
    - {when: {any: [broken, stalled]}, end: there}
    - {when: in cloud, for: 20 s, end: upset}
""", [("branch-never-taken", "- {when: on the ground, end: there}"),
      ("never-holds", "- {when: {any: [broken, stalled]}, end: there}")]),
    "a quantity in two places at once": (
        """
cruise:
  branches:
    - {when: {all: [true altitude > 6000 ft, true altitude < 5000 ft]}, end: there}
    - {when: {all: [distance to Wendle < 3 nm, distance to Tallowby < 3 nm]}, end: there}
    - {when: stalled, end: upset}
""", [("branch-never-taken", "- {when: {all: [true altitude > 6000 ft, true altitude < 5000 ft]}, end: there}")]),
    "a quantity beyond what it can be": (
        """
cruise:
  branches:
    - {when: true bank > 200 deg, end: there}
    - {when: {all: [true heading >= 0 deg, in cloud]}, end: there}
    - {when: stalled, end: upset}
""", [("branch-never-taken", "- {when: true bank > 200 deg, end: there}"),
      ("always-holds", "- {when: {all: [true heading >= 0 deg, in cloud]}, end: there}")]),
    "two plans at once, and a word of urgency that is weaker than the one before it": (
        """
cruise:
  branches:
    - {when: {all: [planned divert Wendle, planned divert Tallowby]}, end: there}
    - {when: declared anything, end: there}
    - {when: declared mayday, end: upset}
""", [("branch-never-taken", "- {when: {all: [planned divert Wendle, planned divert Tallowby]}, end: there}"),
      ("branch-never-wins", "- {when: declared mayday, end: upset}"),
      ("ending-out-of-reach", "upset: {outcome: loss of control, tell: It was lost.}")]),
    "a time that has passed before the phase can begin": (
        """
cruise:
  branches: [{when: time > 5 min, go: second}, {when: stalled, end: upset}]
second:
  branches: [{when: time < 4 min, end: there}, {when: in cloud, for: 3 s, end: there}]
""", [("branch-never-taken", "branches: [{when: time < 4 min, end: there}, {when: in cloud, for: 3 s, end: there}]")]),
    "a time behind the time limit": (
        """
cruise:
  branches:
    - {when: time > 46 min, end: there}
    - {when: stalled, end: upset}
    - {when: in cloud, for: 9 s, end: there}
""", [("branch-never-taken", "- {when: time > 46 min, end: there}")]),
    "a phase that is over before a hold or a cue in it can be": (
        """
cruise:
  cues: {after: 30 s, tell: Still here?}
  branches:
    - {when: in cloud, for: 20 s, end: there}
    - {when: time in phase > 10 s, end: upset}
""", [("cue-never-due", "cues: {after: 30 s, tell: Still here?}"),
      ("branch-never-wins", "- {when: in cloud, for: 20 s, end: there}"),
      ("ending-out-of-reach", "there: {outcome: safe, tell: Out of cloud.}"),
      ("ending-nobody-avoids", "upset: {outcome: loss of control, tell: It was lost.}"),
      ("failure-out-of-reach", "pump: {part: vacuum pump, how: shaft shears, at: 4 min, spread: 12 min}"),
      ("item-never-applies", "- item: Stop following")]),
    "a cue that waits for what ends its phase": (
        """
cruise:
  atc: {when: stalled, says: "{callsign}, are you all right?"}
  branches: [{when: stalled, end: upset}, {when: in cloud, for: 3 s, end: there}]
""", []),
    "a cue that what led to the phase keeps from coming": (
        """
cruise:
  branches: [{when: did climb, go: second}, {when: stalled, end: upset}]
second:
  cues: {unless: did climb, tell: You might climb.}
  branches: [{when: in cloud, end: there}]
""", [("cue-never-due", "cues: {unless: did climb, tell: You might climb.}")]),
    "a failure that is not there yet, and one that has come at the latest": (
        """
cruise:
  branches:
    - {when: {all: [failed pump, time < 3 min]}, end: there}
    - {when: {all: [not failed pump, time > 18 min]}, end: there}
    - {when: stalled, end: upset}
    - {when: in cloud, for: 3 s, end: there}
""", [("branch-never-taken", "- {when: {all: [failed pump, time < 3 min]}, end: there}"),
      ("branch-never-taken", "- {when: {all: [not failed pump, time > 18 min]}, end: there}")]),
    "a dead end, and a loop without exit": (
        """
cruise:
  branches:
    - {when: did climb, go: end of it}
    - {when: did descend, go: round}
    - {when: stalled, end: upset}
    - {when: in cloud, for: 3 s, end: there}
end of it:
  branches: [{when: {all: [stalled, noted never]}, end: upset}]
round:
  branches: [{when: did climb here, go: and round}]
and round:
  branches: [{when: did descend here, go: round}]
last:
  do: {note: never}
  branches: [{when: stalled, end: upset}]
""", [("dead-end", "end of it:"),
      ("branch-never-taken", "branches: [{when: {all: [stalled, noted never]}, end: upset}]"),
      ("loop-without-exit", "round:"), ("loop-without-exit", "and round:")]),
    "a condition that always holds takes the phase from all behind it": (
        """
cruise:
  branches:
    - {when: {any: [in cloud, not in cloud]}, go: second}
    - {when: stalled, end: upset}
second:
  branches: [{when: in cloud, end: there}, {when: stalled, end: upset}]
""", [("always-holds", "- {when: {any: [in cloud, not in cloud]}, go: second}"),
      ("branch-never-wins", "- {when: stalled, end: upset}")]),
    "what is done since a failure waits for the failure, and once done it stays so": (
        """
cruise:
  branches:
    - {when: {all: [did climb since failure pump, time < 3 min]}, end: there}
    - {when: did climb 2 times since failure pump, go: second}
    - {when: stalled, end: upset}
second:
  branches:
    - {when: {all: [not did climb, in cloud]}, end: there}
    - {when: not did climb twice, end: there}
    - {when: in cloud, end: there}
    - {when: stalled, end: upset}
""", [("branch-never-taken", "- {when: {all: [did climb since failure pump, time < 3 min]}, end: there}"),
      ("branch-never-taken", "- {when: not did climb twice, end: there}"),
      ("branch-never-taken", "- {when: {all: [not did climb, in cloud]}, end: there}")]),
    "how often something was done here is counted anew": (
        """
cruise:
  branches: [{when: did climb 3 times, go: second}, {when: stalled, end: upset}]
second:
  branches:
    - {when: did climb 2 times here, end: there}
    - {when: did climb 3 times here, end: upset}
    - {when: not did climb 2 times, end: upset}
""", [("branch-never-wins", "- {when: did climb 3 times here, end: upset}"),
      ("branch-never-taken", "- {when: not did climb 2 times, end: upset}")]),
    "a switch is on or off": (
        """
cruise:
  branches:
    - {when: {all: [pitot heat on, pitot heat off]}, end: there}
    - {when: pitot heat on, end: there}
    - {when: pitot heat off, for: 3 s, end: upset}
""", [("branch-never-taken", "- {when: {all: [pitot heat on, pitot heat off]}, end: there}")]),
    "what ATC was told in order to come here is known here, but may be taken back": (
        """
cruise:
  branches: [{when: asked for vmc, go: second}, {when: declared emergency, go: second}, {when: stalled, end: upset}]
second:
  branches: [{when: asked for vmc, go: third}, {when: not declared emergency, for: 3 s, end: there}]
third:
  branches:
    - {when: not asked for vmc, end: upset}
    - {when: not declared emergency, end: there}
""", [("branch-never-taken", "- {when: not asked for vmc, end: upset}")]),
}


@pytest.mark.parametrize("what", NEVER)
def test_what_no_flight_can_come_to_is_told_at_its_place(what: str) -> None:
    phases, expected = NEVER[what]
    assert sorted(found(story(phases))) == sorted(expected)


def test_failures_of_two_variations_never_meet() -> None:
    scenario = story(
        f"cruise:\n  branches: [{{when: {{all: [failed pump, failed horizon]}}, end: there}}, {UPSET}, "
        "{when: in cloud, for: 3 s, end: there}]",
        failures="pump: {part: vacuum pump, how: shaft shears, at: 4 min}\n"
                 "horizon: {part: attitude indicator, how: rotor stops, at: 4 min}",
        top="variations:\n  one: {fails: [pump]}\n  other: {fails: [horizon]}\n")
    assert [rule for rule, _ in found(scenario)] == ["branch-never-taken"]


def test_an_event_that_raises_a_flag_does_so_at_its_time() -> None:
    scenario = story(
        "cruise:\n  branches:\n    - {when: {all: [noted called, time < 4 min]}, end: there}\n"
        f"    - {{when: noted called, end: there}}\n    - {UPSET}",
        events="call: {after: 5 min, note: called, tell: A bell rings.}")
    assert found(scenario) == [("branch-never-taken", "- {when: {all: [noted called, time < 4 min]}, end: there}")]


def test_a_failure_that_only_an_unreachable_phase_begins_begins_in_no_flight() -> None:
    scenario = story(
        f"cruise:\n  branches: [{{when: true bank > 200 deg, go: second}}, {UPSET}, "
        "{when: in cloud, for: 3 s, end: there}]\n"
        "second:\n  do: {fail: pump}\n  branches: [{when: stalled, end: upset}]",
        failures="pump: {part: vacuum pump, how: shaft shears}")
    rules = {rule for rule, _ in found(scenario)}
    assert {"failure-out-of-reach", "phase-out-of-reach", "item-never-applies"} <= rules


ITEM = "part: recognize, why: So it is., source: AIM 4-2-3"
ITEMS: dict[str, tuple[str, list[str]]] = {
    "what never holds asks for nothing": (
        f"- {{item: A, do: ident, when: true bank > 200 deg, {ITEM}}}", ["item-never-applies"]),
    "what nobody can keep": (f"- {{item: A, keep: true bank > 200 deg, {ITEM}}}", ["item-nobody-satisfies"]),
    "what everybody keeps": (f"- {{item: A, keep: true bank <= 180 deg, {ITEM}}}", ["item-nobody-fails"]),
    "what may be looked at from the failure on": (
        f"- {{item: A, do: look ammeter, when: time > 5 min, within: 4.5 min of start, {ITEM}}}", []),
    "what passes and is asked for too late": (
        f"- {{item: A, do: look ammeter, when: time > 17 min, within: 2 min of start, {ITEM}}}",
        ["item-nobody-satisfies"]),
    "what lasts and may have been done before": (
        f"- {{item: A, do: divert, when: time > 17 min, within: 2 min of start, {ITEM}}}", []),
    "what is too late as soon as it is asked for": (
        f"- {{item: A, do: look ammeter, when: time > 5 min, before: time > 3 min, {ITEM}}}",
        ["item-nobody-satisfies"]),
    "what one item asks for and another forbids": (
        f"- {{item: A, do: {{any: [divert Wendle, divert Tallowby]}}, {ITEM}}}\n"
        f"- {{item: B, never: divert, {ITEM}}}", ["items-contradict"]),
    "what is forbidden at another time only": (
        f"- {{item: A, do: divert Wendle, {ITEM}}}\n- {{item: B, never: divert, when: time < 5 min, {ITEM}}}", []),
    "what can be done in another way": (
        f"- {{item: A, do: {{any: [divert Wendle, hold]}}, {ITEM}}}\n- {{item: B, never: divert, {ITEM}}}", []),
}


@pytest.mark.parametrize("what", ITEMS)
def test_items_that_no_flight_can_meet_or_miss_are_told(what: str) -> None:
    sheet, expected = ITEMS[what]
    scenario = story("cruise:\n  branches: [{when: stalled, end: upset}, {when: in cloud, for: 3 s, end: there}]",
                     sheet=sheet)
    assert [rule for rule, _ in found(scenario)] == expected


def test_moving_states_together_comes_to_the_same_as_moving_them_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    for seed in range(12):
        program = explored(scenario_of(seed)).program
        one_by_one = explore(program)
        with monkeypatch.context() as patched:
            patched.setattr("drill.check.explore.MANY", 0)
            assert explore(program) == one_by_one


def test_an_exploration_that_stops_early_calls_nothing_impossible(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = story(NEVER["an earlier branch without `for` takes all that a later one could"][0])
    monkeypatch.setattr("drill.check.exploring.explore", lambda program: explore(program, 1))
    explored.cache_clear()
    assert [rule for rule, _ in found(scenario)] == ["story-too-large"]
    explored.cache_clear()


def test_what_a_lint_has_told_of_a_part_is_not_said_again() -> None:
    scenario = story(NEVER["a quantity beyond what it can be"][0])
    first, *rest = findings(scenario)
    told = Problem(Place(first.place.file, first.place.line, 40), "never-holds", "it never holds", "", "", "warning")
    assert findings(scenario, [told]) == rest


def test_every_kind_found_is_explained_in_a_line() -> None:
    rules = {each.rule for phases, _ in NEVER.values() for each in findings(story(phases))}
    assert rules <= set(EXPLORED)
