"""`drill debrief` notes the score of a flight of the pilot's own, and of no other."""

from __future__ import annotations

import io
from argparse import Namespace
from pathlib import Path

import pytest
from flight.flights import short

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
