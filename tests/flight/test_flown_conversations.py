"""What demanding pilots have asked for in flown conversations: help twice, another try, a change of frequency."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.clean import Clean
from drill.flight.understanding import answers
from drill.language import read
from drill.scenario.model import Say
from flight.talk import CONTEXT, Talk
from flight.test_plans import over_orrinfell_country


@pytest.mark.parametrize("again", ["help me please", "I am dizzy, help", "help, which way do I turn",
                                   "tell me, I can't tell whether we are turning", "what should I do"])
def test_the_second_cry_for_help_is_answered_with_help_though_the_trouble_has_no_name(again: str) -> None:
    talk = Talk()
    assert "nature" in " ".join(talk.say("Larkspur 5304W, help me please"))
    talk.fly(10.0, turning_dps=-3.0)
    said = " ".join(talk.say(again)).lower()
    assert "radar shows you in a left turn, level the wings by the turn coordinator" in said
    assert "say nature" not in said


@pytest.mark.parametrize("words", ["which way do I turn?", "am I turning? I can't tell", "help me please"])
def test_who_is_in_trouble_need_not_say_whom_he_asks_for_help(words: str) -> None:
    talk = Talk()
    alone = answers(talk.state, words, read(words, CONTEXT), CONTEXT)
    talk.say("Larkspur 5304W, help me please")
    assert not alone
    assert answers(talk.state, words, read(words, CONTEXT), CONTEXT)


def test_who_has_lost_the_horizon_is_not_held_to_his_heading() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, I am disoriented, which way is up")
    said = " ".join(talk.fly(90.0, turning_dps=1.5)).lower()
    assert "verify heading" not in said


@pytest.mark.parametrize(("climb_fpm", "turning_dps", "shows"), [
    (0.0, 0.0, "flying straight, track two four zero, level at five thousand"),
    (-800.0, 0.0, "descending through"), (0.0, 3.0, "in a right turn")])
def test_who_asks_whether_he_is_level_hears_what_radar_shows(climb_fpm: float, turning_dps: float, shows: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, in cloud")
    talk.fly(20.0, climb_fpm=climb_fpm, turning_dps=turning_dps)
    assert shows in " ".join(talk.say("are we level now?"))


def test_which_way_to_turn_in_routine_flight_is_the_way_to_the_assigned_heading() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, level five thousand")
    talk.fly(20.0, turning_dps=3.0)
    assert "turn left heading two four zero" in " ".join(talk.say("which way do I turn?"))


def test_another_approach_is_led_to_also_when_the_first_has_not_begun() -> None:
    talk = over_orrinfell_country()
    talk.say("mayday, Larkspur 5304W, vacuum failure, partial panel, in cloud, request vectors for the surveillance "
             "approach at Orrinfell")
    talk.say("negative")
    said = " ".join(talk.say("04W, request another approach") + talk.wait(10)).lower()
    assert "vectors to orrinfell" in said


def test_who_has_nothing_wrong_may_leave_the_frequency_for_minutes_and_is_left_in_peace() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, level five thousand")
    assert "frequency change approved, advise when back" in " ".join(
        talk.say("request frequency change for two minutes to talk to flight service"))
    assert not talk.wait(100)
    assert talk.say("04W, back with you") == ["Larkspur zero four whiskey, roger."]


def test_who_is_in_trouble_or_steered_stays_on_the_frequency() -> None:
    for before in ("Larkspur 5304W, vacuum failure", "Larkspur 5304W, request vectors to Wendle"):
        talk = Talk()
        talk.say(before)
        assert "remain on this frequency" in " ".join(talk.say("request frequency change"))


@pytest.mark.parametrize("words", ["how do you hear Larkspur 5304W? we had lost our radio",
                                   "Larkspur 5304W is back, we had radio trouble",
                                   "Larkspur 5304W, radio is working again, had a radio failure"])
def test_who_is_heard_again_has_no_radio_failure(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, level five thousand")
    said = " ".join(talk.say(words) + talk.wait(60))
    assert "copy" not in said
    assert "intentions" not in said
    assert talk.state.stage == "routine"


def test_a_radio_that_fails_beside_the_one_in_use_is_copied() -> None:
    assert "copy radio failed" in " ".join(Talk().say("Larkspur 5304W, one radio has failed, request Wendle"))


def test_what_was_asked_in_trouble_is_not_asked_again_once_all_is_well() -> None:
    talk = Talk()
    assert "intentions" in " ".join(talk.say("Larkspur 5304W, alternator failed"))
    talk.say("alternator is back, all is well, 04W")
    assert talk.state.stage == "routine"
    assert "intentions" not in " ".join(talk.wait(90))


def test_who_comes_down_without_power_hears_of_his_discretion_once() -> None:
    talk = Talk()
    said = " ".join(talk.say("mayday, Larkspur 5304W, engine failure, request vectors to Wendle") + talk.wait(15))
    assert said.count("at your discretion") == 1
    more = " ".join(talk.say("what is the ceiling there") + talk.say("say the wind") + talk.say("how far is the field"))
    assert "discretion" not in more
    assert "Tallowby" not in more


@pytest.mark.parametrize("words", ["nearest airport with good weather", "say the nearest airport with good weather",
                                   "the closest field in VFR please"])
def test_the_nearest_field_with_good_weather_is_told_of_and_vectors_are_offered(words: str) -> None:
    talk = over_orrinfell_country()
    said = " ".join(talk.say(f"approach, Larkspur 5304W, {words}") + talk.wait(10))
    assert "Wendle is heading" in said
    assert "Do you want vectors there?" in said
    assert "Tallowby" not in said
    assert "Fly heading" not in said
    assert "vectors to Wendle" in " ".join(talk.say("affirmative, 04W"))


@pytest.mark.parametrize("words", ["any field with a higher ceiling?", "which field has a better ceiling",
                                   "what is the nearest airport with good weather",
                                   "is there a field with good weather"])
def test_a_field_with_better_weather_is_one_field(words: str) -> None:
    talk = over_orrinfell_country()
    said = " ".join(talk.say(f"Larkspur 5304W, {words}") + talk.wait(10))
    assert "Wendle" in said
    assert "Tallowby" not in said


def cleared_direct(track_deg: float = 240.0) -> Talk:
    talk = Talk()
    talk.say("Larkspur 5304W, request direct Wendle")
    talk.radar = replace(talk.radar, track_deg=track_deg)
    return talk


def test_who_is_cleared_direct_and_flies_another_way_is_told_where_the_field_is_and_not_without_end() -> None:
    talk = cleared_direct()
    said = [each for _ in range(30) for each in [*talk.wait(60), *talk.say("roger, 04W")] if "verify direct" in each]
    assert 1 <= len(said) <= 3
    assert "radar shows your track two four zero, Wendle is heading zero eight zero" in said[0]


def test_a_question_that_nobody_answers_does_not_keep_that_back() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, alternator failed, request direct Wendle")
    assert "Wendle is heading" in " ".join(each for each in talk.wait(240) if "radar shows your track" in each)


@pytest.mark.parametrize("words", ["unable to stop the turn", "I can't stop this turn, 04W",
                                   "we cannot level the wings"])
def test_who_cannot_stop_a_turn_is_told_what_to_level_the_wings_by(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, partial panel in cloud, request no-gyro vectors to Wendle")
    talk.fly(12.0, turning_dps=3.0)
    assert "in a right turn, level the wings by the turn coordinator" in " ".join(talk.say(words)).lower()


def test_who_flies_there_is_left_in_peace() -> None:
    assert not [each for each in cleared_direct(track_deg=85.0).wait(300) if "direct" in each]


def test_who_may_hold_is_not_told_that_he_flies_another_way() -> None:
    talk = cleared_direct()
    talk.say("04W, request to hold here for ten minutes")
    assert not [each for each in talk.wait(300) if "verify direct" in each]


@pytest.mark.parametrize(("track_deg", "answer"), [(240.0, "negative"), (80.0, "affirmative")])
def test_who_asks_whether_he_is_on_course_is_told_by_radar(track_deg: float, answer: str) -> None:
    talk = cleared_direct(track_deg=track_deg)
    assert f"{answer}, radar shows your track" in " ".join(talk.say("are we on course?"))


def test_an_altitude_that_has_just_been_given_is_not_followed_by_another_at_once() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors for the surveillance approach at Orrinfell")
    assert "maintain three thousand" in " ".join(talk.say("request three thousand"))
    assert "two thousand six hundred" not in " ".join(talk.wait(25))
    assert "descend and maintain two thousand six hundred" in " ".join(talk.wait(120))


def test_small_talk_is_not_put_again_to_a_pilot_who_has_asked_for_something_since() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, radio check")
    talk.line(Say(Clean("{callsign}, how is the ride at six thousand?"), asks="yes"))
    talk.wait(10)
    talk.say("04W, request direct Wendle")
    assert not [each for each in talk.wait(200) if "how is the ride" in each]
