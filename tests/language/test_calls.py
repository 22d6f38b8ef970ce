"""What a call says: the edges of the labels, each decided once, and calls that pilots make."""

import pytest

from drill.language import read_call
from drill.language.meaning import Context

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose", "Glenmoor"))


def heard(words):
    return read_call(words, HERE)


@pytest.mark.parametrize(("words", "equipment"), [
    ("lost the AI and DG", ["attitude_indicator", "heading_indicator"]),
    ("altimeter, airspeed and vertical speed all suspect",
     ["airspeed_indicator", "altimeter", "vertical_speed_indicator"]),
    ("both gyros have failed", ["attitude_indicator", "heading_indicator"]),
    ("pitot-static system blocked", ["pitot", "static_system"]),
    ("suction low, standby has taken over", ["vacuum_system"]),
    ("the AI and the turn coordinator disagree, one of the two is wrong, don't know which",
     ["attitude_indicator", "turn_coordinator"]),
    ("it is the heading indicator not the attitude indicator that failed", ["heading_indicator"]),
    ("the gyros are fine but the suction is low", ["vacuum_system"]),
    ("everything is working except the turn coordinator", ["turn_coordinator"]),
    ("radios are intermittent, transponder's out too", ["radio", "transponder"]),
    ("vacum pump faled, atitude indicater inop", ["attitude_indicator", "vacuum_system"]),
    ("engine is running rough", ["engine"]),
    ("lost the GPS and the VOR flags are in", ["navigation"]),
])
def test_what_is_said_to_have_failed_is_heard(words, equipment):
    assert list(heard(f"Approach, 04W, {words}").equipment) == equipment


@pytest.mark.parametrize("words", [
    "simulated vacuum failure, nothing actually wrong", "practice partial panel, covering the attitude indicator",
    "if the vacuum fails we will come back", "nothing wrong with the gyros", "the attitude indicator has not failed",
    "vacuum came back up, everything is working normally", "no problem with the alternator",
    "request no-gyro vectors",
    "request vectors for the localizer", "ten miles south of the Glenmoor VOR", "DG is fine, no action required",
    "the airspeed is low", "navigating with the GPS and compass", "airspeed one one zero", "going to use the compass",
    "can you see my transponder", "what altimeter setting do you have",
    "request the ILS, we'd like the autopilot on"])
def test_a_failure_that_was_not_reported_is_not_heard(words):
    assert heard(f"Approach, 04W, {words}").equipment == ()


@pytest.mark.parametrize(("words", "impaired"), [
    ("lost the AI and DG", False), ("partial panel", True), ("flying needle, ball and airspeed", True),
    ("no gyros, imc", True),
    ("unable to hold altitude", True), ("fully able to continue IFR", True), ("still able to navigate", True),
    ("request no-gyro vectors", False), ("can't accept an ILS", True), ("limited to half-standard turns", True),
    ("hand flying", False), ("can only manage shallow turns", True)])
def test_a_degree_of_impairment_is_more_than_a_failure_named(words, impaired):
    assert heard(f"04W, {words}").impairment is impaired


@pytest.mark.parametrize(("words", "asked", "intends"), [
    ("would like to land at Penrose", ["named_airport"], True),
    ("diverting to Penrose", [], True),
    ("request vectors to Penrose", ["named_airport", "vectors"], False),
    ("request vectors to VMC", ["vmc"], False),
    ("request a hold", ["hold"], False),
    ("we'd like to hold at Penrose", ["hold"], True),
    ("request no-gyro surveillance approach", ["no_gyro_vectors", "radar_approach"], False),
    ("request lower when able", ["altitude_change"], False),
    ("if it gets worse we'll want vectors back", [], False),
    ("may need to ask for priority", [], False),
    ("request lower, correction, disregard the lower", [], False),
    ("negative on the vectors, thanks", [], False),
    ("request block four to six thousand", ["block_altitude"], False),
    ("have the fire trucks standing by please", ["rescue"], False),
    ("what's the weather at Penrose", ["weather"], False),
    ("need the nearest airport", ["nearest_airport"], False),
    ("request a climb to VFR on top", ["altitude_change", "vmc"], False),
    ("request to stay on this frequency", ["frequency"], False),
])
def test_what_is_asked_and_what_is_intended_are_two_things(words, asked, intends):
    call = heard(f"Approach, 04W, {words}")
    assert list(call.assistance) == asked
    assert call.intentions is intends


@pytest.mark.parametrize(("words", "urgency"), [
    ("mayday mayday mayday", "mayday"), ("pan-pan, pan-pan, pan-pan", "pan-pan"),
    ("declaring an emergency", "emergency"),
    ("not declaring an emergency", "none"), ("we don't need to declare a mayday", "none"),
    ("cancel the mayday", "none"),
    ("may need to declare", "none"), ("minimum fuel", "none"), ("squawking 7700", "none"),
    ("request emergency descent", "none"),
    ("pan-pan, we are declaring an emergency", "emergency"), ("mayday, declaring an emergency", "mayday"),
    ("if it gets worse we will declare an emergency", "none"), ("we have an emergency", "emergency")])
def test_urgency_is_what_is_declared_and_the_strongest_word_wins(words, urgency):
    assert heard(f"04W, {words}").urgency == urgency


@pytest.mark.parametrize(("words", "feet"), [
    ("at six", 6000), ("level four", 4000), ("leaving 6,200 for 4,000", 6200),
    ("out of seven thousand for five", 7000),
    ("level flight level one niner zero", 19000), ("descend and maintain three thousand", None),
    ("request six thousand", None),
    ("altimeter frozen at 5000", None), ("altimeter is suspect, GPS altitude 5200", 5200),
    ("runway over 3000 feet", None),
    ("battery at 22 volts", None), ("heading 180, 4500", 4500), ("two miles west", None), ("stuck at 40", None)])
def test_the_altitude_is_the_one_the_caller_is_at(words, feet):
    assert heard(f"04W, {words}").altitude_ft == feet


@pytest.mark.parametrize(("words", "degrees"), [
    ("heading one four zero", 140), ("hdg 050", 50), ("one three zero on the compass", 130),
    ("turning right heading 310", None),
    ("request heading 090", None), ("left two four zero, descend and maintain three thousand", None),
    ("runway heading", None)])
def test_the_heading_is_the_one_flown(words, degrees):
    assert heard(f"04W, {words}").heading_deg == degrees


@pytest.mark.parametrize(("words", "position"), [
    ("holding short of two seven", True), ("downwind", True), ("short final", True), ("over Glenmoor", True),
    ("ten miles southeast of the Glenmoor VOR", True), ("request holding at PELLO", False),
    ("landing Penrose", False),
    ("four miles east of the field", True), ("just passed Penrose", True)])
def test_a_position_is_where_the_caller_is(words, position):
    assert heard(f"04W, {words}").position is position


@pytest.mark.parametrize(("words", "souls", "fuel"), [
    ("two souls, three hours fuel", 2, 180), ("POB three, endurance one hour fifteen", 3, 75), ("solo", 1, None),
    ("three souls, correction, two", 2, None), ("fuel 2+15", None, 135),
    ("ninety minutes of fuel, 4 on board", 4, 90),
    ("took off twenty minutes ago", None, None), ("fuel exhaustion imminent, ten minutes", None, 10),
    ("one point five hours fuel remaining", None, 90)])
def test_persons_and_fuel_are_read(words, souls, fuel):
    call = heard(f"04W, {words}")
    assert (call.souls, call.fuel_min) == (souls, fuel)


@pytest.mark.parametrize(("words", "weather"), [
    ("in the clouds", "imc"), ("solid IMC", "imc"), ("VMC between layers", "vmc"), ("on top", "vmc"),
    ("request vectors to VMC", "unstated"),
    ("picking up light rime, imc", "icing"), ("request climb to remain clear of ice", "unstated"),
    ("in IMC, request vectors to VMC", "imc"),
    ("request lower to get below the clouds", "unstated")])
def test_the_weather_is_what_the_caller_is_in_not_what_is_sought(words, weather):
    assert heard(f"04W, {words}").conditions == weather


def test_beyond_the_labels_places_and_the_altitude_wanted_are_read():
    call = heard("Approach, 04W, request descent to 3000 and direct Penrose")
    assert (call.places, call.altitude_wanted_ft) == (("Penrose",), 3000)


def test_equipment_that_works_again_is_told():
    assert heard("Approach, 04W, vacuum came back up").rejoined == ("vacuum_system",)


def test_a_whole_distress_call_in_the_order_of_aim_6_3_2_is_read_whole():
    call = heard(
        "Mayday, mayday, mayday, Orrinfell Approach, Larkspur zero four whiskey, vacuum failure, partial panel, "
        "IMC, request no-gyro vectors to VMC, ten miles south of Penrose, heading two four zero, five thousand, "
                 "fuel two hours ten minutes, two on board")
    assert call.facility
    assert (call.callsign, call.urgency, call.equipment) == ("given", "mayday", ("vacuum_system",))
    assert call.impairment
    assert (call.assistance, call.conditions) == (("no_gyro_vectors", "vmc"), "imc")
    assert (call.heading_deg, call.altitude_ft, call.fuel_min, call.souls) == (240, 5000, 130, 2)
    assert call.position


@pytest.mark.parametrize("words", [
    "altimeter as well as the turn coordinator are unreliable",
    "neither the altimeter nor the turn coordinator works",
    "altimeter is gone and so is the turn coordinator", "altimeter is dead. Turn coordinator too",
    "altimeter failed, taking the turn coordinator with it", "no altimeter or turn coordinator",
    "the following are inop: altimeter, turn coordinator", "unable to use altimeter or turn coordinator",
    "first the altimeter quit and now the turn coordinator", "lost altimeter/turn coordinator"])
def test_however_two_failures_are_joined_both_are_heard(words):
    assert heard(f"Approach, 04W, {words}, imc").equipment == ("altimeter", "turn_coordinator")


@pytest.mark.parametrize("words", [
    "altimeter failed but turn coordinator is ok", "turn coordinator works, altimeter doesn't",
    "altimeter quit with only turn coordinator left",
    "altimeter is dead, cross checking with the turn coordinator", "altimeter out, using the turn coordinator",
    "everything except the altimeter is good, turn coordinator included",
    "altimeter failed, turn coordinator shows level"])
def test_what_still_works_beside_a_failure_is_not_heard_as_failed(words):
    assert heard(f"Approach, 04W, {words}, imc").equipment == ("altimeter",)


WENDLE = Context("Larkspur 04W", "Orrinfell Approach", ("Wendle",))


@pytest.mark.parametrize("words", ["request on top", "request VFR on top", "request visual on top",
                                   "can we get on top", "looking for VFR on top"])
def test_on_top_asked_for_is_visual_conditions_asked_for(words):
    call = heard(f"Approach, 04W, {words}")
    assert call.assistance == ("vmc",)
    assert call.conditions == "unstated"


def test_on_top_stated_is_the_weather_that_the_caller_is_in():
    call = heard("Approach, 04W, we are VFR on top")
    assert (call.assistance, call.conditions) == ((), "vmc")


@pytest.mark.parametrize(("words", "wanted", "present"), [
    ("request lower, 2600", 2600, None), ("request 2600", 2600, None),
    ("request lower, four thousand please", 4000, None),
    ("want to stay on a heading and climb to 7000", 7000, None), ("request higher, at 4000 now", None, 4000)])
def test_an_altitude_asked_for_is_not_the_one_that_the_caller_is_at(words, wanted, present):
    call = heard(f"04W, {words}")
    assert "altitude_change" in call.assistance
    assert (call.altitude_wanted_ft, call.altitude_ft) == (wanted, present)


def test_tops_asked_for_are_weather():
    assert heard("request tops").assistance == ("weather",)


def test_a_ride_report_is_a_statement_and_no_request():
    call = heard("04W, smooth ride at 5000")
    assert (call.altitude_ft, call.assistance) == (5000, ())


def test_unable_turns_is_a_reply():
    assert [reply.kind for reply in heard("unable turns").replies] == ["unable"]


@pytest.mark.parametrize("words", ["we're going to Wendle", "intentions Wendle, VFR on top", "intentions are Wendle"])
def test_a_place_headed_for_is_an_intention(words):
    call = read_call(words, WENDLE)
    assert call.intentions
    assert call.places == ("Wendle",)
    assert call.conditions == "unstated"


@pytest.mark.parametrize("words", ["what heading to Wendle", "what is the heading to Wendle"])
def test_a_heading_asked_for_is_vectors_and_no_intention(words):
    call = read_call(words, WENDLE)
    assert "vectors" in call.assistance
    assert not call.intentions


@pytest.mark.parametrize(("words", "asked"), [
    ("could you get me the Penrose actual please", ["weather"]), ("who has the weather for Penrose", ["weather"]),
    ("your ATIS says 800 overcast, is that still current?", ["weather"]),
    ("anybody know if the ceiling is any better at Glenmoor", ["weather"]),
    ("kindly confirm the visibility at Glenmoor", ["weather"]),
    ("could you steer us toward clear air", ["vmc"]), ("request vectors to get me out into the clear", ["vmc"]),
    ("can you guide me with headings to any airport", ["vectors"]),
    ("please pass our estimate of four five past the hour to the Glenmoor club", ["relay"]),
    ("could someone phone the flying club and say we are late", ["relay"]),
    ("please have someone waiting with foam", ["rescue"]), ("please send fire and rescue", ["rescue"]),
    ("nearest concrete please", ["nearest_airport"]), ("mayday engine out nearest airport now", ["nearest_airport"]),
    ("I need somebody to tell me which way to turn to get out of it please", ["vmc"]),
    ("would you mind if I went lower", ["altitude_change"]),
    ("kindly approve flight level one five zero", ["altitude_change"]),
    ("request direct Glenmoor and move me up the line", ["named_airport", "priority"]),
    ("is it ok if we stay with you on this frequency", ["frequency"]),
    ("request off frequency for two minutes", ["frequency"]),
    ("REQ DIRECT GLENMOOR", ["named_airport"]), ("request vectors Glenmoor", ["named_airport", "vectors"]),
    ("talk me down with start stop turns", ["no_gyro_vectors", "radar_approach"]),
])
def test_what_is_asked_in_other_words(words, asked):
    assert list(heard(f"approach, 04W, {words}").assistance) == asked


@pytest.mark.parametrize(("words", "souls"), [
    ("me plus my wife", 2), ("single pilot with 2 pax", 3), ("3 passengers plus me", 4),
    ("student pilot, all alone", 1),
])
def test_the_pilot_counts_among_those_on_board(words, souls):
    assert heard(f"approach, 04W, {words}").souls == souls


@pytest.mark.parametrize("words", ["mayday mayday mayday", "may day may day may day", "MAY DAY"])
def test_a_mayday_in_two_words_is_one(words):
    assert heard(f"{words}, 04W, engine fire").urgency == "mayday"


@pytest.mark.parametrize(("words", "conditions"), [
    ("above the cloud at 4000, could you get me the Penrose actual", "vmc"), ("out of the ice now", "unstated"),
    ("descending to stay out of the ice layer", "unstated"), ("needs down out of this ice now", "icing"),
    ("going on top", "unstated"), ("single pilot with 2 pax in cloud", "imc"), ("structural ice, climbing", "icing"),
])
def test_the_weather_that_the_caller_is_in(words, conditions):
    assert heard(f"approach, 04W, {words}").conditions == conditions


@pytest.mark.parametrize(("words", "altitude_ft"), [
    ("airborne, 800 climbing", 800), ("shutting it down, 4 thousand feet", 4000), ("at 7500 feet, VMC", 7500),
    ("abeam DINAX, flight level one one zero, estimating Glenmoor at three two", 11000),
    ("270 on the heading, six thousand, slow to 140", None), ("copy lower to three", None),
])
def test_the_altitude_the_caller_is_at(words, altitude_ft):
    assert heard(f"approach, 04W, {words}").altitude_ft == altitude_ft


@pytest.mark.parametrize("words", ["15 N OF PENROSE", "20 w of Glenmoor", "three miles off the Penrose lighthouse",
                                   "by the fuel pumps", "10 dme Glenmoor"])
def test_a_distance_and_direction_is_a_position_and_nobodys_callsign(words):
    said = heard(f"04W, transponder failed, {words}, VFR")
    assert said.position
    assert said.callsign == "given"


def test_what_stands_after_a_heading_to_is_not_always_a_place():
    assert heard("04W can't hold a heading to save my life").places == ()


def test_the_count_that_was_corrected_is_the_one_on_board():
    assert heard("04W, eight souls no sorry that is the old sheet, two souls").souls == 2


def test_level_three_three_zero_is_a_flight_level():
    assert heard("04W, level three three zero").altitude_ft == 33_000


def test_reports_of_ice_that_are_asked_for_are_no_ice():
    assert heard("04W, got any pireps for icing along our route?").conditions == "unstated"


@pytest.mark.parametrize(("words", "altitude_ft"), [
    ("request flight level 280, moderate turbulence here at two four zero", 24_000),
    ("over Penrose at four five, five thousand five hundred", 5_500),
    ("the vertical speed indicator reads a thousand down in level flight", None),
    ("static blocked, airspeed, altimeter, vsi all wrong, gps altitude seven thousand two hundred", 7_200),
])
def test_a_figure_is_an_altitude_a_time_or_a_reading(words, altitude_ft):
    assert heard(f"04W, {words}").altitude_ft == altitude_ft


def test_what_follows_and_so_is_has_failed_too():
    assert heard("04W, horizon's out and so is the vacuum, turn coordinator still works").equipment == (
        "attitude_indicator", "vacuum_system")
