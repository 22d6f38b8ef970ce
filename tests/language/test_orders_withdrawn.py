"""What is taken back, forbidden, doubted, conditional or past is not done, and nothing of it is sent."""

import pytest

from drill.language import read
from drill.language.meaning import (
    Airspeed,
    Align,
    Altitude,
    BreakOff,
    Context,
    Cover,
    Decide,
    Diagnose,
    FlyBy,
    Look,
    Pitch,
    Squawk,
    Switch,
    Transmit,
    Tune,
    Turn,
    TurnRate,
    Unclear,
    Wait,
)

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose", "Wendle"))
AI, DG, TC = "attitude_indicator", "heading_indicator", "turn_coordinator"


def done(line):
    """Return what a line does, without what it asks back."""
    return [action for action in read(line, HERE) if not isinstance(action, Unclear)]


@pytest.mark.parametrize("line", [
    "cover the AI, scratch that", "cover the AI, belay that", "cover the AI, disregard", "cover the AI ... nah",
    "cover the AI, cancel", "cover the AI, on second thought don't", "descend to 3000, disregard",
    "squawk 7700 cancel that", "squawk 7700 oops", "cover the AI, never mind", "cover the AI, forget it",
    "turn left 240; never mind", "cover the AI and go partial panel, never mind", "cover the AI, not yet",
    "turn left 240, cover the AI, scratch all that", "cover the AI jk", "go partial panel, I take that back",
    "abort the takeoff, cancel that"])
def test_an_order_taken_back_in_its_own_line_is_not_done(line):
    assert done(line) == []


@pytest.mark.parametrize(("line", "actions"), [
    ("descend 3000. disregard. maintain 4000", [Altitude(4000, "hold")]),
    ("turn left, cancel that, turn right", [Turn("right")]),
    ("check the suction, cover the AI, on second thought no", [Look("suction_gauge")]),
    ("turn left 240, cover the AI, scratch that", [Turn("left", 240)]), ("cancel that", [BreakOff()]),
    ("never mind the AI, fly by the TC", [FlyBy(TC)]), ("uncover the AI, no, cover it", [Cover(AI)]),
    ("bail out of the IFR, cancel it", [Decide("cancel_ifr")])])
def test_only_what_is_taken_back_is_dropped(line, actions):
    assert done(line) == actions


@pytest.mark.parametrize(("line", "action"), [
    ("descend to 3000 no make that 4000", Altitude(4000, "descend")),
    ("descend to 3000 or rather 4000", Altitude(4000, "descend")),
    ("descend to 3000 actually 4000", Altitude(4000, "descend")),
    ("descend to 4 thousand no make it 3 thousand", Altitude(3000, "descend")),
    ("descend to 3000, on second thought 4000", Altitude(4000, "descend")),
    ("climb no descend to 3000", Altitude(3000, "descend")), ("squawk 7700 no make that 7600", Squawk("7600")),
    ("slow to 90 no make it 80", Airspeed(80)), ("tune 118.3 no 119.5", Tune("119.5")),
    ("turn left heading 240 I mean 260", Turn("left", 260)), ("cover the AI no the heading indicator", Cover(DG)),
    ("turn left no make that right heading 180", Turn("right", 180)),
    ("turn left heading 240, no make that right", Turn("right", 240)), ("pitot heat on no off",
        Switch("pitot_heat", "off")), ("alternator off, wait, on", Switch("alternator", "on")),
    ("alternator off I mean battery off", Switch("battery", "off")), ("nose up, no, down", Pitch("down")),
    ("standard rate, no, half", TurnRate("half")), ("wait 30 seconds make it 60", Wait(60.0)),
    ("turn left no the other way", Turn("right")), ("turn left 180, no wait, heading 160 left", Turn("left", 160)),
    ("descend to 3000, no, let's do 4000", Altitude(4000, "descend")), ("turn left 240; no, right", Turn("right", 240)),
    ("cover the AI, wrong one, the DG", Cover(DG)), ("set 29.92 no 29.86", Align("altimeter", inhg=29.86)),
    ("divert to Penrose no Wendle", Decide("divert", "Wendle"))])
def test_what_is_given_anew_counts_with_or_without_a_comma(line, action):
    assert read(line, HERE) == [action]


@pytest.mark.parametrize("line", [
    "whatever you do don't turn off the battery", "careful not to turn off the battery",
    "on no account turn off the battery", "under no circumstances, descend", "we must not turn off the alternator",
    "do anything but turn off the alternator", "no reason to cover the AI", "nobody cover the AI",
    "you must not descend", "no descent", "make sure not to descend", "cannot descend", "we can't descend below 3000",
    "no lower than 3000", "descend no lower than 3000", "it's not time to descend", "it's a bad idea to cover the AI",
    "hands off the battery master", "we're not going to descend", "neither cover the AI nor the DG"])
def test_what_is_forbidden_is_not_done(line):
    assert done(line) == []


@pytest.mark.parametrize(("line", "actions"), [
    ("cover the DG not the AI", [Cover(DG)]), ("cover the AI rather than the DG", [Cover(AI)]),
    ("turn right not left heading 090", [Turn("right", 90)]), ("pitot heat on not off", [Switch("pitot_heat", "on")]),
    ("hold 3000, not a foot lower", [Altitude(3000, "hold")]), ("climb to 5000 not 6000", [Altitude(5000, "climb")]),
    ("descend to 3000 without turning", [Altitude(3000, "descend")]), ("don't cover the AI, cover the DG", [Cover(DG)]),
    ("don't climb or sink, keep what we've got", [Altitude(None, "hold")]), ("quit climbing", [Altitude(None, "hold")]),
    ("the altimeter's stuck, hasn't moved in the climb", [Diagnose(("altimeter",))]),
    ("turn left 240, cover the AI, cancel the turn", [Cover(AI)]),
    ("turn left 240; cover the AI; scratch the turn", [Cover(AI)]), ("turn left, don't rush", [Turn("left")]),
    ("don't forget to turn left", [Turn("left")]),
    ("check the suction before you cover the AI", [Look("suction_gauge")]),
    ("no suction, cover the AI", [Diagnose(("vacuum_system",)), Cover(AI)])])
def test_a_negation_leaves_out_only_what_stands_after_it(line, actions):
    assert done(line) == actions


@pytest.mark.parametrize(("line", "action"), [
    ("I can't trust the AI", Diagnose((AI,))), ("we can't use the AI", Diagnose((AI,))),
    ("I'm unable to trust the AI", Diagnose((AI,))), ("hardly trust the AI", Diagnose((AI,))),
    ("I refuse to trust the AI", Diagnose((AI,))), ("nobody should trust the AI", Diagnose((AI,))),
    ("instead of the AI use the TC", FlyBy(TC)), ("fly by anything but the AI", FlyBy(TC)),
    ("use everything but the AI", FlyBy(TC)), ("use any instrument other than the AI", FlyBy(TC)),
    ("I'm done trusting the AI", Diagnose((AI,))), ("don't trust anything but the TC", FlyBy(TC)),
    ("stop using the AI", FlyBy(TC))])
def test_distrust_is_never_trust(line, action):
    assert read(line, HERE) == [action]


@pytest.mark.parametrize("line", [
    "cover the AI provided the suction is low", "cover the AI depending on the suction",
    "in case of vacuum failure cover the AI", "cover the AI as long as suction is zero",
    "cover the AI assuming it's dead",
    "provided it is safe, descend to 3000", "should the AI fail, cover it", "were the AI to fail, cover it",
    "the moment we break out, turn left", "on reaching 5000, turn left", "at 5000 turn left 270",
    "at Penrose, turn left", "after the vacuum fails, cover the AI", "had the AI failed, cover it",
    "every time it tumbles, cover it", "let's say it fails, cover it", "about to descend to 3000",
    "turn left 240, but not before 5000", "descend but don't go below 3000", "stay below 5000",
    "otherwise cover the AI",
    "as soon as the AI fails cover it", "if so, cover the AI", "descend after the turn", "descend at 500",
    "we may have to descend", "possibly descend to 3000", "cover the AI or the DG", "cover the AI?"])
def test_what_waits_or_is_doubted_is_asked_back(line):
    assert done(line) == []


@pytest.mark.parametrize(("line", "actions"), [
    ("check if the suction is low, then cover the AI", [Look("suction_gauge")]),
    ("when able turn left heading 270", [Turn("left", 270)]), ("when able fly heading 270", [Turn("shortest", 270)]),
    ("turn left 240, if that's ok", [Turn("left", 240)]),
    ("before descending, check the suction", [Look("suction_gauge")]),
    ("at 90 knots, climb to 5000", [Airspeed(90), Altitude(5000, "climb")])])
def test_courtesy_and_manner_make_nothing_conditional(line, actions):
    assert done(line) == actions


@pytest.mark.parametrize("line", [
    "I left the pitot heat off", "I had the pitot heat off", "I accidentally turned off the alternator",
    "I turned off the alternator", "we squawked 7700", "we have descended to 3000", "covered the AI",
    "last time I turned off the alternator", "I forgot to turn on the pitot heat", "pitot heat light on",
    "autopilot off light", "engine's down to 1800 rpm, need a place to land", "we're at 3000 feet", "heading is 240",
    "descending is out of the question", "battery switch stuck on", "we are on the battery",
    "approach told me to descend to 3000", "ATC said turn left 240"])
def test_what_was_done_or_said_is_not_done_again(line):
    assert [action for action in done(line) if not isinstance(action, Look | Diagnose)] == []


@pytest.mark.parametrize("line", [
    "maybe declare an emergency", "declare an emergency, cancel that", "declare an emergency, no don't",
    "tell approach we are declaring an emergency, no wait, don't", "tell approach unless the suction is good",
    "turn left 240, if able tell approach", "check suction, if zero declare an emergency",
    "look at suction and if it's zero tell approach we lost the vacuum", "declare an emergency?",
    "tell approach we lost the vacuum if the suction is zero", "declare an emergency; cancel that",
    "I might declare an emergency", "we should never tell approach we need vectors", "declare an emergency later",
    "under no circumstances, declare an emergency", "request lower, cancel that", "mayday mayday mayday, cancel that",
    "check if the suction is zero, then declare an emergency", "declare an emergency, no, cover the AI",
    "he said declare an emergency", "declare an emergency, wait", "tell approach later", "I might ask for vectors",
    "before I declare an emergency, check the suction", "declare an emergency no",
    "it's too early to declare an emergency",
    "let's say it fails, tell approach we lost the vacuum", "we declared an emergency"])
def test_nothing_doubtful_goes_out_on_the_radio(line):
    assert not any(isinstance(action, Transmit) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "said"), [
    ("declare an emergency, no wait, tell approach we are fine", "we are fine"),
    ("tell approach disregard my last", "disregard my last"), ("say disregard", "disregard"),
    ("tell approach we will divert if it gets worse", "we will divert if it gets worse"),
    ("tell approach we lost the vacuum, correction, the alternator", "we lost the vacuum, correction, the alternator"),
    ("when able tell approach we lost the vacuum", "we lost the vacuum"),
    ("Orrinfell Approach, 04W, request lower, disregard", "Orrinfell Approach, 04W, request lower, disregard")])
def test_what_is_meant_to_be_said_is_said(line, said):
    (action,) = read(line, HERE)
    assert isinstance(action, Transmit)
    assert action.call == said


@pytest.mark.parametrize("line", [
    "the vacuum checklist can wait", "covering the DG will have to wait", "a descent is out of the question",
    "it is forbidden to switch the alternator off", "the engine is not to be shut down", "let the battery be",
    "keep your fingers off the alternate static", "lay off the autopilot", "you need not check the ammeter",
    "no waiting for half a minute", "we can do the checklist some other time",
])
def test_what_is_put_off_or_ruled_out_is_not_done(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize("line", [
    "autopilot on and keep it off", "battery off but leave it on", "open the alternate static and leave it shut",
    "cover the VSI and leave it uncovered", "go partial panel while staying on the full panel",
    "divert to Wendle and also keep going to Tallowby", "shut the engine down and keep it running",
    "80 knots while doing 120", "land at Wendle without landing at Wendle",
])
def test_what_excludes_itself_in_one_breath_is_asked_back(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


def test_a_wait_for_something_and_another_switch_left_on_are_no_contradiction() -> None:
    assert read("turn the alternator off and leave the battery on", HERE) == [Switch("alternator", "off")]
    assert read("we will wait for two minutes", HERE) == [Wait(120.0)]


@pytest.mark.parametrize("line", [
    "switching off the pitot heat would be foolish", "turning the avionics off is a terrible idea",
    "squawking 7600 seems like overkill", "landing at Wendle makes no sense", "climbing to 7000 will not help",
    "to divert would be a mistake", "a descent seems premature", "pulling the breaker is not a good idea",
    "turning left now would be wrong", "covering the DG is silly", "it makes no sense to divert",
    "going partial panel is unnecessary", "continuing is madness",
])
def test_what_is_only_judged_is_not_done(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize(("line", "actions"), [
    ("continuing would be stupid, divert to Wendle", [Decide("divert", "Wendle")]),
    ("turning the pitot heat off would be stupid, turn it on", [Switch("pitot_heat", "on")]),
    ("going to Wendle, home is no good", [Decide("divert", "Wendle")]),
    ("cover the AI because it is useless", [Cover(AI)]), ("covering the AI, leaving it up is dangerous", [Cover(AI)]),
    ("the AI makes no sense", [Diagnose((AI,))]), ("airspeed is nonsense, the pitot must be blocked",
        [Diagnose(("airspeed_indicator", "pitot"))]), ("turning left to 240", [Turn("left", 240)])])
def test_a_judgement_beside_an_order_takes_nothing_of_it(line, actions):
    assert done(line) == actions
