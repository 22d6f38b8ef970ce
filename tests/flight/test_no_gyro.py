"""No-gyro vectors: turns begin and end at the controller's word (AIM 5-4-11)."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.events import Event, Heard
from drill.flight.flight import Flight
from drill.flight.no_gyro import Turns, call_turn
from drill.flight.weather import bearing_deg
from drill.language.meaning import Cover, FlyBy, StopTurn, Transmit, Turn, TurnRate
from flight.flights import begun, of, short
from flight.talk import Talk

CALL = ("Orrinfell Approach, Larkspur 5304W, lost our vacuum pump, partial panel in cloud, "
        "request no-gyro vectors to Wendle")


def test_a_turn_is_called_towards_the_nearer_side_and_stopped_before_the_track() -> None:
    turns, words = call_turn(Turns("Wendle"), 240.0, 0.0, 80.0, 10.0)
    assert words == "turn left"
    turns, words = call_turn(turns, 150.0, -3.0, 80.0, 40.0)
    assert words == ""
    turns, words = call_turn(turns, 88.0, -3.0, 80.0, 61.0)
    assert words == "stop turn"


def test_a_small_drift_is_let_pass_and_a_large_one_only_after_ten_seconds() -> None:
    straight = Turns("Wendle", started=True)
    assert call_turn(straight, 92.0, 0.0, 80.0, 0.0)[1] == ""
    drifted, words = call_turn(straight, 100.0, 0.0, 80.0, 0.0)
    assert words == ""
    assert call_turn(drifted, 100.0, 0.0, 80.0, 9.0)[1] == ""
    assert call_turn(drifted, 100.0, 0.0, 80.0, 10.0)[1] == "turn left"


@pytest.mark.parametrize(("call", "answer"), [
    ("stopped turn, heading 050", "radar shows you flying straight, track two four zero"),
    ("heading 050", "radar shows you flying straight, track two four zero"),
    ("stopped turn, heading 250", "roger"),
])
def test_a_heading_reported_without_gyros_that_radar_does_not_show_is_told(call: str, answer: str) -> None:
    # common practice, no source: with gyros lost a wrong heading is no error of his, and is worth knowing
    talk = Talk()
    talk.say(CALL)
    talk.wait(20.0)
    said = " ".join(talk.say(f"Larkspur 5304W, {call}"))
    assert answer in said
    assert ("radar shows you flying" in said) == ("radar" in answer)


def test_a_turn_that_is_not_begun_is_called_again() -> None:
    turns, _ = call_turn(Turns("Wendle"), 240.0, 0.0, 80.0, 0.0)
    assert call_turn(turns, 240.0, 0.0, 80.0, 15.0)[1] == "turn left"


def _obeyed(flight: Flight, seconds: float) -> list[Event]:
    """Fly on, doing each turn when its words have been heard."""
    events: list[Event] = []
    end = flight.t_s + seconds
    while flight.t_s < end and flight.ended is None:
        new = flight.advance(1.0)
        events += new
        for heard in of(Heard, new):
            if "half standard rate turns" in heard.words:
                flight.act(TurnRate("half"))
            elif heard.words.endswith("turn left."):
                flight.act(Turn("left"))
            elif heard.words.endswith("turn right."):
                flight.act(Turn("right"))
            elif heard.words.endswith("stop turn."):
                flight.act(StopTurn())
    return events


def test_a_pilot_who_does_as_told_is_brought_to_the_field_on_partial_panel() -> None:
    flight, _ = begun()
    for action in (Cover("attitude_indicator"), Cover("heading_indicator"), FlyBy("partial_panel"), Transmit(CALL)):
        flight.act(action)
    events = _obeyed(flight, 150.0)
    said = [each.words for each in of(Heard, events)]
    assert any("make all turns standard rate, start and stop turns on my word" in words.lower() for words in said)
    assert any(words.endswith("stop turn.") for words in said)
    wendle = next(field for field in short().fields if field.name == "Wendle")
    true = flight.truths
    off = bearing_deg(wendle, true.north_nm, true.east_nm) - true.track_deg
    assert abs((off + 180) % 360 - 180) < 25
    _obeyed(flight, 1500.0)
    assert flight.ended is not None
    assert flight.ended.ending == "home"


def called(talk: Talk, seconds: int, obeys: Callable[[str], float | None]) -> list[str]:
    """What is called to a pilot who turns as `obeys` gives the rate (deg/s; None: as before)."""
    said: list[str] = []
    rate_dps = 0.0
    for _ in range(seconds):
        for words in talk.fly(1.0, turning_dps=rate_dps):
            last = words.removesuffix(".").rpartition(", ")[2].rpartition(". ")[2].lower()
            if last.endswith(("turn left", "turn right", "stop turn", "able to turn?")):
                said.append(last)
                new = obeys(last)
                rate_dps = rate_dps if new is None else new
    return said


@pytest.mark.parametrize("rate_dps", [1.0, 3.0, 6.0])
def test_who_turns_the_wrong_way_is_stopped_and_turned_again_and_not_asked_whether_he_can_turn(rate_dps: float) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, heading indicator failed, in cloud, request no-gyro vectors to Wendle")
    mixed_up: list[str] = []

    def obeys(words: str) -> float | None:
        if words == "stop turn":
            return 0.0
        way = -1.0 if words == "turn left" else 1.0
        if not mixed_up:
            mixed_up.append(words)
            way = -way
        return way * rate_dps

    said = called(talk, 240, obeys)
    assert said[1] == "stop turn"
    assert said[2] in ("turn left", "turn right")
    assert "radar shows no turn" not in " ".join(said)
    for before, after in pairwise(said):
        assert (before == "stop turn") != (after == "stop turn"), "each turn is stopped before the next one"
    assert abs(float(wrap_deg(FLOATS, talk.radar.track_deg - 80.0))) < 20.0


def test_a_turn_that_is_on_is_not_called_again_because_of_one_uneven_second() -> None:
    turns = Turns("Wendle", way=-1, called_s=0.0, started=True)
    assert call_turn(turns, 200.0, -0.1, 80.0, 30.0, seen_dps=-2.5)[1] == ""
    assert call_turn(turns, 200.0, 1.0, 80.0, 30.0, seen_dps=-2.5)[1] == ""


def test_half_standard_rate_stays_when_a_turn_went_the_wrong_way() -> None:
    turns = Turns("Wendle", way=-1, called_s=0.0, started=True, half_rate=True)
    turns, words = call_turn(turns, 100.0, 1.5, 80.0, 10.0, seen_dps=1.5)
    assert (words, turns.half_rate) == ("stop turn", True)
    turns, words = call_turn(turns, 110.0, 0.0, 80.0, 16.0, seen_dps=0.3)
    assert (words, turns.half_rate) == ("turn left", True)


@pytest.mark.parametrize("late_s", [1, 6])
def test_the_word_to_stop_comes_as_much_sooner_as_this_pilot_rolls_out_later(late_s: int) -> None:
    # common practice, no source
    turns, track, rate, stopped, missed = Turns("Wendle", started=True), 0.0, 0.0, 0, []
    wanted = 90.0
    for second in range(600):
        turns, words = call_turn(turns, track, rate, wanted, float(second))
        if words in ("turn left", "turn right"):
            rate = 3.0 if words == "turn right" else -3.0
        if words == "stop turn":
            stopped = second
        if rate and not turns.way and second - stopped >= late_s:
            missed.append(abs(float(wrap_deg(FLOATS, track - wanted))))
            rate, wanted = 0.0, (wanted + 90.0) % 360.0
        track = (track + rate) % 360.0
    assert len(missed) >= 4
    assert max(missed[3:]) <= 6.0
