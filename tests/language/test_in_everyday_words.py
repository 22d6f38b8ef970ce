"""What is asked, reported and meant in words of everyday English, and what nearly says so.

Words are common practice, no source, unless noted; the labels' rules decide doubts.
"""

import pytest

from drill.language import read_call
from drill.language.meaning import Context

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose", "Tallowby"))


def heard(words):
    return read_call(f"Orrinfell Approach, 04W, {words}", HERE)


@pytest.mark.parametrize("words", [
    "partial panel in cloud. Vectors to clear air.",
    "could you find us somewhere we can see the ground",
    "point me at the nearest blue sky please",
    "do you know where the sky is clear",
    "any idea where I might find a VFR hole",
    "which way to the edge of the cloud, could you vector us to visual condition",
    "vectors to a gap in it please",
])
def test_a_way_out_of_the_cloud_is_asked_for_in_other_words(words):
    assert heard(words).assistance == ("vmc",)


@pytest.mark.parametrize("words", [
    "vectors to VMC worked great, thanks",
    "clear blue up here at 9000",
    "going down through a gap in it",
    "we can see the ground, level at 3000",
])
def test_clear_air_that_is_only_spoken_of_is_not_asked_for(words):
    assert heard(words).assistance == ()


@pytest.mark.parametrize(("words", "assistance"), [
    ("could sure use some vectors", ("vectors",)),
    ("we would very much appreciate priority", ("priority",)),
    ("lower would be a kindness", ("altitude_change",)),
    ("a block of four to six thousand would be most welcome", ("block_altitude",)),
    ("I'd be thankful for a hold over Tallowby", ("hold",)),
    ("any chance we can hold somewhere", ("hold",)),
    ("a descent when you get a chance", ("altitude_change",)),
    ("put us at the front of the queue please", ("priority",)),
    ("latest weather for Penrose when you get a minute", ("weather",)),
    ("what's Penrose giving", ("weather",)),
    ("how close are those showers to the field", ("weather",)),
    ("could the fire engines be waiting for us", ("rescue",)),
    ("the firemen ready please", ("rescue",)),
    ("we'd rather not change frequency if it's all the same to you", ("frequency",)),
    ("okay if we hang around with you on this frequency", ("frequency",)),
    ("could you inform them", ("relay",)),
    ("can you vector me no gyro", ("no_gyro_vectors",)),
    ("please tell me when to begin and when to end each turn", ("no_gyro_vectors",)),
    ("request a visual recovery", ("visual_approach",)),
])
def test_a_service_is_asked_for_in_everyday_words(words, assistance):
    assert heard(words).assistance == assistance


@pytest.mark.parametrize("words", [
    "could use a coffee",
    "latest weather copied",
    "the request for higher I take back",
    "I did ask for lower, but please disregard that and carry on",
    "leaving you now, good day",
    "what is the tower doing",
])
def test_what_only_sounds_like_a_request_asks_nothing(words):
    assert heard(words).assistance == ()


@pytest.mark.parametrize(("words", "equipment"), [
    ("AH and DG both crook", ("attitude_indicator", "heading_indicator")),
    ("the AH is toppling", ("attitude_indicator",)),
    ("DG and AH out", ("attitude_indicator", "heading_indicator")),
    ("ah, the DG is fine", ()),
    ("ah the alternator is out", ("alternator",)),
    ("ah, approach, with you at 4000", ()),
])
def test_ah_is_the_horizon_only_where_it_stands_like_one(words, equipment):
    assert heard(words).equipment == equipment


@pytest.mark.parametrize(("words", "equipment"), [
    ("airspeed never moved off the peg", ("airspeed_indicator",)),
    ("the compass says one thing and the DG says another", ("heading_indicator", "magnetic_compass")),
    ("alternator and battery both done", ("alternator", "battery")),
    ("the compass is dry", ("magnetic_compass",)),
    ("the suction gauge has sunk into the yellow", ("vacuum_system",)),
    ("autopilot pulls the nose down", ("autopilot",)),
    ("airspeed reads sixty standing still", ("airspeed_indicator",)),
    ("the localizer receives nothing", ("navigation",)),
    ("GPS has lost its satellites", ("navigation",)),
    ("I don't put any faith in the altimeter", ("altimeter",)),
    ("airspeed all over the shop, my money's on the pitot", ("airspeed_indicator", "pitot")),
    ("alternator light's come on", ("alternator",)),
    ("VSI shows values that cannot be true", ("vertical_speed_indicator",)),
    ("our alti's out of tolerance", ("altimeter",)),
    ("airspeed n altimeter both dead", ("airspeed_indicator", "altimeter")),
    ("do you still see my transponder, I think it died", ("transponder",)),
])
def test_a_part_that_fails_is_told_in_everyday_words(words, equipment):
    assert heard(words).equipment == equipment


@pytest.mark.parametrize("words", [
    "engine run-up is done, mag check done",
    "airspeed in the yellow, slowing down",
    "the engine never missed a beat",
    "the altimeter never read wrong",
    "runway lights have come on, thanks",
    "do you see my transponder, I think it is on",
    "my guess is fifteen minutes",
    "4200 and sinking by the GPS",
    "GPS figures we're at 5100",
    "heading 160 off the compass",
    "7000 per the GPS, request lower",
    "we exercise a vacuum failure, request vectors",
])
def test_what_only_sounds_like_trouble_reports_no_part(words):
    assert heard(words).equipment == ()


@pytest.mark.parametrize("words", [
    "abandoning takeoff",
    "we've discontinued the take-off",
    "take-off stopped",
    "we stop the take-off, will vacate left",
    "will force land in the meadow",
    "taking the county road",
    "we'll push on to Penrose",
    "my instructor wants us to go back",
    "I descend under the layer",
    "scrapping the trip",
])
def test_a_plan_is_told_in_other_verbs(words):
    assert heard(words).intentions


@pytest.mark.parametrize("words", [
    "you'll have to use your good eye",
    "wilco, climbing to 8000 as cleared",
    "I'd like to stay put on this frequency",
    "we remain with you on the handheld",
    "we hold short of 27",
    "give me a heading for the strip",
])
def test_what_others_do_or_what_goes_on_as_told_is_no_plan(words):
    assert not heard(words).intentions


@pytest.mark.parametrize(("words", "impaired"), [
    ("half-rate turns are the best I can promise you", True),
    ("ten degrees of bank is my limit", True),
    ("can only give you shallow turns", True),
    ("impossible to keep a level", True),
    ("needle, ball and airspeed", True),
    ("can't make out which one is in error", False),
    ("can't take the runway yet", False),
    ("one seventy knots is our best", False),
    ("the battery is good for half an hour", False),
    ("autopilot won't hold altitude", False),
])
def test_a_limit_of_the_flight_is_told_from_one_of_other_things(words, impaired):
    assert heard(words).impairment is impaired


@pytest.mark.parametrize(("words", "conditions"), [
    ("ice piling on at 6000", "icing"),
    ("in the thick of the cloud", "imc"),
    ("tops are below us", "vmc"),
    ("above solid cloud", "vmc"),
    ("descending below the layer", "unstated"),
    ("in visual condition", "vmc"),
])
def test_the_weather_is_told_in_other_words(words, conditions):
    assert heard(words).conditions == conditions


@pytest.mark.parametrize(("words", "altitude_ft"), [
    ("bumpy down here at 8", 8000),
    ("going to stay at 5", 5000),
    ("could use 4 thousand", None),
    ("need a block, 8000 through 9000", None),
])
def test_a_level_flown_is_told_from_one_wanted(words, altitude_ft):
    assert heard(words).altitude_ft == altitude_ft


@pytest.mark.parametrize("words", [
    "on the crosswind leg", "at bay 4", "short of 27", "over the lighthouse", "8 miles ahead", "over Ashlow VOR"])
def test_a_landmark_or_a_stand_is_a_position(words):
    assert heard(words).position


@pytest.mark.parametrize(("words", "urgency"), [
    ("mayday, no, strike mayday, pan-pan", "pan-pan"),
    ("neither mayday nor pan-pan", "none"),
])
def test_a_mayday_may_be_struck_in_the_same_breath(words, urgency):
    assert heard(words).urgency == urgency
