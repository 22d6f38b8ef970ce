"""An emergency, declared or not: when ATC handles a flight as one, what it frees, and what it does not do to one.

Sources: FAA JO 7110.65 10-1-1 (who believes that there is an emergency handles it as one, though none was declared) and
10-2-1 (the least that is needed, then what is needed as well), by memory; AIM 6-3-2 b (frequency).
"""

from __future__ import annotations

import pytest

from drill.clean import Clean
from drill.scenario.model import Say
from flight.talk import Talk

IN_CLOUD = "Larkspur 5304W, lost the attitude indicator, in cloud, diverting to Wendle"
HANDLED = "handling you as an emergency"
CONTACT = Say(Clean("{callsign}, contact Averholt Approach on one two six point seven."), hands_off=True,
              asks="readback")


def test_a_pilot_without_a_horizon_in_cloud_who_declines_is_handled_as_an_emergency_and_told_once() -> None:
    talk = Talk()
    assert talk.say(IN_CLOUD)[0].endswith("Are you declaring an emergency?")
    said = talk.say("negative, 04W")
    assert said == ["Larkspur zero four whiskey, roger, we are handling you as an emergency all the same, any heading "
                    "and any altitude at your discretion, minimum altitude in your area is three thousand."]
    assert (talk.state.stage, talk.state.told.urgency) == ("handled", "none"), "declining is the pilot's word"
    assert HANDLED not in " ".join(talk.wait(300) + talk.say("04W, still in cloud"))


def test_who_has_declined_before_being_asked_is_not_asked_and_the_answer_comes_first() -> None:
    talk = Talk()
    said = talk.say(f"{IN_CLOUD}, not declaring") + talk.wait(15)
    assert "cleared direct wendle" in said[0].lower()
    assert HANDLED in said[1]
    assert "declaring" not in " ".join(said)


def test_a_partial_panel_in_cloud_is_enough_without_a_word_of_what_has_failed() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, we are partial panel in cloud, diverting to Wendle")
    assert HANDLED in " ".join(talk.say("negative, 04W"))


def test_a_question_that_stays_unanswered_is_not_waited_for_without_end() -> None:
    talk = Talk()
    talk.say(IN_CLOUD)
    assert HANDLED in " ".join(talk.wait(40))


@pytest.mark.parametrize("call", [
    "Larkspur 5304W, I am losing control", "Larkspur 5304W, we cannot hold our altitude, vacuum failure",
    "Larkspur 5304W has lost the vacuum pump, I am disoriented",
])
def test_who_says_that_control_is_going_is_handled_as_an_emergency_at_once(call: str) -> None:
    talk = Talk()
    assert HANDLED in " ".join(talk.say(call) + talk.wait(10))


@pytest.mark.parametrize("call", [
    "Larkspur 5304W, unable to maintain seven thousand", "Larkspur 5304W, we cannot fly the approach",
    "Larkspur 5304W, if we cannot hold altitude we will tell you", "Larkspur 5304W, we are not losing control",
    "Larkspur 5304W has lost the alternator, in cloud, request vectors to Wendle",
    "Larkspur 5304W has lost the vacuum pump, in visual conditions, request vectors to Wendle",
])
def test_what_takes_neither_control_nor_the_horizon_in_cloud_is_left_to_the_pilot(call: str) -> None:
    talk = Talk()
    said = talk.say(call) + talk.say("negative, 04W") + talk.wait(120)
    assert HANDLED not in " ".join(said)


def test_a_no_to_whether_heading_and_altitude_can_be_kept_makes_it_an_emergency() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W has lost the vacuum pump, request vectors to Wendle")
    talk.say("negative, 04W")
    assert "are you able to maintain your heading and altitude?" in " ".join(talk.wait(30))
    assert HANDLED in " ".join(talk.say("negative, 04W"))


def test_wild_flight_on_radar_is_asked_about_and_unexplained_becomes_an_emergency() -> None:
    talk = Talk()
    said = talk.fly(40, climb_fpm=-3000.0, turning_dps=8.0)
    assert "radar shows you descending rapidly. Say nature of the problem" in said[0]
    assert HANDLED in " ".join(said)


def test_wild_flight_is_asked_about_also_when_another_line_waits() -> None:
    talk = Talk()
    talk.fly(8, climb_fpm=-3000.0)
    words = Clean("Thistle 9VR, good day, traffic twelve o'clock, six miles, opposite direction.")
    talk.line(Say(words, voice=Clean("Another")))
    assert any("radar shows you descending rapidly" in each for each in talk.fly(12, climb_fpm=-3000.0))


def test_wild_flight_of_somebody_in_trouble_is_an_emergency_at_once() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W has lost the attitude indicator")
    assert HANDLED in " ".join(talk.fly(20, climb_fpm=-3000.0))


@pytest.mark.parametrize(("climb_fpm", "turning_dps"), [(0.0, 3.0), (-1000.0, 3.0), (1200.0, 0.0)])
def test_turns_at_standard_rate_and_ordinary_climbs_are_not_wild(climb_fpm: float, turning_dps: float) -> None:
    talk = Talk()
    said = " ".join(talk.fly(100, climb_fpm=climb_fpm, turning_dps=turning_dps))
    assert "radar shows you" not in said
    assert talk.state.stage == "routine"


def test_a_leap_of_the_radar_is_not_flown() -> None:
    talk = Talk()
    for feet in (3000.0, -3000.0, 4000.0):
        talk.fly(1, climb_fpm=feet * 60.0)
    assert "rapidly" not in " ".join(talk.fly(20))


def test_handled_as_an_emergency_heading_and_altitude_are_not_watched_any_more() -> None:
    talk = Talk()
    talk.say(IN_CLOUD)
    talk.say("negative, 04W")
    talk.fly(10, climb_fpm=-3600.0 / 2, turning_dps=5.0)
    assert "verify" not in " ".join(talk.wait(300))


def test_who_ends_it_is_not_handled_so_again_for_the_same_reason() -> None:
    talk = Talk()
    talk.say(IN_CLOUD)
    talk.say("negative, 04W")
    assert "emergency cancelled" in " ".join(talk.say("04W, cancel the emergency"))
    assert talk.state.stage == "trouble"
    assert HANDLED not in " ".join(talk.wait(200))
    assert HANDLED in " ".join(talk.say("04W, I am losing control"))


def test_all_well_again_leads_back_to_routine() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, I am losing control")
    talk.say("under control again, no problem, 04W")
    assert talk.state.stage == "routine"


def test_a_hand_off_of_the_scenario_stays_unsaid_in_an_emergency() -> None:
    # AIM 6-3-2 b: no change of frequency in distress unless it cannot be helped
    talk = Talk()
    talk.say("mayday mayday mayday, Larkspur 5304W, vacuum failure")
    talk.line(CONTACT)
    assert "contact" not in " ".join(talk.wait(60))


def test_a_hand_off_that_waits_when_the_emergency_is_declared_is_dropped() -> None:
    talk = Talk()
    talk.line(CONTACT)
    assert "contact" not in " ".join(talk.say("mayday mayday mayday, Larkspur 5304W, vacuum failure"))


def test_a_hand_off_is_said_without_an_emergency_and_taken_back_with_one() -> None:
    talk = Talk()
    talk.line(CONTACT)
    assert "contact Averholt Approach" in talk.wait(5)[0]
    assert "Remain on this frequency" in " ".join(talk.say("mayday mayday mayday, Larkspur 5304W, vacuum failure"))


def test_a_pilot_unable_to_change_frequency_remains() -> None:
    talk = Talk()
    talk.line(CONTACT)
    talk.wait(10)
    said = talk.say("unable frequency change, remaining with you, Larkspur 5304W")
    assert said == ["Larkspur five three zero four whiskey, roger, remain on this frequency."]


def test_in_an_emergency_a_frequency_change_is_not_approved_and_after_cancelled_ifr_it_is() -> None:
    talk = Talk()
    talk.say("mayday mayday mayday, Larkspur 5304W, vacuum failure")
    assert "remain on this frequency" in " ".join(talk.say("04W, request frequency change"))
    other = Talk()
    other.say("Larkspur 5304W is in visual conditions, cancel IFR")
    assert "frequency change approved" in " ".join(other.say("04W, request frequency change"))


def test_on_the_ground_nobody_is_asked_about_an_emergency_nor_about_control() -> None:
    talk = Talk()
    talk.radar = talk.radar.__class__(0.0, 0.0, 400.0, 240.0, on_ground=True)
    said = talk.say("Larkspur 5304W, vacuum failure, request return to the ramp") + talk.wait(120)
    assert not any(each in " ".join(said) for each in ("declaring", "able to maintain", "IMC", "fuel", "people"))


def test_a_busy_controller_stands_by_a_request_and_comes_back_to_it() -> None:
    talk = Talk("busy")
    assert talk.say("Orrinfell Approach, Larkspur 5304W, request climb to seven thousand") == [
        "Larkspur five three zero four whiskey, stand by."]
    said = talk.wait(40)
    assert said == ["Larkspur zero four whiskey, climb and maintain seven thousand."]


@pytest.mark.parametrize("call", [
    "mayday mayday mayday, Larkspur 5304W, vacuum failure, request vectors to Wendle",
    "Larkspur 5304W has lost the vacuum pump, request vectors to Wendle", "Larkspur 5304W, I am losing control",
])
def test_a_busy_controller_never_stands_by_somebody_in_trouble(call: str) -> None:
    talk = Talk("busy")
    said = talk.say(call)
    assert said
    assert "stand by" not in " ".join(said)
