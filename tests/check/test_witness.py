"""Witness flights: what they show they show again, flown from their scripts; what none came to stays possible."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from check.explore_stories import story
from drill.check.exploring import explored
from drill.check.witness import FULL_SCORE, Shown, early_seeds, marked, of_kind, wanted
from drill.check.witness_findings import witness_findings, write_scripts
from drill.check.witness_kept import ENDING, NoWitnesses, keep, kept
from drill.check.witness_report import witness_lines
from drill.check.witness_search import FLOWN_S, witnesses
from drill.check.witness_words import Speaker
from drill.flight.events import Ended, Entered, Failed
from drill.flight.flight import Flight
from drill.flight.pilots import ScriptPilot, fly
from drill.flight.seeds import times
from drill.grading.scoring import CAP
from drill.scenario import Scenario, load
from drill.scenario.problems import Place, Problem
from drill.scenario.shelf import shipped

SHORT = story("""
cruise:
  branches:
    - {when: did cover attitude indicator, go: second}
    - {when: {all: [declared emergency, asked for vmc]}, go: third}
    - {when: noted never, end: upset}
    - {when: time in phase > 60 s, end: there}
second:
  branches:
    - {when: {all: [failed pump, did fly by partial panel here]}, end: there}
    - {when: true altitude > 5400 ft, go: third}
third:
  branches:
    - {when: planned divert Wendle, end: there}
    - {when: true airspeed > 250 kt, note: never, end: upset}
""", failures="pump: {part: vacuum pump, how: shaft shears, at: 20 s, spread: 20 s}", top="nothing fails: 1 in 2\n")


@pytest.fixture(scope="module")
def shown() -> Shown:
    return witnesses(SHORT)


def test_flights_show_what_words_and_maneuvers_can_bring_about(shown: Shown) -> None:
    assert set(shown.shown) >= {
        "phase cruise", "phase second", "phase third", "branch cruise 0", "branch cruise 1", "branch cruise 3",
        "branch second 0", "branch second 1", "branch third 0", "ending there", "failure pump"}


def test_a_scripted_pilot_repeats_what_is_counted_waits_for_the_failure_and_works_the_switches() -> None:
    counted = story("""
cruise:
  branches:
    - {when: {all: [did look suction gauge 3 times, not failed pump]}, go: second}
    - {when: noted never, note: never, end: upset}
second:
  branches:
    - {when: {all: [pitot heat on, beacon off]}, go: third}
third:
  branches:
    - {when: did compare 2 times since failure pump, end: there}
""", failures="pump: {part: vacuum pump, how: shaft shears, at: 2 min, spread: 20 s}")
    found = witnesses(counted)
    assert found.shown >= {"phase second", "phase third", "ending there"}
    flown_again(counted, found)


def test_what_no_flight_came_to_is_left_open_and_what_is_impossible_is_not_looked_for(shown: Shown) -> None:
    assert "branch third 1" in shown.not_flown          # the story allows it, the airplane does not
    assert not shown.shown & set(shown.not_flown)
    assert set(shown.not_flown) | shown.shown == set(wanted(explored(SHORT)))


def test_the_search_keeps_to_its_bound() -> None:
    few = witnesses(SHORT, 60.0)
    assert few.flown_s <= 60.0
    assert set(few.not_flown) | few.shown == set(wanted(explored(SHORT)))


def flown_again(scenario: Scenario, shown: Shown) -> None:
    """Fly each witness again, from its script on the scenario itself."""
    for witness in shown.witnesses:
        flight, began = Flight.start(scenario, witness.seed)
        pilot = ScriptPilot.parse(witness.script(scenario))
        events = (*began, *fly(flight, pilot, until_s=witness.at_s).events)
        came = {f"phase {each.phase}" for each in events if isinstance(each, Entered)}
        came |= {f"ending {each.ending}" for each in events if isinstance(each, Ended)}
        came |= {f"failure {each.failure}" for each in events if isinstance(each, Failed)}
        assert {each for each in witness.shows if each.startswith(("phase ", "ending ", "failure "))} <= came
        assert witness.ending == (None if flight.ended is None else flight.ended.ending)


def test_a_witness_flown_again_from_its_script_shows_the_same(shown: Shown) -> None:
    flown_again(SHORT, shown)


def test_the_same_search_finds_the_same(shown: Shown) -> None:
    again = witnesses(SHORT)
    assert [each.script(SHORT) for each in again.witnesses] == [each.script(SHORT) for each in shown.witnesses]


def test_scripts_are_written_one_a_witness(shown: Shown, tmp_path: Path) -> None:
    paths = write_scripts(SHORT, shown, tmp_path / "new")
    assert len(set(paths)) == len(paths) == len([each for each in shown.witnesses if each.showings])
    for path in paths:
        ScriptPilot.read(path)


def test_a_flight_that_is_the_beginning_of_another_is_told_with_it(shown: Shown) -> None:
    for one in shown.witnesses:
        assert not any(other is not one and other.seed == one.seed and one.ending is None and one.at_s <= other.at_s
                       and other.lines[:len(one.lines)] == one.lines
                       and all(t >= one.at_s for t, _ in other.lines[len(one.lines):]) for other in shown.witnesses)
        assert [each.at_s for each in one.showings] == sorted(each.at_s for each in one.showings)


def test_what_has_been_shown_is_kept_beside_the_scripts_and_found_again(shown: Shown, tmp_path: Path) -> None:
    scripts = keep(SHORT, shown, tmp_path)
    found = kept(SHORT, tmp_path)
    assert {what for what in wanted(explored(SHORT)) if found.of(what)} == shown.shown
    assert found.of("branch third 1") == ""
    number = int(found.of("phase second").split()[1])
    assert found.flights[number - 1].endswith(f": {scripts[number - 1].name}")
    assert "phase second" in [each for each in shown.witnesses if each.showings][number - 1].shows


def test_witnesses_of_another_edition_of_a_scenario_count_for_nothing(shown: Shown, tmp_path: Path) -> None:
    with pytest.raises(NoWitnesses, match=r"No such file.*drill check --witness"):
        kept(SHORT, tmp_path)
    keep(SHORT, shown, tmp_path)
    with pytest.raises(NoWitnesses, match="another edition"):
        kept(replace(SHORT, text=f"{SHORT.text}# changed\n"), tmp_path)
    (tmp_path / f"{SHORT.name}{ENDING}").write_text('{"edition": 1}', encoding="utf-8")
    with pytest.raises(NoWitnesses, match="no account of witness flights"):
        kept(SHORT, tmp_path)


def test_the_report_names_what_each_flight_shows_what_stays_unknown_and_the_best_score(
        shown: Shown, tmp_path: Path) -> None:
    lines = ["".join(run.text for run in line) for line in witness_lines(
        SHORT, shown, write_scripts(SHORT, shown, tmp_path), ())]
    said = " ".join(" ".join(lines).split())
    number = next(place for place, line in enumerate(SHORT.text.split("\n"), 1) if "true airspeed > 250" in line)
    assert f"branch 2 of `third` (line {number}) to ending `upset`" in said.split("Unknown: the story allows it")[1]
    assert "ends with `there` at" in said
    assert ("A full score can be had" in said) == (FULL_SCORE in shown.shown)
    assert max(map(len, lines)) <= 78 or str(tmp_path) in max(lines, key=len)


def test_whether_a_full_score_can_be_had_is_told_by_a_proof_or_else_by_the_best_flight(shown: Shown) -> None:
    def said(*problems: Problem) -> str:
        without = replace(shown, witnesses=tuple(replace(each, showings=()) for each in shown.witnesses))
        return " ".join("".join(run.text for run in line) for line in witness_lines(SHORT, without, (), problems))

    proof = Problem(Place("a.yaml", 7, 1), "items-contradict", "nobody can satisfy both `A` and `B`", "", "", "warning")
    assert "A full score is impossible: nobody can satisfy both `A` and `B` (line 7)" in " ".join(said(proof).split())
    assert shown.best is not None
    assert f"the best flight, of seed {shown.best.seed}, scores" in " ".join(said().split())


def test_the_search_tells_how_far_it_is() -> None:
    told: list[tuple[float, float, int, int]] = []
    witnesses(SHORT, 100.0, lambda *far: told.append(far))
    assert len(told) >= 4
    assert [flown_s for flown_s, *_ in told] == sorted(flown_s for flown_s, *_ in told)
    assert all(most_s == 100.0 and shown <= of for _, most_s, shown, of in told)


def test_a_mark_on_each_branch_changes_nothing_of_a_flight() -> None:
    flights = [Flight.start(scenario, 3)[0] for scenario in (SHORT, marked(SHORT))]
    for flight in flights:
        flight.enter("cover the attitude indicator")
        flight.advance(30.0)
    assert flights[0].state.airplane == flights[1].state.airplane
    assert flights[0].phase == flights[1].phase == "second"


def test_a_seed_is_found_for_each_set_of_failures() -> None:
    drawn = [frozenset(name for name in ("pump",) if times(SHORT, seed)[name] is not None)
             for seed in early_seeds(SHORT)]
    assert drawn == [{"pump"}, frozenset()]


@pytest.mark.parametrize("name", sorted(shipped()))
def test_the_pilots_have_words_for_every_act_that_a_shipped_story_asks_for(name: str) -> None:
    scenario = load(shipped()[name])
    speaker = Speaker(scenario)
    acts = [atom for atom in explored(scenario).program.symbols.index
            if atom[0] in ("did", "here") or (atom[0] == "fact" and not atom[1].startswith("is "))]
    assert not [atom for atom in acts if speaker.words(atom) is None]


def test_a_lost_airplane_that_scores_above_the_cap_is_told_and_one_that_does_not_is_not() -> None:
    scenario = story(
        "cruise:\n  branches: [{when: time in phase > 70 s, end: upset}, {when: did ident, end: there}]",
        failures="pump: {part: vacuum pump, how: shaft shears, at: 30 min}",
        sheet="- {item: A, part: manage, never: cancel IFR, why: So it is., source: AIM 4-2-3}")
    shown = witnesses(scenario)
    lost = next(each for each in shown.witnesses if each.ending == "upset")
    assert lost.debrief is not None
    assert lost.debrief.score == CAP
    assert witness_findings(scenario, shown) == []
    better = replace(shown, witnesses=(replace(lost, debrief=replace(lost.debrief, score=90.0)),))
    problem, = witness_findings(scenario, better)
    assert problem.rule == "unsafe-but-well-graded"
    assert scenario.text.split("\n")[problem.place.line - 1].strip().startswith("upset:")


LEAST_SHOWN = {"cruise-to-tallowby": 9, "departure-from-averholt": 5, "letters-for-marrowby": 5,
               "over-to-sorrelton": 7, "supper-at-sandrick": 6}
"""Phases that flights are known to come to; all of them in the two smaller stories but for the approach of one."""


@pytest.mark.overnight       # half a minute each, alone; three times that on a busy machine
@pytest.mark.parametrize("name", sorted(shipped()))
def test_witnesses_of_the_shipped_scenarios_can_be_flown_again(name: str) -> None:
    scenario = load(shipped()[name])
    found = witnesses(scenario)
    flown_again(scenario, found)
    assert found.flown_s <= FLOWN_S
    assert len(of_kind(found.shown, "phase")) >= LEAST_SHOWN[name]
    assert witness_findings(scenario, found) == []
