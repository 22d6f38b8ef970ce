"""Values that cannot both be meant are refused; what can never happen is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from drill.scenario import load_with_warnings, problems_in, shipped
from drill.scenario.sense import CEILING_FT
from scenario.documents import TEXT, changed, loaded, problems

CLEARED = "clearance: {facility: Orrinfell Approach"


@pytest.mark.parametrize(("changes", "wrong", "written"), [
    ((("base: 1200 ft, tops: 7200 ft", "base: 7200 ft, tops: 7200 ft"),), "`base`: 7,200 ft is not below", "base"),
    ((("minimum altitude: 3000 ft", "ground: 3000 ft\nminimum altitude: 3000 ft"),), "3,000 ft is not above the ground",
     "minimum altitude"),
    ((("minimum altitude: 3000 ft", "ground: 4000 ft\nminimum altitude: 5000 ft"),
      ("altitude: 5000 ft", "altitude: 0 ft")), "`altitude`: 0 ft is not above the ground", "altitude"),
    ((("airspeed: 110 kt", "airspeed: 53 kt"),), "cannot fly at 53 kt", "airspeed"),
    ((("airspeed: 110 kt", "airspeed: 158 kt"),), "cannot fly at 158 kt", "airspeed"),
    ((("altitude: 5000 ft", "altitude: 20001 ft"),), "no airplane of this kind reaches 20,001 ft", "altitude"),
    (((CLEARED, f"{CLEARED}, altitude: 25000 ft"),), "no airplane of this kind reaches 25,000 ft", "altitude"),
    ((("270 at 20 kt", "270 at 101 kt"),), "101 kt cannot be meant", "wind"),
    ((("failures:", "time limit: 59 s\nfailures:"),), "a flight of 59 s", "time limit"),
    ((("level: 8500 ft}", "level: 7200 ft, icing: light}"),), "no cloud is above 7,200 ft", "freezing level"),
    (((", freezing level: 8500 ft}", ", icing: light}"),), "above a freezing level; none is given", "icing"),
    ((("{base: 1200 ft, tops: 7200 ft}", "none"), ("level: 8500 ft}", "level: 5000 ft, icing: moderate}")),
     "ice forms in cloud", "icing"),
])
def test_two_values_that_cannot_both_be_meant_are_told_where_one_stands(
    changes: tuple[tuple[str, str], ...], wrong: str, written: str,
) -> None:
    text = changed(*changes)
    errors = [each for each in problems(text) if each.level == "error"]
    assert [each.rule for each in errors] == ["at-odds"]
    assert wrong in errors[0].wrong
    place = errors[0].place
    assert text.splitlines()[place.line - 1][place.column - 1 :].startswith(written)


@pytest.mark.parametrize("changes", [
    (("base: 1200 ft, tops: 7200 ft", "base: 7199 ft, tops: 7200 ft"),),
    (("minimum altitude: 3000 ft", "ground: 2999 ft\nminimum altitude: 3000 ft"),),
    (("airspeed: 110 kt", "airspeed: 54 kt"),), (("airspeed: 110 kt", "airspeed: 157 kt"),),
    (("altitude: 5000 ft", f"altitude: {CEILING_FT:.0f} ft"),), (("270 at 20 kt", "270 at 100 kt"),),
    (("failures:", "time limit: 1 min\nfailures:"),), (("level: 8500 ft}", "level: 7100 ft, icing: light}"),),
    (("{base: 1200 ft, tops: 7200 ft}", "none"), ("level: 8500 ft}", "level: 5000 ft, icing: none}")),
])
def test_values_just_inside_are_no_mistake(changes: tuple[tuple[str, str], ...]) -> None:
    assert loaded(changed(*changes))


def warnings(tmp_path: Path, text: str) -> list[tuple[str, str]]:
    path = tmp_path / "some.yaml"
    path.write_text(text, encoding="utf-8")
    scenario, found = load_with_warnings(path)
    assert scenario.name == "some"
    assert all(each.level == "warning" and ": warning: " in str(each) for each in found)
    return [(each.rule, each.wrong) for each in found]


def test_an_ending_that_no_branch_uses_is_said_but_for_those_that_the_model_reaches(tmp_path: Path) -> None:
    limits = "".join(f"  {name}: {{outcome: unresolved, tell: Over.}}\n" for name in ("ground", "break-up", "time up"))
    text = TEXT.replace("endings:\n", f"endings:\n{limits}  home: {{outcome: safe, tell: Home.}}\n")
    assert warnings(tmp_path, text) == [("ending-never-reached", "ending `home` is used by no branch")]


def test_a_failure_that_nothing_brings_is_said(tmp_path: Path) -> None:
    pump = ("at: 4 min, spread: 12 min}", "severity: 1}")
    assert warnings(tmp_path, changed(pump)) == [("failure-never-begins", "failure `pump` never begins")]
    assert warnings(tmp_path, changed(pump, ("note: arrived", "fail: pump"))) == []
    assert warnings(tmp_path, changed(pump, ("    tell: Level in cloud.", "    do: {fail: pump}"))) == []
    assert warnings(tmp_path, changed(pump, ("failures:", "events: {it: {after: 1 min, fail: pump}}\nfailures:"))) == []


def test_what_is_due_when_the_flight_is_over_is_said(tmp_path: Path) -> None:
    text = changed(("failures:", "time limit: 3 min\nevents:\n  late: {after: 181 s, tell: Late.}\n"
                                 "  just: {after: 3 min, tell: Just.}\nfailures:"))
    assert warnings(tmp_path, text) == [
        ("after-the-time-limit", "event `late` is due at 3 min 1 s"),
        ("after-the-time-limit", "failure `pump` is due at 4 min"),
    ]


def test_the_shipped_scenarios_have_no_problem_and_no_warning() -> None:
    for path in shipped().values():
        assert problems_in(path) == []
