"""The controls taken again at a moment of a flight: the same air, another way, a record of its own."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drill.flight import record as record_module
from drill.flight.events import OF_FACES, Acted, Branched, Event, Reflected, Trace, Typed
from drill.flight.flight import Flight
from drill.flight.record import Recorder, RecordError, read_record, replay, resume
from drill.flight.recorder import MODEL_EDITION, event_data
from drill.flight.rewind import Rewound, branch_of, is_original, rewind
from drill.language.meaning import Call, Transmit
from flight.flights import FULL_CALL, begun, of, short

LINES = (
    (2.0, "look at the suction gauge"), (9.5, "cover the attitude indicator"), (31.0, FULL_CALL),
    (36.0, "turn left heading 080"), (58.3, "divert to Wendle"),
)
LENGTH_S = 75.0


def flown(path: Path, lines: Sequence[tuple[float, str]] = LINES, until_s: float = LENGTH_S) -> list[Event]:
    """Fly the small scenario by a script, with its record; every event of it."""
    flight, events = Flight.start(short(), 3, by="script")
    with Recorder.create(path, flight, events) as recorder:
        return [*events, *entering(flight, lines, until_s, recorder)]


def entering(
    flight: Flight, lines: Sequence[tuple[float, str]], until_s: float, recorder: Recorder | None = None,
) -> list[Event]:
    """Enter the lines at their very times and fly on; what happens, written as it does."""
    events: list[Event] = []
    def took(new: list[Event]) -> None:
        events.extend(new)
        if recorder is not None:
            recorder.write(new, flight)

    for t, words in [*lines, (until_s, "")]:
        while flight.t_s < t - 1e-9:
            took(flight.advance(min(1.0, t - flight.t_s)))
        took(flight.enter(words))
    return events


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Event]]:
    path = tmp_path_factory.mktemp("records") / "whole.jsonl"
    return path, flown(path)


def flown_on(again: Rewound, lines: Sequence[tuple[float, str]], until_s: float = LENGTH_S) -> list[Event]:
    """Fly on by the lines from the moment on; every event of the flight from its beginning."""
    return [*again.events, *entering(again.flight, [line for line in lines if line[0] >= again.branched.t], until_s)]


def told(events: Sequence[Event]) -> list[dict[str, Any]]:
    """Events as data, whoever entered the lines."""
    return [{**event_data(event), "by": ""} for event in events if not isinstance(event, OF_FACES)]


@pytest.mark.parametrize("at_s", [0.0, 2.0, 9.4, 9.5, 20.0, 33.7, 58.3, 74.9])
def test_the_same_acts_from_any_moment_are_the_same_flight_to_the_last_bit(
    whole: tuple[Path, list[Event]], at_s: float,
) -> None:
    again = rewind(whole[0], at_s)
    assert again.flight.t_s == pytest.approx(at_s)
    assert again.branched.words == ""
    assert told(flown_on(again, LINES)) == told(whole[1])


def test_another_act_is_another_flight_through_the_same_air(whole: tuple[Path, list[Event]]) -> None:
    again = rewind(whole[0], 31.0)
    other = flown_on(again, [(31.0, "turn right heading 330")])
    before = [event for event in whole[1] if event.t < 31.0]
    assert told(other)[: len(before)] == told(before)
    assert told(other) != told(whole[1])
    # What nobody's act changes is as it was: the failure, and what the airplane is rocked by.
    same, changed = of(Trace, whole[1])[32], of(Trace, other)[32]
    assert same.true["bank_deg"] != changed.true["bank_deg"]
    assert same.shown["suction_inhg"] == changed.shown["suction_inhg"]


def test_nothing_that_was_entered_at_the_moment_has_been_entered(whole: tuple[Path, list[Event]]) -> None:
    again = rewind(whole[0], 31.0)
    assert [each.line for each in of(Typed, again.events)] == [line for t, line in LINES if t < 31.0]
    assert again.flight.idle


def test_an_act_that_was_under_way_at_the_moment_goes_on(whole: tuple[Path, list[Event]]) -> None:
    again = rewind(whole[0], 33.0)
    busy = again.flight.busy
    assert busy is not None
    assert busy[0].kind == "transmit"


def test_a_flight_flown_on_has_a_record_of_its_own_that_says_where_it_branched(
    whole: tuple[Path, list[Event]], tmp_path: Path,
) -> None:
    kept = whole[0].read_bytes()
    again = rewind(whole[0], 31.0)
    path = tmp_path / "other.jsonl"
    with again.record(path) as recorder:
        entering(again.flight, [(40.0, "level wings")], 60.0, recorder)
    assert whole[0].read_bytes() == kept
    read = read_record(path)
    branched = branch_of(read)
    assert branched is not None
    assert (branched.t, branched.record, branched.by) == (31.0, "whole.jsonl", "typed")
    assert is_original(read_record(whole[0]), branched)
    assert [kept.data["steps"] for kept in read.states] == [105, 205, 305, 410, 510]
    assert [each.by for each in of(Typed, read.events)] == ["script", "script", "typed"]
    result = replay(path)
    assert result.identical, result.words


def test_a_flight_flown_on_is_taken_up_again_where_its_record_stops(
    whole: tuple[Path, list[Event]], tmp_path: Path,
) -> None:
    again = rewind(whole[0], 4.0)    # before the first full state
    path = tmp_path / "other.jsonl"
    with again.record(path) as recorder:
        recorder.write(again.flight.advance(2.0), again.flight)
    flight, recorder, events = resume(path)
    with recorder:
        assert flight.t_s == 6.0
        assert flight.state == begun(3, [(2.0, "look at the suction gauge"), (6.0, "")])[0].state
    assert of(Branched, events)


def test_a_flight_that_branched_can_be_branched_again(whole: tuple[Path, list[Event]], tmp_path: Path) -> None:
    first = rewind(whole[0], 31.0)
    path = tmp_path / "first.jsonl"
    with first.record(path) as recorder:
        recorder.write(first.flight.advance(20.0), first.flight)
    second = rewind(path, 9.5, by="exemplar")
    assert (second.branched.record, second.branched.words) == ("first.jsonl", "")
    assert told(flown_on(second, LINES)) == told(whole[1])
    assert {each.by for each in of(Typed, second.flight.enter("level wings"))} == {"exemplar"}


def test_another_flight_of_the_same_name_is_not_the_one_that_it_branched_from(
    whole: tuple[Path, list[Event]], tmp_path: Path,
) -> None:
    flown(tmp_path / "whole.jsonl", LINES[1:])
    assert not is_original(read_record(tmp_path / "whole.jsonl"), rewind(whole[0], 20.0).branched)


def test_what_was_answered_after_the_flight_does_not_make_it_another(
    whole: tuple[Path, list[Event]], tmp_path: Path,
) -> None:
    branched = rewind(whole[0], 75.0).branched
    path = tmp_path / "answered.jsonl"
    answer = event_data(Reflected(75.0, "What failed?", "the pump"))
    path.write_bytes(whole[0].read_bytes() + json.dumps(answer).encode() + b"\n")
    assert is_original(read_record(path), branched)


@pytest.mark.parametrize("at_s", [-1.0, 75.1, 1e9, float("nan"), float("inf")])
def test_a_moment_outside_the_flight_is_refused_with_those_inside(
    whole: tuple[Path, list[Event]], at_s: float,
) -> None:
    with pytest.raises(RecordError, match=r"name a moment from 0:00 to 1:15"):
        rewind(whole[0], at_s)


def test_at_its_end_a_flight_has_nothing_left_to_fly(tmp_path: Path) -> None:
    flight, events = Flight.start(short(), 3)
    path = tmp_path / "ended.jsonl"
    with Recorder.create(path, flight, events) as recorder:
        while flight.ended is None:
            recorder.write(flight.advance(60.0), flight)
    with pytest.raises(RecordError, match=r"was over at .* nothing is left to fly"):
        rewind(path, flight.ended.t)
    assert rewind(path, flight.ended.t - 1.0).flight.ended is None


def _as_if_by(path: Path, into: Path, edition: str) -> Path:
    header, rest = path.read_bytes().split(b"\n", 1)
    data = json.loads(header)
    into.write_bytes(json.dumps({**data, "model": edition}).encode() + b"\n" + rest)
    return into


def test_a_record_of_another_edition_is_flown_from_its_beginning_and_said_to_differ(
    whole: tuple[Path, list[Event]], tmp_path: Path,
) -> None:
    old = _as_if_by(whole[0], tmp_path / "old.jsonl", f"{MODEL_EDITION - 1}-abc")
    again = rewind(old, 33.0)
    assert "the air, the instruments and what ATC says may differ" in again.branched.words
    assert again.states == ()
    assert told(again.events) == told([event for event in whole[1] if event.t <= 33.0])


def test_the_same_edition_that_comes_out_otherwise_is_said_to_differ(
    whole: tuple[Path, list[Event]], tmp_path: Path,
) -> None:
    changed = tmp_path / "changed.jsonl"
    changed.write_bytes(whole[0].read_bytes().replace(b"suction: 5.0", b"suction: 4.0"))
    assert "did not come out as it was recorded" in rewind(changed, 9.0).branched.words
    assert rewind(changed, 20.0).branched.words == ""    # from a state behind it


def test_a_flight_that_another_edition_ends_before_the_moment_is_refused(
    whole: tuple[Path, list[Event]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    old = tmp_path / "old.jsonl"
    text = whole[0].read_text(encoding="utf-8").replace("time limit: 40 min", "time limit: 60 s")
    old.write_text(text.replace(f'"model":"{MODEL_EDITION}-', f'"model":"{MODEL_EDITION - 1}-'), encoding="utf-8")
    with pytest.raises(RecordError, match=r"the flight ends at 1:00, before 1:10; name a moment before that"):
        rewind(old, 70.0)


_KINDS: list[Callable[[dict[str, Any]], dict[str, Any]]] = [
    lambda state: {**state, "steps": 1}, lambda state: {**state, "airplane": {}}, lambda state: {},
    lambda state: {**state, "left_us": -5}, lambda state: {**state, "story": None},
]


@pytest.mark.parametrize("change", _KINDS)
def test_a_damaged_state_is_passed_over_for_an_earlier_one(
    whole: tuple[Path, list[Event]], tmp_path: Path, change: Callable[[dict[str, Any]], dict[str, Any]],
) -> None:
    lines = []
    for line in whole[0].read_text(encoding="utf-8").splitlines():
        data = json.loads(line)
        if data["kind"] == "state" and data["t"] > 15.0:
            data["state"] = change(data["state"])
        lines.append(json.dumps(data))
    path = tmp_path / "damaged.jsonl"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    again = rewind(path, 33.0)
    assert told(flown_on(again, LINES)) == told(whole[1])
    assert len(again.states) == 1


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(at=st.integers(1, 200_000), junk=st.binary(min_size=1, max_size=12), moment=st.floats(0.0, 80.0))
def test_a_record_with_any_bytes_changed_is_rewound_or_refused_in_words(
    whole: tuple[Path, list[Event]], tmp_path_factory: pytest.TempPathFactory, at: int, junk: bytes, moment: float,
) -> None:
    data = bytearray(whole[0].read_bytes())
    at %= len(data)
    data[at : at + len(junk)] = junk
    path = tmp_path_factory.mktemp("strange") / "strange.jsonl"
    path.write_bytes(bytes(data))
    refused = ""
    try:
        over = rewind(path, moment).flight.ended is not None
    except RecordError as error:
        refused, over = str(error), False
    assert not over
    assert refused == "" or refused.startswith(str(path))


def test_a_stranger_s_branch_names_no_folder_and_no_escape_code(
    whole: tuple[Path, list[Event]], tmp_path: Path,
) -> None:
    path = tmp_path / "strange.jsonl"
    strange = event_data(Branched(75.0, "../../etc/\x1b[2Jpasswd", "00", "typed", "\x1b]0;owned\x07words"))
    path.write_bytes(whole[0].read_bytes() + json.dumps(strange).encode() + b"\n")
    branched = branch_of(read_record(path))
    assert branched is not None
    assert "\x1b" not in branched.record + branched.words


def test_actions_without_words_are_flown_again_too(tmp_path: Path) -> None:
    flight, events = Flight.start(short(), 3)
    path = tmp_path / "acted.jsonl"
    with Recorder.create(path, flight, events) as recorder:
        recorder.write(flight.act(Transmit("help", Call(trouble=True))), flight)
        recorder.write(flight.advance(25.0), flight)
    assert len(of(Acted, rewind(path, 24.0).events)) == 1


def test_the_editions_are_numbered(monkeypatch: pytest.MonkeyPatch) -> None:
    assert record_module.model().startswith(f"{MODEL_EDITION}-")
