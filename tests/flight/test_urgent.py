"""What is said at once to trouble: what was copied, the minimum altitude, the nearest field, what is on its way."""

from __future__ import annotations

import pytest

from flight.talk import Talk
from flight.test_plans import over_orrinfell_country

LEAST = "minimum altitude in your area is three thousand"
MAYDAY = "mayday mayday mayday, Larkspur 5304W, vacuum failure in cloud"


def heard(*lines: str) -> str:
    talk = Talk()
    return " ".join(words for line in lines for words in talk.say(line))


@pytest.mark.parametrize("lines", [
    (f"{MAYDAY}, diverting to Wendle",), ("Larkspur 5304W, we are losing control",),
    ("Larkspur 5304W, we are in severe icing, need lower now",),
    ("Larkspur 5304W, picking up moderate rime ice, request lower immediately",),
    ("Larkspur 5304W, any altitude, we cannot hold altitude",), (MAYDAY, "04W, request lower"),
    ("Larkspur 5304W, what is below us, any terrain?",),
])
def test_who_is_left_to_himself_in_cloud_hears_the_minimum_altitude(lines: tuple[str, ...]) -> None:
    said = heard(*lines)
    assert LEAST in said
    assert "altitude wanted" not in said.lower()


def test_a_descent_below_the_minimum_is_the_pilots_own_and_bases_are_read() -> None:
    # 14 CFR 91.3(b)
    said = heard(f"{MAYDAY}, request descent to 2000 to get below the clouds")
    assert f"{LEAST}, below that at your own discretion, bases are reported at one thousand five hundred" in said
    assert "unable" not in said.lower()
    assert said.count("three thousand") == 1


def test_while_turns_are_called_no_heading_is_free() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, request no-gyro vectors to Wendle")
    assert "any heading" not in " ".join(talk.say(MAYDAY)).lower()


@pytest.mark.parametrize("report", ["vacuum failure, partial panel, in cloud", "heading indicator failed",
                                    "electrical failure, in cloud"])
def test_without_a_gyro_for_the_heading_turns_are_offered_before_any_heading(report: str) -> None:
    # AIM 5-4-11
    said = heard(f"Larkspur 5304W, {report}, request vectors to Wendle")
    assert "do you want no-gyro vectors?" in said.lower()
    assert "fly heading" not in said


def test_who_flies_headings_and_then_reports_cloud_is_offered_turns() -> None:
    said = heard("Larkspur 5304W, lost the vacuum pump, request vectors to Wendle", "negative", "04W, we are in cloud")
    assert "do you want no-gyro vectors?" in said.lower()


@pytest.mark.parametrize(("words", "copied"), [
    ("smoke in the cockpit, electrical fire, going to Wendle", "fire and smoke"),
    ("20 minutes of fuel left", "low fuel"), ("we have ice all over the wings", "icing"),
    ("passenger is sick, having a heart attack", "medical emergency"), ("04W is lost", "position unknown"),
    ("the instruments disagree", "instruments unreliable"),
])
def test_trouble_that_is_no_equipment_is_copied_by_its_name(words: str, copied: str) -> None:
    talk = Talk()
    assert f"copy {copied}" in " ".join(talk.say(f"Larkspur 5304W, {words}"))
    assert talk.state.stage == "trouble"
    assert "nature" not in " ".join(talk.wait(60))


@pytest.mark.parametrize("words", ["no smoke, no fire", "three hours of fuel", "was the fire on the ramp yours?"])
def test_what_is_denied_or_asked_is_not_copied(words: str) -> None:
    talk = Talk()
    assert "copy" not in " ".join(talk.say(f"Larkspur 5304W, {words}"))
    assert talk.state.stage == "routine"


@pytest.mark.parametrize(("words", "never"), [
    ("our DG is spinning like a top, request no-gyro vectors", "disorientation"),
    ("alternator failed, have the fire trucks ready", "copy fire"), ("alternator failed, smoke is gone now", "smoke"),
    ("minimum fuel, 25 minutes", "low fuel"),
])
def test_words_that_only_sound_like_trouble_are_not_copied(words: str, never: str) -> None:
    assert never not in heard(f"Larkspur 5304W, {words}")


@pytest.mark.parametrize("words", [
    "moderate rime at seven thousand, request lower immediately", "in ice at six thousand, any chance of lower",
    "ice ice ice, cant hold altitude, 5000, give me lower",
])
def test_where_the_airplane_is_is_not_taken_for_the_altitude_that_is_wanted(words: str) -> None:
    said = heard(f"Larkspur 5304W, {words}")
    assert f"descend at your discretion, {LEAST}" in said.lower()
    assert "maintain" not in said


def test_who_wants_a_block_because_the_air_is_rough_is_no_emergency() -> None:
    said = heard("Larkspur 5304W, unable to hold altitude within 300 feet, request a block five to seven thousand")
    assert "emergency" not in said
    assert "block five thousand through seven thousand approved" in said


def test_without_an_engine_the_nearest_field_is_said_and_nobody_asks_about_altitude() -> None:
    talk = over_orrinfell_country()
    said = " ".join(talk.say("mayday mayday mayday, Larkspur 5304W, engine failure, in cloud, two on board"))
    assert "copy engine failure. nearest field is orrinfell, heading two zero five" in said.lower()
    said = " ".join(talk.say("what is the ceiling there"))
    assert "Orrinfell weather" in said
    assert "Wendle" not in said
    assert "maintain your heading" not in " ".join(talk.wait(120))


def test_who_lands_in_a_field_gets_rescue() -> None:
    said = heard("mayday mayday mayday, Larkspur 5304W, engine failure", "landing in a field")
    assert "rescue services are being sent" in said


@pytest.mark.parametrize("words", ["if we lose comms what should we do?",
                                   "shutting off the master, we will lose radio"])
def test_lost_communication_instructions_are_given(words: str) -> None:
    # 14 CFR 91.185, AIM 6-4-1 and 6-4-2
    said = heard("Larkspur 5304W, diverting to Wendle", f"04W, {words}")
    assert "squawk seven six zero zero" in said
    assert "proceed to Wendle at five thousand" in said


def test_roger_is_said_once_in_a_line() -> None:
    assert heard("Larkspur 5304W, heading indicator failed, unable to turn").lower().count("roger") == 1


@pytest.mark.parametrize("words", [
    "request direct Marston", "we will divert to Marston", "request vectors to Marston",
    "can you take us to Marston field",
])
def test_a_field_that_is_not_known_here_is_asked_for_again(words: str) -> None:
    talk = Talk()
    said = " ".join(talk.say(f"Larkspur 5304W, {words}"))
    assert "unable, Marston not known here. Say again destination" in said
    assert not talk.state.place
    assert "cleared direct Wendle" in " ".join(talk.say("Wendle, 04W"))


def test_a_field_that_radar_does_not_show_near_is_to_be_verified() -> None:
    talk = over_orrinfell_country()
    said = " ".join(talk.say("Larkspur 5304W, airport in sight, request visual approach"))
    assert "verify field in sight, radar shows Orrinfell" in said
    assert "cleared" not in said
