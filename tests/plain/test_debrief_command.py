"""`drill debrief`: in words, to files, for programs; it notes the score of a flight of the pilot's own, no other."""

from __future__ import annotations

import io
import json
from argparse import Namespace
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest
from flight.flights import short
from jsonschema import Draft202012Validator

from drill.cli import main
from drill.flight.flight import Flight
from drill.flight.record import Recorder
from drill.plain.commands import run
from drill.plain.desk import Desk
from drill.plain.flights import debrief
from drill.plain.out import Out
from drill.scenario import load_text
from drill.seat import journal
from drill.seat.keeping import flights_folder


def flown(path: Path, limit: str) -> Path:
    """A record of 61 seconds of a flight with a time limit."""
    text = short().text.replace("time limit: 40 min", f"time limit: {limit}")
    flight, events = Flight.start(load_text(text, "short.yaml", lambda name: short().airplane.text), 1)
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(61.0), flight)
    return path


@pytest.mark.parametrize("as_data", [False, True])
def test_the_score_of_a_flight_that_has_ended_is_noted_when_it_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, as_data: bool,
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    ended, going_on = flown(tmp_path / "ended.jsonl", "60 s"), flown(tmp_path / "on.jsonl", "40 min")
    stranger = flown(tmp_path / "stranger.jsonl", "60 s")
    for record in (ended, going_on):
        journal.begun(flights_folder(), record, "short", "Short hop", 1, "2026-01-02")
    noted = []
    for record in (stranger, going_on, ended):
        before = (flights_folder() / journal.FILE).read_bytes()
        assert debrief(Namespace(record=record, json=as_data), Desk(Out(io.StringIO()), Out(io.StringIO()))) == 0
        noted.append((flights_folder() / journal.FILE).read_bytes() != before)
    assert noted == [False, False, True]
    assert [each.score is None for each in journal.attempts(flights_folder())] == [False, True]


def test_the_debrief_of_a_flight_that_somebody_is_flying_says_so(tmp_path: Path) -> None:
    path = tmp_path / "held.jsonl"
    flight, events = Flight.start(short(), 3)
    said = io.StringIO()
    chosen, desk = Namespace(run="debrief", record=path, json=True), Desk(Out(io.StringIO()), Out(said))
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(20.0), flight)
        assert run(chosen, desk) == 0
    assert "held.jsonl: this flight is being flown now" in said.getvalue()
    said.truncate(0)
    assert run(chosen, desk) == 0
    assert "being flown" not in said.getvalue()


def said_by(monkeypatch: pytest.MonkeyPatch, home: Path, *arguments: str) -> tuple[int, str, str]:
    """Exit code, output and errors of a command line."""
    monkeypatch.setenv("XDG_DATA_HOME", str(home))
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = main(["debrief", *arguments])
    return code, out.getvalue(), err.getvalue()


@pytest.mark.parametrize(("name", "begins"), [
    ("a.html", "<!DOCTYPE html>"), ("a.HTM", "<!DOCTYPE html>"), ("a.md", "# Debrief: "),
    ("a.json", '{\n "scenario": "short"'),
    ("a.txt", "Training aid only."),
])
def test_a_debrief_is_written_as_the_end_of_the_name_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, begins: str,
) -> None:
    record = flown(tmp_path / "ended.jsonl", "60 s")
    for _ in range(2):    # the very same debrief may be written to the same file
        code, out, err = said_by(monkeypatch, tmp_path, str(record), "--to", str(tmp_path / name))
        assert (code, err) == (0, "")
        assert str(tmp_path / name) in out
    assert (tmp_path / name).read_text(encoding="utf-8").startswith(begins)


@pytest.mark.parametrize(("name", "why"), [
    ("taken.html", "the file exists already; name another one"), ("a.pdf", "follows from the end of the file's name"),
    ("plain", "follows from the end of the file's name"), ("none/a.html", "there is no folder"),
    ("folder.html", "this is a folder"),
])
def test_where_no_debrief_can_be_written_it_is_said_in_a_line_and_nothing_is_touched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, why: str,
) -> None:
    record = flown(tmp_path / "ended.jsonl", "60 s")
    (tmp_path / "taken.html").write_text("mine", encoding="utf-8")
    (tmp_path / "folder.html").mkdir()
    before = sorted(tmp_path.iterdir())
    code, out, err = said_by(monkeypatch, tmp_path, str(record), "--to", str(tmp_path / name))
    assert (code, out) == (2, "")
    assert why in err
    assert len(err.splitlines()) == 1
    assert sorted(tmp_path.iterdir()) == before
    assert (tmp_path / "taken.html").read_text(encoding="utf-8") == "mine"


def test_data_for_programs_are_printed_with_their_schema_on_demand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    record = flown(tmp_path / "ended.jsonl", "60 s")
    code, told, _ = said_by(monkeypatch, tmp_path, str(record), "--json")
    assert code == 0
    code, schema, _ = said_by(monkeypatch, tmp_path, "--schema")
    assert code == 0
    Draft202012Validator(json.loads(schema)).validate(json.loads(told))


def test_a_record_must_be_named_and_only_one_form_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for arguments, why in (((), "name the RECORD"), (("a.jsonl", "--json", "--schema"), "not allowed with")):
        code, _, err = said_by(monkeypatch, tmp_path, *arguments)
        assert code == 2
        assert why in err
