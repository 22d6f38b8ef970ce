"""Parts called by what they show or do, and what fails, recovers or is only spoken of, in words of every day.

Words are common practice, no source, unless noted; the labels' rules decide doubts.
"""

import pytest

from drill.language import read_call
from drill.language.meaning import Context

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose", "Tallowby"))


def failed(words):
    return read_call(f"Orrinfell Approach, 04W, {words}", HERE).equipment


@pytest.mark.parametrize(("words", "part"), [
    ("our speed hand is lying on the stop", "airspeed_indicator"),
    ("the clock for the speed has stopped dead", "airspeed_indicator"),
    ("the instrument of speed is broken", "airspeed_indicator"),
    ("the speed fell back to nothing in the climb", "airspeed_indicator"),
    ("the height needles have not moved since we left two thousand", "altimeter"),
    ("the how high dial is stuck", "altimeter"),
    ("the up and down pointer is stuck", "vertical_speed_indicator"),
    ("climb dial reads a thousand down in level flight", "vertical_speed_indicator"),
    ("the ball with the sky and the ground has gone over on its side", "attitude_indicator"),
    ("the blue and brown thing fell over", "attitude_indicator"),
    ("my make-believe horizon has rolled over", "attitude_indicator"),
    ("attitude whatsit is upside down", "attitude_indicator"),
    ("the vacuum driven horizon has toppled", "attitude_indicator"),
    ("the little plane on the turn dial does not move", "turn_coordinator"),
    ("the needle for the turns has died", "turn_coordinator"),
    ("the direction dial is wandering", "heading_indicator"),
    ("my directional it is turning alone", "heading_indicator"),
    ("the box that talks to your radar has died", "transponder"),
    ("our squawk box went dark", "transponder"),
    ("the number one set is crackling badly", "radio"),
    ("the generator lamp is glowing", "alternator"),
    ("nothing is charging the battery", "alternator"),
    ("the amps are on the minus side", "alternator"),
    ("the whole ship is electrically dead", "electrical_system"),
    ("the essential bus is gone", "electrical_system"),
    ("the pump that drives the gyros has quit", "vacuum_system"),
    ("no suck on the gauge", "vacuum_system"),
    ("both VOR needles are dead", "navigation"),
    ("there is tape over the static holes", "static_system"),
    ("the pitot hole is bunged up", "pitot"),
])
def test_a_part_is_known_by_what_it_shows_or_does(words, part):
    assert failed(words) == (part,)


@pytest.mark.parametrize("words", [
    "blue and brown all around, mostly fields, unlimited visibility",
    "the sun is on the horizon",
    "there is haze out to the horizon, VMC",
    "ground speed dropped to nothing in this headwind",
    "our speed is 110 knots",
    "the battery on my tablet is dead",
    "the charging light is out, all normal",
    "running well and no low voltage light",
    "make-believe horizon failure for the student, we'd like practice vectors",
    "the altimeter setting was wrong, corrected",
    "no vertical speed limit I take it",
    "our rate of climb is poor, request lower",
    "abeam the pumps, stopped, ready to taxi",
    "autopilot off, hand flying",
])
def test_what_only_sounds_like_a_part_in_trouble_reports_nothing(words):
    assert failed(words) == ()


@pytest.mark.parametrize(("words", "part"), [
    ("airspeed reads stupidly high", "airspeed_indicator"),
    ("mode C is reading a couple of hundred low", "transponder"),
    ("radio works when it feels like it", "radio"),
    ("transponder seems not to answer", "transponder"),
    ("engine makes barely 1800", "engine"),
    ("engine just coughed again", "engine"),
    ("battery all but flat", "battery"),
    ("the battery is as good as dead", "battery"),
    ("DG retired an hour ago", "heading_indicator"),
    ("the DG keeps needing to be reset", "heading_indicator"),
    ("horizon leans fifteen degrees to the left", "attitude_indicator"),
    ("horizon leans a good fifteen degrees", "attitude_indicator"),
    ("the AI tells us we are in a climb and we are not", "attitude_indicator"),
    ("the AI held for a while then fell over", "attitude_indicator"),
    ("the AI was fine, well it's not any more", "attitude_indicator"),
    ("it's the AI that's off", "attitude_indicator"),
    ("reset the DG, it held for a minute, then walked off", "heading_indicator"),
    ("we will call again when we get the DG back", "heading_indicator"),
    ("the needle fell off the VSI", "vertical_speed_indicator"),
    ("cross out the VSI", "vertical_speed_indicator"),
    ("the vacuum has run dry", "vacuum_system"),
    ("suction's in the basement", "vacuum_system"),
    ("airspeed of nothing and climbing fine", "airspeed_indicator"),
    ("nothing whatever on the airspeed", "airspeed_indicator"),
    ("the gyro compass is no more working", "heading_indicator"),
    ("breakdown of the alternator", "alternator"),
])
def test_trouble_is_heard_in_many_words(words, part):
    assert failed(words) == (part,)


@pytest.mark.parametrize(("words", "parts"), [
    ("150 on the compass and 190 on the DG, trust neither", ("heading_indicator", "magnetic_compass")),
    ("compass and DG disagree and I believe neither of them", ("heading_indicator", "magnetic_compass")),
    ("at 4000, transponder and GPS both blank", ("navigation", "transponder")),
    ("lost the AI, and the DG with it", ("attitude_indicator", "heading_indicator")),
    ("main bus is dead and half the radios with it", ("electrical_system", "radio")),
    ("the TC has failed and the AI has as well", ("attitude_indicator", "turn_coordinator")),
    ("the VSI and the altimeter are arguing, I trust the altimeter", ("vertical_speed_indicator",)),
    ("lost the radar and the GPS, just a compass now", ("navigation",)),
    ("copilot's attitude is good, mine is toppled", ("attitude_indicator",)),
    ("practising with the AI covered, this part is for real, left alternator has died", ("alternator",)),
    ("we were simulating a vacuum failure and now it is for real", ("vacuum_system",)),
])
def test_what_is_said_of_one_part_is_shared_by_those_it_is_meant_of(words, parts):
    assert failed(words) == parts


@pytest.mark.parametrize("words", [
    "the battery is as good as new",
    "AI spun up okay",
    "vacuum instruments unaffected",
    "the DG seems not to drift any more",
    "the AI was tumbling, it isn't any more",
    "that lazy horizon has stood up again",
    "we lost the DG for a bit, then it came good",
    "DG wobbled, but it's working right again",
    "about the VOR failure: the set has recovered",
    "scrap what I said about the AI",
    "strike the bit we told you about the radio",
    "I reset the DG and it held",
    "VSI fine, and the altimeter sits still",
    "the trouble with the AI has gone",
    "the DG issue was me, forgot to set it",
    "engine has settled down now",
    "the ice came off the pitot and the airspeed is back",
    "we have a hole over the VOR, going down through it",
    "no GPS fitted, just a compass, VMC",
    "make that a no-gyro one please",
    "we'd like a no-gyro into Penrose",
])
def test_what_recovered_was_withdrawn_or_never_failed_is_not_reported(words):
    assert failed(words) == ()


@pytest.mark.parametrize(("words", "parts"), [
    ("lost AI and DG, TC and compass ok", ("attitude_indicator", "heading_indicator")),
    ("no AI or DG, TC and compass ok", ("attitude_indicator", "heading_indicator")),
    ("without AI or DG, TC fine", ("attitude_indicator", "heading_indicator")),
    ("lost vacuum, AI and DG, TC good", ("attitude_indicator", "heading_indicator", "vacuum_system")),
    ("lost airspeed and altimeter, VSI good", ("airspeed_indicator", "altimeter")),
    ("no GPS or transponder, radio fine", ("navigation", "transponder")),
    ("lost the vacuum, turn coordinator and compass are fine", ("vacuum_system",)),
    ("lost the vacuum, and AI, DG, TC all fine", ("vacuum_system",)),
    ("lost the AI, DG and TC ok", ("attitude_indicator",)),
    ("lost AI plus DG, the rest fine", ("attitude_indicator", "heading_indicator")),
])
def test_the_last_of_a_list_of_what_is_lost_goes_with_it(words, parts):
    assert failed(words) == parts


@pytest.mark.parametrize(("words", "parts"), [
    ("all but the AI is working", ("attitude_indicator",)),
    ("all instruments but the airspeed are fine", ("airspeed_indicator",)),
    ("everything but the vacuum is good", ("vacuum_system",)),
    ("everything works except the AI which is out", ("attitude_indicator",)),
    ("everything but the turn coordinator has quit", ()),
    ("everything except the transponder is out", ()),
    ("the battery is all but flat", ("battery",)),
])
def test_a_part_that_is_excepted_is_the_contrary_of_the_rest(words, parts):
    assert failed(words) == parts


@pytest.mark.parametrize(("words", "part"), [
    ("the speed on the dial is nought", "airspeed_indicator"),
    ("the ammeter is below zero", "alternator"),
    ("bus one has failed", "electrical_system"),
    ("the one with the blue and brown has rolled over", "attitude_indicator"),
    ("the eight ball has tumbled", "attitude_indicator"),
])
def test_names_with_numbers_are_known_in_words(words, part):
    assert failed(words) == (part,)


SHORT = Context("Siskin 400", "Orrinfell Approach", ("Penrose", "Tallowby"))


@pytest.mark.parametrize(("call", "heard"), [
    ("ok 400 feet, climbing", "absent"), ("roger 400 degrees", "absent"), ("ok 400 on the altimeter", "absent"),
    ("roger 400", "given"), ("ok 400 turning left", "given"), ("12K request lower", "wrong"),
    ("55H, requesting vectors", "wrong"), ("Siskin 400, level 12k", "given"),
])
def test_a_figure_with_its_unit_is_no_callsign_and_letters_may_look_like_units(call, heard):
    assert read_call(call, SHORT).callsign == heard


def test_a_thousand_and_a_letter_at_the_start_is_a_callsign_and_later_an_altitude():
    assert read_call("12K request lower", SHORT).altitude_ft is None
    assert read_call("Siskin 400, level 12k", SHORT).altitude_ft == 12000


@pytest.mark.parametrize(("words", "souls"), [
    ("four on board, two kids, my wife and me", 4), ("my wife and me on board", 2),
])
def test_a_count_of_all_on_board_is_stronger_than_who_they_are(words, souls):
    assert read_call(f"Orrinfell Approach, 04W, {words}", HERE).souls == souls
