"""What pilots ask of a controller in their own words: told, recommended, asked back; not sent where they never wanted.

The order of what is asked, and that a field is recommended: FAA JO 7110.65 10-2-1 and 10-2-15, from memory. All else is
common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.replying import YES_OR_NO
from flight.talk import HERE, Talk
from flight.test_open_question import is_sent
from flight.test_plans import over_orrinfell_country

IN_TROUBLE = "Larkspur 5304W, vacuum failure, partial panel, in cloud at six thousand"


def told(words: str, *before: str) -> str:
    """What is said to `words` after the lines before."""
    talk = over_orrinfell_country()
    for each in before or ("Larkspur 5304W, level six thousand",):
        talk.say(each)
    return " ".join(talk.say(words))


@pytest.mark.parametrize("help_", ["vectors", "no-gyro vectors"])
def test_who_is_in_trouble_and_wants_vectors_is_asked_where_to_and_not_sent_to_his_clearance_limit(help_: str) -> None:
    said = told(f"request {help_}", IN_TROUBLE)
    assert "say intentions" in said.lower()
    assert "Tallowby" not in said


def test_the_vectors_that_were_asked_for_are_given_to_the_place_that_is_named_then() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, alternator failed")
    talk.say("request vectors")
    assert "fly heading zero eight zero, vectors to Wendle" in " ".join(talk.say("Wendle, 04W"))


def test_who_wants_vectors_again_and_still_says_no_place_is_recommended_one() -> None:
    said = told("request vectors", IN_TROUBLE, "request vectors")
    assert "Wendle is heading" in said
    assert "Do you want vectors to Wendle?" in said


def test_who_is_asked_in_vain_where_to_is_recommended_a_field() -> None:
    talk = over_orrinfell_country()
    talk.say(IN_TROUBLE)
    talk.say("request vectors")
    said = " ".join(talk.wait(200))
    assert said.count("Do you want vectors to Wendle?") == 1


def test_who_has_nothing_wrong_is_vectored_to_his_clearance_limit() -> None:
    assert "vectors to Tallowby" in told("request vectors")


@pytest.mark.parametrize("words", ["what do you suggest", "uh what have you got for us, 04W", "where should we go?",
                                   "which airport is best for us", "give us a recommendation"])
def test_who_asks_what_to_do_hears_of_the_field_with_the_best_weather_and_of_the_nearer_one(words: str) -> None:
    said = told(words, IN_TROUBLE)
    assert "Wendle weather: Sky clear" in said
    assert "Orrinfell is nearer, one six miles, surveillance" in said
    assert said.endswith("Do you want vectors to Wendle?")


def test_a_facility_is_called_like_its_field_and_the_field_is_meant_all_the_same() -> None:
    said = told("Orrinfell", IN_TROUBLE)
    assert "Orrinfell is heading" in said


@pytest.mark.parametrize(("words", "answer", "never"), [
    ("how far is the nearest VFR airport", "Wendle is heading", "Orrinfell"),
    ("how long will the vectors take", "Tallowby is heading", "fly heading"),
    ("which way is the better weather", "Wendle weather", "fly heading"),
    ("is the surveillance approach available", "Orrinfell is heading", "fly heading"),
    ("where's the best weather", "Wendle weather", "Tallowby weather"),
    ("how far is the nearest VFR weather", "Wendle is heading", "Tallowby"),
    ("request to cancel IFR when we're VMC", "remains in effect, advise when ready to cancel", "cancellation received"),
    ("nearest VMC", "Wendle is heading", "Orrinfell"),
    ("which field has radar?", "one six miles, surveillance runway two seven", "say again"),
    ("am I still on course", "affirmative, radar shows your track two four zero, Tallowby", "Orrinfell"),
    ("how many miles to go", "Tallowby is heading", "Orrinfell"),
    ("what's the MDA at Orrinfell", "minimums one thousand forty", "say again"),
    ("what's the elevation at Orrinfell", "Orrinfell elevation four hundred fifty", "say again"),
    ("what are the winds aloft", "winds aloft two seven zero at two zero", "Orrinfell wind"),
    ("what frequency is Wendle tower", "other frequencies not on hand", "frequency change approved"),
    ("what is our altitude readout", "radar shows six thousand", "say again"),
    ("which fields have radar?", "one six miles, surveillance runway two seven", "Wendle"),
    ("what's the MEA here", "minimum altitude two thousand six hundred", "say again"),
    ("how high do I have to be to be safe?", "minimum altitude two thousand six hundred", "say again"),
    ("are there any mountains ahead?", "minimum altitude in your area is two thousand six hundred", "say again"),
    ("when can we expect further clearance?", "no delay expected", "say again"),
    ("any delays into Tallowby?", "no delay expected", "cleared direct"),
    ("how many aircraft are ahead of us", "no delay expected", "say again"),
    ("what's the expected approach at Tallowby", "approaches at Tallowby: ILS runway two four", "cleared direct"),
    ("is there a shop at Wendle?", "unable, that information is not on hand", "cleared direct"),
    ("what are the fire services at Tallowby", "unable, that information is not on hand", "rescue"),
    ("will you stay with us?", "affirmative, staying with you", "say again"),
])
def test_what_is_only_asked_about_is_told_and_nothing_is_granted_with_it(words: str, answer: str, never: str) -> None:
    said = told(words)
    assert answer in said
    assert never.lower() not in said.lower()


@pytest.mark.parametrize(("words", "answers"), [
    ("can we descend to five thousand and is there any ice reported", ["maintain five thousand", "reports of icing"]),
    ("can you turn us toward Orrinfell and what's the weather at Orrinfell and Wendle",
     ["vectors to Orrinfell", "Orrinfell weather", "Wendle weather"]),
    ("request vectors to Wendle, and how far is it?", ["vectors to Wendle", "two four miles"]),
    ("are we in radar contact and what's our ground speed", ["radar contact", "groundspeed"]),
    ("request a radio check and the altimeter", ["loud and clear", "altimeter two niner niner zero"]),
    ("request direct Wendle and lower", ["cleared direct Wendle", "Say altitude wanted"]),
    ("vectors to Wendle, and what are the tops?", ["vectors to Wendle", "elsewhere at seven thousand two hundred"]),
])
def test_each_thing_that_one_call_asks_for_is_answered(words: str, answers: list[str]) -> None:
    said = told(words)
    assert [each for each in answers if each.lower() not in said.lower()] == []


@pytest.mark.parametrize("words", ["is the lighting at Tallowby on?", "who is the traffic",
                                   "is anyone above the clouds"])
def test_a_question_that_he_does_not_understand_is_not_acknowledged(words: str) -> None:
    said = told(words)
    assert "say again" in said or "traffic" in said
    assert "roger" not in said


@pytest.mark.parametrize(("words", "answer"), [
    ("request a 360 to the right", "right three sixty approved"),
    ("request left turn to one eight zero", "left turn heading one eight zero approved"),
    ("request a one eighty", "turn left heading zero six zero"),
    ("turn us around", "turn left heading zero six zero"),
    ("request direct", "cleared direct Tallowby"), ("turn us back to Wendle", "vectors to Wendle"),
    ("we would like to change our destination to Wendle", "cleared direct Wendle"),
    ("get us on the ground as soon as possible", "vectors to Orrinfell"),
    ("request descent below the clouds", "unable below two thousand six hundred, bases are reported at one thousand"),
])
def test_wishes_in_other_words_are_granted_or_refused(words: str, answer: str) -> None:
    assert answer in told(words)


@pytest.mark.parametrize("words", ["groundspeed seven eight knots, 04W", "ground speed 78 knots"])
def test_who_says_his_ground_speed_has_not_asked_for_it(words: str) -> None:
    assert "radar shows your groundspeed" not in told(words)


def test_there_is_the_place_that_is_offered() -> None:
    talk = over_orrinfell_country()
    talk.say(IN_TROUBLE)
    talk.say("where is the nearest VFR")
    said = " ".join(talk.say("ok give us vectors there"))
    assert "Wendle" in said
    assert "Tallowby" not in said


def test_weather_that_was_read_a_minute_ago_is_not_read_again_with_the_vectors() -> None:
    talk = over_orrinfell_country()
    assert "Wendle weather" in " ".join(talk.say("Larkspur 5304W, say the weather at Wendle"))
    assert "Wendle weather" not in " ".join(talk.say("request vectors to Wendle"))


@pytest.mark.parametrize("words", ["negative, correction, make that Orrinfell", "correction, make that Orrinfell"])
def test_a_corrected_destination_is_the_destination(words: str) -> None:
    talk = over_orrinfell_country()
    talk.say(IN_TROUBLE)
    talk.say("request vectors to Wendle")
    said = " ".join(talk.say(words))
    assert "Orrinfell" in said
    assert talk.state.place == "Orrinfell"


def test_who_is_led_there_and_names_his_approach_is_led_on() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, alternator failed, request vectors to Tallowby")
    said = " ".join(talk.say("request the ILS at Tallowby"))
    assert "vectors to Tallowby, expect ILS runway two four approach" in said
    assert "cleared direct" not in said


def test_a_no_to_the_emergency_is_no_answer_to_whether_heading_and_altitude_are_kept() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, alternator failed, request vectors to Wendle")
    said = talk.wait(120)
    assert any("maintain your heading and altitude" in each for each in said)
    talk.say("negative on the emergency, request Wendle")
    assert talk.state.control == ""
    assert talk.state.stage == "trouble"


@pytest.mark.parametrize("words", ["my passenger is feeling really sick", "my wife feels very ill"])
def test_somebody_ill_is_the_nature_and_nobody_is_asked_whether_the_airplane_can_be_held(words: str) -> None:
    talk = Talk()
    said = " ".join(talk.say(f"Larkspur 5304W, {words}, request direct Wendle") + talk.wait(200))
    assert "copy medical emergency" in said
    assert "say nature" not in said.lower()
    assert "able to maintain your heading" not in said


def test_two_calls_that_only_want_to_be_acknowledged_are_acknowledged_once() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, alternator failed, request direct Wendle")
    for words in ("negative, 04W", "six thousand, 04W"):
        talk.hear(words)
    assert sum("roger" in each for each in talk.wait(20)) <= 1


def test_a_false_alarm_leaves_nothing_wrong() -> None:
    talk = Talk()
    talk.say(IN_TROUBLE)
    talk.say("it was a false alarm, everything's fine")
    assert talk.state.stage == "routine"


def test_the_descent_waits_for_the_read_back_of_the_heading_before_it() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, alternator failed, request vectors for the surveillance approach at Orrinfell")
    assert not any("descend and maintain" in each for each in talk.wait(4))


def test_an_airplane_that_flies_away_beside_its_final_is_led_round_again() -> None:
    talk = over_orrinfell_country()
    talk.say("Larkspur 5304W, request vectors for the surveillance approach at Orrinfell")
    talk.state = replace(talk.state, leg="final", side=1.0)
    talk.radar = replace(HERE, north_nm=10.0, east_nm=0.0, track_deg=40.0, altitude_ft=3000.0)
    talk.wait(3)
    assert talk.state.leg != "final"


def test_what_a_pilot_has_asked_is_answered_before_the_next_turn_is_called() -> None:
    talk = Talk()
    talk.say(IN_TROUBLE.replace("six", "five"))
    talk.say("request no-gyro vectors to Wendle")
    talk.wait(60)
    said = talk.say("are we turning?")
    assert "radar shows you flying straight" in said[0]


def test_nobody_in_trouble_is_asked_for_his_fuel_while_he_turns() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, mayday, alternator failed, request direct Wendle")
    assert "fuel" not in " ".join(talk.fly(100.0, turning_dps=2.0))
    assert "fuel" in " ".join(talk.fly(200.0))


@pytest.mark.parametrize("words", ["standard rate, on your word, 04W", "make all turns standard rate, 04W"])
def test_who_says_back_what_he_was_told_needs_no_roger(words: str) -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, mayday, vacuum failure, in cloud, request no-gyro vectors to Wendle")
    while "on my word" not in talk.state.last_words:
        talk.wait(1.0)
    assert "roger" not in " ".join(talk.say(words.replace("on your word, ", "")))


def test_a_question_that_is_not_understood_is_to_be_said_again_and_then_plainly_declined() -> None:
    talk = over_orrinfell_country()
    talk.say(IN_TROUBLE)
    assert "say again your request" in talk.say("who invented this airplane?")[0]
    assert "unable, that information is not on hand" in talk.say("who invented this airplane?")[0]


@pytest.mark.parametrize("words", ["what's the color of your scope?", "how many of you are there"])
def test_a_question_is_not_acknowledged_while_he_waits_for_a_yes_or_no(words: str) -> None:
    talk = over_orrinfell_country()
    talk.say(f"{IN_TROUBLE}, request vectors to Wendle")
    assert talk.state.question in YES_OR_NO
    assert "say again your request" in talk.say(words)[0]


@pytest.mark.parametrize("words", [
    "what are my options?", "what would you do?", "which fields have radar?", "any traffic?", "what is the MEA?",
    "if we lose the radio, what do you want us to do?", "how long will it take?",
    "when can we expect further clearance?"])
def test_a_question_that_only_he_can_answer_needs_no_address(words: str) -> None:
    talk = over_orrinfell_country()
    talk.say(IN_TROUBLE)
    assert is_sent(talk, words)
    assert "say again" not in " ".join(talk.say(words))


@pytest.mark.parametrize("words", ["cover the attitude indicator", "what is the suction?", "check the ammeter",
                                   "if the suction is low cover the attitude indicator", "hold heading"])
def test_an_order_or_a_look_of_the_cockpit_does_not_go_out(words: str) -> None:
    talk = over_orrinfell_country()
    talk.say(IN_TROUBLE)
    assert not is_sent(talk, words)


@pytest.mark.parametrize("words", ["request the ILS", "we would like the ILS approach", "can we have the ILS"])
def test_who_wants_an_approach_and_names_no_field_gets_it_where_he_is_cleared_to(words: str) -> None:
    said = told(words)
    assert "expect ILS runway two four approach" in said
    assert "Tallowby is heading" in said


@pytest.mark.parametrize("words", ["unable the ILS", "we do not want the ILS", "our ILS receiver is out"])
def test_who_does_not_want_it_does_not(words: str) -> None:
    assert "expect ILS" not in told(words)


@pytest.mark.parametrize("words", ["can I get on top?", "request higher to get on top"])
def test_on_top_is_a_climb_and_no_way_to_a_clear_field(words: str) -> None:
    said = told(words, IN_TROUBLE)
    assert "climb and maintain eight thousand, tops are reported at seven thousand two hundred" in said
    assert "Wendle" not in said
