"""The voice of ATC: what it answers, what it asks, what it notices."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.flight import controller
from drill.flight.events import Assigned, Event, Heard
from drill.flight.phraseology import spoken_callsign
from drill.flight.stages import NO_PLAN
from drill.flight.weather import field_position
from drill.language import read_call
from drill.language.meaning import Call, Transmit
from drill.scenario.model import Say
from flight.flights import begun, of, short
from flight.talk import CONTEXT, HERE, Talk


def test_callsigns_are_spelled_and_shortened_to_three_characters() -> None:
    # AIM 4-2-4: prefix and last three characters, after communication is established
    assert spoken_callsign("Larkspur 5304W", short=False) == "Larkspur five three zero four whiskey"
    assert spoken_callsign("Larkspur 5304W", short=True) == "Larkspur zero four whiskey"


def test_a_call_with_nothing_but_a_name_is_told_to_go_ahead() -> None:
    assert Talk().say("Orrinfell Approach, Larkspur 5304W") == ["Larkspur five three zero four whiskey, go ahead."]


def test_a_complete_report_is_asked_only_whether_it_is_an_emergency() -> None:
    talk = Talk()
    said = talk.say(
        "Orrinfell Approach, Larkspur 5304W, vacuum failure, request vectors to Wendle")
    assert len(said) == 1
    assert said[0].endswith("Are you declaring an emergency?")
    assert "say" not in said[0].lower().split()


@pytest.mark.parametrize(("call", "question"), [
    ("we have lost the vacuum pump", "say callsign"),
    ("Larkspur 5304W, pan-pan, pan-pan, pan-pan", "say nature of the problem"),
    ("Larkspur 5304W has lost the vacuum pump", "say intentions"),
])
def test_what_is_missing_is_asked_for_one_thing_at_a_time_in_its_order(call: str, question: str) -> None:
    said = " ".join(Talk().say(call)).lower()
    assert question in said
    assert sum(each in said for each in ("say callsign", "say nature", "say intentions", "declaring")) == 1


def test_calls_add_up_and_nothing_is_asked_twice_that_has_been_told() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W has lost the vacuum pump")
    said = " ".join(talk.say("04W would like vectors to Wendle"))
    assert "intentions" not in said
    assert "callsign" not in said
    assert "declaring an emergency" in said


def test_whether_it_is_an_emergency_is_asked_once() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W has lost the vacuum pump, request vectors to Wendle")
    talk.say("negative, 04W")
    assert "declaring" not in " ".join(talk.say("04W, we are partial panel") + talk.wait(120))


def test_a_yes_to_the_question_declares_the_emergency() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W has lost the vacuum pump, request vectors to Wendle")
    said = talk.say("affirmative, 04W")
    assert talk.state.told.urgency == "emergency"
    assert "any heading and any altitude at your discretion, minimum altitude in your area" in said[0]


def test_a_yes_to_nothing_declares_nothing() -> None:
    talk = Talk()
    talk.say("affirmative, Larkspur 5304W")
    assert talk.state.told.urgency == "none"


def test_an_emergency_once_declared_is_not_asked_about() -> None:
    said = Talk().say("mayday mayday mayday, Larkspur 5304W, vacuum failure in cloud, request vectors to Wendle")
    assert "declaring" not in " ".join(said)
    assert "roger mayday" in said[0]


def test_fuel_and_people_are_asked_once_when_the_first_rush_is_over() -> None:
    talk = Talk()
    first = talk.say("Larkspur 5304W, mayday, vacuum failure, request vectors to Wendle, two on board")
    assert "fuel" not in " ".join(first)
    later = " ".join(talk.wait(240))
    assert later.count("fuel remaining") == 1
    assert "people on board" not in later
    assert "fuel" not in " ".join(talk.wait(240))


def test_an_altitude_above_the_minimum_is_approved_and_assigned() -> None:
    talk = Talk()
    said = talk.say("Larkspur 5304W requests climb to seven thousand")
    assert "climb and maintain seven thousand" in said[0]
    assert talk.state.altitude_ft == 7000


def test_an_altitude_below_the_minimum_is_refused_with_the_minimum() -> None:
    talk = Talk()
    said = talk.say("Larkspur 5304W requests descent to two thousand")
    assert "unable two thousand, minimum altitude three thousand" in said[0]
    assert talk.state.altitude_ft == 5000


def test_an_altitude_that_such_an_airplane_does_not_reach_is_refused() -> None:
    talk = Talk()
    said = talk.say("Larkspur 5304W requests climb to two five thousand")
    assert said == ["Larkspur five three zero four whiskey, unable flight level two five zero. Say altitude wanted."]


def test_vectors_are_given_from_where_radar_sees_the_airplane() -> None:
    talk = Talk()
    said = talk.say("Larkspur 5304W requests vectors to Wendle")
    assert "fly heading zero eight zero, vectors to Wendle. Wendle weather: sky clear" in said[0]
    assert talk.state.heading_deg == 80


def test_the_weather_of_the_place_asked_about_is_read_and_no_other() -> None:
    said = Talk().say("Orrinfell Approach, Larkspur 5304W, what's the weather at Wendle?")
    assert "Wendle weather" in said[0]
    assert "Tallowby" not in said[0]


def test_visual_conditions_are_where_the_weather_has_them() -> None:
    assert "Wendle" in " ".join(Talk().say("Larkspur 5304W requests vectors to VFR conditions"))


def test_a_wrong_read_back_is_caught() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests vectors to Wendle")
    assert "negative, heading zero eight zero" in " ".join(talk.say("heading one eight zero, Larkspur 04W"))


def test_a_right_read_back_is_left_in_peace() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests vectors to Wendle")
    assert talk.say("heading zero eight zero, Larkspur 04W") == []


def test_say_again_brings_the_last_words_again() -> None:
    talk = Talk()
    first = talk.say("Larkspur 5304W requests climb to seven thousand")
    assert talk.say("say again, 04W")[:1] == first


@pytest.mark.parametrize(("wish", "answer"), [
    ("request hold at present position", "hold where you are approved, left or right turns"),
    ("request block altitude five to six thousand", "block five thousand through six thousand approved"),
    ("request priority handling", "you have priority"),
    ("say the weather at Tallowby", "Tallowby weather: ceiling seven hundred, visibility two"),
    ("request lower", "say altitude wanted"),
])
def test_wishes_are_granted_or_asked_about(wish: str, answer: str) -> None:
    assert answer.lower() in " ".join(Talk().say(f"Orrinfell Approach, Larkspur 5304W, {wish}")).lower()


def test_near_the_field_that_was_asked_for_an_approach_is_cleared_once() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests vectors to Wendle")
    north, east = field_position(short().fields[1])
    talk.radar = replace(HERE, north_nm=north - 9.0, east_nm=east, track_deg=0.0)
    said = " ".join(talk.wait(120))
    assert said.count("report the field in sight") == 1
    assert talk.state.approach is None
    assert "cleared visual approach" in talk.say("field in sight, 04W")[0]
    assert talk.state.approach == "visual"


def test_unable_is_answered_by_asking_for_intentions() -> None:
    assert "say intentions" in " ".join(Talk().say("unable, Larkspur 5304W")).lower()


def test_standby_is_given_half_a_minute_of_quiet() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W has lost the vacuum pump, request vectors to Wendle")
    assert talk.say("standby, 04W") + talk.wait(14) == []


def test_somebody_elses_callsign_is_questioned() -> None:
    assert Talk().say("Orrinfell Approach, Bramble 71K, request climb") == ["station calling, say again your callsign."]
    assert "roger mayday, say again your callsign" in Talk().say("mayday, Bramble 71K, vacuum failure")[0]


def test_a_few_words_on_the_nature_of_the_problem_name_it() -> None:
    talk = Talk()
    talk.say("mayday mayday mayday, Larkspur 5304W")
    talk.say("vacuum pump, 04W")
    assert talk.state.told.equipment == {"vacuum_system"}


def test_the_same_words_unasked_report_nothing() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W")
    talk.say("vacuum pump, 04W")
    assert not talk.state.told.equipment


def test_a_bare_altitude_answers_the_question_for_it() -> None:
    talk = Talk()
    assert talk.say("Larkspur 5304W, request higher")[0].lower().endswith("say altitude wanted.")
    assert "climb and maintain eight thousand" in talk.say("eight thousand, 04W")[0]
    assert talk.state.altitude_ft == 8000


def test_on_top_is_above_the_reported_tops() -> None:
    talk = Talk()
    said = talk.say("Larkspur 5304W, request climb to VFR on top")
    assert "climb to and report reaching VFR on top, tops are reported at seven thousand two hundred" in said[0]
    assert "If not on top at eight thousand, maintain eight thousand and advise" in said[0]   # FAA JO 7110.65 7-3-1


def test_a_busy_controller_takes_longer() -> None:
    quick, slow = Talk(), Talk("busy")
    for talk in (quick, slow):
        call = read_call("Larkspur 5304W requests climb to seven thousand", CONTEXT)
        talk.state = controller.hear(talk.state, call)
    assert quick.wait(5.0)
    assert slow.wait(5.0) == []
    assert slow.wait(6.0)


def test_an_airplane_that_leaves_its_altitude_is_asked_about_it() -> None:
    talk = Talk()
    talk.radar = replace(HERE, altitude_ft=5350.0)
    assert talk.wait(19) == []
    said = [words for words in talk.wait(100) if "verify altitude" in words]
    assert len(said) == 1
    assert "radar shows five thousand four hundred, you are assigned five thousand" in said[0]


def test_an_airplane_on_its_way_to_a_new_altitude_is_left_alone() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests climb to eight thousand")
    said: list[str] = []
    for second in range(300):
        talk.radar = replace(HERE, altitude_ft=min(8000.0, 5000.0 + second * 500 / 60))
        said += talk.wait(1.0)
    assert said == []


def test_an_airplane_off_its_heading_is_asked_about_it_at_most_every_two_minutes() -> None:
    talk = Talk()
    talk.radar = replace(HERE, track_deg=280.0)
    said = [words for words in talk.wait(230) if "verify heading" in words]
    assert len(said) == 2


def test_a_pilot_who_never_answers_is_asked_three_times_and_then_left_until_the_next_call() -> None:
    talk = Talk()
    talk.radar = replace(HERE, altitude_ft=5400.0)
    assert sum("verify altitude" in words for words in talk.wait(1500)) == 3
    talk.say("Larkspur 5304W")
    assert any("verify altitude" in words for words in talk.wait(300))


def test_an_altitude_at_the_pilots_discretion_is_not_watched() -> None:
    talk = Talk()
    line = Say("{callsign}, descend at your discretion.", at_discretion=True)  # type: ignore[arg-type]
    talk.state = controller.say(talk.state, line, talk.t)
    talk.radar = replace(HERE, altitude_ft=3800.0)
    assert "verify" not in " ".join(talk.wait(300))


def test_a_pilot_who_says_that_it_is_no_emergency_is_not_asked_whether_it_is() -> None:
    talk = Talk()
    words = "Larkspur 5304W, not declaring, lost the attitude indicator, partial panel, request vectors to Wendle"
    assert "declaring" not in " ".join([*talk.say(words), *talk.wait(120)])


def test_after_a_diversion_headings_are_the_pilots_affair() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, mayday, vacuum failure, request vectors to Wendle, two on board, fuel three hours")
    talk.radar = replace(HERE, track_deg=150.0)
    assert "verify" not in " ".join(talk.wait(200))


def test_below_the_minimum_altitude_there_is_an_alert() -> None:
    talk = Talk()
    talk.radar = replace(HERE, altitude_ft=2500.0)
    assert ("low altitude alert, check your altitude immediately, minimum altitude in your area is three thousand"
            in talk.wait(5)[0])


def test_in_flight_a_new_assignment_is_recorded() -> None:
    flight, _ = begun()
    flight.act(Transmit("Orrinfell Approach, Larkspur 5304W requests climb to seven thousand"))
    events: Sequence[Event] = flight.advance(30.0)
    assert [each.altitude_ft for each in of(Assigned, events)] == [7000]
    assert "climb and maintain seven thousand" in of(Heard, events)[0].words


VECTORS = {"vectors", "no_gyro_vectors"}   # and where to is still to be asked
_WORDS = ("Larkspur 5304W", "mayday", "vacuum pump failed", "request vectors to Wendle", "no-gyro vectors", "say again",
          "unable", "standby", "affirmative", "request lower", "two on board", "fuel one hour", "heading 300", "roger")


@settings(deadline=None, max_examples=60)
@given(st.lists(st.lists(st.sampled_from(_WORDS), min_size=1, max_size=4), max_size=6))
def test_whatever_is_said_no_question_is_for_what_has_been_told(calls: list[list[str]]) -> None:
    talk = Talk()
    for words in calls:
        answers = talk.say(", ".join(words))
        told = talk.state.told
        for said in answers if "say again" not in words else ():
            assert not (said.endswith("ay callsign.") and told.callsign)
            assert not ("ay intentions." in said and told.assistance - NO_PLAN - VECTORS and "unable" not in words)
            assert not ("declaring" in said and told.urgency != "none")
            assert not ("fuel remaining" in said and told.fuel)
            assert not ("people on board" in said and told.souls)


def test_the_state_of_the_controller_begins_with_the_clearance() -> None:
    state = controller.begin(short())
    assert (state.heading_deg, state.altitude_ft, state.told.calls) == (240.0, 5000.0, 0)


def test_words_without_meaning_from_nobody_are_asked_for_a_callsign_and_from_a_known_pilot_to_be_said_again() -> None:
    talk = Talk()
    talk.state = controller.hear(talk.state, Call("mumble"))
    assert talk.wait(10) == ["aircraft calling, say callsign."]
    talk.say("Larkspur 5304W")
    talk.state = controller.hear(talk.state, Call("mumble"))
    assert talk.wait(10) == ["Larkspur zero four whiskey, say again."]


def test_each_line_of_his_says_what_it_wants_of_the_pilot() -> None:
    talk = Talk()
    talk.say("approach Larkspur 5304W, vacuum failure, partial panel in cloud, request vectors to Wendle")
    talk.wait(60.0)
    wanted = dict(talk.wanted)
    assert {wants for wants in wanted.values() if wants} <= {
        "no_gyro", "emergency", "reply", "readback", "turn", "given", "intentions"}
    assert all(wants for words, wants in wanted.items() if words.endswith("?"))
    assert any("no-gyro vectors?" in words and wants == "no_gyro" for words, wants in wanted.items())
