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
