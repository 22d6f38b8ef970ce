"""In a document with faults, what has none is judged all the same, and nothing is said that a mend makes untrue."""

from __future__ import annotations

import re
from random import Random

import pytest

from check.fragments import WHOLE
from drill.check.checking import check_text
from drill.check.partial import ALONE, BY_EXAMPLE
from drill.scenario.loading import airplanes_beside
from drill.scenario.shelf import shipped

PATH = shipped()["cruise-to-tallowby"]
TEXT = PATH.read_text(encoding="utf-8")
BESIDE = airplanes_beside(WHOLE)


def found(*changes: tuple[str, str]) -> list[tuple[str, str]]:
    """The kinds found in the shipped document with these changes, each with its line."""
    text = TEXT
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    lines = text.split("\n")
    return [(each.rule, lines[each.place.line - 1].strip()) for each in check_text(text, str(PATH), BESIDE).problems]


UNFINISHED = ("tell: Nineteen miles to run.", "tell: TODO nineteen miles.")


@pytest.mark.parametrize(("fault", "rule"), [
    (("go: falling", "go: faling"), "unknown-phase"),
    (("time limit:", "time limt:"), "unknown-key"),
    (("true bank > 110 deg", "true bank > 110 ft"), "wrong-unit"),
    (("outcome: landed", "outcome: lands"), "unknown-choice"),
    (("spread: 5 min", "spread: 5"), "unit-missing"),
])
def test_beside_a_fault_of_one_part_the_text_of_another_is_judged(fault: tuple[str, str], rule: str) -> None:
    kinds = dict(found(fault, UNFINISHED))
    assert rule in kinds
    assert kinds["unfinished-text"] == UNFINISHED[1]


@pytest.mark.parametrize(("fault", "rule"), [
    (("altitude: 6000 ft", "altitude: 6000 kt"), "wrong-unit"),
    (("board title: Cruise to Tallowby\n", ""), "missing-key"),
    (("airplane: larkspur-180\n", "airplane: larkspur-190\n"), "unknown-airplane"),
    (("facility:", "facilty:"), "unknown-key"),
    (("minimum altitude:", "minimum altitde:"), "unknown-key"),
    (("heading: 240 deg", "heading: 2400 deg"), "out-of-range"),
])
def test_beside_a_fault_of_what_no_scenario_is_without_the_text_of_a_phase_is_judged(
    fault: tuple[str, str], rule: str
) -> None:
    kinds = dict(found(fault, UNFINISHED))
    assert rule in kinds
    assert kinds["unfinished-text"] == UNFINISHED[1]


def test_of_a_part_that_has_a_fault_itself_nothing_more_is_said() -> None:
    kinds = found(("tell: Nineteen miles to run.\n    atc:", "tell: TODO nineteen miles.\n    act:"))
    assert [kind for kind, _ in kinds if kind in ALONE] == []
    assert "unknown-key" in dict(kinds)


def test_an_example_is_read_beside_faults_but_not_where_a_place_that_it_may_name_is_one_of_them() -> None:
    item = next(re.finditer(r"example: [^\n]*", TEXT)).group()
    wrong = (item, "example: sing a song")
    assert "example-does-not-do-it" in dict(found(("go: falling", "go: faling"), wrong))
    assert "example-does-not-do-it" not in dict(found(("bearing: 236 deg", "bearing: 236 ft"), wrong))


def test_where_nothing_sound_is_left_only_the_faults_are_told() -> None:
    assert {rule for rule, _ in found(("phases:\n", "phrases:\n"), UNFINISHED)} & (ALONE | BY_EXAMPLE) == set()
    assert {each.rule for each in check_text("drill: 1\n", "a.yaml", BESIDE).problems} & ALONE == set()


@pytest.mark.parametrize("seed", range(16))
def test_a_sound_document_with_one_line_spoilt_has_faults_and_no_findings_made_by_them(seed: int) -> None:
    draw = Random(seed)  # noqa: S311 - no secret
    lines = TEXT.split("\n")
    number = draw.choice([place for place, line in enumerate(lines) if ":" in line and line.strip()[0] != "#"])
    lines[number] = re.sub(r"([a-z ]+):", r"\1zz:", lines[number], count=1)
    problems = check_text("\n".join(lines), str(PATH), BESIDE).problems
    assert [str(each) for each in problems if each.rule in ALONE | BY_EXAMPLE] == []
