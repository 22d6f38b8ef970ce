"""A sitting puts a pilot before a flight: what each line gives, when time stands, when a turn is over."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from program import TALLOWBY

from drill.clean import clean_line
from drill.flight.events import Heard, Paused, Typed
from drill.flight.flight import Flight
from drill.flight.record import Recorder, read_record
from drill.scenario import load, shipped
from drill.seat.own_words import HELP
from drill.seat.pace import Pace, PaceClock
from drill.seat.run import Run
from drill.seat.sitting import ANSWER_WITHIN_S, LOG_LINES, Sitting
from drill.seat.teller import MOST_RADIO_LINES, Line, Teller

CALL = "say Orrinfell Approach, Larkspur 5304W, we have lost our vacuum pump"


@contextmanager
def seated(
    folder: Path, *, pace: Pace = "turns", echo: bool = False, tells_panel: bool = True
) -> Iterator[tuple[Sitting, list[Line]]]:
    """A sitting at the first moment of a flight, and what was told there."""
    flight, events = Flight.start(load(shipped()[TALLOWBY]), 7)
    with Recorder.create(folder / "f.jsonl", flight, events) as recorder:
        sitting = Sitting(Run(flight, recorder), PaceClock(pace, 0.0), echo=echo, tells_panel=tells_panel)
        yield sitting, sitting.begin(events)


def said(sitting: Sitting, words: str) -> list[Line]:
    return sitting.line(clean_line(words))


def finished(sitting: Sitting) -> list[Line]:
    """What is told until the turn is over."""
    return [line for lines in sitting.finishing_turn() for line in lines]


def words_of(lines: Iterable[Line], *kinds: str) -> list[str]:
    return [line.words for line in lines if not kinds or line.kind in kinds]


def test_a_flight_begins_with_the_panel_unless_the_face_shows_it_itself(tmp_path: Path) -> None:
    with seated(tmp_path) as (_, lines):
        (panel,) = words_of(lines, "panel")
        assert panel.startswith("Attitude indicator: ")
    (tmp_path / "f.jsonl").unlink()
    with seated(tmp_path, tells_panel=False) as (sitting, lines):
        lines += [*said(sitting, "turn left heading 150"), *sitting.advance(60.0)]
        assert words_of(lines, "panel") == []
        assert "Attitude indicator: " in words_of(said(sitting, "panel") + finished(sitting), "result")[0]


def test_a_scan_of_the_panel_tells_of_a_turn(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        assert words_of([*said(sitting, "turn left heading 150"), *sitting.advance(60.0)], "panel")


def test_a_call_is_told_as_it_goes_out_then_its_answer_and_both_are_in_the_log(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        lines = [*said(sitting, CALL), *finished(sitting)]
        on_air = [line for line in lines if line.kind in ("you", "radio")]
        assert [line.kind for line in on_air][:2] == ["you", "radio"]
        assert on_air[0].words == "You: Orrinfell Approach, Larkspur 5304W, we have lost our vacuum pump"
        assert [line for line in sitting.radio if line in on_air] == on_air
        assert said(sitting, "log") == sitting.radio[-LOG_LINES:]
        assert said(sitting, "repeat") == [[line for line in sitting.radio if line.kind == "radio"][-1]]


def test_a_line_that_is_not_understood_is_asked_back(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        assert [line.kind for line in said(sitting, "xyzzy")] == ["asked"]
        assert sitting.turn_over


def test_a_turn_lasts_until_the_acts_are_done(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        assert sitting.turn_over
        said(sitting, "wait 5 seconds")
        assert not sitting.turn_over
        sitting.advance(4.0)
        assert not sitting.turn_over
        assert words_of(said(sitting, "time"))[0].endswith("Busy: wait, 1 second more.")
        finished(sitting)
        assert sitting.turn_over
        assert sitting.t_s == pytest.approx(5.0, abs=1.0)
        assert words_of(said(sitting, "time")) == ["Flight time 0:05. Local time 14:10."]
        assert sitting.turn_over, "asking for the time is no act"


def test_a_turn_with_a_call_lasts_until_it_is_answered_or_eight_seconds_have_gone_by(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        lines = said(sitting, CALL)
        while not sitting.turn_over:
            lines += sitting.advance(1.0)
        called, answered = (next(line.t for line in lines if line.kind == kind) for kind in ("you", "radio"))
        assert called < answered <= sitting.t_s <= called + ANSWER_WITHIN_S + 1.0


def test_an_own_word_in_mid_turn_does_not_begin_another(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        said(sitting, "wait 5 seconds")
        sitting.advance(2.0)
        said(sitting, "help")
        assert not sitting.turn_over
        finished(sitting)
        assert sitting.t_s == pytest.approx(5.0, abs=1.0)


def test_a_pause_is_recorded_and_only_own_words_are_taken_meanwhile(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        assert words_of(sitting.pause()) == ["Paused. Type go on to fly on."]
        assert words_of(sitting.pause()) == ["It is paused already. Type go on."]
        assert words_of(said(sitting, "turn left")) == ["Paused. Type go on first."]
        assert sitting.run.flight.idle
        assert said(sitting, "help")
        assert words_of(said(sitting, "go on")) == ["Flying on."]
        assert words_of(sitting.go_on()) == ["It is not paused."]
    paused = [event.how for event in read_record(tmp_path / "f.jsonl").events if isinstance(event, Paused)]
    assert paused == ["paused", "went on"]


@pytest.mark.parametrize(("answer", "left"), [
    ("yes", True), ("Y.", True), ("quit", True), ("no", False), ("stay", False), ("turn left", False), ("", False),
])
def test_who_quits_is_asked_first(tmp_path: Path, answer: str, left: bool) -> None:
    with seated(tmp_path) as (sitting, _):
        assert "Leave the flight?" in said(sitting, "quit")[0].words
        assert (sitting.leaving, sitting.left) == (True, False)
        said(sitting, answer)
        assert (sitting.leaving, sitting.left) == (False, left)
        assert sitting.turn_over is (answer != "turn left")


def test_yes_alone_leaves_nothing(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        said(sitting, "yes")
        assert not sitting.left
        assert sitting.quit(sure=True) == []
        assert sitting.left


def test_own_words_that_tell_no_event_carry_no_time(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        assert words_of(said(sitting, "help")) == list(HELP)
        for word in ("help", "cautions", "briefing", "time"):
            assert {(line.kind, line.stamped) for line in said(sitting, word)} == {("own", False)}


def test_the_briefing_is_read_again_without_its_cautions_and_costs_nothing(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        told = words_of(said(sitting, "Briefing"))
        assert told[0] == sitting.run.scenario.board_title
        assert any(line.startswith("Clearance: ") for line in told)
        assert not set(told) & set(words_of(said(sitting, "cautions")))
        assert sitting.turn_over
        assert not any(isinstance(event, Typed) for event in read_record(tmp_path / "f.jsonl").events)


def test_who_has_keys_is_told_of_them(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        keyed = Sitting(sitting.run, sitting.clock, names_keys=True)
        assert "Press Ctrl+Q again, or type yes or quit" in keyed.quit(sure=False)[0].words
        assert words_of(keyed.pause()) == ["Paused. Press F2 or type go on to fly on."]
        assert words_of(said(keyed, "turn left")) == ["Paused. Press F2 or type go on first."]


@pytest.mark.parametrize(("words", "held"), [
    ("turn left", True), ("go on", False), ("Briefing.", False), ("quit", False), ("", False), ("yes", True),
])
def test_while_time_is_stopped_all_but_the_own_words_are_held_back(tmp_path: Path, words: str, held: bool) -> None:
    with seated(tmp_path) as (sitting, _):
        assert not sitting.holds_back(clean_line(words))
        sitting.pause()
        assert sitting.holds_back(clean_line(words)) is held
        sitting.quit(sure=False)
        assert sitting.holds_back(clean_line(words)) is (words == "turn left")


def test_the_panel_is_read_out_with_the_clock_while_its_timer_runs(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        def panel() -> str:
            return words_of([*said(sitting, "panel"), *finished(sitting)], "result")[-1]

        assert "Clock" not in panel()
        said(sitting, "start the timer")
        finished(sitting)
        sitting.advance(20.0)
        assert re.search(r"\nClock: timer at 0:2\d\.$", panel())
        again = Sitting(sitting.run, sitting.clock)
        assert "\nClock: timer at " in again.take_up(read_record(tmp_path / "f.jsonl").events)[-1].words
        said(sitting, "stop the timer")
        finished(sitting)
        assert "Clock" not in panel()


def test_what_was_typed_for_no_more_than_a_call_is_told_once(tmp_path: Path) -> None:
    with seated(tmp_path, echo=True) as (sitting, _):
        lines = [*said(sitting, CALL), *finished(sitting), *said(sitting, f"turn left, then {CALL}")]
        assert [line.startswith("> (to ATC)") for line in words_of(lines, "typed")] == [True, False]
        assert sum("lost our vacuum pump" in line for line in words_of(lines, "typed", "you")) == 2


def test_typed_lines_come_back_only_where_nobody_sees_them_typed(tmp_path: Path) -> None:
    with seated(tmp_path, echo=True) as (sitting, _):
        assert words_of([*said(sitting, "turn left"), *said(sitting, "time")], "typed") == ["> turn left", "> time"]
    (tmp_path / "f.jsonl").unlink()
    with seated(tmp_path) as (sitting, _):
        assert words_of([*said(sitting, "turn left"), *said(sitting, "time")], "typed") == []


def test_a_flight_taken_up_again_tells_what_was_last_heard_and_keeps_the_log(tmp_path: Path) -> None:
    with seated(tmp_path) as (sitting, _):
        said(sitting, CALL)
        finished(sitting)
        before = read_record(tmp_path / "f.jsonl").events
        again = Sitting(sitting.run, sitting.clock)
        lines = again.take_up(before)
    assert [line.kind for line in lines] == ["radio", "panel"]
    assert again.radio == sitting.radio
    assert lines[0] == [line for line in again.radio if line.kind == "radio"][-1]


def test_the_log_of_the_radio_keeps_the_last_lines_only() -> None:
    teller = Teller({})
    teller.events([Heard(float(t), "Orrinfell Approach", f"line {t}") for t in range(MOST_RADIO_LINES + 50)])
    assert len(teller.radio) == MOST_RADIO_LINES
    assert teller.radio[-1].t == MOST_RADIO_LINES + 49
