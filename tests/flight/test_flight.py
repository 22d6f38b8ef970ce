"""Time, forks, endings, and that nothing a pilot does can break a flight."""

from __future__ import annotations

import math
from dataclasses import asdict
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drill.flight import seeds
from drill.flight.events import HIDDEN, Assigned, Ended, Entered, Event, Failed, Heard, Told, Trace
from drill.flight.flight import Flight
from drill.flight.labels import action_from
from drill.flight.recorder import event_data
from drill.flight.state import state_data, state_from
from drill.language import meaning
from drill.language.meaning import Action, Cover, Decide, LevelWings, Look, Transmit, Turn
from drill.scenario import load_text
from drill.scenario.loading import airplanes_beside
from drill.scenario.quantities import QUANTITIES
from flight.flights import FULL_CALL, begun, of, short

SHORT = Path(__file__).with_name("short.yaml")

LINES = (
    "look at the suction gauge", "cover the attitude indicator", "fly partial panel", "turn left", "stop turn",
    "level wings", "climb to 7000", "descend to 3500", "full power", "power idle", "nose up ten degrees",
    "airspeed 80", "break off", "divert to Wendle", FULL_CALL, "mayday mayday mayday", "say again", "unable", "standby",
    "affirmative", "battery off", "alternator off", "uncover the attitude indicator", "go full panel", "go around",
    "run the vacuum failure checklist", "wait 20 seconds", "set the heading indicator to the compass", "gibberish",
    "request lower", "request no-gyro vectors to Wendle", "left turn heading 100", "flaps 20",
)


def test_a_flight_begins_with_its_phase_its_words_and_its_clearance() -> None:
    _, events = begun()
    assert [type(each) for each in events] == [Entered, Told, Assigned, Trace]
    assert of(Assigned, events)[0].altitude_ft == 5000


def test_the_altitude_at_the_start_is_what_the_altimeter_shows_as_it_is_set() -> None:
    text = short().text.replace("turbulence: light", "turbulence: light\n  pressure: 29.86 inHg").replace(
        "airspeed: 110 kt,", "airspeed: 110 kt, altimeter: 29.92 inHg,")
    flight, _ = Flight.start(load_text(text, "short.yaml", airplanes_beside(SHORT)), 1)
    assert flight.panel.altitude_ft == pytest.approx(5000.0, abs=1.0)
    # "one inch of change is about 1,000 feet": AIM 7-2-3
    assert flight.truths.altitude_ft == pytest.approx(4940.0, abs=10.0)
    moves = [each.shown["vertical_speed_fpm"] for each in of(Trace, flight.advance(20.0))]
    assert max(moves) < 300.0, "the hands have settled on what it shows"
    flight.enter("set the altimeter to 29.86")
    flight.advance(5.0)
    assert flight.panel.altitude_ft == pytest.approx(flight.truths.altitude_ft, abs=5.0)


def test_time_that_makes_no_whole_step_is_kept() -> None:
    flight, _ = begun()
    for _ in range(7):
        flight.advance(0.03)
    assert flight.t_s == 0.2
    assert flight.advance(0.09) == []
    assert flight.t_s == 0.3


@settings(deadline=None, max_examples=20)
@given(st.lists(st.integers(0, 3000), min_size=1, max_size=30))
def test_how_time_is_cut_up_does_not_change_a_flight(milliseconds: list[int]) -> None:
    cut, _ = begun()
    whole, _ = begun()
    events: list[Event] = []
    for each in milliseconds:
        events += cut.advance(each / 1000)
    assert events == whole.advance(sum(milliseconds) / 1000)
    assert cut.state == whole.state


@pytest.mark.parametrize("seconds", [-1.0, math.nan, math.inf, 1e9])
def test_time_runs_forward_and_not_for_days(seconds: float) -> None:
    with pytest.raises(ValueError, match="advanced"):
        begun()[0].advance(seconds)


def test_there_is_one_trace_a_second_with_every_quantity() -> None:
    flight, _ = begun()
    traces = of(Trace, flight.advance(10.0))
    assert [each.t for each in traces] == [float(t) for t in range(1, 11)]
    for quantity in QUANTITIES:
        names = [quantity.name]
        if quantity.name.endswith(" to"):
            names = [f"{quantity.name} {field.name}" for field in short().fields]
        assert set(names) <= set(traces[0].values)


def test_advancing_stops_right_after_the_event_that_is_waited_for() -> None:
    flight, _ = begun()
    events = flight.advance(100.0, stop_at=lambda event: isinstance(event, Failed))
    assert isinstance(events[-1], Trace)
    assert of(Failed, events)[0].t == flight.t_s < 41


def test_a_fork_meets_the_same_air() -> None:
    flight, _ = begun(seed=5, lines=[(10.0, "turn right heading 300")])
    flight.advance(7.3)
    other = flight.fork()
    assert other.advance(120.0) == flight.advance(120.0)
    assert other.state == flight.state


def test_a_fork_goes_its_own_way() -> None:
    flight, _ = begun()
    other = flight.fork()
    other.act(Turn("left"))
    other.advance(20.0)
    assert flight.t_s == 0.0
    assert flight.idle


def test_the_seed_draws_the_time_of_the_failure() -> None:
    drawn = {seeds.times(short(), seed)["pump"] for seed in range(20)}
    assert len(drawn) == 20
    assert all(at is not None and 20 <= at <= 40 for at in drawn)


def test_the_failure_comes_at_its_time_and_the_gauge_shows_it() -> None:
    flight, _ = begun()
    due = seeds.times(short(), 1)["pump"]
    assert due is not None
    failed = of(Failed, flight.advance(60.0))[0]
    assert failed.t == math.ceil(due)
    assert flight.panel.suction_inhg < 0.5
    assert "failed pump" in of(Trace, flight.advance(1.0))[0].facts


def test_a_failure_that_the_story_brings_begins_with_the_act() -> None:
    flight, _ = begun()
    flight.enter("battery off")
    events = flight.advance(5.0)
    assert [each.failure for each in of(Failed, events)] == ["bus"]
    assert flight.phase == "dark"


def test_with_a_dead_bus_nothing_is_heard_any_more() -> None:
    flight, _ = begun()
    flight.enter("battery off")
    flight.advance(10.0)
    flight.act(Transmit(FULL_CALL))
    assert not of(Heard, flight.advance(60.0))
    assert flight.panel.volts < 1.0


def test_hands_that_follow_a_dying_horizon_lose_the_airplane() -> None:
    flight, _ = begun()
    ended = of(Ended, flight.advance(2400.0))
    assert [each.outcome for each in ended] in (["broke up"], ["hit the ground"])
    assert flight.ended == ended[0]


def test_after_the_end_nothing_happens() -> None:
    flight, _ = begun()
    flight.advance(2400.0)
    at = flight.t_s
    assert flight.advance(10.0) + flight.enter("look outside") + flight.act(LevelWings()) == []
    assert flight.t_s == at


def test_hands_on_partial_panel_keep_control_and_the_story_ends_at_the_field() -> None:
    flight, _ = begun()
    for action in (Cover("attitude_indicator"), Cover("heading_indicator"), Transmit(FULL_CALL), Turn("left", 80),
                   Decide("divert", "Wendle")):
        flight.act(action)
    events = flight.advance(2300.0)
    assert max(each.true["bank_deg"] for each in of(Trace, events)) < 45
    assert [each.ending for each in of(Ended, events)] == ["home"]


def test_what_is_hidden_is_of_the_kinds_that_no_face_shows() -> None:
    _, events = begun(lines=[(60.0, "look outside")])
    hidden = [each for each in events if isinstance(each, HIDDEN)]
    assert {"failed", "entered", "trace"} <= {each.kind for each in hidden}


def _numbers(value: object) -> list[float]:
    if isinstance(value, dict):
        return [each for inside in value.values() for each in _numbers(inside)]
    if isinstance(value, list | tuple):
        return [each for inside in value for each in _numbers(inside)]
    return [value] if isinstance(value, float) else []


def _flown_at_random(seed: int, script: list[tuple[float, str]]) -> None:
    flight, events = Flight.start(short(), seed)
    for wait_s, line in script:
        events += flight.enter(line) + flight.advance(wait_s)
    for each in events:
        assert all(math.isfinite(number) for number in _numbers(event_data(each)))
    assert state_from(state_data(flight.state), short()) == flight.state


@settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, 10_000), st.lists(st.tuples(st.floats(0.0, 20.0), st.sampled_from(LINES)), max_size=12))
def test_nothing_that_is_typed_breaks_a_flight(seed: int, script: list[tuple[float, str]]) -> None:
    _flown_at_random(seed, script)


@pytest.mark.long
@settings(deadline=None, max_examples=1000, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, 10_000), st.lists(st.tuples(st.floats(0.0, 25.0), st.sampled_from(LINES)), max_size=12))
def test_a_thousand_flights_at_random_stay_whole(seed: int, script: list[tuple[float, str]]) -> None:
    _flown_at_random(seed, script)


_KINDS = sorted({each for each in vars(meaning).values() if isinstance(each, type) and issubclass(each, Action)
                 and each.kind}, key=lambda each: each.kind)


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_no_action_whatever_its_numbers_breaks_a_flight(data: st.DataObject) -> None:
    actions = data.draw(st.lists(st.one_of(*(st.from_type(each) for each in _KINDS)), min_size=1, max_size=6))
    flight, events = begun(seed=4)
    for action in actions:
        events += flight.act(action) + flight.advance(3.0)
    assert all(math.isfinite(number) for each in events for number in _numbers(event_data(each)))
    assert all(math.isfinite(number) for number in _numbers(asdict(flight.truths)))


@settings(deadline=None, max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(st.floats(0.0, 9.0), st.sampled_from(LINES)), max_size=8))
def test_a_state_written_and_read_back_is_the_same_to_the_last_bit(script: list[tuple[float, str]]) -> None:
    flight, _ = begun(seed=6)
    for wait_s, line in script:
        flight.enter(line)
        flight.advance(wait_s)
    assert state_from(state_data(flight.state), short()) == flight.state


def test_a_state_of_another_scenario_is_refused() -> None:
    flight, _ = begun()
    data = state_data(flight.state)
    data["story"]["phase"] = "nowhere"
    with pytest.raises(ValueError, match="does not belong"):
        state_from(data, short())


def test_a_state_with_text_for_a_number_is_refused() -> None:
    flight, _ = begun()
    data = state_data(flight.state)
    data["airplane"]["motion"]["altitude_m"] = "high"
    with pytest.raises(ValueError, match="damaged at airplane"):
        state_from(data, short())


@pytest.mark.parametrize("data", [
    {"action": "altitude", "to_ft": 10**400}, {"action": "wait", "seconds": math.inf}, {"action": "fly"},
    {"action": "look", "at": "altimeter", "twice": True}, "look", {"action": "transmit", "meaning": {"souls": 10**9}},
])
def test_an_action_from_outside_that_no_pilot_can_do_is_refused(data: object) -> None:
    with pytest.raises(ValueError):
        action_from(data)


def test_a_line_is_cleaned_before_anything_is_made_of_it() -> None:
    flight, _ = begun()
    events = flight.enter("look at\x1b[2J the suction\u202e gauge\n")
    assert "\x1b" not in str(events)
    assert flight.busy is not None
    assert flight.busy[0] == Look("suction_gauge")


def test_a_state_with_an_act_in_hand_that_nobody_can_do_is_refused() -> None:
    flight, _ = begun()
    data = state_data(flight.state)
    data["waiting"] = [{"action": "unclear", "ask": ""}]
    with pytest.raises(ValueError, match="an act in hand"):
        state_from(data, short())


def test_a_line_that_names_a_heading_which_nobody_has_assigned_leaves_a_state_that_can_be_kept() -> None:
    look = "look at the suction gauge"
    _flown_at_random(0, [(0.0, "request no-gyro vectors to Wendle"), (7.0, look), (20.0, "unable"), (0.0, look),
                         (0.0, look), (0.0, "say again"), (12.0, look)])
