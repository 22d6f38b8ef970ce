"""A glance at a record tells how far its flight has come and whether it is flown, and never minds what is in it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from flight.flights import short

from drill.flight.flight import Flight
from drill.flight.record import BeingFlown, Recorder, resume
from drill.seat.record_glance import TAIL_BYTES, Glance, glance, is_flown_now


def test_a_record_tells_the_time_reached_and_whether_somebody_flies_it(tmp_path: Path) -> None:
    path = tmp_path / "f.jsonl"
    flight, events = Flight.start(short(), 3)
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(21.0), flight)
        seen = glance(path)
        assert seen.flown_now
        assert seen.reached_s == pytest.approx(21.0)
        recorder.write(flight.advance(1.0), flight)
        with pytest.raises(BeingFlown):
            resume(path)
    assert not is_flown_now(path)
    longest = max(len(line) for line in path.read_bytes().split(b"\n")[1:])
    assert longest < TAIL_BYTES / 2, "the end that is read holds a whole line, whatever it is"


def test_a_flight_that_has_ended_is_not_being_flown_while_its_debrief_is_still_open(tmp_path: Path) -> None:
    path = tmp_path / "f.jsonl"
    flight, events = Flight.start(short(), 3)
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(5.0), flight)
        assert is_flown_now(path)
        while flight.ended is None:
            recorder.write(flight.advance(60.0), flight)
        assert not is_flown_now(path)


@pytest.mark.parametrize(("tail", "reached"), [
    (b"", None), (b"nonsense\n", None), (b'{"t":5.5}\n{"t":9', 5.5), (b'{"t":5}\n{"t":true}\n[1]\n', 5.0),
    (b'{"t":NaN}\n', None), (b'{"t":-1}\n{"t":1e300}\n', None), (b"x" * 50_000 + b'\n{"t":7.0}\n', 7.0),
    (b"[" * 20_000 + b"\n", None),
])
def test_whatever_stands_in_a_file_a_glance_at_it_ends(tmp_path: Path, tail: bytes, reached: float | None) -> None:
    path = tmp_path / "odd.jsonl"
    path.write_bytes(tail)
    assert glance(path) == Glance(reached)


def test_nothing_is_known_of_what_is_no_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "none", tmp_path, tmp_path / "pipe"):
        assert glance(path) == Glance()
