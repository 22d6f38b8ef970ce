"""Several orders in a line: what follows a wait, a "then", or words for the radio."""

import pytest

from drill.language import read
from drill.language.meaning import (
    Airspeed,
    Align,
    Altitude,
    Compare,
    Context,
    Cover,
    Decide,
    FlyBy,
    LevelWings,
    Look,
    Power,
    Squawk,
    Switch,
    Transmit,
    Turn,
    TurnRate,
    Unclear,
    Uncover,
    Wait,
)

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose", "Sandry"))
AI, DG, TC = "attitude_indicator", "heading_indicator", "turn_coordinator"
OFF_ON = [Switch("alternator", "off"), Switch("alternator", "on")]


@pytest.mark.parametrize(("line", "actions"), [
    ("wait 10 seconds, cover the AI, wait 30 seconds", [Wait(10.0), Cover(AI), Wait(30.0)]),
    ("fly partial panel, wait 60 seconds, then fly full panel",
     [FlyBy("partial_panel"), Wait(60.0), FlyBy("full_panel")]),
    ("scan the panel then compare the AI and TC", [Look("panel"), Compare((AI, TC))]),
    ("turn left heading 240 then make a 180", [Turn("left", 240), Turn("shortest", by_deg=180)]),
    ("add power then 90 knots", [Power(change="more"), Airspeed(90)]), ("alternator off then on", OFF_ON),
    ("cycle the alternator", OFF_ON), ("turn the alternator off and then back on", OFF_ON),
    ("turn left 30 degrees, wait 30 seconds, turn right 30 degrees",
     [Turn("left", by_deg=30), Wait(30.0), Turn("right", by_deg=30)]),
    ("alternator off, wait 5 seconds, alternator on", [OFF_ON[0], Wait(5.0), OFF_ON[1]]),
    ("turn left heading 240 while descending to 3000", [Turn("left", 240), Altitude(3000, "descend")]),
    ("turn left using the TC", [FlyBy(TC), Turn("left")]), ("climb, but stop at 5000", [Altitude(5000, "climb")]),
    ("reverse course, left turn", [Turn("left", by_deg=180)]), ("turn left and stop on 240", [Turn("left", 240)]),
    ("climb to 5000 at 90 knots", [Airspeed(90), Altitude(5000, "climb")]),
    ("pitot heat, alternate static, standby vacuum on", [Switch("pitot_heat", "on"), Switch("alternate_static", "on"),
     Switch("standby_vacuum", "on")]),
    ("turn left, standard rate, heading 240", [TurnRate("standard"), Turn("left", 240)])])
def test_every_order_of_a_line_is_done(line, actions):
    assert read(line, HERE) == actions


@pytest.mark.parametrize("line", ["turn left 30 degrees, turn right 30 degrees", "pitot heat on, pitot heat off"])
def test_what_excludes_itself_in_one_breath_is_asked_back(line):
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "said", "actions"), [
    ("declare an emergency, cover the AI, go partial panel", "declare an emergency",
     [Cover(AI), FlyBy("partial_panel")]),
    ("tell approach we lost the vacuum then level the wings", "we lost the vacuum", [LevelWings()]),
    ("tell approach we lost the vacuum. Then level the wings", "we lost the vacuum", [LevelWings()]),
    ("tell approach we lost the vacuum; level the wings", "we lost the vacuum", [LevelWings()]),
    ("tell approach we lost the vacuum and cover the AI", "we lost the vacuum", [Cover(AI)]),
    ("04W, lost the vacuum pump, then cover the AI", "04W, lost the vacuum pump", [Cover(AI)]),
    ("declare an emergency then squawk 7700", "declare an emergency", [Squawk("7700")]),
    ("declare an emergency then standby vacuum on", "declare an emergency", [Switch("standby_vacuum", "on")]),
    ("request vectors, then switch the pitot heat on", "request vectors", [Switch("pitot_heat", "on")]),
    ("tell approach we lost the vacuum, turn left 240", "we lost the vacuum, turn left 240", []),
    ("tell approach we will turn left then descend to 3000", "we will turn left then descend to 3000", []),
    ("declare an emergency and squawk 7700", "declare an emergency and squawk 7700", []),
    ("tell approach we are going partial panel", "we are going partial panel", []),
    ("04W, left 240 then descend to 3000, 04W", "04W, left 240 then descend to 3000, 04W", [])])
def test_a_clear_order_of_the_cockpit_ends_what_is_said(line, said, actions):
    call, *rest = read(line, HERE)
    assert isinstance(call, Transmit)
    assert (call.call, rest) == (said, actions)


@pytest.mark.parametrize(("line", "action"), [
    ("turn to the south west", Turn("shortest", 225)), ("fly south east", Turn("shortest", 135)),
    ("turn north east", Turn("shortest", 45)), ("turn left to the north-west", Turn("left", 315)),
    ("climb to 5.5", Altitude(5500, "climb")), ("climb to 5.5 thousand", Altitude(5500, "climb")),
    ("descend 1,500 ft MSL", Altitude(1500, "descend")), ("bank left until 145", Turn("left", 145)),
    ("run my eyes over the dials", Look("panel")), ("give the whole panel a quick scan", Look("panel")),
    ("stop the bank, level her off laterally", LevelWings()), ("master battery on", Switch("battery", "on")),
    ("standby attitude, switch it off to save the battery", Switch("standby_instrument", "off")),
    ("nearest is Sandry, go there, we're diverting", Decide("divert", "Sandry")),
    ("plan is to land at Penrose", Decide("land", "Penrose")), ("any frost on the struts, check the wing", Look("ice")),
    ("heat the pitot", Switch("pitot_heat", "on")), ("stand by 45 seconds", Wait(45.0)),
    ("slew the heading indicator so it matches the wet compass", Align("heading_indicator", to="magnetic_compass")),
    ("weigh up AI, airspeed and altimeter together", Compare(("airspeed_indicator", "altimeter", AI))),
    ("do airspeed, altimeter and vsi make sense together? cross check",
     Compare(("airspeed_indicator", "altimeter", "vertical_speed_indicator"))),
    ("I'd like the horizon covered so it stops fooling me", Cover(AI)),
    ("DG uncovered please, let me see it again", Uncover(DG)),
    ("trust the standby, hm no, go with the turn coordinator, fly by that", FlyBy(TC))])
def test_these_words_order_this(line, action):
    assert read(line, HERE) == [action]


@pytest.mark.parametrize("line", ["descend to -500", "descend to minus 500", "descend to 300000",
                                  "stop turn heading 240"])
def test_a_figure_that_cannot_be_flown_is_asked_about(line):
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


def test_a_drifted_gyro_put_back_on_the_compass_is_aligned():
    aligned = read("DG has drifted, put it back on the compass", HERE)[-1]
    assert aligned == Align("heading_indicator", to="magnetic_compass")


@pytest.mark.parametrize("words", [
    "it's getting worse, we cannot hold altitude, request immediate lower", "need immediate descent", "need vectors",
    "we have lost the vacuum, request vectors to Wendle", "need the nearest airport",
])
def test_what_tells_and_asks_is_said_to_atc_as_a_whole(words: str) -> None:
    assert [action.as_labels() for action in read(words, HERE)] == [{"action": "transmit", "call": words}]


@pytest.mark.parametrize("words", [
    "refrain from climbing", "they cleared us to descend to 3000", "tell approach nothing"])
def test_what_is_refrained_from_told_or_not_to_be_said_is_not_done(words: str) -> None:
    assert [action.kind for action in read(words, HERE)] == ["unclear"]
