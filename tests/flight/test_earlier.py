"""A record of an earlier edition of the model is still read, and told and graded from its trace."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from drill.flight.earlier import ADDED
from drill.flight.events import Trace
from drill.flight.record import Recorder, RecordError, read_record
from drill.grading import grade
from flight.flights import begun


def kept(path: Path) -> list[str]:
    """A minute of a flight, as its record's lines."""
    flight, events = begun()
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(30.0), flight)
    return path.read_text(encoding="utf-8").splitlines()


def without(line: str, *parts: str) -> str:
    """A line as edition 1 wrote it: the added numbers left out of these parts of a trace."""
    data = json.loads(line)
    for part in parts:
        if isinstance(data.get(part), dict):
            data[part] = {name: value for name, value in data[part].items() if name not in ADDED[part]}
    return json.dumps(data)


def test_a_record_from_before_the_standby_display_is_read_and_graded(tmp_path: Path) -> None:
    lines = kept(tmp_path / "new.jsonl")
    old = tmp_path / "old.jsonl"
    old.write_text("\n".join(without(line, *ADDED) for line in lines) + "\n", encoding="utf-8")
    recorded = read_record(old)
    trace = next(each for each in recorded.events if isinstance(each, Trace))
    assert (trace.shown["standby_flag"], trace.shown["radio_on"], trace.true["parked"]) == (1.0, 1.0, 0.0)
    assert grade(recorded.scenario, recorded.events, recorded.seed).flown_s == pytest.approx(30.0)


def test_a_trace_that_lost_one_number_is_damaged_and_said_to_be(tmp_path: Path) -> None:
    lines = kept(tmp_path / "new.jsonl")
    data = next(json.loads(line) for line in lines if '"trace"' in line)
    del data["shown"]["standby_flag"]
    bad = tmp_path / "bad.jsonl"
    bad.write_text("\n".join([lines[0], json.dumps(data)]) + "\n", encoding="utf-8")
    with pytest.raises(RecordError, match="does not have the numbers that `shown` wants"):
        read_record(bad)
