"""Every kind of fault is explained; its bad example has it, at the line that says so, and its good one has not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from check.fragments import completed
from drill.check.checking import check
from drill.check.explaining import HERE, Explanation, UnknownKind, explained, explanations, kinds
from drill.check.rules import ALL
from drill.scenario.problems import Problem

AGAIN = "  # again"
MADE = {"unreadable-file", "story-too-large", "unsafe-but-well-graded"}  # made in tests of their own
Found = Callable[[bytes], tuple[Problem, ...]]


@pytest.fixture
def found(tmp_path: Path) -> Found:
    def look(data: bytes) -> tuple[Problem, ...]:
        path = tmp_path / "short-hop.yaml"
        path.write_bytes(data)
        return check(path).problems

    return look


def document(explanation: Explanation, piece: str) -> tuple[bytes, int]:
    """The whole document of an example, and the line in which the fault is to be found (0: none is marked)."""
    lines = []
    for line in piece.splitlines():
        lines += [line.removesuffix(AGAIN)] * explanation.times if line.endswith(AGAIN) else [line]
    at = next((number for number, line in enumerate(lines, 1) if line.endswith(HERE)), 0)
    text = "\n".join(line.removesuffix(HERE) for line in lines) + "\n"
    before = 0
    if not explanation.whole:
        text, before = completed(text)
    data = text.encode("utf-8")
    if explanation.escaped:
        data = data.decode("utf-8").encode("latin-1", "backslashreplace").decode("unicode_escape").encode("latin-1")
    return data, at + before


def test_every_kind_is_explained_and_no_other() -> None:
    assert set(explanations()) == set(ALL)


@pytest.mark.parametrize("kind", sorted(set(explanations()) - MADE))
def test_the_bad_example_of_a_kind_has_it_where_it_says_and_nothing_else(kind: str, found: Found) -> None:
    explanation = explanations()[kind]
    data, line = document(explanation, explanation.bad)
    problems = found(data)
    assert {each.rule for each in problems} == {kind, *explanation.also}, problems
    assert line in {each.place.line for each in problems if each.rule == kind} or HERE not in explanation.bad, problems


@pytest.mark.parametrize("kind", sorted(kind for kind, each in explanations().items() if not each.whole))
def test_the_good_example_of_a_kind_has_no_fault_at_all(kind: str, found: Found) -> None:
    explanation = explanations()[kind]
    data, line = document(explanation, explanation.good)
    assert found(data) == ()
    assert HERE not in explanation.good, line


def test_a_file_that_cannot_be_opened_is_a_problem_of_its_own(tmp_path: Path) -> None:
    (tmp_path / "link.yaml").symlink_to(tmp_path / "nowhere.yaml")
    assert [each.rule for each in check(tmp_path / "link.yaml").problems] == ["unreadable-file"]


def test_what_is_told_of_a_kind_fits_into_eighty_columns_and_shows_both_examples() -> None:
    for kind in ALL:
        lines = ["".join(run.text for run in line) for line in explained(kind)]
        assert lines[0].startswith(f"{kind}  ")
        assert {"Not so:", "But so:"} <= set(lines)
        assert all(len(line) <= 120 for line in lines)
        prose = lines[: lines.index("Not so:")]
        assert all(len(line) <= 78 for line in prose)


def test_a_kind_may_be_written_with_blanks_and_an_unknown_one_is_told_the_nearest() -> None:
    assert "".join(run.text for run in next(iter(explained("phase never reached")))).startswith("phase-never-reached")
    with pytest.raises(UnknownKind, match="unknown-phase"):
        explained("unknown-fase")


def test_the_list_of_kinds_has_them_all() -> None:
    said = "\n".join("".join(run.text for run in line) for line in kinds())
    assert all(f"{kind}\n" in said for kind in ALL)
