"""What radar shows of an airplane in trouble is said: turns that go on, a descent, an altitude that is too low."""

from __future__ import annotations

from dataclasses import replace

from drill.flight import controller
from drill.language import read_call
from flight.talk import CONTEXT, Talk
from flight.test_approach import RADAR, TALLOWBY, flown, inbound, near

MAYDAY = "mayday mayday mayday, Larkspur 5304W, vacuum failure, in cloud, two on board, three hours of fuel"


def test_over_a_mayday_airplane_that_spirals_down_the_controller_speaks_up_and_offers_no_gyro_turns() -> None:
    talk = Talk()
    talk.say(MAYDAY)
    said = talk.fly(180, climb_fpm=-600.0, turning_dps=3.0)
    seen = [each for each in said if "radar shows you in a right turn, descending through" in each]
    assert "are you able to level the wings?" in seen[0]
    assert any(each.endswith("Do you want no-gyro vectors?") for each in seen)
    assert 3 <= len(seen) <= 6


def test_a_turn_through_more_than_any_assigned_one_is_spoken_of_without_a_descent_too() -> None:
    talk = Talk()
    talk.say(MAYDAY)
    assert "radar shows you in a left turn" in " ".join(talk.fly(90, turning_dps=-4.0))


def test_a_rapid_descent_on_a_straight_track_is_spoken_of() -> None:
    talk = Talk()
    talk.say(MAYDAY)
    assert "descending rapidly through" in " ".join(talk.fly(30, climb_fpm=-1900.0))


def test_who_cannot_level_the_wings_is_offered_no_gyro_turns_and_a_yes_begins_them() -> None:
    talk = Talk()
    talk.say(MAYDAY)
    while talk.state.question != "level":
        talk.fly(1, climb_fpm=-600.0, turning_dps=3.0)
        assert talk.t < 200.0
    assert "do you want no-gyro vectors?" in " ".join(talk.say("negative, 04W"))
    assert "start and stop turns on my word" in " ".join(talk.say("affirmative, 04W"))


def test_turns_that_are_assigned_called_or_flown_in_a_hold_are_not_spoken_of() -> None:
    for call in ("request vectors to Wendle", "request no-gyro vectors to Wendle", "request hold at present position"):
        talk = Talk()
        talk.say(f"{MAYDAY}, {call}")
        assert "radar shows you" not in " ".join(talk.fly(50, turning_dps=-3.0)), call
    talk = Talk()
    talk.say(f"{MAYDAY}, request hold at present position")
    assert "radar shows you" not in " ".join(talk.fly(200, turning_dps=-3.0))


def test_a_descending_turn_to_the_heading_or_the_field_that_was_given_is_not_spoken_of() -> None:
    for call, way in (("request vectors to Wendle and descent", -1.0), ("request direct Wendle and descent", -1.0)):
        talk = Talk()
        talk.say(f"{MAYDAY}, {call}")
        wanted = talk.state.heading_deg
        said = talk.fly(45, climb_fpm=-600.0, turning_dps=3.0 * way)
        assert "radar shows you" not in " ".join(said), (call, wanted)


def test_a_turn_past_the_heading_that_was_given_is_spoken_of() -> None:
    talk = Talk()
    talk.say(f"{MAYDAY}, request vectors to Wendle and descent")
    assert "radar shows you in a" in " ".join(talk.fly(120, climb_fpm=-600.0, turning_dps=3.0))


def test_nobody_in_routine_flight_is_told_of_his_turns() -> None:
    assert "radar shows you" not in " ".join(Talk().fly(150, turning_dps=3.0))


def test_a_turn_seen_on_radar_takes_the_no_gyro_service_up_again() -> None:
    # AIM 5-4-11: the controller watches the track and says when to stop
    talk = Talk()
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    said = talk.wait(200)
    assert "radar shows no turn, are you able to turn?" in " ".join(said)
    said = talk.fly(90, turning_dps=-3.0)
    assert any(each.endswith("stop turn.") for each in said)
    assert talk.state.turns is not None
    assert not talk.state.turns.suspended


def test_a_pilot_whose_turns_are_waited_for_is_called_again() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    said = talk.wait(600)
    assert sum("say when able to turn" in each for each in said) >= 2


def test_the_end_of_a_turn_is_said_before_what_else_waits() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests no-gyro vectors to Wendle")
    said = talk.fly(10)
    while talk.state.turns is None or not talk.state.turns.way:
        said += talk.fly(1)
    talk.fly(44, turning_dps=-3.0)
    asks = "04W, say weather at Tallowby, say altimeter, what are the tops?"
    talk.state = controller.hear(talk.state, read_call(asks, CONTEXT))
    said = talk.fly(20, turning_dps=-3.0)
    assert "weather" in " ".join(said)
    assert said[0].endswith("stop turn.")


def test_below_the_minimum_altitude_in_a_cleared_approach_off_its_course_there_is_an_alert_at_once_and_again() -> None:
    talk = inbound(RADAR)
    flown(talk, 60.0)
    assert talk.state.approach is not None
    talk.radar = replace(near(TALLOWBY, 6.0, 240.0, beside_nm=4.0), track_deg=100.0, altitude_ft=2500.0)
    said = talk.wait(10)
    assert any("low altitude alert" in each for each in said)
    assert sum("low altitude alert" in each for each in talk.wait(180)) >= 2


def test_before_the_descent_of_a_radar_approach_has_been_given_the_minimum_altitude_holds() -> None:
    talk = inbound(RADAR)
    flown(talk, 30.0)
    talk.radar = near(TALLOWBY, 7.0, 240.0, altitude_ft=2500.0)
    assert "low altitude alert" in " ".join(talk.wait(10))
