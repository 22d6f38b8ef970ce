"""Where no record can be written, it is said which command flies all the same."""

from dataclasses import replace
from pathlib import Path

import pytest
from flight.flights import short

from drill.clean import Clean
from drill.flight.record import RecordError
from drill.scenario import load, shipped
from drill.seat import journal
from drill.seat.beginning import begin, new_record


def test_without_a_data_folder_the_whole_command_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "taken").write_text("")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "taken"))
    with pytest.raises(RecordError, match=r"name a file with --record: drill fly cruise-to-tallowby --record FILE$"):
        new_record(load(shipped()["cruise-to-tallowby"]), 1, None)
    with pytest.raises(RecordError, match=r"drill fly SCENARIO --record FILE$"):    # an author's own file
        new_record(replace(short(), name=Clean("own; rm")), 1, None)
    with pytest.raises(RecordError, match=r"there is no folder .*; make it, or name a file elsewhere$"):
        new_record(short(), 1, tmp_path / "none" / "f.jsonl")


def test_a_flight_is_noted_as_its_pilots_with_the_minute_it_began(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    path = new_record(short(), 5, None)
    begin(short(), 5, path, pilot="quince").recorder.close()
    (attempt,) = journal.attempts(path.parent, "quince")
    assert (attempt.record, attempt.seed) == (path, 5)
    assert "T" in attempt.began
