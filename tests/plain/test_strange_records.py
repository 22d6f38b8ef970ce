"""A stranger's record, each line of it sound and the whole no flight: refused in words, and left as it was."""

from __future__ import annotations

import copy
import errno
import json
import os
import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from program import TALLOWBY

from drill.flight import recorded as recorded_module
from drill.flight.flight import Flight
from drill.flight.record import Recorder, RecordError, read_record, replay, resume
from drill.plain.debriefing import debrief_of
from drill.scenario import load, shipped
from drill.seat.teller import retold

Lines = list[dict[str, Any]]


@pytest.fixture(scope="module")
def lines(tmp_path_factory: pytest.TempPathFactory) -> Lines:
    """Twenty-two seconds of a flight with a look, a call and two states."""
    path = tmp_path_factory.mktemp("strange") / "f.jsonl"
    flight, events = Flight.start(load(shipped()[TALLOWBY]), 7)
    with Recorder.create(path, flight, events) as recorder:
        for line in ("check the suction gauge", "say Orrinfell Approach, Larkspur 5304W, vacuum failure", "turn left"):
            recorder.write(flight.enter(line), flight)
            for _ in range(8):
                recorder.write(flight.advance(1.0), flight)
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def written(lines: Lines, path: Path) -> Path:
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    return path


def used(path: Path) -> list[str]:
    """Debrief, tell again, fly again and fly on; what was refused, in words. Whoever refuses to fly on has not written.
    """
    before = path.read_bytes()
    refused = []

    def flown_on() -> None:
        flight, recorder, _ = resume(path)
        recorder.close()
        path.write_bytes(before)
        flight.advance(5.0)

    def debriefed() -> None:
        debrief_of(read_record(path))

    def told() -> None:
        list(retold(read_record(path).events))

    def flown_again() -> None:
        replay(path)

    for use in (debriefed, told, flown_again, flown_on):
        try:
            use()
        except RecordError as error:
            refused.append(str(error))
        assert path.read_bytes() == before
    return refused


def places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every (holder, key) in JSON data but for the kinds of events."""
    for key, each in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        if key != "kind":
            yield value, key
        yield from places(each)


NUMBERS = st.sampled_from([0, -1, 7.5, 1e5, -1e5, 999_999.0, 1e300, -1e300, 2**70, True, 1e-300])
OTHERS = st.sampled_from([None, "", "x", "pump", "panel", [], {}, ["x"], [1.0, 2.0], {"action": "look", "at": "x"}])
_SLOW = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


@pytest.mark.long
@settings(deadline=None, max_examples=40, suppress_health_check=_SLOW)
@given(seed=st.integers(0, 2**32), put=NUMBERS | OTHERS)
def test_with_anything_changed_a_record_is_used_or_refused_in_words(
    lines: Lines, tmp_path: Path, seed: int, put: Any,
) -> None:
    _bent_is_used_or_refused(lines, tmp_path, seed, put)


@pytest.mark.long
@settings(deadline=None, max_examples=300, suppress_health_check=_SLOW)
@given(seed=st.integers(0, 2**32), put=NUMBERS | OTHERS)
def test_with_many_things_changed_records_are_used_or_refused_in_words(
    lines: Lines, tmp_path: Path, seed: int, put: Any,
) -> None:
    _bent_is_used_or_refused(lines, tmp_path, seed, put)


def _bent_is_used_or_refused(lines: Lines, tmp_path: Path, seed: int, put: Any) -> None:
    bent = copy.deepcopy(lines)
    drawn = random.Random(seed)  # noqa: S311 - hypothesis gives the seed
    line = drawn.choice([each for each in bent if each["kind"] in drawn.choice(
        [("state",), ("trace",), ("acted", "began", "typed", "heard", "assigned", "entered")])])
    holder, key = drawn.choice(list(places(line)))
    holder[key] = put
    for refusal in used(written(bent, tmp_path / "bent.jsonl")):
        assert "bent.jsonl" in refusal
        assert "\n" not in refusal


@pytest.mark.parametrize(("part", "change"), [
    ("shown", lambda numbers: numbers.pop("bank_deg")), ("shown", lambda numbers: numbers.update(extra=1.0)),
    ("true", lambda numbers: numbers.clear()), ("controls", lambda numbers: numbers.pop("bank_by")),
])
def test_a_trace_has_just_the_numbers_of_the_panel_of_the_truth_and_of_the_controls(
    lines: Lines, tmp_path: Path, part: str, change: Callable[[dict[str, float]], None],
) -> None:
    bent = copy.deepcopy(lines)
    at = next(number for number, each in enumerate(bent) if each["kind"] == "trace")
    change(bent[at][part])
    with pytest.raises(RecordError, match=rf"f\.jsonl:{at + 1}: the trace does not have the numbers that `{part}`"):
        read_record(written(bent, tmp_path / "f.jsonl"))


@pytest.mark.parametrize("number", [1e7, -1e7, 1e300, 10**400])
def test_a_number_that_no_flight_has_is_refused(lines: Lines, tmp_path: Path, number: float) -> None:
    trace, state = copy.deepcopy(lines), copy.deepcopy(lines)
    next(each for each in trace if each["kind"] == "trace")["shown"]["airspeed_kt"] = number
    with pytest.raises(RecordError, match=r"out of bounds|not whole"):
        read_record(written(trace, tmp_path / "f.jsonl"))
    for each in state:
        if each["kind"] == "state":
            each["state"]["atc"]["answers"] = number
    with pytest.raises(RecordError, match="a number that no flight has"):
        resume(written(state, tmp_path / "f.jsonl"))


def test_a_last_state_that_no_flight_can_have_is_found_before_anything_is_appended(
    lines: Lines, tmp_path: Path,
) -> None:
    last = max(number for number, each in enumerate(lines) if each["kind"] == "state")
    bent = copy.deepcopy(lines[: last + 1])
    bent[last]["state"]["airplane"]["motion"]["altitude_m"] = 1e5    # where the atmosphere of the model has no air
    path = written(bent, tmp_path / "f.jsonl")
    before = path.read_bytes()
    with pytest.raises(RecordError, match=r"f\.jsonl: .* cannot be flown on .* fly anew"):
        resume(path)
    assert path.read_bytes() == before


def test_a_line_of_an_event_has_a_greatest_length(lines: Lines, tmp_path: Path) -> None:
    told = {"t": 0.0, "words": "x" * 70_000, "kind": "told"}
    with pytest.raises(RecordError, match=r"f\.jsonl:2: an event of more than 64 kB; .* name another file"):
        read_record(written([lines[0], told], tmp_path / "f.jsonl"))


def test_a_record_has_a_greatest_number_of_events(
    lines: Lines, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(recorded_module, "MOST_EVENTS", 10)
    with pytest.raises(RecordError, match="more than 10 events"):
        read_record(written(lines, tmp_path / "f.jsonl"))


# --- writing fails --------------------------------------------------------------------------------------------------


def full_after(monkeypatch: pytest.MonkeyPatch, good: int) -> None:
    """Let the disk be full after `good` bytes of what is written from now on."""
    left = [good]
    write = os.write

    def limited(descriptor: int, data: bytes) -> int:
        if not left[0]:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        part = data[: left[0]]
        left[0] -= len(part)
        return write(descriptor, part)

    monkeypatch.setattr(os, "write", limited)


def test_a_record_that_cannot_be_begun_leaves_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    flight, events = Flight.start(load(shipped()[TALLOWBY]), 7)
    with monkeypatch.context() as full:
        full_after(full, 100)
        with pytest.raises(RecordError, match=r"f\.jsonl: the record cannot be written \(No space left.*--record"):
            Recorder.create(tmp_path / "f.jsonl", flight, events)
    assert list(tmp_path.iterdir()) == []
    Recorder.create(tmp_path / "f.jsonl", flight, events).close()


def _fly_on(recorder: Recorder, flight: Flight) -> None:
    for _ in range(600):
        recorder.write(flight.advance(1.0), flight)


def test_when_the_disk_is_full_it_is_said_how_far_the_flight_is_kept_and_how_to_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    path = tmp_path / "my flight.jsonl"
    flight, events = Flight.start(load(shipped()[TALLOWBY]), 7)
    recorder = Recorder.create(path, flight, events)
    with monkeypatch.context() as full:
        full_after(full, 20_000)
        with pytest.raises(RecordError) as caught:
            _fly_on(recorder, flight)
    kept = read_record(path).events[-1].t
    assert read_record(path).cut
    said = str(caught.value)
    assert str(path) in said
    assert f"the flight is kept up to {int(kept) // 60}:{int(kept) % 60:02d}" in said
    assert f"drill resume '{path}'" in said
    resumed, again, _ = resume(path)
    again.close()
    assert resumed.t_s == kept
