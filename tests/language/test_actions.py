"""What a typed line does in the cockpit."""

import pytest

from drill.language import read
from drill.language.meaning import (
    Airspeed,
    Align,
    Altitude,
    Breaker,
    BreakOff,
    Checklist,
    ChecklistItem,
    Compare,
    Context,
    Cover,
    Decide,
    Diagnose,
    Flaps,
    FlyBy,
    GoAround,
    Ident,
    LevelWings,
    Look,
    Pitch,
    Power,
    Squawk,
    StopTurn,
    Switch,
    Timer,
    Track,
    Transmit,
    Tune,
    Turn,
    TurnRate,
    Unclear,
    Uncover,
    Wait,
    WriteUp,
)

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose", "Glenmoor"))


@pytest.mark.parametrize(("line", "action"), [
    ("check the suction", Look("suction_gauge")), ("how's the airspeed doing?", Look("airspeed_indicator")),
    ("what's my altitude", Look("altimeter")), ("look outside", Look("outside")),
    ("look at the panel", Look("panel")),
    ("cross-check the AI against the turn coordinator", Compare(("attitude_indicator", "turn_coordinator"))),
    ("does the DG match the compass", Compare(("heading_indicator", "magnetic_compass"))),
    ("stick a note over the attitude indicator", Cover("attitude_indicator")),
    ("take the cover off the DG", Uncover("heading_indicator")),
    ("go partial panel", FlyBy("partial_panel")), ("partial panel", FlyBy("partial_panel")),
    ("back to full panel", FlyBy("full_panel")), ("trust the turn coordinator", FlyBy("turn_coordinator")),
    ("left turn heading 270", Turn("left", 270)), ("come right 20 degrees", Turn("right", by_deg=20)),
    ("come right two five zero", Turn("right", 250)), ("turn left", Turn("left")),
    ("steer 220", Turn("shortest", 220)),
    ("wings level", LevelWings()), ("stop turn", StopTurn()), ("half standard rate turns", TurnRate("half")),
    ("descend and maintain three thousand", Altitude(3000, "descend")), ("maintain 5,000", Altitude(5000, "hold")),
    ("hold altitude", Altitude(None, "hold")), ("climb to 8,000 feet", Altitude(8000, "climb")),
    ("slow to 90", Airspeed(90)), ("power to 2300 rpm", Power(to_rpm=2300)), ("reduce power", Power(change="less")),
    ("full power", Power(change="full")), ("throttle idle", Power(change="idle")), ("nose down", Pitch("down")),
    ("pitch up 5 degrees", Pitch("up", 5)), ("flaps 10", Flaps(10)), ("flaps up", Flaps(0)),
    ("pitot heat on", Switch("pitot_heat", "on")), ("alternate static open", Switch("alternate_static", "on")),
    ("kill the autopilot", Switch("autopilot", "off")), ("master off", Switch("battery", "off")),
    ("pull the turn coordinator breaker", Breaker("turn_coordinator", "pull")),
    ("reset the alternator breaker", Breaker("alternator", "reset")),
    ("squawk 7700", Squawk("7700")), ("squawk zero four one seven", Squawk("0417")), ("ident", Ident()),
    ("tune 118.3", Tune("118.3")),
    ("reset the DG to the compass", Align("heading_indicator", "magnetic_compass")),
    ("set altimeter 29.92", Align("altimeter", inhg=29.92)), ("QNH 1009 set", Align("altimeter", hpa=1009)),
    ("start the timer", Timer("start")), ("stop the clock", Timer("stop")),
    ("I think the vacuum pump quit", Diagnose(("vacuum_system",))),
    ("it's the vacuum pump", Diagnose(("vacuum_system",))),
    ("divert to Tallowby", Decide("divert", "Tallowby")), ("continue as planned", Decide("continue")),
    ("land at the nearest airport", Decide("land")), ("abort the takeoff", Decide("abort_takeoff")),
    ("cancel IFR", Decide("cancel_ifr")),
    ("go around", GoAround()), ("run the vacuum failure checklist", Checklist("vacuum failure")),
    ("checklist", Checklist()),
    ("done", ChecklistItem()), ("placard the DG inop", WriteUp("placard", "heading_indicator")),
    ("defer the attitude indicator", WriteUp("defer", "attitude_indicator")), ("write it up", WriteUp("enter")),
    ("wait half a minute", Wait(30.0)), ("break off", BreakOff()),
])
def test_one_order_is_one_action(line, action):
    assert read(line, HERE) == [action]


@pytest.mark.parametrize(("line", "actions"), [
    ("cover the AI, go partial panel, level the wings",
     [Cover("attitude_indicator"), FlyBy("partial_panel"), LevelWings()]),
    ("cover the AI and DG, then fly partial panel",
     [Cover("attitude_indicator"), Cover("heading_indicator"), FlyBy("partial_panel")]),
    ("left turn to 240, 90 knots and descend to 3000", [Turn("left", 240), Airspeed(90), Altitude(3000, "descend")]),
    ("pitot heat on and open alternate static", [Switch("pitot_heat", "on"), Switch("alternate_static", "on")]),
    ("squawk 7700 and ident", [Squawk("7700"), Ident()]),
    ("scan TC, ASI, altimeter", [Look("turn_coordinator"), Look("airspeed_indicator"), Look("altimeter")]),
])
def test_several_orders_in_a_line_are_done_in_their_order(line, actions):
    assert read(line, HERE) == actions


def test_what_follows_tell_goes_out_on_the_radio_and_what_stands_before_is_done_first():
    cover, by, call = read("cover the AI, go partial panel and tell approach we lost vacuum, and need vectors", HERE)
    assert (cover, by) == (Cover("attitude_indicator"), FlyBy("partial_panel"))
    assert isinstance(call, Transmit)
    assert call.call == "we lost vacuum, and need vectors"
    assert (call.meaning.facility, call.meaning.equipment, call.meaning.assistance) == (True, ("vacuum_system",),
        ("vectors",))


@pytest.mark.parametrize(("line", "said"), [
    ("tell approach we lost our vacuum", "we lost our vacuum"),
    ("inform approach that we are partial panel", "we are partial panel"),
    ("say standby, working a problem", "standby, working a problem"),
    ('tell approach "we are partial panel"', "we are partial panel"),
    ("call approach and tell them we lost vacuum", "we lost vacuum"),
    ("request no-gyro vectors", "request no-gyro vectors"),
    ("ask approach for vectors", "ask approach for vectors"), ("declare an emergency", "declare an emergency"),
    ("Orrinfell Approach, 04W, we lost vacuum", "Orrinfell Approach, 04W, we lost vacuum"), ("unable", "unable"),
    ("Larkspur 04W, request lower", "Larkspur 04W, request lower"), ("mayday mayday mayday", "mayday mayday mayday"),
    ("left two four zero, four whiskey", "left two four zero, four whiskey"),
    ("negative, unable", "negative, unable"),
    ("say again", "say again"),
    ("the vacuum is out, larkspur 04w, heading 180", "the vacuum is out, larkspur 04w, heading 180"),
    ("two souls and three hours of fuel", "two souls and three hours of fuel"),
    ("Larkspur 40W, lost the vacuum", "Larkspur 40W, lost the vacuum"),
    ("emergency emergency, ai failed", "emergency emergency, ai failed"), ("standby", "standby"), ("wilco", "wilco"),
    ("roger", "roger")])
def test_words_for_the_radio_are_sent_as_typed(line, said):
    (action,) = read(line, HERE)
    assert isinstance(action, Transmit)
    assert action.call == said


@pytest.mark.parametrize("line", ["standby vacuum on", "approach checklist", "center the needle", "radio off", "say"])
def test_words_that_only_look_like_radio_are_not_sent(line):
    assert not any(isinstance(action, Transmit) and action.call for action in read(line, HERE)) or line == "say"


@pytest.mark.parametrize(("line", "action"), [
    ("turn left heading 270, correction 280", Turn("left", 280)),
    ("descend to 3000, no, 4000", Altitude(4000, "descend")),
    ("right heading 300... correction, left 300", Turn("left", 300)),
    ("cover the DG, I mean the AI", Cover("attitude_indicator")),
    ("fly off the standby... no, fly off the AI", FlyBy("attitude_indicator"))])
def test_in_a_corrected_line_the_last_value_counts(line, action):
    assert read(line, HERE) == [action]


@pytest.mark.parametrize("line", [
    "", "   ", "uhhh", "what do i do", "fly the airplane", "climb and descend to 4000", "turn left or right",
    "pitot heat on and off",
    "don't touch the pitot heat", "do not turn", "divert to Penrose or continue", "cover it", "asdf qwerty",
    "turn left heading 400",
    "level off, no keep climbing, no level off", "pitot heat"])
def test_a_line_that_names_no_action_or_two_that_exclude_each_other_is_asked_back(line):
    (action,) = read(line, HERE)
    assert isinstance(action, Unclear)
    assert action.ask.endswith((".", "?"))


@pytest.mark.parametrize("line", ["don't touch the pitot heat", "uhhh", "climb and descend"])
def test_the_question_back_never_names_an_instrument_to_trust(line):
    (action,) = read(line, HERE)
    assert isinstance(action, Unclear)
    assert not any(word in action.ask.lower() for word in ("partial", "cover", "vacuum", "turn coordinator",
                                                           "attitude"))


def test_not_losing_altitude_is_holding_it():
    assert read("dont lose any altitude, stay right here", HERE) == [Altitude(None, "hold")]


def test_a_word_for_a_side_is_no_turn():
    assert read("the left side horizon failed, right side's fine", HERE) == [Diagnose(("attitude_indicator",))]


WENDLE = Context("Larkspur 04W", "Orrinfell Approach", ("Wendle",))


@pytest.mark.parametrize("line", [
    "level the wings by the turn coordinator", "level wings with the TC", "use the turn coordinator to level the wings",
    "keep the wings level using the T/C"])
def test_wings_leveled_by_an_instrument_are_flown_by_it_first(line):
    assert read(line, HERE) == [FlyBy("turn_coordinator"), LevelWings()]


def test_wings_can_be_leveled_by_any_instrument_of_bank():
    assert read("level the wings by the horizon", HERE) == [FlyBy("attitude_indicator"), LevelWings()]


@pytest.mark.parametrize(("line", "turns"), [   # FAA-H-8083-15: a standard-rate turn is 3 degrees a second
    ("turn left for 30 seconds", [Turn("left", by_deg=90)]), ("turn right for one minute", [Turn("right", by_deg=180)]),
    ("timed turn left 30 seconds", [Turn("left", by_deg=90)]), ("L turn 20 s", [Turn("left", by_deg=60)]),
    ("turn left for half a minute", [Turn("left", by_deg=90)]),
    ("keep turning left for 10 seconds", [Turn("left", by_deg=30)]),
    ("turn right for 20 seconds at half standard rate", [TurnRate("half"), Turn("right", by_deg=30)])])
def test_a_timed_turn_goes_as_far_as_its_rate_takes_it(line, turns):
    assert read(line, HERE) == turns


def test_a_timed_turn_of_more_than_two_circles_is_asked_back():
    assert [type(action) for action in read("turn left for 10 minutes", HERE)] == [Unclear]


@pytest.mark.parametrize(("line", "way", "by", "to"), [
    ("descend 500", "descend", 500, None), ("descend 500 feet", "descend", 500, None),
    ("climb 1000 feet", "climb", 1000, None), ("climb another 1500 feet", "climb", 1500, None),
    ("lose 300 feet", "descend", 300, None), ("descend by 2000", "descend", 2000, None),
    ("descend to 500", "descend", None, 500), ("climb 5000", "climb", None, 5000),
    ("climb and maintain 1000", "climb", None, 1000),
    ("descend from 6000 to 4000", "descend", None, 4000)])
def test_an_amount_of_altitude_is_not_an_altitude(line, way, by, to):
    assert read(line, HERE) == [Altitude(to, way, by_ft=by)]


@pytest.mark.parametrize("line", ["descend 1500", "descend 2000 feet", "start down", "set 3012",
                                  "turn left in 30 seconds"])
def test_a_number_that_may_be_two_things_or_is_wanting_is_asked_for(line):
    (action,) = read(line, HERE)
    assert isinstance(action, Unclear)
    assert action.ask.endswith("?")


@pytest.mark.parametrize(("line", "by"), [
    ("stop using the AI", "turn_coordinator"), ("ignore the AI", "turn_coordinator"),
    ("don't use the AI", "turn_coordinator"), ("stop following the horizon", "turn_coordinator"),
    ("stop using the DG", "magnetic_compass"), ("do not follow the HI", "magnetic_compass"),
    ("ignore the gyros", "partial_panel")])
def test_an_instrument_left_out_is_never_flown_by(line, by):
    assert read(line, HERE) == [FlyBy(by)]


def test_an_instrument_left_out_that_no_other_replaces_is_asked_about():
    assert [type(action) for action in read("ignore the altimeter", HERE)] == [Unclear]


@pytest.mark.parametrize(("line", "action"), [
    ("stop", StopTurn()), ("recover", LevelWings()), ("wings lvl", LevelWings()),
    ("set 29.86", Align("altimeter", inhg=29.86)),
    ("set 2986", Align("altimeter", inhg=29.86)), ("set 998", Align("altimeter", hpa=998)), ("ck", ChecklistItem()),
    ("chk suction", Look("suction_gauge")), ("scan", Look("panel")), ("scan the panel", Look("panel")),
    ("wait 30 s", Wait(30.0)), ("wait 30s", Wait(30.0)), ("L 080", Turn("left", 80)), ("R 080", Turn("right", 80)),
    ("direct Wendle", Decide("divert", "Wendle")), ("direct to Wendle", Decide("divert", "Wendle")),
    ("we're going to Wendle", Decide("divert", "Wendle")), ("where am I", Look("navigation")),
    ("where is Wendle", Look("navigation")), ("how far to Wendle", Look("navigation")),
    ("bearing to Wendle", Look("navigation")),
    ("altitude?", Look("altimeter")), ("heading?", Look("heading_indicator")),
    ("airspeed?", Look("airspeed_indicator")),
    ("compare HI with the compass", Compare(("heading_indicator", "magnetic_compass"))),
    ("HI and compass", Compare(("heading_indicator", "magnetic_compass"))),
    ("nothing has failed", Diagnose(())), ("everything looks fine", Diagnose(())),
    ("wait for a call", Wait(60.0, until_called=True)), ("wait for ATC", Wait(60.0, until_called=True)),
    ("wait two minutes for a reply", Wait(120.0, until_called=True)), ("intercept the localizer", Track()),
    ("track the needle", Track()), ("follow the course needle", Track()), ("track 240", Turn("shortest", 240)),
    ("use the GPS", FlyBy("navigation"))])
def test_common_short_orders_are_understood(line, action):
    assert read(line, WENDLE) == [action]


@pytest.mark.parametrize(("written", "meant"), [
    ("HI", "heading_indicator"), ("DI", "heading_indicator"), ("HSI", "heading_indicator"), ("DG", "heading_indicator"),
    ("AH", "attitude_indicator"), ("AI", "attitude_indicator"), ("ASI", "airspeed_indicator"), ("ALT", "altimeter"),
    ("VSI", "vertical_speed_indicator"), ("TC", "turn_coordinator"), ("T/C", "turn_coordinator")])
def test_an_instrument_is_known_by_its_letters(written, meant):
    assert read(written, HERE) == [Look(meant)]
    assert read(f"check the {written.lower()}", HERE) == [Look(meant)]
    assert read(f"cover {written}", HERE) == [Cover(meant)]


@pytest.mark.parametrize("line", ["hi, turn left 240", "ah, turn left 240"])
def test_a_greeting_or_a_sigh_is_no_instrument(line):
    assert read(line, HERE) == [Turn("left", 240)]


@pytest.mark.parametrize("line", ["vacuum", "vacuum pump", "engine", "pitot heat"])
def test_a_part_that_is_only_named_is_asked_about_by_its_name(line):
    (action,) = read(line, HERE)
    assert isinstance(action, Unclear)
    assert action.ask.startswith(f'"{line}": do you want to look at it,')


@pytest.mark.parametrize("line", ["say what heading to Wendle", "say the vacuum is out", "say my heading is 240"])
def test_what_follows_say_is_always_said_on_the_radio(line):
    (action,) = read(line, WENDLE)
    assert isinstance(action, Transmit)
    assert action.call == line.removeprefix("say ")


def test_yes_to_a_question_of_atc_can_declare_the_emergency():
    (action,) = read("yes we are declaring", HERE)
    assert isinstance(action, Transmit)
    assert action.meaning.urgency == "emergency"


@pytest.mark.parametrize(("action", "labels"), [
    (Altitude(3000, "climb"), {"action": "altitude", "to_ft": 3000, "direction": "climb"}),
    (Altitude(None, "climb", by_ft=500), {"action": "altitude", "to_ft": None, "direction": "climb", "by_ft": 500}),
    (Wait(10.0), {"action": "wait", "seconds": 10.0}),
    (Wait(60.0, until_called=True), {"action": "wait", "seconds": 60.0, "until_called": True})])
def test_an_amount_and_a_wait_for_a_call_are_labeled_only_where_they_are_meant(action, labels):
    assert action.as_labels() == labels
