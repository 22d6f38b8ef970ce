"""The journal remembers flights, whatever has been done to its file, and is never a reason not to fly."""

from __future__ import annotations

import json
import math
import os
import tempfile
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.seat.journal import (
    FILE,
    LONGEST_PILOT,
    LONGEST_WORDS,
    MOST_LINES,
    Attempt,
    attempts,
    begun,
    finished,
    graded,
    why_not_kept,
)

TITLE = "Cruise to Tallowby"


def record_in(folder: Path, name: str = "a.jsonl") -> Path:
    path = folder / name
    path.write_text("{}\n", encoding="utf-8")
    return path


def begin(folder: Path, record: Path, seed: int = 7) -> bool:
    return begun(folder, record, "cruise-to-tallowby", TITLE, seed, "2026-11-25")


@contextmanager
def fresh_folder() -> Iterator[Path]:
    """A folder for one example of a property."""
    with tempfile.TemporaryDirectory() as folder:
        yield Path(folder)


def test_a_flight_is_remembered_from_its_beginning_to_its_score(tmp_path: Path) -> None:
    folder, record = tmp_path / "not" / "yet", record_in(tmp_path)
    assert attempts(folder) == []
    attempt = Attempt("cruise-to-tallowby", TITLE, record, 7, "2026-11-25")
    assert begin(folder, record)
    assert attempts(folder) == [attempt]
    assert finished(folder, record, "helped")
    assert graded(folder, record, 61.5)
    assert attempts(folder) == [Attempt("cruise-to-tallowby", TITLE, record, 7, "2026-11-25", True, "helped", 61.5)]


@pytest.mark.parametrize(("said", "rewound"), [(True, True), (False, False)])
def test_that_a_flight_goes_on_from_a_moment_of_another_is_noted(tmp_path: Path, said: bool, rewound: bool) -> None:
    record = tmp_path / "again.jsonl"
    record.touch()
    begun(tmp_path, record, "hop", TITLE, 7, "2026-11-25", rewound=said)
    assert [each.rewound for each in attempts(tmp_path)] == [rewound]
    (tmp_path / FILE).write_text((tmp_path / FILE).read_text().replace("true", '"yes"'))
    assert [each.rewound for each in attempts(tmp_path)] == [False]    # only a plain true is one


def test_attempts_are_the_oldest_first_and_one_a_record(tmp_path: Path) -> None:
    first, second = record_in(tmp_path, "1.jsonl"), record_in(tmp_path, "2.jsonl")
    begin(tmp_path, first, 1)
    begin(tmp_path, second, 2)
    finished(tmp_path, first, "helped")
    finished(tmp_path, first, "landed")
    assert [(each.seed, each.outcome) for each in attempts(tmp_path)] == [(1, "landed"), (2, "")]


def test_a_new_flight_in_a_file_of_the_same_name_begins_with_a_clean_sheet(tmp_path: Path) -> None:
    record, other = record_in(tmp_path), record_in(tmp_path, "b.jsonl")
    begin(tmp_path, record, 1)
    finished(tmp_path, record, "helped")
    graded(tmp_path, record, 90.0)
    begin(tmp_path, other, 2)
    begin(tmp_path, record, 3)
    assert [(each.seed, each.ended, each.score) for each in attempts(tmp_path)] == [(2, False, None), (3, False, None)]


def test_flights_whose_record_is_gone_are_left_out(tmp_path: Path) -> None:
    record = record_in(tmp_path)
    begin(tmp_path, record)
    record.unlink()
    assert attempts(tmp_path) == []


def test_a_record_is_kept_by_its_absolute_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record_in(tmp_path)
    monkeypatch.chdir(tmp_path)
    begin(tmp_path, Path("a.jsonl"))
    monkeypatch.chdir("/")
    assert [each.record for each in attempts(tmp_path)] == [tmp_path / "a.jsonl"]


def test_a_file_name_that_is_no_text_is_found_again(tmp_path: Path) -> None:
    record = Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff.jsonl"))
    record.write_text("{}\n", encoding="utf-8")
    begin(tmp_path, record)
    assert [each.record for each in attempts(tmp_path)] == [record]


def test_a_line_that_was_cut_off_spoils_no_other(tmp_path: Path) -> None:
    record = record_in(tmp_path)
    begin(tmp_path, record)
    with (tmp_path / FILE).open("a", encoding="utf-8") as file:
        file.write('{"kind": "graded", "reco')
    finished(tmp_path, record, "helped")
    (attempt,) = attempts(tmp_path)
    assert attempt.outcome == "helped"


def test_no_more_than_the_last_lines_are_read(tmp_path: Path) -> None:
    old, new = record_in(tmp_path, "old.jsonl"), record_in(tmp_path, "new.jsonl")
    begin(tmp_path, old, 1)
    begin(tmp_path, new, 2)
    with (tmp_path / FILE).open("a", encoding="utf-8") as file:
        file.write("{}\n" * (MOST_LINES - 1))
    assert [each.seed for each in attempts(tmp_path)] == [2]


def test_a_long_line_is_not_read_whole(tmp_path: Path) -> None:
    old, new = record_in(tmp_path, "old.jsonl"), record_in(tmp_path, "new.jsonl")
    begin(tmp_path, old, 1)
    with (tmp_path / FILE).open("a", encoding="utf-8") as file:
        file.write("x" * 5_000_000 + "\n")
    begin(tmp_path, new, 2)
    assert [each.seed for each in attempts(tmp_path)] == [2]


def test_a_journal_that_cannot_be_written_stops_nobody(tmp_path: Path) -> None:
    record = record_in(tmp_path)
    in_the_way = tmp_path / "file"
    in_the_way.write_text("", encoding="utf-8")
    (tmp_path / FILE).mkdir()
    for folder in (in_the_way, in_the_way / "below", tmp_path, tmp_path / "nul\0"):
        assert not begin(folder, record)
        assert not finished(folder, record, "helped")
        assert not graded(folder, record, 1.0)
        assert attempts(folder) == []


def test_a_pipe_in_the_place_of_the_journal_holds_nobody_up(tmp_path: Path) -> None:
    record = record_in(tmp_path)
    os.mkfifo(tmp_path / FILE)
    assert not begin(tmp_path, record)
    assert attempts(tmp_path) == []


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=9), inner, max_size=3), max_leaves=5,
)
KEYS = ("kind", "record", "scenario", "board_title", "seed", "began", "outcome", "score")
VALUES = JSON | st.sampled_from(["begun", "finished", "graded", "RECORD", "2026-11-25", 7, 55.5])
SAID = st.dictionaries(st.sampled_from(KEYS) | st.text(max_size=5), VALUES).map(lambda said: json.dumps(said).encode())
DAMAGED = st.lists(SAID | st.binary(max_size=60) | st.sampled_from([b"", b"[" * 5_000, b"1" * 5_000]), max_size=12)


@settings(deadline=None)    # files: how long they take is the machine's affair
@given(DAMAGED)
def test_damaged_lines_are_skipped_and_the_sound_ones_count(damaged: list[bytes]) -> None:
    with fresh_folder() as folder:
        record, other = record_in(folder), record_in(folder, "other.jsonl")
        lines = [line.replace(b"RECORD", os.fsencode(other)) for line in damaged]
        begin(folder, record)
        with (folder / FILE).open("ab") as file:
            file.write(b"\n".join(lines))
        finished(folder, record, "helped")
        graded(folder, record, 50.0)
        found = {each.record: each for each in attempts(folder)}
    assert found.pop(record) == Attempt("cruise-to-tallowby", TITLE, record, 7, "2026-11-25", True, "helped", 50.0)
    for attempt in found.values():
        assert attempt.record == other
        assert attempt.score is None or 0 <= attempt.score <= 100


@settings(deadline=None)    # files: how long they take is the machine's affair
@given(st.dictionaries(st.text(max_size=9).filter(lambda key: key not in KEYS), JSON, max_size=4))
def test_keys_of_a_later_drill_are_passed_over(more: dict[str, object]) -> None:
    with fresh_folder() as folder:
        begin(folder, record_in(folder))
        known = attempts(folder)
        path = folder / FILE
        path.write_text(json.dumps(more | json.loads(path.read_text(encoding="utf-8"))) + "\n", encoding="utf-8")
        assert attempts(folder) == known != []


@settings(deadline=None)    # files: how long they take is the machine's affair
@given(st.text(), st.text(), st.text())
def test_text_is_clean_when_it_is_read(scenario: str, title: str, outcome: str) -> None:
    with fresh_folder() as folder:
        record = record_in(folder)
        begun(folder, record, scenario, title + "\x1b[2J\u202e", 7, "2026-11-25")
        finished(folder, record, outcome + "\x9b31m\n")
        (attempt,) = attempts(folder)
    for words in (attempt.scenario, attempt.board_title, attempt.outcome):
        assert len(words) <= LONGEST_WORDS
        assert not [each for each in words if unicodedata.category(each) in ("Cc", "Cf", "Cs")]


@pytest.mark.parametrize("score", [math.nan, math.inf, -1.0, 101.0, 10**400, True, "90", [90]])
def test_a_score_that_is_none_is_not_taken(tmp_path: Path, score: object) -> None:
    record = record_in(tmp_path)
    begin(tmp_path, record)
    with (tmp_path / FILE).open("a", encoding="utf-8") as file:
        file.write(json.dumps({"kind": "graded", "record": str(record), "score": score}) + "\n")
    (attempt,) = attempts(tmp_path)
    assert attempt.score is None


@pytest.mark.parametrize("spoiled", [
    {"began": "yesterday"}, {"began": None}, {"seed": -1}, {"seed": True}, {"seed": 2.0}, {"seed": 10**30},
    {"scenario": 5}, {"board_title": None}, {"record": "a.jsonl"}, {"record": 5}, {"record": "/" + "x" * 9_000},
    {"record": "/nul\0"},
])
def test_a_beginning_that_makes_no_sense_is_no_flight(tmp_path: Path, spoiled: dict[str, object]) -> None:
    record = record_in(tmp_path)
    begin(tmp_path, record)
    path = tmp_path / FILE
    path.write_text(json.dumps(json.loads(path.read_text(encoding="utf-8")) | spoiled) + "\n", encoding="utf-8")
    assert attempts(tmp_path) == []


def test_flights_are_told_apart_by_pilot(tmp_path: Path) -> None:
    own, other = record_in(tmp_path, "1.jsonl"), record_in(tmp_path, "2.jsonl")
    begin(tmp_path, own, 1)
    assert begun(tmp_path, other, "cruise", TITLE, 2, "2026-11-25", "quince")
    begun(tmp_path, record_in(tmp_path, "3.jsonl"), "cruise", TITLE, 3, "2026-11-25", "x" * (LONGEST_PILOT + 1))
    assert [each.seed for each in attempts(tmp_path)] == [1, 2]
    assert [each.seed for each in attempts(tmp_path, "")] == [1]
    assert [(each.seed, each.pilot) for each in attempts(tmp_path, "quince")] == [(2, "quince")]
    assert attempts(tmp_path, "somebody") == []


def test_a_flight_begins_on_a_day_or_at_a_minute_of_it(tmp_path: Path) -> None:
    for number, began in enumerate(("2026-11-25", "2026-11-25T09:05:59", "2026-11-25 noon")):
        begun(tmp_path, record_in(tmp_path, str(number)), "cruise", TITLE, number, began)
    assert [each.began for each in attempts(tmp_path)] == ["2026-11-25", "2026-11-25T09:05"]


def test_why_the_journal_cannot_be_kept_is_said_with_its_path(tmp_path: Path) -> None:
    folder = tmp_path / "flights"
    assert why_not_kept(folder) == ""
    begin(folder, record_in(tmp_path))
    assert why_not_kept(folder) == ""
    (folder / FILE).unlink()
    os.mkfifo(folder / FILE)
    assert why_not_kept(folder) == (
        f"The list of flights cannot be read: {folder / FILE} is no regular file; move it away.")
    (tmp_path / "taken").write_text("")
    assert "is no folder" in why_not_kept(tmp_path / "taken" / "flights")


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is closed to the superuser")
def test_a_journal_that_may_not_be_read_or_written_is_said(tmp_path: Path) -> None:
    begin(tmp_path, record_in(tmp_path))
    (tmp_path / FILE).chmod(0o400)
    assert "cannot be written" in why_not_kept(tmp_path)
    (tmp_path / FILE).chmod(0)
    assert "cannot be read" in why_not_kept(tmp_path)
