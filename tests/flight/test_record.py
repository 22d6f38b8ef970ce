"""The record: written as the flight goes on, read as a stranger's, flown on and flown again."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drill.flight import record as record_module
from drill.flight.events import Asked, Event, Paused, Reflected, Told, Trace, Typed
from drill.flight.flight import Flight
from drill.flight.pilots import LinesPilot, fly
from drill.flight.record import CannotFlyOn, Recorder, RecordError, read_record, replay, resume
from drill.flight.recorder import MODEL_EDITION, event_data
from drill.language.meaning import Call, Transmit
from flight.flights import FULL_CALL, begun, of, short

LINES = (
    (2.0, "look at the suction gauge"), (3.0, "compare the attitude indicator and the turn coordinator"),
    (9.5, "cover the attitude indicator"), (31.0, FULL_CALL), (33.0, "level wings"), (34.0, "plugh"),
    (36.0, "break off"), (36.0, FULL_CALL), (55.0, "turn left heading 080"), (58.3, "divert to Wendle"),
)


def recorded(path: Path, until_s: float = 75.0, seed: int = 3) -> tuple[Flight, list[Event]]:
    """Fly the small scenario with a record; the flight and every event."""
    flight, events = Flight.start(short(), seed, by="script")
    with Recorder.create(path, flight, events) as recorder:
        flown = fly(flight, LinesPilot(LINES), until_s=until_s, keep=lambda new: recorder.write(new, flight))
    return flight, [*events, *flown.events]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Flight, list[Event]]:
    path = tmp_path_factory.mktemp("records") / "whole.jsonl"
    return path, *recorded(path)


def test_a_record_read_back_has_every_event(whole: tuple[Path, Flight, list[Event]]) -> None:
    path, flight, events = whole
    read = read_record(path)
    assert [event_data(each) for each in read.events] == [event_data(each) for each in events]
    assert (read.scenario.text, read.scenario.callsign) == (short().text, short().callsign)
    assert (read.seed, read.by, read.cut) == (flight.seed, "script", False)
    assert len(read.states) == 7


def test_a_record_holds_the_text_of_scenario_airplane_and_lexicon(whole: tuple[Path, Flight, list[Event]]) -> None:
    header = json.loads(whole[0].read_text(encoding="utf-8").split("\n")[0])
    assert header["scenario"]["text"] == short().text
    assert "Larkspur 180" in header["airplane"]["text"]
    assert header["lexicon"]
    assert header["edition"] == 1


def test_a_record_flown_again_is_identical(whole: tuple[Path, Flight, list[Event]]) -> None:
    result = replay(whole[0])
    assert result.identical, result.words
    assert result.flown


def test_a_changed_record_flown_again_tells_where_it_differs(whole: tuple[Path, Flight, list[Event]],
                                                             tmp_path: Path) -> None:
    path = tmp_path / "changed.jsonl"
    path.write_bytes(whole[0].read_bytes().replace(b"suction: 5.0", b"suction: 4.0"))
    result = replay(path)
    assert not result.identical
    assert result.first_difference.startswith("acted at 0:04")


def test_a_record_of_another_model_is_told_and_not_flown(whole: tuple[Path, Flight, list[Event]], tmp_path: Path,
                                                         monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(record_module, "model", lambda: f"{MODEL_EDITION + 1}-another")
    result = replay(whole[0])
    assert not result.flown
    assert "edition" in result.words
    with pytest.raises(CannotFlyOn, match="can be debriefed"):
        resume(whole[0])


def test_the_same_edition_with_another_fingerprint_is_flown_again_and_compared(
    whole: tuple[Path, Flight, list[Event]], monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(record_module, "model", lambda: f"{MODEL_EDITION}-another")
    assert replay(whole[0]).identical


def test_a_record_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "there.jsonl"
    path.write_text("mine")
    flight, events = begun()
    with pytest.raises(RecordError, match="exists already; name another"):
        Recorder.create(path, flight, events)
    assert path.read_text() == "mine"


_FLY_AND_RECORD = """
import sys
from pathlib import Path
from drill.flight.flight import Flight
from drill.flight.pilots import LinesPilot, fly
from drill.flight.record import Recorder
from drill.scenario import load
scenario, path, until = sys.argv[1:]
flight, events = Flight.start(load(Path(scenario)), 3, by="script")
with Recorder.create(Path(path), flight, events) as recorder:
    fly(flight, LinesPilot({lines!r}), until_s=float(until), keep=lambda new: recorder.write(new, flight))
"""


@pytest.mark.long
def test_the_same_flight_in_two_runs_of_the_program_gives_the_same_bytes(tmp_path: Path) -> None:
    # Python orders sets of text anew in each run unless it is told a seed
    lines = (*LINES, (62.0, "say 04W requests priority handling, the weather at Wendle and block altitude"))
    records = []
    for hash_seed in ("1", "3"):
        path = tmp_path / f"{hash_seed}.jsonl"
        scenario = Path(__file__).with_name("short.yaml")
        subprocess.run([sys.executable, "-c", _FLY_AND_RECORD.format(lines=lines), scenario, path, "85"], check=True,
                       env=os.environ | {"PYTHONHASHSEED": hash_seed})
        records.append(path.read_bytes())
    assert records[0] == records[1]


def _continued(path: Path) -> list[Event]:
    """Fly the rest of the lines after a resume, to the same end as the uncut flight; the record's events."""
    flight, recorder, _ = resume(path)
    with recorder:
        already = of(Typed, read_record(path).events)
        fly(flight, LinesPilot(LINES[len(already):]), until_s=75.0, keep=lambda new: recorder.write(new, flight))
    return [each for each in read_record(path).events if not isinstance(each, Paused)]


def _cut_and_resumed(whole: tuple[Path, Flight, list[Event]], tmp_path: Path, share: float) -> None:
    path, flight, events = whole
    data = path.read_bytes()
    first = data.index(b"\n") + 1
    cut = tmp_path / "cut.jsonl"
    cut.write_bytes(data[: first + round(share * (len(data) - first))])
    assert [event_data(each) for each in _continued(cut)] == [event_data(each) for each in events]
    assert replay(cut).identical
    resumed, recorder, _ = resume(cut)
    recorder.close()
    assert resumed.state == flight.state


_SLOW = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


@pytest.mark.long
@settings(deadline=None, max_examples=8, suppress_health_check=_SLOW)
@given(share=st.floats(0.0, 1.0))
def test_a_flight_cut_at_any_byte_and_resumed_equals_the_uncut_one(
    whole: tuple[Path, Flight, list[Event]], tmp_path: Path, share: float,
) -> None:
    _cut_and_resumed(whole, tmp_path, share)


@pytest.mark.overnight
@settings(deadline=None, max_examples=120, suppress_health_check=_SLOW)
@given(share=st.floats(0.0, 1.0))
def test_many_flights_cut_and_resumed_equal_the_uncut_one(
    whole: tuple[Path, Flight, list[Event]], tmp_path: Path, share: float,
) -> None:
    _cut_and_resumed(whole, tmp_path, share)


def test_a_resumed_flight_says_so_in_its_record(whole: tuple[Path, Flight, list[Event]], tmp_path: Path) -> None:
    path = tmp_path / "again.jsonl"
    path.write_bytes(whole[0].read_bytes())
    flight, recorder, events = resume(path)
    recorder.close()
    written = read_record(path).events
    assert written[-1] == Paused(flight.t_s, "resumed")
    assert list(map(event_data, written[:-1])) == list(map(event_data, events))


@pytest.mark.long
def test_a_flight_that_has_ended_is_not_flown_on(tmp_path: Path) -> None:
    path = tmp_path / "ended.jsonl"
    flight, events = Flight.start(short(), 1)
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(2400.0), flight)
    assert flight.ended is not None
    with pytest.raises(CannotFlyOn, match="has ended") as caught:
        resume(path)
    assert caught.value.outcome == flight.ended.outcome
    assert replay(path).identical


def test_pauses_and_answers_in_the_debrief_do_not_disturb_a_replay(tmp_path: Path) -> None:
    path = tmp_path / "paused.jsonl"
    flight, events = Flight.start(short(), 1)
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(5.0), flight)
        recorder.write([Paused(flight.t_s, "paused"), Paused(flight.t_s, "went on")], flight)
        recorder.write(flight.advance(5.0), flight)
        recorder.write([Reflected(flight.t_s, "What failed?", "The pump.")], flight)
    assert replay(path).identical


def test_an_action_given_without_words_is_flown_again(tmp_path: Path) -> None:
    path = tmp_path / "acts.jsonl"
    flight, events = Flight.start(short(), 1, by="simulated")
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.act(Transmit("we are in trouble", Call(equipment=("vacuum_system",)))), flight)
        recorder.write(flight.advance(30.0), flight)
    assert flight.phase == "helped"
    assert replay(path).identical


_KILLED = """
import sys, time
from pathlib import Path
from drill.flight.flight import Flight
from drill.flight.record import Recorder
from drill.scenario import load
flight, events = Flight.start(load(sys.argv[1]), 7)
with Recorder.create(Path(sys.argv[2]), flight, events) as recorder:
    while True:
        recorder.write(flight.advance(0.1), flight)
        print(flight.t_s, flush=True)
"""


def test_a_killed_flight_loses_at_most_its_last_second(tmp_path: Path) -> None:
    path = tmp_path / "killed.jsonl"
    running = subprocess.Popen(
        [sys.executable, "-c", _KILLED, str(Path(__file__).with_name("short.yaml")), str(path)],
        stdout=subprocess.PIPE, text=True)
    assert running.stdout is not None
    reached = 0.0
    while reached < 25.0:
        reached = float(running.stdout.readline())
    running.send_signal(signal.SIGKILL)
    rest = running.stdout.read().split()
    running.wait()
    running.stdout.close()
    reached = float(rest[-1]) if rest else reached
    kept = read_record(path).events[-1].t
    assert reached - kept <= 1.0
    flight, recorder, _ = resume(path)
    recorder.close()
    assert flight.t_s == kept
    assert replay(path).identical


# --- a stranger's record --------------------------------------------------------------------------------------------


def _lines(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def _changed(whole: Path, to: Path, change: Callable[[list[dict[str, Any]]], None]) -> Path:
    lines = _lines(whole)
    change(lines)
    to.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    return to


def test_no_escape_code_of_a_hostile_record_survives_the_reading(whole: tuple[Path, Flight, list[Event]],
                                                                 tmp_path: Path) -> None:
    nasty = "\x1b]0;gone\x07\x1b[2J\u202e\x9b31m"

    def poison(lines: list[dict[str, Any]]) -> None:
        for line in lines[1:]:
            for key, value in line.items():
                if isinstance(value, str) and key in ("line", "words", "result", "voice", "phase", "busy", "by"):
                    line[key] = nasty + value + nasty
        lines[0]["drill"] = lines[0]["pilot"] = nasty
        lines[0]["scenario"]["name"] = nasty

    read = read_record(_changed(whole[0], tmp_path / "nasty.jsonl", poison))
    shown = repr(read.events).replace("\\n", "") + read.by + read.versions + read.scenario.name
    assert "\\x1b" not in shown
    assert "\\x9b" not in shown
    assert "\\u202e" not in shown
    assert of(Told, read.events)


@pytest.mark.parametrize(("change", "line", "message"), [
    (lambda lines: lines[0].update(edition=99), 1, "the record is of edition 99, this drill reads edition 1"),
    (lambda lines: lines[0].update(kind="story"), 1, "the first line is no header"),
    (lambda lines: lines[0].update(seed=-1), 1, "no seed"),
    (lambda lines: lines[0]["scenario"].update(text="drill: 1"), 1, "its scenario cannot be used"),
    (lambda lines: lines[0]["airplane"].update(name="other"), 1,
     "its scenario wants the airplane `larkspur-180`, it holds `other`"),
    (lambda lines: lines[1].update(kind="dragon"), 2, "no event is written like that"),
    (lambda lines: lines[2].update(extra=1), 3, "no event is written like that"),
    (lambda lines: lines[2].update(t=-5.0), 3, "a number is out of bounds"),
    (lambda lines: lines[2].update(words=["a"]), 3, "the told event is not whole"),
    (lambda lines: lines[3].pop("altitude_ft"), 4, "the assigned event is not whole"),
])
def test_a_malformed_record_is_refused_by_line_with_what_to_do(
    whole: tuple[Path, Flight, list[Event]], tmp_path: Path, change: Callable[[list[dict[str, Any]]], None], line: int,
    message: str,
) -> None:
    path = _changed(whole[0], tmp_path / "bad.jsonl", change)
    with pytest.raises(RecordError) as caught:
        read_record(path)
    assert str(caught.value).startswith(f"{path}:{line}: ")
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("line", [b"[" * 100_000, b'{"kind": "told", "t": NaN, "words": ""}', b"\xff\xfe", b"1" * 5000,
                                  b'{"kind": "told", "t": 1e999, "words": ""}', b"null", b"",
                                  b'{"kind": "typed", "t": 1, "line": "", "actions": ['
                                  + b'{"a":' * 500 + b"1" + b"}" * 500 + b"]}"])
def test_whatever_a_line_holds_it_is_refused_and_never_raises_anything_else(
    whole: tuple[Path, Flight, list[Event]], tmp_path: Path, line: bytes,
) -> None:
    first, rest = whole[0].read_bytes().split(b"\n", 1)
    path = tmp_path / "odd.jsonl"
    path.write_bytes(first + b"\n" + line + b"\n" + rest)
    with pytest.raises(RecordError, match=r"odd\.jsonl:2: "):
        read_record(path)


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=300))
def test_any_bytes_are_a_record_or_are_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "any.jsonl"
    path.write_bytes(data)
    with pytest.raises(RecordError):
        read_record(path)


def test_a_damaged_state_is_told_when_the_flight_is_to_go_on(whole: tuple[Path, Flight, list[Event]],
                                                             tmp_path: Path) -> None:
    def break_states(lines: list[dict[str, Any]]) -> None:
        for line in lines:
            if line["kind"] == "state":
                line["state"]["airplane"]["step"] = "many"

    path = _changed(whole[0], tmp_path / "state.jsonl", break_states)
    assert of(Trace, read_record(path).events)
    with pytest.raises(RecordError, match="the state is damaged"):
        resume(path)


@pytest.mark.parametrize(("part", "name", "number"), [
    ("cockpit", "bank_by", 7.0), ("airplane", "altitude_m", 1e300), ("airplane", "altitude_m", 1e5),
])
def test_a_state_that_no_flight_can_have_is_refused_in_words(
    whole: tuple[Path, Flight, list[Event]], tmp_path: Path, part: str, name: str, number: float,
) -> None:
    def bend(lines: list[dict[str, Any]]) -> None:
        for line in lines:
            if line["kind"] == "state":
                inside = line["state"][part]["controls" if part == "cockpit" else "motion"]
                assert name in inside
                inside[name] = number

    with pytest.raises(RecordError, match="flown on"):
        resume(_changed(whole[0], tmp_path / "bent.jsonl", bend))


def test_an_enormous_file_is_refused_at_once(tmp_path: Path) -> None:
    path = tmp_path / "huge.jsonl"
    with path.open("wb") as file:
        file.truncate(200 * 2**20)
    began = time.monotonic()
    with pytest.raises(RecordError, match="no flight is that long"):
        read_record(path)
    assert time.monotonic() - began < 5.0


def test_what_was_not_understood_is_in_the_record_and_is_marked_as_asked(
    whole: tuple[Path, Flight, list[Event]],
) -> None:
    assert [each.t for each in of(Asked, read_record(whole[0]).events)] == [34.0]


def test_each_line_is_in_the_file_when_it_has_been_written(tmp_path: Path) -> None:
    path = tmp_path / "lines.jsonl"
    flight, events = begun()
    with Recorder.create(path, flight, events) as recorder:
        before = path.stat().st_size
        recorder.write(flight.advance(1.0), flight)
        assert path.stat().st_size > before
        assert path.read_bytes().endswith(b"\n")


def test_a_flight_that_somebody_is_flying_cannot_be_taken_up_by_another(tmp_path: Path) -> None:
    path = tmp_path / "held.jsonl"
    flight, events = Flight.start(short(), 3)
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.advance(20.0), flight)
        with pytest.raises(RecordError, match="somebody is flying this flight now"):
            resume(path)
        recorder.write(flight.advance(1.0), flight)
    taken_up, again, _ = resume(path)
    with again:
        assert taken_up.t_s == flight.t_s
