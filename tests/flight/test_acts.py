"""What acts do, what they cost, and that they wait their turn."""

from __future__ import annotations

import pytest

from drill.airplane.controls import RECOVER, WINGS_LEVEL
from drill.flight.acts import DOABLE, cost
from drill.flight.events import Acted, Asked, Began, Dropped, Heard, Trace, Typed
from drill.language import meaning
from drill.language.meaning import (
    Action,
    Align,
    Altitude,
    Breaker,
    Checklist,
    ChecklistItem,
    Cover,
    Decide,
    FlyBy,
    LevelWings,
    Look,
    Power,
    Squawk,
    StopTurn,
    Switch,
    Timer,
    Transmit,
    Tune,
    Turn,
    Uncover,
    Wait,
)
from flight.flights import FULL_CALL, begun, done, finished, of, short


def test_a_second_act_waits_its_turn() -> None:
    flight, _ = begun()
    first, second = Look("suction_gauge"), Look("altimeter")
    flight.act(first)
    flight.act(second)
    assert flight.busy == (first, 2.0)
    assert flight.waiting == (second,)
    events = flight.advance(4.0)
    assert [(each.act["at"], each.t) for each in of(Acted, events)] == [("suction_gauge", 2.0), ("altimeter", 4.0)]
    assert flight.idle


def test_a_call_is_heard_when_its_words_have_been_said() -> None:
    flight, _ = begun()
    words = "Orrinfell Approach Larkspur 5304W " + "blah " * 46
    flight.act(Transmit(words))
    assert cost(Transmit(words), short()).seconds == 1.0 + 50 * 60 / 150   # the author's rate of speech
    assert not of(Acted, flight.advance(20.9))
    assert of(Acted, flight.advance(0.1))[0].heard


def test_breaking_off_drops_the_act_and_all_that_wait() -> None:
    flight, _ = begun()
    flight.act(Transmit(FULL_CALL))
    flight.act(Look("altimeter"))
    flight.advance(3.0)
    events = flight.enter("break off")
    assert [each["action"] for each in of(Dropped, events)[0].acts] == ["transmit", "look"]
    assert flight.idle
    assert flight.atc.told.calls == 0


def test_a_line_that_is_not_understood_costs_nothing() -> None:
    flight, _ = begun()
    before = flight.state
    events = flight.enter("xyzzy plugh frotz")
    assert [type(each) for each in events] == [Typed, Asked]
    assert flight.state == before


def test_talking_and_reading_take_attention_from_the_hands_and_give_it_back() -> None:
    flight, _ = begun()
    flight.act(Transmit(FULL_CALL))
    assert flight.state.cockpit.controls.attention == 0.7
    assert flight.state.cockpit.controls.transmitting == 1.0
    finished(flight)
    assert flight.state.cockpit.controls.attention == 1.0
    assert flight.state.cockpit.controls.transmitting == 0.0


def test_every_kind_of_action_does_something_or_is_known_to_do_nothing() -> None:
    kinds = {each.kind for each in vars(meaning).values() if isinstance(each, type) and issubclass(each, Action)}
    assert set(DOABLE) == kinds - {"", "break_off", "unclear"}


def test_uncovering_does_not_restore_trust() -> None:
    flight, _ = begun()
    done(flight, Cover("attitude_indicator"), Uncover("attitude_indicator"))
    assert flight.covered == ()
    assert "attitude_indicator" not in flight.reference


def test_a_covered_instrument_cannot_be_flown_by() -> None:
    flight, _ = begun()
    refusal = done(flight, Cover("attitude_indicator"), FlyBy("full_panel"))
    assert refusal.refused
    assert refusal.result == "the attitude indicator is covered: uncover it first"
    assert done(flight, FlyBy("attitude_indicator")).refused


def test_partial_and_full_panel_can_be_chosen() -> None:
    flight, _ = begun()
    done(flight, FlyBy("partial_panel"))
    assert flight.reference == "partial_panel"
    done(flight, FlyBy("full_panel"))
    assert flight.reference == "full_panel"


def test_something_is_always_left_to_keep_the_wings_level_by() -> None:
    flight, _ = begun()
    assert done(flight, Cover("turn_coordinator"), Cover("attitude_indicator")).refused


def test_what_the_airplane_does_not_have_is_said_plainly() -> None:
    flight, _ = begun()
    assert done(flight, Switch("autopilot", "on")).result == "this airplane has no autopilot"
    assert done(flight, Switch("standby_vacuum", "on")).result == "this airplane has no standby vacuum"


def test_a_wait_for_a_call_ends_with_it() -> None:
    flight, _ = begun()   # called at 30 s
    flight.act(Wait(60.0, until_called=True))
    events = flight.advance(60.0)
    (heard, *_), (waited, *_) = of(Heard, events), of(Acted, events)
    assert heard.t <= waited.t <= heard.t + 0.2
    done(flight, Transmit("maintain five thousand, heading two four zero, Larkspur 04W"))
    begun_s = flight.t_s
    flight.act(Wait(20.0, until_called=True))
    assert of(Acted, flight.advance(30.0))[0].t == pytest.approx(begun_s + 20.0), "nobody called"


def test_any_wait_ends_when_atc_asks_for_something() -> None:
    flight, _ = begun()   # at 30 s it is told to maintain its altitude, and to answer
    flight.act(Wait(120.0))
    (waited, *_) = of(Acted, flight.advance(60.0))
    assert 30.0 <= waited.t <= 31.0
    assert waited.result == "broken off: you are called"


def test_a_wait_with_acts_behind_it_is_not_cut_short() -> None:
    flight, _ = begun()
    for action in (Turn("left"), Wait(50.0), StopTurn()):
        flight.act(action)
    acted = of(Acted, flight.advance(60.0))
    assert [each.act["action"] for each in acted] == ["turn", "wait", "stop_turn"]
    assert acted[1].t == pytest.approx(51.0)


def test_a_wait_goes_on_through_words_that_want_nothing() -> None:
    flight, _ = begun()
    flight.advance(31.0)
    done(flight, Transmit("Orrinfell Approach, Larkspur 5304W, radio check"))
    flight.act(Wait(20.0))
    events = flight.advance(25.0)
    assert any("loud and clear" in each.words for each in of(Heard, events))
    assert of(Acted, events)[0].result == ""


def test_deciding_to_cancel_ifr_tells_atc() -> None:
    flight, _ = begun()
    flight.advance(31.0)
    said = done(flight, Decide("cancel_ifr"))
    assert (said.act["action"], said.act["call"]) == ("transmit", "Larkspur 5304W, cancel IFR")
    assert said.meaning is not None
    assert said.meaning["cancels_ifr"]
    assert any("verify you are in visual conditions" in each.words for each in of(Heard, flight.advance(15.0)))


def test_the_emergency_code_is_seen_by_radar_while_the_transponder_has_power() -> None:
    flight, _ = begun()
    done(flight, Squawk("7700"))
    assert any("observed your emergency squawk" in each.words for each in of(Heard, flight.advance(20.0)))
    dark, _ = begun()
    done(dark, Switch("avionics", "off"), Squawk("7700"))
    dark.advance(20.0)
    assert not dark.atc.emergency_code


def test_the_altimeter_setting_is_told_in_inches() -> None:
    flight, _ = begun()
    assert done(flight, Align("altimeter", hpa=1011)).result == "altimeter set to 29.85"


def test_a_call_that_follows_a_line_of_atc_is_an_answer_and_one_that_does_not_is_none() -> None:
    flight, _ = begun()
    first = done(flight, Transmit("Orrinfell Approach, Larkspur 5304W, good day"))
    assert first.meaning is not None
    assert not first.meaning["answers"]
    flight.advance(45.0 - flight.t_s)   # at 30 s it has been told to maintain its altitude
    second = done(flight, Transmit("maintaining five thousand, Larkspur 04W"))
    assert second.meaning is not None
    assert second.meaning["answers"]


def test_a_climb_is_flown() -> None:
    flight, _ = begun()
    done(flight, Altitude(6000, "climb"))
    flight.advance(180.0)
    assert abs(flight.panel.altitude_ft - 6000) < 150


def test_an_order_against_itself_is_refused() -> None:
    flight, _ = begun()
    assert done(flight, Altitude(4000, "climb")).result == "4,000 feet is below you"


def test_level_wings_in_ordinary_flight_only_stops_banking() -> None:
    flight, _ = begun()
    assert done(flight, LevelWings()).result == "wings level"
    assert flight.state.cockpit.controls.lateral == WINGS_LEVEL


def test_level_wings_out_of_a_spiral_is_a_recovery_that_ends_by_itself() -> None:
    flight, _ = begun(seed=9)   # the pump fails and the hands follow the horizon
    flight.advance(1200.0, stop_at=lambda event: isinstance(event, Trace) and abs(event.true["bank_deg"]) > 40)
    said = done(flight, FlyBy("turn_coordinator"), LevelWings())
    assert said.result == "power, wings level, then pitch"
    assert flight.state.cockpit.controls.lateral == RECOVER
    flight.advance(60.0)
    assert flight.state.cockpit.controls.lateral == WINGS_LEVEL
    assert abs(flight.truths.bank_deg) < 15
    assert flight.ended is None


def test_power_by_engine_speed_comes_near() -> None:
    flight, _ = begun()
    wanted = round(flight.panel.rpm / 50) * 50 - 150
    done(flight, Power(to_rpm=wanted), Wait(20.0))
    assert abs(flight.panel.rpm - wanted) < 120


def test_a_diversion_sets_the_course_needle_and_tells_how_far_it_is() -> None:
    flight, _ = begun()
    told = done(flight, Decide("divert", "wendel"))
    assert told.act["where"] == "Wendle"
    assert "080 degrees, 25 miles" in told.result
    assert flight.state.cockpit.destination == "Wendle"
    assert abs(flight.panel.course_deviation) < 0.1


def test_a_place_out_of_reach_is_told_with_what_is_there() -> None:
    flight, _ = begun()
    assert done(flight, Decide("divert", "Zzyzx")).result.endswith("Tallowby, Wendle")


def test_a_checklist_is_found_by_a_near_name_and_read_step_by_step() -> None:
    flight, _ = begun()
    read = done(flight, Checklist("vacuum"))
    assert read.act["name"] == "vacuum failure"
    steps = dict(short().airplane.checklists)["vacuum failure"]  # type: ignore[index]
    assert read.result.count("\n") == len(steps)
    assert read.t - read.began == pytest.approx(4.0 * len(steps))
    assert done(flight, ChecklistItem()).result == f"next: {steps[1]}"


def test_the_checklists_on_board_can_be_asked_for() -> None:
    flight, _ = begun()
    assert "alternator failure" in done(flight, Checklist(None)).result


def test_the_heading_indicator_is_set_to_the_compass() -> None:
    flight, _ = begun()
    done(flight, Turn("right", by_deg=90), Wait(60.0))
    done(flight, Align("heading_indicator", "magnetic_compass"))
    assert abs((flight.panel.heading_deg - flight.panel.compass_deg + 180) % 360 - 180) < 5


def test_the_altimeter_is_set_in_inches_or_hectopascals() -> None:
    flight, _ = begun()
    done(flight, Align("altimeter", inhg=29.86))
    assert flight.panel.altimeter_setting_hpa == pytest.approx(1011.2, abs=0.1)
    assert done(flight, Align("altimeter", hpa=3)).refused


def test_the_timer_runs() -> None:
    flight, _ = begun()
    assert done(flight, Timer("start"), Wait(30.0), Timer("stop")).result == "timer stopped at 0:31"


def test_a_transponder_code_has_digits_up_to_seven() -> None:
    flight, _ = begun()
    assert not done(flight, Squawk("7700")).refused
    assert done(flight, Squawk("8900")).refused
    assert flight.state.cockpit.code == "7700"


def test_looking_outside_in_cloud_shows_nothing() -> None:
    flight, _ = begun()
    assert done(flight, Look("outside")).result == "outside: white, nothing to see"


def test_without_avionics_power_a_call_is_not_heard() -> None:
    flight, _ = begun()
    call = done(flight, Switch("avionics", "off"), Transmit(FULL_CALL))
    assert not call.heard
    assert flight.atc.told.calls == 0


def test_on_a_wrong_frequency_nobody_hears_and_nothing_is_heard() -> None:
    flight, _ = begun()
    assert not done(flight, Tune("118.3"), Transmit(FULL_CALL)).heard
    assert not of(Heard, flight.advance(120.0))
    assert done(flight, Tune("124.350"), Transmit(FULL_CALL)).heard


def test_a_pulled_breaker_takes_the_turn_coordinator() -> None:
    flight, _ = begun()
    done(flight, Breaker("turn_coordinator", "pull"), Wait(5.0))
    assert flight.panel.turn_flag == 1.0


def test_a_refused_act_counts_as_not_done() -> None:
    flight, _ = begun()
    done(flight, Switch("autopilot", "on"), Wait(2.0))
    assert flight.state.acts == ()
    assert not flight.state.story.did


def test_an_act_is_begun_before_it_is_done() -> None:
    flight, _ = begun()
    events = flight.act(Look("suction_gauge")) + flight.advance(5.0)
    assert of(Began, events)[0].seconds == 2.0
    assert of(Acted, events)[0].t == 2.0


@pytest.mark.parametrize(("typed", "meant"), [
    ("wendle", "Wendle"), ("Wen", "Wendle"), ("Wendel", "Wendle"), ("talowby", "Tallowby"),
])
def test_a_field_is_known_by_its_name_its_beginning_or_a_slip_of_the_fingers(typed: str, meant: str) -> None:
    flight, _ = begun()
    assert f"divert {meant}" in done(flight, Decide("divert", typed)).result


@pytest.mark.parametrize("typed", ["W", "le", "end", "Wendover", "home"])
def test_a_scrap_of_a_name_or_a_place_off_the_chart_is_no_field(typed: str) -> None:
    flight, _ = begun()
    told = done(flight, Decide("divert", typed))
    assert "GPS set" not in told.result
