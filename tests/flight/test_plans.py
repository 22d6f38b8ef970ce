"""What is asked for is what is granted; and what belongs to a plan that is given up is not said any more."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.flight import controller
from drill.language import read_call
from drill.scenario.model import Say
from flight.talk import CONTEXT, HERE, Talk
from flight.test_final import cruise


def over_orrinfell_country() -> Talk:
    """A talk on the route of the cruise, where Orrinfell has a surveillance approach and Tallowby has not."""
    talk = Talk()
    talk.scenario = cruise()
    talk.state = controller.begin(talk.scenario)
    talk.radar = replace(HERE, altitude_ft=6000.0)
    return talk


@pytest.mark.parametrize("words", [
    "six to eight thousand", "six thousand to eight thousand", "6000 to 8000", "six thousand through eight thousand",
    "between six and eight thousand", "six to eight", "eight thousand down to six thousand",
])
def test_a_block_of_altitudes_is_the_one_that_was_asked_for(words: str) -> None:
    said = Talk().say(f"Larkspur 5304W, request block altitude {words}")
    assert "block six thousand through eight thousand approved" in " ".join(said)


def test_a_block_begins_at_the_minimum_altitude_at_least_and_has_a_thousand_feet_if_none_are_named() -> None:
    talk = Talk()
    assert "block three thousand through five thousand" in " ".join(
        talk.say("Larkspur 5304W, request block altitude two to five thousand"))
    assert "block five thousand through six thousand" in " ".join(talk.say("04W, request block altitude"))


@pytest.mark.parametrize("words", ["on top at 7500, cancel IFR", "on top, cancel IFR"])
def test_an_altitude_that_radar_does_not_show_is_asked_about_before_ifr_is_cancelled(words: str) -> None:
    # radar shows the layer that has been reported: common practice, no source
    talk = over_orrinfell_country()
    assert "verify altitude, radar shows six thousand" in " ".join(talk.say(f"Larkspur 5304W, {words}"))
    assert "verify you are in visual conditions" in " ".join(talk.say("affirmative, 04W"))
    assert "IFR cancellation received" in " ".join(talk.say("affirmative, 04W"))


def test_who_then_says_that_he_is_in_cloud_keeps_his_clearance() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, on top at 7500, cancel IFR")
    assert "IFR clearance remains in effect" in " ".join(talk.say("negative, we are in cloud, 04W"))


def test_after_turns_at_his_discretion_nobody_is_asked_to_verify_a_heading() -> None:
    for words in ("{callsign}, any altitude, any heading.", "{callsign}, turns at your discretion."):
        talk = Talk()
        talk.line(Say(Clean(words)))
        talk.wait(10)
        talk.fly(20, turning_dps=5.0)
        assert "verify heading" not in " ".join(talk.wait(200))
        assert talk.state.heading_deg is None


@pytest.mark.parametrize("words", ["request PAR approach", "request a radar approach at Tallowby"])
def test_without_a_radar_approach_there_the_surveillance_approach_of_a_field_that_has_one_is_offered(
        words: str) -> None:
    talk = over_orrinfell_country()
    said = " ".join(talk.say(f"Larkspur 5304W, {words}"))
    assert "surveillance approach available at Orrinfell" in said
    assert "vectors" not in said
    assert "vectors to Orrinfell, expect a radar approach" in " ".join(talk.say("affirmative, 04W"))
    assert talk.state.radar_approach


def test_what_waits_to_be_said_for_a_plan_that_is_given_up_is_dropped_with_its_altitude() -> None:
    talk = over_orrinfell_country()
    context = talk.scenario.context
    talk.state = controller.hear(talk.state, read_call("Larkspur 5304W is diverting to Wendle", context))
    talk.wait(12)
    was = talk.state.altitude_ft
    talk.line(Say(Clean("{callsign}, climb and maintain eight thousand."), altitude_ft=8000.0))
    talk.state = replace(talk.state, frequency_free_s=talk.t + 5.0)
    talk.wait(2)
    words = "04W, actually scratch that, we'll go to Orrinfell"
    talk.state = controller.hear(talk.state, read_call(words, context))
    said = " ".join(talk.wait(30))
    assert "eight thousand" not in said
    assert "Orrinfell" in said
    assert talk.state.altitude_ft == was


def test_a_wrong_read_back_is_corrected_before_all_else_that_waits() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests vectors to Wendle")
    for words in ("{callsign}, traffic two o'clock, six miles.", "{callsign}, the tops are at seven thousand."):
        talk.line(Say(Clean(words)))
    talk.state = controller.hear(talk.state, controller.understood(
        talk.state, read_call("heading one seven zero, 04W", CONTEXT), CONTEXT))
    assert "negative, heading zero eight zero" in talk.wait(6)[0]


def test_an_altitude_that_an_answer_has_just_given_is_not_given_by_the_scenario_as_well() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests climb to eight thousand")
    talk.line(Say(Clean("{callsign}, climb and maintain eight thousand, or as you need. Nobody is in your way."),
                  altitude_ft=8000.0))
    assert talk.wait(20) == ["Larkspur zero four whiskey, nobody is in your way."]
    assert talk.state.altitude_ft == 8000.0


def test_who_diverts_in_cloud_without_a_heading_instrument_is_offered_no_gyro_vectors() -> None:
    talk = over_orrinfell_country()
    said = talk.say("Larkspur 5304W, attitude and heading indicators out, in cloud, diverting to Orrinfell")
    assert "do you want no-gyro vectors?" in " ".join(said).lower()
    said = talk.say("04W, request vectors to Orrinfell")
    assert "no-gyro vectors to Orrinfell" in " ".join(said)
    assert "heading zero" not in " ".join(said)
