"""Approaches are finished: range at each mile, a radar approach talked down, and an end for each of them."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.flight import controller
from drill.flight.controller_state import Radar
from drill.flight.final import final_course_deg, wanted_track_deg
from drill.flight.served import approach_field, is_radar
from drill.flight.weather import bearing_deg, distance_nm, field_position
from drill.language import read_call
from drill.scenario.model import Field, Say
from flight.flights import short
from flight.talk import CONTEXT, HERE, Talk

TALLOWBY = replace(short().fields[0], runway_deg=240.0, minimums_ft=1040.0, radar_approach=True,
                   approaches=(Clean("ILS 24"), Clean("surveillance 24")))
KNOTS = 100.0


def near(field: Field, miles: float, course_deg: float, *, beside_nm: float = 0.0,
         altitude_ft: float = 3000.0) -> Radar:
    """Radar of an airplane on `course_deg`, so many miles short of a field and beside (right of) that line."""
    north, east = field_position(field)
    angle = math.radians(course_deg)
    return Radar(north - miles * math.cos(angle) - beside_nm * math.sin(angle),
                 east - miles * math.sin(angle) + beside_nm * math.cos(angle), altitude_ft, course_deg)


def flown(talk: Talk, seconds: float, track_deg: float | None = None) -> list[str]:
    """Fly straight on, as radar sees it; what is said."""
    said: list[str] = []
    for _ in range(round(seconds)):
        track = talk.radar.track_deg if track_deg is None else track_deg
        step = KNOTS / 3600.0
        talk.radar = replace(talk.radar, north_nm=talk.radar.north_nm + step * math.cos(math.radians(track)),
                             east_nm=talk.radar.east_nm + step * math.sin(math.radians(track)), track_deg=track)
        said += talk.wait(1)
    return said


def inbound(call: str, *, beside_nm: float = 0.0) -> Talk:
    """A talk in which `call` asked for Tallowby, now nine miles from it on its final course."""
    talk = Talk()
    still = replace(talk.scenario.weather, air=replace(talk.scenario.weather.air, wind_kt=0.0))   # as it is flown here
    talk.scenario = replace(talk.scenario, weather=still, fields=(TALLOWBY, *talk.scenario.fields[1:]))
    talk.state = controller.begin(talk.scenario)
    talk.say(call)
    talk.radar = near(TALLOWBY, 9.0, 240.0, beside_nm=beside_nm)
    return talk


ILS = "Larkspur 5304W requests vectors to Tallowby"
RADAR = "Larkspur 5304W requests a surveillance approach at Tallowby"


def test_the_range_is_told_at_each_mile_from_five_to_one_and_then_what_to_do_without_the_runway() -> None:
    said = " ".join(flown(inbound(ILS), 330.0))
    assert "cleared ILS runway two four approach" in said
    at = [said.index(f"{miles} from") for miles in ("five miles", "four miles", "three miles", "two miles", "one mile")]
    assert at == sorted(at)
    assert "one mile from Tallowby, if the runway is not in sight, execute missed approach" in said
    assert "minimum descent altitude" not in said


def test_a_radar_approach_is_talked_down_to_its_missed_approach_point() -> None:
    # AIM 5-4-11: course guidance to the missed approach point, range at least once a mile, when to descend to the MDA
    said = flown(inbound(RADAR), 330.0)
    assert any("cleared surveillance runway two four approach" in each for each in said)
    five = next(each for each in said if "five miles" in each)
    assert "descend to your minimum descent altitude, one thousand forty, " in five
    assert "on course" in five
    last = "one mile from runway, over missed approach point, if the runway is not in sight, execute missed approach"
    assert any(last in each
               for each in said)


@pytest.mark.parametrize(("beside_nm", "side", "turn"), [(0.4, "right of course", "turn left heading"),
                                                         (-0.4, "left of course", "turn right heading")])
def test_an_airplane_beside_the_final_course_is_turned_back_to_it(beside_nm: float, side: str, turn: str) -> None:
    talk = inbound(RADAR, beside_nm=beside_nm)
    said = flown(talk, 200.0)
    five = next(each for each in said if "five miles" in each)
    assert side in five
    assert turn in five
    assert talk.state.heading_deg is not None
    assert (talk.state.heading_deg - 240.0) * beside_nm < 0


def test_without_gyros_the_turns_of_a_radar_approach_are_called_and_no_heading_is_given() -> None:
    talk = inbound("Larkspur 5304W requests no-gyro vectors to Tallowby")
    talk.radar = near(TALLOWBY, 9.0, 240.0, beside_nm=0.8)
    said, rate = list[str](), 0.0
    for _ in range(400):
        new = flown(talk, 1.0, (talk.radar.track_deg + rate) % 360.0)
        for words in new:
            full = 1.5 if any("half standard" in each for each in said) else 3.0
            called = {"turn left.": -full, "turn right.": full, "stop turn.": 0.0}
            rate = next((to for end, to in called.items() if words.endswith(end)), rate)
        said += new
    assert any("cleared surveillance runway two four approach" in each for each in said)
    assert any("half standard rate" in each for each in said)
    assert any(each.endswith("turn left.") for each in said)
    assert not any("heading" in each for each in said if "passed" not in each)
    mile = next(at for at, each in enumerate(said) if "over missed approach point" in each)
    assert not any("turn" in each for each in said[mile + 1:])
    assert talk.state.closest_nm < 0.3 or talk.state.approach is None


def test_a_field_that_has_been_passed_ends_the_approach_with_an_altitude_and_a_question() -> None:
    talk = inbound(ILS)
    said = flown(talk, 60.0)
    talk.radar = replace(talk.radar, altitude_ft=1400.0)
    said += flown(talk, 420.0)
    passed = [each for each in said if "ou have passed Tallowby" in each]
    assert len(passed) == 1
    assert "climb and maintain three thousand, fly heading two four zero, say intentions" in passed[0]
    assert (talk.state.approach, talk.state.altitude_ft, talk.state.place) == (None, 3000.0, "")
    assert "cleared" not in " ".join(said[said.index(passed[0]):])


def test_an_airplane_high_above_the_field_that_it_passed_is_not_told_to_climb() -> None:
    talk = inbound("Larkspur 5304W is diverting to Tallowby")
    flown(talk, 60.0)
    talk.radar = replace(talk.radar, altitude_ft=7000.0)
    assert any("stay at or above three thousand" in each for each in flown(talk, 480.0))


def test_an_airplane_that_is_led_there_is_given_its_descent_in_time() -> None:
    talk = Talk()
    talk.say(ILS)
    talk.radar = near(TALLOWBY, 21.0, 240.0, altitude_ft=5000.0)
    assert not any("descend" in each for each in talk.wait(10))
    said = flown(talk, 60.0)
    assert [each for each in said if "descend" in each] == [
        "Larkspur zero four whiskey, descend and maintain three thousand."]
    assert talk.state.altitude_ft == 3000.0


def test_who_flies_there_by_himself_and_is_too_high_is_told_once_and_cleared_when_low_enough() -> None:
    talk = inbound("Larkspur 5304W is diverting to Tallowby")
    talk.radar = replace(talk.radar, altitude_ft=7000.0)
    said = flown(talk, 60.0)
    assert sum("you are high for the approach, descend at your discretion, three thousand until cleared" in each
               for each in said) == 1
    assert not any("cleared ILS" in each for each in said)
    talk.radar = replace(talk.radar, altitude_ft=3400.0)
    assert any("cleared ILS runway two four approach" in each for each in flown(talk, 20.0))


def test_an_airplane_below_the_minimum_altitude_is_alerted_and_not_cleared() -> None:
    talk = inbound(ILS)
    talk.radar = replace(talk.radar, altitude_ft=2200.0)
    said = " ".join(talk.wait(30))
    assert "low altitude alert" in said
    assert "cleared" not in said


def test_an_airplane_that_is_still_high_far_out_is_turned_in_again_without_a_clearance() -> None:
    talk = inbound(RADAR)
    talk.radar = replace(talk.radar, altitude_ft=9000.0)
    talk.wait(20)
    talk.radar = replace(near(TALLOWBY, 17.2, 240.0, altitude_ft=9000.0), track_deg=60.0)
    back = " ".join(talk.wait(20))
    assert "heading two four zero, continue the descent" in back
    assert "cleared" not in back


def test_high_over_a_field_in_clear_weather_is_cleared_with_room_to_come_down() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W is diverting to Wendle")
    talk.radar = near(talk.scenario.fields[1], 8.0, 80.0, altitude_ft=7500.0)
    talk.wait(20)
    assert "you are high, maneuver as you need, cleared visual approach" in talk.say("field in sight, 04W")[0]


def test_a_missed_approach_that_the_pilot_and_the_scenario_speak_of_is_answered_once() -> None:
    talk = inbound(ILS)
    flown(talk, 280.0)
    talk.radar = replace(talk.radar, altitude_ft=1400.0)
    said = talk.say("going missed, Larkspur 5304W")
    line = Say(Clean("{callsign}, roger the missed approach, climb and maintain three thousand. What next?"),
               altitude_ft=3000.0, asks="intentions")
    talk.line(line)
    said += talk.wait(60)
    assert sum("climb and maintain" in each for each in said) == 1


def test_a_scenarios_line_that_sends_the_airplane_up_ends_its_approach() -> None:
    talk = inbound(ILS)
    flown(talk, 280.0)
    talk.radar = replace(talk.radar, altitude_ft=1400.0)
    talk.wait(5)
    words = Clean("{callsign}, roger the missed approach, climb and maintain three thousand.")
    talk.line(Say(words, altitude_ft=3000.0, asks="intentions"))
    said = talk.wait(10) + flown(talk, 300.0)
    assert sum("climb and maintain" in each for each in said) == 1
    assert not any("you have passed" in each or "mile" in each for each in said)


def test_an_altitude_that_the_scenario_gives_is_not_given_by_the_answer_as_well() -> None:
    talk = Talk()
    talk.state = controller.hear(talk.state, read_call("Larkspur 5304W, request climb to seven thousand", CONTEXT))
    talk.wait(1)
    words = Clean("{callsign}, climb and maintain seven thousand, turns at your discretion.")
    talk.line(Say(words, altitude_ft=7000.0))
    assert sum("maintain seven thousand" in each for each in talk.wait(30)) == 1


def test_an_airplane_that_climbs_back_by_itself_is_not_alerted() -> None:
    talk = Talk()
    talk.radar = replace(talk.radar, altitude_ft=2200.0)
    assert "alert" not in " ".join(talk.fly(80, climb_fpm=500.0))


def test_an_airplane_too_high_for_the_approach_is_led_out_to_lose_height_and_then_in_again() -> None:
    talk = inbound(RADAR)
    talk.radar = replace(talk.radar, altitude_ft=6000.0)
    out = talk.wait(5)[0]
    assert "you are high for the approach, descend and maintain three thousand, turn " in out
    assert "heading zero six zero for the descent" in out
    assert talk.state.approach is None
    talk.radar = replace(near(TALLOWBY, 10.0, 240.0, altitude_ft=5500.0), track_deg=60.0)
    assert not any("cleared" in each for each in talk.wait(20))
    talk.radar = replace(near(TALLOWBY, 13.0, 240.0, altitude_ft=5000.0), track_deg=60.0)
    back = " ".join(talk.wait(60))
    assert "heading two four zero, cleared surveillance runway two four approach" in back
    assert talk.state.heading_deg == 240.0


def test_who_says_that_the_approach_is_missed_is_sent_up_and_asked_once() -> None:
    talk = inbound(ILS)
    flown(talk, 280.0)
    talk.radar = replace(talk.radar, altitude_ft=1400.0)
    said = talk.say("going missed, Larkspur 5304W")
    assert said == ["Larkspur zero four whiskey, roger, climb and maintain three thousand, fly heading two four "
                    "zero. Say intentions."]
    assert talk.state.approach is None
    said = talk.say("Wendle, 04W")
    assert talk.state.place == "Wendle"
    assert "cleared direct Wendle" in said[0]


def test_with_the_field_in_sight_the_talk_ends() -> None:
    talk = inbound(ILS)
    flown(talk, 160.0)
    talk.radar = replace(talk.radar, altitude_ft=1000.0)
    assert "verify Tallowby in sight" in talk.say("runway in sight, Larkspur 5304W")[0], "five miles off, in two"
    assert "cleared to land" in talk.say("affirmative, runway in sight, Larkspur 5304W")[0]
    assert not any("mile" in each for each in flown(talk, 100.0))


@pytest.mark.parametrize("words", [
    "runway not in sight", "we do not have the runway in sight", "will report the field in sight",
    "if we don't see it we will go around", "we are not going around",
])
def test_what_is_not_so_yet_neither_lands_nor_ends_the_approach(words: str) -> None:
    talk = inbound(ILS)
    flown(talk, 160.0)
    said = " ".join(talk.say(f"{words}, Larkspur 5304W"))
    assert "cleared to land" not in said
    assert "climb" not in said
    assert talk.state.approach == "ILS 24"


def test_an_approach_clearance_of_the_scenario_drops_the_altitude_and_its_watch() -> None:
    talk = Talk()
    line = Say("{callsign}, maintain {altitude} until established, cleared ILS 24 approach.",  # type: ignore[arg-type]
               altitude_ft=3000.0, cleared_approach="ILS 24")  # type: ignore[arg-type]
    talk.state = controller.say(talk.state, line, talk.t)
    assert "maintain three thousand until established" in talk.wait(5)[0]
    assert (talk.state.approach, talk.state.altitude_ft) == ("ILS 24", None)
    talk.radar = near(TALLOWBY, 8.0, 240.0, altitude_ft=1800.0)
    assert "altitude" not in " ".join(talk.wait(200))
    field = approach_field(talk.scenario, talk.state, talk.radar)
    assert field is not None
    assert field.name == "Tallowby"


def test_low_at_a_field_whose_approach_is_not_cleared_there_is_an_alert_and_it_grows_rarer() -> None:
    talk = Talk()
    talk.radar = near(TALLOWBY, 6.0, 240.0, altitude_ft=1800.0)
    assert "low altitude alert" in talk.wait(5)[0]
    assert sum("low altitude alert" in each for each in talk.wait(595)) == 7   # half a minute apart, then two minutes


def test_low_far_from_the_field_of_a_cleared_approach_there_is_an_alert() -> None:
    talk = inbound(ILS)
    flown(talk, 10.0)
    talk.radar = replace(talk.radar, altitude_ft=1800.0)
    assert "alert" not in " ".join(talk.wait(60))
    talk.radar = near(TALLOWBY, 14.0, 240.0, altitude_ft=1800.0)
    assert "low altitude alert" in " ".join(talk.wait(20))


def test_a_final_course_is_the_runways_and_straight_to_a_field_whose_runway_is_not_known() -> None:
    assert final_course_deg(TALLOWBY, 262.0) == 240.0
    assert final_course_deg(TALLOWBY, 31.0) == 240.0
    assert final_course_deg(replace(TALLOWBY, runway_deg=None), 238.0) == 240.0


@pytest.mark.parametrize("beside_nm", [-1.5, -0.3, 0.3, 1.5])
def test_who_flies_the_wanted_track_comes_to_the_runway(beside_nm: float) -> None:
    here = near(TALLOWBY, 9.0, 240.0, beside_nm=beside_nm)
    for _ in range(300):
        bearing = bearing_deg(TALLOWBY, here.north_nm, here.east_nm)
        track = math.radians(wanted_track_deg(240.0, bearing))
        here = replace(here, north_nm=here.north_nm + 0.028 * math.cos(track),
                       east_nm=here.east_nm + 0.028 * math.sin(track))
    assert distance_nm(TALLOWBY, here.north_nm, here.east_nm) < 1.0
    assert abs(bearing_deg(TALLOWBY, here.north_nm, here.east_nm) - 240.0) < 6.0


def test_which_approaches_are_talked_down() -> None:
    assert [is_radar(each) for each in ("surveillance 27", "ASR 27", "ILS 24", "visual")] == [True, True, False, False]


def test_here_is_far_from_every_field() -> None:
    assert all(distance_nm(field, HERE.north_nm, HERE.east_nm) > 10.0 for field in short().fields)
