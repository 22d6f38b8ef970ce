"""A save is seen within a second, however it is made; a file that vanishes for a moment does no harm."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from drill.check.watching import EVERY_S, GONE_S, saves


class Watched:
    """A file that is watched while a script of changes is played, one at each look."""

    def __init__(self, path: Path, changes: list[Callable[[], object] | None]) -> None:
        self.path = path
        self.changes = changes
        self.waited_s = 0.0
        self.seen_s: list[float] = []

    def wait(self, seconds: float) -> None:
        self.waited_s += seconds
        if not self.changes:
            raise KeyboardInterrupt
        change = self.changes.pop(0)
        if change is not None:
            change()

    def seen(self) -> list[float]:
        with suppress(KeyboardInterrupt):
            for _ in saves(lambda: [self.path], wait=self.wait):
                self.seen_s.append(round(self.waited_s, 3))
        return self.seen_s


def later(path: Path, text: str) -> Callable[[], object]:
    def save() -> None:
        before = path.stat().st_mtime_ns if path.exists() else 0
        path.write_text(text, encoding="utf-8")
        os.utime(path, ns=(before + 1_000_000, before + 1_000_000))

    return save


def test_a_look_comes_so_often_that_a_save_is_told_within_a_second() -> None:
    assert EVERY_S <= 0.5


def test_a_save_is_seen_at_the_next_look_and_only_once(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text("one", encoding="utf-8")
    assert Watched(path, [None, later(path, "two"), None, None, later(path, "x"), None]).seen() == [0.4, 1.0]


def test_a_save_of_the_same_length_is_seen_by_its_time(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text("one", encoding="utf-8")
    assert Watched(path, [later(path, "two"), None]).seen() == [0.2]


def test_an_editor_that_puts_a_new_file_in_the_place_of_the_old_is_seen_once(tmp_path: Path) -> None:
    path, other = tmp_path / "a.yaml", tmp_path / "a.tmp"
    path.write_text("one", encoding="utf-8")
    other.write_text("two", encoding="utf-8")
    assert Watched(path, [path.unlink, None, lambda: other.rename(path), None, None]).seen() == [0.6]


def test_a_file_that_stays_away_is_told_and_again_when_it_is_back(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text("one", encoding="utf-8")
    looks = round(GONE_S / EVERY_S)
    seen = Watched(path, [path.unlink, *[None] * (looks + 2), later(path, "two"), None]).seen()
    assert len(seen) == 2
    assert seen[0] == pytest.approx(GONE_S)
