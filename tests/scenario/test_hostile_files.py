"""Files that mean harm or are no scenario at all: a clear error, soon."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from drill.scenario import DocumentError, ScenarioNotFound, find, load, problems_in
from scenario.documents import changed, problems

SOON_S = 2.0  # a second is asked for; twice that leaves room for a busy machine


@contextmanager
def soon() -> Iterator[None]:
    began = time.perf_counter()
    yield
    assert time.perf_counter() - began < SOON_S


def test_a_file_of_fifty_megabytes_is_refused_without_reading_it_all(tmp_path: Path) -> None:
    path = tmp_path / "big.yaml"
    with path.open("wb") as file:
        file.write(b"a: b\n")
        file.truncate(50_000_000)
    with soon():
        assert [each.rule for each in problems_in(path)] == ["too-large"]


def test_a_text_of_too_many_characters_is_refused() -> None:
    with soon():
        assert [each.rule for each in problems("a" * 1_000_001)] == ["too-large"]


def test_an_alias_bomb_is_refused() -> None:
    bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n"
    bomb += "".join(f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]\n" for i in range(1, 40))
    with soon():
        assert {each.rule for each in problems(bomb)} == {"alias"}


def test_brackets_without_end_are_refused() -> None:
    with soon():
        assert [each.rule for each in problems("a: " + "[" * 100)] == ["too-deep"]
        assert [each.rule for each in problems("a: " + "[" * 400_000)] in (["too-deep"], ["unreadable-yaml"])


def test_a_document_of_too_many_parts_is_refused() -> None:
    with soon():
        assert [each.rule for each in problems("a: [" + "1," * 100_000 + "]")] == ["too-many-parts"]


@pytest.mark.parametrize(
    "tag", ["!!python/object/apply:os.system ['true']", "!!python/name:os.system ''", "!thing x", "!!binary aGk="]
)
def test_a_tag_makes_no_object(tag: str) -> None:
    with soon():
        assert "object-tag" in {each.rule for each in problems(changed(("title: Suction lost", f"title: {tag}")))}


def test_a_condition_of_many_nots_is_an_error_and_no_crash() -> None:
    with soon():
        problems(changed(("when: reported vacuum system", "when: " + "not " * 50_000 + "in cloud")))


def test_a_folder_is_no_scenario(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match="cannot be read"):
        load(tmp_path)
    assert [each.rule for each in problems_in(tmp_path / "missing.yaml")] == ["unreadable-file"]


@pytest.mark.parametrize("name", ["../secrets", "/etc/passwd", "a/b", "", "UP"])
def test_an_airplane_is_a_name_and_never_a_path(name: str) -> None:
    rules = {each.rule for each in problems(changed(("airplane: larkspur-180", f"airplane: '{name}'")))}
    assert rules <= {"unknown-airplane", "empty-value"}
    assert rules


def test_a_sound_airplane_outside_the_folder_of_airplanes_is_not_used(tmp_path: Path) -> None:
    (tmp_path / "airplanes").mkdir()
    (tmp_path / "outside.yaml").write_text("drill: 1\ntitle: Outsider\n", encoding="utf-8")
    scenario = tmp_path / "mine.yaml"
    scenario.write_text(changed(("airplane: larkspur-180", "airplane: ../outside")), encoding="utf-8")
    assert [each.rule for each in problems_in(scenario)] == ["unknown-airplane"]


def test_an_unknown_scenario_gets_the_nearest_names() -> None:
    with pytest.raises(ScenarioNotFound, match="cruise-to-tallowby"):
        find("cruse-to-talowby")


@pytest.mark.parametrize("name", ["\0", "x" * 10_000, "no such thing"])
def test_any_scenario_name_is_found_or_is_said_not_to_be(name: str) -> None:
    with pytest.raises(ScenarioNotFound):
        find(name)
