"""A debrief's file: its kind by its name, and nothing that is there is written over."""

from __future__ import annotations

from pathlib import Path

import pytest
from paper.papers import paper

from drill.grading import debrief_lines
from drill.paper.files import write_new
from drill.paper.kinds import KINDS, kind_of
from drill.paper.writing import text_of


@pytest.mark.parametrize(("name", "kind"), [
    ("a.html", "html"), ("a.htm", "html"), ("A.HTML", "html"), ("a.md", "md"), ("a.markdown", "md"), ("a.json", "json"),
    ("a.txt", "txt"), ("a.html.md", "md"), ("a", None), (".html", None), ("a.jsonl", None), ("a.pdf", None),
])
def test_the_kind_follows_from_the_end_of_the_name(name: str, kind: str | None) -> None:
    assert kind_of(Path("folder.md") / name) == kind


def test_what_is_there_stays_and_the_very_same_is_as_good_as_written(tmp_path: Path) -> None:
    path = tmp_path / "a.md"
    assert write_new(path, "é\n")
    assert write_new(path, "é\n")
    assert not write_new(path, "e\n")
    assert not write_new(path, "é\n\n")
    assert path.read_bytes() == "é\n".encode()


def test_neither_a_folder_nor_a_link_that_leads_nowhere_is_written_to(tmp_path: Path) -> None:
    (tmp_path / "folder.md").mkdir()
    (tmp_path / "link.md").symlink_to(tmp_path / "elsewhere.md")
    assert not write_new(tmp_path / "folder.md", "a")
    assert not write_new(tmp_path / "link.md", "a")
    assert not (tmp_path / "elsewhere.md").exists()


def test_every_kind_has_a_text_that_ends_with_a_line_break_and_is_the_same_each_time() -> None:
    given = paper()
    for kind in KINDS:
        text = text_of(given, kind)
        assert text.endswith("\n")
        assert not text.endswith("\n\n")
        assert text == text_of(paper(), kind)
    assert text_of(given, "txt").splitlines() == debrief_lines(given.document.debrief)
