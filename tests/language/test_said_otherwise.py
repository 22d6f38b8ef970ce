"""What is not said straight: what is over by now, withdrawn, practised, doubted, passed on, misspelt, or run together.

Words are common practice, no source, unless noted; the labels' rules decide doubts.
"""

import pytest

from drill.language import read, read_call
from drill.language.meaning import (
    Action,
    Airspeed,
    Align,
    Altitude,
    Context,
    Cover,
    Decide,
    Diagnose,
    FlyBy,
    LevelWings,
    Look,
    Pitch,
    Power,
    Squawk,
    Switch,
    Transmit,
    Turn,
    Unclear,
    Wait,
)

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose", "Tallowby"))


def heard(words):
    return read_call(f"Orrinfell Approach, 04W, {words}", HERE)


@pytest.mark.parametrize(("words", "equipment"), [
    ("had a rough engine a minute ago but it's smooth again", ()),
    ("the vacuum was out for a moment, it came back", ()),
    ("false alarm on the vacuum", ()),
    ("vacuum warning was just a bulb", ()),
    ("thought the alternator was dead, it's only the bulb", ()),
    ("turn coordinator had its red flag out, hold on, there we go, flag's gone", ()),
    ("engine's coughing, nope, it's alright", ()),
    ("engine running rough has cleared with the carb heat", ()),
    ("the localizer flag has gone away again", ()),
    ("had no radio for a bit, the radio is back now", ()),
    ("AI was the culprit, covered it up", ("attitude_indicator",)),
])
def test_what_is_over_by_now_is_no_report(words, equipment):
    assert heard(words).equipment == equipment


@pytest.mark.parametrize(("words", "equipment"), [
    ("simulated vacuum failure, request no-gyro vectors", ()),
    ("instructor demonstrating a failed vacuum pump", ()),
    ("we had been practising failures but now the vacuum actually failed, not a drill", ("vacuum_system",)),
    ("this is no exercise, the simulated one before was, our alternator is dead", ("alternator",)),
])
def test_practice_reports_nothing_unless_it_is_said_to_be_real(words, equipment):
    assert heard(words).equipment == equipment


def test_practised_partial_panel_is_no_impairment():
    assert not heard("full panel, practicing partial panel under the hood").impairment


@pytest.mark.parametrize(("words", "equipment"), [
    ("if the alternator doesn't come back we'll land at Penrose", ("alternator",)),
    ("if the alternator fails we'll land at Penrose", ()),
    ("the altimeter might be lying", ("altimeter",)),
    ("not quite sure of the DG", ("heading_indicator",)),
    ("we're nursing the alternator", ("alternator",)),
    ("compass and heading indicator disagree, the compass is correct", ("heading_indicator",)),
    ("AI and turn coordinator disagree and I don't know which one to believe",
     ("attitude_indicator", "turn_coordinator")),
    ("the AI seems fine but I reckon it's toppled", ("attitude_indicator",)),
    ("AI came back to life but I don't trust it", ("attitude_indicator",)),
])
def test_what_is_doubted_is_suspect_and_what_is_only_feared_is_not(words, equipment):
    assert heard(words).equipment == equipment


@pytest.mark.parametrize(("words", "equipment"), [
    ("the autopilot has thrown in the towel", ("autopilot",)),
    ("my transponder has gone to sleep", ("transponder",)),
    ("AI and DG have both parted company with reality", ("attitude_indicator", "heading_indicator")),
    ("vacuum's pulling about two inches", ("vacuum_system",)),
    ("suction nil", ("vacuum_system",)),
    ("airspeed zero", ("airspeed_indicator",)),
    ("it's just the attitude indicator, the vacuum is fine", ("attitude_indicator",)),
    ("down to one radio", ("radio",)),
    ("alternator has recovered", ()),
    ("altimeter has been set", ()),
    ("altimeter is unwinding, we are going down", ()),
    ("my horizon says I'm upside down", ("attitude_indicator",)),
])
def test_how_something_is_may_be_said_in_many_ways(words, equipment):
    assert heard(words).equipment == equipment


def test_another_airplanes_trouble_passed_on_is_not_ours():
    call = read_call("Orrinfell, Larkspur 04W, mayday relay for Sedge 29M, he reports engine failure", HERE)
    assert call.equipment == ()


@pytest.mark.parametrize(("words", "assistance"), [
    ("request lower, scratch that, we're staying at six", ()),
    ("request vectors... no wait, we've got the localizer, don't bother", ()),
    ("I was requesting lower. Disregard. All I want is the weather at Penrose please", ("weather",)),
    ("scratch that request for the hold, we'd rather have vectors", ("vectors",)),
    ("request vectors, no, sorry, make that a hold at Penrose", ("hold",)),
    ("request vectors, and if you can't then just the nearest field will do", ("vectors",)),
    ("we would prefer to avoid the hold", ()),
    ("VMC on top, request direct Penrose", ("named_airport",)),
    ("looking for a hole", ("vmc",)),
    ("could someone point me toward Penrose", ("named_airport", "vectors")),
    ("could use a no-gyro steer to somewhere VFR", ("no_gyro_vectors", "vmc")),
    ("any chance of nine", ("altitude_change",)),
    ("put me in front of everybody please", ("priority",)),
    ("request the nearest airport with rescue standing by", ("nearest_airport", "rescue")),
    ("we'd like to stay with you on this frequency if that's okay", ("frequency",)),
    ("would you relay to Penrose that we are running late", ("relay",)),
    ("request descent below the freezing level", ("altitude_change",)),
])
def test_a_request_counts_as_it_stands_in_the_end(words, assistance):
    assert heard(words).assistance == assistance


@pytest.mark.parametrize(("words", "field", "value"), [
    ("four thousand descending, in cloud", "altitude_ft", 4000),
    ("six and a half thousand", "altitude_ft", 6500),
    ("angels nine", "altitude_ft", 9000),
    ("level seventy", "altitude_ft", 7000),
    ("6 grand, in the clouds", "altitude_ft", 6000),
    ("passing nine hundred for two thousand", "altitude_ft", 900),
    ("scattered at two, altimeter sticking", "altitude_ft", None),
    ("estimating at two five", "altitude_ft", None),
    ("altimeter stuck, says 5000, and the gps says 5400", "altitude_ft", 5400),
    ("two thousand feet above the layer", "altitude_ft", None),
    ("confirm three thousand?", "altitude_ft", None),
    ("fuel one plus thirty", "fuel_min", 90),
    ("endurance 2h30", "fuel_min", 150),
    ("landing in one zero minutes, forty five minutes in the tanks", "fuel_min", 45),
    ("1+45 on board and two people", "fuel_min", 105),
    ("1+45 on board and two people", "souls", 2),
    ("one hundred and four souls", "souls", 104),
    ("two up", "souls", 2),
    ("two pax plus me", "souls", 3),
    ("on my own", "souls", 1),
    ("steady two six zero", "heading_deg", 260),
    ("holding what I think is 270", "heading_deg", 270),
    ("was that heading zero two zero?", "heading_deg", None),
    ("holding at Penrose", "position", True),
    ("over the reservoir", "position", True),
    ("compass leaked all over the carpet", "position", False),
])
def test_figures_and_places_are_heard_where_they_tell_of_the_flight(words, field, value):
    assert getattr(heard(words), field) == value


@pytest.mark.parametrize(("line", "callsign"), [
    ("larkspur zero four victor, I mean whiskey, vacuum failed", "given"),
    ("lark spur 04w, vacuum failed", "given"),
    ("larkspur04w vacuum failed", "given"),
    ("Larkspur four zero whiskey, vacuum failed", "wrong"),
])
def test_a_callsign_is_known_in_two_words_in_one_and_put_right(line, callsign):
    assert read_call(line, HERE).callsign == callsign


@pytest.mark.parametrize("line", [
    "approcah 04w, vacuum failed", "orrinfell its larkspur 04w, vacuum failed", "hey there orrinfell, 04w here"])
def test_the_facility_is_known_misspelt_and_introduced(line):
    assert read_call(line, HERE).facility


@pytest.mark.parametrize(("line", "action"), [
    ("X-check altimeter & airspeed, do they agree", None),
    ("lemme see the clock... no i mean the ammeter", Look("ammeter")),
    ("whats the needle and ball doing", Look("turn_coordinator")),
    ("wat does the altimter say", Look("altimeter")),
    ("right then, partial panel it is", FlyBy("partial_panel")),
    ("ignore the horizon, fly partial panel", FlyBy("partial_panel")),
    ("get em level, wings level", LevelWings()),
    ("squawk 1200, no wait, 7700", Squawk("7700")),
    ("emergency squawk", Squawk("7700")),                                     # AIM 6-2-2
    ("roll out on 270", Turn("shortest", 270)),
    ("come starboard thirty degrees", Turn("right", by_deg=30)),
    ("rite turn onto north", Turn("right", 360)),
    ("throw a beer coaster on that DG", Cover("heading_indicator")),
    ("put a piece of cardboard over the AI", Cover("attitude_indicator")),
    ("turn off the pitot heat, we're on battery", Switch("pitot_heat", "off")),
    ("alternate static source, open it", Switch("alternate_static", "on")),
    ("A/P off", Switch("autopilot", "off")),
    ("best glide, seventy two knots", Airspeed(72)),
    ("pitch and power for 95", Airspeed(95)),
    ("climb one thousand to six thousand", Altitude(6000, "climb")),
    ("leave 6000 for 4000", Altitude(4000, "descend")),
    ("arrest the descent", Altitude(None, "hold")),
    ("dg's off, set it to the compass again", None),
    ("reset heading indicator to magnetic", Align("heading_indicator", to="magnetic_compass")),
    ("divert to Penrose, runways longer", Decide("divert", "Penrose")),
    ("divert, Penrose it is", Decide("divert", "Penrose")),
    ("STOP STOP STOP reject the takeoff", Decide("abort_takeoff")),
    ("back to the ramp, this one isn't going today", Decide("return_to_ramp")),
    ("pause for three quarters of a minute", Wait(45.0)),
])
def test_an_order_is_done_however_it_is_put(line, action):
    actions = read(line, HERE)
    if action is not None:
        assert actions == [action]
    else:
        assert not any(isinstance(each, Unclear) for each in actions)


@pytest.mark.parametrize("line", [
    "keep going and turn back", "alternate static on, alternate static off",
    "divert to Penrose or carry on to Tallowby?",
    "increase speed 10 knots", "climb or descend?"])
def test_what_excludes_itself_or_has_no_figure_is_asked_back(line):
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


def test_statements_beside_an_order_are_no_orders():
    actions: list[Action] = read("reset the heading indicator, compass says 240", HERE)
    assert actions == [Align("heading_indicator", to="magnetic_compass")]


@pytest.mark.parametrize(("words", "equipment"), [
    ("loss of vacuum with both gyros tumbled", ("attitude_indicator", "heading_indicator", "vacuum_system")),
    ("the compass says south and the DG says west and I do not know who to believe",
     ("heading_indicator", "magnetic_compass")),
    ("the turn co-ordinator moves the wrong way, back to the pumps", ("turn_coordinator",)),
    ("very rough running, five thousand", ("engine",)),
    ("the roll servo is fighting me, it is off now", ("autopilot",)),
    ("it's the altimeter, sorry no, it's the airspeed that is stuck", ("airspeed_indicator",)),
    ("shutting down at the pumps", ()),
])
def test_what_is_wrong_is_heard_in_yet_other_words(words, equipment):
    assert heard(words).equipment == equipment


@pytest.mark.parametrize(("words", "assistance"), [
    ("forget the block, a descent to four thousand will do us fine", ("altitude_change",)),
    ("request warmer air", ("altitude_change",)),
    ("would prefer to stay with you on this freq if poss", ("frequency",)),
    ("requesting to remain on one two four decimal three", ("frequency",)),
    ("request straight-in visual at Tallowby", ("named_airport", "visual_approach")),
    ("neeed down now", ("altitude_change",)),
])
def test_what_is_asked_is_heard_in_yet_other_words(words, assistance):
    assert heard(words).assistance == assistance


def test_a_figure_is_corrected_across_its_unit():
    assert heard("3600 feet no 3400").altitude_ft == 3400


def test_hours_and_minutes_alone_are_fuel():
    assert heard("affirm, 2 on board, 2 hrs 45").fuel_min == 165


@pytest.mark.parametrize(("words", "equipment"), [
    ("holding at the VOR while we sort out the alternator", ("alternator",)),
    ("the VSI reads a thousand down in level flight so ignore that, altimeter's fine", ("vertical_speed_indicator",)),
    ("AI shows thirty degrees of bank in level flight", ("attitude_indicator",)),
    ("the first officer's horizon and altimeter have failed", ("altimeter", "attitude_indicator")),
    ("no airspeed or height information", ("airspeed_indicator", "altimeter")),
    ("VSI and airspeed are both behaving strangely", ("airspeed_indicator", "vertical_speed_indicator")),
    ("on needle ball and airspeed, vacuum is shot", ("vacuum_system",)),
    ("NO GYROS PARTIAL PANEL IMC HDG 190 ON COMPASS", ("attitude_indicator", "heading_indicator")),
    ("the horizon has toppled, request no-gyro, correction, the DI is fine, request vectors", ("attitude_indicator",)),
    ("it's the normal static port that is blocked", ("static_system",)),
    ("suction's reading under the green", ("vacuum_system",)),
])
def test_what_is_wrong_is_heard_beside_what_is_not(words, equipment):
    assert heard(words).equipment == equipment


@pytest.mark.parametrize("words", [
    "the vacuum light came on and went out again, all reading right now",
    "horizon was slow to erect but it's up and steady now",
])
def test_a_light_that_went_out_and_a_gyro_that_came_up_report_nothing(words):
    assert heard(words).equipment == ()


def test_a_light_that_came_on_again_is_on():
    assert heard("alternator light came on, went out, came on again").equipment == ("alternator",)


@pytest.mark.parametrize(("words", "field", "value"), [
    ("practising between three and four thousand", "altitude_ft", None),
    ("we might want a turn back, fine for now at 5000", "altitude_ft", 5_000),
    ("in cloud 5000 need start stop turns", "altitude_ft", 5_000),
    ("in and out of the tops at six", "altitude_ft", 6_000),
    ("unreliable altimeter, standby shows four thousand two hundred", "altitude_ft", 4_200),
    ("out of 9 for 6 on a 250 heading", "heading_deg", 250),
    ("DG says one eighty and the compass two twenty, not sure which of them is wrong", "heading_deg", None),
    ("engine is throwing oil over the windscreen", "position", False),
    ("engine on fire 1800 feet over the quarry", "position", True),
    ("I cannot hold a heading by myself", "souls", None),
    ("might have to divert", "intentions", False),
    ("scrap that request for lower", "assistance", ()),
    ("request higher, uh, actually scrub that", "assistance", ()),
    ("a heading away from this weather please", "assistance", ("vectors",)),
    ("would appreciate a steer clear of the cloud", "assistance", ("vmc",)),
    ("can you tell us if Penrose is below minimums", "assistance", ("weather",)),
    ("picking up rime at ten, could we get 8 please", "assistance", ("altitude_change",)),
])
def test_the_same_words_tell_or_ask_by_what_stands_beside_them(words, field, value):
    assert getattr(heard(words), field) == value


@pytest.mark.parametrize(("line", "action"), [
    ("level the darn wings", LevelWings()),
    ("dont change altitude", Altitude(None, "hold")),
    ("hold this alt", Altitude(None, "hold")),
    ("give the suction gauge a tap and read it", Look("suction_gauge")),
    ("turn 340, shortest way", Turn("shortest", heading_deg=340)),
    ("squawk double seven double zero", Squawk("7700")),
    ("landing lt off", Switch("landing_light", "off")),
    ("gyro drifted, match it up with the compass", Align("heading_indicator", "magnetic_compass")),
    ("go to needle, ball and airspeed", FlyBy("partial_panel")),
    ("ditch the gyros, needle-ball-airspeed it is", FlyBy("partial_panel")),
    ("we're going on to Penrose", Decide("continue", "Penrose")),
    ("hold at Penrose until we sort this out", Decide("hold", "Penrose")),
    ("go back to the ramp, this gyro's no good", Decide("return_to_ramp")),
])
def test_an_order_is_done_with_shorthand_swearing_and_reasons(line, action):
    assert read(line, HERE) == [action]


@pytest.mark.parametrize("line", [
    "never mind", "alternator on, off, I don't know", "alternator on alternator off", "turn 180",
    "climb to 6000 and descend to 4000 at once",
])
def test_what_can_be_taken_in_two_ways_is_asked_back(line):
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "actions"), [
    ("fly pitch and power, 2100 rpm and 2 degrees nose down", [Power(2100), Pitch("down", 2)]),
    ("full throttle and five degrees up", [Power(change="full"), Pitch("up", 5)]),
    ("turn the alternator off and back on", [Switch("alternator", "off"), Switch("alternator", "on")]),
    ("alternator's quit, cycle the alternator switch",
     [Diagnose(("alternator",)), Switch("alternator", "off"), Switch("alternator", "on")]),
    ("shed load: lights off, pitot heat off",
     [*(Switch(each, "off") for each in ("landing_light", "nav_lights", "strobes")), Switch("pitot_heat", "off")]),
    ("cover both vac gyros", [Cover("attitude_indicator"), Cover("heading_indicator")]),
    ("AI shows a bank but TC and compass don't move, AI is bad", [Diagnose(("attitude_indicator",))]),
    ("TC and compass agree, AI is bad", [Diagnose(("attitude_indicator",))]),
    ("check altitude and airspeed", [Look("altimeter"), Look("airspeed_indicator")]),
    ("do the run-up at 1800", [Power(1800)]),
])
def test_several_things_in_a_line_are_all_done(line, actions):
    assert read(line, HERE) == actions


@pytest.mark.parametrize("line", [
    "fly by pitch and power", "nav 2 off", "land the frobnicator", "continue the gizmo",
    "airspeed's decaying", "we're descending, loss of power",
])
def test_what_only_tells_or_lacks_its_figures_does_nothing(line):
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


def test_what_failed_is_sent_with_the_request_that_follows_it():
    (call,) = read("we've got a vac failure, gonna need no gyro vectors to Penrose", HERE)
    assert isinstance(call, Transmit)
    assert call.meaning.equipment == ("vacuum_system",)
    assert call.meaning.assistance == ("named_airport", "no_gyro_vectors")


@pytest.mark.parametrize("line", ["how high are the tops?", "what heading for Penrose?"])
def test_what_only_atc_can_tell_is_asked_of_atc(line):
    (call,) = read(line, HERE)
    assert isinstance(call, Transmit)
    assert call.call == line
